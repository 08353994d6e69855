//! Sources under a page, each with a number.

/// Sources in the order in which they are first named.
#[derive(Debug, Default)]
pub(super) struct Sources(Vec<String>);

impl Sources {
    /// The number of a source, counted from 1; equal texts have one number.
    pub(super) fn number(&mut self, source: &str) -> usize {
        let known = self.0.iter().position(|known| known == source);
        let at = known.unwrap_or_else(|| {
            self.0.push(source.to_string());
            self.0.len() - 1
        });
        at + 1
    }

    /// All sources with their numbers.
    pub(super) fn iter(&self) -> impl Iterator<Item = (usize, &str)> {
        let words = self.0.iter().map(String::as_str);
        (1..).zip(words)
    }
}
