//! How a run is cut into parts: one for each file of lines, or, where there is but one file, one
//! for some of its row groups. A part has all recipes of a range of ids, from wherever their lines
//! and rows lie.

use super::BulkError;
use super::id::{RecipeId, sort_hint};
use super::input::Input;
use super::table_file::TableFile;
use crate::problem::Problem;

/// A row group of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Piece {
    /// The place of the file in its table.
    pub(super) file: usize,
    pub(super) group: usize,
    pub(super) rows: usize,
}

/// All recipes of a range of ids.
#[derive(Debug, Clone)]
pub(super) struct Part {
    /// The name of its files in the output, without their ending.
    pub(super) name: String,
    pub(super) lines: Vec<Piece>,
    pub(super) recipes: Vec<Piece>,
    /// Its least id; `None` where nothing lies before.
    pub(super) from: Option<RecipeId>,
    /// The least id of the next part.
    pub(super) to: Option<RecipeId>,
}

impl Part {
    /// Whether an id lies in the part.
    pub(super) fn has(&self, id: &RecipeId) -> bool {
        self.from.as_ref().is_none_or(|from| from <= id) && !self.is_past(id)
    }

    /// Whether an id lies beyond the part.
    pub(super) fn is_past(&self, id: &RecipeId) -> bool {
        self.to.as_ref().is_some_and(|to| to <= id)
    }

    /// How many lines lie in its row groups.
    pub(super) fn line_rows(&self) -> usize {
        self.lines.iter().map(|piece| piece.rows).sum()
    }
}

/// A row group with its least and greatest id.
#[derive(Debug, Clone)]
struct Bounded {
    piece: Piece,
    first: RecipeId,
    last: RecipeId,
}

/// Lines of a single big file that make a part, where its row groups are smaller.
const LINES_OF_A_PART: usize = 4_000_000;

/// The parts of a run, in the order of their ids.
///
/// Errors: two files of a table have ids in common, or a row group steps back.
pub(super) fn parts_of(input: &Input) -> Result<Vec<Part>, BulkError> {
    let lines = bounded(&input.lines, "lines")?;
    let recipes = bounded(&input.recipes, "recipes")?;
    let mut starts: Vec<(String, Option<RecipeId>)> = match input.lines.as_slice() {
        [single] => starts_of_one(&stem(single), &lines, LINES_OF_A_PART),
        several => {
            let first = |file| lines.iter().find(|one| one.piece.file == file);
            let start = |(file, table)| (stem(table), first(file).map(|one| one.first.clone()));
            several.iter().enumerate().map(start).collect()
        }
    };
    // A file without rows has a part without recipes, at the end.
    starts.sort_by_key(|(_, first)| (first.is_none(), first.clone()));
    let firsts: Vec<_> = starts.iter().map(|(_, first)| first.clone()).collect();
    let parts = starts.into_iter().enumerate().map(|(at, (name, first))| {
        let next = firsts.get(at + 1).cloned().flatten();
        let mut part = Part {
            name,
            lines: Vec::new(),
            recipes: Vec::new(),
            from: first.clone().filter(|_| at > 0),
            to: next,
        };
        if first.is_some() || at == 0 {
            part.lines = within(&lines, &part);
            part.recipes = within(&recipes, &part);
        }
        part
    });
    Ok(parts.collect())
}

/// Where the parts of a single file begin, so that each has at least as many lines as a part needs.
fn starts_of_one(stem: &str, lines: &[Bounded], least: usize) -> Vec<(String, Option<RecipeId>)> {
    let mut starts: Vec<Option<RecipeId>> = Vec::new();
    let mut gathered = usize::MAX;
    for group in lines {
        if gathered >= least && starts.last() != Some(&Some(group.first.clone())) {
            starts.push(Some(group.first.clone()));
            gathered = 0;
        }
        gathered = gathered.saturating_add(group.piece.rows);
    }
    if starts.len() <= 1 {
        return vec![(stem.to_owned(), starts.pop().flatten())];
    }
    let named = starts.into_iter().enumerate();
    named
        .map(|(at, first)| (format!("{stem}-{at:05}"), first))
        .collect()
}

fn within(all: &[Bounded], part: &Part) -> Vec<Piece> {
    let touches = |one: &&Bounded| {
        part.from.as_ref().is_none_or(|from| *from <= one.last) && !part.is_past(&one.first)
    };
    all.iter().filter(touches).map(|one| one.piece).collect()
}

