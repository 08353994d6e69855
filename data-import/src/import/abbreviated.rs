//! The USDA National Nutrient Database for Standard Reference, abbreviated: `ABBREV.txt` with the
//! values, `FOOD_DES.txt` with the descriptions, and `WEIGHT.txt` of the full release where it lies
//! beside them: the abbreviated file has at most two household measures of a food.
//!
//! Layout: documentation of Release 28 (2015), "Abbreviated File", "Food Description File" and
//! "Weight File".

use std::collections::{BTreeMap, BTreeSet};

use super::descriptions::{Description, FOOD_DES, food_id, read_descriptions, release_of};
use super::gather::Store;
use super::plausible::{Plausibility, most};
use super::rows::{Row, Rows};
use super::source::Source;
use super::sr28::{WEIGHT, read_weights};
use super::{DatasetReader, Gathered, Release, Watcher, whole};
use crate::error::Error;
use crate::food::{Composition, Food, FoodId};
use crate::manifest::FileDigest;
use crate::measure::Measure;
use crate::nutrient::{Nutrient, NutrientId as N, nutrients};

const ABBREV: &str = "ABBREV.txt";
/// The most bytes of the file; the published one has 2.3 MB.
const MOST_BYTES: u64 = 64_000_000;

/// The pair of files.
pub(super) struct Abbreviated;

impl DatasetReader for Abbreviated {
    fn format(&self) -> &'static str {
        "sr28-abbreviated"
    }

    fn layout(&self) -> &'static str {
        "USDA SR, abbreviated,"
    }

    fn files(&self) -> &'static [&'static str] {
        &[ABBREV, FOOD_DES]
    }

    fn read<'s>(
        &self,
        source: &mut Source,
        store: &'s Store,
        watcher: &mut Watcher<'_>,
    ) -> Result<Vec<Gathered<'s>>, Error> {
        let (descriptions, food_des) = read_descriptions(source, watcher)?;
        let (release, label) = release_of(&food_des);
        let label = format!("{label}, abbreviated");
        let (mut foods, abbrev) = read_values(source, descriptions, &label, watcher)?;
        let mut files = vec![abbrev, food_des];
        if source.has(WEIGHT) {
            files.push(weigh(source, &mut foods, watcher)?);
        }
        let release = Release {
            id: "sr28",
            name: "USDA National Nutrient Database for Standard Reference".to_owned(),
            release: release.to_owned(),
            format: "abbreviated".to_owned(),
            label,
            files,
            warnings: Vec::new(),
        };
        Ok(vec![whole::gathered(store, release, foods)?])
    }
}

fn read_values(
    source: &mut Source,
    mut descriptions: BTreeMap<FoodId, Description>,
    label: &str,
    watcher: &mut Watcher<'_>,
) -> Result<(Vec<Food>, FileDigest), Error> {
    let mut rows = Rows::new(source.input(ABBREV, MOST_BYTES, watcher)?, 53);
    let columns = columns()?;
    let mut plausibility = Plausibility::default();
    let mut seen = BTreeSet::new();
    let mut foods = Vec::new();
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
        foods.push(food);
    }
    if let Some((line, problem)) = plausibility.verdict() {
        return Err(Error::in_file(ABBREV, Some(line), problem));
    }
    if let Some((id, description)) = descriptions.first_key_value() {
        let problem = format!("food {id} is not in {ABBREV}");
        return Err(Error::in_file(FOOD_DES, Some(description.line), problem));
    }
    if seen.is_empty() {
        return Err(Error::in_file(ABBREV, None, "it is empty"));
    }
    Ok((foods, rows.finish()))
}

/// Gives each food all its household measures, in place of the two of the abbreviated file.
fn weigh(
    source: &mut Source,
    foods: &mut [Food],
    watcher: &mut Watcher<'_>,
) -> Result<FileDigest, Error> {
    let mut places = BTreeMap::new();
    for (place, food) in foods.iter_mut().enumerate() {
        food.measures.clear();
        places.insert(food.id.clone(), place);
    }
    read_weights(source, watcher, |row, _, measure| {
        let id = food_id(row)?;
        // The abbreviated file leaves a food of the full release out.
        if let Some(food) = places.get(&id).and_then(|place| foods.get_mut(*place)) {
            food.measures.push(measure);
        }
        Ok(())
    })
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
        return Err(row.wrong_at(1, format!("“{short_name}” is “{other}” in {FOOD_DES}")));
    }
    if row.number(52, "refuse")? != description.refuse_percent {
        return Err(row.wrong_at(52, format!("refuse is not the same in {FOOD_DES}")));
    }
    Ok(Food {
        composition: composition(row, columns)?,
        measures: measures(row)?,
        source: label.to_owned(),
        ..description.food(id)
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

/// The nutrients of the columns of `ABBREV.txt`, from the third on.
fn columns() -> Result<Vec<&'static Nutrient>, Error> {
    let known = nutrients()?;
    let column = |id| known.iter().find(|nutrient| nutrient.id == id);
    let columns = NUTRIENTS
        .iter()
        .map(|id| column(*id).ok_or(Error::Nutrient { id: *id }));
    columns.collect()
}

/// The two household measures. One without a weight or a name is left out.
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
