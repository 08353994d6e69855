//! A plan held against what the book knows: one rule after another, each finding with its day, child and meal.

mod foods;
mod meal;
mod tastes;

use jiff::civil::Date;

use super::agenda::Agenda;
use super::facts::Facts;

/// Which rule a finding is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// The book knows no such child or meal.
    Unknown,
    /// The child is not born yet.
    Unborn,
    /// There is no such recipe, and no cube of it.
    NoRecipe,
    /// The batch is gone.
    Gone,
    /// More cubes are planned than there are.
    TooFew,
    /// Planned for a day before the cubes are frozen.
    NotFrozenYet,
    /// Planned for a day after their last.
    PastLastDay,
    /// Two new foods on one day.
    TwoNewFoods,
    /// A new food before the days of waiting are over.
    TooSoon,
    /// A food after which something was noted.
    Reaction,
    /// An allergen that is on record as an allergy.
    Allergy,
    /// More than a usual meal at that age.
    TooMuch,
    /// A day that is past, with nothing on record for what was planned.
    NotTickedOff,
}

impl Rule {
    /// The word for it in the JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Unknown => "unknown",
            Self::Unborn => "unborn",
            Self::NoRecipe => "no-recipe",
            Self::Gone => "gone",
            Self::TooFew => "too-few",
            Self::NotFrozenYet => "not-frozen-yet",
            Self::PastLastDay => "past-last-day",
            Self::TwoNewFoods => "two-new-foods",
            Self::TooSoon => "too-soon",
            Self::Reaction => "reaction",
            Self::Allergy => "allergy",
            Self::TooMuch => "too-much",
            Self::NotTickedOff => "not-ticked-off",
        }
    }
}

/// Something that is wrong with a plan.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Finding {
    /// The day.
    pub day: Date,
    /// The child; empty for a cooking.
    pub child: String,
    /// The meal; empty where it is about the whole day.
    pub meal: String,
    /// Which rule.
    pub rule: Rule,
    /// In words.
    pub words: String,
}

/// Everything that is wrong with the plan of some days, both included, by day, child and meal.
pub fn review(facts: &Facts<'_>, from: Date, to: Date) -> Vec<Finding> {
    let agenda = Agenda::of(facts);
    let mut found: Vec<Finding> = Vec::new();
    for meal in &agenda.meals {
        found.extend(meal::findings(facts, meal));
    }
    for child in &facts.settings.children {
        found.extend(tastes::findings(facts, child, &agenda));
    }
    for one in &agenda.cooking {
        let mut report = |rule, words| {
            found.push(Finding {
                day: one.day,
                child: String::new(),
                meal: String::new(),
                rule,
                words,
            });
        };
        if !facts.dishes.contains_key(&one.recipe) {
            report(
                Rule::NoRecipe,
                format!("there is no recipe `{}` to cook", one.recipe),
            );
        } else if one.day < facts.today && !one.done {
            let words = format!(
                "no batch of {} was frozen that day",
                facts.title(&one.recipe)
            );
            report(Rule::NotTickedOff, words);
        }
    }
    found.retain(|one| (from..=to).contains(&one.day));
    let order = |meal: &str| facts.settings.meals.iter().position(|one| one == meal);
    found.sort_by_key(|one| (one.day, one.child.clone(), order(&one.meal), one.rule));
    found
}
