//! Paper sizes.

use serde::Deserialize;

/// A sheet of paper, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Paper {
    /// US Letter, 8.5 by 11 inches (ANSI/ASME Y14.1, size A).
    Letter,
    /// A4, 210 by 297 mm (ISO 216).
    A4,
}

impl Paper {
    /// Width in millimetres.
    pub const fn width_mm(self) -> f64 {
        match self {
            Self::Letter => 215.9,
            Self::A4 => 210.0,
        }
    }

    /// Height in millimetres.
    pub const fn height_mm(self) -> f64 {
        match self {
            Self::Letter => 279.4,
            Self::A4 => 297.0,
        }
    }

    /// The keyword of CSS `@page { size: ... }`.
    pub const fn css(self) -> &'static str {
        match self {
            Self::Letter => "letter",
            Self::A4 => "A4",
        }
    }
}
