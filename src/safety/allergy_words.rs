//! What a household means by the words of an allergy on record: `egg`, `cow's milk protein`, `peanut allergy`, `cashews and pistachios`.
//!
//! An allergy that is not understood would stop nothing. So words are read widely: what names an allergen anywhere counts, and a food that
//! is stopped for no reason costs less than one that is let through.

use crate::food::begins_a_word;
use crate::problem::edit_distance;

/// What an allergy on record stands for: one of these for each food that it names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Meaning {
    /// A major allergen, by its name in their table.
    Major(&'static str),
    /// What the table of major allergens does not hold.
    Other(&'static OtherAllergen),
    /// A food whose own name has all of these beginnings of words.
    Named(Vec<String>),
}

/// An allergen beyond the major ones, by the names of foods that hold it.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct OtherAllergen {
    has: &'static [&'static str],
    lacks: &'static [&'static str],
}

impl OtherAllergen {
    /// Whether the name of a food, in lower case, gives it away.
    pub(super) fn is_in(&self, name: &str) -> bool {
        let any = |phrases: &[&str]| phrases.iter().any(|phrase| begins_a_word(name, phrase));
        any(self.has) && !any(self.lacks)
    }
}

/// What households write for a major allergen, in the singular.
const WORDS: [(&str, &str); 55] = [
    ("egg", "egg"),
    ("hen egg", "egg"),
    ("milk", "milk"),
    ("dairy", "milk"),
    ("cmpa", "milk"),
    ("cma", "milk"),
    ("cmp", "milk"),
    ("lactose", "milk"),
    ("whey", "milk"),
    ("casein", "milk"),
    ("nut", "tree nuts"),
    ("tree nut", "tree nuts"),
    ("treenut", "tree nuts"),
    ("almond", "tree nuts"),
    ("walnut", "tree nuts"),
    ("cashew", "tree nuts"),
    ("hazelnut", "tree nuts"),
    ("filbert", "tree nuts"),
    ("pistachio", "tree nuts"),
    ("pecan", "tree nuts"),
    ("macadamia", "tree nuts"),
    ("brazilnut", "tree nuts"),
    ("brazil nut", "tree nuts"),
    ("pine nut", "tree nuts"),
    ("peanut", "peanut"),
    ("groundnut", "peanut"),
    ("ground nut", "peanut"),
    ("monkey nut", "peanut"),
    ("pea nut", "peanut"),
    ("shellfish", "shellfish"),
    ("shell fish", "shellfish"),
    ("seafood", "shellfish"),
    ("seafood", "fish"),
    ("crustacean", "shellfish"),
    ("prawn", "shellfish"),
    ("shrimp", "shellfish"),
    ("crab", "shellfish"),
    ("lobster", "shellfish"),
    ("crayfish", "shellfish"),
    ("langoustine", "shellfish"),
    ("scampi", "shellfish"),
    ("wheat", "wheat"),
    ("gluten", "wheat"),
    ("coeliac", "wheat"),
    ("celiac", "wheat"),
    ("soy", "soy"),
    ("soya", "soy"),
    ("soybean", "soy"),
    ("soyabean", "soy"),
    ("tofu", "soy"),
    ("edamame", "soy"),
    ("sesame", "sesame"),
    ("tahini", "sesame"),
    ("fish", "fish"),
    ("finfish", "fish"),
];

/// Clams, oysters, squid and the like, which many households call shellfish too.
const MOLLUSCS: OtherAllergen = OtherAllergen {
    has: &[
        "mollus",
        "clam",
        "oyster",
        "mussel",
        "scallops",
        "squid",
        "calamari",
        "octopus",
        "cuttlefish",
        "whelk",
        "abalone",
        "conch",
        "cockle",
        "snail",
        "escargot",
        "periwinkle",
    ],
    lacks: &[
        "mushrooms, oyster",
        "oyster mushroom",
        "vegetable oyster",
        "oyster blade",
        "emu, oyster",
        "ostrich, oyster",
        "oyster cracker",
        "includes oyster",
    ],
};
/// The cereals other than wheat that have gluten.
const GLUTEN: OtherAllergen = OtherAllergen {
    has: &["barley", "rye", "malt", "malted", "triticale"],
    lacks: &["maltodextrin", "maltose", "maltitol"],
};
/// Dried fruit and wine are kept with sulphites.
const SULPHITES: OtherAllergen = OtherAllergen {
    has: &["sulfured", "sulphured", "sulfite", "sulphite", "wine"],
    lacks: &["not sulfured"],
};
/// Many begin as a word of another food: `pea` is no pear.
const PEAS: OtherAllergen = OtherAllergen {
    has: &["peas", "pea soup", "pea protein", "pea flour", "pea,"],
    lacks: &[],
};
const CITRUS: OtherAllergen = OtherAllergen {
    has: &[
        "citrus",
        "orange",
        "lemon",
        "lime",
        "grapefruit",
        "tangerine",
        "mandarin",
        "clementine",
        "pomelo",
        "pummelo",
        "kumquat",
    ],
    lacks: &["lima"],
};
/// Its name ends otherwise in the food table than households write it.
const LUPIN: OtherAllergen = OtherAllergen {
    has: &["lupin"],
    lacks: &[],
};

