//! The form for one meal of the plan.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use askama::Template;
use jiff::civil::Date;

use super::{HERE, near, planned};
use crate::household::{BookJudge, PlanValidation, calculated};
use crate::notebook::{Plan, PlannedServing, Slot};
use crate::report::spoken_day;
use crate::spoken::Lookup as _;
use crate::web::rooms::bowl::{self, RECIPE, ServingRow};
use crate::web::rooms::cook::{Pot, food};
use crate::web::rooms::stops;
use crate::web::{Fields, Layout, PageAnswer, PageRequest, PageResult, Reply, Wrong};

#[derive(Template)]
#[template(path = "web/week-meal.html")]
struct MealPage {
    layout: Layout,
    slot: Slot,
    when: String,
    rows: Vec<ServingRow>,
    other: String,
    wrong: Wrong,
}

/// Shows the form: as the address fills it in, else as the meal is planned.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let store = request.record()?;
    let query = &request.address.query;
    let slot = slot(request, query)?;
    if query.value("other").is_some() || query.beginning(RECIPE).next().is_some() {
        return Reply::page(&refilled(request, slot, query, Wrong::default())?);
    }
    let planned = store.planned(slot.day, slot.day)?.meals.remove(&slot);
    let (counted, other) = counted(request, slot.day, planned.unwrap_or_default())?;
    let rows = rows(request, &slot, &|name| {
        counted.get(name).copied().unwrap_or(0).to_string()
    })?;
    Reply::page(&filled(request, slot, rows, other, Wrong::default()))
}

/// Records what the meal is to be.
pub(super) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let slot = slot(request, fields)?;
    let mut wrong = Wrong::default();
    let parts = parts(request, fields, &mut wrong)?;
    if wrong.is_empty() {
        let mut plan = Plan::default();
        plan.meals.insert(slot.clone(), parts);
        if let Some(done) = planned(request, &plan, slot.day, (fields, "/week/meal"), &mut wrong)? {
            return Ok(done);
        }
    }
    Reply::wrong(&refilled(request, slot, fields, wrong)?)
}

/// The form as it is filled in by fields.
fn refilled(
    request: &PageRequest<'_>,
    slot: Slot,
    fields: &Fields,
    wrong: Wrong,
) -> PageResult<MealPage> {
    let rows = rows(request, &slot, &|name| {
        bowl::cubes(&format!("{RECIPE}{name}"), fields)
    })?;
    let other = fields.text("other").to_string();
    Ok(filled(request, slot, rows, other, wrong))
}

/// The servings in the fields; none where the form empties the meal.
fn parts(
    request: &PageRequest<'_>,
    fields: &Fields,
    wrong: &mut Wrong,
) -> PageResult<Vec<PlannedServing>> {
    let store = request.record()?;
    if fields.text("do") == "empty" {
        return Ok(Vec::new());
    }
    let typed = bowl::typed(request, fields, wrong)?;
    let parts = typed.planned();
    let rules = PlanValidation::of(&request.book, store)?;
    if parts.is_empty() && wrong.is_empty() {
        wrong.say("cubes", "Say what is planned, or choose to plan nothing.");
    } else if let Err(problems) = rules.admit(&request.book, &parts) {
        wrong.problems("cubes", &problems);
    }
    Ok(parts)
}

/// The meal that a form or an address is about.
fn slot(request: &PageRequest<'_>, fields: &Fields) -> PageResult<Slot> {
    let store = request.record()?;
    let on = near(request, fields, "on")?;
    let rules = PlanValidation::of(&request.book, store)?;
    let validation = rules.validation(&request.book);
    Ok(validation.slot(on, Some(fields.text("child")), fields.text("meal"))?)
}

/// A dish that may be planned.
struct DishOption {
    title: String,
    /// Cubes left that can be eaten on the day.
    left: u32,
    /// Cubes past their last day on it.
    past: u32,
    /// The batches in the freezer.
    batches: Vec<i64>,
}

impl DishOption {
    fn new(title: String) -> Self {
        Self {
            title,
            left: 0,
            past: 0,
            batches: Vec::new(),
        }
    }

    fn about(&self) -> String {
        match (self.left, self.past) {
            (0, 0) => "to be cooked".to_string(),
            (left, 0) => format!("{left} left"),
            (0, past) => format!("to be cooked; {past} past their day"),
            (left, past) => format!("{left} left; {past} more past their day"),
        }
    }
}

