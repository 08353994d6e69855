//! The lines of an embedded table: one row each, found by their first cell and cut into cells. A reader of CSV takes longer to set up than
//! most tables take to read; tests hold every embedded table to what such a reader makes of it.

use std::cmp::Ordering;
use std::io;

use csv::{Position, StringRecord};

/// The lines of a table.
#[derive(Debug, Clone, Copy)]
pub(super) struct TableLines<'a> {
    /// The line with the names of the columns.
    pub(super) header: &'a str,
    /// The rows, without the comments that stand above them.
    rows: &'a str,
    /// How many lines stand above the rows.
    above: u64,
}

impl<'a> TableLines<'a> {
    /// The lines of a table.
    pub(super) fn of(text: &'a str) -> Self {
        let (mut rest, mut above) = (text, 0);
        loop {
            let (line, after) = rest.split_once('\n').unwrap_or((rest, ""));
            (rest, above) = (after, above + 1);
            if !line.starts_with('#') || after.is_empty() {
                return Self {
                    header: line,
                    rows: after,
                    above,
                };
            }
        }
    }

    /// The rows as they are written.
    pub(super) fn rows(self) -> impl Iterator<Item = &'a str> {
        self.rows.lines()
    }

    /// The names of the columns, and each row read from its cells.
    ///
    /// Errors: a row that has more cells or fewer than the table has columns, or that `read` does not take.
    pub(super) fn read_each<T>(
        self,
        mut read: impl FnMut(&StringRecord, &StringRecord) -> Result<T, csv::Error>,
    ) -> Result<(StringRecord, Vec<T>), csv::Error> {
        let columns = cells(self.header);
        let (mut record, mut place) = (StringRecord::new(), Position::new());
        let mut rows = Vec::new();
        for (line, number) in self.rows().zip(self.above + 1..) {
            cut(line, &mut record);
            place.set_line(number);
            record.set_position(Some(place.clone()));
            if record.len() != columns.len() {
                let problem = format!(
                    "line {number} has {} cells, not {}",
                    record.len(),
                    columns.len()
                );
                return Err(io::Error::new(io::ErrorKind::InvalidData, problem).into());
            }
            rows.push(read(&columns, &record)?);
        }
        Ok((columns, rows))
    }

    /// The rows whose first cell is `key`, of a table that is sorted by its first cells.
    pub(super) fn with_key(self, key: &str) -> impl Iterator<Item = &'a str> {
        let (mut from, mut to) = (0, self.rows.len());
        while from < to {
            let middle = from + (to - from) / 2;
            let start = self.rows[..middle].rfind('\n').map_or(0, |at| at + 1);
            let line = self.rows[start..].split('\n').next().unwrap_or_default();
            match first_cell(line).cmp(key) {
                Ordering::Less => from = start + line.len() + 1,
                Ordering::Equal | Ordering::Greater => to = start,
            }
        }
        let rows = self.rows.get(from..).unwrap_or_default().lines();
        rows.take_while(move |line| first_cell(line) == key)
    }
}

fn first_cell(line: &str) -> &str {
    line.split(',').next().unwrap_or_default()
}

/// The cells of a line.
pub(super) fn cells(line: &str) -> StringRecord {
    let mut record = StringRecord::new();
    cut(line, &mut record);
    record
}

/// Cuts a line into its cells, which may stand in quotes.
fn cut(line: &str, record: &mut StringRecord) {
    record.clear();
    let mut rest = line;
    loop {
        let after = if let Some(quoted) = rest.strip_prefix('"') {
            let (cell, after) = closed(quoted);
            record.push_field(&cell.replace("\"\"", "\""));
            after
        } else {
            // Most cells are a few letters, for which to set up a search takes longer than the search.
            let end = rest.bytes().position(|byte| byte == b',');
            let (cell, after) = rest.split_at(end.unwrap_or(rest.len()));
            record.push_field(cell);
            after
        };
        match after.strip_prefix(',') {
            Some(next) => rest = next,
            None => return,
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

    #[test]
    fn cells_may_stand_in_quotes() {
        let record = cells("a,\"b, \"\"c\"\"\",,\"\"");
        assert!(record.iter().eq(["a", "b, \"c\"", "", ""]), "{record:?}");
    }

    #[test]
    fn rows_are_found_by_their_first_cell() {
        let table = TableLines::of("# a comment\nkey,n\na,1\nb,2\nb,3\nba,4\nd,5\n");
        let found = |key| table.with_key(key).collect::<Vec<_>>();
        assert_eq!(table.header, "key,n");
        assert_eq!(found("a"), ["a,1"]);
        assert_eq!(found("b"), ["b,2", "b,3"]);
        assert_eq!(found("ba"), ["ba,4"]);
        assert_eq!(found("d"), ["d,5"]);
        assert!(
            ["", "0", "c", "e", "b,2"]
                .iter()
                .all(|key| found(key).is_empty())
        );
        assert!(TableLines::of("key,n\n").with_key("a").next().is_none());
    }

    #[test]
    fn a_wrong_row_is_named_by_its_line() {
        let table = TableLines::of("# a comment\nkey,n\na,1\nb,many\n");
        let read = table.read_each(|columns, row| row.deserialize::<(String, u8)>(Some(columns)));
        let message = read.unwrap_err().to_string();
        assert!(message.contains("line: 4"), "{message}");
        let short = TableLines::of("key,n\na,1\nb\n").read_each(|_, _| Ok(()));
        let message = short.unwrap_err().to_string();
        assert_eq!(message, "line 3 has 1 cells, not 2");
    }
}
