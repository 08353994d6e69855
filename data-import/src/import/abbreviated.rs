//! The USDA National Nutrient Database for Standard Reference, abbreviated: `ABBREV.txt` with the
//! values, `FOOD_DES.txt` with the descriptions.
//!
//! Layout: documentation of Release 28 (2015), "Abbreviated File" and "Food Description File".

use std::collections::{BTreeMap, BTreeSet};

use super::plausible::Plausibility;
use super::rows::{Row, Rows};
use super::source::Source;
use super::{DatasetReader, Release, Watcher};
use crate::error::{Error, Place};
use crate::food::{Composition, EnergyFactors, Food, FoodId};
use crate::manifest::FileDigest;
use crate::measure::Measure;
use crate::nutrient::{Nutrient, NutrientId as N, nutrients};

const ABBREV: &str = "ABBREV.txt";
const FOOD_DES: &str = "FOOD_DES.txt";
/// The published files have 2.3 MB and 1.4 MB.
const MOST_BYTES: u64 = 64_000_000;

/// SHA-256 of Release 28's `FOOD_DES.txt`, which tells that release from others of the same layout.
const SR28_FOOD_DES: &str = "bb2047218cdad1d830da69e760386409fde3b7afabceae604c5479f280d4fa2e";

/// The pair of files.
pub(super) struct Abbreviated;

impl DatasetReader for Abbreviated {
    fn layout(&self) -> &'static str {
        "USDA SR, abbreviated,"
    }

    fn files(&self) -> &'static [&'static str] {
        &[ABBREV, FOOD_DES]
    }

    fn read(
        &self,
        source: &mut Source,
        foods: &mut dyn FnMut(Food) -> Result<(), Error>,
        watcher: &mut Watcher<'_>,
    ) -> Result<Release, Error> {
        let (descriptions, food_des) = read_descriptions(source, watcher)?;
        let (release, label) = if food_des.sha256 == SR28_FOOD_DES {
            ("SR28 (2015)", "USDA SR28 (2015), abbreviated")
        } else {
            ("not known", "USDA SR, release not known, abbreviated")
        };
        let abbrev = read_values(source, descriptions, label, foods, watcher)?;
        Ok(Release {
            name: "USDA National Nutrient Database for Standard Reference",
            release,
            format: "abbreviated",
            files: vec![abbrev, food_des],
        })
    }
}

/// What `FOOD_DES.txt` says about a food.
struct Description {
    line: u64,
    group: String,
    name: String,
    short_name: String,
    common_names: String,
    manufacturer: String,
    refuse_description: String,
    refuse_percent: Option<f64>,
    scientific_name: String,
    energy_factors: Option<EnergyFactors>,
}

fn read_descriptions(
    source: &mut Source,
    watcher: &mut Watcher<'_>,
) -> Result<(BTreeMap<FoodId, Description>, FileDigest), Error> {
    let mut rows = Rows::new(source.input(FOOD_DES, MOST_BYTES, watcher)?, 14);
    let mut descriptions = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let id = food_id(row)?;
        if descriptions.contains_key(&id) {
            return Err(row.wrong_at(0, format!("food {id} is there a second time")));
        }
        descriptions.insert(id, description(row)?);
    }
    Ok((descriptions, rows.finish()))
}

fn description(row: Row<'_>) -> Result<Description, Error> {
    let protein = row.number(11, "protein factor")?;
    let fat = row.number(12, "fat factor")?;
    let carbohydrate = row.number(13, "carbohydrate factor")?;
    let energy_factors = match (protein, fat, carbohydrate) {
        (Some(protein), Some(fat), Some(carbohydrate)) => Some(EnergyFactors {
            protein,
            fat,
            carbohydrate,
        }),
        _ => None,
    };
    let refuse_percent = row.number(8, "refuse")?;
    if refuse_percent.is_some_and(|percent| percent > 100.0) {
        return Err(row.wrong_at(8, "refuse is more than 100 %".to_owned()));
    }
    Ok(Description {
        line: row.line(),
        group: row.text(1)?,
        name: row.text(2)?,
        short_name: row.text(3)?,
        common_names: row.text(4)?,
        manufacturer: row.text(5)?,
        refuse_description: row.text(7)?,
        refuse_percent,
        scientific_name: row.text(9)?,
        energy_factors,
    })
}

fn read_values(
    source: &mut Source,
    mut descriptions: BTreeMap<FoodId, Description>,
    label: &str,
    foods: &mut dyn FnMut(Food) -> Result<(), Error>,
    watcher: &mut Watcher<'_>,
) -> Result<FileDigest, Error> {
    let mut rows = Rows::new(source.input(ABBREV, MOST_BYTES, watcher)?, 53);
    let columns = columns()?;
    let mut plausibility = Plausibility::default();
    let mut seen = BTreeSet::new();
    while let Some(row) = rows.next()? {
        let id = food_id(row)?;
        if !seen.insert(id.clone()) {
            return Err(row.wrong_at(0, format!("food {id} is there a second time")));
        }
        let Some(description) = descriptions.remove(&id) else {
            return Err(row.wrong_at(0, format!("food {id} is not in {FOOD_DES}")));
        };
        let food = food(row, id, description, &columns, label)?;
        plausibility.look(row.line(), &food.composition);
        foods(food)?;
    }
    if let Some((line, problem)) = plausibility.verdict() {
        return Err(wrong(ABBREV, Some(line), problem));
    }
    if let Some((id, description)) = descriptions.first_key_value() {
        let problem = format!("food {id} is not in {ABBREV}");
        return Err(wrong(FOOD_DES, Some(description.line), problem));
    }
    if seen.is_empty() {
        return Err(wrong(ABBREV, None, "it is empty".to_owned()));
    }
    Ok(rows.finish())
}

