//! The USDA National Nutrient Database for Standard Reference as published in full: a file a table.
//!
//! Layout: documentation of Release 28 (2015), "Food Description File", "Nutrient Data File",
//! "Weight File" and "Nutrient Definition File".

use std::collections::BTreeMap;

use super::assemble::{Gathered, Release, Rules};
use super::descriptions::{Description, FOOD_DES, food_id, read_descriptions, release_of};
use super::gather::{Gather, Mark, Recorder, Store, Value};
use super::plausible::most;
use super::rows::{Row, Rows};
use super::source::Source;
use super::{DatasetReader, Watcher, list, whole};
use crate::error::Error;
use crate::food::FoodId;
use crate::import::gather::Ids;
use crate::manifest::FileDigest;
use crate::measure::Measure;
use crate::nutrient::{Nutrient, NutrientId, all_nutrients, nutrients};
use crate::provenance::Origin;

const NUT_DATA: &str = "NUT_DATA.txt";
pub(super) const WEIGHT: &str = "WEIGHT.txt";
const NUTR_DEF: &str = "NUTR_DEF.txt";
/// What foods have besides, in the files of the release: footnotes, references, and codes of
/// a thesaurus that describes foods.
const NOT_USED: [&str; 5] = [
    "FOOTNOTE.txt",
    "DATSRCLN.txt",
    "DATA_SRC.txt",
    "LANGUAL.txt",
    "LANGDESC.txt",
];
/// The most bytes of a file; the largest of the published ones has 40 MB.
const MOST_BYTES: u64 = 400_000_000;

/// The tables, all nutrients of them or the 46 that a batch adds up.
pub(super) struct Sr28 {
    pub(super) core_only: bool,
}

impl DatasetReader for Sr28 {
    fn format(&self) -> &'static str {
        if self.core_only { "sr28-core" } else { "sr28" }
    }

    fn layout(&self) -> &'static str {
        "USDA SR, full,"
    }

    fn files(&self) -> &'static [&'static str] {
        &[FOOD_DES, NUT_DATA, WEIGHT, NUTR_DEF]
    }

    fn read<'s>(
        &self,
        source: &mut Source,
        store: &'s Store,
        watcher: &mut Watcher<'_>,
    ) -> Result<Vec<Gathered<'s>>, Error> {
        let (definitions, nutr_def) = read_definitions(source, watcher)?;
        let (descriptions, food_des) = read_descriptions(source, watcher)?;
        let ids = Ids::new(descriptions.keys().map(FoodId::as_str));
        let gather = if self.core_only {
            Gather::built_in
        } else {
            Gather::new
        };
        let gather = gather(store, ids, all_nutrients()?.len());
        let foods = Foods::new(descriptions);
        let mut recorder = gather.recorder();
        foods.write(&mut recorder)?;
        let mut codes = Codes::default();
        let reading = Reading {
            foods: &foods,
            definitions: &definitions,
            // The first places of all nutrients are those of the 46.
            places: if self.core_only {
                nutrients()?.len()
            } else {
                all_nutrients()?.len()
            },
        };
        let nut_data = reading.values(source, &mut recorder, &mut codes, watcher)?;
        let weight = reading.measures(source, &mut recorder, watcher)?;
        recorder.finish()?;
        let (release, label) = release_of(&food_des);
        let release = Release {
            id: "sr28",
            name: "USDA National Nutrient Database for Standard Reference".to_owned(),
            release: release.to_owned(),
            format: "full".to_owned(),
            label: label.to_owned(),
            files: vec![food_des, nut_data, weight, nutr_def],
            warnings: not_used(source).into_iter().collect(),
        };
        let rules = Rules {
            fallbacks: Vec::new(),
            derivations: codes.derivations.list,
            sources: codes.sources.list,
            provenance: true,
            built_in: self.core_only,
        };
        Ok(vec![Gathered {
            gather,
            release,
            rules,
        }])
    }
}

/// What a person should know of files that are there for nothing.
fn not_used(source: &Source) -> Option<String> {
    let unused = NOT_USED.into_iter().filter(|file| source.has(file));
    let unused = unused.collect::<Vec<_>>();
    let verb = if unused.len() == 1 { "is" } else { "are" };
    (!unused.is_empty()).then(|| format!("{} {verb} not used", list(&unused)))
}

