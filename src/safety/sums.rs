//! Limits over a day or over seven days: how much of something a child gets in all its meals.

use data_import::NutrientId;
use data_import::reference::TableRow;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::portion::{EatenMeal, Portion};
use crate::quantity::Mass;

/// The days that a limit is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Window {
    /// One day.
    Day,
    /// Any seven days that follow one another.
    Week,
}

/// What a limit counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Grams of the foods.
    Grams,
    /// Meals with such a food.
    Meals,
    /// A nutrient from the foods, in its unit.
    Nutrient(NutrientId),
}

/// More than this is too much.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// Over which days.
    pub window: Window,
    /// Counted how.
    pub measure: Measure,
    /// The most.
    pub most: f64,
}

/// Foods of a meal that a limit counts.
type Counted<'a> = &'a dyn Fn(&Portion) -> bool;

impl Limit {
    /// The limit of a row, if it has one. Errors: a cell that cannot be read, or that stands without the others.
    pub(super) fn of_row(row: TableRow<'_>) -> Result<Option<Self>, String> {
        let most = row.number("above")?;
        let (window, most) = match (row.cell("window"), most) {
            ("", None) => return Ok(None),
            ("day", Some(most)) => (Window::Day, most),
            ("week", Some(most)) => (Window::Week, most),
            (window, _) => return Err(format!("“{window}” and “above” are not a limit together")),
        };
        let measure = match row.cell("measure") {
            "grams" => Measure::Grams,
            "meals" => Measure::Meals,
            other => match other.parse() {
                Ok(number) => Measure::Nutrient(NutrientId::new(number)),
                Err(_) => return Err(format!("“{other}” is not a measure")),
            },
        };
        Ok(Some(Self {
            window,
            measure,
            most,
        }))
    }

    /// The most that any window around a meal comes to. A food without a value adds nothing, so the sum is a lower bound.
    pub(super) fn amount(
        &self,
        (day, portions): (Date, &[Portion]),
        others: &[EatenMeal],
        counted: Counted<'_>,
    ) -> f64 {
        let here = self.of_meal(portions, counted);
        let span = match self.window {
            Window::Day => 0_i64,
            Window::Week => 6,
        };
        let window = |back: i64| {
            let first = day.saturating_sub(back.days());
            first..=first.saturating_add(span.days())
        };
        let all = *window(span).start()..=*window(0).end();
        let near = others.iter().filter(|meal| all.contains(&meal.day));
        let near = near.map(|meal| (meal.day, self.of_meal(&meal.portions, counted)));
        let near = near.collect::<Vec<(Date, f64)>>();
        let sum_from = |back: i64| {
            let window = window(back);
            let within = near.iter().filter(|(day, _)| window.contains(day));
            here + within.map(|(_, amount)| amount).sum::<f64>()
        };
        (0..=span).map(sum_from).fold(0.0, f64::max)
    }

    /// What one meal adds.
    pub fn of_meal(&self, portions: &[Portion], counted: Counted<'_>) -> f64 {
        let amount = |portion: &Portion| {
            let grams = portion.mass.map_or(0.0, Mass::grams);
            match self.measure {
                Measure::Meals => 1.0,
                Measure::Grams => grams,
                Measure::Nutrient(nutrient) => {
                    let value = portion.food.composition.get(nutrient);
                    grams * value.unwrap_or(0.0) / 100.0
                }
            }
        };
        let amounts = portions
            .iter()
            .filter(|portion| counted(portion))
            .map(amount);
        match self.measure {
            Measure::Meals => amounts.fold(0.0, f64::max),
            _ => amounts.sum(),
        }
    }
}
