//! Foods and values from the readers, which come in any order, split by food.
//!
//! The foods of a source are known before anything else about them is read, so each has a place in
//! the order of the cache. What is read about a food goes into the group its place is in: into
//! memory while there is room, else into a spill file. Later, one group after another is taken
//! out, put in order, and written as one row group; memory is bounded by the limit and by the
//! largest group, whatever the size of the dataset and the order of its rows.

mod ids;
mod record;
mod spill;
mod value;

use std::mem;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

pub(crate) use ids::Ids;
pub(crate) use record::{Field, long_records, push_long};
use spill::{Piece, Spill};
pub(crate) use value::{Kind, Mark, Record, Value, records};

use crate::error::Error;
use crate::measure::Measure;

/// Foods in a group of a small source, as a power of two: 512, few enough to decode at once for one
/// look-up.
const SMALL: u32 = 9;
/// Foods in a group of a source that becomes part of the program, as a power of two: 2048. Nothing
/// of it is unpacked or digested for a look-up, so the size of a group costs little, and the length
/// of the footer, which is gone through, most.
const BUILT_IN: u32 = 11;
/// Foods in a group of a large source, as a power of two: 8192, or its footer would be too long.
const LARGE: u32 = value::FOOD_BITS;
/// A source of more foods than this is large.
const MANY: usize = 16_384;
/// The bytes for a group after which a recorder hands them over.
const HAND_OVER: usize = 32 * 1024;
/// The bytes that a recorder may have written beyond that, most often.
const SLACK: usize = 128;
/// Bytes handed over, which wait in memory or in the spill file.
#[derive(Debug)]
pub(crate) enum Chunk {
    Held(Vec<u8>),
    Spilled(Piece),
}

/// Streams of a group: values, details, measures.
const STREAMS: usize = 3;

/// Memory and spill file that all sources of an import share.
#[derive(Debug)]
pub(crate) struct Store {
    spill: Mutex<Spill>,
    held: AtomicUsize,
    limit: usize,
}

impl Store {
    /// Holds up to `limit` bytes in memory, and the rest in a file at `path`.
    pub(crate) fn new(path: PathBuf, limit: usize) -> Self {
        Self {
            spill: Mutex::new(Spill::new(path)),
            held: AtomicUsize::new(0),
            limit,
        }
    }

    /// Bytes that went into the spill file.
    pub(crate) fn spilled(&self) -> u64 {
        locked(&self.spill).bytes()
    }

    /// Keeps bytes, in memory if there is room, and leaves none behind.
    pub(crate) fn keep(&self, bytes: &mut Vec<u8>) -> Result<Chunk, Error> {
        let count = bytes.len();
        let held = self.held.fetch_add(count, Ordering::Relaxed);
        if held + count <= self.limit {
            if bytes.capacity() > 2 * count {
                bytes.shrink_to_fit();
            }
            return Ok(Chunk::Held(mem::take(bytes)));
        }
        self.held.fetch_sub(count, Ordering::Relaxed);
        let piece = locked(&self.spill).write(bytes)?;
        bytes.clear();
        Ok(Chunk::Spilled(piece))
    }

    /// Takes bytes out again.
    pub(crate) fn take(&self, chunk: Chunk) -> Result<Vec<u8>, Error> {
        match chunk {
            Chunk::Held(bytes) => {
                self.held.fetch_sub(bytes.len(), Ordering::Relaxed);
                Ok(bytes)
            }
            Chunk::Spilled(piece) => locked(&self.spill).read(piece),
        }
    }
}

/// The foods of one source with their values, as far as they were read.
#[derive(Debug)]
pub(crate) struct Gather<'s> {
    store: &'s Store,
    ids: Ids,
    /// A group has two to the power of this many foods.
    bits: u32,
    groups: Vec<Mutex<[Vec<Chunk>; STREAMS]>>,
    nutrients: Vec<AtomicBool>,
}

impl<'s> Gather<'s> {
    /// `ids` are all foods of the source, `nutrients` is the number of nutrients known.
    pub(crate) fn new(store: &'s Store, ids: Ids, nutrients: usize) -> Self {
        let bits = if ids.len() > MANY { LARGE } else { SMALL };
        Self::in_groups(bits, store, ids, nutrients)
    }

    /// Makes the gathering of a source that becomes part of the program, see [`BUILT_IN`].
    pub(crate) fn built_in(store: &'s Store, ids: Ids, nutrients: usize) -> Self {
        Self::in_groups(BUILT_IN, store, ids, nutrients)
    }

    fn in_groups(bits: u32, store: &'s Store, ids: Ids, nutrients: usize) -> Self {
        let groups = ids.len().div_ceil(1 << bits);
        Self {
            store,
            ids,
            bits,
            groups: (0..groups).map(|_| Mutex::default()).collect(),
            nutrients: (0..nutrients).map(|_| AtomicBool::new(false)).collect(),
        }
    }

    /// The ids of the foods.
    pub(crate) fn ids(&self) -> &Ids {
        &self.ids
    }

    /// How many groups there are.
    pub(crate) fn groups(&self) -> usize {
        self.groups.len()
    }

