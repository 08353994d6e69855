//! Whether a child of an age may have solids at all.

use super::AgeMonths;

/// What the age says of solids (CDC, American Academy of Pediatrics, Dietary Guidelines for Americans 2020-2025: not
/// before 4 months, at about 6 months; WHO 2023: at 6 months).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Solids {
    /// Before four months: milk alone.
    NotYet,
    /// At four and five months.
    AskFirst,
    /// From six months on.
    Due,
}

impl Solids {
    /// From which completed month on solids are due.
    pub const FROM: AgeMonths = AgeMonths(6);

    /// From which completed month on a paediatrician may advise them.
    const EARLIEST: AgeMonths = AgeMonths(4);

    /// What holds at an age.
    pub fn at(age: AgeMonths) -> Self {
        if age < Self::EARLIEST {
            Self::NotYet
        } else if age < Self::FROM {
            Self::AskFirst
        } else {
            Self::Due
        }
    }

    /// What a parent is to know before the first food; `None` once solids are due.
    pub fn sentence(self) -> Option<&'static str> {
        match self {
            Self::NotYet => Some("Milk alone before 4 months: no solids yet."),
            Self::AskFirst => Some(
                "Solids start at about 6 months. Earlier than that, ask the paediatrician first.",
            ),
            Self::Due => None,
        }
    }
}
