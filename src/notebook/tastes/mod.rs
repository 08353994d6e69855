//! First tastes: the foods that a child knows, how they were received, which are objected to after
//! a reaction, and when the next new one may come.

mod clearance;
mod meal;
mod read;
mod tally;

use crate::food::same_food;
use crate::safety::{NotedReaction, WaitAfter};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::ToSpan as _;
use jiff::civil::Date;
use rusqlite::Connection;
use serde::Serialize;

pub use clearance::{Clearance, Cleared};
use meal::{BatchFoods, Moment, TastedMeal};
use tally::TasteTally;

use super::error::BookError;
use super::feeding::How;
use super::freezer::BatchFood;
use super::settings::Settings;
use super::store::Store;

/// A reaction after a meal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Reaction {
    /// The day of the meal.
    pub day: Date,
    /// The day on which it was seen: that of the meal, or one after it.
    #[serde(rename = "seen_on")]
    pub seen: Date,
    /// The description in the parent's words.
    pub words: String,
}

/// The history of a child with one food.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Taste {
    /// Id of the food.
    pub food: String,
    /// The name of the food.
    pub name: String,
    /// The major allergens that its name gives away.
    pub allergens: Vec<String>,
    /// The first day on which the food was offered.
    #[serde(rename = "first_offered")]
    pub first: Date,
    /// The last day on which the food was offered.
    #[serde(rename = "last_offered")]
    pub last: Date,
    /// The first day on which the food was eaten, at least in part, in any form; `None` where it
    /// was only ever refused in this one.
    pub first_eaten: Option<Date>,
    /// The number of meals with the food.
    pub offers: u32,
    /// The number of these meals that were eaten, at least in part.
    #[serde(rename = "eaten")]
    pub accepted: u32,
    /// How much was eaten of the last meal with the food.
    pub last_how: How,
    /// The reactions after meals with the food.
    pub reactions: Vec<Reaction>,
    /// The last of these reactions that no doctor cleared.
    #[serde(skip)]
    open: Option<Reaction>,
}

/// The history of a child with a major allergen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AllergenTaste {
    /// The allergen.
    pub allergen: String,
    /// The first day on which the allergen was eaten; `None` where it never was.
    #[serde(rename = "first_eaten")]
    pub first: Option<Date>,
    /// The last day on which the allergen was eaten.
    #[serde(rename = "last_eaten")]
    pub last: Option<Date>,
    /// The number of meals in the last two weeks in which the allergen was eaten.
    #[serde(rename = "meals_in_two_weeks")]
    pub recent: u32,
    /// The reactions after meals with the allergen, eaten or refused.
    pub reactions: Vec<Reaction>,
}

/// The history of a child with all foods.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TasteRecord {
    /// The foods, the first offered on top.
    pub foods: Vec<Taste>,
    /// The first day on which each major allergen was eaten, and the last.
    allergens: BTreeMap<String, (Date, Date)>,
    meals: Arc<Vec<TastedMeal>>,
    cooked: Arc<BatchFoods>,
}

/// The number of offers until a food may be given up (published advice: 8 to 15 tastings until a
/// food is accepted; USDA NESR: 8 to 10 and more).
pub const OFFERS_WANTED: u32 = 10;

impl Store {
    /// The tastes of a child up to and including a day.
    pub fn tastes(&self, child: &str, today: Date) -> Result<Arc<TasteRecord>, BookError> {
        self.read(|connection| {
            // One transaction, so that all values are of one moment.
            let moment = connection.unchecked_transaction()?;
            let (tastes, histories) = (&self.kept.tastes, &self.kept.taste_histories);
            let place = (&*moment, self.path());
            let read = |moment: &Connection| TasteHistory::read(moment, child);
            let history = histories.get_or_read(place, child.to_string(), read)?;
            // After the last day on record, the tastes are the same on every day.
            let day = history.last_day().map_or(today, |last| today.min(last));
            tastes.get_or_read(place, (child.to_string(), day), |_| Ok(history.up_to(day)))
        })
    }
}

