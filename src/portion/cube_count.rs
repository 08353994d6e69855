//! A number of cubes that are taken out of the freezer, where only half of some may be served.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

/// The most cubes in one pick (judgement).
const MOST: u32 = 1000;

/// Whole cubes taken out of the freezer, and the number of them of which only half is served. The
/// other half was thawed with it and is lost: what was thawed is not frozen again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct CubeCount {
    taken: u32,
    halved: u32,
}

/// The error for a text that is not a number of cubes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("no number of cubes, such as 2, 1/2 or 1.5")]
pub struct NotACubeCount;

impl CubeCount {
    /// A number of cubes, of which `halved` are served by half.
    pub fn new(taken: u32, halved: u32) -> Self {
        let halved = halved.min(taken);
        Self { taken, halved }
    }

    /// The number of whole cubes that leave the freezer.
    pub fn taken(self) -> u32 {
        self.taken
    }

    /// The number of cubes of which only half is served.
    pub fn halved(self) -> u32 {
        self.halved
    }

    /// The number of cubes that are served, with halves.
    pub fn served(self) -> f64 {
        f64::from(self.taken) - f64::from(self.halved) / 2.0
    }

    /// Whether there are no cubes.
    pub fn is_none(self) -> bool {
        self.taken == 0
    }

    /// Takes as many cubes as are available, whole ones first; what is still wanted stays.
    #[must_use]
    pub fn take(&mut self, available: u32) -> Self {
        let cubes = available.min(self.taken);
        let rest = self.taken - cubes;
        let part = Self::new(cubes, self.halved.saturating_sub(rest));
        *self = Self::new(rest, self.halved - part.halved);
        part
    }

    /// `2 cubes`, `1½ cubes`, `½ cube`.
    pub fn in_words(self) -> String {
        let ending = if self.served() > 1.0 { "s" } else { "" };
        format!("{self} cube{ending}")
    }
}

impl From<u32> for CubeCount {
    fn from(taken: u32) -> Self {
        Self::new(taken, 0)
    }
}

impl std::ops::AddAssign for CubeCount {
    fn add_assign(&mut self, other: Self) {
        *self = Self::new(
            self.taken.saturating_add(other.taken),
            self.halved.saturating_add(other.halved),
        );
    }
}

impl fmt::Display for CubeCount {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Two halves make a whole cube.
        let whole = self.taken - self.halved.div_ceil(2);
        match (whole, self.halved % 2) {
            (whole, 0) => write!(formatter, "{whole}"),
            (0, _) => formatter.write_str("½"),
            (whole, _) => write!(formatter, "{whole}½"),
        }
    }
}

impl Serialize for CubeCount {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.halved {
            0 => serializer.serialize_u32(self.taken),
            _ => serializer.serialize_f64(self.served()),
        }
    }
}

impl FromStr for CubeCount {
    type Err = NotACubeCount;

    /// `2`, `½`, `1/2`, `1 1/2`, `1½`, `0.5`, `1,5`, `half a`.
    fn from_str(text: &str) -> Result<Self, NotACubeCount> {
        let text = text.trim().replace('½', " 1/2").to_lowercase();
        let text = text.trim();
        if ["half", "half a", "a half"].contains(&text) {
            return Ok(Self::new(1, 1));
        }
        let (whole, half) = match text.split_once(' ') {
            Some((whole, half)) => (whole, half.trim() == "1/2"),
            None if text == "1/2" => ("0", true),
            None => match text.split_once(['.', ',']) {
                Some((whole, half)) => (whole, half.trim_end_matches('0') == "5"),
                None => (text, false),
            },
        };
        let decimals = text.len() > whole.len() && text != "1/2";
        let plain = text.ends_with(".0");
        if decimals && !half && !plain {
            return Err(NotACubeCount);
        }
        let whole: u32 = whole.parse().map_err(|_| NotACubeCount)?;
        let count = Self::new(whole.saturating_add(u32::from(half)), u32::from(half));
        (1..=MOST)
            .contains(&count.taken)
            .then_some(count)
            .ok_or(NotACubeCount)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Option<(u32, u32)> {
        let count: CubeCount = text.parse().ok()?;
        Some((count.taken, count.halved))
    }

    #[test]
    fn cubes_are_whole_or_halves() {
        for half in ["½", "1/2", "0.5", "0,5", "half", "half a"] {
            assert_eq!(read(half), Some((1, 1)), "{half}");
        }
        for one_and_a_half in ["1 1/2", "1½", "1 ½", "1.5", "1,50"] {
            assert_eq!(read(one_and_a_half), Some((2, 1)), "{one_and_a_half}");
        }
        assert_eq!(read("2"), Some((2, 0)));
        assert_eq!(read("2.0"), Some((2, 0)));
        for wrong in [
            "", "0", "-1", "1/3", "0.25", "1.55", "1 1/4", "1 2", "1001", "two",
        ] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn the_half_is_of_the_last_cube() {
        let mut wanted = CubeCount::new(3, 1);
        assert_eq!(wanted.take(2), CubeCount::from(2));
        assert_eq!(wanted.take(5), CubeCount::new(1, 1));
        assert!(wanted.is_none());
        assert_eq!(CubeCount::new(3, 1).to_string(), "2½");
        assert_eq!(CubeCount::new(2, 2).to_string(), "1");
        assert_eq!(CubeCount::new(1, 1).in_words(), "½ cube");
        assert_eq!(CubeCount::from(2).in_words(), "2 cubes");
        assert_eq!(CubeCount::from(1).in_words(), "1 cube");
    }
}
