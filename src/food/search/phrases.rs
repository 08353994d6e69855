//! Phrases that mean one thing, and the weight of words in a description.

use std::collections::HashMap;

use super::forms::{self, Form};
use super::words::{self, stem};

/// Phrases read as one word, in descriptions and queries alike.
///
/// In order of their first word, and for one first word the longer ones first.
const PHRASES: &[(&[&str], &str)] = &[
    (&["baby", "food"], "babyfood"),
    (&["dry", "heat"], "dryheat"),
    (&["dry", "roasted"], "roasted"),
    (&["fat", "free"], "nonfat"),
    (&["flesh", "and", "skin"], "skinon"),
    (&["in", "skin"], "skinon"),
    (&["includes", "skin"], "skinon"),
    (&["low", "fat"], "lowfat"),
    (&["meat", "and", "skin"], "skinon"),
    (&["moist", "heat"], "moistheat"),
    (&["no", "added", "salt"], "unsalted"),
    (&["no", "added", "sugar"], "unsweetened"),
    (&["no", "salt", "added"], "unsalted"),
    (&["no", "sugar", "added"], "unsweetened"),
    (&["no", "salt"], "unsalted"),
    (&["not", "sweetened"], "unsweetened"),
    (&["oil", "roasted"], "fried"),
    (&["peeled"], "skinless"),
    (&["salt", "added"], "salted"),
    (&["with", "added", "salt"], "salted"),
    (&["with", "salt", "added"], "salted"),
    (&["with", "peel"], "skinon"),
    (&["with", "salt"], "salted"),
    (&["with", "skin"], "skinon"),
    (&["without", "added", "salt"], "unsalted"),
    (&["without", "added", "sugar"], "unsweetened"),
    (&["without", "salt", "added"], "unsalted"),
    (&["without", "peel"], "skinless"),
    (&["without", "salt"], "unsalted"),
    (&["without", "skin"], "skinless"),
    (&["without", "sugar"], "unsweetened"),
];

/// Replaces every phrase that means one thing by its one word.
pub(super) fn join<'a>(words: &[&'a str]) -> Vec<&'a str> {
    let mut joined = Vec::with_capacity(words.len());
    let mut rest = words;
    while let Some(&first) = rest.first() {
        let from = PHRASES.partition_point(|(phrase, _)| phrase[0] < first);
        let mut near = PHRASES[from..].iter().take_while(|(phrase, _)| phrase[0] == first);
        let (len, word) = match near.find(|(phrase, _)| rest.starts_with(phrase)) {
            Some(&(phrase, meaning)) => (phrase.len(), meaning),
            None => (1, first),
        };
        joined.push(word);
        rest = &rest[len..];
    }
    joined
}

/// The stems of a text's words, phrases read as one word.
pub(super) fn stems(text: &str) -> Vec<String> {
    join(&words::split(&words::fold(text))).into_iter().map(stem).collect()
}

/// Words that stand before the food they sort ("Fish, cod"), with the cost of leaving them unsaid.
const CLASSES: &[(f32, &str)] = &[
    (
        0.1,
        "fish crustaceans mollusks spices nuts seeds cereals beverages cheese leavening agents \
         vegetables fruit game meat",
    ),
    (
        1.0,
        "squash summer winter beans peppers lettuce cabbage melons pork beef lamb veal \
         chicken turkey soup babyfood sauce",
    ),
    (3.0, "oil fat bread cookies crackers cake pie snacks candies restaurant"),
];

/// Words of a description that say little about which food it is.
const QUIET: &str = "raw fresh uncooked unprepared cooked boiled baked roasted canned frozen dried \
    dry all commercial commercially prepared home recipe variety varieties type types regular \
    common plain whole ripe mature seed seeds kernels bulb root fruit flesh meat only average year \
    round area areas fluid style pack packed solids liquids liquid drained separable lean trimmed \
    fat choice select grade grades domestic retail cuts cut composite boneless bone skinless skinon \
    broiler broilers fryers enriched bleached unbleached vitamin vitamins a b c d e \
    calcium sulfate magnesium chloride nigari ascorbic acid iron added water sulfured crude hulled \
    grain long large cultured unsweetened unsalted granulated strained table salad \
    cooking drinking tap mixed species unspecified includes and or in with without the of to for \
    from by not no may have been previously as purchased classes by-products products product \
    parts bird curd flat grams per ounce milkfat quick old fashioned seedless fed";

