//! How values, details and measures lie in memory and in the spill file.
//!
//! A value takes 16 bytes: a head that holds the food's place and the nutrient's and what is known
//! of the value, and the amount. How many analyses it rests on and its standard error, which most
//! values lack, are records of their own with the same head but for the kind.

use crate::provenance::Origin;

/// One nutrient of one food, as a reader hands it over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Value {
    /// Place of the nutrient in the table of all nutrients.
    pub(crate) nutrient: u16,
    /// Amount per 100 g (or 100 ml) in the nutrient's unit.
    pub(crate) amount: f64,
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
    /// Place in the derivation codes; 0 is none.
    pub(crate) derivation: u8,
    /// Place in the source codes; 0 is none.
    pub(crate) source: u8,
}

/// What a 16-byte record says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Amount,
    DataPoints,
    StandardError,
}

pub(crate) const BYTES: usize = 16;
const KIND_BITS: u32 = 2;
const NUTRIENT_BITS: u32 = 10;
const MARK_BITS: u32 = 19;

/// A record taken apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Record {
    pub(crate) food: u32,
    pub(crate) nutrient: u16,
    pub(crate) kind: Kind,
    pub(crate) mark: Mark,
    pub(crate) number: f64,
}

impl Record {
    pub(crate) fn encode(self) -> [u8; BYTES] {
        let mark = u64::from(self.mark.origin as u8) << 16
            | u64::from(self.mark.derivation) << 8
            | u64::from(self.mark.source);
        let kind = self.kind as u64;
        let head = ((u64::from(self.food) << NUTRIENT_BITS | u64::from(self.nutrient))
            << KIND_BITS
            | kind)
            << MARK_BITS
            | mark;
        let mut bytes = [0; BYTES];
        let (start, end) = bytes.split_at_mut(8);
        start.copy_from_slice(&head.to_le_bytes());
        end.copy_from_slice(&self.number.to_bits().to_le_bytes());
        bytes
    }

    pub(crate) fn decode(bytes: [u8; BYTES]) -> Self {
        let both = u128::from_le_bytes(bytes);
        let low = |bits: u128, wide: u32| bits & ((1 << wide) - 1);
        let mark = low(both, MARK_BITS);
        let rest = low(both, 64) >> MARK_BITS;
        let kind = match low(rest, KIND_BITS) {
            0 => Kind::Amount,
            1 => Kind::DataPoints,
            _ => Kind::StandardError,
        };
        let rest = rest >> KIND_BITS;
        let byte = |bits: u128| u8::try_from(low(bits, 8)).unwrap_or_default();
        Self {
            food: u32::try_from(rest >> NUTRIENT_BITS).unwrap_or_default(),
            nutrient: u16::try_from(low(rest, NUTRIENT_BITS)).unwrap_or_default(),
            kind,
            mark: Mark {
                origin: Origin::ALL
                    .get(usize::from(byte(mark >> 16)))
                    .copied()
                    .unwrap_or_default(),
                derivation: byte(mark >> 8),
                source: byte(mark),
            },
            number: f64::from_bits(u64::try_from(both >> 64).unwrap_or_default()),
        }
    }
}

/// What a detail record says of a food.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Field {
    Name,
    CommonNames,
    Manufacturer,
    ScientificName,
    Group,
    RefusePercent,
    RefuseDescription,
    FactorProtein,
    FactorFat,
    FactorCarbohydrate,
    FactorNitrogen,
    Basis,
    ServingSize,
    ServingUnit,
    Gtin,
    Source,
}

impl Field {
    pub(crate) const ALL: [Self; 16] = [
        Self::Name,
        Self::CommonNames,
        Self::Manufacturer,
        Self::ScientificName,
        Self::Group,
        Self::RefusePercent,
        Self::RefuseDescription,
        Self::FactorProtein,
        Self::FactorFat,
        Self::FactorCarbohydrate,
        Self::FactorNitrogen,
        Self::Basis,
        Self::ServingSize,
        Self::ServingUnit,
        Self::Gtin,
        Self::Source,
    ];

    /// Whether it is a number, not a text.
    pub(crate) const fn is_number(self) -> bool {
        matches!(
            self,
            Self::RefusePercent
                | Self::FactorProtein
                | Self::FactorFat
                | Self::FactorCarbohydrate
                | Self::FactorNitrogen
                | Self::ServingSize
        )
    }
}

/// Appends a record of changing length: food, a number, and bytes.
pub(crate) fn push_long(into: &mut Vec<u8>, food: u32, number: u32, bytes: &[&[u8]]) {
    let length = bytes.iter().map(|part| part.len()).sum::<usize>();
    into.extend_from_slice(&food.to_le_bytes());
    into.extend_from_slice(&number.to_le_bytes());
    into.extend_from_slice(&u32::try_from(length).unwrap_or(u32::MAX).to_le_bytes());
    for part in bytes {
        into.extend_from_slice(part);
    }
}

/// Takes the records of [`push_long`] apart: food, number, bytes.
pub(crate) fn long_records(mut bytes: &[u8]) -> impl Iterator<Item = (u32, u32, &[u8])> {
    std::iter::from_fn(move || {
        let (food, rest) = word(bytes)?;
        let (number, rest) = word(rest)?;
        let (length, rest) = word(rest)?;
        let (payload, rest) = rest.split_at_checked(length as usize)?;
        bytes = rest;
        Some((food, number, payload))
    })
}

fn word(bytes: &[u8]) -> Option<(u32, &[u8])> {
    let (word, rest) = bytes.split_first_chunk::<4>()?;
    Some((u32::from_le_bytes(*word), rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn records_come_back() {
        for (food, nutrient, kind) in [
            (0, 0, Kind::Amount),
            (u32::MAX, 1023, Kind::StandardError),
            (8191, 263, Kind::DataPoints),
        ] {
            let mark = Mark {
                origin: Origin::Label,
                derivation: 255,
                source: 7,
            };
            let record = Record {
                food,
                nutrient,
                kind,
                mark,
                number: 0.1,
            };
            assert_eq!(Record::decode(record.encode()), record);
        }
    }

    #[test]
    fn long_records_come_back() {
        let mut bytes = Vec::new();
        push_long(&mut bytes, 3, 7, &[b"ab", b"", b"c"]);
        push_long(&mut bytes, 4, 8, &[]);
        let all = long_records(&bytes).collect::<Vec<_>>();
        assert_eq!(all, [(3, 7, &b"abc"[..]), (4, 8, b"")]);
    }

    #[test]
    fn fields_are_found_by_their_place() {
        for (place, field) in Field::ALL.into_iter().enumerate() {
            assert_eq!(field as usize, place);
        }
    }
}
