//! The planning request gathered from a book.

use std::collections::{BTreeMap, BTreeSet};

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::plan_facts::gathered;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Eaten, Plan, PlannedServing, Store};
use crate::planning::agenda::{Agenda, AgendaMeal, AgendaPart, Outcome};
use crate::planning::facts::{Facts, RecipeFacts, Span};
use crate::planning::supply::{StockLot, StockOrigin, first_day_of_cooked, was_cooked};
use crate::planning::{Cookable, CubeBatch, CubeSize, Eater, FixedMeal, FixedPart, NotOn, Request};
use crate::portion::CubeCount;
use crate::problem::Problem;
use crate::safety::Waiting;
use crate::words;

/// The days before the first one whose meals count in a week.
const DAYS_BEFORE: i64 = 7;
/// The most trays of one recipe that one cooking fills (judgement).
const MOST_TRAYS: u32 = 3;

/// The reason why a dish is barred that the household left out.
const LEFT_OUT: &str = "left out, as you said";

/// The place of each lot among the batches of a request, by its origin and its recipe.
type Lots = BTreeMap<(StockOrigin, String), usize>;

/// The request of the household: days, children, days of cooking.
#[derive(Debug)]
pub struct Wish<'a> {
    /// The day on which the plan is made: meals planned from this day on hold their cubes.
    pub today: Date,
    /// The first day and the last.
    pub days: (Date, Date),
    /// The children.
    pub children: Vec<&'a Child>,
    /// Days on which there is time to cook.
    pub cook_days: BTreeSet<Date>,
    /// The trays that can be filled on a day of cooking; `None` for no limit.
    pub trays_a_day: Option<u32>,
    /// The names of recipes that are left out.
    pub without: BTreeSet<String>,
}

/// Gathers the planning request from a book. Meals that are planned already, or on record, are
/// fixed.
pub(super) fn planning_request(
    book: &Book,
    store: &Store,
    pantry: Pantry,
    wish: &Wish<'_>,
) -> Result<Request, BookError> {
    let (from, to) = wish.days;
    if let Some(child) = wish.children.iter().find(|child| child.born > from) {
        let what = format!("{} is not born yet on {}", child.name, words::day(from));
        let hint = format!(
            "plan from {} on, or name another child",
            words::day(child.born)
        );
        return Err(Problem::new(what).hint(hint).into());
    }
    let today = wish.today.min(from);
    let span = (Span { today, from, to }, Plan::default());
    let facts = gathered(book, store, pantry, span, &book.recipe_names()?)?;
    let children = Children::of(&facts, wish);
    let mut batches = children.batches(&facts);
    let mut recipes = children.recipes(&facts, &wish.cook_days);
    let cooked = children.to_be_cooked(&facts);
    let mut lots = Lots::new();
    for (at, batch) in batches.iter().enumerate() {
        lots.insert((StockOrigin::Batch(batch.id), batch.recipe.clone()), at);
    }
    for (day, batch) in cooked {
        let lot = (StockOrigin::Cooking(day), batch.recipe.clone());
        lots.insert(lot, batches.len());
        batches.push(batch);
    }
    let fixed = children.fixed(&facts, from, &lots);
    children.hold_for_others(&facts, from, &lots, &mut batches);
    hold_for_later(store, to, &fixed, &mut batches)?;
    let dishes = batches
        .iter_mut()
        .map(|batch| (&batch.recipe, &mut batch.barred));
    let to_cook = recipes
        .iter_mut()
        .map(|recipe| (&recipe.recipe, &mut recipe.barred));
    for (recipe, barred) in dishes.chain(to_cook) {
        if wish.without.contains(recipe) {
            barred.extend((0..wish.children.len()).map(|child| (child, LEFT_OUT.to_string())));
        }
    }
    Ok(Request {
        days: children.days.clone(),
        children: children.eaters(&facts),
        fixed,
        recipes,
        batches,
        waiting: Waiting {
            days: book.settings.waiting_days,
            after: book.settings.waiting,
        },
        trays_a_day: wish.trays_a_day,
        groups: facts.groups,
    })
}

/// The children that are planned for, as places among those of the book, and the days.
struct Children {
    places: Vec<usize>,
    days: Vec<Date>,
}

impl Children {
    fn of(facts: &Facts<'_>, wish: &Wish<'_>) -> Self {
        let children = facts.settings.children.iter().enumerate();
        let wished = children.filter(|(_, child)| wish.children.contains(child));
        let (from, to) = wish.days;
        Self {
            places: wished.map(|(at, _)| at).collect(),
            days: from.series(1.day()).take_while(|day| *day <= to).collect(),
        }
    }

    fn eaters(&self, facts: &Facts<'_>) -> Vec<Eater> {
        let eaters = self.places.iter();
        eaters
            .filter_map(|at| facts.eaters.get(*at).cloned())
            .collect()
    }

