//! Splitting the text of an allergy into foods, into what is said of them, and into words.
//! `allergy_words` says what the words mean.

use super::allergy_phrases::{ALLOWED, AND, CONDITIONS, NO_ALLERGY, OVER, STORIES};
use crate::food::begins_a_word;

/// The parts of an allergy in lower case: those that name a food, and those that say that it is
/// eaten nevertheless, such as `not peanuts` and `milk ok`.
pub(super) fn written_parts(allergy: &str) -> [Vec<String>; 2] {
    let written = allergy.to_lowercase().replace(['’', '‘'], "'");
    let written = AND
        .iter()
        .fold(written, |text, word| text.replace(word, ","));
    let written = [
        " except ",
        " apart from ",
        " other than ",
        " but for ",
        " but not ",
        " not ",
    ]
    .iter()
    .fold(written, |text, word| text.replace(word, ", not "));
    let parts = written.split([',', ';', '/', '&', '+', '(', ')', '.']);
    let parts = parts.map(|part| before_story(part).trim());
    // "Nothing except peanut" means peanut.
    let parts = parts.filter(|part| !part.is_empty() && !says_none(part));
    let (allowed, named): (Vec<&str>, Vec<&str>) = parts.partition(|part| is_allowed(part));
    [named, allowed].map(|parts| parts.into_iter().map(str::to_owned).collect())
}

/// Whether a part, in lower case, says that a food is eaten nevertheless: `not peanuts`, `other
/// nuts fine`; but not where it says so under a condition, such as `only baked egg is fine`.
pub(super) fn is_allowed(part: &str) -> bool {
    let says = part.starts_with("not ") || ALLOWED.iter().any(|word| part.ends_with(word));
    let mut words = part.split(|c: char| !c.is_alphanumeric() && c != '\'');
    says && !words.any(|word| CONDITIONS.contains(&word) || word.ends_with("n't"))
}

/// The allergies of a list as it is typed, with commas between them. A part that says that a food
/// is eaten nevertheless stays with the allergy beside it, without which it says nothing; a list
/// that says that there is no allergy is empty.
pub fn listed_allergies(text: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for part in text
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        let denies = |text: &str| is_allowed(&text.to_lowercase().replace('’', "'"));
        match all.last_mut() {
            Some(last) if denies(part) || !last.contains(',') && denies(last) => {
                *last = format!("{last}, {part}");
            }
            _ => all.push(part.to_owned()),
        }
    }
    // A line of dashes says nothing either, but a question mark says something.
    all.retain(|allergy| {
        !says_none(allergy) && allergy.chars().any(|c| c.is_alphanumeric() || c == '?')
    });
    all
}

/// Whether words say that there is no allergy.
fn says_none(words: &str) -> bool {
    let words = words.to_lowercase();
    let words = words.split(|c: char| !c.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    NO_ALLERGY.contains(&words.join(" ").as_str())
}

/// Whether an allergy has no word at all, so that its meaning is unknown.
pub fn has_no_word(allergy: &str) -> bool {
    !allergy.chars().any(char::is_alphanumeric)
}

/// Whether the text of an allergy says that the child has outgrown it.
pub fn may_be_over(allergy: &str) -> bool {
    let allergy = allergy.to_lowercase();
    OVER.iter().any(|word| begins_a_word(&allergy, word))
}

/// The text before the description of a food's effect: `hummus` of `hummus made him swell up`.
fn before_story(part: &str) -> &str {
    let ends = STORIES.iter().filter_map(|word| part.find(word));
    ends.min().and_then(|end| part.get(..end)).unwrap_or(part)
}

/// The foods that an allergy names, each as it is written, with the words in brackets behind it.
pub(super) fn separate(allergy: &str) -> Vec<String> {
    let mut depth = 0_u32;
    let mut outside = String::new();
    for letter in allergy.to_lowercase().chars() {
        match letter {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ => {}
        }
        let joins = depth > 0 && matches!(letter, ',' | ';' | '/' | '&' | '+');
        outside.push(if joins { ' ' } else { letter });
    }
    let outside = AND
        .iter()
        .fold(outside, |text, word| text.replace(word, ","));
    let foods = outside.split([',', ';', '/', '&', '+']);
    foods.map(str::to_owned).collect()
}

/// A word without the ending of its plural or its genitive: `cow` of `cow's` and `cows`; `berrie`
/// of `berries`, see [`beginning`].
pub(super) fn singular(word: &str) -> String {
    let word = word.trim_matches('\'');
    let word = word.strip_suffix("'s").unwrap_or(word);
    let ends = |endings: &[&str]| endings.iter().any(|ending| word.ends_with(ending));
    let ending = match word {
        _ if ends(&["oes", "ches", "shes", "xes", "sses"]) => "es",
        // Kiwis, rotis and zucchinis are several; dermatitis is one.
        _ if ends(&["wis", "tis", "lis", "nis"]) && !ends(&["itis"]) => "s",
        _ if ends(&["ss", "us", "is"]) => "",
        _ => "s",
    };
    let without = word.strip_suffix(ending).filter(|rest| rest.len() > 2);
    without.unwrap_or(word).to_owned()
}

/// The part that a word as it is typed has in common with its plural and its singular, in lower
/// case.
pub fn stem(word: &str) -> String {
    beginning(&singular(&word.to_lowercase())).to_owned()
}

/// The part that a word has in common with its plural: `strawberr` of strawberry and strawberries.
pub(super) fn beginning(word: &str) -> &str {
    let longer = |stem: &&str| stem.len() > 2;
    let endings = ["ie", "y"].into_iter();
    let mut stems = endings.filter_map(|ending| word.strip_suffix(ending).filter(longer));
    stems.next().unwrap_or(word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_is_parted_as_it_is_meant() {
        for none in [
            "none",
            "NKDA",
            "N.K.D.A..",
            "n/a",
            "-",
            "",
            "no known allergies",
            "Nothing so far",
        ] {
            assert!(listed_allergies(none).is_empty(), "{none}");
        }
        for (typed, listed) in [
            ("milk, egg", &["milk", "egg"][..]),
            ("milk, egg, not peanut", &["milk", "egg, not peanut"]),
            (
                "not allergic to egg, only milk",
                &["not allergic to egg, only milk"],
            ),
            (
                "peanut only, other nuts fine",
                &["peanut only, other nuts fine"],
            ),
            (
                "milk, only baked egg is fine",
                &["milk", "only baked egg is fine"],
            ),
            ("milk, soya fine, egg", &["milk, soya fine", "egg"]),
            ("egg, none", &["egg"]),
            ("??", &["??"]),
        ] {
            assert_eq!(listed_allergies(typed), listed, "{typed}");
        }
    }
}
