//! What is at hand for a meal now: which meal is due, the dishes of the freezer, and the same meal
//! of the day before.

use std::collections::BTreeMap;

use jiff::ToSpan as _;

use super::bowl::{self, CUBES};
use super::cook::food;
use super::{phrases, stops};
use crate::food::Pantry;
use crate::household::{USUAL_SERVING, before_serving, freezer_objections, helping};
use crate::notebook::{
    BookError, Child, EntryDetail, EntryPart, Feeding, Helping, How, LogEntry, Outlook, Pick,
};
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::fields::with_query;
use crate::web::{PageRequest, PageResult, ShownObjections};
use crate::words::{counted, together};

/// The hour from which on the meals of a day are spread evenly (judgement).
const FIRST_HOUR: i8 = 6;
/// The hour up to which the meals of a day are spread evenly (judgement).
const LAST_HOUR: i8 = 21;
/// The days before today whose meals give the usual number of cubes (judgement).
const LATELY_DAYS: i64 = 8;
/// The most dishes that are offered; the page Freezer has all (judgement).
const OFFERED: usize = 6;

/// A dish of the freezer that can be served with one more tap.
pub(super) struct DishAtHand {
    pub(super) batch: i64,
    pub(super) title: String,
    /// Cubes left, and until when.
    pub(super) state: String,
    /// The usual number of cubes of a meal, at most those that are left.
    pub(super) cubes: u32,
    /// The mark of a dish that is stopped for a child that is seen; empty where nothing stops it.
    pub(super) stop: String,
    /// The objections to a serving.
    pub(super) shown: ShownObjections,
}

/// The meal of the day before that can be had again.
pub(super) struct Again {
    pub(super) words: String,
    pub(super) address: String,
}

/// The meal that is due: the one by the clock, or the first after it that is not on record for
/// every child that is seen; `None` where all of these are on record, so that no tap writes a meal
/// down twice.
pub(super) fn due_meal(request: &PageRequest<'_>) -> PageResult<Option<String>> {
    let meals = &request.book.settings.meals;
    let had = request
        .record()?
        .log((request.today, request.today), false)?;
    let children = request.children();
    let is_had = |name: &str| {
        let of = |child: &Child| {
            had.iter()
                .any(|entry| entry.child == child.name && meal_of(entry) == Some(name))
        };
        !children.is_empty() && children.iter().all(of)
    };
    let now = by_the_clock(request.hour, meals.len());
    Ok(meals.iter().skip(now).find(|meal| !is_had(meal)).cloned())
}

/// The index of the meal of a day to which an hour belongs.
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

/// Whether nothing of the meal of an entry was eaten.
pub(super) fn is_refused(entry: &LogEntry) -> bool {
    matches!(&entry.detail, EntryDetail::Meal { how, .. } if *how == How::Refused)
}

fn parts_of(entry: &LogEntry) -> &[EntryPart] {
    match &entry.detail {
        EntryDetail::Meal { parts, .. } => parts,
        _ => &[],
    }
}

