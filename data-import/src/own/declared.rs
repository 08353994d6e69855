//! A figure as it stands on a label: a number, its unit, and what the unit counts.

use super::cells::Cell;
use super::finding::Finding;

/// No amount on a label is as large as this, in any unit (judgement).
const MOST: f64 = 1e6;

/// A declared figure.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Declared {
    /// The number; zero or more.
    pub(super) number: f64,
    /// Whether the label says that there is less.
    pub(super) less_than: bool,
    /// The unit.
    pub(super) unit: LabelUnit,
    /// What follows the unit, in capitals: `RAE`, `DFE`, `NE`, `DV`; mostly empty.
    pub(super) kind: String,
}

/// A unit of labels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LabelUnit {
    Gram,
    Milligram,
    Microgram,
    Millilitre,
    GramPerMillilitre,
    Kilocalorie,
    Kilojoule,
    International,
    Percent,
}

/// Spellings in lower case, and the unit they mean.
const UNITS: &[(&str, LabelUnit)] = &[
    ("g", LabelUnit::Gram),
    ("mg", LabelUnit::Milligram),
    // The micro sign, the Greek letter, and the way out where neither is on the keyboard.
    ("\u{b5}g", LabelUnit::Microgram),
    ("\u{3bc}g", LabelUnit::Microgram),
    ("mcg", LabelUnit::Microgram),
    ("ug", LabelUnit::Microgram),
    ("ml", LabelUnit::Millilitre),
    ("g/ml", LabelUnit::GramPerMillilitre),
    ("kcal", LabelUnit::Kilocalorie),
    ("kj", LabelUnit::Kilojoule),
    ("iu", LabelUnit::International),
    ("%", LabelUnit::Percent),
];

impl LabelUnit {
    /// How many µg it is; `None` where it is not a mass.
    fn micrograms(self) -> Option<f64> {
        match self {
            Self::Gram => Some(1e6),
            Self::Milligram => Some(1e3),
            Self::Microgram => Some(1.0),
            _ => None,
        }
    }

    /// How many of a nutrient's `unit` (`g`, `mg`, `µg`, `kcal`, `IU`) this unit is; `None` where
    /// it measures something else. 1 kcal is 4.184 kJ (thermochemical, USDA SR28 documentation).
    pub(super) fn in_unit(self, unit: &str) -> Option<f64> {
        match (self, unit) {
            (Self::Kilocalorie, "kcal") | (Self::International, "IU") => Some(1.0),
            (Self::Kilojoule, "kcal") => Some(1.0 / 4.184),
            (_, "g") => self.micrograms().map(|size| size / 1e6),
            (_, "mg") => self.micrograms().map(|size| size / 1e3),
            (_, "µg") => self.micrograms(),
            _ => None,
        }
    }
}

impl Declared {
    /// Reads `7.5 mg`, `<0.5 g`, `50 µg DFE`, `45 %DV`.
    pub(super) fn read(cell: &Cell) -> Result<Self, Finding> {
        let wrong = |what: &str, hint: &str| Err(Finding::at(cell, what, hint));
        let text = cell.text.as_str();
        let (less_than, text) = match text.strip_prefix('<') {
            Some(rest) => (true, rest.trim_start()),
            None => (false, text),
        };
        if text.starts_with(['-', '\u{2212}']) {
            return wrong("a negative number", "a label gives zero or more");
        }
        let digit = |c: char| c.is_ascii_digit();
        let end = text.find(|c| !(digit(c) || c == '.')).unwrap_or(text.len());
        let (number, rest) = text.split_at(end);
        let unit = rest.trim();
        if rest.starts_with([',', '\'']) || (!number.is_empty() && unit.starts_with(digit)) {
            let hint = "write 0.5 with a point, and 1590 without anything between its digits";
            return wrong("a number with a comma or a gap", hint);
        }
        let number = number.parse().ok().filter(|_| number.contains(digit));
        let Some(number) = number.filter(|number: &f64| *number <= MOST) else {
            return wrong("no number that can be read", "write it like 7.5 mg");
        };
        if unit.is_empty() {
            let hint = "write the unit that stands on the label, such as 7.5 mg";
            return wrong("a number without a unit", hint);
        }
        let (unit, kind) = split(unit);
        Ok(Self {
            number,
            less_than,
            unit: named(unit, cell)?,
            kind: kind.trim_matches(['(', ')']).to_uppercase(),
        })
    }
}

