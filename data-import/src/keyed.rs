//! Embedded tables that are looked up by key: the lines of each are sorted by their first cell once, and a line is read when it is first asked for.

use std::collections::{BTreeMap, HashMap};
use std::sync::{Mutex, OnceLock, PoisonError};

use csv::StringRecord;

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

/// The cells of a line, which may stand in quotes: a reader of CSV takes longer to set up than a line takes to read (a test compares both).
pub(crate) fn cells(line: &str) -> StringRecord {
    let mut record = StringRecord::new();
    let mut rest = line;
    loop {
        let (cell, after) = match rest.strip_prefix('"') {
            Some(quoted) => closed(quoted),
            None => rest.split_at(rest.find(',').unwrap_or(rest.len())),
        };
        if cell.contains("\"\"") {
            record.push_field(&cell.replace("\"\"", "\""));
        } else {
            record.push_field(cell);
        }
        match after.strip_prefix(',') {
            Some(next) => rest = next,
            None => return record,
        }
    }
}

/// A cell up to its closing quote, and the line after that; a quote within is written twice.
fn closed(quoted: &str) -> (&str, &str) {
    let mut from = 0;
    while let Some(at) = quoted[from..].find('"').map(|at| from + at) {
        if !quoted[at + 1..].starts_with('"') {
            return (&quoted[..at], &quoted[at + 1..]);
        }
        from = at + 2;
    }
    (quoted, "")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference;

    #[test]
    fn every_line_is_read_as_a_reader_of_csv_reads_it() {
        for text in [
            reference::YIELDS,
            reference::CLASS_YIELDS,
            reference::RETENTION,
            reference::RETENTION_CHOICE,
            reference::DRAINED_CANS,
            reference::AMINO_ACIDS,
        ] {
            let (header, rows) = reference::records("a table", text).unwrap();
            let lines = text.lines().filter(|line| !line.starts_with('#'));
            let ours: Vec<StringRecord> = lines.map(cells).collect();
            let theirs: Vec<StringRecord> = std::iter::once(header).chain(rows).collect();
            assert_eq!(ours.len(), theirs.len());
            for (our, their) in ours.iter().zip(&theirs) {
                assert!(our.iter().eq(their.iter()), "{our:?} {their:?}");
            }
        }
        let record = cells("a,\"b, \"\"c\"\"\",,\"\"");
        assert!(record.iter().eq(["a", "b, \"c\"", "", ""]), "{record:?}");
    }
}