/// The dishes in the freezer that are in time, and how many more there are than are offered: the
/// dish to be eaten first on top, stopped dishes at the end.
pub(super) fn dishes(
    request: &PageRequest<'_>,
    outlook: &[Outlook],
) -> PageResult<(Vec<DishAtHand>, usize)> {
    let store = request.record()?;
    let mut objections =
        freezer_objections(&request.book, store, &request.foods()?, request.today)?;
    let from = request.today.saturating_sub(LATELY_DAYS.days());
    let lately = store.log((from, request.today), false)?;
    let usual = usual_cubes(&lately);
    let in_time: Vec<&Outlook> = outlook
        .iter()
        .filter(|batch| batch.days_left >= 0)
        .collect();
    let dish = |of_batch: &&Outlook| {
        let batch = &of_batch.stock.batch;
        let left = counted(of_batch.stock.left, "cube");
        let until = match of_batch.days_left {
            0 | 1 => phrases::when(of_batch.days_left),
            _ => batch.use_by.strftime("%-d %b").to_string(),
        };
        let mut found = objections.remove(&batch.id).unwrap_or_default();
        found.retain(|objection| stops::is_about_an_eater(request, objection));
        let is_stopped = |child: &Child| {
            let mut about = found
                .iter()
                .filter(|objection| objection.child == child.name);
            about.any(Objection::is_block)
        };
        let mut shown = ShownObjections::of(&found, &[]);
        if !request.children().iter().all(is_stopped) {
            // The form stops it once a child is chosen for whom the dish is stopped.
            shown.blocks.clear();
        }
        DishAtHand {
            stop: stops::mark(&found, &request.book.settings),
            batch: batch.id,
            title: batch.title.clone(),
            state: format!("{left}, use by {until}"),
            cubes: usual.min(of_batch.stock.left).max(1),
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

/// The meal of this name of the day before; `None` where not all of it can be had again, or an
/// objection stops it now.
pub(super) fn again(
    request: &PageRequest<'_>,
    (child, meal): (&Child, &str),
    outlook: &[Outlook],
) -> PageResult<Option<Again>> {
    let store = request.record()?;
    let before = request.today.saturating_sub(1.day());
    let had = store.log((before, before), false)?;
    let entry = had
        .iter()
        .find(|entry| entry.child == child.name && meal_of(entry) == Some(meal));
    // What was refused is not offered as the same again.
    let entry = entry.filter(|entry| !is_refused(entry));
    let Some(entry) = entry else { return Ok(None) };
    let pantry = request.foods()?;
    let Some(parts) = AgainParts::of(request, &pantry, parts_of(entry), outlook)? else {
        return Ok(None);
    };
    let feeding = Feeding {
        day: request.today,
        child: &child.name,
        meal,
        picks: &parts.picks,
        foods: &parts.foods,
        how: How::Taken,
        share: None,
        reaction: "",
    };
    if parts.words.is_empty() || is_stopped(request, &pantry, child, &feeding)? {
        return Ok(None);
    }
    Ok(Some(Again {
        words: together(&parts.words),
        address: parts.address(&child.name, meal),
    }))
}

/// The parts of a meal on record, as they are served again.
#[derive(Default)]
struct AgainParts {
    picks: Vec<Pick>,
    foods: Vec<Helping>,
    words: Vec<String>,
    /// The cubes as fields of the form.
    cubes: Vec<(String, String)>,
    /// Other food as the form shows it, and by ids alone, which is shorter.
    other: Vec<String>,
    other_by_id: Vec<String>,
}

impl AgainParts {
    /// `None` where a part cannot be had again.
    fn of(
        request: &PageRequest<'_>,
        pantry: &Pantry,
        parts: &[EntryPart],
        outlook: &[Outlook],
    ) -> PageResult<Option<Self>> {
        let in_time = outlook.iter().filter(|batch| batch.days_left >= 0);
        let left: BTreeMap<i64, u32> = in_time
            .map(|batch| (batch.stock.batch.id, batch.stock.left))
            .collect();
        let mut all = Self::default();
        for part in parts {
            match part {
                EntryPart::Cubes(cubes, title, batch) => {
                    // The form counts whole cubes.
                    let lacking = left.get(batch).is_none_or(|left| *left < cubes.taken());
                    if lacking || cubes.halved() > 0 {
                        return Ok(None);
                    }
                    let field = format!("{CUBES}{batch}");
                    all.cubes.push((field, cubes.to_string()));
                    all.words.push(format!("{cubes} {title}"));
                    all.picks.push(Pick {
                        cubes: *cubes,
                        name: format!("#{batch}"),
                    });
                }
                EntryPart::Food {
                    mass,
                    name,
                    id,
                    typed,
                } => {
                    let Some(food) = food(pantry, id)? else {
                        return Ok(None);
                    };
                    all.other_by_id.push(format!("{} g {id}", mass.grams()));
                    let other = bowl::in_a_field(request, (&food, *mass), typed)?;
                    all.other.push(other);
                    all.foods.push(helping(food, *mass)?.named(typed));
                    all.words.push(name.clone());
                }
                _ => return Ok(None),
            }
        }
        Ok(Some(all))
    }

    /// The address of the form that is filled in with the meal.
    fn address(&self, child: &str, meal: &str) -> String {
        let named = self.other.join(", ");
        let fits = named.chars().count() <= bowl::LONGEST;
        let other = if fits {
            named
        } else {
            self.other_by_id.join(", ")
        };
        let other = (!other.is_empty()).then_some(("other", other.as_str()));
        let cubes = self.cubes.iter();
        let cubes = cubes.map(|(name, cubes)| (name.as_str(), cubes.as_str()));
        let slot = [("child", child), ("meal", meal)];
        with_query("/mix", cubes.chain(other).chain(slot))
    }
}

/// Whether an objection stops a meal, or its cubes cannot be taken.
fn is_stopped(
    request: &PageRequest<'_>,
    pantry: &Pantry,
    child: &Child,
    feeding: &Feeding<'_>,
) -> PageResult<bool> {
    let store = request.record()?;
    match before_serving(&request.book, store, pantry, child, feeding) {
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
        let of_three = |hour| by_the_clock(hour, 3);
        assert_eq!([of_three(0), of_three(7), of_three(10)], [0, 0, 0]);
        assert_eq!([of_three(11), of_three(13), of_three(15)], [1, 1, 1]);
        assert_eq!([of_three(16), of_three(18), of_three(23)], [2, 2, 2]);
        assert_eq!(by_the_clock(23, 0), 0);
        assert_eq!([by_the_clock(6, 5), by_the_clock(20, 5)], [0, 4]);
    }
}