/// Words that say more than [`QUIET`] ones, but less than most.
const HALF_SAID: &[(f32, &str)] = &[
    (0.2, "immature medium small unenriched"),
    (0.5, "white ground salt low fortified milk"),
    (0.8, "red sweetened"),
    (1.2, "salted"),
];

/// Words that turn the food into another one.
const CHANGED: (f32, &str) = (
    2.5,
    "juice powder flour sauce soup leaf leaves flowers peel nectar dressing spread starch \
     syrup flavor flavored mix bran bar chips dessert pudding entree dinner paste puree stuffing \
     gravy topping pastry liver giblets heart neck skin puffs baby industrial",
);

/// Words for a food made to resemble another, or packed for a relief programme.
const STAND_IN: (f32, &str) = (4.0, "meatless imitation substitute usda commodity vegetarian mock");

/// Words that say that a row is the general one of its kind.
const GENERAL: &str = "all average unspecified common ripe regular whole";

/// What each word costs a food when the query leaves it unsaid.
#[derive(Debug)]
pub(super) struct Weights {
    classes: HashMap<String, f32>,
    costs: HashMap<String, f32>,
    general: Vec<String>,
}

/// What is known of one word.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weight {
    /// The cost of leaving it unsaid where it only sorts foods, if it is such a word.
    pub(super) class: Option<f32>,
    /// The cost of leaving it unsaid anywhere else.
    pub(super) cost: f32,
    /// It says little: leaving it unsaid, or saying it in vain, matters little.
    pub(super) quiet: bool,
    /// It marks the general row of its kind.
    pub(super) general: bool,
    /// The form it names.
    pub(super) form: Option<Form>,
}

/// The cost of a word in none of the lists.
const ORDINARY: f32 = 1.0;
const NUMBER: f32 = 0.1;
const QUIET_COST: f32 = 0.05;

impl Weights {
    pub(super) fn new() -> Self {
        let each = |list: &'static str| list.split_whitespace().map(stem);
        let table = |rows: &[(f32, &'static str)]| {
            let words = |&(cost, list)| each(list).map(move |word| (word, cost));
            rows.iter().flat_map(words).collect::<HashMap<_, _>>()
        };
        let mut costs = table(&[CHANGED, STAND_IN, (QUIET_COST, QUIET)]);
        costs.extend(table(HALF_SAID));
        Self { classes: table(CLASSES), costs, general: each(GENERAL).collect() }
    }

    /// Looks a word up; `stem` is its stem.
    pub(super) fn of(&self, word: &str, stem: &str) -> Weight {
        let cost = match self.costs.get(stem) {
            Some(&cost) => cost,
            None if stem.starts_with(|c: char| c.is_ascii_digit()) => NUMBER,
            None => ORDINARY,
        };
        Weight {
            class: self.classes.get(stem).copied(),
            cost,
            quiet: cost <= QUIET_COST,
            general: self.general.iter().any(|other| other == stem),
            form: forms::of_word(word),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn phrases_become_one_word() {
        let joined = |text: &str| join(&words::split(&words::fold(text))).join(" ");
        assert_eq!(joined("cooked, boiled, without salt"), "cooked boiled unsalted");
        assert_eq!(joined("no salt added"), "unsalted");
        assert_eq!(joined("baby food carrots"), "babyfood carrots");
        assert_eq!(joined("with skin"), "skinon");
        assert_eq!(joined("with skill"), "with skill");
        assert_eq!(joined("without"), "without");
    }

    #[test]
    fn phrases_are_in_the_order_the_search_relies_on() {
        let key = |phrase: &[&'static str]| (phrase[0], std::cmp::Reverse(phrase.len()));
        assert!(PHRASES.is_sorted_by_key(|(phrase, _)| key(phrase)));
    }

    #[test]
    fn words_weigh_what_they_say() {
        let weights = Weights::new();
        let of = |word: &str| weights.of(word, &stem(word));
        assert!(of("juice").cost > of("yellow").cost);
        assert!(of("yellow").cost > of("white").cost);
        assert!(of("white").cost > of("mature").cost);
        assert!(of("trimmed").quiet && !of("butternut").quiet);
        assert!(of("fish").class.is_some() && of("cod").class.is_none());
    }
}
