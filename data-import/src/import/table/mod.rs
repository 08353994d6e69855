//! Tables in CSV with a header, read by several threads.
//!
//! One thread reads and cuts the file into blocks that end where a record ends; the others take
//! the blocks apart. By RFC 4180: fields between quotes may hold commas, line breaks and doubled
//! quotes. Anything looser than that is an error with its place, since a stray quote would
//! otherwise swallow half of the file.

mod blocks;
mod record;

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::sync::{Mutex, PoisonError};
use std::thread;

use blocks::{Block, Blocks};
pub(super) use record::Row;
use record::{Fields, Frame};

use super::input::Input;
use crate::error::{Error, Place};
use crate::manifest::FileDigest;

/// The columns a reader asks for: a row gives them in this order.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    /// Without one of these, the file cannot be used.
    pub(super) required: &'static [&'static str],
    /// Without one of these, its fields are empty.
    pub(super) optional: &'static [&'static str],
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
    let file = input.name();
    let threads = match input.total() {
        0..SMALL => 1,
        _ => thread::available_parallelism().map_or(1, usize::from),
    };
    let mut blocks = Blocks::new(input);
    let Some(mut first) = blocks.next()? else {
        return Err(whole(file, "it is empty"));
    };
    let frame = header(&mut first, file, wanted)?;
    let states = if threads == 1 {
        let mut state = make();
        let mut next = Some(first);
        while let Some(block) = next {
            rows(&frame, &block, &mut state, &row)?;
            blocks.give_back(block);
            next = blocks.next()?;
        }
        vec![state]
    } else {
        let work = |state: &mut S, block: &Block| rows(&frame, block, state, &row);
        in_parallel(&mut blocks, first, threads, make, work)?
    };
    Ok((states, blocks.finish()))
}

/// Reads a table row by row, on this thread.
pub(super) fn read_in_order(
    input: Input<'_, '_>,
    wanted: &Wanted,
    mut row: impl FnMut(&Row<'_>) -> Result<(), Error>,
) -> Result<FileDigest, Error> {
    let file = input.name();
    let mut blocks = Blocks::new(input);
    let Some(mut first) = blocks.next()? else {
        return Err(whole(file, "it is empty"));
    };
    let frame = header(&mut first, file, wanted)?;
    let mut next = Some(first);
    while let Some(block) = next {
        let mut fields = Fields::new(&block, file);
        while fields.next()? {
            row(&fields.row(&frame)?)?;
        }
        blocks.give_back(block);
        next = blocks.next()?;
    }
    Ok(blocks.finish())
}

fn rows<S>(
    frame: &Frame<'_>,
    block: &Block,
    state: &mut S,
    row: &impl Fn(&mut S, &Row<'_>) -> Result<(), Error>,
) -> Result<(), Error> {
    let mut fields = Fields::new(block, frame.file);
    while fields.next()? {
        row(state, &fields.row(frame)?)?;
    }
    Ok(())
}

/// Reads the header off the first block.
fn header<'f>(first: &mut Block, file: &'f str, wanted: &Wanted) -> Result<Frame<'f>, Error> {
    let mut fields = Fields::new(first, file);
    if !fields.next()? {
        return Err(whole(file, "it is empty"));
    }
    let names = fields.texts()?;
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
        return Err(Error::Data {
            place: Place {
                file: file.to_owned(),
                line: Some(1),
                column: None,
            },
            problem: format!("the header lacks {columns}"),
        });
    }
    let all = wanted.required.iter().chain(wanted.optional);
    let frame = Frame {
        file,
        places: all.map(place).collect(),
        columns: names.len(),
    };
    first.start = end;
    Ok(frame)
}

fn whole(file: &str, problem: &str) -> Error {
    Error::Data {
        place: Place {
            file: file.to_owned(),
            line: None,
            column: None,
        },
        problem: problem.to_owned(),
    }
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

fn in_parallel<S: Send>(
    blocks: &mut Blocks<'_, '_>,
    first: Block,
    threads: usize,
    make: impl Fn() -> S + Sync,
    work: impl Fn(&mut S, &Block) -> Result<(), Error> + Sync,
) -> Result<Vec<S>, Error> {
    let (failure, stop) = (Failure::default(), AtomicBool::new(false));
    let (send, receive) = sync_channel::<Block>(threads);
    let (give_back, taken_back) = sync_channel::<Block>(4 * threads);
    let receive = Mutex::new(receive);
    let worker = || {
        let mut state = make();
        while let Some(block) = next_of(&receive) {
            if let Err(error) = work(&mut state, &block) {
                stop.store(true, Ordering::Relaxed);
                failure.tell(block.sequence, error);
                // The others are to be read on, so that the sender does not wait for ever.
            }
            // Nobody may be waiting for it any more.
            give_back.try_send(block).unwrap_or_default();
        }
        state
    };
    let (states, done) = thread::scope(|scope| {
        let running = (0..threads)
            .map(|_| scope.spawn(worker))
            .collect::<Vec<_>>();
        let done = send_all(blocks, first, send, &taken_back, &stop);
        let join = |thread: thread::ScopedJoinHandle<'_, S>| match thread.join() {
            Ok(state) => state,
            Err(panic) => std::panic::resume_unwind(panic),
        };
        (running.into_iter().map(join).collect::<Vec<_>>(), done)
    });
    match failure.take() {
        Some(error) => Err(error),
        None => done.map(|()| states),
    }
}

fn next_of(receive: &Mutex<Receiver<Block>>) -> Option<Block> {
    let receive = receive.lock().unwrap_or_else(PoisonError::into_inner);
    receive.recv().ok()
}

fn send_all(
    blocks: &mut Blocks<'_, '_>,
    first: Block,
    send: SyncSender<Block>,
    taken_back: &Receiver<Block>,
    stop: &AtomicBool,
) -> Result<(), Error> {
    let mut next = Some(first);
    while let Some(block) = next {
        // It can only fail when every worker is gone, and then `stop` is set.
        send.send(block).unwrap_or_default();
        while let Ok(block) = taken_back.try_recv() {
            blocks.give_back(block);
        }
        next = if stop.load(Ordering::Relaxed) {
            None
        } else {
            blocks.next()?
        };
    }
    drop(send);
    Ok(())
}
