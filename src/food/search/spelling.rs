//! The vocabulary of all descriptions, and the words a mistyped one may stand for.

use std::collections::HashMap;

/// All words known, numbered, with how often each occurs.
#[derive(Debug, Default)]
pub(super) struct Vocabulary {
    numbers: HashMap<String, u32>,
    words: Vec<String>,
    /// Word numbers in alphabetical order of the words.
    alphabetical: Vec<u32>,
    /// Word numbers by each run of three letters, the ends marked by a blank.
    trigrams: HashMap<[char; 3], Vec<u32>>,
}

/// A word that may be meant, and how surely: 1 is certain.
pub(super) type Guess = (u32, f32);

/// At most this many guesses are kept for one word.
const MOST_GUESSES: usize = 24;

impl Vocabulary {
    /// The number of a word, which becomes known if it was not.
    pub(super) fn intern(&mut self, word: String) -> u32 {
        if let Some(&number) = self.numbers.get(&word) {
            return number;
        }
        let number = u32::try_from(self.words.len()).unwrap_or(u32::MAX);
        self.words.push(word.clone());
        self.numbers.insert(word, number);
        number
    }

    /// Sorts the words for prefix search and lists their trigrams; call once all are known.
    pub(super) fn finish(&mut self) {
        let mut alphabetical: Vec<u32> = (0..).take(self.words.len()).collect();
        alphabetical.sort_by(|&a, &b| self.word(a).cmp(self.word(b)));
        self.alphabetical = alphabetical;
        for (number, word) in (0..).zip(&self.words) {
            for trigram in trigrams(word) {
                let words = self.trigrams.entry(trigram).or_default();
                if words.last() != Some(&number) {
                    words.push(number);
                }
            }
        }
    }

    pub(super) fn len(&self) -> usize {
        self.words.len()
    }

    pub(super) fn word(&self, number: u32) -> &str {
        self.words.get(number as usize).map_or("", String::as_str)
    }

    pub(super) fn number(&self, word: &str) -> Option<u32> {
        self.numbers.get(word).copied()
    }

    /// Longer words that begin with this one, the shortest first.
    pub(super) fn completions(&self, start: &str) -> Vec<Guess> {
        let from = self
            .alphabetical
            .partition_point(|&number| self.word(number) < start);
        let mut found: Vec<(usize, u32)> = self.alphabetical[from..]
            .iter()
            .take_while(|&&number| self.word(number).starts_with(start))
            .map(|&number| (self.word(number).len() - start.len(), number))
            .collect();
        found.sort_unstable();
        found.truncate(MOST_GUESSES);
        let sureness = |missing: usize| (0.9 - 0.04 * missing as f32).max(0.5);
        found
            .into_iter()
            .map(|(missing, number)| (number, sureness(missing)))
            .collect()
    }

    /// Words a small slip away: one edit in a word of four to seven letters, two in longer ones.
    pub(super) fn corrections(&self, typed: &str) -> Vec<Guess> {
        let letters: Vec<char> = typed.chars().collect();
        let most = match letters.len() {
            0..=3 => return Vec::new(),
            4..=7 => 1,
            _ => 2,
        };
        let mut shared = vec![0_u8; self.words.len()];
        let own = trigrams(typed);
        for trigram in &own {
            for &number in self.trigrams.get(trigram).into_iter().flatten() {
                let count = &mut shared[number as usize];
                *count = count.saturating_add(1);
            }
        }
        // One edit spoils at most four of the runs of three (an exchange of neighbours).
        let enough = own.len().saturating_sub(4 * most).max(1);
        let mut found: Vec<(usize, u32)> = (0..)
            .zip(&shared)
            .filter(|&(_, &count)| usize::from(count) >= enough)
            .filter_map(|(number, _)| {
                let word: Vec<char> = self.word(number).chars().collect();
                distance(&letters, &word, most).map(|edits| (edits, number))
            })
            .collect();
        found.sort_unstable();
        found.truncate(MOST_GUESSES);
        let same_start = |number: u32| self.word(number).chars().next() == letters.first().copied();
        let sureness = |edits: usize, number| {
            let start = if same_start(number) { 0.0 } else { 0.2 };
            0.95 - 0.2 * edits as f32 - start
        };
        found
            .into_iter()
            .map(|(edits, number)| (number, sureness(edits, number)))
            .collect()
    }
}

/// The runs of three letters of a word, with a blank before and after it.
fn trigrams(word: &str) -> Vec<[char; 3]> {
    let mut letters = vec![' ', ' '];
    letters.extend(word.chars());
    letters.push(' ');
    letters
        .windows(3)
        .map(|run| [run[0], run[1], run[2]])
        .collect()
}

/// Edits (insert, delete, replace, exchange neighbours) from one word to another, if at most `most`.
///
/// The optimal string alignment distance: no letter is edited twice.
fn distance(a: &[char], b: &[char], most: usize) -> Option<usize> {
    if a.len().abs_diff(b.len()) > most {
        return None;
    }
    let mut before: Vec<usize> = vec![0; b.len() + 1];
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let replaced = last[j - 1] + usize::from(a[i - 1] != b[j - 1]);
            row[j] = replaced.min(last[j] + 1).min(row[j - 1] + 1);
            let exchanged = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if exchanged {
                row[j] = row[j].min(before[j - 2] + 1);
            }
        }
        if row.iter().all(|&edits| edits > most) {
            return None;
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().filter(|&edits| edits <= most)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edits(a: &str, b: &str) -> Option<usize> {
        let letters = |word: &str| word.chars().collect::<Vec<_>>();
        distance(&letters(a), &letters(b), 2)
    }

    fn vocabulary(words: &[&str]) -> Vocabulary {
        let mut vocabulary = Vocabulary::default();
        for word in words {
            vocabulary.intern((*word).to_owned());
        }
        vocabulary.finish();
        vocabulary
    }

    #[test]
    fn counts_edits() {
        assert_eq!(edits("lentil", "lentil"), Some(0));
        assert_eq!(edits("lentel", "lentil"), Some(1));
        assert_eq!(edits("brocoli", "broccoli"), Some(1));
        assert_eq!(edits("quiona", "quinoa"), Some(1)); // neighbours exchanged
        assert_eq!(edits("cauliflour", "cauliflower"), Some(2));
        assert_eq!(edits("carrot", "parsnip"), None);
        assert_eq!(edits("", "ab"), Some(2));
    }

    #[test]
    fn corrects_small_slips_only() {
        let known = vocabulary(&["broccoli", "lentil", "quinoa", "rice", "carrot"]);
        let best = |typed: &str| {
            known
                .corrections(typed)
                .first()
                .map(|&(n, _)| known.word(n))
        };
        assert_eq!(best("brocoli"), Some("broccoli"));
        assert_eq!(best("brocolli"), Some("broccoli"));
        assert_eq!(best("lentel"), Some("lentil"));
        assert_eq!(best("quiona"), Some("quinoa"));
        assert_eq!(best("kerrut"), None);
        assert_eq!(best("ric"), None); // too short to guess at
        assert_eq!(best("été"), None);
    }

    #[test]
    fn completes_from_the_start() {
        let known = vocabulary(&["broccoli", "broth", "brown", "rice"]);
        let found: Vec<_> = known
            .completions("bro")
            .iter()
            .map(|&(n, _)| known.word(n))
            .collect();
        assert_eq!(found, ["broth", "brown", "broccoli"]);
        assert!(known.completions("x").is_empty());
    }
}
