//! The lines of an embedded table: one row each, found by their first cell and cut into cells. A
//! reader of CSV takes longer to set up than most tables take to read; tests hold every embedded
//! table to what such a reader makes of it.

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
        for (line, number) in self.numbered() {
            cut(line, &mut record);
            place.set_line(number);
            record.set_position(Some(place.clone()));
            expect_cells(number, record.len(), columns.len())?;
            rows.push(read(&columns, &record)?);
        }
        Ok((columns, rows))
    }

    /// The rows, each read from its cells as they lie in the table, under the names of their columns.
    ///
    /// Errors: a row that has more cells or fewer than the table has columns, or that `read` does
    /// not take; or a cell in which a quote stands.
    pub(super) fn read_each_in_place<T>(
        self,
        mut read: impl FnMut(&[&'a str], &[&'a str]) -> Result<T, String>,
    ) -> Result<Vec<T>, csv::Error> {
        let (mut columns, mut cells) = (Vec::new(), Vec::new());
        each_cell(self.header, |cell, _| columns.push(cell));
        let mut rows = Vec::new();
        for (line, number) in self.numbered() {
            cells.clear();
            let mut quotes = false;
            each_cell(line, |cell, has_quotes| {
                cells.push(cell);
                quotes |= has_quotes;
            });
            expect_cells(number, cells.len(), columns.len())?;
            if quotes {
                return Err(wrong_row(format!("line {number} has a quote in a cell")));
            }
            let row = read(&columns, &cells);
            rows.push(row.map_err(|problem| wrong_row(format!("line {number}: {problem}")))?);
        }
        Ok(rows)
    }

    /// The rows with the numbers of their lines.
    fn numbered(self) -> impl Iterator<Item = (&'a str, u64)> {
        self.rows().zip(self.above + 1..)
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

fn expect_cells(line: u64, found: usize, columns: usize) -> Result<(), csv::Error> {
    if found == columns {
        return Ok(());
    }
    let problem = format!("line {line} has {found} cells, not {columns}");
    Err(wrong_row(problem))
}

fn wrong_row(problem: String) -> csv::Error {
    io::Error::new(io::ErrorKind::InvalidData, problem).into()
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
    each_cell(line, |cell, has_quotes| {
        if has_quotes {
            record.push_field(&cell.replace("\"\"", "\""));
        } else {
            record.push_field(cell);
        }
    });
}

/// Hands on the cells of a line, without the quotes around them, and whether there are quotes
/// within, which are still written twice.
fn each_cell<'a>(line: &'a str, mut hand_on: impl FnMut(&'a str, bool)) {
    let mut rest = line;
    loop {
        let (cell, has_quotes, after) = if let Some(quoted) = rest.strip_prefix('"') {
            closed(quoted)
        } else {
            // Most cells are a few letters, for which to set up a search takes longer than the search.
            let end = rest.bytes().position(|byte| byte == b',');
            let (cell, after) = rest.split_at(end.unwrap_or(rest.len()));
            (cell, false, after)
        };
        hand_on(cell, has_quotes);
        match after.strip_prefix(',') {
            Some(next) => rest = next,
            None => return,
        }
    }
}

/// A cell up to its closing quote, whether quotes stand in it, each written twice, and the line after that.
fn closed(quoted: &str) -> (&str, bool, &str) {
    let (mut from, mut has_quotes) = (0, false);
    while let Some(at) = quoted[from..].find('"').map(|at| from + at) {
        if !quoted[at + 1..].starts_with('"') {
            return (&quoted[..at], has_quotes, &quoted[at + 1..]);
        }
        (from, has_quotes) = (at + 2, true);
    }
    (quoted, has_quotes, "")
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
        let quoted = TableLines::of("key,n\na,\"1 \"\"b\"\"\"\n").read_each_in_place(|_, _| Ok(()));
        let message = quoted.unwrap_err().to_string();
        assert_eq!(message, "line 2 has a quote in a cell");
    }
}
