//! How values lie in memory and in the spill file.
//!
//! Most take 8 bytes: the food's place in its group, the nutrient's, what is known of the value's origin,
//! and the amount as it is written. What does not fit there takes 16, with the amount as a double. How many
//! analyses a value rests on and its standard error, which most values lack, are records of 16 bytes
//! with the same head but for the kind.

use crate::import::decimal::Decimal;
use crate::provenance::Origin;

/// One nutrient of one food, as a reader hands it over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Value {
    /// Place of the nutrient in the table of all nutrients.
    pub(crate) nutrient: u16,
    /// Amount per 100 g (or 100 ml) in the nutrient's unit.
    pub(crate) amount: f64,
    /// The amount as it is written, if it is short and in the nutrient's unit.
    pub(crate) written: Option<Decimal>,
    /// Number of analyses.
    pub(crate) data_points: Option<u32>,
    /// Standard error of the mean.
    pub(crate) standard_error: Option<f64>,
    /// What is known of its origin.
    pub(crate) mark: Mark,
}

/// Where a value comes from: its origin, and the places of its codes in the lists of the source.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Mark {
    pub(crate) origin: Origin,
    /// Place in the derivation codes; 0 for none.
    pub(crate) derivation: u8,
    /// Place in the source codes; 0 for none.
    pub(crate) source: u8,
}

/// What a record says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Amount,
    DataPoints,
    StandardError,
}

/// A record taken apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Record {
    /// The food's place in its group.
    pub(crate) food: u16,
    pub(crate) nutrient: u16,
    pub(crate) kind: Kind,
    pub(crate) mark: Mark,
    pub(crate) number: f64,
}

/// Bits of a food's place in its group, which has no more foods.
pub(super) const FOOD_BITS: u32 = 13;
const NUTRIENT_BITS: u32 = 10;
const KIND_BITS: u32 = 2;
const ORIGIN_BITS: u32 = 3;
const CODE_BITS: u32 = 8;
const PLACES_BITS: u32 = 3;
const DIGITS_BITS: u32 = 26;
/// The leading bit of a record of 8 bytes. All its bits are used.
const SHORT: u64 = 1 << 63;

/// Numbers put side by side in 64 bits.
#[derive(Default)]
struct Packed(u64);

impl Packed {
    #[inline]
    fn push(self, number: impl Into<u64>, bits: u32) -> Self {
        Self(self.0 << bits | number.into())
    }

    /// The number pushed last, which had as many bits.
    #[inline]
    fn pop<T: TryFrom<u64> + Default>(&mut self, bits: u32) -> T {
        let low = self.0 & ((1 << bits) - 1);
        self.0 >>= bits;
        T::try_from(low).unwrap_or_default()
    }
}

/// Appends the records of a value of the food at a place in its group.
#[inline]
pub(super) fn push(into: &mut Vec<u8>, food: u16, value: &Value) {
    let amount = Record {
        food,
        nutrient: value.nutrient,
        kind: Kind::Amount,
        mark: value.mark,
        number: value.amount,
    };
    match value.written.and_then(|written| short(&amount, written)) {
        Some(word) => into.extend_from_slice(&word.to_le_bytes()),
        None => amount.push(into),
    }
    let points = value.data_points.map(|n| (Kind::DataPoints, f64::from(n)));
    let error = value.standard_error.map(|se| (Kind::StandardError, se));
    for (kind, number) in points.into_iter().chain(error) {
        let more = Record {
            kind,
            number,
            ..amount
        };
        more.push(into);
    }
}

/// A record in 8 bytes, if it fits there.
#[inline]
fn short(record: &Record, amount: Decimal) -> Option<u64> {
    let fits = record.mark.source == 0
        && amount.digits < 1 << DIGITS_BITS
        && amount.places < 1 << PLACES_BITS;
    fits.then(|| {
        let packed = Packed::default()
            .push(record.food, FOOD_BITS)
            .push(record.nutrient, NUTRIENT_BITS)
            .push(record.mark.origin as u8, ORIGIN_BITS)
            .push(record.mark.derivation, CODE_BITS)
            .push(amount.places, PLACES_BITS)
            .push(amount.digits, DIGITS_BITS);
        SHORT | packed.0
    })
}

