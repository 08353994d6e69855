//! Adding one food to a file of own foods, as text.

use super::cells::{lines, written};
use super::columns::columns;
use super::entry::{self, Entry, Header};
use super::finding::Finding;
use super::food::{OwnFoods, food};
use crate::error::Error;
use crate::food::FoodId;

/// How a new file begins.
const FIRST_LINES: &str = "\
# Own foods: what their labels say. `trayful foods --template` explains the columns.
";

/// The text of a file of own foods with one more food, `pairs`: `id=own-oats; name=Oats; ...`.
/// `foods` is what `text` was read as. All that stands in the file stays as it is; a column that
/// it lacks is added behind the others.
///
/// Errors: a table of the program does not read; or everything that is wrong with the pairs,
/// each at its place in `pairs`.
pub fn with_added(
    text: &str,
    foods: &OwnFoods,
    pairs: &str,
) -> Result<Result<(FoodId, String), Vec<Finding>>, Error> {
    let entry = match entry::of_pairs(pairs)? {
        Ok(entry) => entry,
        Err(findings) => return Ok(Err(findings)),
    };
    let id = match food(&entry, "", 0)? {
        Ok(own) => own.food.id,
        Err(findings) => return Ok(Err(findings)),
    };
    if let Some(finding) = foods.clash(&id, &entry) {
        return Ok(Err(vec![finding]));
    }
    let given: Vec<_> = columns()?.filter(|column| entry.has(column)).collect();
    let Some(first) = lines(text).next() else {
        let start = if text.is_empty() { FIRST_LINES } else { text };
        let header = given.iter().copied().map(Some).collect();
        let rows = format!("{}\n{}\n", given.join(","), row(&entry, &header));
        return Ok(Ok((id, joined(start, &rows, "\n"))));
    };
    let mut header = match entry::header(text, &first)? {
        Ok(header) => header,
        Err(findings) => return Ok(Err(findings)),
    };
    let new: Vec<_> = given
        .into_iter()
        .filter(|column| !header.contains(&Some(column)))
        .collect();
    header.extend(new.iter().copied().map(Some));
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let row = row(&entry, &header) + end;
    Ok(Ok((id, joined(&widened(text, &new), &row, end))))
}

/// The text with more columns.
fn widened(text: &str, new: &[&str]) -> String {
    let mut wide = String::with_capacity(text.len());
    let mut done = 0;
    for (index, line) in lines(text).enumerate() {
        wide += text.get(done..line.span.end).unwrap_or("");
        done = line.span.end;
        for column in new {
            wide.push(',');
            if index == 0 {
                wide += column;
            }
        }
    }
    wide + text.get(done..).unwrap_or("")
}

/// The row of an entry under a header.
fn row(entry: &Entry, header: &Header) -> String {
    let cell = |column: Option<&'static str>| {
        let cell = column.and_then(|column| entry.cell(column));
        cell.map_or(String::new(), |cell| written(&cell.text))
    };
    header
        .iter()
        .copied()
        .map(cell)
        .collect::<Vec<_>>()
        .join(",")
}

/// Two texts, the second on a line of its own.
fn joined(first: &str, second: &str, end: &str) -> String {
    let apart = if first.is_empty() || first.ends_with('\n') {
        ""
    } else {
        end
    };
    format!("{first}{apart}{second}")
}