/// What households write for allergens beyond the major ones, in the singular.
const OTHER_WORDS: [(&str, &OtherAllergen); 19] = [
    ("mollusc", &MOLLUSCS),
    ("mollusk", &MOLLUSCS),
    ("shellfish", &MOLLUSCS),
    ("shell fish", &MOLLUSCS),
    ("seafood", &MOLLUSCS),
    ("gluten", &GLUTEN),
    ("coeliac", &GLUTEN),
    ("celiac", &GLUTEN),
    ("sulphite", &SULPHITES),
    ("sulfite", &SULPHITES),
    ("sulphur", &SULPHITES),
    ("sulfur", &SULPHITES),
    ("sulphur dioxide", &SULPHITES),
    ("sulfur dioxide", &SULPHITES),
    ("so2", &SULPHITES),
    ("lupin", &LUPIN),
    ("lupine", &LUPIN),
    ("pea", &PEAS),
    ("citrus", &CITRUS),
];

/// Words that say nothing of which food is meant.
const FILLERS: [&str; 44] = [
    "allergy",
    "allergic",
    "allergie",
    "allergen",
    "intolerance",
    "intolerant",
    "sensitivity",
    "reaction",
    "protein",
    "product",
    "food",
    "all",
    "any",
    "every",
    "the",
    "a",
    "an",
    "of",
    "to",
    "in",
    "her",
    "his",
    "severe",
    "mild",
    "bad",
    "known",
    "suspected",
    "confirmed",
    "possible",
    "ige",
    "non",
    "mediated",
    "disease",
    "raw",
    "cooked",
    "baked",
    "whole",
    "well",
    "done",
    "fresh",
    "plain",
    "style",
    "other",
    "kind",
];
/// Words for a part of a food or for its form, which say nothing beside its name.
const FORMS: [&str; 12] = [
    "seed", "fruit", "paste", "flour", "oil", "butter", "powder", "juice", "kernel", "bean",
    "sauce", "nectar",
];
/// Foods that are called after another one.
const OF_THEIR_OWN: [&str; 5] = [
    "crab apple",
    "egg plant",
    "water chestnut",
    "butter bean",
    "custard apple",
];
/// What milk is made of that is none.
const PLANT_MILKS: [&str; 8] = [
    "soy", "soya", "almond", "oat", "rice", "coconut", "hemp", "cashew",
];

/// What an allergy on record stands for; empty where it says nothing.
pub(super) fn meanings(allergy: &str) -> Vec<Meaning> {
    parts(allergy)
        .iter()
        .flat_map(|part| of_part(part))
        .collect()
}

/// The foods that an allergy names, each as words in the singular without those that say nothing.
fn parts(allergy: &str) -> Vec<Vec<String>> {
    let written = allergy.to_lowercase().replace(['’', '‘'], "'");
    let written = [" and ", " or ", " plus "]
        .iter()
        .fold(written, |text, word| text.replace(word, ","));
    let parts = written.split([',', ';', '/', '&', '+', '(', ')', '.']);
    let words = parts.map(|part| {
        let words = part.split(|c: char| !c.is_alphanumeric() && c != '\'');
        let words = words.map(singular).filter(|word| !word.is_empty());
        words
            .filter(|word| !FILLERS.contains(&word.as_str()))
            .collect::<Vec<_>>()
    });
    words.filter(|words| !words.is_empty()).collect()
}

/// A word without the ending of its plural or of what it owns: `cow` of `cow's` and `cows`; of `berries` `berrie`, see [`beginning`].
fn singular(word: &str) -> String {
    let word = word.trim_matches('\'');
    let word = word.strip_suffix("'s").unwrap_or(word);
    let ends = |endings: &[&str]| endings.iter().any(|ending| word.ends_with(ending));
    let ending = match word {
        _ if ends(&["oes", "ches", "shes", "xes", "sses"]) => "es",
        _ if ends(&["ss", "us", "is"]) => "",
        _ => "s",
    };
    let one = word.strip_suffix(ending).filter(|one| one.len() > 2);
    one.unwrap_or(word).to_owned()
}

