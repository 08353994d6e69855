//! `food.csv`: which rows are foods to eat, and what they are called.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, PoisonError};
use std::thread;

use super::places::{Known, Places};
use super::{FOOD, KINDS, Pens, Reading, Wanted};
use crate::error::Error;
use crate::import::gather::{Chunk, Field, Gather, Store, long_records, push_long};
use crate::import::table::{self, Row};

const COLUMNS: Wanted = Wanted {
    required: &["fdc_id", "data_type", "description"],
    optional: &["food_category_id", "publication_date"],
};
const CATEGORY: &str = "food_category.csv";
const CATEGORY_COLUMNS: Wanted = Wanted::all(&["id", "code"]);
const SURVEY_CATEGORY: &str = "wweia_food_category.csv";
const SURVEY_CATEGORY_COLUMNS: Wanted =
    Wanted::all(&["wweia_food_category", "wweia_food_category_description"]);
const CURRENT_COLUMNS: Wanted = Wanted::all(&["fdc_id"]);
/// Place of the kind of food whose categories are its own.
const SURVEY: usize = 2;

/// The foods of all kinds.
#[derive(Debug)]
pub(super) struct Foods {
    pub(super) places: Places,
    /// Per kind, the ids in the order of their places.
    pub(super) ordered: Vec<Vec<u32>>,
    /// Per kind, the latest date of publication, ISO 8601; empty if there is none.
    pub(super) published: Vec<String>,
    /// Names and categories by `fdc_id`, in the store until each food has its place.
    texts: Vec<Chunk>,
}

/// Bytes of names and categories that a thread collects before it hands them to the store.
const PIECE: usize = 256 * 1024;

/// The foods that one thread has read from its blocks of `food.csv`.
struct Seen<'s> {
    store: &'s Store,
    known: Vec<Known>,
    /// Names and categories by ids, the last of them in `open`.
    texts: Vec<Chunk>,
    open: Vec<u8>,
    published: [String; KINDS.len()],
    /// Foundation foods by name, each with date and id: which is the newest version.
    versions: Vec<(String, String, u32)>,
}

impl Foods {
    /// Finds out which foods there are. Their names wait in the store for [`Foods::details`].
    pub(super) fn read(reading: &mut Reading<'_, '_>, store: &Store) -> Result<Self, Error> {
        let current = current_versions(reading)?;
        let look = |seen: &mut Seen<'_>, row: &Row<'_>| seen.look(row, current.is_none());
        let make = || Seen::new(store);
        let (mut states, digest) = table::read(reading.input(FOOD)?, &COLUMNS, make, look)?;
        reading.files.push(digest);
        thread::scope(|scope| {
            for seen in &mut states {
                scope.spawn(|| seen.known.sort_unstable_by_key(|one| one.id));
            }
        });
        let mut all = Seen::new(store);
        for mut seen in states {
            seen.set_aside()?;
            all.known.extend(seen.known);
            all.texts.extend(seen.texts);
            all.versions.extend(seen.versions);
            for (latest, date) in all.published.iter_mut().zip(seen.published) {
                *latest = date.max(std::mem::take(latest));
            }
        }
        // Each thread's are sorted; a stable sort merges such runs.
        all.known.sort_by_key(|one| one.id);
        let twice = all.known.windows(2).find(|two| two[0].id == two[1].id);
        if let Some(two) = twice {
            return Err(second_time(reading, two[0].id));
        }
        let current = current.unwrap_or_else(|| newest(all.versions));
        let mut dropped = 0;
        for food in all.known.iter_mut().filter(|food| food.source == Some(0)) {
            if !current.contains(&food.id) {
                food.source = None;
                dropped += 1;
            }
        }
        let others = all.known.iter().filter(|one| one.source.is_none()).count() - dropped;
        reading.warn(
            dropped,
            "older version of Foundation Foods was left out",
            "older versions of Foundation Foods were left out",
        );
        reading.warn(
            others,
            "row of food.csv is a sample or a purchase, not a food",
            "rows of food.csv are samples and purchases, not foods",
        );
        let (places, ordered) = Places::new(&all.known, KINDS.len());
        if ordered.iter().all(Vec::is_empty) {
            return Err(no_food());
        }
        Ok(Self {
            places,
            ordered,
            published: all.published.into(),
            texts: all.texts,
        })
    }

