//! Tables in CSV with a header, read by several threads.
//!
//! The file is cut into blocks that end where a record ends. Each thread reads one in its turn, and takes
//! it apart while others read the next: so a core works on bytes that are in its own cache.
//!
//! By RFC 4180: fields between quotes may hold commas, line breaks and doubled
//! quotes. Anything looser than that is an error with its place, since a stray quote would
//! otherwise swallow half of the file.

mod batch;
mod blocks;
mod marks;
mod record;
mod row;

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread;

use batch::Batch;
use blocks::{Block, Blocks};
use record::Fields;
pub(super) use row::Row;
use row::{Frame, NOT_UTF8};

use super::input::Input;
use crate::error::Error;
use crate::manifest::FileDigest;

/// The columns a reader asks for: a row gives them in this order.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    /// Without one of these, the file cannot be used.
    pub(super) required: &'static [&'static str],
    /// Without one of these, its fields are empty.
    pub(super) optional: &'static [&'static str],
}

impl Wanted {
    /// Columns without one of which the file cannot be used.
    pub(super) const fn all(required: &'static [&'static str]) -> Self {
        let optional = &[];
        Self { required, optional }
    }
}

/// A file of less than this is not worth a second thread.
const SMALL: u64 = 4 << 20;

/// Reads a table. Each thread makes a state of its own, and is handed the rows in the order of the
/// file, but for those that other threads are handed.
pub(super) fn read<S: Send>(
    input: Input<'_, '_>,
    wanted: &Wanted,
    make: impl Fn() -> S + Sync,
    row: impl Fn(&mut S, &Row<'_>) -> Result<(), Error> + Sync,
) -> Result<(Vec<S>, FileDigest), Error> {
    read_keyed(
        input,
        wanted,
        make,
        |_| (),
        |state, one, ()| row(state, one),
    )
}

/// Reads a table, and hands on each row with what `find` says of the whole number in its first column;
/// it is asked for `None` where there is none.
pub(super) fn read_keyed<S: Send, T: Copy + Send>(
    input: Input<'_, '_>,
    wanted: &Wanted,
    make: impl Fn() -> S + Sync,
    find: impl Fn(Option<u32>) -> T + Sync,
    row: impl Fn(&mut S, &Row<'_>, T) -> Result<(), Error> + Sync,
) -> Result<(Vec<S>, FileDigest), Error> {
    let threads = match input.total() {
        0..SMALL => 1,
        _ => thread::available_parallelism().map_or(1, usize::from),
    };
    let mut first = Block::new(input.name());
    let mut blocks = Blocks::new(input);
    let frame = header(&mut blocks, &mut first, wanted)?;
    let make = || (make(), Batch::new());
    let work = |(state, batch): &mut (S, Batch<T>), block: &Block<'_>| {
        batch.rows(block, &frame, &find, |one, found| row(state, one, found))
    };
    let states = in_turns(&mut blocks, first, threads, make, work)?;
    let states = states.into_iter().map(|(state, _)| state).collect();
    Ok((states, blocks.finish()))
}

/// Reads a table row by row, on this thread.
pub(super) fn read_in_order(
    input: Input<'_, '_>,
    wanted: &Wanted,
    mut row: impl FnMut(&Row<'_>) -> Result<(), Error>,
) -> Result<FileDigest, Error> {
    let mut block = Block::new(input.name());
    let mut blocks = Blocks::new(input);
    let frame = header(&mut blocks, &mut block, wanted)?;
    let mut batch = Batch::new();
    loop {
        batch.rows(&block, &frame, |_| (), |one, ()| row(one))?;
        if !blocks.next(&mut block)? {
            return Ok(blocks.finish());
        }
    }
}

/// Reads the first block, and the header off it.
fn header(
    blocks: &mut Blocks<'_, '_>,
    first: &mut Block<'_>,
    wanted: &Wanted,
) -> Result<Frame, Error> {
    let file = blocks.file();
    blocks.next(first)?;
    let mut fields = Fields::new(first);
    let Some(header) = fields.all()? else {
        return Err(Error::in_file(file, None, "it is empty"));
    };
    let names = header.into_iter().map(|field| {
        let text = std::str::from_utf8(first.bytes().get(field.range()).unwrap_or_default());
        let text = text.map_err(|_| first.wrong(field.start as usize, NOT_UTF8))?;
        Ok(text.trim().to_owned())
    });
    let names = names.collect::<Result<Vec<_>, Error>>()?;
    let end = fields.end();
    let place = |wanted: &&str| {
        names
            .iter()
            .position(|name| name.eq_ignore_ascii_case(wanted))
    };
    let missing = wanted.required.iter().filter(|name| place(name).is_none());
    let missing = missing.copied().collect::<Vec<_>>();
    if !missing.is_empty() {
        let columns = missing.join(", ");
        let problem = format!("the header lacks {columns}");
        return Err(Error::in_file(file, Some(1), problem));
    }
    let all = wanted.required.iter().chain(wanted.optional);
    let places = all.map(place).collect::<Vec<_>>();
    let frame = Frame {
        wanted: places.iter().flatten().max().map_or(1, |last| last + 1),
        places,
        columns: names.len(),
    };
    first.start = end;
    Ok(frame)
}

/// The first error by its place in the file, whichever thread met it.
#[derive(Default)]
struct Failure(Mutex<Option<(u64, Error)>>);

impl Failure {
    fn tell(&self, sequence: u64, error: Error) {
        let mut first = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if first.as_ref().is_none_or(|(known, _)| sequence < *known) {
            *first = Some((sequence, error));
        }
    }

    fn take(self) -> Option<Error> {
        let first = self.0.into_inner().unwrap_or_else(PoisonError::into_inner);
        first.map(|(_, error)| error)
    }
}

/// What the threads take turns at.
struct Turn<'t, 'a, 'w> {
    blocks: &'t mut Blocks<'a, 'w>,
    /// The block that was read before the threads began.
    first: Option<Block<'a>>,
}

impl<'a> Turn<'_, 'a, '_> {
    /// The next block, in the memory of one that is done with; `None` at the end.
    fn next(&mut self, mut done: Block<'a>) -> Result<Option<Block<'a>>, (u64, Error)> {
        if let Some(first) = self.first.take() {
            return Ok(Some(first));
        }
        match self.blocks.next(&mut done) {
            Ok(more) => Ok(more.then_some(done)),
            Err(error) => Err((self.blocks.sequence(), error)),
        }
    }
}

/// Works on all blocks, on this thread and others.
fn in_turns<'a, S: Send>(
    blocks: &mut Blocks<'a, '_>,
    first: Block<'a>,
    threads: usize,
    make: impl Fn() -> S + Sync,
    work: impl Fn(&mut S, &Block<'_>) -> Result<(), Error> + Sync,
) -> Result<Vec<S>, Error> {
    let (failure, stop) = (Failure::default(), AtomicBool::new(false));
    let file = blocks.file();
    let first = Some(first);
    let turn = Mutex::new(Turn { blocks, first });
    let worker = || {
        let (mut state, mut done) = (make(), Block::new(file));
        // Once something has failed, nobody begins another block; those before it are gone through.
        while !stop.load(Ordering::Relaxed) {
            let next = turn
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .next(done);
            let worked = match next {
                Ok(None) => break,
                Ok(Some(block)) => {
                    let worked = work(&mut state, &block);
                    let worked = worked.map_err(|error| (block.sequence, error));
                    done = block;
                    worked
                }
                Err(failed) => {
                    done = Block::new(file);
                    Err(failed)
                }
            };
            if let Err((sequence, error)) = worked {
                stop.store(true, Ordering::Relaxed);
                failure.tell(sequence, error);
            }
        }
        state
    };
    let states = thread::scope(|scope| {
        let others = (1..threads)
            .map(|_| scope.spawn(worker))
            .collect::<Vec<_>>();
        let mut states = vec![worker()];
        states.extend(others.into_iter().map(|thread| match thread.join() {
            Ok(state) => state,
            Err(panic) => std::panic::resume_unwind(panic),
        }));
        states
    });
    match failure.take() {
        Some(error) => Err(error),
        None => Ok(states),
    }
}