    /// Foods in each group but the last.
    pub(crate) fn per_group(&self) -> usize {
        1 << self.bits
    }

    /// The group of the food at a place, and its place there.
    #[inline]
    fn place(&self, food: u32) -> (usize, u16) {
        // There are as many foods in a group as the bits of a place have numbers.
        let mask = (1 << self.bits) - 1;
        let place = u16::try_from(food & mask).unwrap_or(u16::MAX);
        ((food >> self.bits) as usize, place)
    }

    /// Whether any food has a value of this nutrient.
    pub(crate) fn has(&self, nutrient: u16) -> bool {
        self.nutrients
            .get(usize::from(nutrient))
            .is_some_and(|seen| seen.load(Ordering::Relaxed))
    }

    /// Something to write with; each thread takes its own.
    pub(crate) fn recorder(&self) -> Recorder<'_, 's> {
        Recorder {
            gather: self,
            open: (0..self.groups.len()).map(|_| Default::default()).collect(),
        }
    }

    /// Takes out what was gathered about one group: values, details and measures, in chunks of
    /// whole records.
    pub(crate) fn take(&self, group: usize) -> Result<[Vec<Vec<u8>>; STREAMS], Error> {
        let Some(streams) = self.groups.get(group) else {
            return Ok(Default::default());
        };
        let streams = mem::take(&mut *locked(streams));
        let mut taken: [Vec<Vec<u8>>; STREAMS] = Default::default();
        for (into, stream) in taken.iter_mut().zip(streams) {
            let chunks = stream.into_iter().map(|chunk| self.store.take(chunk));
            *into = chunks.collect::<Result<_, _>>()?;
        }
        Ok(taken)
    }

    /// Keeps a chunk of a stream, in memory if there is room.
    fn keep(&self, group: usize, stream: usize, chunk: &mut Vec<u8>) -> Result<(), Error> {
        let Some(streams) = self.groups.get(group) else {
            return Ok(());
        };
        let kept = self.store.keep(chunk)?;
        if let Some(stream) = locked(streams).get_mut(stream) {
            stream.push(kept);
        }
        Ok(())
    }
}

/// Writes down what is read about the foods of one source.
#[derive(Debug)]
pub(crate) struct Recorder<'g, 's> {
    gather: &'g Gather<'s>,
    open: Vec<[Vec<u8>; STREAMS]>,
}

impl Recorder<'_, '_> {
    /// A value of the food at a place.
    #[inline]
    pub(crate) fn value(&mut self, food: u32, value: &Value) -> Result<(), Error> {
        if let Some(seen) = self.gather.nutrients.get(usize::from(value.nutrient))
            && !seen.load(Ordering::Relaxed)
        {
            seen.store(true, Ordering::Relaxed);
        }
        let (group, place) = self.gather.place(food);
        self.write(group, 0, |into| value::push(into, place, value))
    }

    /// A text about the food at a place; an empty one says nothing.
    pub(crate) fn text(
        &mut self,
        food: u32,
        field: Field,
        text: impl AsRef<[u8]>,
    ) -> Result<(), Error> {
        let text = text.as_ref();
        if text.is_empty() {
            return Ok(());
        }
        self.detail(food, field, text)
    }

    /// A number about the food at a place.
    pub(crate) fn number(&mut self, food: u32, field: Field, number: f64) -> Result<(), Error> {
        self.detail(food, field, &number.to_le_bytes())
    }

    fn detail(&mut self, food: u32, field: Field, bytes: &[u8]) -> Result<(), Error> {
        let (group, _) = self.gather.place(food);
        self.write(group, 1, |into| {
            push_long(into, food, field as u32, &[bytes]);
        })
    }

    /// A household measure of the food at a place. `order` tells the measures of a food apart.
    pub(crate) fn measure(
        &mut self,
        food: u32,
        order: u32,
        measure: &Measure,
    ) -> Result<(), Error> {
        let (group, _) = self.gather.place(food);
        let (amount, grams) = (measure.amount.to_le_bytes(), measure.grams.to_le_bytes());
        self.write(group, 2, |into| {
            push_long(
                into,
                food,
                order,
                &[&amount, &grams, measure.unit.as_bytes()],
            );
        })
    }

    #[inline]
    fn write(
        &mut self,
        group: usize,
        stream: usize,
        write: impl FnOnce(&mut Vec<u8>),
    ) -> Result<(), Error> {
        let open = self.open.get_mut(group).and_then(|all| all.get_mut(stream));
        let Some(open) = open else { return Ok(()) };
        if open.capacity() == 0 {
            open.reserve_exact(HAND_OVER + SLACK);
        }
        write(open);
        if open.len() >= HAND_OVER {
            self.gather.keep(group, stream, open)?;
        }
        Ok(())
    }

    /// Hands over the rest.
    pub(crate) fn finish(mut self) -> Result<(), Error> {
        for (group, streams) in self.open.iter_mut().enumerate() {
            for (stream, open) in streams.iter_mut().enumerate() {
                if !open.is_empty() {
                    self.gather.keep(group, stream, open)?;
                }
            }
        }
        Ok(())
    }
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    // A thread that panicked leaves whole records behind.
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
