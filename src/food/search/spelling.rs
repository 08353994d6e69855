//! The words a mistyped one may stand for.

use super::term::Term;
use crate::spelling::edits_within;

/// A word that may be meant, and how surely: 1 is certain.
pub(super) type Guess = (Term, f32);

/// At most this many guesses are kept for one word.
const MOST_GUESSES: usize = 24;

/// Of longer words that begin with `start`, the shortest, and how surely each is meant.
pub(super) fn completions(start: &str, longer: Vec<String>) -> Vec<(String, f32)> {
    let sureness = |missing: usize| (0.9 - 0.04 * missing as f32).max(0.5);
    let missing = |word: &String| word.len() - start.len();
    let mut longer: Vec<_> = longer
        .into_iter()
        .map(|word| (missing(&word), word))
        .collect();
    longer.sort_unstable();
    longer.truncate(MOST_GUESSES);
    let sure = |(missing, word)| (word, sureness(missing));
    longer.into_iter().map(sure).collect()
}

/// A word with a slip of typing in it.
#[derive(Debug)]
pub(super) struct Slip {
    letters: Vec<char>,
    /// See [`letter_set`].
    set: u64,
    /// Edits at most: one in a word of four to seven letters, two in longer ones.
    most: usize,
}

impl Slip {
    /// `None` for a word too short to guess at.
    pub(super) fn new(typed: &str) -> Option<Self> {
        let letters: Vec<char> = typed.chars().collect();
        let most = match letters.len() {
            0..=3 => return None,
            4..=7 => 1,
            _ => 2,
        };
        let set = letter_set(typed.as_bytes());
        Some(Self { letters, set, most })
    }

    /// Whether a word has about as many letters, and about the same ones: one that has not is more than a slip away.
    pub(super) fn may_be_of(&self, word: &[u8]) -> bool {
        let letters = self.letters.len();
        // The bytes after the first of a letter that takes several.
        let counted = || {
            word.iter()
                .filter(|byte| !(0x80..0xc0).contains(*byte))
                .count()
        };
        word.len() + self.most >= letters
            && (word.len() <= letters + self.most || counted() <= letters + self.most)
            // An edit takes one letter away and puts another there, at most.
            && (self.set ^ letter_set(word)).count_ones() as usize <= 2 * self.most
    }

    /// Those of the words that are a small slip away, the nearest first.
    pub(super) fn corrections(&self, words: Vec<String>) -> Vec<(String, f32)> {
        let mut near: Vec<(usize, String)> = words
            .into_iter()
            .filter_map(|word| {
                let letters: Vec<char> = word.chars().collect();
                edits_within(&self.letters, &letters, self.most).map(|edits| (edits, word))
            })
            .collect();
        near.sort_unstable();
        near.dedup();
        near.truncate(MOST_GUESSES);
        let sureness = |edits: usize, word: &str| {
            let same_start = word.chars().next() == self.letters.first().copied();
            let start = if same_start { 0.0 } else { 0.2 };
            0.95 - 0.2 * edits as f32 - start
        };
        let sure = |(edits, word): (usize, String)| {
            let sureness = sureness(edits, &word);
            (word, sureness)
        };
        near.into_iter().map(sure).collect()
    }
}

/// The plain letters and digits of a word, a bit each.
fn letter_set(word: &[u8]) -> u64 {
    let plain = word.iter().filter(|byte| byte.is_ascii());
    plain.fold(0, |set, byte| set | 1 << (byte & 63))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corrected(typed: &str, known: &[&str]) -> Option<String> {
        let known = known.iter().map(ToString::to_string).collect();
        let found = Slip::new(typed)?.corrections(known);
        found.into_iter().next().map(|(word, _)| word)
    }

    #[test]
    fn what_is_a_small_slip_away_is_never_passed_over() {
        let words = [
            "lentil",
            "lentel",
            "brocoli",
            "broccoli",
            "quiona",
            "quinoa",
            "cauliflour",
            "cauliflower",
            "carrot",
            "parsnip",
            "crême",
            "creme",
            "été",
            "pea",
            "peas",
            "soße",
        ];
        for typed in words {
            let Some(slip) = Slip::new(typed) else {
                continue;
            };
            for word in words {
                let letters: Vec<char> = word.chars().collect();
                let near = edits_within(&slip.letters, &letters, slip.most).is_some();
                assert!(!near || slip.may_be_of(word.as_bytes()), "{typed} {word}");
            }
            assert!(!slip.may_be_of(b"horseradish"));
        }
    }

    #[test]
    fn corrects_small_slips_only() {
        let known = ["broccoli", "lentil", "quinoa", "rice", "carrot"];
        let best = |typed: &str| corrected(typed, &known);
        assert_eq!(best("brocoli").as_deref(), Some("broccoli"));
        assert_eq!(best("brocolli").as_deref(), Some("broccoli"));
        assert_eq!(best("lentel").as_deref(), Some("lentil"));
        assert_eq!(best("quiona").as_deref(), Some("quinoa"));
        assert_eq!(best("kerrut"), None);
        assert_eq!(best("ric"), None); // too short to guess at
        assert_eq!(best("été"), None);
    }

    #[test]
    fn completes_from_the_start() {
        let longer = ["broccoli", "broth", "brown"].map(str::to_owned).to_vec();
        let found = completions("bro", longer);
        let words: Vec<&str> = found.iter().map(|(word, _)| word.as_str()).collect();
        assert_eq!(words, ["broth", "brown", "broccoli"]);
        assert!(found.is_sorted_by(|a, b| a.1 >= b.1));
    }
}
