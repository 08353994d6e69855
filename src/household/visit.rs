//! The record of a child, gathered for a visit to the paediatrician.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use data_import::FoodId;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::{KeptWeek, eaten_week};
use crate::food::{Pantry, volume_measure};
use crate::notebook::{
    Book, BookError, Child, Eaten, GAP_TOPIC, Measurement, Note, Question, Store, SupplementDose,
    TasteRecord, TextureSince,
};
use crate::nutrition::BreastMilk;
use crate::problem::Problem;
use crate::words;

/// The most days of a visit, three months (judgement).
const MOST_DAYS: usize = 93;

/// The source of the household's own foods, on paper.
const OWN_FOODS: &str = "own foods, from their labels";

/// Everything on record for a child over some days.
#[derive(Debug)]
pub struct VisitFacts {
    /// The days and their figures.
    pub kept: KeptWeek,
    /// The meals, in order.
    pub eaten: Vec<Eaten>,
    /// The questions of these days, and every other without an answer.
    pub questions: Vec<Question>,
    /// Weights, lengths and head sizes up to the last day.
    pub measurements: Vec<Measurement>,
    /// The dose of each supplement on each day.
    pub doses: Vec<SupplementDose>,
    /// The notes of these days.
    pub notes: Vec<Note>,
    /// The stages of texture up to the last day.
    pub textures: Vec<TextureSince>,
    /// The foods tasted up to the last day.
    pub tastes: Arc<TasteRecord>,
    /// Whether the record itself has entries of milk.
    pub milk_recorded: bool,
    /// The days whose meals the household marked as not known.
    pub not_known: BTreeSet<Date>,
    /// Density in g/ml of each milk other than breast milk, as far as it is known.
    pub milk_densities: BTreeMap<FoodId, f64>,
    /// The datasets from which the composition of the foods was taken.
    pub datasets: Vec<String>,
}

/// The days between the first and the last day of the page of a visit where no visit is on record:
/// six weeks with both (judgement).
const USUAL_DAYS: i32 = 42;

/// The usual first day of the page of a visit: the day after the last visit on record, else six
/// weeks before its end; never before the birth.
pub fn usual_first_day(child: &Child, to: Date, last_visit: Option<Date>) -> Date {
    let six_weeks = to.saturating_sub((USUAL_DAYS - 1).days());
    let since = last_visit.filter(|day| *day < to);
    let since = since.and_then(|day| day.tomorrow().ok());
    since.unwrap_or(six_weeks).max(child.born)
}

/// Checks the days of a visit, both included: from the child's birth on, and three months at most.
pub fn visit_span(child: &Child, from: Date, to: Date) -> Result<(Date, Date), Problem> {
    let (first, last) = (words::day(from), words::day(to));
    if to < from {
        let what = format!("the last day, {last}, is before the first, {first}");
        return Err(Problem::new(what).hint("the first day comes first: turn them round"));
    }
    if from < child.born {
        let born = words::day(child.born);
        let what = format!("{} was born on {born}, after {first}", child.name);
        return Err(Problem::new(what).hint(format!("begin on {born} or later")));
    }
    let days = from.series(1.day()).take_while(|day| *day <= to);
    if days.take(MOST_DAYS + 1).count() > MOST_DAYS {
        let what = format!("from {first} to {last} is more than {MOST_DAYS} days");
        let hint = "take a week to three months, such as the time since the last visit";
        return Err(Problem::new(what).hint(hint));
    }
    Ok((from, to))
}

/// Gathers what is on record for a child from one day to another.
pub fn visit_facts(
    book: &Book,
    pantry: &Pantry,
    child: &Child,
    span: (Date, Date),
) -> Result<VisitFacts, BookError> {
    let store = book.store()?;
    let kept = eaten_week(&store, pantry, child, span)?;
    let eaten = store.eaten(&child.name, span.0, span.1)?;
    Ok(VisitFacts {
        questions: questions(&store, child, span)?,
        measurements: store.measurements(&child.name, span.1)?,
        doses: store.doses(&child.name, span)?,
        textures: store.textures(&child.name, span.1)?,
        notes: notes(&store, child, span)?,
        not_known: not_known(&store, child, span)?,
        milk_densities: milk_densities(&kept, pantry)?,
        tastes: store.tastes(&child.name, span.1)?,
        milk_recorded: milk_recorded(&store, child, span)?,
        datasets: datasets(&kept, &eaten, &store, pantry)?,
        kept,
        eaten,
    })
}

/// The questions of these days, and every other that has no answer yet, of any day: none is
/// dropped.
fn questions(
    store: &Store,
    child: &Child,
    (from, to): (Date, Date),
) -> Result<Vec<Question>, BookError> {
    let mut questions = store.questions(&child.name, Date::MIN, Date::MAX)?;
    questions.retain(|question| (from..=to).contains(&question.day) || question.answers.is_empty());
    Ok(questions)
}

/// Whether the record itself has entries of milk.
fn milk_recorded(store: &Store, child: &Child, span: (Date, Date)) -> Result<bool, BookError> {
    let days = store.milk_days(child, span, &BreastMilk::builtin()?, None)?;
    Ok(days.iter().any(|day| day.milk.is_some()))
}

/// The datasets of the foods that were eaten: those recorded with each batch, and those in use.
fn datasets(
    kept: &KeptWeek,
    eaten: &[Eaten],
    store: &Store,
    pantry: &Pantry,
) -> Result<Vec<String>, BookError> {
    let used: BTreeSet<i64> = eaten
        .iter()
        .flat_map(|meal| meal.cubes.iter().map(|(batch, _)| *batch))
        .collect();
    let mut named = store.datasets_of(&used)?;
    let ids: Vec<FoodId> = kept.week.names.keys().cloned().collect();
    let foods = pantry.foods(&ids)?;
    named.extend(foods.into_iter().flatten().map(|food| {
        // The path of a file of labels concerns only the household.
        let own = food.id.as_str().starts_with("own-");
        if own { OWN_FOODS.into() } else { food.source }
    }));
    Ok(named.into_iter().filter(|name| !name.is_empty()).collect())
}

/// The days whose meals were marked as not known.
fn not_known(
    store: &Store,
    child: &Child,
    span: (Date, Date),
) -> Result<BTreeSet<Date>, BookError> {
    let notes = store.notes(&child.name, span)?.into_iter();
    let gaps = notes.filter(|note| note.topic == GAP_TOPIC);
    Ok(gaps.map(|note| note.day).collect())
}

/// The density in g/ml of each milk other than breast milk.
fn milk_densities(kept: &KeptWeek, pantry: &Pantry) -> Result<BTreeMap<FoodId, f64>, BookError> {
    let milks = kept.days.iter().flat_map(|day| day.milk.iter().flatten());
    let foods = milks.filter(|milk| !milk.breast);
    let foods = foods.filter_map(|milk| milk.serving.foods.first());
    let ids: BTreeSet<FoodId> = foods.map(|food| food.id.clone()).collect();
    let ids: Vec<FoodId> = ids.into_iter().collect();
    let found = pantry.foods(&ids)?.into_iter().flatten();
    let densities = found.filter_map(|food| {
        let (_, density) = food.measures.iter().find_map(volume_measure)?;
        Some((food.id.clone(), density))
    });
    Ok(densities.collect())
}

/// The notes of some days, without those that a day is not known, which the days without entries
/// show.
fn notes(store: &Store, child: &Child, span: (Date, Date)) -> Result<Vec<Note>, BookError> {
    let mut notes = store.notes(&child.name, span)?;
    notes.retain(|note| note.topic != GAP_TOPIC);
    Ok(notes)
}
