//! The name of a recipe of the book: the name of its file without the ending.

use std::fmt;
use std::str::FromStr;

/// The longest name, in characters (judgement).
const LONGEST: usize = 60;

/// The name of a recipe: letters, digits and hyphens, so that it is the name of a file on every
/// system and never a path.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecipeName(String);

/// A text that is not a valid name of a recipe.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” cannot be the name of a recipe")]
pub struct NotAName(pub String);

impl NotAName {
    /// The next step that remedies the error.
    pub fn hint(&self) -> String {
        format!(
            "write 1 to {LONGEST} letters from a to z, digits and hyphens, such as red-lentil-squash"
        )
    }
}

impl RecipeName {
    /// The name derived from a title: its letters and digits, with hyphens between the words.
    ///
    /// Errors: the title has none of these.
    pub fn of_title(title: &str) -> Result<Self, NotAName> {
        let lower = title.to_ascii_lowercase();
        let words = lower.split(|c: char| !c.is_ascii_alphanumeric());
        let words: Vec<_> = words.filter(|word| !word.is_empty()).collect();
        let name: String = words.join("-").chars().take(LONGEST).collect();
        name.trim_end_matches('-')
            .parse()
            .map_err(|_| NotAName(title.into()))
    }
}

impl FromStr for RecipeName {
    type Err = NotAName;

    fn from_str(text: &str) -> Result<Self, NotAName> {
        let letter = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        let good = (1..=LONGEST).contains(&text.len())
            && text.chars().all(letter)
            && !text.starts_with('-')
            && !is_device(text);
        if good {
            Ok(Self(text.to_string()))
        } else {
            Err(NotAName(text.into()))
        }
    }
}

/// Whether Windows reserves a name for a device.
fn is_device(name: &str) -> bool {
    let numbered = |port: &str| {
        let rest = name.strip_prefix(port);
        rest.is_some_and(|rest| rest.len() == 1 && rest.chars().all(|c| c.is_ascii_digit()))
    };
    ["con", "prn", "aux", "nul"].contains(&name) || numbered("com") || numbered("lpt")
}

impl fmt::Display for RecipeName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_never_a_path() {
        for wrong in [
            "",
            ".",
            "..",
            "../x",
            "a/b",
            "a\\b",
            "a.b",
            "/etc/passwd",
            "C:x",
            "a b",
            "-a",
            "nul",
            "com1",
            "é",
            "A",
            "a\0",
            "a\n",
        ] {
            assert!(wrong.parse::<RecipeName>().is_err(), "{wrong:?}");
        }
        assert!("a".repeat(61).parse::<RecipeName>().is_err());
        assert_eq!("oat-2".parse::<RecipeName>().unwrap().to_string(), "oat-2");
    }

    #[test]
    fn a_title_suggests_a_name() {
        let of = |title| RecipeName::of_title(title).map(|name| name.to_string());
        assert_eq!(of("Red lentil & Squash!"), Ok("red-lentil-squash".into()));
        assert_eq!(of("../../etc"), Ok("etc".into()));
        assert!(of("\u{2026}").is_err());
    }
}
