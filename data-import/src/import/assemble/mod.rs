//! The foods and values of one source, put in order and written as its tables.
//!
//! Group after group is taken out, on as many threads as there are cores, and written in order
//! while the next ones are worked on.

mod cells;
mod details;
mod group;

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::sync_channel;
use std::thread;

use super::gather::Gather;
use super::{Progress, Stage, Watcher};
use crate::cache::columns::{
    AMOUNT, DATA_POINTS, DERIVATION, FACTOR_CARBOHYDRATE, FACTOR_FAT, FACTOR_NITROGEN,
    FACTOR_PROTEIN, FOOD_COLUMNS, GRAMS, ID, NAME, NUTRIENT, ORIGIN, REFUSE_PERCENT, SEQUENCE,
    SERVING_SIZE, SOURCE_CODE, STANDARD_ERROR, TAKEN_FROM, UNIT,
};
use crate::cache::shape::{Kind, Packing, RowGroup, Shape};
use crate::cache::{Folder, NewTable};
use crate::error::Error;
use crate::manifest::{FileDigest, SourceInfo};
use crate::nutrient::{Nutrient, all_nutrients};
use group::Tally;

/// One source, gathered.
#[derive(Debug)]
pub(crate) struct Gathered<'s> {
    pub(crate) gather: Gather<'s>,
    pub(crate) release: Release,
    pub(crate) rules: Rules,
}

/// What a reader knows about a source once it is read.
#[derive(Debug)]
pub(crate) struct Release {
    /// One of the cache's sources.
    pub(crate) id: &'static str,
    pub(crate) name: String,
    pub(crate) release: String,
    pub(crate) format: String,
    /// The source as each food names it, unless the food has a text of its own.
    pub(crate) label: String,
    pub(crate) files: Vec<FileDigest>,
    pub(crate) warnings: Vec<String>,
}

/// How the values of a source are put together.
#[derive(Debug, Default)]
pub(crate) struct Rules {
    /// What stands in for a nutrient that a food lacks, the best first.
    pub(crate) fallbacks: Vec<Fallback>,
    /// Derivation codes by their places in the marks; the first is empty.
    pub(crate) derivations: Vec<String>,
    /// Source codes by their places in the marks; the first is empty.
    pub(crate) sources: Vec<String>,
    /// Whether the source says where its values come from.
    pub(crate) provenance: bool,
    /// Whether its tables become part of the program.
    pub(crate) built_in: bool,
}

/// A nutrient that stands in for another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fallback {
    /// Place of the nutrient that may be lacking.
    pub(crate) target: u16,
    /// Place of the one that stands in.
    pub(crate) from: u16,
    /// Its amount times this is the amount.
    pub(crate) factor: f64,
}

/// The tables of one source while they are written.
struct Shapes {
    foods: Shape,
    measures: Shape,
    provenance: Shape,
    /// Places of the nutrients that have a column, in the order of the columns.
    nutrients: Vec<u16>,
}

/// The row groups of one group of foods.
struct Assembled {
    foods: RowGroup,
    measures: RowGroup,
    provenance: Option<RowGroup>,
    tally: Tally,
}

/// Writes the tables of a source.
pub(super) fn write(
    folder: &Folder,
    gathered: Gathered<'_>,
    imported: &str,
    watcher: &mut Watcher<'_>,
) -> Result<SourceInfo, Error> {
    let release = &gathered.release;
    let shapes = Shapes::new(&gathered, folder)?;
    let mut foods = folder.create("foods", release.id, &shapes.foods)?;
    let mut measures = folder.create("measures", release.id, &shapes.measures)?;
    let mut provenance = if gathered.rules.provenance {
        Some(folder.create("provenance", release.id, &shapes.provenance)?)
    } else {
        None
    };
    let mut tally = Tally::default();
    let groups = gathered.gather.groups();
    in_order(
        groups,
        |group| group::assemble(&gathered, &shapes, group, folder),
        |done, group| {
            let group = group?;
            foods.write(&group.foods)?;
            measures.write(&group.measures)?;
            write_some(provenance.as_mut(), group.provenance.as_ref())?;
            tally.add(&group.tally);
            watcher(Progress {
                stage: Stage::Writing,
                file: release.id,
                done: done as u64,
                total: groups as u64,
            });
            Ok(())
        },
    )?;
    let provenance = provenance.map(NewTable::end).transpose()?;
    let tables = folder.place(foods.end()?, measures.end()?, provenance)?;
    let known = all_nutrients()?;
    let mut warnings = gathered.release.warnings;
    warnings.extend(tally.warnings(&gathered.rules, known));
    Ok(SourceInfo {
        id: gathered.release.id.to_owned(),
        name: gathered.release.name,
        release: gathered.release.release,
        format: gathered.release.format,
        imported: imported.to_owned(),
        foods: usize::try_from(tables.foods.rows).unwrap_or(usize::MAX),
        nutrients: shapes.nutrients.len(),
        values: tally.values,
        measures: usize::try_from(tables.measures.rows).unwrap_or(usize::MAX),
        warnings,
        files: gathered.release.files,
        tables,
    })
}