/// Everything on record about the tastes of a child, of any day. The foods of a batch are held
/// once, however often it was served.
#[derive(Debug)]
pub(super) struct TasteHistory {
    meals: Arc<Vec<TastedMeal>>,
    cooked: Arc<BatchFoods>,
    cleared: Vec<(String, Moment)>,
}

impl TasteHistory {
    fn read(connection: &Connection, child: &str) -> rusqlite::Result<Self> {
        Ok(Self {
            meals: Arc::new(read::meals(connection, child)?),
            cooked: Arc::new(read::cooked(connection)?),
            cleared: read::clearances(connection, child)?,
        })
    }

    /// The last day on record.
    fn last_day(&self) -> Option<Date> {
        let meals = self.meals.iter().map(TastedMeal::last_day);
        let cleared = self.cleared.iter().map(|(_, at)| at.day);
        meals.chain(cleared).max()
    }

    /// The tastes as they were known up to and including a day.
    fn up_to(&self, day: Date) -> TasteRecord {
        let meals = if self.meals.iter().all(|meal| meal.is_known_on(day)) {
            Arc::clone(&self.meals)
        } else {
            let meals = self.meals.iter().filter(|meal| meal.at.day <= day);
            Arc::new(meals.map(|meal| meal.as_seen_on(day)).collect())
        };
        let cleared = self.cleared.iter().filter(|(_, at)| at.day <= day);
        // Of several clearances of a food the last counts.
        let cleared = cleared.map(|(food, at)| (food.as_str(), *at)).collect();
        TasteRecord::of(meals, Arc::clone(&self.cooked), &cleared)
    }
}

impl TasteRecord {
    fn of(
        meals: Arc<Vec<TastedMeal>>,
        cooked: Arc<BatchFoods>,
        cleared: &BTreeMap<&str, Moment>,
    ) -> Self {
        let mut tally = TasteTally::new(&cooked, cleared);
        for meal in meals.iter() {
            tally.add(meal);
        }
        let (foods, allergens) = tally.results();
        Self {
            foods,
            allergens,
            meals,
            cooked,
        }
    }

    /// The foods that were eaten, by id, with the first day.
    pub fn known(&self) -> BTreeMap<&str, Date> {
        let eaten = self.foods.iter();
        eaten
            .filter_map(|taste| Some((taste.food.as_str(), taste.first_eaten?)))
            .collect()
    }

    /// The foods that were eaten, each in the form in which it was served first.
    pub fn first_tastes(&self) -> impl Iterator<Item = &Taste> {
        let mut seen = BTreeSet::new();
        let eaten = self.foods.iter().filter(|taste| taste.eaten());
        eaten.filter(move |taste| seen.insert(same_food(&taste.name)))
    }

    /// The names of the foods that were eaten, common to all their forms, with the first day; see
    /// [`same_food`].
    pub fn known_by_name(&self) -> BTreeMap<String, Date> {
        let eaten = self.foods.iter();
        let named = eaten.filter_map(|taste| Some((same_food(&taste.name), taste.first_eaten?)));
        named.collect()
    }

    /// The major allergens that were eaten, with the first day and the last.
    pub fn known_allergens(&self) -> BTreeMap<&str, (Date, Date)> {
        let known = self.allergens.iter();
        known
            .map(|(allergen, days)| (allergen.as_str(), *days))
            .collect()
    }

    /// The foods that are objected to after a reaction, in the order of first offers.
    pub fn open_reactions(&self) -> Vec<NotedReaction> {
        let open = self.foods.iter().filter_map(|taste| {
            let seen = taste.open_reaction()?.clone();
            Some(NotedReaction {
                food: taste.food.clone(),
                name: taste.name.clone(),
                allergens: taste.allergens.clone(),
                day: seen.day,
                words: seen.words,
            })
        });
        open.collect()
    }

