//! The entry of one food: its cells by column, from a row of CSV or from `key=value; ...`.

use std::ops::Range;

use super::cells::{self, Cell, Line};
use super::columns::{self, Heading, heading};
use super::finding::Finding;
use crate::error::Error;

/// The cells that are not empty, by column.
#[derive(Debug)]
pub(super) struct Entry {
    /// The whole of it.
    pub(super) span: Range<usize>,
    cells: Vec<(&'static str, Cell)>,
}

impl Entry {
    /// What stands in a column; `None` where nothing does.
    pub(super) fn cell(&self, column: &str) -> Option<&Cell> {
        let found = self.cells.iter().find(|(known, _)| *known == column)?;
        Some(&found.1)
    }

    /// Adds what stands in a column that has nothing yet.
    pub(super) fn add(&mut self, column: &'static str, cell: Cell) {
        self.cells.push((column, cell));
    }

    /// Whether a column has a cell that is not empty.
    pub(super) fn has(&self, column: &str) -> bool {
        self.cell(column).is_some()
    }
}

/// The columns of a file in their order; `None` for one without a heading.
pub(super) type Header = Vec<Option<&'static str>>;

/// Reads the line of headings.
pub(super) fn header(text: &str, line: &Line) -> Result<Result<Header, Vec<Finding>>, Error> {
    let cells = match cells::cells(text, line) {
        Ok(cells) => cells,
        Err(finding) => return Ok(Err(vec![finding])),
    };
    if let [one] = cells.as_slice()
        && one.text.contains([';', '\t'])
    {
        let hint = "save it as CSV with commas; decimals are then written with a point";
        let what = "the columns are not separated by commas";
        return Ok(Err(vec![Finding::at(one, what, hint)]));
    }
    let (mut header, mut findings) = (Header::new(), Vec::new());
    for cell in &cells {
        if cell.text.is_empty() {
            header.push(None);
            continue;
        }
        match column(cell, &header)? {
            Ok(column) => header.push(Some(column)),
            Err(finding) => findings.push(finding),
        }
    }
    if findings.is_empty() {
        for needed in [columns::ID, columns::NAME, columns::PER] {
            if !header.contains(&Some(needed)) {
                let hint =
                    "the first line names the columns: id, name and per, and one for each figure";
                let what = format!("there is no column “{needed}”");
                findings.push(Finding::new(line.span.clone(), what, hint));
            }
        }
    }
    Ok(if findings.is_empty() {
        Ok(header)
    } else {
        Err(findings)
    })
}

/// The column that a heading names, if it is not among those `taken`.
fn column(
    cell: &Cell,
    taken: &[Option<&'static str>],
) -> Result<Result<&'static str, Finding>, Error> {
    let text = &cell.text;
    Ok(match heading(text)? {
        Heading::Known(column) if taken.contains(&Some(column)) => {
            let what = format!("“{column}” is there twice");
            Err(Finding::at(cell, what, "leave one of them out"))
        }
        Heading::Known(column) => Ok(column),
        Heading::NotCounted => {
            let what = format!("“{text}” is counted by no table here");
            Err(Finding::at(cell, what, "leave it out"))
        }
        Heading::Unknown => {
            let what = format!("“{text}” is not something to say of an own food");
            Err(Finding::unknown(cell, what, columns::columns()?))
        }
    })
}

/// Reads a row under its headings. A row of nothing but commas is not an entry.
pub(super) fn row(text: &str, line: &Line, header: &Header) -> Result<Option<Entry>, Vec<Finding>> {
    let cells = cells::cells(text, line).map_err(|finding| vec![finding])?;
    if cells.iter().all(|cell| cell.text.is_empty()) {
        return Ok(None);
    }
    if cells.len() != header.len() {
        let (found, due) = (cells.len(), header.len());
        let what = format!("{found} cells where the line of headings has {due}");
        let hint = "write a comma for every cell that stays empty, and text with a comma in quotes";
        return Err(vec![Finding::new(line.span.clone(), what, hint)]);
    }
    let filled = header
        .iter()
        .zip(cells)
        .filter(|(_, cell)| !cell.text.is_empty());
    let (known, stray): (Vec<_>, Vec<_>) = filled.partition(|(column, _)| column.is_some());
    if let Some((_, cell)) = stray.first() {
        let finding = Finding::at(cell, "there is no heading above this cell", "write one");
        return Err(vec![finding]);
    }
    let cells = known.into_iter();
    let cells = cells.filter_map(|(column, cell)| column.map(|column| (column, cell)));
    Ok(Some(Entry {
        span: line.span.clone(),
        cells: cells.collect(),
    }))
}

/// Reads `id=own-oats; name=Oats; per=100 g; iron=4 mg`.
pub(super) fn of_pairs(text: &str) -> Result<Result<Entry, Vec<Finding>>, Error> {
    let mut entry = Entry {
        span: 0..text.len(),
        cells: Vec::new(),
    };
    let (mut findings, mut taken, mut at) = (Vec::new(), Vec::new(), 0);
    for part in text.split([';', '\n']) {
        let piece = cells::trimmed(part, at);
        let (start, past) = (at, at + part.len() + 1);
        at = past;
        if piece.text.is_empty() {
            continue;
        }
        let Some((key, value)) = part.split_once('=') else {
            let hint = "write what it is before the figure, such as iron=7.5 mg";
            findings.push(Finding::at(&piece, "there is no “=” in this", hint));
            continue;
        };
        let named = column(&cells::trimmed(key, start), &taken)?;
        let value = cells::checked(cells::trimmed(value, start + key.len() + 1));
        match (named, value) {
            (Ok(column), Ok(value)) => {
                taken.push(Some(column));
                entry.cells.push((column, value));
            }
            (named, value) => findings.extend(named.err().into_iter().chain(value.err())),
        }
    }
    if taken.is_empty() && findings.is_empty() {
        let hint = "write it like id=own-oats; name=Oats; per=100 g; iron=4 mg";
        findings.push(Finding::new(
            entry.span.clone(),
            "nothing is given for the food",
            hint,
        ));
    }
    entry.cells.retain(|(_, cell)| !cell.text.is_empty());
    Ok(if findings.is_empty() {
        Ok(entry)
    } else {
        Err(findings)
    })
}
