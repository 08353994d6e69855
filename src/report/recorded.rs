//! Entries that were just recorded, or stopped by an objection, as JSON.

#![expect(missing_docs, reason = "the keys of the JSON are the documentation")]

use std::path::Path;

use data_import::{Error, nutrients};
use jiff::civil::Date;
use serde::Serialize;

use super::interval::IntervalReport;
use crate::cost::{Comparison, Money};
use crate::household::{Frozen, RecordedMeal, TypedServings};
use crate::notebook::{Child, Feeding};
use crate::nutrition::total_of;
use crate::portion::CubeCount;
use crate::safety::Objection;

/// A meal.
#[derive(Debug, Clone, Serialize)]
pub struct ServeReport {
    pub schema: u32,
    pub child: String,
    pub day: Date,
    pub meal: String,
    pub how: &'static str,
    pub share_eaten: f64,
    pub reaction: String,
    pub recorded: bool,
    /// Number of the entry; `null` where it was stopped.
    pub entry: Option<i64>,
    pub parts: Vec<ServedPart>,
    /// The nutrients of the meal as served.
    pub nutrients: Vec<ServedNutrient>,
    pub objections: Vec<Objection>,
    pub warnings: Vec<String>,
    pub taken_as: Vec<String>,
}

/// A part of a meal.
#[derive(Debug, Clone, Serialize)]
pub struct ServedPart {
    pub what: String,
    /// Number of the batch; `null` for other food.
    pub batch: Option<i64>,
    pub cubes: Option<CubeCount>,
    pub grams: f64,
}

/// A nutrient of a meal.
#[derive(Debug, Clone, Serialize)]
pub struct ServedNutrient {
    pub id: &'static str,
    pub unit: &'static str,
    pub amount: Option<f64>,
    pub complete: bool,
    pub missing: Vec<String>,
    /// Where the amount most likely lies.
    pub interval: Option<IntervalReport>,
}

impl ServeReport {
    /// Builds the report; `None` for the meal where an objection stopped it.
    pub fn new(
        child: &Child,
        feeding: &Feeding<'_>,
        meal: Option<&RecordedMeal>,
        typed: &TypedServings,
        objections: &[Objection],
    ) -> Result<Self, Error> {
        let served = meal.map(|meal| &meal.served);
        let servings = served.map_or(&[][..], |served| &served.servings);
        let amounts = nutrients()?
            .iter()
            .filter(|_| served.is_some())
            .map(|nutrient| {
                let total = total_of(servings, nutrient.id);
                let parts = servings
                    .iter()
                    .map(|serving| serving.interval_part(nutrient.id));
                let interval = total.interval(nutrient.id, parts);
                ServedNutrient {
                    interval: IntervalReport::known("as_served", interval),
                    id: &nutrient.tag,
                    unit: &nutrient.unit,
                    amount: total.known,
                    complete: total.complete(),
                    missing: total.missing.iter().map(ToString::to_string).collect(),
                }
            });
        let share = feeding.share.unwrap_or(feeding.how.share().0);
        Ok(Self {
            schema: 1,
            child: child.name.clone(),
            day: feeding.day,
            meal: feeding.meal.to_string(),
            how: feeding.how.word(),
            share_eaten: share,
            reaction: feeding.reaction.to_string(),
            recorded: served.is_some(),
            entry: served.map(|served| served.id),
            parts: parts(meal, typed),
            nutrients: amounts.collect(),
            objections: objections.to_vec(),
            warnings: meal.map_or_else(Vec::new, |meal| meal.warnings.clone()),
            taken_as: [&typed.names_taken_as[..], &typed.taken_as].concat(),
        })
    }
}

fn parts(meal: Option<&RecordedMeal>, typed: &TypedServings) -> Vec<ServedPart> {
    let cubes = meal.into_iter().flat_map(|meal| &meal.served.parts);
    let cubes = cubes.map(|(batch, cubes)| ServedPart {
        what: batch.title.clone(),
        batch: Some(batch.id),
        cubes: Some(*cubes),
        grams: batch.cube.grams() * cubes.served(),
    });
    let foods = typed.foods.iter().map(|one| ServedPart {
        what: one.food.name.clone(),
        batch: None,
        cubes: None,
        grams: one.mass.grams(),
    });
    cubes.chain(foods).collect()
}

/// A batch that went into the freezer.
#[derive(Debug, Clone, Serialize)]
pub struct FreezeReport {
    pub schema: u32,
    pub recorded: bool,
    /// Number of the batch; `null` where it was stopped.
    pub batch: Option<i64>,
    pub recipe: Option<String>,
    pub cubes: Option<u32>,
    pub cube_g: Option<f64>,
    pub use_by: Option<Date>,
    pub currency: String,
    pub cost: Option<Money>,
    pub saving: Option<Money>,
    pub objections: Vec<Objection>,
    pub warnings: Vec<String>,
}

impl FreezeReport {
    /// Builds the report; `None` for the batch where an objection stopped it.
    pub fn new(frozen: Option<&Frozen>, objections: &[Objection], currency: &str) -> Self {
        let beside = frozen.map(|one| &one.comparison);
        Self {
            schema: 1,
            recorded: frozen.is_some(),
            batch: frozen.map(|one| one.id),
            recipe: frozen.map(|one| one.batch.prepared.title.clone()),
            cubes: frozen.map(|one| one.cubes),
            cube_g: frozen.map(|one| one.cube.grams()),
            use_by: frozen.map(|one| one.use_by),
            currency: currency.to_string(),
            cost: beside.and_then(|beside| beside.cost.known),
            saving: beside.and_then(Comparison::saving),
            objections: objections.to_vec(),
            warnings: frozen.map_or_else(Vec::new, |one| one.warnings.clone()),
        }
    }
}

/// The milk that a child drinks a day.
#[derive(Debug, Clone, Serialize)]
pub struct MilkReport {
    pub schema: u32,
    pub child: String,
    pub day: Date,
    pub one_day: bool,
    pub recorded: bool,
    pub milks: Vec<MilkLine>,
    pub objections: Vec<Objection>,
}

/// One milk of a day.
#[derive(Debug, Clone, Serialize)]
pub struct MilkLine {
    pub what: String,
    /// The amount a day, in words.
    pub words: String,
    pub grams: f64,
    pub estimate: Option<String>,
}

/// A page that was written into a file.
#[derive(Debug, Clone, Serialize)]
pub struct WrittenReport {
    pub schema: u32,
    pub file: String,
    pub objections: Vec<Objection>,
}

impl WrittenReport {
    /// Builds the report of a page that was written into `file`.
    pub fn new(file: &Path, objections: Vec<Objection>) -> Self {
        Self {
            schema: 1,
            file: file.display().to_string(),
            objections,
        }
    }
}
