//! The search index over the names of a table, read on all cores.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::sync_channel;
use std::thread;

use data_import::{Error, FoodTable, NameGroup};

use super::found::entry;
use super::search::{Entry, IndexBuilder, NameChunk, NameReader};

/// Packets from a shop; every other source holds basic foods.
const BRANDED: &str = "branded";
/// Chunks of each reader that may wait to be written, so that memory stays small.
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
    let mut builder = IndexBuilder::new(sink);
    let cores = thread::available_parallelism().map_or(1, usize::from);
    let readers: Vec<_> = (0..cores.min(groups.len()))
        .map(|_| builder.reader())
        .collect();
    let (send, receive) = sync_channel(WAITING * cores);
    let next = AtomicUsize::new(0);
    thread::scope(|scope| {
        for mut reader in readers {
            let (send, next, groups) = (send.clone(), &next, &groups);
            scope.spawn(move || {
                // Nobody receives once the writing has failed.
                while let number = next.fetch_add(1, Ordering::Relaxed)
                    && let Some(group) = groups.get(number)
                    && send
                        .send((number, read(&mut reader, table, *group)))
                        .is_ok()
                {}
            });
        }
        drop(send);
        // Chunks come as they are ready, and are written in the order of the groups.
        let (mut early, mut due) = (BTreeMap::new(), 0);
        for (number, chunk) in receive {
            early.insert(number, chunk?);
            while let Some(chunk) = early.remove(&due) {
                builder.push_chunk(&chunk)?;
                due += 1;
            }
        }
        Ok(builder.finish(stamp)?)
    })
}

fn read(
    reader: &mut NameReader,
    table: &FoodTable,
    group: NameGroup,
) -> Result<NameChunk, IndexWritingError> {
    let branded = table
        .sources()
        .get(group.source)
        .is_some_and(|source| source.id == BRANDED);
    let source_rank = u8::try_from(group.source)
        .map_err(|_| io::Error::other("more than 255 sources of foods"))?;
    let names = table.names_of(group)?.into_iter();
    let entries: Vec<Entry> = names
        .map(|name| Entry {
            branded,
            source_rank,
            ..entry(name)
        })
        .collect();
    Ok(reader.read(&entries))
}
