//! A description taken apart: the text between commas and in brackets, and what its words are.

use std::borrow::Cow;

use super::phrases;
use super::term::Term;
use super::weights::{Weight, Weights};
use super::words;

/// A word with its weight in the ranking and its bearing on the words around it.
#[derive(Debug, Clone, Copy)]
pub(super) struct SegmentWord {
    pub(super) term: Term,
    pub(super) weight: Weight,
    pub(super) role: Connective,
    opens_phrase: bool,
}

/// A word that bears on the words around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Connective {
    /// Either side alone is the food: "red or green", "cos or romaine".
    Or,
    /// What follows is another food.
    With,
    /// In brackets: what follows belongs to the row too.
    Includes,
    /// What follows is what the food lies in.
    In,
    /// The raw state of some foods.
    Dry,
    /// None of these.
    Plain,
}

/// The number of words that are kept with what is known of them: few enough to stay in the
/// processor's cache.
const KEPT: usize = 2048;

/// Reads text into words.
#[derive(Debug)]
pub(super) struct WordReader {
    /// Words read lately, each at the place that its digest gives.
    kept: Vec<Option<(Term, SegmentWord)>>,
    /// The text in hand, folded; kept to spare its allocation.
    folded: String,
    /// The stems read since [`WordReader::forget_stems`], one after another, and where each ends.
    stems: String,
    ends: Vec<(Term, usize)>,
    /// The words of a food and where its segments end; kept to spare their allocation.
    lists: (Vec<SegmentWord>, Vec<usize>),
}

impl Default for WordReader {
    fn default() -> Self {
        Self {
            kept: vec![None; KEPT],
            folded: String::new(),
            stems: String::new(),
            ends: Vec::new(),
            lists: Default::default(),
        }
    }
}

impl WordReader {
    /// Two lists to fill, whose room [`WordReader::keep`] takes back: asking the system for it
    /// takes longer than the names of most foods.
    pub(super) fn lists(&mut self) -> (Vec<SegmentWord>, Vec<usize>) {
        let (mut words, mut ends) = std::mem::take(&mut self.lists);
        words.clear();
        ends.clear();
        (words, ends)
    }

    /// Takes lists back.
    pub(super) fn keep(&mut self, lists: (Vec<SegmentWord>, Vec<usize>)) {
        self.lists = lists;
    }

    /// Appends the words of the text between two commas, and returns them.
    pub(super) fn segment<'w>(
        &mut self,
        text: &str,
        words: &'w mut Vec<SegmentWord>,
    ) -> &'w [SegmentWord] {
        let mut folded = std::mem::take(&mut self.folded);
        folded.clear();
        words::fold_into(text, &mut folded);
        let first = words.len();
        words.extend(folded.split_ascii_whitespace().map(|word| self.word(word)));
        if words[first..].iter().any(|word| word.opens_phrase) {
            self.join(&words::split(&folded), first, words);
        }
        self.folded = folded;
        &words[first..]
    }

    /// Forgets the stems of the food before.
    pub(super) fn forget_stems(&mut self) {
        self.stems.clear();
        self.ends.clear();
    }

    /// The stem of a term of the food in hand.
    pub(super) fn stem(&self, term: Term) -> Option<&str> {
        let at = self.ends.iter().position(|(other, _)| *other == term)?;
        let before = at.checked_sub(1).and_then(|before| self.ends.get(before));
        let (start, end) = (before.map_or(0, |(_, end)| *end), self.ends.get(at)?.1);
        self.stems.get(start..end)
    }

    /// Puts phrases in the place of their words, from the first one of `texts` on, as [`phrases::join`] does.
    fn join(&mut self, texts: &[&str], first: usize, words: &mut Vec<SegmentWord>) {
        let (mut from, mut to) = (first, first);
        while from < words.len() {
            let opens = words[from].opens_phrase;
            let phrase = opens
                .then(|| phrases::at_start_of(&texts[from - first..]))
                .flatten();
            let (len, known) = match phrase {
                Some((len, meaning)) => (len, self.word(meaning)),
                None => (1, words[from]),
            };
            words[to] = known;
            from += len;
            to += 1;
        }
        words.truncate(to);
    }

    fn word(&mut self, word: &str) -> SegmentWord {
        let stem = words::singular(word);
        let digest = Term::of(word);
        #[expect(clippy::cast_possible_truncation, reason = "any bits of it will do")]
        let place = digest.0 as usize % KEPT;
        let known = match self.kept[place] {
            Some((kept, known)) if kept == digest => known,
            _ => {
                let known = SegmentWord::of(word, digest, &stem);
                self.kept[place] = Some((digest, known));
                known
            }
        };
        self.stems.push_str(&stem);
        self.ends.push((known.term, self.stems.len()));
        known
    }
}

impl SegmentWord {
    fn of(word: &str, as_written: Term, stem: &str) -> Self {
        let term = Term::of(stem);
        let role = match word {
            "or" => Connective::Or,
            "with" => Connective::With,
            "includes" | "such" => Connective::Includes,
            "in" => Connective::In,
            "dry" => Connective::Dry,
            _ => Connective::Plain,
        };
        Self {
            weight: Weights::get().of(as_written, term, stem),
            term,
            role,
            opens_phrase: Weights::get().open_phrase(as_written),
        }
    }
}

/// The text between commas, and the text in brackets.
pub(super) fn segments(name: &str) -> (Vec<Cow<'_, str>>, Vec<String>) {
    if !name.contains('(') {
        return (name.split(',').map(Cow::Borrowed).collect(), Vec::new());
    }
    let (mut segments, mut asides) = (vec![String::new()], Vec::new());
    let mut depth = 0_usize;
    for c in name.chars() {
        match c {
            '(' => {
                depth += 1;
                asides.push(String::new());
            }
            ')' => depth = depth.saturating_sub(1),
            ',' if depth == 0 => segments.push(String::new()),
            _ => {
                let text = if depth > 0 {
                    asides.last_mut()
                } else {
                    segments.last_mut()
                };
                if let Some(text) = text {
                    text.push(c);
                }
            }
        }
    }
    (segments.into_iter().map(Cow::Owned).collect(), asides)
}

/// A word of four or more capitals, which is how the dataset writes a brand.
pub(super) fn is_brand(text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric()).any(|word| {
        word.len() >= 4 && word != "USDA" && word.chars().all(|c| c.is_ascii_uppercase())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commas_part_segments_and_brackets_part_asides() {
        let (parts, asides) = segments("Beans (fava, broad), mature, raw");
        let parts: Vec<&str> = parts.iter().map(|part| part.trim()).collect();
        assert_eq!(parts, ["Beans", "mature", "raw"]);
        assert_eq!(asides, ["fava, broad"]);
        assert_eq!(segments("").0, [""]);
        assert_eq!(segments("(a").1, ["a"]);
        assert_eq!(segments("a)b").0, ["a)b"]);
    }

    #[test]
    fn capitals_are_a_brand() {
        assert!(is_brand("MORI-NU"));
        assert!(!is_brand("USDA Commodity"));
        assert!(!is_brand("BBQ"));
        assert!(!is_brand("Tofu"));
    }

    #[test]
    fn phrases_are_one_word_here_too() {
        let mut reader = WordReader::default();
        let mut words = Vec::new();
        let words: Vec<&str> = reader
            .segment("raw, without salt added", &mut words)
            .iter()
            .filter_map(|word| reader.stem(word.term))
            .collect();
        assert_eq!(words, ["raw", "unsalted"]);
    }
}