/// The row groups of a table, in the order of their ids.
fn bounded(files: &[TableFile], table: &str) -> Result<Vec<Bounded>, BulkError> {
    let mut all = Vec::new();
    for (file, reader) in files.iter().enumerate() {
        for (group, rows) in reader.groups().into_iter().enumerate() {
            if rows == 0 {
                continue;
            }
            let (first, last) = reader.bounds(group, rows)?;
            let piece = Piece { file, group, rows };
            all.push(Bounded { piece, first, last });
        }
    }
    all.sort_by(|a, b| {
        (&a.first, a.piece.file, a.piece.group).cmp(&(&b.first, b.piece.file, b.piece.group))
    });
    for pair in all.windows(2) {
        let [before, after] = pair else { continue };
        let of_one = before.piece.file == after.piece.file;
        // Within a file a recipe may go on in the next row group.
        let fits = if of_one {
            before.last <= after.first && before.piece.group < after.piece.group
        } else {
            before.last < after.first
        };
        if !fits {
            let name = |one: &Bounded| files.get(one.piece.file).map(|file| file.path().display());
            let names = [name(before), name(after)].map(|name| name.map(|n| n.to_string()));
            let [one, other] = names.map(Option::unwrap_or_default);
            if of_one {
                let what = format!("{one}: its row groups are not in the order of recipe_id");
                return Err(Problem::new(what).hint(sort_hint(table)).into());
            }
            let of_file = all.iter().filter(|of| of.piece.file == before.piece.file);
            let last = of_file.map(|of| &of.last).max().unwrap_or(&before.last);
            return Err(
                overlap(table, (one.as_str(), last), (other.as_str(), &after.first)).into(),
            );
        }
    }
    Ok(all)
}

/// The problem with two files that have ids in common: the first with its last id, and the other
/// with its first.
fn overlap(
    table: &str,
    (one, last): (&str, &RecipeId),
    (other, first): (&str, &RecipeId),
) -> Problem {
    let rows = if table == "lines" { "lines" } else { "rows" };
    if last == first {
        let what = format!("{one} and {other} both have {rows} of recipe_id {last}");
        let hint = format!("write all {rows} of a recipe into one file");
        return Problem::new(what).hint(hint);
    }
    let what = format!("{one} has recipe_id up to {last}, and {other} begins with {first}");
    let hint = format!(
        "{}; all {rows} of a recipe belong in one file",
        sort_hint(table)
    );
    Problem::new(what).hint(hint)
}

/// The name of a file without its ending.
fn stem(file: &TableFile) -> String {
    let stem = file.path().file_stem().and_then(|stem| stem.to_str());
    let stem = stem.unwrap_or("part").to_owned();
    if stem == "lines" {
        "part-00000".into()
    } else {
        stem
    }
}

/// Rows that are read at once.
const ROWS_AT_ONCE: usize = 1 << 18;

/// The ranges in which the rows of a row group are read.
pub(super) fn ranges(rows: usize) -> impl Iterator<Item = std::ops::Range<usize>> {
    let starts = (0..rows).step_by(ROWS_AT_ONCE);
    starts.map(move |start| start..rows.min(start + ROWS_AT_ONCE))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn group(group: usize, first: i64, last: i64) -> Bounded {
        Bounded {
            piece: Piece {
                file: 0,
                group,
                rows: 100,
            },
            first: RecipeId::Number(first),
            last: RecipeId::Number(last),
        }
    }

    #[test]
    fn a_single_file_is_cut_where_a_recipe_begins() {
        // The second recipe of ten begins in one row group and ends in the next, and one has two row groups for itself.
        let lines = [
            group(0, 1, 10),
            group(1, 10, 20),
            group(2, 20, 20),
            group(3, 20, 30),
        ];
        let starts = starts_of_one("part-00000", &lines, 100);
        let firsts: Vec<_> = starts.iter().map(|(_, first)| first.clone()).collect();
        let number = |number| Some(RecipeId::Number(number));
        assert_eq!(firsts, [number(1), number(10), number(20)]);
        assert_eq!(starts[2].0, "part-00000-00002");
        let part = Part {
            name: String::new(),
            lines: Vec::new(),
            recipes: Vec::new(),
            from: number(10),
            to: number(20),
        };
        // Lines of recipe 10 lie in the first row group too, those of recipe 20 are of the next part.
        let groups: Vec<_> = within(&lines, &part)
            .iter()
            .map(|piece| piece.group)
            .collect();
        assert_eq!(groups, [0, 1]);
        assert_eq!(starts_of_one("a", &lines, 1000).len(), 1);
    }

    #[test]
    fn files_with_ids_in_common_are_told_what_mends_them() {
        let message = |last, first| {
            let (last, first) = (RecipeId::Number(last), RecipeId::Number(first));
            overlap("lines", ("a", &last), ("b", &first)).to_string()
        };
        assert_eq!(
            message(19_999, 5000),
            "a has recipe_id up to 19999, and b begins with 5000 (write the table again in order: SELECT * FROM lines ORDER BY recipe_id, \
             line; all lines of a recipe belong in one file)"
        );
        assert_eq!(
            message(7, 7),
            "a and b both have lines of recipe_id 7 (write all lines of a recipe into one file)"
        );
    }

    #[test]
    fn a_row_group_is_read_in_ranges() {
        let all: Vec<_> = ranges(ROWS_AT_ONCE + 5).collect();
        assert_eq!(all, [0..ROWS_AT_ONCE, ROWS_AT_ONCE..ROWS_AT_ONCE + 5]);
        assert_eq!(ranges(0).count(), 0);
    }
}
