//! The units of a kitchen, with their exact sizes.
//!
//! US customary units are exact multiples of the metric ones: the pound is 0.45359237 kg and the
//! gallon 231 cubic inches (NIST Handbook 44, appendix C; the figures are written here from
//! memory of that table).

use rust_decimal::Decimal;

/// Grams in an avoirdupois ounce, exact.
pub(super) const GRAMS_PER_OUNCE: f64 = 28.349_523_125;
/// Millilitres in a US fluid ounce, exact.
pub(super) const MILLILITRES_PER_FLUID_OUNCE: f64 = 29.573_529_562_5;

/// The kind of quantity that a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitKind {
    /// Grams and their multiples.
    Mass,
    /// Millilitres and their multiples.
    Volume,
}

/// A unit of mass or volume.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unit {
    /// The symbol as it is written.
    pub symbol: &'static str,
    /// The kind of quantity that it measures.
    pub kind: UnitKind,
    /// The size in grams or millilitres, as digits and decimal places.
    size: (i64, u32),
}

/// The units that are known, by symbol.
const UNITS: &[Unit] = &[
    Unit {
        symbol: "g",
        kind: UnitKind::Mass,
        size: (1, 0),
    },
    Unit {
        symbol: "kg",
        kind: UnitKind::Mass,
        size: (1000, 0),
    },
    Unit {
        symbol: "oz",
        kind: UnitKind::Mass,
        size: (28_349_523_125, 9),
    },
    Unit {
        symbol: "lb",
        kind: UnitKind::Mass,
        size: (45_359_237, 5),
    },
    Unit {
        symbol: "ml",
        kind: UnitKind::Volume,
        size: (1, 0),
    },
    Unit {
        symbol: "l",
        kind: UnitKind::Volume,
        size: (1000, 0),
    },
    Unit {
        symbol: "fl oz",
        kind: UnitKind::Volume,
        size: (295_735_295_625, 10),
    },
    Unit {
        symbol: "cup",
        kind: UnitKind::Volume,
        size: (2_365_882_365, 7),
    },
    Unit {
        symbol: "tbsp",
        kind: UnitKind::Volume,
        size: (1_478_676_478_125, 11),
    },
    Unit {
        symbol: "tsp",
        kind: UnitKind::Volume,
        size: (492_892_159_375, 11),
    },
];

impl Unit {
    /// The unit written as `text`; upper case, a plural `s` and a full stop are accepted.
    pub fn named(text: &str) -> Option<Self> {
        let lower = text.trim().trim_end_matches('.').to_lowercase();
        let lower = lower.split_whitespace().collect::<Vec<_>>().join(" ");
        UNITS
            .iter()
            .find(|unit| lower == unit.symbol || lower.strip_suffix('s') == Some(unit.symbol))
            .copied()
    }

    /// The exact size in grams (mass) or millilitres (volume).
    pub fn size(self) -> Decimal {
        Decimal::new(self.size.0, self.size.1)
    }

    /// The symbols of one kind, for messages.
    pub fn symbols(kind: UnitKind) -> String {
        let symbols: Vec<_> = UNITS
            .iter()
            .filter(|unit| unit.kind == kind)
            .map(|unit| unit.symbol)
            .collect();
        symbols.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::prelude::ToPrimitive;

    #[test]
    fn the_float_constants_are_the_table_rows() {
        let size = |name: &str| Unit::named(name).unwrap().size().to_f64().unwrap();
        approx::assert_relative_eq!(size("oz"), GRAMS_PER_OUNCE);
        approx::assert_relative_eq!(size("fl oz"), MILLILITRES_PER_FLUID_OUNCE);
    }

    #[test]
    fn units_are_known_by_their_usual_spellings() {
        assert_eq!(Unit::named("Lbs.").unwrap().symbol, "lb");
        assert_eq!(Unit::named("fl  oz").unwrap().symbol, "fl oz");
        assert_eq!(Unit::named("cups").unwrap().symbol, "cup");
        assert!(Unit::named("pinch").is_none());
    }
}
