//! The form for the cooking on a day of the plan.

use std::collections::BTreeMap;

use askama::Template;
use jiff::civil::Date;

use super::{HERE, near, planned};
use crate::household::PlanValidation;
use crate::notebook::{Plan, PlannedCooking, Store};
use crate::report::spoken_day;
use crate::web::rooms::bowl::{self, ServingRow};
use crate::web::{Fields, Layout, PageAnswer, PageRequest, PageResult, Reply, Wrong};

/// The prefix of a field for trays of a recipe, before its name.
const TRAYS: &str = "trays-";

#[derive(Template)]
#[template(path = "web/week-cook.html")]
struct PlanCookingRoom {
    layout: Layout,
    on: Date,
    when: String,
    rows: Vec<ServingRow>,
    wrong: Wrong,
}

/// Shows the form: as the address fills it in, else as it is planned.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let query = &request.address.query;
    let on = near(request, query, "on")?;
    if query.beginning(TRAYS).next().is_some() {
        let trays = |name: &str| trays_in(query, name);
        return Reply::page(&filled(request, on, &trays, Wrong::default())?);
    }
    let planned = already(request.record()?, on)?;
    let trays = |name: &str| planned.get(name).copied().unwrap_or(0).to_string();
    Reply::page(&filled(request, on, &trays, Wrong::default())?)
}

/// Records what is to be cooked.
pub(super) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let on = near(request, fields, "on")?;
    let mut wrong = Wrong::default();
    let cooking = cooking(request, on, fields, &mut wrong)?;
    if wrong.is_empty() {
        let plan = Plan {
            cooking: BTreeMap::from([(on, cooking)]),
            ..Plan::default()
        };
        if let Some(done) = planned(request, &plan, on, (fields, "/week/cook"), &mut wrong)? {
            return Ok(done);
        }
    }
    let trays = |name: &str| trays_in(fields, name);
    Reply::wrong(&filled(request, on, &trays, wrong)?)
}

/// The number of trays of a recipe in the fields, as it is typed.
fn trays_in(fields: &Fields, name: &str) -> String {
    bowl::cubes(&format!("{TRAYS}{name}"), fields)
}

/// The cooking in the fields; none where the form empties the day.
fn cooking(
    request: &PageRequest<'_>,
    on: Date,
    fields: &Fields,
    wrong: &mut Wrong,
) -> PageResult<Vec<PlannedCooking>> {
    let rules = PlanValidation::of(&request.book, request.record()?)?;
    let validation = rules.validation(&request.book);
    if let Err(problem) = validation.cooking_day(on) {
        wrong.problems("cubes", &[problem]);
    }
    if fields.text("do") == "empty" {
        return Ok(Vec::new());
    }
    let mut cooking: Vec<PlannedCooking> = Vec::new();
    for (name, trays) in fields.beginning(TRAYS) {
        if trays.is_empty() || trays == "0" {
            continue;
        }
        let Ok(trays) = trays.parse() else {
            let words = format!("“{trays}” is no number of trays: write a whole number.");
            wrong.say("cubes", words);
            continue;
        };
        let planned = PlannedCooking {
            recipe: name.to_string(),
            trays,
        };
        if let Err(problem) = validation.cooking(&planned) {
            wrong.problems("cubes", &[problem]);
        }
        if !cooking.iter().any(|other| other.recipe == planned.recipe) {
            cooking.push(planned);
        }
    }
    if cooking.is_empty() && wrong.is_empty() {
        wrong.say(
            "cubes",
            "Say what is to be cooked, or choose to cook nothing.",
        );
    }
    Ok(cooking)
}

/// The trays that are planned already.
fn already(store: &Store, on: Date) -> PageResult<BTreeMap<String, u32>> {
    let planned = store.planned(on, on)?.cooking.remove(&on);
    let planned = planned.unwrap_or_default().into_iter();
    Ok(planned
        .map(|cooking| (cooking.recipe, cooking.trays))
        .collect())
}

/// The page: the recipes of the book, and planned ones that the book no longer has.
fn filled(
    request: &PageRequest<'_>,
    on: Date,
    trays: &dyn Fn(&str) -> String,
    wrong: Wrong,
) -> PageResult<PlanCookingRoom> {
    let mut names = request.book.recipe_names()?;
    names.extend(already(request.record()?, on)?.into_keys());
    names.sort();
    names.dedup();
    let row = |name: String| ServingRow {
        stop: String::new(),
        cubes: trays(&name),
        // A file that cannot be read has no title.
        title: request
            .book
            .recipe(&name)
            .map_or_else(|_| name.clone(), |recipe| recipe.title),
        about: String::new(),
        name: format!("{TRAYS}{name}"),
    };
    let when = spoken_day(on);
    Ok(PlanCookingRoom {
        layout: Layout::of(request, format!("Cook on {when}"), HERE),
        rows: names.into_iter().map(row).collect(),
        on,
        when,
        wrong,
    })
}
