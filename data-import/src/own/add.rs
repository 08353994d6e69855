//! Adding one food to a file of own foods, as text.

use super::cells::{Cell, lines, written};
use super::columns::{ID, NAME, columns};
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
/// it lacks is added behind the others. A food without an id gets one from its name.
///
/// Errors: a table of the program does not read; or everything that is wrong with the pairs,
/// each at its place in `pairs`.
pub fn with_added(
    text: &str,
    foods: &OwnFoods,
    pairs: &str,
) -> Result<Result<(FoodId, String), Vec<Finding>>, Error> {
    let mut entry = match entry::of_pairs(pairs)? {
        Ok(entry) => entry,
        Err(findings) => return Ok(Err(findings)),
    };
    if !entry.has(ID)
        && let Some(name) = entry.cell(NAME)
    {
        let span = name.span.clone();
        if let Some(text) = id_of(&name.text, foods) {
            entry.add(ID, Cell { text, span });
        }
    }
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

/// The most own foods of one name that get an id of their own.
const MOST_OF_A_NAME: usize = 99;

/// An id for a food of this name that no other food has: `Oat cereal` becomes `own-oat-cereal`, the
/// next one `own-oat-cereal-2`. `None` where the name holds no letter or digit that an id may have.
fn id_of(name: &str, foods: &OwnFoods) -> Option<String> {
    let name = name.to_lowercase();
    let words = name.split(|c: char| !c.is_ascii_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    let plain = format!("own-{}", words.join("-"));
    let numbered = (2..=MOST_OF_A_NAME).map(|number| format!("{plain}-{number}"));
    let mut ids = std::iter::once(plain.clone()).chain(numbered);
    let is_free = |id: &String| id.parse().is_ok_and(|id| foods.get(&id).is_none());
    (!words.is_empty()).then(|| ids.find(is_free)).flatten()
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