/// A unit and what follows it; `%DV` needs no blank.
fn split(unit: &str) -> (&str, &str) {
    if let Some(kind) = unit.strip_prefix('%') {
        return ("%", kind.trim());
    }
    let end = unit.find(|c: char| c.is_whitespace() || c == '(');
    let end = end.unwrap_or(unit.len());
    let (unit, kind) = unit.split_at(end);
    (unit, kind.trim())
}

fn named(word: &str, cell: &Cell) -> Result<LabelUnit, Finding> {
    let lower = word.to_lowercase();
    if let Some((_, unit)) = UNITS.iter().find(|(known, _)| *known == lower) {
        return Ok(*unit);
    }
    let hint = match lower.as_str() {
        "cal" | "calories" | "kilocalories" => "a Calorie of a label is a kcal: write kcal",
        _ => "the units of labels are kcal, kJ, g, mg, µg (or mcg), IU, %, ml",
    };
    Err(Finding::at(cell, format!("“{word}” is not a unit"), hint))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::own::cells::trimmed;

    fn read(text: &str) -> Result<Declared, String> {
        Declared::read(&trimmed(text, 0)).map_err(|finding| finding.what)
    }

    #[test]
    fn figures_are_read_as_labels_write_them() {
        for (text, number, unit, kind) in [
            ("7.5 mg", 7.5, LabelUnit::Milligram, ""),
            ("1590kJ", 1590.0, LabelUnit::Kilojoule, ""),
            (".5 g", 0.5, LabelUnit::Gram, ""),
            ("50 mcg DFE", 50.0, LabelUnit::Microgram, "DFE"),
            ("50 \u{3bc}g (RE)", 50.0, LabelUnit::Microgram, "RE"),
            ("45%DV", 45.0, LabelUnit::Percent, "DV"),
            ("45 %", 45.0, LabelUnit::Percent, ""),
            ("1.03 g/ml", 1.03, LabelUnit::GramPerMillilitre, ""),
        ] {
            let read = read(text).unwrap();
            assert_eq!(
                (read.number, read.unit, read.less_than),
                (number, unit, false),
                "{text}"
            );
            assert_eq!(read.kind, kind, "{text}");
        }
        assert!(read("< 0.5 g").unwrap().less_than);
    }

    #[test]
    fn what_is_no_figure_is_told() {
        for (text, what) in [
            ("0,5 g", "a number with a comma or a gap"),
            ("1 500 g", "a number with a comma or a gap"),
            ("-1 g", "a negative number"),
            ("5", "a number without a unit"),
            ("some", "no number that can be read"),
            ("1.2.3 g", "no number that can be read"),
            ("inf g", "no number that can be read"),
            ("9999999999 g", "no number that can be read"),
            ("60 Cal", "“Cal” is not a unit"),
        ] {
            assert_eq!(read(text), Err(what.to_owned()), "{text}");
        }
    }

    #[test]
    fn units_turn_into_those_of_nutrients() {
        let close = |unit: LabelUnit, into, size: f64| {
            let found = unit.in_unit(into).unwrap();
            assert!(
                (found / size - 1.0).abs() < 1e-12,
                "{unit:?} in {into}: {found}"
            );
        };
        close(LabelUnit::Gram, "mg", 1000.0);
        close(LabelUnit::Milligram, "g", 0.001);
        close(LabelUnit::Microgram, "mg", 0.001);
        close(LabelUnit::Gram, "µg", 1e6);
        close(LabelUnit::Kilojoule, "kcal", 0.239_005_736_137_667);
        assert_eq!(LabelUnit::Gram.in_unit("kcal"), None);
        assert_eq!(LabelUnit::Kilojoule.in_unit("g"), None);
        assert_eq!(LabelUnit::International.in_unit("µg"), None);
        assert_eq!(LabelUnit::Millilitre.in_unit("g"), None);
    }
}