    /// Gathers the names and groups of the foods, now that each has its place.
    pub(super) fn details(
        &mut self,
        reading: &mut Reading<'_, '_>,
        gathers: &[Gather<'_>],
        store: &Store,
    ) -> Result<(), Error> {
        let groups = categories(reading, CATEGORY, &CATEGORY_COLUMNS)?;
        let survey = match gathers.get(SURVEY) {
            Some(gather) if gather.ids().len() > 0 => {
                categories(reading, SURVEY_CATEGORY, &SURVEY_CATEGORY_COLUMNS)?
            }
            _ => BTreeMap::new(),
        };
        let chunks = Mutex::new(std::mem::take(&mut self.texts).into_iter());
        let next = || chunks.lock().unwrap_or_else(PoisonError::into_inner).next();
        let work = || {
            let mut recorders = Pens::new(gathers);
            while let Some(chunk) = next() {
                let bytes = store.take(chunk)?;
                // All look-ups first: a core then waits for several of them at once, not for each.
                let found = long_records(&bytes).map(|(id, ..)| self.places.food(id));
                let found = found.collect::<Vec<_>>();
                for (at, (_, field, text)) in found.into_iter().zip(long_records(&bytes)) {
                    let Some(at) = at else { continue };
                    let Some(recorder) = recorders.of(at.source) else {
                        continue;
                    };
                    if field == NAME {
                        recorder.text(at.food, Field::Name, text)?;
                        continue;
                    }
                    let list = if at.source == SURVEY {
                        &survey
                    } else {
                        &groups
                    };
                    let category = str::from_utf8(text).ok();
                    if let Some(group) = category.and_then(|category| list.get(category)) {
                        recorder.text(at.food, Field::Group, group)?;
                    }
                }
            }
            recorders.finish()
        };
        let threads = thread::available_parallelism().map_or(1, usize::from);
        thread::scope(|scope| {
            let others = (1..threads).map(|_| scope.spawn(work)).collect::<Vec<_>>();
            let mut done = work();
            for thread in others {
                done = match thread.join() {
                    Ok(of_thread) => done.and(of_thread),
                    Err(panic) => std::panic::resume_unwind(panic),
                };
            }
            done
        })
    }
}

/// Mark a name and a category among the records that wait in the store.
const NAME: u32 = Field::Name as u32;
const CATEGORY_OF_FOOD: u32 = Field::Group as u32;

impl<'s> Seen<'s> {
    fn new(store: &'s Store) -> Self {
        Self {
            store,
            known: Vec::new(),
            texts: Vec::new(),
            open: Vec::new(),
            published: Default::default(),
            versions: Vec::new(),
        }
    }

    fn look(&mut self, row: &Row<'_>, versions: bool) -> Result<(), Error> {
        let Some(id) = row.whole(0)?.filter(|id| *id > 0) else {
            return Err(row.wrong(0, "a food without an fdc_id"));
        };
        let kind = row.raw(1);
        let source = KINDS
            .iter()
            .position(|known| known.data_type.as_bytes() == kind);
        let date = row.raw(4);
        if let Some(latest) = source.and_then(|kind| self.published.get_mut(kind))
            && is_date(date)
            && latest.as_bytes() < date
        {
            *latest = row.text(4)?.into_owned();
        }
        if versions && source == Some(0) {
            let (name, date) = (row.text(2)?.into_owned(), row.text(4)?.into_owned());
            self.versions.push((name, date, id));
        }
        if source.is_some() {
            push_long(&mut self.open, id, NAME, &[row.text(2)?.as_bytes()]);
            let category = row.text(3)?;
            if !category.is_empty() {
                push_long(&mut self.open, id, CATEGORY_OF_FOOD, &[category.as_bytes()]);
            }
            if self.open.len() >= PIECE {
                self.set_aside()?;
            }
        }
        self.known.push(Known {
            id,
            source: source.and_then(|source| u8::try_from(source).ok()),
        });
        Ok(())
    }

    /// Hands over what the foods read last are called.
    fn set_aside(&mut self) -> Result<(), Error> {
        if !self.open.is_empty() {
            self.texts.push(self.store.keep(&mut self.open)?);
        }
        Ok(())
    }
}

/// `2024-10-31`.
fn is_date(text: &[u8]) -> bool {
    text.len() == 10
        && text
            .iter()
            .all(|byte| byte.is_ascii_digit() || *byte == b'-')
}

/// The Foundation Foods that are in force; `None` if the file that lists them is not there.
fn current_versions(reading: &mut Reading<'_, '_>) -> Result<Option<BTreeSet<u32>>, Error> {
    let file = KINDS[0].file;
    if !reading.source.has(file) {
        return Ok(None);
    }
    let mut current = BTreeSet::new();
    reading.rows(file, &CURRENT_COLUMNS, |row| {
        current.extend(row.whole(0)?);
        Ok(())
    })?;
    Ok(Some(current))
}

/// Of foods of the same name, the one published last.
fn newest(mut versions: Vec<(String, String, u32)>) -> BTreeSet<u32> {
    versions.sort_unstable();
    let mut newest = BTreeSet::new();
    for (place, (name, _, id)) in versions.iter().enumerate() {
        if versions.get(place + 1).is_none_or(|next| next.0 != *name) {
            newest.insert(*id);
        }
    }
    newest
}

/// The texts of a file of categories by their ids.
fn categories(
    reading: &mut Reading<'_, '_>,
    file: &str,
    columns: &Wanted,
) -> Result<BTreeMap<String, String>, Error> {
    let mut list = BTreeMap::new();
    reading.optional_rows((file, "foods have no group"), columns, |row| {
        list.insert(row.text(0)?.into_owned(), row.text(1)?.into_owned());
        Ok(())
    })?;
    Ok(list)
}

/// The error that an id is there twice, at the second of its rows.
fn second_time(reading: &mut Reading<'_, '_>, id: u32) -> Error {
    let mut count = 0;
    let scanned = reading.input(FOOD).and_then(|input| {
        table::read_in_order(input, &COLUMNS, |row| {
            count += usize::from(row.whole(0)? == Some(id));
            match count {
                0 | 1 => Ok(()),
                _ => Err(row.wrong(0, &format!("food {id} is there a second time"))),
            }
        })
    });
    scanned.err().unwrap_or_else(no_food)
}

fn no_food() -> Error {
    Error::in_file(FOOD, None, "it holds no food of a kind that is eaten")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_version_of_a_name_counts() {
        let version = |name: &str, date: &str, id| (name.to_owned(), date.to_owned(), id);
        let versions = vec![
            version("Peas", "2020-10-30", 9),
            version("Kale", "2019-04-01", 1),
            version("Peas", "2020-10-30", 8),
            version("Peas", "2019-12-16", 12),
        ];
        assert_eq!(newest(versions), BTreeSet::from([1, 9]));
    }
}
