//! How details and measures lie in memory and in the spill file.

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