fn write_some(table: Option<&mut NewTable<'_>>, group: Option<&RowGroup>) -> Result<(), Error> {
    match (table, group) {
        (Some(table), Some(group)) => table.write(group),
        _ => Ok(()),
    }
}

fn encoding(folder: &Folder, error: polars::prelude::PolarsError) -> Error {
    Error::io("write", folder.path(), std::io::Error::other(error))
}

/// Works on `0..count` by as many threads as there are cores, and hands the results on in order.
/// Few results wait at any time.
fn in_order<T: Send>(
    count: usize,
    work: impl Fn(usize) -> T + Sync,
    mut hand_on: impl FnMut(usize, T) -> Result<(), Error>,
) -> Result<(), Error> {
    let threads = thread::available_parallelism().map_or(1, usize::from);
    let next = AtomicUsize::new(0);
    thread::scope(|scope| {
        let (send, receive) = sync_channel(1);
        for _ in 0..threads {
            let (send, next, work) = (send.clone(), &next, &work);
            scope.spawn(move || {
                loop {
                    let place = next.fetch_add(1, Ordering::Relaxed);
                    // The receiver is gone once something has failed.
                    if place >= count || send.send((place, work(place))).is_err() {
                        return;
                    }
                }
            });
        }
        drop(send);
        let mut early = BTreeMap::new();
        for wanted in 0..count {
            let result = loop {
                if let Some(result) = early.remove(&wanted) {
                    break result;
                }
                match receive.recv() {
                    Ok((place, result)) => early.insert(place, result),
                    // A thread panicked; the scope passes it on.
                    Err(_) => return Ok(()),
                };
            };
            hand_on(wanted + 1, result)?;
        }
        Ok(())
    })
}

impl Shapes {
    fn new(gathered: &Gathered<'_>, folder: &Folder) -> Result<Self, Error> {
        let known = all_nutrients()?;
        let gather = &gathered.gather;
        let stands_in = |place| {
            let mut fallbacks = gathered.rules.fallbacks.iter();
            fallbacks.any(|one| one.target == place && gather.has(one.from))
        };
        let places = (0..).zip(known).map(|(place, _)| place);
        let nutrients = places
            .filter(|&place| gather.has(place) || stands_in(place))
            .collect::<Vec<u16>>();
        let packing = if gathered.rules.built_in {
            Packing::None
        } else {
            Packing::Fast
        };
        let food_columns = FOOD_COLUMNS.into_iter().map(|name| (name, food_kind(name)));
        let tags = nutrients.iter().filter_map(|place| tag(known, *place));
        let tags = tags.map(|tag| (tag, Kind::Number));
        let failed = |error| encoding(folder, error);
        Ok(Self {
            foods: Shape::new(food_columns.chain(tags), packing).map_err(failed)?,
            measures: Shape::new(MEASURES.into_iter(), packing).map_err(failed)?,
            provenance: Shape::new(PROVENANCE.into_iter(), packing).map_err(failed)?,
            nutrients,
        })
    }
}

fn tag(known: &[Nutrient], place: u16) -> Option<&str> {
    known
        .get(usize::from(place))
        .map(|nutrient| nutrient.tag.as_str())
}

const MEASURES: [(&str, Kind); 5] = [
    (ID, Kind::Text),
    (SEQUENCE, Kind::Count),
    (AMOUNT, Kind::Number),
    (UNIT, Kind::Text),
    (GRAMS, Kind::Number),
];

const PROVENANCE: [(&str, Kind); 8] = [
    (ID, Kind::Text),
    (NUTRIENT, Kind::Count),
    (DATA_POINTS, Kind::Count),
    (STANDARD_ERROR, Kind::Number),
    (ORIGIN, Kind::Text),
    (DERIVATION, Kind::Text),
    (SOURCE_CODE, Kind::Text),
    (TAKEN_FROM, Kind::Count),
];

fn food_kind(column: &str) -> Kind {
    match column {
        REFUSE_PERCENT | FACTOR_PROTEIN | FACTOR_FAT | FACTOR_CARBOHYDRATE | FACTOR_NITROGEN
        | SERVING_SIZE => Kind::Number,
        ID | NAME => Kind::Name,
        _ => Kind::Text,
    }
}