fn of_part(words: &[String]) -> Vec<Meaning> {
    let mut words: Vec<&str> = words.iter().map(String::as_str).collect();
    if let [.., of, "milk"] = words.as_slice()
        && PLANT_MILKS.contains(of)
    {
        words.pop();
    }
    let mut found: Vec<Meaning> = Vec::new();
    let mut at = 0;
    while let Some(rest) = words.get(at..).filter(|rest| !rest.is_empty()) {
        let two = rest.get(..2).map(|two| two.join(" ")).unwrap_or_default();
        let of_two = named(&two);
        let is_two = !of_two.is_empty() || OF_THEIR_OWN.contains(&two.as_str());
        let meant = match rest {
            [one, ..] if !is_two => named(one),
            _ => of_two,
        };
        at += if is_two { 2 } else { 1 };
        for meaning in meant {
            if !found.contains(&meaning) {
                found.push(meaning);
            }
        }
    }
    if found.is_empty() {
        let own = words.iter().filter(|word| !FORMS.contains(word));
        let mut own: Vec<String> = own.map(|word| beginning(word).to_owned()).collect();
        if own.is_empty() {
            own = words
                .iter()
                .map(|word| beginning(word).to_owned())
                .collect();
        }
        found.push(Meaning::Named(own));
    }
    found
}

/// The allergens of a name, in the singular.
fn named(name: &str) -> Vec<Meaning> {
    let major = WORDS.iter().filter(|(word, _)| *word == name);
    let other = OTHER_WORDS.iter().filter(|(word, _)| *word == name);
    let major = major.map(|(_, allergen)| Meaning::Major(allergen));
    major
        .chain(other.map(|(_, allergen)| Meaning::Other(allergen)))
        .collect()
}

/// What a word has in common with its plural: `strawberr` of strawberry and strawberries.
fn beginning(word: &str) -> &str {
    let longer = |stem: &&str| stem.len() > 2;
    let endings = ["ie", "y"].into_iter();
    let mut stems = endings.filter_map(|ending| word.strip_suffix(ending).filter(longer));
    stems.next().unwrap_or(word)
}

/// A word of an allergy that was likely meant to be the name of a major allergen, one slip of the finger away, and that name. Such a word
/// would match no food, and nothing would be stopped for it. Shorter words than four letters are too near to other foods to tell.
pub fn misspelt_allergen(allergy: &str) -> Option<&'static str> {
    let unnamed = parts(allergy).into_iter().filter(|part| {
        let meanings = of_part(part);
        meanings.iter().all(|one| matches!(one, Meaning::Named(_)))
    });
    let words = unnamed.flatten().collect::<Vec<_>>();
    let mut long = words.iter().filter(|word| word.chars().count() >= 4);
    let slip = |word: &String| {
        let known = WORDS.iter().flat_map(|(word, name)| [*word, *name]);
        known
            .into_iter()
            .find(|name| edit_distance(word, name) == 1)
    };
    long.find_map(slip)
}

/// The beginnings of words by which an allergy looks for foods, for each food that it names and that is no known allergen.
pub fn looked_for(allergy: &str) -> impl Iterator<Item = Vec<String>> {
    let named = meanings(allergy).into_iter();
    named.filter_map(|meaning| match meaning {
        Meaning::Named(words) => Some(words),
        Meaning::Major(_) | Meaning::Other(_) => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_finger_is_noticed_and_another_food_is_none() {
        for (written, meant) in [
            ("penut", "peanut"),
            ("Mlik", "milk"),
            ("sesam", "sesame"),
            ("almnd", "almond"),
            ("shelfish", "shellfish"),
            ("penut allergy", "peanut"),
            ("soja", "soya"),
        ] {
            assert_eq!(misspelt_allergen(written), Some(meant));
        }
        for food in [
            "pear",
            "pea",
            "peas",
            "beet",
            "oats",
            "fig",
            "figs",
            "prune",
            "mint",
            "corn",
            "kiwi",
            "strawberry",
            "peanuts",
            "eggs",
            "Egg",
            "walnuts",
            "buckwheat",
            "chestnut",
            "coconut",
            "egg yolk",
            "peanut allergy",
            "crab apple",
            "citrus fruit",
        ] {
            assert_eq!(misspelt_allergen(food), None, "{food}");
        }
    }
}
