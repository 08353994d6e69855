//! What a household means by the words of an allergy on record: `egg`, `cow's milk protein`, `peanut allergy`, `cashews and pistachios`.
//!
//! An allergy that is not understood would stop nothing. So words are read widely: what names an allergen anywhere counts, and a food that
//! is stopped for no reason costs less than one that is let through.

use data_import::reference;

use crate::food::begins_a_word;
use crate::problem::edit_distance;

/// What an allergy on record stands for: one of these for each food that it names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Meaning {
    /// A major allergen, by its name in their table.
    Major(&'static str),
    /// What the table of major allergens does not hold.
    Other(&'static OtherAllergen),
    /// A food whose own name has all beginnings of words of one of these names.
    Named(Vec<Vec<String>>),
}

/// An allergen beyond the major ones, by the names of foods that hold it.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct OtherAllergen {
    has: &'static [&'static str],
    lacks: &'static [&'static str],
}

/// An allergen that these words give away, unless there are others.
const fn of(has: &'static [&'static str], lacks: &'static [&'static str]) -> OtherAllergen {
    OtherAllergen { has, lacks }
}

impl OtherAllergen {
    /// Whether the name of a food, in lower case, gives it away.
    pub(super) fn is_in(&self, name: &str) -> bool {
        let any = |phrases: &[&str]| phrases.iter().any(|phrase| begins_a_word(name, phrase));
        any(self.has) && !any(self.lacks)
    }
}

/// What households write for a major allergen, in the singular.
const WORDS: &[(&str, &str)] = &[
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
    ("codfish", "fish"),
    ("ovalbumin", "egg"),
    ("ovomucoid", "egg"),
    ("pn", "peanut"),
    ("tn", "tree nuts"),
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
    has: &[
        "sulfured",
        "sulphured",
        "sulfite",
        "sulphite",
        "wine",
        "raisins, golden",
    ],
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
    lacks: &["lima", "lemon grass", "lemongrass"],
};
/// Foods whose name begins as that of another one, or that are sold under other names too.
const BANANA: OtherAllergen = of(&["banana"], &["pepper, banana", "melon, banana"]);
const PEAR: OtherAllergen = of(&["pear"], &["pearl", "prickly pear"]);
const POTATO: OtherAllergen = of(&["potato"], &["sweet potato"]);
const HONEY: OtherAllergen = of(&["honey"], &["honeydew"]);
const AVOCADO: OtherAllergen = of(&["avocado", "guacamole"], &[]);
const TOMATO: OtherAllergen = of(
    &[
        "tomato", "catsup", "ketchup", "marinara", "passata", "salsa",
    ],
    &[],
);
const ANCHOVY: OtherAllergen = of(&["anchov", "worcestershire"], &[]);
const BUCKWHEAT: OtherAllergen = of(&["buckwheat", "soba", "kasha"], &[]);
const COCOA: OtherAllergen = of(&["cocoa", "cacao", "chocolate"], &["cocoa butter"]);
const CHICKPEAS: OtherAllergen = of(
    &[
        "chickpea",
        "garbanzo",
        "hummus",
        "falafel",
        "besan",
        "gram flour",
    ],
    &[],
);
const BROAD_BEANS: OtherAllergen = of(&["broadbean", "broad bean", "fava"], &[]);
const GELATIN: OtherAllergen = of(&["gelatin", "gummy", "marshmallow"], &[]);
/// What households call by one name, and the table food by food.
const STONE_FRUIT: OtherAllergen = of(
    &[
        "peach",
        "apricot",
        "plum",
        "cherry",
        "cherries",
        "nectarine",
        "prune",
        "plumcot",
    ],
    &["tomato"],
);
const BERRIES: OtherAllergen = of(
    &[
        "strawberr",
        "raspberr",
        "blueberr",
        "blackberr",
        "cranberr",
        "gooseberr",
        "boysenberr",
        "mulberr",
        "elderberr",
        "currants",
    ],
    &[],
);
const PULSES: OtherAllergen = of(
    &[
        "bean",
        "beans",
        "lentil",
        "chickpea",
        "garbanzo",
        "hummus",
        "falafel",
        "peas",
        "pea soup",
        "cowpea",
        "mung",
        "lupin",
        "soy",
        "tofu",
        "edamame",
        "peanut",
        "mungo",
        "broadbean",
    ],
    &["jelly beans", "coffee", "vanilla bean"],
);
const RED_MEAT: OtherAllergen = of(
    &[
        "beef",
        "veal",
        "lamb",
        "mutton",
        "pork",
        "ham,",
        "bacon",
        "venison",
        "deer",
        "bison",
        "horse",
        "goat, raw",
        "goat, cooked",
    ],
    &["lamb's", "lambsquarters"],
);
const NIGHTSHADES: OtherAllergen = of(
    &[
        "tomato", "catsup", "ketchup", "salsa", "eggplant", "potato", "peppers", "paprika",
        "chili", "pimento", "goji",
    ],
    &["sweet potato", "peppers, black"],
);
/// Its name ends otherwise in the food table than households write it.
const LUPIN: OtherAllergen = OtherAllergen {
    has: &["lupin"],
    lacks: &[],
};

