//! First tastes: which foods a child knows, how they were received, and when the next new one may
//! come.

use std::collections::{BTreeMap, BTreeSet};

use jiff::ToSpan as _;
use jiff::civil::Date;
use rusqlite::{Connection, Rows};

use super::error::BookError;
use super::feeding::How;
use super::freezer::{BatchFood, parsed};
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
    cooked: Cooked,
}

/// The foods of every batch.
type Cooked = BTreeMap<i64, Vec<BatchFood>>;

/// One meal.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Meal {
    day: Date,
    how: How,
    reaction: String,
    /// The batches it was made of.
    batches: Vec<i64>,
    /// What else was in it.
    others: Vec<BatchFood>,
}

impl Meal {
    /// Its foods, each once.
    fn foods<'a>(&'a self, cooked: &'a Cooked) -> impl Iterator<Item = &'a BatchFood> {
        let mut seen: Vec<&str> = Vec::new();
        self.parts(cooked).filter(move |food| {
            let new = !seen.contains(&food.id.as_str());
            if new {
                seen.push(&food.id);
            }
            new
        })
    }

    /// The same, each as often as it is in a part of the meal.
    fn parts<'a>(&'a self, cooked: &'a Cooked) -> impl Iterator<Item = &'a BatchFood> {
        let foods = self.batches.iter().filter_map(|batch| cooked.get(batch));
        foods.flatten().chain(&self.others)
    }

    /// What was seen afterwards, with the day.
    fn seen(&self) -> Option<(Date, String)> {
        (!self.reaction.is_empty()).then(|| (self.day, self.reaction.clone()))
    }

    /// The major allergens in it.
    fn allergens<'a>(&'a self, cooked: &'a Cooked) -> BTreeSet<&'a str> {
        let allergens = self.parts(cooked).flat_map(|food| &food.allergens);
        allergens.map(String::as_str).collect()
    }
}

/// Published advice: tastings until a food is accepted, 8 to 15 (USDA NESR: 8 to 10 and more).
pub const OFFERS_WANTED: u32 = 10;

impl Store {
    /// What a child has tasted up to and including a day.
    pub fn tastes(&self, child: &str, today: Date) -> Result<TasteRecord, BookError> {
        // Joined here: a batch is served many times, and its foods are read once.
        let meals = self.read(|connection| meals(connection, child, today))?;
        let cooked = self.read(cooked)?;
        Ok(TasteRecord::of(meals, cooked))
    }
}

impl TasteRecord {
    fn of(meals: Vec<Meal>, cooked: Cooked) -> Self {
        let mut foods: Vec<Taste> = Vec::new();
        let mut at = BTreeMap::new();
        for meal in &meals {
            for food in meal.foods(&cooked) {
                let at = *at.entry(food.id.as_str()).or_insert(foods.len());
                if at == foods.len() {
                    foods.push(Taste::first(food, meal));
                }
                if let Some(taste) = foods.get_mut(at) {
                    taste.add(meal);
                }
            }
        }
        Self {
            foods,
            meals,
            cooked,
        }
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
        let mut tastes: Vec<_> = allergens
            .iter()
            .map(|one| AllergenTaste::never(one))
            .collect();
        for meal in &self.meals {
            let held = meal.allergens(&self.cooked);
            for taste in &mut tastes {
                if held.contains(taste.allergen.as_str()) {
                    taste.add(meal, recent_from);
                }
            }
        }
        tastes
    }
}

impl AllergenTaste {
    fn never(allergen: &str) -> Self {
        Self {
            allergen: allergen.to_string(),
            first: None,
            last: None,
            recent: 0,
            reactions: Vec::new(),
        }
    }

    /// Adds a meal; they come by day.
    fn add(&mut self, meal: &Meal, recent_from: Date) {
        self.first.get_or_insert(meal.day);
        self.last = Some(meal.day);
        self.recent += u32::from(meal.day > recent_from);
        self.reactions.extend(meal.seen());
    }
}

impl Taste {
    /// What was noted after the last meal with it on a day, and that day; `None` where it was eaten since with nothing noted.
    pub fn noted_last(&self) -> Option<&(Date, String)> {
        self.reactions.last().filter(|(day, _)| self.last <= *day)
    }

    fn first(food: &BatchFood, meal: &Meal) -> Self {
        Self {
            food: food.id.clone(),
            name: food.name.clone(),
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
        self.reactions.extend(meal.seen());
    }
}

/// Every meal of a child, by day and entry.
fn meals(connection: &Connection, child: &str, today: Date) -> rusqlite::Result<Vec<Meal>> {
    let mut select = connection.prepare(
        "SELECT feeding.entry, feeding_part.batch, entry.day, feeding.how, feeding.reaction \
         FROM feeding JOIN entry ON entry.id = feeding.entry \
         LEFT JOIN feeding_part ON feeding_part.feeding = feeding.entry \
         WHERE feeding.child = ?1 AND entry.day <= ?2 ORDER BY entry.day, feeding.entry",
    )?;
    let mut others = others(connection, child)?;
    let mut rows = select.query([child, &today.to_string()])?;
    let mut meals: Vec<Meal> = Vec::new();
    let mut last = None;
    while let Some(row) = rows.next()? {
        let feeding: i64 = row.get(0)?;
        let batch: Option<i64> = row.get(1)?;
        if let Some(meal) = meals.last_mut().filter(|_| last == Some(feeding)) {
            meal.batches.extend(batch);
            continue;
        }
        last = Some(feeding);
        let how: String = row.get(3)?;
        meals.push(Meal {
            day: parsed(row, 2)?,
            how: How::from_word(&how),
            reaction: row.get(4)?,
            batches: batch.into_iter().collect(),
            others: others.remove(&feeding).unwrap_or_default(),
        });
    }
    Ok(meals)
}

/// What else was in the meals of a child, by entry.
fn others(connection: &Connection, child: &str) -> rusqlite::Result<BTreeMap<i64, Vec<BatchFood>>> {
    let mut select = connection.prepare(
        "SELECT feeding_food.feeding, food.food, food.name, food.allergens FROM feeding_food \
         JOIN food ON food.id = feeding_food.food \
         JOIN feeding ON feeding.entry = feeding_food.feeding WHERE feeding.child = ?1",
    )?;
    let mut rows = select.query([child])?;
    gathered(&mut rows)
}

/// The foods of every batch.
fn cooked(connection: &Connection) -> rusqlite::Result<Cooked> {
    let mut select = connection.prepare("SELECT batch, food, name, allergens FROM batch_food")?;
    let mut rows = select.query([])?;
    gathered(&mut rows)
}

/// Foods by the number in front of them.
fn gathered(rows: &mut Rows<'_>) -> rusqlite::Result<BTreeMap<i64, Vec<BatchFood>>> {
    let mut foods: BTreeMap<i64, Vec<BatchFood>> = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let food = BatchFood::read(row, 1)?;
        foods.entry(row.get(0)?).or_default().push(food);
    }
    Ok(foods)
}
