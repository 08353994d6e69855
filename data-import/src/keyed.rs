//! Embedded tables that are looked up by key: the lines of each are sorted by their first cell once, and a line is read when it is first asked for.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Mutex, OnceLock, PoisonError};

use csv::{ReaderBuilder, StringRecord};

/// A table by the first cell of its lines.
pub(crate) struct KeyedTable {
    /// The names of the columns.
    pub(crate) header: StringRecord,
    lines: HashMap<&'static str, Vec<KeyedLine>>,
}

/// A line, and its cells once they were asked for.
pub(crate) struct KeyedLine {
    text: &'static str,
    cells: OnceLock<StringRecord>,
}

impl KeyedTable {
    /// The table of an embedded text, made at the first look-up and kept for as long as the program runs.
    pub(crate) fn of(text: &'static str) -> &'static Self {
        static MADE: Mutex<BTreeMap<usize, &'static KeyedTable>> = Mutex::new(BTreeMap::new());
        let mut made = MADE.lock().unwrap_or_else(PoisonError::into_inner);
        made.entry(text.as_ptr() as usize)
            .or_insert_with(|| Box::leak(Box::new(Self::new(text))))
    }

    fn new(text: &'static str) -> Self {
        let mut all = text.lines().filter(|line| !line.starts_with('#'));
        let header = cells(all.next().unwrap_or_default());
        let mut lines: HashMap<&'static str, Vec<KeyedLine>> = HashMap::new();
        for text in all {
            let key = text.split(',').next().unwrap_or_default();
            lines.entry(key).or_default().push(KeyedLine {
                text,
                cells: OnceLock::new(),
            });
        }
        Self { header, lines }
    }

    /// The lines whose first cell is `key` and that begin with `start`, which begins with the key.
    pub(crate) fn starting_with<'a>(
        &'static self,
        key: &str,
        start: &'a str,
    ) -> impl Iterator<Item = &'static KeyedLine> + use<'a> {
        let lines = self.lines.get(key).map_or(&[][..], Vec::as_slice);
        lines
            .iter()
            .filter(move |line| line.text.starts_with(start))
    }
}

impl KeyedLine {
    pub(crate) fn cells(&self) -> &StringRecord {
        self.cells.get_or_init(|| cells(self.text))
    }
}

/// The cells of a line: quotes are read by a reader, which takes longer to set up than to read a plain line.
fn cells(line: &str) -> StringRecord {
    if !line.contains('"') {
        return StringRecord::from(line.split(',').collect::<Vec<_>>());
    }
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .from_reader(line.as_bytes());
    let mut record = StringRecord::new();
    // A text in memory has no other errors than those of its letters, and these it has not.
    let read = reader.read_record(&mut record);
    if read.is_ok() {
        record
    } else {
        StringRecord::new()
    }
}
