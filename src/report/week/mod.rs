//! The week as a report: every figure of its page and the parts they are made of, with the keys of
//! the JSON.

mod day;
mod page;
mod servings;
mod tastes;

use std::collections::BTreeMap;

use data_import::{Error, FoodId, NutrientId, all_nutrients};
use jiff::civil::Date;
use serde::Serialize;

use super::interval::IntervalReport;
use super::milk_breaks::{MilkBreak, milk_breaks};
use super::supplements::{self, SupplementLine};
use crate::notebook::{Measurement, SupplementDose, TasteRecord};
use crate::nutrition::indicators::INDICATORS_SOURCE;
use crate::nutrition::vitamin_c::{LITTLE_PHYTATE, MUCH_PHYTATE, RATIO_SOURCE};
use crate::nutrition::week::{NutrientWeek, Parts, UpperWeek, Yardstick, had, interval_of_days};
use crate::nutrition::{Day, Total, Week};
pub(super) use day::FleshIronReport;
use day::{DayReport, EnergyGapReport};
pub(super) use page::chosen;
use tastes::TastesReport;

pub use page::{
    AboveUpper, ONLY_A_RECORD, WeekPage, above_upper_levels, iron_at_a_glance, iron_by_day,
    nutrient_columns, nutrient_rows, on_record, reaction_lines, reading, week_bars,
};

/// The inputs of the report of a week.
#[derive(Debug)]
pub struct WeekView<'a> {
    /// The child.
    pub child: &'a str,
    /// The days, in order.
    pub days: &'a [Day],
    /// The figures of these days.
    pub week: &'a Week,
    /// Whether the meals are planned; otherwise they are on record.
    pub planned: bool,
    /// The foods that the child has tasted up to the last day; `None` for a plan.
    pub tastes: Option<&'a TasteRecord>,
    /// Weights, lengths and head sizes of these days.
    pub measurements: &'a [Measurement],
    /// The dose of each supplement on each of the days.
    pub doses: &'a [SupplementDose],
    /// The day of the first meal on record at all; `None` where it was not looked up.
    pub first_meal: Option<Date>,
    /// The major allergens, in the order they are shown.
    pub allergens: &'a [&'a str],
}

/// The whole report. Units are in the key names; nutrients are keyed by their tagname and carry the
/// unit under `units`. `null` is what is not known.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct WeekReport {
    pub schema: u32,
    pub child: String,
    pub from: Option<Date>,
    pub to: Option<Date>,
    pub planned: bool,
    pub record: RecordReport,
    /// The day of the first meal on record at all: days before it are no gap.
    #[serde(skip)]
    pub first_meal: Option<Date>,
    pub days: Vec<DayReport>,
    pub week: BTreeMap<&'static str, NutrientWeekReport>,
    pub units: BTreeMap<&'static str, &'static str>,
    /// Reason for lacking references: the child is too old for their tables.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub no_reference: Option<&'static str>,
    pub complementary: Option<EnergyGapReport>,
    pub iron: IronReport,
    pub added_sugar_g: AmountReport,
    pub tastes: TastesReport,
    pub measurements: Vec<Measurement>,
    pub supplements: Vec<SupplementLine>,
    /// The days on which milk was written down in another way than before.
    pub milk_breaks: Vec<MilkBreak>,
    pub estimates: Vec<String>,
    pub foods: BTreeMap<FoodId, String>,
    pub indicators_source: &'static str,
}

/// The completeness of the record.
#[derive(Debug, Clone, Serialize)]
pub struct RecordReport {
    pub days: usize,
    /// The averages count these.
    pub counted: usize,
    pub without_record: Vec<Date>,
    /// Milk is on record, and no meal: not counted.
    pub without_meals: Vec<Date>,
    /// Fewer meals are on record than are usual: not counted.
    pub incomplete: Vec<Date>,
    /// Counted, and a lower bound.
    pub without_milk: Vec<Date>,
}

/// An amount of which a part may be missing.
#[derive(Debug, Clone, Serialize)]
pub struct AmountReport {
    pub amount: Option<f64>,
    pub complete: bool,
    pub missing: Vec<FoodId>,
}

impl From<&Total> for AmountReport {
    fn from(total: &Total) -> Self {
        Self {
            amount: had(total),
            complete: total.complete(),
            missing: total.missing.clone(),
        }
    }
}

/// A nutrient of a day.
#[derive(Debug, Clone, Default, Serialize)]
pub struct PartsReport {
    pub milk: Option<f64>,
    pub puree: Option<f64>,
    pub other: Option<f64>,
    pub food: Option<f64>,
    /// From supplements; left out where there was none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub supplement: Option<f64>,
    pub total: Option<f64>,
    pub complete: bool,
    pub missing: Vec<FoodId>,
    /// Where the total most likely lies; left out where that is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub interval: Option<IntervalReport>,
}