/// A nutrient with its place in the table of all nutrients.
type Definition = (u16, &'static Nutrient);

/// Reads which nutrients there are, and checks that they are those known here, in the same units.
fn read_definitions(
    source: &mut Source,
    watcher: &mut Watcher<'_>,
) -> Result<(BTreeMap<u16, Definition>, FileDigest), Error> {
    let mut rows = Rows::new(source.input(NUTR_DEF, MOST_BYTES, watcher)?, 6);
    let known = all_nutrients()?;
    let mut definitions = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let number = nutrient_number(row, 0)?;
        let id = NutrientId::new(number);
        let found = (0..).zip(known).find(|(_, nutrient)| nutrient.id == id);
        let Some(definition) = found else {
            return Err(row.wrong_at(0, format!("nutrient {number} is not known")));
        };
        let (unit, expected) = (row.text(1)?, &definition.1.unit);
        if unit != *expected {
            let problem = format!("nutrient {number} is in “{unit}”, not in “{expected}”");
            return Err(row.wrong_at(1, problem));
        }
        // The last field; where it is not whole, the file is cut off.
        row.text(5)?;
        definitions.insert(number, definition);
    }
    Ok((definitions, rows.finish()))
}

fn nutrient_number(row: Row<'_>, field: usize) -> Result<u16, Error> {
    let text = row.text(field)?;
    text.parse()
        .map_err(|_| row.wrong_at(field, format!("“{text}” is not a nutrient number")))
}

/// The foods by id, each with its place.
struct Foods(BTreeMap<FoodId, (u32, Description)>);

impl Foods {
    fn new(descriptions: BTreeMap<FoodId, Description>) -> Self {
        let placed = (0..).zip(descriptions);
        Self(placed.map(|(at, (id, one))| (id, (at, one))).collect())
    }

    fn write(&self, recorder: &mut Recorder<'_, '_>) -> Result<(), Error> {
        for (id, (at, one)) in &self.0 {
            let food = one.clone().food(id.clone());
            whole::write(recorder, *at, &food)?;
        }
        Ok(())
    }

    fn at(&self, row: Row<'_>) -> Result<u32, Error> {
        let id = food_id(row)?;
        let found = self.0.get(&id).map(|(at, _)| *at);
        found.ok_or_else(|| row.wrong_at(0, format!("food {id} is not in {FOOD_DES}")))
    }
}

/// Codes by their places in the marks; the first is none.
#[derive(Debug)]
struct List {
    list: Vec<String>,
}

impl Default for List {
    fn default() -> Self {
        Self {
            list: vec![String::new()],
        }
    }
}

impl List {
    fn place(&mut self, row: Row<'_>, field: usize) -> Result<u8, Error> {
        let code = row.text(field)?;
        let at = match self.list.iter().position(|known| *known == code) {
            Some(at) => at,
            None => {
                self.list.push(code);
                self.list.len() - 1
            }
        };
        u8::try_from(at).map_err(|_| row.wrong_at(field, "more than 255 codes".to_owned()))
    }

    fn get(&self, place: u8) -> &str {
        self.list.get(usize::from(place)).map_or("", String::as_str)
    }
}

#[derive(Debug, Default)]
struct Codes {
    derivations: List,
    sources: List,
    origins: BTreeMap<(u8, u8), Origin>,
}

impl Codes {
    fn mark(&mut self, row: Row<'_>) -> Result<Mark, Error> {
        let source = self.sources.place(row, 5)?;
        let derivation = self.derivations.place(row, 6)?;
        let origin = match self.origins.get(&(derivation, source)) {
            Some(origin) => *origin,
            None => {
                let codes = (self.derivations.get(derivation), self.sources.get(source));
                let origin = Origin::of(codes.0, codes.1)?;
                self.origins.insert((derivation, source), origin);
                origin
            }
        };
        Ok(Mark {
            origin,
            derivation,
            source,
        })
    }
}

/// What the tables that hang on the foods are read with.
struct Reading<'a> {
    foods: &'a Foods,
    definitions: &'a BTreeMap<u16, Definition>,
    /// Nutrients at this place and beyond are left out.
    places: usize,
}

