//! Which foods there are, and where each has its place.

/// What is known of one row of `food.csv` before its details are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Known {
    /// Its `fdc_id`.
    pub(super) id: u32,
    /// Which source it belongs to; `None` if it is not a food to eat.
    pub(super) source: Option<u8>,
}

/// The place of a food.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct At {
    /// Which source, counted from 0.
    pub(super) source: usize,
    /// Its place there.
    pub(super) food: u32,
}

/// What a look-up finds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Found {
    /// A food to eat.
    Food(At),
    /// A sample, an acquisition, or an older version of a food.
    Other,
    /// No row of `food.csv`.
    Unknown,
}

/// The source is in the leading bits of a place; all of them set mean no source.
const SOURCE_BITS: u32 = 3;
const PLACE_BITS: u32 = u32::BITS - SOURCE_BITS;
const NONE: u32 = (1 << SOURCE_BITS) - 1;

/// What is at an id that no food has.
const UNKNOWN: u32 = u32::MAX;
/// The most ids for each food with which a place is kept for every id there could be. Published ids
/// are close: in October 2024 the highest was below 3 million, of 2 million foods (from memory).
const SPARSE: usize = 16;
/// Fewer foods than this are not worth the difference.
const FEW: usize = 4096;

/// Foods by `fdc_id`.
#[derive(Debug)]
pub(super) enum Places {
    /// Source and place for each id there could be: one look into memory, which is slow for
    /// millions of foods in no order.
    Close(Vec<u32>),
    /// Ids that are far apart, in order, each with its source and place.
    Far(Vec<(u32, u32)>),
}

impl Places {
    /// `known` are sorted by id, and no two have the same. Returns the ids of each of `sources`
    /// in the order of their places too.
    pub(super) fn new(known: &[Known], sources: usize) -> (Self, Vec<Vec<u32>>) {
        let mut of_source = vec![Vec::new(); sources];
        for (row, one) in (0_u32..).zip(known) {
            if let Some(list) = one
                .source
                .and_then(|source| of_source.get_mut(usize::from(source)))
            {
                list.push((text_order(one.id), row));
            }
        }
        let none = NONE << PLACE_BITS;
        let mut rows = known.iter().map(|one| (one.id, none)).collect::<Vec<_>>();
        let ordered = (0..)
            .zip(of_source)
            .map(|(source, mut list): (u32, Vec<_>)| {
                // Numbers of the same length are in order already: a stable sort merges a few runs.
                list.sort_by_key(|one| one.0);
                for (place, (_, row)) in (0..).zip(&list) {
                    if let Some(row) = rows.get_mut(*row as usize) {
                        row.1 = source << PLACE_BITS | place;
                    }
                }
                let id = |(_, row): &(_, u32)| known.get(*row as usize).map(|one| one.id);
                list.iter().filter_map(id).collect()
            });
        let ordered = ordered.collect();
        (Self::of(rows), ordered)
    }

    fn of(rows: Vec<(u32, u32)>) -> Self {
        let most = rows.last().map_or(0, |row| row.0 as usize);
        if most / SPARSE > rows.len().max(FEW) {
            return Self::Far(rows);
        }
        let mut all = vec![UNKNOWN; most + 1];
        for (id, packed) in rows {
            if let Some(place) = all.get_mut(id as usize) {
                *place = packed;
            }
        }
        Self::Close(all)
    }

    /// Finds a food.
    #[inline]
    pub(super) fn find(&self, id: u32) -> Found {
        let packed = match self {
            Self::Close(all) => all.get(id as usize).copied(),
            Self::Far(rows) => {
                let row = rows.binary_search_by_key(&id, |row| row.0).ok();
                row.and_then(|row| rows.get(row)).map(|row| row.1)
            }
        };
        match packed.unwrap_or(UNKNOWN) {
            UNKNOWN => Found::Unknown,
            packed if packed >> PLACE_BITS == NONE => Found::Other,
            packed => Found::Food(At {
                source: (packed >> PLACE_BITS) as usize,
                food: packed & !(NONE << PLACE_BITS),
            }),
        }
    }

    /// The place of a food to eat.
    pub(super) fn food(&self, id: u32) -> Option<At> {
        match self.find(id) {
            Found::Food(at) => Some(at),
            Found::Other | Found::Unknown => None,
        }
    }
}

/// A key that sorts numbers as their texts are sorted: 10, 100, 2.
fn text_order(id: u32) -> (u64, u32) {
    let length = id.checked_ilog10().unwrap_or(0);
    (
        u64::from(id) * 10_u64.pow(9_u32.saturating_sub(length)),
        length,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn foods_are_found_and_ordered_as_texts() {
        let known = [
            (2, Some(0)),
            (10, Some(1)),
            (11, None),
            (100, Some(0)),
            (1234, Some(0)),
            (167_512, Some(0)),
            (999_999_999, Some(0)),
        ];
        let known = known.map(|(id, source)| Known { id, source });
        // Those of three digits at most are close to each other.
        for (count, sorted) in [
            (4, &[100, 2][..]),
            (7, &[100, 1234, 167_512, 2, 999_999_999]),
        ] {
            let (places, ordered) = Places::new(&known[..count], 2);
            assert_eq!(matches!(places, Places::Far(_)), count == 7);
            assert_eq!(ordered[0], sorted);
            let mut texts = ordered[0].iter().map(u32::to_string).collect::<Vec<_>>();
            texts.sort();
            assert!(ordered[0].iter().map(u32::to_string).eq(texts));
            for (food, id) in (0..).zip(&ordered[0]) {
                let at = At { source: 0, food };
                assert_eq!(places.find(*id), Found::Food(at));
            }
            assert_eq!(places.find(10), Found::Food(At { source: 1, food: 0 }));
            assert_eq!(places.find(11), Found::Other);
            for id in [0, 1, 12, 101, 167_513, u32::MAX] {
                assert_eq!(places.find(id), Found::Unknown);
            }
        }
        let (places, _) = Places::new(&[], 2);
        assert_eq!(places.find(1), Found::Unknown);
    }
}
