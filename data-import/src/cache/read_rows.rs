//! The rows of a table that were read last. A table does not change while it is open, and one
//! command asks for the same few foods many times: where they are read, where they are cooked,
//! where they are judged.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use crate::error::Error;
use crate::food::FoodId;

/// The most foods that are kept: those of a household's recipes, not those of a whole table.
const MOST: usize = 512;

/// The row of each food that was read; `None` for a food that the table does not have.
#[derive(Debug)]
pub(super) struct ReadRows<T>(Mutex<BTreeMap<FoodId, Option<T>>>);

impl<T> Default for ReadRows<T> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<T: Clone> ReadRows<T> {
    /// The rows of these foods, in their order. Foods that are not kept are read now, all at once.
    pub(super) fn get_or_read(
        &self,
        ids: &[FoodId],
        read: impl FnOnce(&[FoodId]) -> Result<BTreeMap<FoodId, T>, Error>,
    ) -> Result<Vec<Option<T>>, Error> {
        if ids.is_empty() {
            return Ok(Vec::new());
        }
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let unread = ids.iter().filter(|id| !kept.contains_key(*id));
        let unread: Vec<FoodId> = unread.cloned().collect();
        let mut found = if unread.is_empty() {
            BTreeMap::new()
        } else {
            read(&unread)?
        };
        if unread.len() > MOST {
            let known = |id: &FoodId| found.get(id).or_else(|| kept.get(id)?.as_ref());
            return Ok(ids.iter().map(|id| known(id).cloned()).collect());
        }
        if kept.len() + unread.len() > MOST {
            let asked = |id: &FoodId, _: &mut Option<T>| ids.contains(id);
            kept.retain(asked);
        }
        for id in unread {
            // A food that is asked for twice is found once.
            kept.entry(id).or_insert_with_key(|id| found.remove(id));
        }
        Ok(ids.iter().map(|id| kept.get(id)?.clone()).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn id(number: usize) -> FoodId {
        (10_000 + number).to_string().parse().unwrap()
    }

    #[test]
    fn a_row_is_read_once_and_one_that_is_not_there_stays_away() {
        let kept = ReadRows::default();
        let table = BTreeMap::from([(id(1), "one"), (id(2), "two")]);
        let read = |ids: &[FoodId]| {
            let had = ids
                .iter()
                .filter_map(|id| Some((id.clone(), *table.get(id)?)));
            Ok(had.collect())
        };
        let asked = [id(2), id(3), id(1)];
        let expected = vec![Some("two"), None, Some("one")];
        assert_eq!(kept.get_or_read(&asked, read).unwrap(), expected);
        let again = kept.get_or_read(&asked, |ids| panic!("{ids:?} was read before"));
        assert_eq!(again.unwrap(), expected);
    }

    #[test]
    fn all_that_is_asked_for_comes_however_much_it_is() {
        let kept = ReadRows::default();
        let read = |ids: &[FoodId]| Ok(ids.iter().map(|id| (id.clone(), id.clone())).collect());
        for most in [3, MOST, 2 * MOST] {
            let asked: Vec<FoodId> = (0..most).map(id).collect();
            let found = kept.get_or_read(&asked, read).unwrap();
            assert!(found.into_iter().flatten().eq(asked));
        }
        let mixed: Vec<FoodId> = (0..3).chain(3 * MOST..4 * MOST - 2).map(id).collect();
        let found = kept.get_or_read(&mixed, read).unwrap();
        assert!(found.into_iter().flatten().eq(mixed));
        assert!(kept.0.lock().unwrap().len() <= MOST + 3);
    }
}
