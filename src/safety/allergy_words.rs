//! What a household means by the words of an allergy on record: `egg`, `cow's milk protein`, `peanut allergy`, `cashews and pistachios`.
//!
//! An allergy that is not understood would stop nothing. So words are read widely: what names an allergen anywhere counts, and a food that
//! is stopped for no reason costs less than one that is let through.

use std::sync::OnceLock;

use data_import::reference::{self, TableRow};

use super::allergy_phrases::{FILLERS, FORMS, KINDS, OF_THEIR_OWN, PLANT_BUTTERS, PLANT_MILKS};
use super::allergy_text::{beginning, is_allowed, separate, singular, written_parts};
use crate::food::{Pattern, begins_a_word, has_whole_word};
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
    let row = |row: TableRow<'_>| {
        Ok(AllergyWords {
            words: row.alternatives("words").map(String::from).collect(),
            major: row.cell("allergen").into(),
            foods: Pattern::of_row(row)?,
        })
    };
    // The table is part of the program; a test reads it, so it cannot be broken here.
    TABLE.get_or_init(|| {
        reference::try_read_rows("allergy-words.csv", reference::ALLERGY_WORDS, row)
            .unwrap_or_default()
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
    written_parts(allergy).map(|parts| {
        let parts = parts.iter().map(|part| naming_words(part));
        parts.filter(|words| !words.is_empty()).collect()
    })
}

/// Whether a name, in lower case, has the beginning of a word by which an allergy looks for foods. A short word begins too many others, the
/// "ham" of hamburgers, so that it must be a word of its own.
pub fn is_in_name(word: &str, name: &str) -> bool {
    match word.chars().count() {
        0..4 => has_whole_word(name, word),
        _ => begins_a_word(name, word),
    }
}

/// The words of a part in the singular that say which food is meant.
fn naming_words(part: &str) -> Vec<String> {
    let words = part.split(|c: char| !c.is_alphanumeric() && c != '\'');
    let words: Vec<String> = words
        .map(singular)
        .filter(|word| word.chars().count() > 1)
        .collect();
    let says = |at: usize, word: &str| {
        let with = |other: Option<&String>, before: bool| {
            other.is_some_and(|other| {
                let two = if before {
                    format!("{other} {word}")
                } else {
                    format!("{word} {other}")
                };
                !named(&two).is_empty()
            })
        };
        // The red of red meat says which.
        let before = at.checked_sub(1).and_then(|before| words.get(before));
        !FILLERS.contains(&word) || with(words.get(at + 1), false) || with(before, true)
    };
    let words = words.iter().enumerate();
    let said = words.filter(|(at, word)| says(*at, word));
    said.map(|(_, word)| word.clone()).collect()
}

fn of_part(words: &[String]) -> Vec<Meaning> {
    let mut words: Vec<&str> = words.iter().map(String::as_str).collect();
    let is_of_plants = match words.as_slice() {
        [.., of, "milk"] => PLANT_MILKS.contains(of),
        [.., of, "butter"] => PLANT_BUTTERS.contains(of),
        _ => false,
    };
    if is_of_plants {
        words.pop();
    }
    let mut found: Vec<Meaning> = Vec::new();
    let mut at = 0;
    while let Some(rest) = words.get(at..).filter(|rest| !rest.is_empty()) {
        let two = rest.get(..2).map(|two| two.join(" ")).unwrap_or_default();
        let of_two = named(&two);
        let is_two = !of_two.is_empty() || OF_THEIR_OWN.contains(&two.as_str());
        let meant = match rest {
            [one, ..] if !is_two && KINDS.contains(one) && words.len() > 1 => Vec::new(),
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
    long.find_map(|word| near_allergen(word))
}

/// The name of a major allergen that a word is one slip of the finger away from. A short word is near to the names of other foods too, so
/// that it must be known to be none.
pub fn near_allergen(word: &str) -> Option<&'static str> {
    let majors = table().iter().filter(|row| !row.major.is_empty());
    let mut known = majors.flat_map(|row| row.words.iter().chain([&row.major]));
    let near = known.find(|name| edit_distance(word, name) == 1);
    near.map(String::as_str)
}

/// One of the foods that an allergy names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AllergyPart {
    /// The major allergens that it stands for.
    pub allergens: Vec<&'static str>,
    /// The codes of the groups of foods that it stands for.
    pub groups: Vec<&'static str>,
    /// Beginnings of words by which its foods are called, one or several for each name; none where it is a major allergen.
    pub words: Vec<Vec<String>>,
    /// Whether it is known, rather than looked for by its own words.
    pub is_known: bool,
}

/// The foods that an allergy names. What stands in brackets explains what stands before them, so one of both is enough.
pub fn allergy_parts(allergy: &str) -> impl Iterator<Item = AllergyPart> {
    let mut foods = separate(allergy);
    if !foods.iter().all(|food| is_allowed(food.trim())) {
        foods.retain(|food| !is_allowed(food.trim()));
    }
    let parts = foods.into_iter().map(|food| {
        let mut part = AllergyPart {
            allergens: Vec::new(),
            groups: Vec::new(),
            words: Vec::new(),
            is_known: false,
        };
        let mut own = Vec::new();
        for meaning in meanings(&food) {
            match meaning {
                Meaning::Major(allergen) => part.allergens.push(allergen),
                Meaning::Other(foods) => {
                    part.is_known = true;
                    part.groups.extend(foods.groups());
                    let words = foods.beginnings().map(|word| vec![word.to_owned()]);
                    part.words.extend(words);
                }
                Meaning::Named(names) => own.extend(names),
            }
        }
        part.is_known |= !part.allergens.is_empty();
        if !part.is_known {
            part.words = own;
        }
        part
    });
    parts.filter(|part| part.is_known || !part.words.is_empty())
}

/// The foods that an allergy says are eaten all the same, each by beginnings of words.
pub fn said_to_be_eaten(allergy: &str) -> Vec<Vec<String>> {
    let [_, allowed] = parts(allergy);
    let beginnings = |words: Vec<String>| {
        let words = words.iter().map(|word| beginning(word).to_owned());
        words.collect()
    };
    allowed.into_iter().map(beginnings).collect()
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
        // A parent is told that the whole group is stopped.
        let of_groups = |row: &&AllergyWords| row.foods.groups().next().is_some();
        for row in table().iter().filter(of_groups) {
            assert!(row.foods.beginnings().next().is_none(), "{row:?}");
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
