//! Cells of tables for people, who open them in a spreadsheet.

use std::borrow::Cow;

/// Characters that make a spreadsheet read a cell as a formula: `= + - @`, tab and line ends (OWASP, "CSV Injection",
/// from memory), and the null character (OWASP ASVS 5.0, 1.2.10).
const FORMULA: [char; 8] = ['=', '+', '-', '@', '\t', '\r', '\n', '\0'];

/// Text that a person typed, as a cell of a table: an apostrophe before a formula makes spreadsheets read it as text.
/// Not for tables that are imported again, which must keep the text as typed.
pub(super) fn cell(words: &str) -> Cow<'_, str> {
    if words.starts_with(FORMULA) {
        format!("'{words}").into()
    } else {
        words.into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_become_words() {
        for formula in [
            "=1+1", "+1", "-1+2", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "\0=1",
        ] {
            assert_eq!(cell(formula), format!("'{formula}"));
        }
        for words in ["", "Squash", "a=1", "2 squash", "'=1"] {
            assert_eq!(cell(words), words);
        }
    }
}
