//! Meals that stay empty, why, and what would fill them.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::proposal::Gap;
use crate::nutrition::DietGroup;
use crate::planning::indexed_request::{Dish, IndexedRequest, holds_dish};
use crate::planning::request::{foods_of, iron_of};
use crate::planning::rules::table::DISH_A_WEEK;
use crate::planning::{Cookable, FixedMeal, Request, Schedule};
use crate::words::joined;

/// The gaps: meals that were to be filled and are empty.
pub(super) fn gaps(index: &IndexedRequest<'_>, plan: &Schedule) -> Vec<Gap> {
    let mut found = Vec::new();
    for child in 0..index.days.len() {
        let empty = empty_meals(index, plan, child);
        if empty.is_empty() {
            continue;
        }
        let mut advice = Advice::new(index, child, plan);
        for (day, meal) in empty {
            let date = index.request.days[day];
            found.push(Gap {
                day: date,
                child,
                meal,
                why: why(index, plan, (child, day)),
                close: advice.next(date),
            });
        }
    }
    found.sort_by_key(|gap| (gap.day, gap.child));
    found
}

fn empty_meals(index: &IndexedRequest<'_>, plan: &Schedule, child: usize) -> Vec<(usize, String)> {
    let mut empty = Vec::new();
    for (day, of) in index.days[child].iter().enumerate() {
        for place in &of.meals {
            let name = &index.request.children[child].meals[*place];
            let of_it = (child, index.request.days[day], name);
            let mut meals = plan.meals.iter();
            if !meals.any(|one| (one.child, one.day, &one.meal) == of_it) {
                empty.push((day, name.clone()));
            }
        }
    }
    empty
}

/// Whether cubes are lacking, or only a dish that may come once more.
fn why(index: &IndexedRequest<'_>, plan: &Schedule, (child, day): (usize, usize)) -> String {
    let name = &index.request.children[child].name;
    let taken = |lot: usize| -> u32 {
        let parts = plan.meals.iter().flat_map(|meal| &meal.parts);
        let of_lot = parts.filter(|part| part.origin == index.lots[lot].origin);
        of_lot.map(|part| part.cubes).sum()
    };
    let of = &index.days[child][day];
    let is_left = |dish: &&usize| {
        let lots = index.lots_on(**dish, day);
        let cooked = lots.filter(|lot| index.lots[*lot].trays.is_none());
        let left: u32 = cooked
            .map(|lot| index.lots[lot].cubes.saturating_sub(taken(lot)))
            .sum();
        left >= *of.cubes.start()
    };
    let left = of.dishes.iter().filter(is_left);
    let left: Vec<_> = left.map(|dish| &index.dishes[*dish]).collect();
    if left.is_empty() {
        return if index.lots.iter().all(|lot| lot.cubes == 0) {
            format!("no cubes are left for {name}")
        } else {
            format!("no cubes are left that {name} may have")
        };
    }
    let known = &index.request.children[child].known;
    let titles = |dishes: &[&Dish<'_>]| joined(dishes.iter().map(|dish| dish.title), " and ");
    let (new, often): (Vec<&Dish<'_>>, Vec<_>) = left
        .iter()
        .partition(|dish| dish.foods.iter().any(|food| !known.contains(*food)));
    let (is, has) = match left.len() {
        1 => ("is", "has"),
        _ => ("are", "have"),
    };
    let all = format!("only {} {is} left", titles(&left));
    let waits = format!(
        "foods new to {name}, which come one at a time, days apart (what {name} knows can be written down as known)"
    );
    if new.is_empty() {
        return format!("{all} for {name}, which {has} come often enough");
    }
    if often.is_empty() {
        return format!("{all}, with {waits}");
    }
    let have = if often.len() == 1 { "has" } else { "have" };
    format!(
        "{all}: {} {have} come often enough, and in {} there are {waits}",
        titles(&often),
        titles(&new)
    )
}

/// Advice on what to cook for a child's gaps: known foods, protein first, then iron, each recipe for as many meals as
/// a week should have.
struct Advice<'a> {
    recipes: Vec<&'a Cookable>,
    first: Option<Date>,
    name: &'a str,
    /// Gaps so far that cooking can fill, and the day to cook for the last of them.
    closed: usize,
    cook_by: Option<Date>,
}

impl<'a> Advice<'a> {
    fn new(index: &IndexedRequest<'a>, child: usize, plan: &Schedule) -> Self {
        let request = index.request;
        let eater = &request.children[child];
        let may = |one: &&Cookable| {
            let mut foods = foods_of(&one.cube).into_iter();
            let known = foods.all(|food| eater.known.contains(food));
            known && !one.barred.contains_key(&child) && !spent(request, plan, child, one)
        };
        let mut recipes: Vec<&Cookable> = request.recipes.iter().filter(may).collect();
        let protein = |one: &Cookable| {
            let groups: BTreeSet<DietGroup> = request.groups_of(&one.cube);
            groups.contains(&DietGroup::Flesh) || groups.contains(&DietGroup::Eggs)
        };
        recipes.sort_by(|a, b| {
            let iron = iron_of(&b.cube).total_cmp(&iron_of(&a.cube));
            protein(b).cmp(&protein(a)).then(iron)
        });
        Self {
            recipes,
            first: request.days.first().copied(),
            name: &eater.name,
            closed: 0,
            cook_by: None,
        }
    }

    /// The recipe or food that would fill one more gap.
    fn next(&mut self, day: Date) -> String {
        let yesterday = day.yesterday().ok();
        let Some(yesterday) = yesterday.filter(|one| Some(*one) >= self.first) else {
            return "plan food from the table, for nothing can be cooked and frozen in time".into();
        };
        let a_week = DISH_A_WEEK as usize;
        if self.closed.is_multiple_of(a_week) {
            self.cook_by = Some(yesterday);
        }
        let recipe = self.recipes.get(self.closed / a_week);
        self.closed += 1;
        let by = self.cook_by.unwrap_or(yesterday).strftime("%a %-d %b");
        match recipe {
            Some(recipe) => format!("cook a tray of {} by {by}", recipe.title),
            None => format!("cook something of foods that {} knows by {by}", self.name),
        }
    }
}

/// Whether a recipe comes as often as a week should have it already, or what it holds does.
fn spent(request: &Request, plan: &Schedule, child: usize, recipe: &Cookable) -> bool {
    let meals = plan.meals.iter().filter(|meal| meal.child == child);
    let parts = meals.filter_map(|meal| meal.parts.first());
    let names = parts.clone().map(|part| part.origin.recipe(request));
    let planned = names.filter(|name| *name == recipe.recipe).count();
    let fixed = request.fixed.iter().filter(|meal| meal.child == child);
    let settled = fixed
        .filter(|meal| holds_dish(meal, &recipe.recipe))
        .count();
    let often = planned + settled;
    let limits = request.children[child].limits.iter();
    let mut counted =
        limits.filter(|limit| limit.counts_meals() && limit.amount(&recipe.cube) > 0.0);
    let fixed = request.fixed.iter().filter(|meal| meal.child == child);
    often >= DISH_A_WEEK as usize
        || counted.any(|limit| {
            let cubes = parts.clone().filter_map(|part| part.origin.cube(request));
            let planned: f64 = cubes.map(|cube| limit.amount(cube)).sum();
            let servings = |meal: &FixedMeal| {
                limit.amount_of_meal(meal.parts.iter().map(|part| &part.serving))
            };
            planned + fixed.clone().map(servings).sum::<f64>() >= limit.most
        })
}
