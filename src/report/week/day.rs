//! A day of the report.

use std::collections::BTreeMap;

use data_import::FoodId;
use jiff::civil::Date;
use serde::Serialize;

use super::servings::{DayMilkReport, MealReport};
use super::{AmountReport, PartsReport, Tags};
use crate::nutrition::Day;
use crate::nutrition::indicators::Indicators;
use crate::nutrition::week::{DayDensity, DayFigures, EnergyGap, FleshIron, had};
use crate::quantity::Mass;

/// A day: its figures, and the servings from which they are computed.
#[derive(Debug, Clone, Serialize)]
pub struct DayReport {
    pub date: Date,
    pub age_months: u16,
    pub recorded: bool,
    pub breast_fed: Option<bool>,
    pub nutrients: BTreeMap<&'static str, PartsReport>,
    pub complementary: Option<EnergyGapReport>,
    pub density: Option<DensityReport>,
    pub flesh_iron: Option<FleshIronReport>,
    pub added_sugar_g: Option<AmountReport>,
    pub indicators: Indicators,
    pub milk: Option<Vec<DayMilkReport>>,
    pub meals: Vec<MealReport>,
}

/// Energy beside what complementary food is to bring.
#[derive(Debug, Clone, Serialize)]
pub struct EnergyGapReport {
    pub breast_fed: bool,
    pub kcal: Option<f64>,
    pub complete: bool,
    /// The figure for a breast-fed child, beside average breast milk of developing countries.
    pub wanted_kcal: f64,
    /// The figure beside average breast milk of industrialised countries.
    pub wanted_kcal_industrialised: Option<f64>,
    pub percent: Option<f64>,
    pub source: String,
}

impl From<&EnergyGap> for EnergyGapReport {
    fn from(gap: &EnergyGap) -> Self {
        let kcal = had(&gap.had);
        Self {
            breast_fed: gap.breast_fed,
            kcal,
            complete: gap.had.complete(),
            wanted_kcal: gap.wanted,
            wanted_kcal_industrialised: gap.wanted_industrialised,
            percent: kcal.map(|kcal| kcal / gap.wanted * 100.0),
            source: gap.source.clone(),
        }
    }
}

/// The energy density of a day's complementary food.
#[derive(Debug, Clone, Serialize)]
pub struct DensityReport {
    pub kcal_per_g: Option<f64>,
    pub complete: bool,
    pub without_liquid_kcal_per_g: Option<f64>,
    pub mass_g: f64,
    pub liquid_g: Option<f64>,
    pub meals: u32,
    pub least_kcal_per_g: Option<f64>,
    pub source: Option<String>,
}

impl From<&DayDensity> for DensityReport {
    fn from(density: &DayDensity) -> Self {
        Self {
            kcal_per_g: density.kcal_per_gram(),
            complete: density.energy.complete(),
            without_liquid_kcal_per_g: density.without_liquid(),
            mass_g: density.mass.grams(),
            liquid_g: density.liquid.map(Mass::grams),
            meals: density.meals,
            least_kcal_per_g: density.least.as_ref().map(|(least, _)| *least),
            source: density.least.as_ref().map(|(_, source)| source.clone()),
        }
    }
}

/// Iron from meat, fish and poultry.
#[derive(Debug, Clone, Serialize)]
pub struct FleshIronReport {
    pub mg: Option<f64>,
    pub complete: bool,
    pub missing: Vec<FoodId>,
    pub percent: Option<f64>,
}

impl From<&FleshIron> for FleshIronReport {
    fn from(iron: &FleshIron) -> Self {
        Self {
            mg: had(&iron.flesh),
            complete: iron.flesh.complete(),
            missing: iron.flesh.missing.clone(),
            percent: iron.percent,
        }
    }
}

impl DayReport {
    pub(super) fn new(day: &Day, figures: &DayFigures, tags: &Tags) -> Self {
        let amounts = figures.nutrients.iter().filter_map(|(id, parts)| {
            let (tag, _) = tags.get(id)?;
            Some((*tag, PartsReport::of_day(*id, day, parts)))
        });
        let meals = day.meals.iter().zip(&figures.meals);
        let recorded = figures.recorded;
        Self {
            date: day.date,
            age_months: day.age.0,
            recorded: figures.recorded,
            breast_fed: figures.breast_fed,
            nutrients: amounts.collect(),
            complementary: figures.energy.as_ref().map(EnergyGapReport::from),
            density: figures.density.as_ref().map(DensityReport::from),
            flesh_iron: recorded.then(|| FleshIronReport::from(&figures.flesh_iron)),
            added_sugar_g: recorded.then(|| AmountReport::from(&figures.added_sugar)),
            indicators: figures.indicators.clone(),
            milk: day.milk.as_ref().map(|milk| {
                let milk = milk.iter();
                milk.map(|one| DayMilkReport::new(one, tags)).collect()
            }),
            meals: meals
                .map(|(meal, iron)| MealReport::new(meal, iron, tags))
                .collect(),
        }
    }
}
