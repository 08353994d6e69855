//! A planned meal of today, with the objections to it and the fields to tick it off.

use jiff::civil::Date;

use super::phrases::{self, Went};
use crate::household::{self, TypedServings, planned_meal};
use crate::notebook::{Feeding, Slot};
use crate::planning::agenda::{AgendaMeal, Outcome};
use crate::planning::facts::Facts;
use crate::report::{part_in_words, planned_list};
use crate::spoken::Lookup as _;
use crate::web::wording::in_words;
use crate::web::{Fields, PageError, PageRequest, PageResult, ShownObjections};

/// A planned meal of today.
pub(super) struct Planned {
    pub(super) child: String,
    pub(super) meal: String,
    pub(super) on: Date,
    /// The suffix of the ids of its fields; empty for the form with mistakes, to whose fields the
    /// summary links.
    pub(super) tail: String,
    pub(super) parts: Vec<String>,
    /// The objections to it, while it is open.
    pub(super) shown: ShownObjections,
    /// The outcome; empty while it is open.
    pub(super) became: &'static str,
    /// The plan at the time the page was shown.
    pub(super) planned: String,
    pub(super) seen: String,
}

/// The objections and warnings before a planned meal is recorded.
fn before(request: &PageRequest<'_>, slot: &Slot) -> PageResult<ShownObjections> {
    let store = request.record()?;
    let servings = match planned_meal(store, request, slot) {
        Err(PageError::Problems(problems)) => {
            let words: Vec<String> = problems.iter().map(in_words).collect();
            return Ok(ShownObjections::sentence(words.join(" ")));
        }
        servings => servings?.unwrap_or_default(),
    };
    let child = request.book.settings.child(Some(&slot.child))?;
    let feeding = feeding(slot, &servings, (Went::ALL, ""));
    let pantry = request.foods()?;
    let before = household::before_serving(&request.book, store, &pantry, child, &feeding)?;
    Ok(ShownObjections::of(&before.objections, &before.warnings))
}

/// A planned meal as it went, and what was seen afterwards.
pub(super) fn feeding<'a>(
    slot: &'a Slot,
    servings: &'a TypedServings,
    (went, seen): (Went, &'a str),
) -> Feeding<'a> {
    Feeding {
        day: slot.day,
        child: &slot.child,
        meal: &slot.meal,
        picks: &servings.picks,
        foods: &servings.foods,
        how: went.how,
        share: went.share,
        reaction: seen,
    }
}

impl Planned {
    /// A meal of the plan; `again` is the form that has mistakes.
    pub(super) fn of(
        request: &PageRequest<'_>,
        facts: &Facts<'_>,
        (at, meal): (usize, &AgendaMeal),
        again: Option<(&Slot, &Fields)>,
    ) -> PageResult<Self> {
        let slot = &meal.slot;
        let fields = again.filter(|(again, _)| *again == slot);
        let fields = fields.map(|(_, fields)| fields);
        let parts = meal.parts.iter();
        Ok(Self {
            child: slot.child.clone(),
            meal: slot.meal.clone(),
            on: slot.day,
            tail: fields.map_or_else(|| format!("-{at}"), |_| String::new()),
            parts: parts.map(|part| part_in_words(facts, part)).collect(),
            shown: match meal.outcome {
                Outcome::Open => before(request, slot)?,
                _ => ShownObjections::default(),
            },
            became: phrases::became(meal.outcome),
            planned: planned_list(facts, facts.plan.meals.get(slot)),
            seen: fields.map_or("", |fields| fields.text("seen")).to_string(),
        })
    }
}
