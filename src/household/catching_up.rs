//! Catching up in one step with days that were not recorded: as planned, as the day before, or not
//! known.

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::objections::{BookJudge, Judged};
use super::serving::{Spoons, as_served};
use super::serving_parser::TypedServings;
use crate::food::Pantry;
use crate::notebook::{
    Book, BookError, Child, Eaten, Feeding, GapFilling, How, Pick, PlannedFood, PlannedServing,
    Store,
};
use crate::problem::Problem;
use crate::safety::{Objection, gravest_first};
use crate::words;

/// The days back from today that are asked about: nobody remembers earlier ones (judgement).
const DAYS_BACK: i64 = 28;

/// A day of a child without any record, between its first meal on record and today.
#[derive(Debug, Clone)]
pub struct GapDay {
    /// The day.
    pub day: Date,
    /// The meals that were planned for it; empty where none was.
    pub planned: Vec<GapMeal>,
    /// The last day before it that has meals on record, and these.
    pub before: Option<(Date, Vec<GapMeal>)>,
}

/// A meal as it may have been on a day without a record.
#[derive(Debug, Clone)]
pub struct GapMeal {
    /// The name of the meal; empty where it has none.
    pub meal: String,
    /// The servings of the meal.
    pub servings: TypedServings,
    /// How the meal went.
    pub how: How,
    /// The share that was eaten, where it was stated.
    pub share: Option<f64>,
}

/// The answer of the household about a day without a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GapAnswer {
    /// The planned meals were eaten.
    AsPlanned,
    /// The same meals as on the day before.
    AsDayBefore,
    /// The meals are not known: the day is not asked about again, and counts for nothing.
    NotKnown,
}

/// The entries that were recorded for the days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaughtUp {
    /// The numbers of the meals, in the order of their days.
    pub meals: Vec<i64>,
    /// The numbers of the notes on days that are not known.
    pub not_known: Vec<i64>,
    /// Warnings about cubes, each a sentence without its full stop.
    pub warnings: Vec<String>,
}

impl CaughtUp {
    /// The numbers of all entries.
    pub fn entries(&self) -> Vec<i64> {
        [&self.meals[..], &self.not_known[..]].concat()
    }
}

/// The days of a child in the last four weeks before `today` without any record, the first on top,
/// which a form asks about. Its answers go to [`catch_up`].
///
/// Errors: a food of a meal is in no table any more.
pub fn gap_days(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    (child, today): (&Child, Date),
) -> Result<Vec<GapDay>, BookError> {
    let Some(first) = store.first_meal(&child.name)? else {
        return Ok(Vec::new());
    };
    let from = first.max(today.saturating_sub(DAYS_BACK.days()));
    let to = today.saturating_sub(1.day());
    let recorded = store.recorded_days(&child.name, (from, to))?;
    let plan = store.planned(from, to)?;
    let mut eaten = store.eaten(&child.name, from.saturating_sub(DAYS_BACK.days()), to)?;
    // A refusal of one day says nothing of another.
    eaten.retain(|meal| meal.how != How::Refused);
    let mut days: Vec<GapDay> = Vec::new();
    for day in from.series(1.day()).take_while(|day| *day <= to) {
        if recorded.contains(&day) {
            continue;
        }
        let planned = plan.meals.iter();
        let planned = planned.filter(|(slot, parts)| {
            slot.day == day && slot.child == child.name && !parts.is_empty()
        });
        let planned = planned.map(|(slot, parts)| {
            Ok(GapMeal {
                meal: slot.meal.clone(),
                servings: as_served(pantry, parts.clone())?,
                how: How::Taken,
                share: None,
            })
        });
        let mut planned: Vec<GapMeal> = planned.collect::<Result<_, BookError>>()?;
        let order = |meal: &str| book.settings.meals.iter().position(|name| name == meal);
        planned.sort_by_key(|planned| order(&planned.meal));
        let last = last_meals(&eaten, day);
        let known = days.last().and_then(|gap| gap.before.as_ref());
        let before = match (known, last.first().map(|meal| meal.day)) {
            // Between two days without entries in a row nothing was eaten.
            (Some(known), Some(last)) if known.0 == last => Some(known.clone()),
            (_, Some(day)) => Some((day, meals_again(book, (store, pantry), last)?)),
            (_, None) => None,
        };
        days.push(GapDay {
            day,
            planned,
            before,
        });
    }
    Ok(days)
}

