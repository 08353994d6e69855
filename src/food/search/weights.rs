//! How much each word of a description says.
//!
//! The lists hold what a cook takes for granted: "mature seeds" says nothing new of lentils, "juice"
//! makes another food of an orange. They are judgement, by SR28's wording.

use std::sync::LazyLock;

use hashbrown::HashTable;

use super::forms::{self, FoodForm};
use super::phrases;
use super::term::Term;
use super::words::stem;

/// Words that stand before the food they sort ("Fish, cod"), with the cost of leaving them unsaid.
const CLASSES: &[(f32, &str)] = &[
    (
        0.1,
        "fish crustaceans mollusks spices nuts seeds cereals beverages leavening agents vegetables \
         fruit game meat",
    ),
    (
        1.0,
        "squash summer winter beans peppers lettuce cabbage melons pork beef lamb veal chicken \
         turkey cheese soup babyfood",
    ),
    (
        4.0,
        "oil fat bread cookies crackers cake pie snacks candies restaurant",
    ),
];

/// Words of a description that say little about which food it is.
const QUIET: &str = "raw fresh uncooked unprepared cooked boiled baked roasted canned frozen dried \
    dry all commercial commercially prepared home recipe variety varieties type types regular \
    common plain whole ripe mature seed seeds kernels bulb root fruit flesh meat only average year \
    round area areas fluid style pack packed solids liquids liquid drained separable lean trimmed \
    fat choice select grade grades domestic retail cuts cut composite boneless bone skinless skinon \
    broiler broilers fryers enriched bleached unbleached vitamin vitamins a b c d e \
    calcium sulfate magnesium chloride nigari ascorbic acid iron added water sulfured crude hulled \
    grain long large cultured unsweetened unsalted granulated strained table \
    cooking drinking tap mixed species unspecified includes and or in with without the of to for \
    from by not no may have been previously as purchased classes by-products products product \
    parts bird curd flat grams per ounce milkfat quick old fashioned original \
    seedless cured";

/// Words that say more than [`QUIET`] ones, but less than most.
const HALF_SAID: &[(f32, &str)] = &[
    (0.2, "immature medium small unenriched unfortified"),
    (0.5, "white ground salt low fortified milk"),
    (0.8, "red sweetened"),
    (1.2, "salted"),
];

/// Words that turn the food into another one.
const CHANGED: (f32, &str) = (
    2.5,
    "juice powder flour sauce soup leaf leaves flowers peel nectar dressing spread starch \
     syrup flavor flavored mix bran bar chips dessert pudding entree dinner paste puree stuffing \
     gravy topping pastry liver giblets heart neck skin puffs baby industrial \
     salad",
);

/// Words for a food made to resemble another, or packed for a relief programme.
const STAND_IN: (f32, &str) = (
    4.0,
    "meatless imitation substitute usda commodity vegetarian mock",
);

/// Words that say that a row is the general one of its kind.
const GENERAL: &str = "all average unspecified common ripe regular whole";

/// Stems of words in the names of companies that do not tell one from another.
const COMPANY: &str = "a an and the of for by co company corp corporation inc incorporated llc llp \
    lp ltd limited plc group holding international usa us food brand product market store";

/// What each word costs a food when the query leaves it unsaid.
#[derive(Debug)]
pub(super) struct Weights {
    stems: HashTable<(Term, StemWeight)>,
    forms: HashTable<(Term, FoodForm)>,
    /// First words of phrases.
    openings: HashTable<Term>,
}

/// The entries that the lists of this file have for one stem.
#[derive(Debug, Clone, Copy, Default)]
struct StemWeight {
    class: Option<f32>,
    cost: Option<f32>,
    general: bool,
    of_any_company: bool,
}