    /// The foods of a list that were never eaten, each once.
    pub fn new_among<'a>(
        &self,
        foods: impl IntoIterator<Item = (&'a str, &'a str)>,
    ) -> Vec<String> {
        let (known, named) = (self.known(), self.known_by_name());
        let mut seen = BTreeSet::new();
        let is_known = |(food, name): &(&str, &str)| {
            known.contains_key(food) || named.contains_key(&same_food(name))
        };
        foods
            .into_iter()
            .filter(|food| !is_known(food) && seen.insert(food.0.to_string()))
            .map(|(_, name)| name.to_string())
            .collect()
    }

    /// The last day on which a food was eaten for the first time; `None` where none was.
    pub fn last_first(&self) -> Option<Date> {
        self.foods
            .iter()
            .filter_map(|taste| taste.first_eaten)
            .max()
    }

    /// The first day on which the next new food may come, by the waiting rule of the book; `None`
    /// where no food was eaten yet after which to wait.
    pub fn next_free(&self, settings: &Settings) -> Option<Date> {
        let waited_after = |taste: &&Taste| match settings.waiting {
            WaitAfter::All => true,
            WaitAfter::Allergens => !taste.allergens.is_empty(),
        };
        let foods = self.foods.iter().filter(waited_after);
        let last = foods.filter_map(|taste| taste.first_eaten).max()?;
        Some(last.saturating_add(i64::from(settings.waiting_days).days()))
    }

    /// Foods refused the last time, not offered often enough to give up, and not objected to after
    /// a reaction.
    pub fn to_offer_again(&self) -> impl Iterator<Item = &Taste> {
        self.foods.iter().filter(|taste| {
            taste.last_how == How::Refused
                && taste.offers < OFFERS_WANTED
                && taste.open_reaction().is_none()
        })
    }

    /// A line for each of the allergens, in the given order.
    pub fn allergens(&self, allergens: &[&str], today: Date) -> Vec<AllergenTaste> {
        let recent_from = today.saturating_sub(14.days());
        let mut tastes: Vec<_> = allergens
            .iter()
            .map(|allergen| AllergenTaste::never(allergen))
            .collect();
        for meal in self.meals.iter() {
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

    /// Adds a meal; meals are added in the order of their days.
    fn add(&mut self, meal: &TastedMeal, recent_from: Date) {
        let day = meal.at.day;
        if meal.eaten {
            self.first.get_or_insert(day);
            self.last = Some(day);
            self.recent += u32::from(day > recent_from);
        }
        self.reactions.extend(meal.seen());
    }
}

impl Taste {
    /// Whether the food was ever eaten, at least in part. A food that was only refused is still
    /// new: nothing of it was swallowed, so that its effect on the child is unknown.
    pub fn eaten(&self) -> bool {
        self.first_eaten.is_some()
    }

    /// The last reaction, unless a doctor cleared the food after it. What was eaten or refused
    /// since changes nothing: one meal without a reaction does not show that a food is safe.
    pub fn open_reaction(&self) -> Option<&Reaction> {
        self.open.as_ref()
    }

    fn first(food: &BatchFood, meal: &TastedMeal) -> Self {
        Self {
            food: food.id.clone(),
            name: food.name.clone(),
            allergens: food.allergens.clone(),
            first: meal.at.day,
            last: meal.at.day,
            first_eaten: None,
            offers: 0,
            accepted: 0,
            last_how: meal.how,
            reactions: Vec::new(),
            open: None,
        }
    }

    /// Adds a meal; meals are added in the order of their days. `cleared` is the moment of the
    /// doctor's last clearance of the food.
    fn add(&mut self, meal: &TastedMeal, cleared: Option<&Moment>) {
        self.last = meal.at.day;
        self.last_how = meal.how;
        self.offers += 1;
        if meal.eaten {
            self.accepted += 1;
            self.first_eaten.get_or_insert(meal.at.day);
        }
        let Some(last) = meal.last_seen() else {
            return;
        };
        let seen: Vec<Reaction> = meal.seen().collect();
        let open = seen.last().cloned();
        self.open = open.filter(|_| cleared.is_none_or(|at| *at < last));
        self.reactions.extend(seen);
    }
}
