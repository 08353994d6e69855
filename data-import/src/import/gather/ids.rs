//! The ids of the foods of one source, in the order of the cache.

use compact_str::{CompactString, ToCompactString};

/// Ids, held in little memory: two million of them.
#[derive(Debug)]
pub(crate) enum Ids {
    /// Many short texts in one, and where each ends.
    Texts(String, Vec<u32>),
    /// Numbers, in the order of their texts.
    Numbers(Vec<u32>),
}

impl Ids {
    /// `ids` are sorted as text, and no two are the same.
    pub(crate) fn new<'a>(ids: impl Iterator<Item = &'a str>) -> Self {
        let (mut text, mut ends) = (String::new(), Vec::new());
        for id in ids {
            text.push_str(id);
            // Ids have at most 64 characters, and a source has far fewer than 2^26 foods.
            ends.push(u32::try_from(text.len()).unwrap_or(u32::MAX));
        }
        Self::Texts(text, ends)
    }

    /// How many there are.
    pub(crate) fn len(&self) -> usize {
        match self {
            Self::Texts(_, ends) => ends.len(),
            Self::Numbers(numbers) => numbers.len(),
        }
    }

    /// The id at a place, counted from 0; empty beyond the last.
    pub(crate) fn get(&self, place: usize) -> CompactString {
        match self {
            Self::Texts(text, ends) => {
                let end = |place: usize| ends.get(place).map(|end| *end as usize);
                let start = place.checked_sub(1).map_or(Some(0), end);
                let range = start.zip(end(place)).map(|(start, end)| start..end);
                let id = range.and_then(|range| text.get(range));
                id.unwrap_or_default().into()
            }
            Self::Numbers(numbers) => numbers
                .get(place)
                .map_or_else(CompactString::default, ToCompactString::to_compact_string),
        }
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
        let numbers = [0, 9, 10, 167_512, u32::MAX];
        let ids = Ids::Numbers(numbers.to_vec());
        let texts = numbers.map(|number| number.to_string());
        assert!((0..numbers.len()).all(|place| ids.get(place) == texts[place]));
        assert_eq!(ids.get(numbers.len()), "");
    }
}
