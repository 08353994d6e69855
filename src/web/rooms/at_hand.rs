//! What is at hand for a meal now: which meal is due, the dishes of the freezer, and the same meal of the day before.

use std::collections::BTreeMap;

use form_urlencoded::Serializer;
use jiff::ToSpan as _;

use super::bowl::{self, CUBES};
use super::cook::food;
use super::{phrases, stops};
use crate::food::Pantry;
use crate::household::{USUAL_SERVING, before_serving, freezer_objections, helping};
use crate::notebook::{
    BookError, Child, EntryDetail, EntryPart, Feeding, How, LogEntry, Outlook, Pick, Store,
};
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::error::PageError;
use crate::web::objections::ShownObjections;
use crate::web::request::PageRequest;
use crate::words::counted;

/// Meals are spread over the day between these hours, evenly: judgement.
const FIRST_HOUR: i8 = 6;
const LAST_HOUR: i8 = 21;
/// The usual number of cubes is that of the meals of so many days before.
const LATELY_DAYS: i64 = 8;
/// So many dishes are offered; the others are in the freezer.
const OFFERED: usize = 6;

/// A dish of the freezer that can be served with one more tap.
pub(super) struct DishAtHand {
    pub(super) batch: i64,
    pub(super) title: String,
    /// Cubes left, and until when.
    pub(super) state: String,
    /// The usual number of cubes of a meal, as far as they are there.
    pub(super) cubes: u32,
    /// That it is stopped for a child that is seen; empty where nothing stops it.
    pub(super) stop: String,
    /// The objections to a serving.
    pub(super) shown: ShownObjections,
}

/// The meal of the day before that can be had again.
pub(super) struct Again {
    pub(super) words: String,
    pub(super) address: String,
}

/// The meal that is due: by the clock, or the next one where that is on record for every child that is seen; `None` where there is no next
/// one today, so that no tap writes a meal down twice.
pub(super) fn due_meal(visit: &PageRequest<'_>) -> Result<Option<String>, PageError> {
    let meals = &visit.book.settings.meals;
    let had = visit.record()?.log((visit.today, visit.today), false)?;
    let children = visit.children();
    let is_had = |name: &str| {
        let of = |child: &Child| {
            had.iter()
                .any(|entry| entry.child == child.name && meal_of(entry) == Some(name))
        };
        !children.is_empty() && children.iter().all(of)
    };
    let now = by_the_clock(visit.hour, meals.len());
    Ok(meals.iter().skip(now).find(|meal| !is_had(meal)).cloned())
}

/// Which of the meals of a day an hour belongs to.
fn by_the_clock(hour: i8, meals: usize) -> usize {
    let (since, whole) = (
        usize::try_from(hour - FIRST_HOUR).unwrap_or(0),
        usize::from((LAST_HOUR - FIRST_HOUR).unsigned_abs()),
    );
    (since * meals / whole).min(meals.saturating_sub(1))
}

/// The name of the meal of an entry; `None` for other entries.
fn meal_of(entry: &LogEntry) -> Option<&str> {
    match &entry.detail {
        EntryDetail::Meal { meal, .. } => Some(meal),
        _ => None,
    }
}

fn parts_of(entry: &LogEntry) -> &[EntryPart] {
    match &entry.detail {
        EntryDetail::Meal { parts, .. } => parts,
        _ => &[],
    }
}

/// The dishes in the freezer that are in time, the one to be eaten first on top and those that are stopped at the end, and how many more
/// there are.
pub(super) fn dishes(
    visit: &PageRequest<'_>,
    store: &Store,
    outlook: &[Outlook],
) -> Result<(Vec<DishAtHand>, usize), PageError> {
    let mut objections = freezer_objections(&visit.book, store, &visit.foods()?, visit.today)?;
    let from = visit.today.saturating_sub(LATELY_DAYS.days());
    let lately = store.log((from, visit.today), false)?;
    let usual = usual_cubes(&lately);
    let in_time: Vec<&Outlook> = outlook.iter().filter(|one| one.days_left >= 0).collect();
    let dish = |one: &&Outlook| {
        let batch = &one.stock.batch;
        let left = counted(one.stock.left, "cube");
        let until = match one.days_left {
            0 | 1 => phrases::when(one.days_left),
            _ => batch.use_by.strftime("%-d %b").to_string(),
        };
        let mut found = objections.remove(&batch.id).unwrap_or_default();
        found.retain(|one| visit.is_seen(&one.child));
        let is_stopped = |child: &Child| {
            let mut about = found.iter().filter(|one| one.child == child.name);
            about.any(Objection::is_block)
        };
        let mut shown = ShownObjections::of(&found, &[]);
        if !visit.children().iter().all(is_stopped) {
            // The form stops once the child is chosen whom it is not for.
            shown.blocks.clear();
        }
        DishAtHand {
            stop: stops::mark(&found, &visit.book.settings),
            batch: batch.id,
            title: batch.title.clone(),
            state: format!("{left}, use by {until}"),
            cubes: usual.min(one.stock.left).max(1),
            shown,
        }
    };
    let more = in_time.len().saturating_sub(OFFERED);
    let mut dishes: Vec<DishAtHand> = in_time.iter().map(dish).collect();
    dishes.sort_by_key(|dish| !dish.shown.blocks.is_empty());
    dishes.truncate(OFFERED);
    Ok((dishes, more))
}