    /// The children for whom a dish is barred, each with the reason: on every day on which a meal
    /// may be filled, and on some of them.
    fn barred(&self, facts: &Facts<'_>, key: &str) -> (BTreeMap<usize, String>, NotOn) {
        let (mut always, mut on_days) = (BTreeMap::new(), NotOn::new());
        for (at, child) in self.places.iter().enumerate() {
            let days = facts.barred.get(*child).and_then(|all| all.get(key));
            let eater = facts.eaters.get(*child);
            let (Some(days), Some(eater)) = (days, eater) else {
                continue;
            };
            let mut open = self.days.iter().filter(|day| **day >= eater.solids_from);
            let reasons: Vec<(Date, &String)> = open
                .clone()
                .filter_map(|day| Some((*day, days.get(day)?)))
                .collect();
            match reasons.first() {
                Some((_, why)) if open.all(|day| days.contains_key(day)) => {
                    always.insert(at, (*why).clone());
                }
                _ => on_days.extend(
                    reasons
                        .into_iter()
                        .map(|(day, why)| ((at, day), why.clone())),
                ),
            }
        }
        (always, on_days)
    }

    /// The batches in the freezer.
    fn batches(&self, facts: &Facts<'_>) -> Vec<CubeBatch> {
        let batches = facts.stock.iter().filter_map(|stock| {
            let batch = &stock.batch;
            let cube = facts.cubes.get(&batch.id)?.clone();
            let (barred, not_on) = self.barred(facts, &format!("#{}", batch.id));
            Some(CubeBatch {
                id: batch.id,
                recipe: batch.name.clone(),
                title: batch.title.clone(),
                cubes: stock.left,
                from: batch.day,
                use_by: batch.use_by,
                size: CubeSize::of(cube.mass, facts.usual_cube),
                cube,
                barred,
                not_on,
            })
        });
        batches.collect()
    }

    /// Cooking that is planned already, as batches.
    fn to_be_cooked(&self, facts: &Facts<'_>) -> Vec<(Date, CubeBatch)> {
        let days = facts.plan.cooking.range(facts.today..);
        let all = days.flat_map(|(day, cooking)| cooking.iter().map(move |one| (*day, one)));
        let open = all.filter(|(day, one)| !was_cooked(facts, *day, &one.recipe));
        let batches = open.filter_map(|(day, one)| {
            let dish = facts.dishes.get(&one.recipe)?;
            let (barred, not_on) = self.barred(facts, &one.recipe);
            let batch = CubeBatch {
                id: 0,
                recipe: one.recipe.clone(),
                title: dish.title.clone(),
                cubes: dish.cubes_a_tray.saturating_mul(one.trays),
                from: first_day_of_cooked(day),
                use_by: day.saturating_add(i64::from(dish.keeps).days()),
                cube: dish.cube.clone(),
                size: CubeSize::USUAL,
                barred,
                not_on,
            };
            Some((day, batch))
        });
        batches.collect()
    }

    /// The recipes of the book.
    fn recipes(&self, facts: &Facts<'_>, cook_days: &BTreeSet<Date>) -> Vec<Cookable> {
        let dishes = facts.dishes.iter();
        let recipe = |(name, dish): (&String, &RecipeFacts)| {
            let (barred, not_on) = self.barred(facts, name);
            Cookable {
                recipe: name.clone(),
                title: dish.title.clone(),
                cook_days: cook_days.clone(),
                cubes_a_tray: dish.cubes_a_tray,
                most_trays: MOST_TRAYS,
                freezer_days: dish.keeps,
                cube: dish.cube.clone(),
                barred,
                not_on,
            }
        };
        dishes.map(recipe).collect()
    }

    /// Meals on record, of the week before too, and meals that are planned, which hold their cubes.
    fn fixed(&self, facts: &Facts<'_>, from: Date, lots: &Lots) -> Vec<FixedMeal> {
        let earliest = from.saturating_sub(DAYS_BEFORE.days());
        let agenda = Agenda::of(facts);
        let mut fixed: Vec<FixedMeal> = Vec::new();
        for (child, at) in self.places.iter().enumerate() {
            let Some(eater) = facts.eaters.get(*at) else {
                continue;
            };
            let eaten = facts.eaten.get(&eater.name).into_iter().flatten();
            for eaten in eaten.filter(|eaten| eaten.day >= earliest) {
                let had = FixedMeal {
                    day: eaten.day,
                    child,
                    meal: eaten.meal.name.clone(),
                    parts: had(facts, eaten),
                };
                settle(&mut fixed, had);
            }
            let planned = to_come(facts, &agenda);
            let of_child = planned.filter(|meal| meal.slot.child == eater.name);
            for meal in of_child.filter(|meal| meal.slot.day >= earliest) {
                let parts = meal.parts.iter().flat_map(|part| held(facts, part, lots));
                let planned = FixedMeal {
                    day: meal.slot.day,
                    child,
                    meal: meal.slot.meal.clone(),
                    parts: parts.collect(),
                };
                settle(&mut fixed, planned);
            }
        }
        fixed
    }

