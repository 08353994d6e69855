//! Words by number.

use hashbrown::HashTable;

use super::hash::hash;

/// Words, numbered as they come. All of them lie in one text, so that a million cost no allocation each.
#[derive(Debug, Default)]
pub(super) struct Vocabulary {
    text: String,
    /// Where each word ends.
    ends: Vec<usize>,
    numbers: HashTable<u32>,
}

impl Vocabulary {
    /// The number of a word, which becomes known if it was not; and whether it was not.
    pub(super) fn intern(&mut self, word: &str) -> (u32, bool) {
        if let Some(number) = self.number(word) {
            return (number, false);
        }
        // Numbers of an index have 30 bits; a shelf that has more words is refused when it is written.
        let number = u32::try_from(self.ends.len()).unwrap_or(u32::MAX);
        self.text.push_str(word);
        self.ends.push(self.text.len());
        let (text, ends) = (&self.text, &self.ends);
        let hashed = |number: &u32| hash(word_of(text, ends, *number));
        self.numbers.insert_unique(hash(word), number, hashed);
        (number, true)
    }

    /// The number of a word that is known.
    pub(super) fn number(&self, word: &str) -> Option<u32> {
        let is = |number: &u32| self.word(*number) == word;
        self.numbers.find(hash(word), is).copied()
    }

    pub(super) fn len(&self) -> usize {
        self.ends.len()
    }

    pub(super) fn word(&self, number: u32) -> &str {
        word_of(&self.text, &self.ends, number)
    }

    /// The words with this number and higher ones, in their order.
    pub(super) fn since(&self, number: usize) -> impl Iterator<Item = &str> {
        let numbers = (0..).take(self.len()).skip(number);
        numbers.map(|number| self.word(number))
    }
}

/// A word by its number; empty where there is none.
fn word_of<'a>(text: &'a str, ends: &[usize], number: u32) -> &'a str {
    let number = number as usize;
    let start = number.checked_sub(1).and_then(|before| ends.get(before));
    let end = ends.get(number).copied();
    text.get(start.copied().unwrap_or(0)..end.unwrap_or(0))
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_keep_their_numbers() {
        let mut words = Vocabulary::default();
        assert_eq!(words.intern("pea"), (0, true));
        for number in 1..1000 {
            assert_eq!(words.intern(&format!("word{number}")), (number, true));
        }
        assert_eq!(words.intern("pea"), (0, false));
        assert_eq!(
            (words.word(0), words.word(999), words.word(1000)),
            ("pea", "word999", "")
        );
        assert_eq!(
            (words.number("word7"), words.number("bean")),
            (Some(7), None)
        );
        assert_eq!(words.since(998).collect::<Vec<_>>(), ["word998", "word999"]);
    }
}
