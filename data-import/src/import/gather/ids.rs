//! The ids of the foods of one source, in the order of the cache.

/// Many short texts in one: two million ids take 25 MB, not 100.
#[derive(Debug, Default)]
pub(crate) struct Ids {
    text: String,
    ends: Vec<u32>,
}

impl Ids {
    /// `ids` are sorted as text, and no two are the same.
    pub(crate) fn new<'a>(ids: impl Iterator<Item = &'a str>) -> Self {
        let mut all = Self::default();
        for id in ids {
            all.push(id);
        }
        all
    }

    fn push(&mut self, id: &str) {
        self.text.push_str(id);
        // Ids have at most 64 characters, and a source has far fewer than 2^26 foods.
        self.ends
            .push(u32::try_from(self.text.len()).unwrap_or(u32::MAX));
    }

    /// How many there are.
    pub(crate) fn len(&self) -> usize {
        self.ends.len()
    }

    /// The id at a place, counted from 0; empty beyond the last.
    pub(crate) fn get(&self, place: usize) -> &str {
        let end = |place: usize| self.ends.get(place).map(|end| *end as usize);
        let start = place.checked_sub(1).map_or(Some(0), end);
        let range = start.zip(end(place)).map(|(start, end)| start..end);
        range
            .and_then(|range| self.text.get(range))
            .unwrap_or_default()
    }
}

impl<'a> FromIterator<&'a str> for Ids {
    fn from_iter<T: IntoIterator<Item = &'a str>>(ids: T) -> Self {
        Self::new(ids.into_iter())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_come_back() {
        let ids = ["01001", "11485", "167512", "own-pear"]
            .into_iter()
            .collect::<Ids>();
        let all = (0..=ids.len())
            .map(|place| ids.get(place))
            .collect::<Vec<_>>();
        assert_eq!(all, ["01001", "11485", "167512", "own-pear", ""]);
    }
}