    /// Takes out of the freezer what is planned for other children, and for days outside the
    /// request.
    fn hold_for_others(
        &self,
        facts: &Facts<'_>,
        from: Date,
        lots: &Lots,
        batches: &mut [CubeBatch],
    ) {
        let earliest = from.saturating_sub(DAYS_BEFORE.days());
        let mine = self.places.iter().filter_map(|at| facts.eaters.get(*at));
        let mine: Vec<&str> = mine.map(|eater| eater.name.as_str()).collect();
        let agenda = Agenda::of(facts);
        let others = to_come(facts, &agenda)
            .filter(|meal| !mine.contains(&meal.slot.child.as_str()) || meal.slot.day < earliest);
        for part in others.flat_map(|meal| &meal.parts) {
            for (at, cubes) in held(facts, part, lots)
                .into_iter()
                .filter_map(|part| part.cubes)
            {
                if let Some(batch) = batches.get_mut(at) {
                    batch.cubes = batch.cubes.saturating_sub(cubes);
                }
            }
        }
    }
}

/// Takes out of the freezer what is planned for later days than those of the request, for any
/// child.
fn hold_for_later(
    store: &Store,
    to: Date,
    fixed: &[FixedMeal],
    batches: &mut [CubeBatch],
) -> Result<(), BookError> {
    let last = batches.iter().map(|batch| batch.use_by).max();
    let Some(last) = last.filter(|last| *last > to) else {
        return Ok(());
    };
    let mut free: Vec<u32> = batches.iter().map(|batch| batch.cubes).collect();
    let held = fixed.iter().flat_map(|meal| &meal.parts);
    for (at, cubes) in held.filter_map(|part| part.cubes) {
        if let Some(free) = free.get_mut(at) {
            *free = free.saturating_sub(cubes);
        }
    }
    let later = store.planned(to.saturating_add(1.day()), last)?;
    for (slot, parts) in &later.meals {
        for part in parts {
            let PlannedServing::Cubes(pick) = part else {
                continue;
            };
            let mut wanted = pick.cubes.taken();
            for (batch, free) in batches.iter_mut().zip(&mut free) {
                let is_it = batch.recipe == pick.name || format!("#{}", batch.id) == pick.name;
                if is_it && batch.use_by >= slot.day {
                    let taken = wanted.min(*free);
                    *free -= taken;
                    batch.cubes -= taken;
                    wanted -= taken;
                }
            }
        }
    }
    Ok(())
}

/// Planned meals without a meal on record yet.
fn to_come<'f>(facts: &'f Facts<'_>, agenda: &'f Agenda) -> impl Iterator<Item = &'f AgendaMeal> {
    let meals = agenda.meals.iter();
    meals.filter(|meal| meal.outcome == Outcome::Open && meal.slot.day >= facts.today)
}

/// The parts of a meal on record; its cubes have left the freezer.
fn had(facts: &Facts<'_>, eaten: &Eaten) -> Vec<FixedPart> {
    let batches = eaten.cubes.iter().map(|(id, _)| facts.batch(*id));
    let names = batches.map(|batch| batch.map(|batch| batch.name.clone()));
    let servings = eaten.meal.servings.iter();
    let parts = servings.zip(names.chain(std::iter::repeat(None)));
    parts
        .map(|(serving, recipe)| FixedPart {
            recipe,
            cubes: None,
            serving: serving.times(eaten.meal.share),
        })
        .collect()
}

/// The fixed parts of a planned dish or food; cubes that are not in the freezer are left out.
fn held(facts: &Facts<'_>, part: &AgendaPart, lots: &Lots) -> Vec<FixedPart> {
    match part {
        AgendaPart::Cubes(_, taken) => {
            let part = |(lot, cubes): &(StockLot, CubeCount)| {
                let at = lots.get(&(lot.origin, lot.name.clone())).copied();
                Some(FixedPart {
                    recipe: Some(lot.name.clone()),
                    cubes: at.map(|at| (at, cubes.taken())),
                    serving: facts.cube_of(lot)?.times(cubes.served()),
                })
            };
            taken.parts.iter().filter_map(part).collect()
        }
        AgendaPart::Food(food) => {
            let part = facts.serving_of(food).map(|serving| FixedPart {
                recipe: None,
                cubes: None,
                serving,
            });
            part.into_iter().collect()
        }
    }
}

/// Adds a fixed meal, or adds its parts to the same meal where that is fixed already.
fn settle(fixed: &mut Vec<FixedMeal>, meal: FixedMeal) {
    let same = |other: &&mut FixedMeal| {
        (other.day, other.child, &other.meal) == (meal.day, meal.child, &meal.meal)
    };
    match fixed.iter_mut().find(same) {
        Some(same) => same.parts.extend(meal.parts),
        None => fixed.push(meal),
    }
}