/// The meals of the last day with any before a day, within the days that are examined.
fn last_meals(eaten: &[Eaten], day: Date) -> Vec<&Eaten> {
    let from = day.saturating_sub(DAYS_BACK.days());
    let before = || eaten.iter().filter(|meal| (from..day).contains(&meal.day));
    let last = before().map(|meal| meal.day).max();
    before().filter(|meal| Some(meal.day) == last).collect()
}

/// Meals of a day as they would be served again, in the order of the day.
fn meals_again(
    book: &Book,
    (store, pantry): (&Store, &Pantry),
    mut eaten: Vec<&Eaten>,
) -> Result<Vec<GapMeal>, BookError> {
    let order = |meal: &str| book.settings.meals.iter().position(|name| name == meal);
    eaten.sort_by_key(|meal| order(&meal.meal.name));
    let meals = eaten.into_iter();
    meals.map(|meal| again(store, pantry, meal)).collect()
}

/// A meal on record as it would be served again: cubes of the same recipes, the oldest first, and
/// the same amounts of food.
fn again(store: &Store, pantry: &Pantry, eaten: &Eaten) -> Result<GapMeal, BookError> {
    let mut parts = Vec::new();
    for (batch, cubes) in &eaten.cubes {
        let name = store.recipe_of(*batch)?;
        let name = name.unwrap_or_else(|| format!("#{batch}"));
        let cubes = *cubes;
        parts.push(PlannedServing::Cubes(Pick { cubes, name }));
    }
    // A serving of other food is of one food.
    for serving in eaten.meal.servings.iter().skip(eaten.cubes.len()) {
        let food = serving.foods.first().map(|food| PlannedFood {
            typed: food.typed.clone(),
            ..PlannedFood::by_id(food.id.clone(), serving.mass)
        });
        parts.extend(food.map(PlannedServing::Food));
    }
    Ok(GapMeal {
        meal: eaten.meal.name.clone(),
        servings: as_served(pantry, parts)?,
        how: eaten.how,
        share: stated_share(eaten),
    })
}

/// Records what the household says of days of a child without entries, as [`catch_up_each`].
pub fn catch_up(
    book: &Book,
    store: &mut Store,
    pantry: &Pantry,
    (child, today): (&Child, Date),
    answers: &[(Date, GapAnswer)],
    anyway: impl FnOnce(&[Objection]) -> bool,
) -> Result<Judged<CaughtUp>, BookError> {
    let told = [GapAnswers {
        child,
        answers: answers.to_vec(),
    }];
    let judged = catch_up_each(book, store, pantry, (&told, today), anyway)?;
    Ok(Judged {
        objections: judged.objections,
        recorded: judged.recorded.and_then(|mut each| each.pop()),
    })
}

/// What the household says of the days of a child without entries.
#[derive(Debug, Clone)]
pub struct GapAnswers<'a> {
    /// The child.
    pub child: &'a Child,
    /// A day of [`gap_days`] with what is said of it; days that are left out stay as they are.
    pub answers: Vec<(Date, GapAnswer)>,
}

