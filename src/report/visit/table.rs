//! The figures as one long table: a row for each day, item and nutrient.

use super::{DayLine, VisitReport};
use crate::report::cell::cell;

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
                let of = (item.what.as_str(), item.source, *nutrient);
                writer.write_record(self.row(day, of, (amount.amount, amount.complete)))?;
            }
        }
        for (nutrient, parts) in &day.nutrients {
            let of = ("the whole day", "all", *nutrient);
            let total = parts.total.filter(|_| day.recorded);
            let complete = parts.complete && day.recorded;
            writer.write_record(self.row(day, of, (total, complete)))?;
        }
        Ok(())
    }

    /// A row of a day, with the item, its source and the nutrient that it is about.
    fn row(
        &self,
        day: &DayLine,
        (what, part, nutrient): (&str, &str, &str),
        (known, complete): (Option<f64>, bool),
    ) -> [String; 12] {
        let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
        let line = self.nutrients.iter().find(|line| line.id == nutrient);
        let share = day.references.get(nutrient).filter(|_| part == "all");
        [
            day.date.to_string(),
            cell(&self.child.name).into_owned(),
            cell(what).into_owned(),
            nutrient.to_string(),
            part.to_string(),
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
