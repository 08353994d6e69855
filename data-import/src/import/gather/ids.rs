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

    /// Ids that are numbers, in the order of their texts.
    pub(crate) fn of_numbers(numbers: &[u32]) -> Self {
        let mut all = Self::default();
        let mut digits = [0; 10];
        for number in numbers {
            let (mut rest, mut start) = (*number, digits.len());
            while let Some(digit) = digits.get_mut(..start).and_then(<[u8]>::last_mut) {
                *digit = b'0' + (rest % 10) as u8;
                (rest, start) = (rest / 10, start - 1);
                if rest == 0 {
                    break;
                }
            }
            let text = digits.get(start..).map(std::str::from_utf8);
            all.push(text.and_then(Result::ok).unwrap_or_default());
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
        let numbers = [0, 9, 10, 167_512, u32::MAX];
        let ids = Ids::of_numbers(&numbers);
        let texts = numbers.map(|number| number.to_string());
        assert!((0..numbers.len()).all(|place| ids.get(place) == texts[place]));
    }
}
