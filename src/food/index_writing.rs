//! The search index over the names of a table, read on all cores.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::sync_channel;
use std::thread;

use data_import::{Error, FoodTable, NameGroup};

use super::search::{EntryRef, FOODS_OF_PART, IndexBuilder, PartWriter, WrittenPart};

/// Packets from a shop; every other source holds basic foods.
const BRANDED: &str = "branded";
/// Parts of each thread that may wait to be written, so that memory stays small.
const WAITING: usize = 2;

/// Why an index was not written.
#[derive(Debug, thiserror::Error)]
pub(super) enum IndexWritingError {
    /// The names do not read.
    #[error(transparent)]
    Names(#[from] Error),
    /// The index could not be written.
    #[error(transparent)]
    Written(#[from] io::Error),
}

/// Writes the index of a table. The bytes do not depend on how many threads read.
pub(super) fn write_index<W: Write>(
    sink: W,
    table: &FoodTable,
    stamp: &str,
) -> Result<W, IndexWritingError> {
    let groups = table.name_groups();
    let parts = parts(&groups);
    let mut builder = IndexBuilder::new(sink);
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let (send, receive) = sync_channel(WAITING * cores);
    let next = AtomicUsize::new(0);
    thread::scope(|scope| {
        for _ in 0..cores.min(parts.len()) {
            let (send, next, parts) = (send.clone(), &next, &parts);
            scope.spawn(move || {
                let mut writer = PartWriter::default();
                // The receiver is gone once the writing has failed.
                while let number = next.fetch_add(1, Ordering::Relaxed)
                    && let Some(groups) = parts.get(number)
                    && send
                        .send((number, part(&mut writer, table, groups)))
                        .is_ok()
                {}
            });
        }
        drop(send);
        // Parts come as they are ready, and are written in the order of the groups.
        let (mut early, mut due) = (BTreeMap::new(), 0);
        for (number, part) in receive {
            early.insert(number, part?);
            while let Some(part) = early.remove(&due) {
                if let Some(part) = part {
                    builder.push_part(&part)?;
                }
                due += 1;
            }
        }
        Ok(builder.finish(stamp)?)
    })
}

/// Groups of one source that follow each other, as many as make a part of the index.
fn parts(groups: &[NameGroup]) -> Vec<&[NameGroup]> {
    let (mut parts, mut rest) = (Vec::new(), groups);
    while let Some(first) = rest.first() {
        let mut foods = 0;
        let fits = rest.iter().take_while(|group| {
            foods += group.foods;
            group.source == first.source && foods <= FOODS_OF_PART
        });
        let (part, later) = rest.split_at(fits.count().max(1));
        parts.push(part);
        rest = later;
    }
    parts
}

fn part(
    writer: &mut PartWriter,
    table: &FoodTable,
    groups: &[NameGroup],
) -> Result<Option<WrittenPart>, IndexWritingError> {
    for group in groups {
        let source = table.sources().get(group.source);
        let branded = source.is_some_and(|source| source.id == BRANDED);
        let source_rank = u8::try_from(group.source)
            .map_err(|_| io::Error::other("more than 255 sources of foods"))?;
        for name in table.names_of(*group)?.iter() {
            writer.add(EntryRef {
                id: name.id,
                name: name.name,
                common_names: name.common_names,
                manufacturer: name.manufacturer,
                group: name.group,
                branded,
                source_rank,
            })?;
        }
    }
    Ok(writer.finish()?)
}