/// Records what the household says of days without entries, for each child, all of it or nothing. "As the day before" follows the answer
/// to the day before, where that is among them. An objection that blocks stops everything unless `anyway`, called with all
/// objections, overrides it.
///
/// Errors: nothing was planned for a day that was "as planned"; the day is on record by now; the freezer lacks a cube.
pub fn catch_up_each(
    book: &Book,
    store: &mut Store,
    pantry: &Pantry,
    (gaps, today): (&[GapAnswers<'_>], Date),
    anyway: impl FnOnce(&[Objection]) -> bool,
) -> Result<Judged<Vec<CaughtUp>>, BookError> {
    let told = gaps.iter().map(|gap| {
        let days = gap_days(book, store, pantry, (gap.child, today))?;
        Ok(AnsweredDays::of(&days, &gap.answers)?)
    });
    let told: Vec<AnsweredDays> = told.collect::<Result<_, BookError>>()?;
    let mut spoons = Spoons::of(store)?;
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let (mut fillings, mut warnings, mut objections) = (Vec::new(), Vec::new(), Vec::new());
    for (GapAnswers { child, .. }, told) in gaps.iter().zip(&told) {
        let feedings = told.meals.iter();
        let feedings: Vec<Feeding<'_>> = feedings
            .map(|(day, meal)| meal.feeding(&child.name, *day))
            .collect();
        let (mut served, mut late_cubes) = (Vec::new(), Vec::new());
        for feeding in &feedings {
            let (servings, late) = spoons.fill(feeding)?;
            served.push((feeding.day, servings));
            late_cubes.extend(late);
        }
        late_cubes.dedup();
        warnings.push(late_cubes);
        objections.extend(judge.meals_in_turn(child, &served)?);
        fillings.push(GapFilling {
            child: &child.name,
            feedings,
            not_known: &told.not_known,
        });
    }
    gravest_first(&mut objections);
    Judged::unless_stopped(objections, anyway, || {
        let filled = store.fill_gaps(&fillings)?.into_iter().zip(warnings);
        let caught_up = filled.map(|(filled, warnings)| CaughtUp {
            meals: filled.meals.iter().map(|meal| meal.id).collect(),
            not_known: filled.not_known,
            warnings,
        });
        Ok(caught_up.collect())
    })
}

/// The share that was eaten of a meal, where the household stated it: one that differs from the
/// usual share of how it went.
fn stated_share(eaten: &Eaten) -> Option<f64> {
    let usual = eaten.how.share().0;
    let differs = (eaten.meal.share - usual).abs() > f64::EPSILON;
    (differs && !eaten.meal.estimated).then_some(eaten.meal.share)
}

impl GapMeal {
    fn feeding<'a>(&'a self, child: &'a str, day: Date) -> Feeding<'a> {
        Feeding {
            day,
            child,
            meal: &self.meal,
            picks: &self.servings.picks,
            foods: &self.servings.foods,
            how: self.how,
            share: self.share,
            reaction: "",
        }
    }
}

/// The meals that the answers name, by day, and the days that are not known.
#[derive(Debug, Default)]
struct AnsweredDays {
    meals: Vec<(Date, GapMeal)>,
    not_known: Vec<Date>,
}

impl AnsweredDays {
    fn of(gap: &[GapDay], answers: &[(Date, GapAnswer)]) -> Result<Self, Problem> {
        let mut answers = answers.to_vec();
        answers.sort_by_key(|(day, _)| *day);
        let mut answered = Self::default();
        let mut latest: Option<(Date, &[GapMeal])> = None;
        for (day, answer) in answers {
            let found = gap.iter().find(|gap| gap.day == day).ok_or_else(|| {
                Problem::new(format!("{} is no day without entries", words::day(day)))
            })?;
            let before = found.before.as_ref();
            let before = before.map(|(day, meals)| (*day, meals.as_slice()));
            let nothing = |what: &str| Problem::new(format!("{what} {}", words::day(day)));
            let of_day = match answer {
                GapAnswer::NotKnown => {
                    answered.not_known.push(day);
                    continue;
                }
                GapAnswer::AsPlanned if found.planned.is_empty() => {
                    return Err(nothing("nothing was planned for"));
                }
                GapAnswer::AsPlanned => found.planned.as_slice(),
                // The later of what is on record and what was answered for an earlier day.
                GapAnswer::AsDayBefore => latest
                    .into_iter()
                    .chain(before)
                    .max_by_key(|(day, _)| *day)
                    .map(|(_, meals)| meals)
                    .ok_or_else(|| nothing("no meal is on record in the weeks before"))?,
            };
            latest = Some((day, of_day));
            answered
                .meals
                .extend(of_day.iter().map(|meal| (day, meal.clone())));
        }
        Ok(answered)
    }
}
