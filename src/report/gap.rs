//! Days without entries, and what may have been eaten on them.

use jiff::civil::Date;
use serde::Serialize;

use super::meal::how_it_went;
use super::number::decimals;
use super::plan::short_name;
use crate::household::{GapDay, GapMeal};
use crate::notebook::How;
use crate::words::joined;

/// The days of a child without entries.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct GapReport {
    pub schema: u32,
    pub child: String,
    pub days: Vec<GapDayReport>,
}

/// A day without entries.
#[derive(Debug, Clone, Serialize)]
pub struct GapDayReport {
    pub date: Date,
    /// The planned meals in words; empty where nothing was planned.
    pub planned: Vec<String>,
    /// The last day with meals before it; `null` where there is none.
    pub day_before: Option<Date>,
    /// The meals of that day in words.
    pub before: Vec<String>,
}

impl GapReport {
    /// Reports the days.
    pub fn new(child: &str, days: &[GapDay]) -> Self {
        let all = |meals: &[GapMeal]| meals.iter().map(gap_meal_words).collect();
        let day = |one: &GapDay| GapDayReport {
            date: one.day,
            planned: all(&one.planned),
            day_before: one.before.as_ref().map(|(day, _)| *day),
            before: one
                .before
                .as_ref()
                .map_or_else(Vec::new, |(_, meals)| all(meals)),
        };
        Self {
            schema: 1,
            child: child.to_string(),
            days: days.iter().map(day).collect(),
        }
    }
}

/// A meal in words, with how it went where not all of it was eaten: `lunch: 2 cubes of squash, 30 g of yogurt, plain; some of it (50 %)`.
pub fn gap_meal_words(meal: &GapMeal) -> String {
    let cubes = meal.servings.picks.iter().map(|pick| {
        let cubes = pick.cubes.in_words();
        format!("{cubes} of {}", pick.name)
    });
    let foods = meal.servings.foods.iter().map(|one| {
        let grams = decimals(one.mass.grams(), 0);
        format!("{grams} g of {}", short_name(&one.food.name))
    });
    let name = if meal.meal.is_empty() {
        "meal"
    } else {
        &meal.meal
    };
    let went = match meal.how {
        How::Taken => String::new(),
        how => format!("; {}", how_it_went(how, meal.share)),
    };
    format!("{name}: {}{went}", joined(cubes.chain(foods), ", "))
}