/// The median number of cubes of a meal of one dish lately, else the usual serving.
fn usual_cubes(lately: &[LogEntry]) -> u32 {
    let cubes = lately.iter().filter_map(|entry| match parts_of(entry) {
        [EntryPart::Cubes(cubes, ..)] => Some(cubes.taken()),
        _ => None,
    });
    let mut cubes: Vec<u32> = cubes.collect();
    cubes.sort_unstable();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small constant"
    )]
    let usual = USUAL_SERVING as u32;
    cubes.get(cubes.len() / 2).copied().unwrap_or(usual)
}

/// The meal of this name of the day before, where all of it is still to be had, and nothing stops it by now.
pub(super) fn again(
    visit: &PageRequest<'_>,
    store: &Store,
    (child, meal): (&Child, &str),
    outlook: &[Outlook],
) -> Result<Option<Again>, PageError> {
    let before = visit.today.saturating_sub(1.day());
    let had = store.log((before, before), false)?;
    let entry = had
        .iter()
        .find(|entry| entry.child == child.name && meal_of(entry) == Some(meal));
    let Some(entry) = entry else { return Ok(None) };
    let in_time = outlook.iter().filter(|one| one.days_left >= 0);
    let left: BTreeMap<i64, u32> = in_time
        .map(|one| (one.stock.batch.id, one.stock.left))
        .collect();
    let pantry = visit.foods()?;
    let (mut picks, mut foods) = (Vec::new(), Vec::new());
    let (mut query, mut words) = (Serializer::new(String::new()), Vec::new());
    let (mut other, mut by_id) = (Vec::new(), Vec::new());
    for part in parts_of(entry) {
        match part {
            EntryPart::Cubes(cubes, title, batch) => {
                // The form counts whole cubes.
                let lacking = left.get(batch).is_none_or(|left| *left < cubes.taken());
                if lacking || cubes.halved() > 0 {
                    return Ok(None);
                }
                query.append_pair(&format!("{CUBES}{batch}"), &cubes.to_string());
                words.push(format!("{cubes} {title}"));
                picks.push(Pick {
                    cubes: *cubes,
                    name: format!("#{batch}"),
                });
            }
            EntryPart::Food(mass, name, id) => {
                let Some(food) = food(&pantry, id)? else {
                    return Ok(None);
                };
                by_id.push(format!("{} g {id}", mass.grams()));
                other.push(bowl::in_a_field(visit, &food, *mass)?);
                foods.push(helping(food, *mass)?);
                words.push(name.clone());
            }
            _ => return Ok(None),
        }
    }
    let feeding = Feeding {
        day: visit.today,
        child: &child.name,
        meal,
        picks: &picks,
        foods: &foods,
        how: How::Taken,
        share: None,
        reaction: "",
    };
    if words.is_empty() || is_stopped(visit, store, &pantry, child, &feeding)? {
        return Ok(None);
    }
    if !other.is_empty() {
        let named = other.join(", ");
        let fits = named.chars().count() <= bowl::LONGEST;
        query.append_pair("other", &if fits { named } else { by_id.join(", ") });
    }
    query
        .append_pair("child", &child.name)
        .append_pair("meal", meal);
    Ok(Some(Again {
        words: words.join(" and "),
        address: format!("/mix?{}", query.finish()),
    }))
}

/// Whether an objection stops a meal, or it cannot be had.
fn is_stopped(
    visit: &PageRequest<'_>,
    store: &Store,
    pantry: &Pantry,
    child: &Child,
    feeding: &Feeding<'_>,
) -> Result<bool, PageError> {
    match before_serving(&visit.book, store, pantry, child, feeding) {
        Ok(before) => Ok(before.objections.iter().any(Objection::is_block)),
        Err(BookError::Problems(_)) => Ok(true),
        Err(error) => Err(error.into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_hour_has_its_meal() {
        let three = |hour| by_the_clock(hour, 3);
        assert_eq!([three(0), three(7), three(10)], [0, 0, 0]);
        assert_eq!([three(11), three(13), three(15)], [1, 1, 1]);
        assert_eq!([three(16), three(18), three(23)], [2, 2, 2]);
        assert_eq!(by_the_clock(23, 0), 0);
        assert_eq!([by_the_clock(6, 5), by_the_clock(20, 5)], [0, 4]);
    }
}
