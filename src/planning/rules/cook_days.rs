//! Cooking on cook days, in whole trays.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::{Broken, Rule};
use crate::planning::{Cooking, Plan, Request};

pub(super) fn cook_days(request: &Request, plan: &Plan) -> Vec<Broken> {
    let mut found = Vec::new();
    let mut trays: BTreeMap<(Date, usize), u32> = BTreeMap::new();
    for Cooking {
        day,
        recipe,
        trays: more,
    } in &plan.cookings
    {
        *trays.entry((*day, *recipe)).or_default() += more;
    }
    let mut by_day: BTreeMap<Date, u32> = BTreeMap::new();
    for ((day, recipe), trays) in trays {
        *by_day.entry(day).or_default() += trays;
        let Some(recipe) = request.recipes.get(recipe) else {
            continue;
        };
        let mut report = |words| found.push(Broken::new(Rule::CookDays, Some(day), None, words));
        if !recipe.cook_days.contains(&day) {
            report(format!(
                "{} is not a day to cook {}",
                request.day_name(day),
                recipe.title
            ));
        }
        if trays > recipe.most_trays {
            report(format!(
                "{trays} trays of {}, where one cooking fills {}",
                recipe.title, recipe.most_trays
            ));
        }
    }
    for (day, trays) in by_day {
        if request.trays_a_day.is_some_and(|most| trays > most) {
            let words = format!(
                "{trays} trays to fill, where there are {}",
                request.trays_a_day.unwrap_or_default()
            );
            found.push(Broken::new(Rule::CookDays, Some(day), None, words));
        }
    }
    found
}
