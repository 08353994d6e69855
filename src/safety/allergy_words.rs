//! What a household means by the words of an allergy on record: `egg`, `cow's milk protein`, `peanut allergy`, `cashews and pistachios`.
//!
//! An allergy that is not understood would stop nothing. So words are read widely: what names an allergen anywhere counts, and a food that
//! is stopped for no reason costs less than one that is let through.

use std::sync::OnceLock;

use data_import::reference::{self, TableRow};

use crate::food::Pattern;
use crate::problem::edit_distance;

/// What an allergy on record stands for: one of these for each food that it names.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Meaning {
    /// A major allergen, by its name in their table.
    Major(&'static str),
    /// What the table of major allergens does not hold.
    Other(&'static Pattern),
    /// A food whose own name has all beginnings of words of one of these names.
    Named(Vec<Vec<String>>),
}

/// A row of the table: what households write, and the allergen that it stands for.
#[derive(Debug)]
struct AllergyWords {
    words: Vec<String>,
    /// The name of a major allergen; empty where `foods` says which foods hold it.
    major: String,
    foods: Pattern,
}

impl AllergyWords {
    fn meaning(&'static self) -> Meaning {
        match self.major.as_str() {
            "" => Meaning::Other(&self.foods),
            major => Meaning::Major(major),
        }
    }
}

/// The built-in table.
fn table() -> &'static [AllergyWords] {
    static TABLE: OnceLock<Vec<AllergyWords>> = OnceLock::new();
    let row = |row: TableRow<'_>| AllergyWords {
        words: row.alternatives("words").map(String::from).collect(),
        major: row.cell("allergen").into(),
        foods: Pattern::of_row(row),
    };
    // The table is part of the program; a test reads it, so it cannot be broken here.
    TABLE.get_or_init(|| {
        reference::read_rows("allergy-words.csv", reference::ALLERGY_WORDS, row).unwrap_or_default()
    })
}

/// What a kitchen calls a food, in the singular, and the beginnings of the words by which the food table calls it.
fn kitchen_names() -> &'static [(String, Vec<String>)] {
    static NAMES: OnceLock<Vec<(String, Vec<String>)>> = OnceLock::new();
    NAMES.get_or_init(|| {
        let words = |text: &str| text.split(' ').map(singular).collect::<Vec<_>>();
        let rows = reference::split_rows::<3>(reference::KITCHEN_WORDS);
        let names = rows.map(|[kitchen, table, _]| {
            let beginnings = words(table);
            let beginnings = beginnings.iter().map(|word| beginning(word).to_owned());
            (words(kitchen).join(" "), beginnings.collect())
        });
        names.collect()
    })
}

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
    "react",
    "yes",
    "day",
    "ok",
    "okay",
    "fine",
    "tolerated",
    "allowed",
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
    let [named, allowed] = parts(allergy).map(|parts| {
        let of_parts = parts.iter().flat_map(|part| of_part(part));
        of_parts.collect::<Vec<_>>()
    });
    // Nuts but not peanuts are tree nuts; of dairy that is all allowed something must be meant all the same.
    let left = |one: &&Meaning| !allowed.contains(one);
    let rest: Vec<Meaning> = named.iter().filter(left).cloned().collect();
    match (rest.is_empty(), named.is_empty()) {
        (false, _) => rest,
        (true, false) => named,
        (true, true) => allowed,
    }
}

/// The foods that an allergy names, each as words in the singular without those that say nothing; and those that it says are eaten all the
/// same, such as `not peanuts` and `milk ok`.
fn parts(allergy: &str) -> [Vec<Vec<String>>; 2] {
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
    let (allowed, named): (Vec<&str>, Vec<&str>) = parts.into_iter().partition(is_allowed);
    let words = |part: &str| {
        let words = part.split(|c: char| !c.is_alphanumeric() && c != '\'');
        let words = words.map(singular).filter(|word| !word.is_empty());
        words
            .filter(|word| !FILLERS.contains(&word.as_str()))
            .collect::<Vec<_>>()
    };
    [named, allowed].map(|parts| {
        let parts = parts.into_iter().map(words);
        parts.filter(|words| !words.is_empty()).collect()
    })
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
        let kitchen = kitchen_names().iter().filter(|(name, _)| *name == called);
        let table_names = kitchen.map(|(_, words)| words.clone());
        found.push(Meaning::Named(table_names.chain([own]).collect()));
    }
    found
}

/// The allergens of a name, in the singular.
fn named(name: &str) -> Vec<Meaning> {
    let rows = table().iter();
    let same = rows.filter(|row| row.words.iter().any(|word| word == name));
    same.map(AllergyWords::meaning).collect()
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
    let [named, _] = parts(allergy);
    let unnamed = named.into_iter().filter(|part| {
        let meanings = of_part(part);
        meanings.iter().all(|one| matches!(one, Meaning::Named(_)))
    });
    let words = unnamed.flatten().collect::<Vec<_>>();
    let mut long = words.iter().filter(|word| word.chars().count() >= 4);
    let slip = |word: &String| {
        let majors = table().iter().filter(|row| !row.major.is_empty());
        let mut known = majors.flat_map(|row| row.words.iter().chain([&row.major]));
        known.find(|name| edit_distance(word, name) == 1)
    };
    long.find_map(slip).map(String::as_str)
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
    fn the_table_reads_and_its_words_are_in_the_singular() {
        assert!(table().len() > 20);
        for word in table().iter().flat_map(|row| &row.words) {
            let words: Vec<String> = word.split(' ').map(singular).collect();
            assert_eq!(words.join(" "), *word);
            assert!(!FILLERS.contains(&word.as_str()), "{word}");
        }
    }

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
