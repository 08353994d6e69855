//! Phrases that mean one thing.

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
    (&["separable", "fat"], "separablefat"),
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

/// The words that phrases begin with.
pub(super) fn openings() -> impl Iterator<Item = &'static str> {
    PHRASES.iter().map(|(phrase, _)| phrase[0])
}

/// The phrase the words begin with, if any: its number of words, and its one word.
pub(super) fn at_start_of(words: &[&str]) -> Option<(usize, &'static str)> {
    let first = words.first()?;
    let from = PHRASES.partition_point(|(phrase, _)| phrase[0] < *first);
    let mut near = PHRASES[from..]
        .iter()
        .take_while(|(phrase, _)| phrase[0] == *first);
    let (phrase, meaning) = near.find(|(phrase, _)| words.starts_with(phrase))?;
    Some((phrase.len(), meaning))
}

/// Replaces every phrase that means one thing by its one word.
pub(super) fn join<'a>(words: &[&'a str]) -> Vec<&'a str> {
    let mut joined = Vec::with_capacity(words.len());
    let mut rest = words;
    while let Some(&first) = rest.first() {
        let (len, word) = at_start_of(rest).unwrap_or((1, first));
        joined.push(word);
        rest = &rest[len..];
    }
    joined
}

/// The stems of a text's words, phrases read as one word.
pub(super) fn stems(text: &str) -> Vec<String> {
    join(&words::split(&words::fold(text)))
        .into_iter()
        .map(stem)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn phrases_become_one_word() {
        let joined = |text: &str| join(&words::split(&words::fold(text))).join(" ");
        assert_eq!(
            joined("cooked, boiled, without salt"),
            "cooked boiled unsalted"
        );
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
}
