//! The ways to write cubes: `2 apple`, `2 cubes of apple`, `2 apple cubes`, `apple cubes 2` are the
//! same.

use crate::portion::CubeCount;
use crate::quantity::Unit;
use crate::spoken::is_measure;

/// The parts of a text beside the word for cubes.
#[derive(Debug, PartialEq, Eq)]
struct CubesOf {
    /// The number of cubes, in digits; `None` where it was not typed.
    number: Option<String>,
    /// The name of the recipe.
    name: String,
}

/// Words after which cubes are the way a food is cut: `1 pear in cubes`.
const CUT: [&str; 4] = ["in", "into", "as", "cut"];

/// The most words of a number: `1 1/2`, `half a`.
const MOST_NUMBER_WORDS: usize = 2;

/// The text as it is written without the word for cubes: the number, then the name.
pub(super) fn without_cubes(text: &str) -> String {
    match cubes_of(text) {
        Some(CubesOf { number, name }) => match number {
            Some(number) => format!("{number} {name}"),
            None => name,
        },
        None => without_times(&in_digits(text)),
    }
}

/// A text whose first word is a number, with its digits: `two lentil-mash` is `2 lentil-mash`.
fn in_digits(text: &str) -> String {
    match text.trim_start().split_once(' ') {
        Some((first, rest)) => format!("{} {rest}", digits(first)),
        None => text.to_owned(),
    }
}

/// Whether a text speaks of cubes of something.
pub(super) fn says_cubes(text: &str) -> bool {
    cubes_of(text).is_some()
}

/// Whether a text begins with a unit, and so is not a name.
pub(super) fn weighed(text: &str) -> bool {
    let first = text.split(' ').next().unwrap_or("");
    Unit::named(first).is_some()
}

fn cubes_of(text: &str) -> Option<CubesOf> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let at = words.iter().position(|word| is_cube(word))?;
    // One cube needs no number; how many cubes are meant is not guessed.
    let is_singular = !words[at].to_lowercase().contains('s');
    let or_one = |number: Option<String>| number.or_else(|| is_singular.then(|| "1".to_string()));
    let of = |number: Option<String>, name: &[&str]| CubesOf {
        number,
        name: name.join(" "),
    };
    let (before, after) = (&words[..at], &words[at + 1..]);
    match (before, after) {
        (_, ["of", name @ ..]) => {
            let number = before.iter().filter(|word| !matches!(**word, "a" | "of"));
            let number: Vec<String> = number.map(|word| digits(word)).collect();
            let number = Some(number.join(" ")).filter(|number| !number.is_empty());
            Some(of(or_one(number), name))
        }
        ([], _) => None,
        (_, [_, ..]) => match number(before) {
            Some(number) => Some(of(Some(number), after)),
            None => Some(of(Some(number_after(after)?), before)),
        },
        (_, []) => named_before(before).map(|(number, name)| of(or_one(number), name)),
    }
}

/// The number and the name before a word for cubes that ends the text: `2 apple` of `2 apple
/// cubes`.
fn named_before<'w>(before: &'w [&'w str]) -> Option<(Option<String>, &'w [&'w str])> {
    if number(before).is_some() || before.last().is_some_and(|word| CUT.contains(word)) {
        return None;
    }
    let longest = MOST_NUMBER_WORDS.min(before.len() - 1);
    let numbered = (1..=longest)
        .rev()
        .find_map(|length| Some((number(&before[..length])?, &before[length..])));
    let (number, name) = match numbered {
        Some((number, name)) => (Some(number), name),
        None => (None, before),
    };
    // "1 cup mango cubes" and "30g apple cubes" are amounts of a food that is cut.
    let glued = |word: &str| number.is_none() && word.starts_with(|c: char| c.is_numeric());
    let measured = |word: &&str| is_measure(word) || glued(word);
    let is_name = !name.first().is_some_and(measured);
    is_name.then_some((number, name))
}

/// The number that words are, in digits: `two`, `a`, `1 1/2`, `half a`.
fn number(words: &[&str]) -> Option<String> {
    if matches!(words, ["a" | "an"]) {
        return Some("1".into());
    }
    let words: Vec<String> = words.iter().map(|word| digits(word)).collect();
    let number = words.join(" ");
    number.parse::<CubeCount>().is_ok().then_some(number)
}

/// The number after a name: `2`, `x 2`, `x2`.
fn number_after(words: &[&str]) -> Option<String> {
    let words = words.join(" ");
    let words = words.trim_start_matches(['x', 'X', '×']);
    number(&words.split_whitespace().collect::<Vec<_>>())
}

/// A small number in digits, where it is a word.
fn digits(word: &str) -> String {
    const WORDS: [&str; 10] = [
        "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    ];
    let place = WORDS
        .iter()
        .position(|number| *number == word.to_lowercase());
    place.map_or_else(|| word.to_owned(), |place| (place + 1).to_string())
}

/// `2x beef` and `2 x beef` are two of it.
fn without_times(text: &str) -> String {
    let number = text.trim_start_matches(|c: char| c.is_ascii_digit());
    let name = number.trim_start().strip_prefix(['x', 'X', '×']);
    let parted = |name: &&str| name.starts_with(' ') && number.len() < text.len();
    match name.filter(parted) {
        Some(name) => format!("{}{name}", &text[..text.len() - number.len()]),
        None => text.to_string(),
    }
}

fn is_cube(word: &str) -> bool {
    let word = word.trim_end_matches([',', '.']);
    matches!(word.to_lowercase().as_str(), "cube" | "cubes")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_word_for_cubes_may_stand_before_and_after_the_name() {
        for (typed, read) in [
            ("2 cubes of apple", "2 apple"),
            ("2 cubes apple", "2 apple"),
            ("2 apple cubes", "2 apple"),
            ("two Apple Cubes", "2 Apple"),
            ("apple cubes 2", "2 apple"),
            ("apple cubes, 2", "2 apple"),
            ("apple cubes x2", "2 apple"),
            ("1 1/2 carrot & beef cubes", "1 1/2 carrot & beef"),
            ("half a lentil cube", "half a lentil"),
            ("a cube of apple", "1 apple"),
            ("an apple cube", "1 apple"),
            ("1 06081 cube", "1 06081"),
        ] {
            assert_eq!(without_cubes(typed), read, "{typed}");
            assert!(says_cubes(typed), "{typed}");
        }
        assert_eq!(without_cubes("apple cubes"), "apple");
        assert_eq!(without_cubes("two lentil-mash"), "2 lentil-mash");
        for other in [
            "2 cubes",
            "1 pear in cubes",
            "30 g apple cubes",
            "30g apple cubes",
            "1 cup mango cubes",
            "2 apple",
        ] {
            assert!(!says_cubes(other), "{other}");
        }
    }
}