/// The dishes of the book and of the freezer, by the names of their recipes.
fn dishes(request: &PageRequest<'_>, on: Date) -> PageResult<BTreeMap<String, DishOption>> {
    let store = request.record()?;
    let mut dishes = BTreeMap::new();
    for stock in store.stock()? {
        let title = stock.batch.title;
        let dish = dishes.entry(stock.batch.name);
        let dish = dish.or_insert_with(|| DishOption::new(title));
        dish.batches.push(stock.batch.id);
        if stock.batch.use_by >= on {
            dish.left += stock.left;
        } else {
            dish.past += stock.left;
        }
    }
    for name in request.book.recipe_names()? {
        if let Entry::Vacant(vacant) = dishes.entry(name) {
            let title = request.book.recipe(vacant.key())?.title;
            vacant.insert(DishOption::new(title));
        }
    }
    Ok(dishes)
}

/// The marks of the dishes that are stopped for the child of a meal, by their names: by a batch in
/// the freezer, else by the recipe as it would be cooked.
fn dish_stops(
    request: &PageRequest<'_>,
    slot: &Slot,
    dishes: &BTreeMap<String, DishOption>,
) -> PageResult<BTreeMap<String, String>> {
    let store = request.record()?;
    let child = Some(request.book.settings.child(Some(&slot.child))?);
    let of_freezer = stops::of_freezer(request, slot.day, child)?;
    let (Some((tray, target)), Ok(pantry)) = (Pot::usual(request), request.foods()) else {
        return Ok(BTreeMap::new());
    };
    let judge = BookJudge::new(&request.book.settings, Some(store), &pantry)?;
    let mut marks = BTreeMap::new();
    for (name, dish) in dishes {
        let mut batches = dish.batches.iter().filter_map(|id| of_freezer.get(id));
        let stop = match batches.find(|stop| !stop.is_empty()) {
            Some(stop) => stop.clone(),
            None if dish.batches.is_empty() => {
                let recipe = request.book.recipe(name)?;
                // A recipe that cannot be calculated is reported when it is planned.
                match calculated(&recipe, &target, &tray, &pantry) {
                    Ok(batch) => {
                        stops::of_batch(request, &judge, (&batch, &tray), (slot.day, child))?
                    }
                    Err(_) => String::new(),
                }
            }
            None => String::new(),
        };
        marks.insert(name.clone(), stop);
    }
    Ok(marks)
}

/// The rows of the form; `cubes` gives the text of each field.
fn rows(
    request: &PageRequest<'_>,
    slot: &Slot,
    cubes: &dyn Fn(&str) -> String,
) -> PageResult<Vec<ServingRow>> {
    let dishes = dishes(request, slot.day)?;
    let mut marks = dish_stops(request, slot, &dishes)?;
    let row = |(name, dish): (String, DishOption)| {
        let row = ServingRow {
            cubes: cubes(&name),
            stop: marks.remove(&name).unwrap_or_default(),
            about: dish.about(),
            title: dish.title,
            name: format!("{RECIPE}{name}"),
        };
        (dish.left == 0, row)
    };
    let mut rows: Vec<(bool, ServingRow)> = dishes.into_iter().map(row).collect();
    // Dishes in the freezer come first.
    rows.sort_by_key(|(lacking, _)| *lacking);
    Ok(rows.into_iter().map(|(_, row)| row).collect())
}

/// The servings that are planned already: cubes of recipes that have a field, and the rest as text.
fn counted(
    request: &PageRequest<'_>,
    on: Date,
    planned: Vec<PlannedServing>,
) -> PageResult<(BTreeMap<String, u32>, String)> {
    let recipes = dishes(request, on)?;
    let mut counted = BTreeMap::new();
    let mut words = Vec::new();
    for serving in planned {
        match serving {
            PlannedServing::Cubes(pick)
                if recipes.contains_key(&pick.name) && pick.cubes.halved() == 0 =>
            {
                counted.insert(pick.name, pick.cubes.taken());
            }
            PlannedServing::Cubes(pick) => words.push(format!("{} {}", pick.cubes, pick.name)),
            PlannedServing::Food(planned) => {
                let (id, mass) = (&planned.id, planned.mass);
                words.push(match food(&request.foods()?, id.as_str())? {
                    Some(food) => bowl::in_a_field(request, (&food, mass), &planned.typed)?,
                    None => format!("{} g {id}", mass.grams()),
                });
            }
        }
    }
    Ok((counted, words.join(", ")))
}

fn filled(
    request: &PageRequest<'_>,
    slot: Slot,
    rows: Vec<ServingRow>,
    other: String,
    wrong: Wrong,
) -> MealPage {
    let when = spoken_day(slot.day);
    MealPage {
        layout: Layout::of(request, format!("Plan {}, {when}", slot.meal), HERE),
        slot,
        when,
        rows,
        other,
        wrong,
    }
}
