//! The id of a recipe, a number or a text.

use std::fmt;
use std::path::Path;

use data_import::parquet::{Coded, NOT_GIVEN, Values};

use super::BulkError;
use crate::problem::Problem;

/// The id of a recipe.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum RecipeId {
    Number(i64),
    Text(String),
}

impl fmt::Display for RecipeId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => number.fmt(f),
            Self::Text(text) => text.fmt(f),
        }
    }
}

/// The ids of some rows.
#[derive(Debug)]
pub(super) enum Ids {
    Numbers(Vec<i64>),
    Text(Coded),
}

impl Ids {
    /// How many rows there are.
    pub(super) fn len(&self) -> usize {
        match self {
            Self::Numbers(rows) => rows.len(),
            Self::Text(rows) => rows.codes.len(),
        }
    }

    /// The id of a row; `None` beyond the last one.
    pub(super) fn get(&self, row: usize) -> Option<RecipeId> {
        match self {
            Self::Numbers(rows) => rows.get(row).copied().map(RecipeId::Number),
            Self::Text(rows) => rows.get(row).map(|text| RecipeId::Text(text.to_owned())),
        }
    }

    /// The first row from `row` on that has another id.
    pub(super) fn end_of(&self, row: usize) -> usize {
        fn end<T: PartialEq>(rows: &[T], row: usize) -> usize {
            let rest = rows.get(row..).unwrap_or_default();
            let Some(first) = rest.first() else {
                return row;
            };
            let other = rest.iter().position(|one| one != first);
            row + other.unwrap_or(rest.len())
        }
        match self {
            Self::Numbers(rows) => end(rows, row),
            Self::Text(rows) => end(&rows.codes, row),
        }
    }

    /// Numbers, all of which are given. `before` is how many rows of the file lie before them.
    pub(super) fn numbers(
        rows: Values<i64>,
        file: &Path,
        before: usize,
    ) -> Result<Self, BulkError> {
        if rows.all_given() {
            return Ok(Self::Numbers(rows.values));
        }
        let lacking = (0..rows.values.len()).find(|row| !rows.is_given(*row));
        Err(without_id(file, before + lacking.unwrap_or(0)))
    }

    /// Ids that are text, from a column; `before` is how many rows of the file lie before them.
    ///
    /// Errors: a row without an id.
    pub(super) fn text(rows: Coded, file: &Path, before: usize) -> Result<Self, BulkError> {
        match rows.codes.iter().position(|code| *code == NOT_GIVEN) {
            Some(lacking) => Err(without_id(file, before + lacking)),
            None => Ok(Self::Text(rows)),
        }
    }

    /// Checks that no row has a lesser id than the one before it; `last` is that of the row before the first.
    pub(super) fn check_order(
        &self,
        mut last: Option<RecipeId>,
        table: &str,
        file: &Path,
    ) -> Result<Option<RecipeId>, BulkError> {
        let mut row = 0;
        while let Some(id) = self.get(row) {
            if let Some(before) = last.filter(|last| *last > id) {
                let what = format!("{}: recipe_id {id} comes after {before}", file.display());
                let hint = sort_hint(table);
                return Err(Problem::new(what).hint(hint).into());
            }
            row = match self {
                Self::Numbers(rows) => row + ascending(rows.get(row..).unwrap_or_default()),
                Self::Text(_) => self.end_of(row),
            };
            last = match row.checked_sub(1) {
                Some(before) => self.get(before),
                None => None,
            };
        }
        Ok(last)
    }
}

/// How many numbers there are up to the first that is less than the one before it.
fn ascending(rows: &[i64]) -> usize {
    let falls = rows.windows(2).position(|pair| pair.first() > pair.last());
    falls.map_or(rows.len(), |at| at + 1)
}

/// The error for a row without a `recipe_id`, which names the row by the number of rows before it, plus one.
pub(super) fn without_id(file: &Path, before: usize) -> BulkError {
    let what = format!("{}: row {} has no recipe_id", file.display(), before + 1);
    let hint = "give every row the id of its recipe; rows are counted from 1, without the header";
    Problem::new(what).hint(hint).into()
}

/// How a table is put in order.
pub(super) fn sort_hint(table: &str) -> String {
    let also = if table == "lines" { ", line" } else { "" };
    format!("write the table again in order: SELECT * FROM {table} ORDER BY recipe_id{also}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_back_is_found_and_named() {
        let check = |rows: &[i64]| {
            Ids::Numbers(rows.to_vec()).check_order(None, "lines", Path::new("part-1"))
        };
        assert_eq!(check(&[1, 1, 2, 5]).unwrap(), Some(RecipeId::Number(5)));
        let error = check(&[1, 3, 3, 2, 4]).unwrap_err();
        assert_eq!(error.to_string(), "part-1: recipe_id 2 comes after 3");
        let text = Ids::Text(Coded::of([Some("a"), Some("c"), Some("b")].into_iter()));
        assert!(text.check_order(None, "lines", Path::new("x")).is_err());
    }

    #[test]
    fn a_row_without_an_id_is_named_by_its_place_in_the_file() {
        let text = Coded::of([Some("a"), None].into_iter());
        let error = Ids::text(text, Path::new("x"), 100).unwrap_err();
        assert_eq!(error.to_string(), "x: row 102 has no recipe_id");
        let numbers = Values::of(&[Some(7), Some(8), None, None], 0);
        let error = Ids::numbers(numbers, Path::new("x"), 0).unwrap_err();
        assert_eq!(error.to_string(), "x: row 3 has no recipe_id");
        let numbers = Values::of(&[Some(7), Some(8)], 0);
        let ids = Ids::numbers(numbers, Path::new("x"), 0).unwrap();
        assert_eq!(ids.get(1), Some(RecipeId::Number(8)));
    }

    #[test]
    fn the_rows_of_a_recipe_end_where_the_id_changes() {
        let ids = Ids::Numbers(vec![4, 4, 4, 7]);
        assert_eq!((ids.end_of(0), ids.end_of(1), ids.end_of(3)), (3, 3, 4));
        assert_eq!(ids.get(4), None);
    }
}