fn food(
    row: Row<'_>,
    id: FoodId,
    description: Description,
    columns: &[&Nutrient],
    label: &str,
) -> Result<Food, Error> {
    let short_name = row.text(1)?;
    if short_name != description.short_name {
        let other = &description.short_name;
        return Err(row.wrong_at(1, format!("`{short_name}` is `{other}` in {FOOD_DES}")));
    }
    if row.number(52, "refuse")? != description.refuse_percent {
        return Err(row.wrong_at(52, format!("refuse is not the same in {FOOD_DES}")));
    }
    Ok(Food {
        id,
        name: description.name,
        common_names: description.common_names,
        manufacturer: description.manufacturer,
        scientific_name: description.scientific_name,
        group: description.group,
        refuse_percent: description.refuse_percent,
        refuse_description: description.refuse_description,
        energy_factors: description.energy_factors,
        composition: composition(row, columns)?,
        measures: measures(row)?,
        source: label.to_owned(),
    })
}

fn composition(row: Row<'_>, columns: &[&Nutrient]) -> Result<Composition, Error> {
    let mut composition = Composition::new();
    for (field, nutrient) in (2..).zip(columns) {
        let name = &nutrient.name;
        let Some(value) = row.number(field, name)? else {
            continue;
        };
        if value > most(&nutrient.unit) {
            let problem = format!("{name}: {value} is more than 100 g in 100 g");
            return Err(row.wrong_at(field, problem));
        }
        // Each column is published with decimals of its own, which tells most columns from
        // their neighbours.
        let (found, decimals) = (row.decimals(field), nutrient.decimals);
        if found > decimals.into() {
            let problem = format!(
                "{name}: {found} decimals where {decimals} are published; is this its column?"
            );
            return Err(row.wrong_at(field, problem));
        }
        composition.insert(nutrient.id, value);
    }
    Ok(composition)
}

/// The amount in this unit that weighs 100 g; what has no weight has no bound.
fn most(unit: &str) -> f64 {
    match unit {
        "g" => 100.0,
        "mg" => 100_000.0,
        "µg" => 100_000_000.0,
        _ => f64::INFINITY,
    }
}

/// The nutrients of the columns of `ABBREV.txt`, from the third on.
fn columns() -> Result<Vec<&'static Nutrient>, Error> {
    let known = nutrients()?;
    let column = |id| known.iter().find(|nutrient| nutrient.id == id);
    let columns = NUTRIENTS
        .iter()
        .map(|id| column(*id).ok_or(Error::Nutrient { id: *id }));
    columns.collect()
}

/// The two household measures. One without a weight or without a name is none.
fn measures(row: Row<'_>) -> Result<Vec<Measure>, Error> {
    let mut measures = Vec::new();
    for field in [48, 50] {
        let grams = row.number(field, "weight of a measure")?;
        let text = row.text(field + 1)?;
        if let Some(grams) = grams.filter(|grams| *grams > 0.0 && !text.is_empty()) {
            measures.push(Measure::parse(&text, grams));
        }
    }
    Ok(measures)
}

/// The NDB number, five digits, that both files have in their first column.
fn food_id(row: Row<'_>) -> Result<FoodId, Error> {
    let text = row.text(0)?;
    let id = text
        .parse()
        .ok()
        .filter(|_| text.len() == 5 && !text.starts_with("own"));
    id.ok_or_else(|| row.wrong_at(0, format!("`{text}` is not an NDB number of five digits")))
}

fn wrong(file: &str, line: Option<u64>, problem: String) -> Error {
    Error::Data {
        place: Place {
            file: file.to_owned(),
            line,
            column: None,
        },
        problem,
    }
}

/// The nutrients of `ABBREV.txt`, in the order of its columns from the third on.
#[rustfmt::skip]
const NUTRIENTS: [N; 46] = [
    N::WATER, N::ENERGY, N::PROTEIN, N::FAT, N::ASH, N::CARBOHYDRATE, N::FIBRE, N::SUGARS,
    N::CALCIUM, N::IRON, N::MAGNESIUM, N::PHOSPHORUS, N::POTASSIUM, N::SODIUM, N::ZINC,
    N::COPPER, N::MANGANESE, N::SELENIUM, N::VITAMIN_C, N::THIAMIN, N::RIBOFLAVIN, N::NIACIN,
    N::PANTOTHENIC_ACID, N::VITAMIN_B6, N::FOLATE, N::FOLIC_ACID, N::FOOD_FOLATE, N::FOLATE_DFE,
    N::CHOLINE, N::VITAMIN_B12, N::VITAMIN_A_IU, N::VITAMIN_A_RAE, N::RETINOL, N::ALPHA_CAROTENE,
    N::BETA_CAROTENE, N::BETA_CRYPTOXANTHIN, N::LYCOPENE, N::LUTEIN_ZEAXANTHIN, N::VITAMIN_E,
    N::VITAMIN_D, N::VITAMIN_D_IU, N::VITAMIN_K, N::SATURATED_FAT, N::MONOUNSATURATED_FAT,
    N::POLYUNSATURATED_FAT, N::CHOLESTEROL,
];