/// What households write for allergens beyond the major ones, in the singular.
const OTHER_WORDS: &[(&str, &OtherAllergen)] = &[
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
    ("banana", &BANANA),
    ("pear", &PEAR),
    ("potato", &POTATO),
    ("honey", &HONEY),
    ("avocado", &AVOCADO),
    ("avocado pear", &AVOCADO),
    ("tomato", &TOMATO),
    ("anchovy", &ANCHOVY),
    ("anchovie", &ANCHOVY),
    ("buckwheat", &BUCKWHEAT),
    ("soba", &BUCKWHEAT),
    ("cocoa", &COCOA),
    ("cacao", &COCOA),
    ("chocolate", &COCOA),
    ("chickpea", &CHICKPEAS),
    ("chick pea", &CHICKPEAS),
    ("garbanzo", &CHICKPEAS),
    ("hummus", &CHICKPEAS),
    ("broad bean", &BROAD_BEANS),
    ("broadbean", &BROAD_BEANS),
    ("fava", &BROAD_BEANS),
    ("fava bean", &BROAD_BEANS),
    ("gelatine", &GELATIN),
    ("gelatin", &GELATIN),
    ("stone fruit", &STONE_FRUIT),
    ("berrie", &BERRIES),
    ("pulse", &PULSES),
    ("legume", &PULSES),
    ("red meat", &RED_MEAT),
    ("nightshade", &NIGHTSHADES),
    ("clam", &MOLLUSCS),
    ("oyster", &MOLLUSCS),
    ("mussel", &MOLLUSCS),
    ("scallop", &MOLLUSCS),
    ("squid", &MOLLUSCS),
    ("calamari", &MOLLUSCS),
    ("octopus", &MOLLUSCS),
    ("snail", &MOLLUSCS),
    ("e220", &SULPHITES),
];

/// Words that say nothing of which food is meant.
const FILLERS: &[&str] = &[
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
    "red",
    "green",
    "yellow",
    "white",
    "black",
    "dried",
    "ripe",
    "frozen",
    "canned",
    "tinned",
    "organic",
    "fpie",
    "oa",
    "syndrome",
    "epipen",
    "pen",
    "carries",
    "carry",
    "carrie",
    "need",
    "ha",
    "etc",
    "no",
    "free",
    "may",
    "contain",
    "trace",
    "and",
    "also",
    "like",
    "such",
    "not",
];
/// Ends of what says that a food is eaten all the same.
const ALLOWED: &[&str] = &[" ok", " okay", " fine", " tolerated", " allowed"];
/// Words for a part of a food or for its form, which say nothing beside its name.
const FORMS: &[&str] = &[
    "seed", "fruit", "paste", "flour", "oil", "butter", "powder", "juice", "kernel", "sauce",
    "nectar", "jam", "jelly", "puree", "purée", "pulp", "skin", "peel", "juice",
];
/// Foods that are called after another one.
const OF_THEIR_OWN: &[&str] = &[
    "crab apple",
    "egg plant",
    "water chestnut",
    "butter bean",
    "custard apple",
];
/// What milk is made of that is none.
const PLANT_MILKS: &[&str] = &[
    "soy", "soya", "almond", "oat", "rice", "coconut", "hemp", "cashew",
];

/// What an allergy on record stands for; empty where it says nothing.
pub(super) fn meanings(allergy: &str) -> Vec<Meaning> {
    parts(allergy)
        .iter()
        .flat_map(|part| of_part(part))
        .collect()
}

/// The foods that an allergy names, each as words in the singular without those that say nothing. What is said to be no allergy, such as
/// `not peanuts` and `milk ok`, is left out where something else is named.
fn parts(allergy: &str) -> Vec<Vec<String>> {
    let written = allergy.to_lowercase().replace(['’', '‘'], "'");
    let written = [" and ", " or ", " plus "]
        .iter()
        .fold(written, |text, word| text.replace(word, ","));
    let written = [" except ", " but not ", " not "]
        .iter()
        .fold(written, |text, word| text.replace(word, ", not "));
    let parts = written.split([',', ';', '/', '&', '+', '(', ')', '.']);
    let parts: Vec<&str> = parts
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect();
    let is_allowed =
        |part: &&str| part.starts_with("not ") || ALLOWED.iter().any(|word| part.ends_with(word));
    let all_allowed = parts.iter().all(is_allowed);
    let parts = parts
        .into_iter()
        .filter(|part| all_allowed || !is_allowed(part));
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
        let called = words.join(" ");
        let singular_words = |text: &str| text.split(' ').map(singular).collect::<Vec<_>>();
        let kitchen_words = reference::split_rows::<3>(reference::KITCHEN_WORDS);
        let same = kitchen_words.filter(|[word, ..]| singular_words(word).join(" ") == called);
        let table_names = same.map(|[_, name, _]| {
            let words = singular_words(name);
            words
                .iter()
                .map(|word| beginning(word).to_owned())
                .collect()
        });
        found.push(Meaning::Named(table_names.chain([own]).collect()));
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

/// The names, as beginnings of words, by which an allergy looks for foods: for each food that it names and that is no known allergen one or
/// several.
pub fn looked_for(allergy: &str) -> impl Iterator<Item = Vec<Vec<String>>> {
    let named = meanings(allergy).into_iter();
    named.filter_map(|meaning| match meaning {
        Meaning::Named(names) => Some(names),
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
