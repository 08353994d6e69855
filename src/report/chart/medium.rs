//! What a drawing is laid out for. A page carries each drawing twice, and its style shows the one that fits.

/// A screen, read at arm's length and no wider than a phone, or one of two columns on a sheet of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Medium {
    Screen,
    Paper,
}

impl Medium {
    /// Width of the drawing in its own units: about a pixel each on a phone, a quarter of a millimetre on paper.
    pub(super) const fn width(self) -> f64 {
        match self {
            Self::Screen => 320.0,
            Self::Paper => 340.0,
        }
    }

    /// Size of all text, in the same units.
    pub(super) const fn text(self) -> f64 {
        match self {
            Self::Screen => 15.0,
            Self::Paper => 10.5,
        }
    }

    pub(super) const fn class(self) -> &'static str {
        match self {
            Self::Screen => "screen",
            Self::Paper => "paper",
        }
    }

    /// The drawing for both, one after the other.
    pub(super) fn both(draw: impl Fn(Self) -> String) -> String {
        [Self::Screen, Self::Paper].map(draw).join("\n")
    }
}

/// Width of text in a size, after the widths of letters of Arial, by kinds of letters (measured
/// from its metrics, rounded up).
pub(super) fn text_width(words: &str, size: f64) -> f64 {
    words.chars().map(letter_width).sum::<f64>() * size
}

fn letter_width(letter: char) -> f64 {
    match letter {
        'i' | 'j' | 'l' | '\'' | '|' => 0.23,
        ' ' | '\u{a0}' | '.' | ',' | ':' | ';' | 'I' | 'f' | 't' | '!' | '/' | '·' => 0.29,
        'r' | '-' | '(' | ')' | '"' => 0.36,
        'm' | 'M' | 'W' | '%' | '…' | '@' => 0.95,
        'w' | 'O' | 'Q' | 'G' => 0.78,
        'A'..='Z' => 0.72,
        'a'..='z' | '0'..='9' | '–' => 0.56,
        _ => 0.66,
    }
}
