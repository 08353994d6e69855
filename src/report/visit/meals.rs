//! The meals served day by day, and the completeness of their record.

use jiff::civil::Date;
use serde::Serialize;

use crate::household::VisitFacts;
use crate::notebook::{Eaten, How};
use crate::report::number::decimals;
use crate::report::week::RecordReport;
use crate::words::joined;

/// A meal.
#[derive(Debug, Clone, Serialize)]
pub struct MealLine {
    pub date: Date,
    /// The name of the meal in the household; empty where it was not recorded.
    pub meal: String,
    pub what: Vec<String>,
    pub how: How,
    /// The share that was eaten, 0 to 1.
    pub share: f64,
    pub share_estimated: bool,
    pub reaction: Option<String>,
}

/// A dish or food, and the number of meals it was in.
#[derive(Debug, Clone, Serialize)]
pub struct DishLine {
    pub what: String,
    pub meals: usize,
}

/// The completeness of the record.
#[derive(Debug, Clone, Serialize)]
pub struct RecordLine {
    #[serde(flatten)]
    pub dates: RecordReport,
    /// Counted days on which the amount of milk is an estimate.
    pub milk_estimated: usize,
    pub meals: usize,
    pub taken: usize,
    pub some: usize,
    pub refused: usize,
}

impl MealLine {
    pub(super) fn new(eaten: &Eaten) -> Self {
        let seen = eaten.reactions.iter().map(|seen| seen.words.as_str());
        let reaction = Some(joined(seen, "; ")).filter(|words| !words.is_empty());
        Self {
            date: eaten.day,
            meal: eaten.meal.name.clone(),
            what: what(eaten),
            how: eaten.how,
            share: eaten.meal.share,
            share_estimated: eaten.meal.estimated,
            reaction,
        }
    }
}

/// Cubes first, then other food: `2 Red lentil and squash`, `30 g Yogurt`.
fn what(eaten: &Eaten) -> Vec<String> {
    let mut counts = eaten.cubes.iter().map(|(_, cubes)| cubes);
    let line = |serving: &crate::nutrition::Serving| match counts.next() {
        Some(cubes) => format!("{cubes} {}", serving.what),
        None => format!("{} g {}", decimals(serving.mass.grams(), 0), serving.what),
    };
    eaten.meal.servings.iter().map(line).collect()
}

/// The dishes that were served, the most frequent first.
pub(super) fn dishes(eaten: &[Eaten]) -> Vec<DishLine> {
    let mut dishes: Vec<DishLine> = Vec::new();
    for meal in eaten {
        let mut names: Vec<_> = meal.meal.servings.iter().map(|one| &one.what).collect();
        names.sort_unstable();
        names.dedup();
        for what in names {
            match dishes.iter_mut().find(|dish| dish.what == *what) {
                Some(dish) => dish.meals += 1,
                None => dishes.push(DishLine {
                    what: what.clone(),
                    meals: 1,
                }),
            }
        }
    }
    dishes.sort_by_key(|dish| std::cmp::Reverse(dish.meals));
    dishes
}

impl RecordLine {
    pub(super) fn new(facts: &VisitFacts) -> Self {
        let how = |how| facts.eaten.iter().filter(|eaten| eaten.how == how).count();
        let counted = facts.kept.days.iter().zip(&facts.kept.week.days);
        let counted = counted.filter(|(_, one)| one.recorded);
        let estimated = counted.filter(|(day, _)| day.milk_is_estimated());
        Self {
            dates: RecordReport::new(&facts.kept.days, &facts.kept.week),
            milk_estimated: estimated.count(),
            meals: facts.eaten.len(),
            taken: how(How::Taken),
            some: how(How::Some),
            refused: how(How::Refused),
        }
    }
}