impl Reading<'_> {
    fn values(
        &self,
        source: &mut Source,
        recorder: &mut Recorder<'_, '_>,
        codes: &mut Codes,
        watcher: &mut Watcher<'_>,
    ) -> Result<FileDigest, Error> {
        let mut rows = Rows::new(source.input(NUT_DATA, MOST_BYTES, watcher)?, 18);
        let wide = all_nutrients()?.len();
        let mut seen = vec![false; self.foods.0.len() * wide];
        while let Some(row) = rows.next()? {
            let food = self.foods.at(row)?;
            let value = self.value(row, codes)?;
            let at = food as usize * wide + usize::from(value.nutrient);
            if let Some(seen) = seen.get_mut(at)
                && std::mem::replace(seen, true)
            {
                let problem = "this food has a value of this nutrient already";
                return Err(row.wrong_at(1, problem.to_owned()));
            }
            if usize::from(value.nutrient) < self.places {
                recorder.value(food, &value)?;
            }
        }
        let seen = seen.chunks(wide).map(|food| food.contains(&true));
        for (has_values, (id, (_, food))) in seen.zip(&self.foods.0) {
            if !has_values {
                let problem = format!("food {id} has no value in {NUT_DATA}");
                return Err(Error::in_file(FOOD_DES, Some(food.line), problem));
            }
        }
        Ok(rows.finish())
    }

    fn value(&self, row: Row<'_>, codes: &mut Codes) -> Result<Value, Error> {
        let number = nutrient_number(row, 1)?;
        let definition = self.definitions.get(&number);
        let (nutrient, known) = *definition
            .ok_or_else(|| row.wrong_at(1, format!("nutrient {number} is not in {NUTR_DEF}")))?;
        let amount = row.number(2, &known.name)?;
        let amount = amount.ok_or_else(|| row.wrong_at(2, format!("{}: blank", known.name)))?;
        if amount > most(&known.unit) {
            let problem = format!("{}: {amount} is more than 100 g in 100 g", known.name);
            return Err(row.wrong_at(2, problem));
        }
        let points = row.number(3, "number of data points")?;
        let points = points.map(|points| {
            whole_number(points)
                .ok_or_else(|| row.wrong_at(3, format!("{points} is not a number of analyses")))
        });
        Ok(Value {
            nutrient,
            amount,
            written: None,
            data_points: points.transpose()?,
            standard_error: row.number(4, "standard error")?,
            mark: codes.mark(row)?,
        })
    }

    fn measures(
        &self,
        source: &mut Source,
        recorder: &mut Recorder<'_, '_>,
        watcher: &mut Watcher<'_>,
    ) -> Result<FileDigest, Error> {
        read_weights(source, watcher, |row, order, measure| {
            recorder.measure(self.foods.at(row)?, order, &measure)
        })
    }
}

/// Reads the household measures, and hands each over with its row and its place among those of its food.
pub(super) fn read_weights(
    source: &mut Source,
    watcher: &mut Watcher<'_>,
    mut keep: impl FnMut(Row<'_>, u32, Measure) -> Result<(), Error>,
) -> Result<FileDigest, Error> {
    let mut rows = Rows::new(source.input(WEIGHT, MOST_BYTES, watcher)?, 7);
    while let Some(row) = rows.next()? {
        let order = row.number(1, "sequence")?.and_then(whole_number);
        let order =
            order.ok_or_else(|| row.wrong_at(1, "the sequence is not a number".to_owned()))?;
        let amount = positive(row, 2, "amount")?;
        let grams = positive(row, 4, "weight")?;
        let unit = row.text(3)?;
        let measure = Measure {
            amount,
            unit,
            grams,
        };
        keep(row, order, measure)?;
    }
    Ok(rows.finish())
}

fn positive(row: Row<'_>, field: usize, name: &str) -> Result<f64, Error> {
    let number = row.number(field, name)?.filter(|number| *number > 0.0);
    number.ok_or_else(|| row.wrong_at(field, format!("the {name} of a measure is not there")))
}

fn whole_number(number: f64) -> Option<u32> {
    let whole = number.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&number);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "it is whole and in range"
    )]
    whole.then_some(number as u32)
}
