//! First tastes: which foods a child knows, how they were received, and when the next new one may
//! come.

use std::collections::{BTreeMap, BTreeSet};

use jiff::ToSpan as _;
use jiff::civil::Date;
use rusqlite::{Connection, Row};

use super::error::BookError;
use super::feeding::How;
use super::freezer::parsed;
use super::store::Store;

/// What a child has had of one food.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taste {
    /// Id of the food.
    pub food: String,
    /// Its name.
    pub name: String,
    /// The first day.
    pub first: Date,
    /// The last day.
    pub last: Date,
    /// Meals it was in.
    pub offers: u32,
    /// Meals of those that were eaten, or some of it.
    pub accepted: u32,
    /// How the last meal with it went.
    pub last_how: How,
    /// What was seen after meals with it, with the day.
    pub reactions: Vec<(Date, String)>,
}

/// What a child has had of one of the major allergens.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AllergenTaste {
    /// Which one.
    pub allergen: String,
    /// The first day; `None` where it never was in a meal.
    pub first: Option<Date>,
    /// The last day.
    pub last: Option<Date>,
    /// Meals with it in the last two weeks.
    pub recent: u32,
    /// What was seen after meals with it, with the day.
    pub reactions: Vec<(Date, String)>,
}

/// All that a child has tasted.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TasteRecord {
    /// By food, the first tasted on top.
    pub foods: Vec<Taste>,
    meals: Vec<Meal>,
}

/// One food in one meal.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Meal {
    feeding: i64,
    day: Date,
    food: String,
    name: String,
    allergens: Vec<String>,
    how: How,
    reaction: String,
}

/// Published advice: tastings until a food is accepted, 8 to 15 (USDA NESR: 8 to 10 and more).
pub const OFFERS_WANTED: u32 = 10;

impl Store {
    /// What a child has tasted up to and including a day.
    pub fn tastes(&self, child: &str, today: Date) -> Result<TasteRecord, BookError> {
        let meals = self.read(|connection| meals(connection, child, today))?;
        Ok(TasteRecord::of(meals))
    }
}

impl TasteRecord {
    fn of(meals: Vec<Meal>) -> Self {
        let mut foods: Vec<Taste> = Vec::new();
        for meal in &meals {
            let at = foods.iter().position(|taste| taste.food == meal.food);
            let at = at.unwrap_or_else(|| {
                foods.push(Taste::first(meal));
                foods.len() - 1
            });
            if let Some(taste) = foods.get_mut(at) {
                taste.add(meal);
            }
        }
        Self { foods, meals }
    }

    /// The foods of a list that were never tasted, each once.
    pub fn new_among<'a>(
        &self,
        foods: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Vec<String> {
        let known: BTreeSet<&str> = self.foods.iter().map(|taste| taste.food.as_str()).collect();
        let mut seen = BTreeSet::new();
        foods
            .into_iter()
            .filter(|(food, _)| !known.contains(food) && seen.insert(food.to_string()))
            .map(|(_, name)| name.to_string())
            .collect()
    }

    /// The day of the last first taste; `None` where nothing was tasted.
    pub fn last_first(&self) -> Option<Date> {
        self.foods.iter().map(|taste| taste.first).max()
    }

    /// The first day on which the next new food may come.
    pub fn next_free(&self, waiting_days: u32) -> Option<Date> {
        self.last_first()
            .map(|last| last.saturating_add(i64::from(waiting_days).days()))
    }

    /// Foods refused the last time and not offered often enough to give up.
    pub fn to_offer_again(&self) -> impl Iterator<Item = &Taste> {
        self.foods
            .iter()
            .filter(|taste| taste.last_how == How::Refused && taste.offers < OFFERS_WANTED)
    }

    /// One line for each of the allergens, in the order given.
    pub fn allergens(&self, allergens: &[&str], today: Date) -> Vec<AllergenTaste> {
        let recent_from = today.saturating_sub(14.days());
        allergens
            .iter()
            .map(|allergen| {
                let with: Vec<_> = self
                    .meals
                    .iter()
                    .filter(|meal| meal.allergens.iter().any(|one| one == allergen))
                    .collect();
                let recent: BTreeSet<i64> = with
                    .iter()
                    .filter(|meal| meal.day > recent_from)
                    .map(|meal| meal.feeding)
                    .collect();
                AllergenTaste {
                    allergen: (*allergen).to_string(),
                    first: with.iter().map(|meal| meal.day).min(),
                    last: with.iter().map(|meal| meal.day).max(),
                    recent: u32::try_from(recent.len()).unwrap_or(u32::MAX),
                    reactions: reactions(&with),
                }
            })
            .collect()
    }
}

impl Taste {
    fn first(meal: &Meal) -> Self {
        Self {
            food: meal.food.clone(),
            name: meal.name.clone(),
            first: meal.day,
            last: meal.day,
            offers: 0,
            accepted: 0,
            last_how: meal.how,
            reactions: Vec::new(),
        }
    }

    fn add(&mut self, meal: &Meal) {
        self.last = meal.day;
        self.last_how = meal.how;
        self.offers += 1;
        self.accepted += u32::from(meal.how != How::Refused);
        if !meal.reaction.is_empty() {
            self.reactions.push((meal.day, meal.reaction.clone()));
        }
    }
}

/// What was seen, once a meal, by day.
fn reactions(meals: &[&Meal]) -> Vec<(Date, String)> {
    let seen: BTreeMap<i64, (Date, String)> = meals
        .iter()
        .filter(|meal| !meal.reaction.is_empty())
        .map(|meal| (meal.feeding, (meal.day, meal.reaction.clone())))
        .collect();
    seen.into_values().collect()
}

/// Every food of every meal of a child, by day and entry.
fn meals(connection: &Connection, child: &str, today: Date) -> rusqlite::Result<Vec<Meal>> {
    let meal = |row: &Row<'_>| {
        let allergens: String = row.get(4)?;
        let how: String = row.get(5)?;
        Ok(Meal {
            feeding: row.get(0)?,
            day: parsed(row, 1)?,
            food: row.get(2)?,
            name: row.get(3)?,
            allergens: allergens
                .split('|')
                .filter(|one| !one.is_empty())
                .map(String::from)
                .collect(),
            how: How::from_word(&how),
            reaction: row.get(6)?,
        })
    };
    connection
        .prepare(
            "SELECT DISTINCT feeding.entry, entry.day, batch_food.food, batch_food.name, \
             batch_food.allergens, feeding.how, feeding.reaction FROM feeding \
             JOIN entry ON entry.id = feeding.entry \
             JOIN feeding_part ON feeding_part.feeding = feeding.entry \
             JOIN batch_food ON batch_food.batch = feeding_part.batch \
             WHERE feeding.child = ?1 AND entry.day <= ?2 \
             ORDER BY entry.day, feeding.entry, batch_food.food",
        )?
        .query_map([child, &today.to_string()], meal)?
        .collect()
}
