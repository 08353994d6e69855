//! A description taken apart: the text between commas and in brackets, and what its words are.

use std::borrow::Cow;
use std::sync::Arc;

use super::hash::FastMap;
use super::phrases;
use super::vocabulary::Vocabulary;
use super::weights::{Weight, Weights};
use super::words;

/// The text between two commas, read.
#[derive(Debug)]
pub(super) struct Segment {
    pub(super) words: Vec<SegmentWord>,
    /// The part holds a word in capitals, as the dataset writes brands.
    pub(super) brand: bool,
}

/// What is known of a word met before.
#[derive(Debug, Clone, Copy)]
pub(super) struct SegmentWord {
    pub(super) term: u32,
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

/// So many texts are kept.
const MOST_READ: usize = 32_768;

/// Reads text, and learns its words.
#[derive(Debug, Default)]
pub(super) struct SegmentLexicon {
    vocabulary: Vocabulary,
    /// Words met before, as they are written, and what is known of each.
    met: Vocabulary,
    known: Vec<SegmentWord>,
    /// Texts read before: many foods are "cooked, boiled, drained, without salt".
    read: FastMap<String, Arc<Segment>>,
    /// The text in hand, folded; kept to spare its allocation.
    folded: String,
}

impl SegmentLexicon {
    /// The words learnt.
    pub(super) fn vocabulary(&self) -> &Vocabulary {
        &self.vocabulary
    }

    /// Learns a stem.
    pub(super) fn intern(&mut self, stem: &str) -> u32 {
        self.vocabulary.intern(stem).0
    }

    /// The words between two commas.
    pub(super) fn segment(&mut self, text: &str) -> Arc<Segment> {
        if let Some(segment) = self.read.get(text) {
            return Arc::clone(segment);
        }
        let met = self.met.len();
        let segment = Arc::new(self.read_segment(text));
        // A text with a word of its own hardly comes again.
        if self.met.len() == met {
            if self.read.len() >= MOST_READ {
                self.read.clear();
            }
            self.read.insert(text.to_owned(), Arc::clone(&segment));
        }
        segment
    }

    fn read_segment(&mut self, text: &str) -> Segment {
        let mut folded = std::mem::take(&mut self.folded);
        folded.clear();
        words::fold_into(text, &mut folded);
        let mut words = Vec::with_capacity(8);
        words.extend(folded.split_ascii_whitespace().map(|word| self.word(word)));
        if words.iter().any(|word| word.opens_phrase) {
            self.join(&words::split(&folded), &mut words);
        }
        self.folded = folded;
        Segment {
            words,
            brand: is_brand(text),
        }
    }

    /// Puts phrases in the place of their words, as [`phrases::join`] does.
    fn join(&mut self, texts: &[&str], words: &mut Vec<SegmentWord>) {
        let (mut from, mut to) = (0, 0);
        while from < words.len() {
            let opens = words[from].opens_phrase;
            let phrase = opens
                .then(|| phrases::at_start_of(&texts[from..]))
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
        let (number, new) = self.met.intern(word);
        if !new && let Some(&known) = self.known.get(number as usize) {
            return known;
        }
        let stem = words::stem(word);
        let role = match word {
            "or" => Connective::Or,
            "with" => Connective::With,
            "includes" | "such" => Connective::Includes,
            "in" => Connective::In,
            "dry" => Connective::Dry,
            _ => Connective::Plain,
        };
        let known = SegmentWord {
            weight: Weights::get().of(word, &stem),
            term: self.vocabulary.intern(&stem).0,
            role,
            opens_phrase: phrases::open_with(word),
        };
        self.known.push(known);
        known
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
fn is_brand(text: &str) -> bool {
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
        let mut lexicon = SegmentLexicon::default();
        let segment = lexicon.segment("raw, without salt added");
        let words: Vec<&str> = segment
            .words
            .iter()
            .map(|word| lexicon.vocabulary().word(word.term))
            .collect();
        assert_eq!(words, ["raw", "unsalted"]);
    }
}
