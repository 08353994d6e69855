//! FoodData Central as published in CSV: Foundation Foods, SR Legacy, Survey (FNDDS) and Branded,
//! each by itself or all in the full download.
//!
//! Layout: the files' own headers, and "Download Field Descriptions" of FoodData Central, October
//! 2024. Each of the four kinds of food becomes a source of its own.

mod details;
mod foods;
mod meanings;
mod measures;
mod origins;
mod places;
mod values;

use jiff::civil::Date;

use super::assemble::{Gathered, Release, Rules};
use super::gather::{Gather, Ids, Recorder, Store};
use super::input::Input;
use super::source::Source;
use super::table::{self, Row, Wanted};
use super::{DatasetReader, Watcher, counted};
use crate::error::Error;
use crate::manifest::FileDigest;
use crate::nutrient::all_nutrients;
use foods::Foods;
use meanings::Meanings;
use origins::Origins;

const FOOD: &str = "food.csv";
const FOOD_NUTRIENT: &str = "food_nutrient.csv";
const NUTRIENT: &str = "nutrient.csv";
/// The most bytes of a file; the largest of the full download has about 2 GB.
const MOST_BYTES: u64 = 32_000_000_000;

/// A kind of food that is eaten.
#[derive(Debug, Clone, Copy)]
struct FoodKind {
    /// As `food.csv` names it.
    data_type: &'static str,
    /// The source of the cache.
    id: &'static str,
    name: &'static str,
    /// The file with a row for each food of the kind.
    file: &'static str,
}

const KINDS: [FoodKind; 4] = [
    FoodKind {
        data_type: "foundation_food",
        id: "foundation",
        name: "Foundation Foods",
        file: "foundation_food.csv",
    },
    FoodKind {
        data_type: "sr_legacy_food",
        id: "sr-legacy",
        name: "SR Legacy",
        file: "sr_legacy_food.csv",
    },
    FoodKind {
        data_type: "survey_fndds_food",
        id: "survey",
        name: "Survey (FNDDS)",
        file: "survey_fndds_food.csv",
    },
    FoodKind {
        data_type: "branded_food",
        id: "branded",
        name: "Branded",
        file: "branded_food.csv",
    },
];

/// The tables.
pub(super) struct FoodData;

impl DatasetReader for FoodData {
    fn format(&self) -> &'static str {
        "fooddata"
    }

    fn layout(&self) -> &'static str {
        "FoodData Central (CSV)"
    }

    fn files(&self) -> &'static [&'static str] {
        &[FOOD, FOOD_NUTRIENT, NUTRIENT]
    }

    fn read<'s>(
        &self,
        source: &mut Source,
        store: &'s Store,
        watcher: &mut Watcher<'_>,
    ) -> Result<Vec<Gathered<'s>>, Error> {
        let mut reading = Reading {
            source,
            watcher,
            files: Vec::new(),
            warnings: Vec::new(),
        };
        let meanings = Meanings::read(&mut reading)?;
        let origins = Origins::read(&mut reading)?;
        let mut foods = Foods::read(&mut reading, store)?;
        let known = all_nutrients()?.len();
        let ordered = foods.ordered.drain(..);
        let gathers = ordered.map(|ids| Gather::new(store, Ids::Numbers(ids), known));
        let gathers = gathers.collect::<Vec<_>>();
        foods.details(&mut reading, &gathers, store)?;
        details::read(&mut reading, &foods.places, &gathers)?;
        measures::read(&mut reading, &foods.places, &gathers)?;
        values::read(&mut reading, &foods.places, &meanings, &origins, &gathers)?;
        reading.gathered(gathers, &foods, &origins)
    }
}

/// What the files are read with.
struct Reading<'r, 'w> {
    source: &'r mut Source,
    watcher: &'r mut Watcher<'w>,
    files: Vec<FileDigest>,
    warnings: Vec<String>,
}

impl<'w> Reading<'_, 'w> {
    fn input<'a>(&'a mut self, file: &'a str) -> Result<Input<'a, 'w>, Error> {
        self.source.input(file, MOST_BYTES, self.watcher)
    }

    /// Opens a file that the dataset can do without; if it is not there, says what that costs.
    fn optional<'a>(
        &'a mut self,
        file: &'a str,
        cost: &str,
    ) -> Result<Option<Input<'a, 'w>>, Error> {
        if self.source.has(file) {
            return self.input(file).map(Some);
        }
        self.warnings.push(format!("{file} is not there: {cost}"));
        Ok(None)
    }

    /// Reads a file row by row.
    fn rows(
        &mut self,
        file: &str,
        columns: &Wanted,
        row: impl FnMut(&Row<'_>) -> Result<(), Error>,
    ) -> Result<(), Error> {
        let digest = table::read_in_order(self.input(file)?, columns, row)?;
        self.files.push(digest);
        Ok(())
    }

    /// [`Reading::rows`] of a file that the dataset can do without, see [`Reading::optional`];
    /// returns whether it is there.
    fn optional_rows(
        &mut self,
        (file, cost): (&str, &str),
        columns: &Wanted,
        row: impl FnMut(&Row<'_>) -> Result<(), Error>,
    ) -> Result<bool, Error> {
        let Some(input) = self.optional(file, cost)? else {
            return Ok(false);
        };
        let digest = table::read_in_order(input, columns, row)?;
        self.files.push(digest);
        Ok(true)
    }

    /// Adds a warning about so many rows or foods, if there are any.
    fn warn(&mut self, count: usize, one: &str, many: &str) {
        if count > 0 {
            self.warnings.push(counted(count, one, many));
        }
    }

    fn gathered<'s>(
        self,
        gathers: Vec<Gather<'s>>,
        foods: &Foods,
        origins: &Origins,
    ) -> Result<Vec<Gathered<'s>>, Error> {
        let (files, warnings) = (self.files, self.warnings);
        let mut all = Vec::new();
        for ((kind, gather), published) in KINDS.iter().zip(gathers).zip(&foods.published) {
            if gather.ids().len() == 0 {
                continue;
            }
            let release = match published.as_str() {
                "" => "not known".to_owned(),
                date => match date.parse::<Date>() {
                    Ok(date) => format!("published up to {}", date.strftime("%-d %b %Y")),
                    Err(_) => format!("published up to {date}"),
                },
            };
            let label = format!("USDA FoodData Central, {}, {release}", kind.name);
            all.push(Gathered {
                gather,
                release: Release {
                    id: kind.id,
                    name: format!("USDA FoodData Central, {}", kind.name),
                    release,
                    format: "FoodData Central CSV".to_owned(),
                    label,
                    files: files.clone(),
                    // They are about the files, which all kinds share.
                    warnings: warnings.clone(),
                },
                rules: Rules {
                    fallbacks: meanings::fallbacks()?,
                    derivations: origins.codes.clone(),
                    sources: vec![String::new()],
                    provenance: true,
                    built_in: false,
                },
            });
        }
        Ok(all)
    }
}

/// A recorder for each source.
struct Pens<'g, 's>(Vec<Recorder<'g, 's>>);

impl<'g, 's> Pens<'g, 's> {
    fn new(gathers: &'g [Gather<'s>]) -> Self {
        Self(gathers.iter().map(Gather::recorder).collect())
    }

    #[inline]
    fn of(&mut self, source: usize) -> Option<&mut Recorder<'g, 's>> {
        self.0.get_mut(source)
    }

    fn finish(self) -> Result<(), Error> {
        self.0.into_iter().try_for_each(Recorder::finish)
    }
}