/// What is known of one word.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weight {
    /// The cost of leaving it unsaid where it only sorts foods, if it is such a word.
    pub(super) class: Option<f32>,
    /// The cost of leaving it unsaid anywhere else.
    pub(super) cost: f32,
    /// A word that says little: whether it is there matters little.
    pub(super) quiet: bool,
    /// A word that marks the general row of its kind.
    pub(super) general: bool,
    /// A word that tells no company from another: "Foods, Inc.".
    pub(super) of_any_company: bool,
    /// The form it names.
    pub(super) form: Option<FoodForm>,
}

/// The cost of a word in none of the lists.
const ORDINARY: f32 = 1.0;
const NUMBER: f32 = 0.1;
const QUIET_COST: f32 = 0.05;

impl Weights {
    /// The weights, made when first asked for.
    pub(super) fn get() -> &'static Self {
        static WEIGHTS: LazyLock<Weights> = LazyLock::new(Weights::new);
        &WEIGHTS
    }

    fn new() -> Self {
        let mut weights = Self {
            stems: HashTable::new(),
            forms: HashTable::new(),
            openings: HashTable::new(),
        };
        for &(cost, list) in CLASSES {
            weights.note(list, |weight| weight.class = Some(cost));
        }
        // A later list has the last word.
        for &(cost, list) in [CHANGED, STAND_IN, (QUIET_COST, QUIET)]
            .iter()
            .chain(HALF_SAID)
        {
            weights.note(list, |weight| weight.cost = Some(cost));
        }
        weights.note(GENERAL, |weight| weight.general = true);
        weights.note(COMPANY, |weight| weight.of_any_company = true);
        for &(word, form) in forms::WORDS {
            let term = Term::of(word);
            let hashed = |(term, _): &(Term, FoodForm)| term.0;
            weights.forms.insert_unique(term.0, (term, form), hashed);
        }
        for term in phrases::openings().map(Term::of) {
            weights.openings.insert_unique(term.0, term, |term| term.0);
        }
        weights
    }

    /// Notes something of each stem of a list.
    fn note(&mut self, list: &str, mut noted: impl FnMut(&mut StemWeight)) {
        for word in list.split_whitespace() {
            let term = Term::of(&stem(word));
            let same = |(other, _): &(Term, StemWeight)| *other == term;
            let hashed = |(term, _): &(Term, StemWeight)| term.0;
            let entry = self.stems.entry(term.0, same, hashed);
            let mut entry = entry.or_insert((term, StemWeight::default()));
            noted(&mut entry.get_mut().1);
        }
    }

    /// Whether some phrase begins with this word.
    pub(super) fn open_phrase(&self, as_written: Term) -> bool {
        let found = self.openings.find(as_written.0, |one| *one == as_written);
        found.is_some()
    }

    /// Looks a word up; `term` is that of its stem.
    pub(super) fn of(&self, as_written: Term, term: Term, stem: &str) -> Weight {
        let listed = self.stems.find(term.0, |(other, _)| *other == term);
        let listed = listed.map_or_else(StemWeight::default, |(_, weight)| *weight);
        let form = |(other, _): &(Term, FoodForm)| *other == as_written;
        let cost = match listed.cost {
            Some(cost) => cost,
            None if stem.starts_with(|c: char| c.is_ascii_digit()) => NUMBER,
            None => ORDINARY,
        };
        Weight {
            class: listed.class,
            cost,
            quiet: cost <= QUIET_COST,
            general: listed.general,
            of_any_company: listed.of_any_company,
            form: self.forms.find(as_written.0, form).map(|(_, form)| *form),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_weigh_what_they_say() {
        let weights = Weights::new();
        let of = |word: &str| {
            let stem = stem(word);
            weights.of(Term::of(word), Term::of(&stem), &stem)
        };
        assert!(of("juice").cost > of("yellow").cost);
        assert!(of("yellow").cost > of("white").cost);
        assert!(of("white").cost > of("mature").cost);
        assert!(of("trimmed").quiet && !of("butternut").quiet);
        assert!(of("fish").class.is_some() && of("cod").class.is_none());
    }
}
