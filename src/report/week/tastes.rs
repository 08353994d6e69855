//! First tastes, allergens, refusals and reactions of the week.

use jiff::civil::Date;
use serde::Serialize;

use super::WeekView;
use crate::notebook::{Reaction, Taste, TasteRecord};
use crate::nutrition::Day;
use crate::safety::emergency;

/// First tastes, allergens, refusals and reactions.
#[derive(Debug, Clone, Default, Serialize)]
pub struct TastesReport {
    pub first: Vec<FirstTasteReport>,
    pub allergens: Vec<AllergenReport>,
    pub refused: Vec<RefusedMeal>,
    pub reactions: Vec<ReactionReport>,
}

/// A food that was eaten for the first time, or some of it.
#[derive(Debug, Clone, Serialize)]
pub struct FirstTasteReport {
    pub date: Date,
    pub food: String,
    pub name: String,
}

/// A major allergen.
#[derive(Debug, Clone, Serialize)]
pub struct AllergenReport {
    pub allergen: String,
    /// The days of these on which it was eaten.
    pub days: Vec<Date>,
    /// The first day on record at all.
    pub first: Option<Date>,
    /// Whether a reaction to it is on record.
    #[serde(skip)]
    pub reacted: bool,
}

/// A meal that was refused.
#[derive(Debug, Clone, Serialize)]
pub struct RefusedMeal {
    pub date: Date,
    pub meal: String,
    pub what: Vec<String>,
}

/// A reaction after a meal, and the foods that were in it.
#[derive(Debug, Clone, Serialize)]
pub struct ReactionReport {
    pub date: Date,
    pub words: String,
    pub foods: Vec<String>,
    /// Whether its words are those of a severe reaction.
    pub severe: bool,
    /// Whether any of these foods still has an open reaction, until the doctor clears it.
    pub open: bool,
}

impl TastesReport {
    pub(super) fn new(view: &WeekView<'_>) -> Self {
        let (Some(first), Some(last)) = (view.days.first(), view.days.last()) else {
            return Self::default();
        };
        let within = |date: Date| (first.date..=last.date).contains(&date);
        let known = view.tastes.map_or(&[][..], |record| &record.foods);
        let tasted = view.tastes.into_iter().flat_map(TasteRecord::first_tastes);
        let first = tasted.filter_map(|taste| {
            Some(FirstTasteReport {
                date: taste.first_eaten.filter(|date| within(*date))?,
                food: taste.food.clone(),
                name: taste.name.clone(),
            })
        });
        let mut first: Vec<_> = first.collect();
        first.sort_by_key(|taste| taste.date);
        let mut reactions: Vec<ReactionReport> = Vec::new();
        for taste in known {
            // One that no doctor cleared is shown however long ago it was.
            let is_open = |seen: &Reaction| taste.open_reaction() == Some(seen);
            let shown =
                |seen: &&Reaction| within(seen.day) || seen.day <= last.date && is_open(seen);
            for seen in taste.reactions.iter().filter(shown) {
                add_reaction(&mut reactions, (seen.day, &seen.words), taste);
            }
        }
        reactions.sort_by_key(|reaction| (!reaction.severe, reaction.date));
        Self {
            first,
            allergens: allergens(view, last.date),
            refused: view.days.iter().flat_map(refusals).collect(),
            reactions,
        }
    }
}

/// Adds a food to the reaction of its meal.
fn add_reaction(reactions: &mut Vec<ReactionReport>, (date, words): (Date, &str), taste: &Taste) {
    let open = taste.open_reaction().is_some();
    let same = |known: &&mut ReactionReport| known.date == date && known.words == words;
    if let Some(reaction) = reactions.iter_mut().find(same) {
        reaction.foods.push(taste.name.clone());
        reaction.open |= open;
    } else {
        reactions.push(ReactionReport {
            date,
            words: words.to_string(),
            severe: emergency(words).is_some(),
            foods: vec![taste.name.clone()],
            open,
        });
    }
}

fn allergens(view: &WeekView<'_>, last: Date) -> Vec<AllergenReport> {
    let record = view
        .tastes
        .map(|record| record.allergens(view.allergens, last));
    let taste = |allergen: &str| {
        let mut known = record.iter().flatten();
        known.find(|taste| taste.allergen == allergen)
    };
    let all = view.allergens.iter().map(|allergen| AllergenReport {
        allergen: (*allergen).to_string(),
        days: match view.week.allergens.get(*allergen) {
            Some(days) => days.iter().copied().collect(),
            None => Vec::new(),
        },
        first: taste(allergen).and_then(|taste| taste.first),
        reacted: taste(allergen).is_some_and(|taste| !taste.reactions.is_empty()),
    });
    all.collect()
}

fn refusals(day: &Day) -> impl Iterator<Item = RefusedMeal> {
    let refused = day.meals.iter().filter(|meal| meal.share == 0.0);
    refused.map(|meal| RefusedMeal {
        date: day.date,
        meal: meal.name.clone(),
        what: meal.servings.iter().map(|one| one.what.clone()).collect(),
    })
}