impl PartsReport {
    /// What a day held, and how sure that is.
    pub(super) fn of_day(nutrient: NutrientId, day: &Day, parts: &Parts) -> Self {
        let interval = interval_of_days(nutrient, &[day], parts);
        Self {
            interval: IntervalReport::known("day", interval),
            ..Self::from(parts)
        }
    }
}

impl From<&Parts> for PartsReport {
    fn from(parts: &Parts) -> Self {
        let total = parts.total();
        Self {
            milk: parts.from_milk(),
            puree: parts.from_food(&parts.puree),
            other: parts.from_food(&parts.other),
            food: parts.from_food(&parts.food()),
            supplement: Some(parts.supplement).filter(|amount| *amount > 0.0),
            total: parts.amount(),
            complete: parts.complete(),
            missing: total.missing,
            interval: None,
        }
    }
}

/// A nutrient of an average day.
#[derive(Debug, Clone, Serialize)]
pub struct NutrientWeekReport {
    pub per_day: Option<f64>,
    pub complete: bool,
    pub missing: Vec<FoodId>,
    pub parts: PartsReport,
    pub reference: Option<Yardstick>,
    pub upper: Option<UpperWeek>,
    pub daily_value: Option<Yardstick>,
    /// Where an average day most likely lies.
    pub interval: Option<IntervalReport>,
}

impl NutrientWeekReport {
    fn new(figures: &NutrientWeek) -> Self {
        let total = figures.per_day.total();
        Self {
            per_day: figures.per_day.amount(),
            complete: figures.per_day.complete(),
            missing: total.missing,
            parts: PartsReport::from(&figures.per_day),
            reference: figures.reference.clone(),
            upper: figures.upper.clone(),
            daily_value: figures.daily_value.clone(),
            interval: IntervalReport::known("per_day", figures.interval.clone()),
        }
    }
}

/// The details of iron beside its amount.
#[derive(Debug, Clone, Serialize)]
pub struct IronReport {
    /// Of an average day, for each kg of body weight; `null` where the weight is not known.
    pub mg_per_kg: Option<f64>,
    pub flesh: FleshIronReport,
    /// Where there is little phytate.
    pub wanted_ratio: f64,
    pub wanted_ratio_much_phytate: f64,
    pub ratio_source: &'static str,
}

/// Tagname and unit by nutrient.
type Tags = BTreeMap<NutrientId, (&'static str, &'static str)>;

impl WeekReport {
    /// Builds the report.
    ///
    /// Errors: the table of nutrients cannot be read.
    pub fn new(view: &WeekView<'_>) -> Result<Self, Error> {
        let week = view.week;
        let tags: Tags = all_nutrients()?
            .iter()
            .map(|one| (one.id, (one.tag.as_str(), one.unit.as_str())))
            .collect();
        let days = view.days.iter().zip(&week.days);
        Ok(Self {
            schema: 1,
            child: view.child.to_string(),
            from: view.days.first().map(|day| day.date),
            to: view.days.last().map(|day| day.date),
            planned: view.planned,
            record: RecordReport::new(view.days, view.week),
            first_meal: view.first_meal,
            days: days
                .map(|(day, figures)| DayReport::new(day, figures, &tags))
                .collect(),
            week: week
                .nutrients
                .iter()
                .map(|one| (one.nutrient.tag.as_str(), NutrientWeekReport::new(one)))
                .collect(),
            units: week
                .nutrients
                .iter()
                .map(|one| (one.nutrient.tag.as_str(), one.nutrient.unit.as_str()))
                .collect(),
            no_reference: week.why_no_reference(),
            complementary: week.energy.as_ref().map(EnergyGapReport::from),
            iron: IronReport {
                mg_per_kg: week.iron_per_kg,
                flesh: FleshIronReport::from(&week.flesh_iron),
                wanted_ratio: LITTLE_PHYTATE,
                wanted_ratio_much_phytate: MUCH_PHYTATE,
                ratio_source: RATIO_SOURCE,
            },
            added_sugar_g: AmountReport::from(&week.added_sugar),
            tastes: TastesReport::new(view),
            measurements: view.measurements.to_vec(),
            supplements: supplements::lines(view.doses)?,
            milk_breaks: milk_breaks(view.days),
            estimates: week.estimates.clone(),
            foods: week.names.clone(),
            indicators_source: INDICATORS_SOURCE,
        })
    }
}

impl RecordReport {
    pub(super) fn new(days: &[Day], week: &Week) -> Self {
        let dates = |which: &dyn Fn(&Day, bool) -> bool| {
            let days = days.iter().zip(&week.days);
            let days = days.filter(|(day, one)| which(day, one.recorded));
            days.map(|(day, _)| day.date).collect::<Vec<_>>()
        };
        Self {
            days: days.len(),
            counted: week.counted().count(),
            without_record: dates(&|day, counted| !counted && !day.partial && day.milk.is_none()),
            without_meals: dates(&|day, counted| !counted && !day.partial && day.milk.is_some()),
            incomplete: dates(&|day, _| day.partial),
            without_milk: dates(&|day, counted| counted && day.milk.is_none()),
        }
    }
}