impl Record {
    fn push(self, into: &mut Vec<u8>) {
        let head = Packed::default()
            .push(self.food, FOOD_BITS)
            .push(self.nutrient, NUTRIENT_BITS)
            .push(self.kind as u8, KIND_BITS)
            .push(self.mark.origin as u8, ORIGIN_BITS)
            .push(self.mark.derivation, CODE_BITS)
            .push(self.mark.source, CODE_BITS);
        into.extend_from_slice(&head.0.to_le_bytes());
        into.extend_from_slice(&self.number.to_bits().to_le_bytes());
    }

    #[inline]
    fn of_short(word: u64) -> Self {
        let mut packed = Packed(word & !SHORT);
        let amount = Decimal {
            digits: packed.pop(DIGITS_BITS),
            places: packed.pop(PLACES_BITS),
        };
        let derivation = packed.pop(CODE_BITS);
        Self {
            mark: Mark {
                origin: origin(packed.pop(ORIGIN_BITS)),
                derivation,
                source: 0,
            },
            nutrient: packed.pop(NUTRIENT_BITS),
            food: packed.pop(FOOD_BITS),
            kind: Kind::Amount,
            number: amount.value(),
        }
    }

    fn of_long(head: u64, number: u64) -> Self {
        let mut packed = Packed(head);
        let source = packed.pop(CODE_BITS);
        let derivation = packed.pop(CODE_BITS);
        let mark = Mark {
            origin: origin(packed.pop(ORIGIN_BITS)),
            derivation,
            source,
        };
        let kind = match packed.pop::<u8>(KIND_BITS) {
            0 => Kind::Amount,
            1 => Kind::DataPoints,
            _ => Kind::StandardError,
        };
        Self {
            nutrient: packed.pop(NUTRIENT_BITS),
            food: packed.pop(FOOD_BITS),
            kind,
            mark,
            number: f64::from_bits(number),
        }
    }
}

fn origin(place: usize) -> Origin {
    Origin::ALL.get(place).copied().unwrap_or_default()
}

/// Takes the records of [`push`] apart.
pub(crate) fn records(bytes: &[u8]) -> impl Iterator<Item = Record> {
    let mut words = bytes
        .as_chunks::<8>()
        .0
        .iter()
        .map(|word| u64::from_le_bytes(*word));
    std::iter::from_fn(move || {
        let word = words.next()?;
        if word & SHORT != 0 {
            return Some(Record::of_short(word));
        }
        Some(Record::of_long(word, words.next()?))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn records_come_back() {
        let mark = |derivation, source| Mark {
            origin: Origin::Label,
            derivation,
            source,
        };
        let written = |digits, places| Some(Decimal { digits, places });
        for (food, nutrient, written, mark, bytes) in [
            (0, 0, written(0, 0), mark(0, 0), 8),
            (8191, 1023, written((1 << 26) - 1, 7), mark(255, 0), 8),
            (8191, 263, written(128, 2), mark(70, 0), 8),
            (8191, 263, written(1 << 26, 2), mark(70, 0), 16),
            (8191, 263, written(128, 8), mark(70, 0), 16),
            (8191, 263, written(128, 2), mark(255, 7), 16),
            (1, 2, None, mark(255, 255), 16),
        ] {
            let value = Value {
                nutrient,
                amount: written.map_or(0.1, Decimal::value),
                written,
                data_points: None,
                standard_error: None,
                mark,
            };
            let mut into = Vec::new();
            push(&mut into, food, &value);
            assert_eq!(into.len(), bytes);
            let record = Record {
                food,
                nutrient,
                kind: Kind::Amount,
                mark,
                number: value.amount,
            };
            assert!(records(&into).eq([record]), "{value:?}");
            let more = Value {
                data_points: Some(u32::MAX),
                standard_error: Some(0.3),
                ..value
            };
            push(&mut into, food, &more);
            let kinds = [
                (Kind::Amount, value.amount),
                (Kind::Amount, value.amount),
                (Kind::DataPoints, f64::from(u32::MAX)),
                (Kind::StandardError, 0.3),
            ];
            let expected = kinds.map(|(kind, number)| Record {
                kind,
                number,
                ..record
            });
            assert!(records(&into).eq(expected), "{more:?}");
        }
    }
}
