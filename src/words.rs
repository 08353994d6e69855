//! What every sentence is put together from: counts, lists, and how a word or a name begins.

use std::fmt::Display;

/// `1 cube`, `2 cubes`, `3 batches`.
pub fn counted<N: Copy + Display + PartialEq + From<u8>>(count: N, word: &str) -> String {
    let ending = match word {
        _ if count == N::from(1) => "",
        word if word.ends_with("ch") || word.ends_with("sh") => "es",
        _ => "s",
    };
    format!("{count} {word}{ending}")
}

/// Everything in a row, with the same between each two.
pub fn joined(items: impl IntoIterator<Item: AsRef<str>>, between: &str) -> String {
    let mut row = String::new();
    for item in items {
        if !row.is_empty() {
            row += between;
        }
        row += item.as_ref();
    }
    row
}

/// Values under their keys, each key once, in the order in which they come.
pub fn grouped<K: PartialEq, V>(items: impl IntoIterator<Item = (K, V)>) -> Vec<(K, Vec<V>)> {
    let mut groups: Vec<(K, Vec<V>)> = Vec::new();
    for (key, value) in items {
        match groups.iter_mut().find(|(known, _)| *known == key) {
            Some((_, values)) => values.push(value),
            None => groups.push((key, vec![value])),
        }
    }
    groups
}

/// With a capital, as a sentence begins.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// As it stands inside a sentence; what begins with two capitals is no plain word and stays.
pub fn lower(title: &str) -> String {
    let mut letters = title.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), second) if second.is_none_or(|second| !second.is_uppercase()) => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => title.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_no_plural() {
        let counts = [
            counted(1_u32, "cube"),
            counted(0_usize, "cube"),
            counted(2_u64, "batch"),
            counted(1_usize, "dish"),
        ];
        assert_eq!(counts, ["1 cube", "0 cubes", "2 batches", "1 dish"]);
    }

    #[test]
    fn names_begin_as_their_place_wants() {
        assert_eq!(
            (capital("éclair"), capital("")),
            ("Éclair".into(), String::new())
        );
        assert_eq!(
            (lower("Butternut"), lower("BBQ"), lower("É")),
            ("butternut".into(), "BBQ".into(), "é".into())
        );
        assert_eq!(joined(["a", "b"], "; "), "a; b");
        assert_eq!(
            grouped([("x", 1), ("y", 2), ("x", 3)]),
            [("x", vec![1, 3]), ("y", vec![2])]
        );
    }
}
