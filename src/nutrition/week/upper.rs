//! The amount of a nutrient compared with the upper level of a day, and whether an excess is a
//! reason for alarm.

use data_import::NutrientId;
use jiff::civil::Date;
use serde::Serialize;

use super::{DayFigures, WeekTables};

/// An upper level over the week.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UpperWeek {
    /// Mean amount a day.
    pub amount: f64,
    /// The amount that counts towards the level, in percent of it.
    pub percent: Option<f64>,
    /// The days above the level.
    #[serde(rename = "days_above")]
    pub above: Vec<Date>,
    /// The days among these that are above the level only with infant formula, as the zinc of
    /// formula-fed children commonly is: formula is made to feed a child, so such a day is worth a
    /// note, not an alarm.
    #[serde(rename = "days_above_by_formula")]
    pub by_formula: Vec<Date>,
    /// What the level covers, such as all sources.
    pub counts: String,
    /// Publication.
    pub source: String,
}

impl UpperWeek {
    /// The upper level over these days; `None` unless a level is set on every day, for a nutrient
    /// whose total from food may be compared with it.
    pub(super) fn of(
        nutrient: NutrientId,
        counted: &[&DayFigures],
        tables: &WeekTables<'_>,
    ) -> Option<Self> {
        let (mut above, mut by_formula) = (Vec::new(), Vec::new());
        let (mut limits, mut amounts) = (0.0, Some(0.0));
        let mut last = None;
        for day in counted {
            let level = tables.intakes.upper(nutrient, day.age)?;
            let parts = day.parts(level.compared_with?)?;
            let amount = parts.amount();
            if let Some(amount) = amount.filter(|amount| *amount > level.amount) {
                above.push(day.date);
                let formula = parts.formula.known;
                if formula.is_some_and(|formula| amount - formula <= level.amount) {
                    by_formula.push(day.date);
                }
            }
            limits += level.amount;
            amounts = amounts.zip(amount).map(|(sum, amount)| sum + amount);
            last = Some(level);
        }
        let level = last?;
        Some(Self {
            amount: limits / counted.len() as f64,
            percent: amounts.map(|amount| amount / limits * 100.0),
            above,
            by_formula,
            counts: level.counts,
            source: level.source,
        })
    }

    /// The days above the level for which formula does not account.
    pub fn alarming(&self) -> Vec<Date> {
        let days = self.above.iter().copied();
        days.filter(|day| !self.by_formula.contains(day)).collect()
    }
}
