//! The figures as one long table: a row for each day, item and nutrient.

use super::{DayLine, VisitReport};
use crate::report::cell::cell;
use crate::report::week::PartsReport;

const COLUMNS: [&str; 12] = [
    "day",
    "child",
    "what",
    "nutrient",
    "part",
    "known",
    "complete",
    "unit",
    "reference_kind",
    "reference",
    "percent",
    "ear",
];

/// The subject of a row.
struct ItemRow<'a> {
    day: &'a DayLine,
    what: &'a str,
    part: &'a str,
    nutrient: &'a str,
}

impl VisitReport {
    /// CSV (RFC 4180): every item of a day under `milk`, `puree` or `other`, and the total of the day under `all`,
    /// which alone is compared with a reference. Names that a spreadsheet would read as a formula have an apostrophe
    /// before them. `known` is empty where nothing is known; where `complete` is false it is a lower bound.
    ///
    /// Errors: none that can come of writing to memory.
    pub fn csv(&self) -> Result<String, csv::Error> {
        let mut writer = csv::WriterBuilder::new()
            .terminator(csv::Terminator::CRLF)
            .from_writer(Vec::new());
        writer.write_record(COLUMNS)?;
        for day in &self.days {
            self.day(day, &mut writer)?;
        }
        let bytes = writer
            .into_inner()
            .map_err(|error| csv::Error::from(error.into_error()))?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }

    fn day(&self, day: &DayLine, writer: &mut csv::Writer<Vec<u8>>) -> Result<(), csv::Error> {
        for item in &day.items {
            for (nutrient, amount) in &item.nutrients {
                let (what, part) = (item.what.as_str(), item.source);
                let row = ItemRow {
                    day,
                    what,
                    part,
                    nutrient,
                };
                writer.write_record(self.row(&row, amount.amount, amount.complete))?;
            }
        }
        for (nutrient, parts) in &day.nutrients {
            let PartsReport {
                total, complete, ..
            } = parts;
            let row = ItemRow {
                day,
                what: "the whole day",
                part: "all",
                nutrient,
            };
            writer.write_record(self.row(
                &row,
                total.filter(|_| day.recorded),
                *complete && day.recorded,
            ))?;
        }
        Ok(())
    }

    fn row(&self, row: &ItemRow<'_>, known: Option<f64>, complete: bool) -> [String; 12] {
        let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
        let line = self.nutrients.iter().find(|line| line.id == row.nutrient);
        let share = row
            .day
            .references
            .get(row.nutrient)
            .filter(|_| row.part == "all");
        [
            row.day.date.to_string(),
            cell(&self.child.name).into_owned(),
            cell(row.what).into_owned(),
            row.nutrient.to_string(),
            row.part.to_string(),
            number(known),
            complete.to_string(),
            line.map_or("", |line| line.unit).to_string(),
            share.map_or("", |share| share.kind).to_string(),
            number(share.map(|share| share.amount)),
            number(share.and_then(|share| share.percent)),
            number(share.and_then(|share| share.ear)),
        ]
    }
}
