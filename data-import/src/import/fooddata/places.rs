//! Which foods there are, and where each has its place.

/// What is known of one row of `food.csv` before its details are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Known {
    /// Its `fdc_id`.
    pub(super) id: u32,
    /// Which source it belongs to; `None` if it is no food to eat.
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

/// The source is in the leading bits of a place; all of them set are none.
const SOURCE_BITS: u32 = 3;
const PLACE_BITS: u32 = u32::BITS - SOURCE_BITS;
const NONE: u32 = (1 << SOURCE_BITS) - 1;

/// Foods by `fdc_id`: a look-up goes to the right neighbourhood by the id's leading bits, and
/// searches there.
#[derive(Debug)]
pub(super) struct Places {
    /// Ids, each with its source and place, side by side so that both are fetched at once.
    rows: Vec<(u32, u32)>,
    /// Where the ids with the same leading bits begin.
    starts: Vec<u32>,
    shift: u32,
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
                list.sort_unstable();
                for (place, (_, row)) in (0..).zip(&list) {
                    if let Some(row) = rows.get_mut(*row as usize) {
                        row.1 = source << PLACE_BITS | place;
                    }
                }
                let id = |(_, row): &(_, u32)| known.get(*row as usize).map(|one| one.id);
                list.iter().filter_map(id).collect()
            });
        let ordered = ordered.collect();
        let most = known.last().map_or(0, |one| one.id);
        // As many neighbourhoods as ids, or fewer.
        let wanted = known.len().next_power_of_two().ilog2();
        let shift = (32 - most.leading_zeros()).saturating_sub(wanted);
        let starts = (0..=(most >> shift) + 1)
            .scan(0, |at, head| {
                while known.get(*at).is_some_and(|one| one.id >> shift < head) {
                    *at += 1;
                }
                u32::try_from(*at).ok()
            })
            .collect();
        let places = Self {
            rows,
            starts,
            shift,
        };
        (places, ordered)
    }

    /// Finds a food.
    #[inline]
    pub(super) fn find(&self, id: u32) -> Found {
        let head = (id >> self.shift) as usize;
        let start = self.starts.get(head).map(|start| *start as usize);
        let end = self.starts.get(head + 1).map(|end| *end as usize);
        let Some((start, end)) = start.zip(end) else {
            return Found::Unknown;
        };
        let near = self.rows.get(start..end).unwrap_or_default();
        let Ok(row) = near.binary_search_by_key(&id, |row| row.0) else {
            return Found::Unknown;
        };
        let packed = near.get(row).map_or(u32::MAX, |row| row.1);
        match packed >> PLACE_BITS {
            NONE => Found::Other,
            source => Found::Food(At {
                source: source as usize,
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
        let (places, ordered) = Places::new(&known, 2);
        assert_eq!(ordered[0], [100, 1234, 167_512, 2, 999_999_999]);
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
        let (places, _) = Places::new(&[], 2);
        assert_eq!(places.find(1), Found::Unknown);
    }
}
