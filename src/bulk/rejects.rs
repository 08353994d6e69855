//! The table of rejects: one row for each thing that is wrong.

use std::borrow::Cow;
use std::path::Path;

use data_import::parquet::{Cells, Codec, Layout, ParquetWriter, WrittenFile};

use super::BulkError;
use super::fault::{Fault, LOST_ZEROS, UNKNOWN_FOOD, UNKNOWN_METHOD};
use super::id::RecipeId;
use super::lines::UnknownWords;
use super::results::{IdColumn, ROWS_OF_A_GROUP, plain};

/// A file of rejects that is written.
#[derive(Debug)]
pub(super) struct Rejects {
    writer: ParquetWriter,
    ids: IdColumn,
    rows: Vec<Reject>,
    /// How many recipes have each fault, in the order of their bits.
    pub(super) counts: Vec<(Fault, u64)>,
    /// How many recipes are rejected.
    pub(super) recipes: u64,
}

/// One thing that is wrong with a line or, where it has no food, method and grams, with a recipe.
#[derive(Debug)]
struct Reject {
    fault: Fault,
    what: &'static str,
    hint: Cow<'static, str>,
    line: Option<i64>,
    food: Option<String>,
    method: Option<String>,
    grams: Option<f64>,
}

/// What a rejected line says.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct RejectedLine<'a> {
    pub(super) line: Option<i64>,
    pub(super) unknown: UnknownWords<'a>,
    pub(super) food: Option<&'a str>,
    pub(super) method: Option<&'a str>,
    pub(super) grams: Option<f64>,
}

impl Rejects {
    pub(super) fn create(path: &Path, numbered: bool, codec: Codec) -> Result<Self, BulkError> {
        let ids = IdColumn::new(numbered);
        let columns = [
            ids.column(),
            plain("line", Layout::Int32),
            plain("code", Layout::String),
            plain("what", Layout::String),
            plain("hint", Layout::String),
            plain("food", Layout::String),
            plain("method", Layout::String),
            plain("grams", Layout::Double),
        ];
        Ok(Self {
            writer: ParquetWriter::create(path, &columns, codec)?,
            ids,
            rows: Vec::new(),
            counts: Fault::all().map(|fault| (fault, 0)).collect(),
            recipes: 0,
        })
    }

    /// Appends what is wrong with a line.
    pub(super) fn push_line(
        &mut self,
        id: &RecipeId,
        faults: i64,
        line: RejectedLine<'_>,
    ) -> Result<(), BulkError> {
        let found = Fault::all().filter(|fault| faults & fault.bit() != 0);
        for (fault, text) in found.flat_map(|fault| reasons(fault, line.unknown)) {
            self.push(id, fault, text, line)?;
        }
        Ok(())
    }

    /// Appends what is wrong with a recipe as a whole, and counts all that is wrong with it and its lines.
    pub(super) fn push_recipe(&mut self, id: &RecipeId, faults: i64) -> Result<(), BulkError> {
        if faults == 0 {
            return Ok(());
        }
        self.recipes += 1;
        for (fault, count) in &mut self.counts {
            *count += u64::from(faults & fault.bit() != 0);
        }
        let of_recipe = Fault::all().filter(|fault| !fault.is_of_a_line());
        for fault in of_recipe.filter(|fault| faults & fault.bit() != 0) {
            let text = (fault.what(), fault.hint().into());
            self.push(id, fault, text, RejectedLine::default())?;
        }
        Ok(())
    }

    fn push(
        &mut self,
        id: &RecipeId,
        fault: Fault,
        (what, hint): FaultText,
        line: RejectedLine<'_>,
    ) -> Result<(), BulkError> {
        self.ids.push(id);
        self.rows.push(Reject {
            fault,
            what,
            hint,
            line: line.line,
            food: line.food.map(String::from),
            method: line.method.map(String::from),
            grams: line.grams,
        });
        if self.rows.len() == ROWS_OF_A_GROUP {
            self.flush()?;
        }
        Ok(())
    }

    /// Writes what was gathered, and the end of the file.
    pub(super) fn finish(mut self) -> Result<WrittenFile, BulkError> {
        self.flush()?;
        Ok(self.writer.finish()?)
    }

    fn flush(&mut self) -> Result<(), BulkError> {
        if self.rows.is_empty() {
            return Ok(());
        }
        let rows = &self.rows;
        let lines: Vec<i64> = rows.iter().map(|row| row.line.unwrap_or(0)).collect();
        let grams: Vec<f64> = rows.iter().map(|row| row.grams.unwrap_or(0.0)).collect();
        self.writer.write(rows.len(), |column| match column {
            0 => self.ids.cells(),
            1 => Cells::Integers(
                &lines,
                Some(rows.iter().map(|row| row.line.is_some()).collect()),
            ),
            2 => Cells::Text(rows.iter().map(|row| Some(row.fault.code())).collect()),
            3 => Cells::Text(rows.iter().map(|row| Some(row.what)).collect()),
            4 => Cells::Text(rows.iter().map(|row| Some(&*row.hint)).collect()),
            5 => Cells::Text(rows.iter().map(|row| row.food.as_deref()).collect()),
            6 => Cells::Text(rows.iter().map(|row| row.method.as_deref()).collect()),
            _ => Cells::Reals(
                &grams,
                Some(rows.iter().map(|row| row.grams.is_some()).collect()),
            ),
        })?;
        self.ids.clear();
        self.rows.clear();
        Ok(())
    }
}

/// What is wrong, and what to do about it.
type FaultText = (&'static str, Cow<'static, str>);

/// The reasons for a fault of a line: two where neither its food nor its method is known.
fn reasons(fault: Fault, unknown: UnknownWords<'_>) -> Vec<(Fault, FaultText)> {
    if fault != Fault::UnknownFoodOrMethod {
        return vec![(fault, (fault.what(), fault.hint().into()))];
    }
    let food = unknown.food.then(|| {
        let hint = match unknown.meant {
            Some(id) => format!("{LOST_ZEROS}{id}?").into(),
            None => UNKNOWN_FOOD.1.into(),
        };
        (fault, (UNKNOWN_FOOD.0, hint))
    });
    let method = (UNKNOWN_METHOD.0, UNKNOWN_METHOD.1.into());
    let method = unknown.method.then_some((fault, method));
    food.into_iter().chain(method).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_unknown_food_and_an_unknown_method_are_told_apart() {
        let says = |food, method, meant| {
            let unknown = UnknownWords {
                food,
                method,
                meant,
            };
            let found = reasons(Fault::UnknownFoodOrMethod, unknown);
            let found = found
                .into_iter()
                .map(|(_, (what, hint))| format!("{what}: {hint}"));
            found.collect::<Vec<_>>()
        };
        let food = "there is no such food: take an id of the food table, as text";
        let meant = "there is no such food: the ids of the food table have five digits, as text: did you mean 01123?";
        let method = "there is no such way to cook: take steam, boil, simmer, stew, bake, roast, saute, microwave, pressure or none";
        assert_eq!(says(true, false, None), [food]);
        assert_eq!(says(true, false, Some("01123")), [meant]);
        assert_eq!(says(false, true, None), [method]);
        assert_eq!(says(true, true, None), [food, method]);
    }
}
