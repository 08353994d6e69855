//! Rules on how often a dish is served, and on the size of meals.

use std::collections::BTreeMap;

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::table::{A_CHOICE, DISH_A_DAY, DISH_A_WEEK, IN_A_ROW};
use super::{Broken, MealOfWeek, PlannedWeek, Rule};

/// A dish at more meals of a day, or of seven days, than the table allows. Each meal too many is
/// named.
pub(super) fn too_often(week: &PlannedWeek<'_>, child: usize) -> Vec<Broken> {
    let meals = week.of(child);
    let choice = week.choice.get(child).is_some_and(|many| *many >= A_CHOICE);
    let mut found = Vec::new();
    for meal in meals.iter().filter(|meal| meal.planned) {
        for (dish, title) in &meal.dishes {
            let week_before = meal.day.saturating_sub(6.days());
            let so_far = |from| {
                let until = (meal.day, meal.place);
                let with = meals.iter().filter(|meal| {
                    meal.dishes.contains_key(dish)
                        && meal.day >= from
                        && (meal.day, meal.place) <= until
                });
                with.map(|_| 1_u32).sum::<u32>()
            };
            let (today, seven_days) = (so_far(meal.day), so_far(week_before));
            if today > DISH_A_DAY {
                let words = format!("{title} at {today} meals of one day");
                found.push(meal.broken(Rule::DishADay, words));
            }
            if choice && seven_days > DISH_A_WEEK {
                let words = format!(
                    "{title} at {seven_days} meals of seven days, though there is a choice"
                );
                found.push(meal.broken(Rule::DishAWeek, words));
            }
        }
    }
    found
}

/// A dish at more meals in a row than the table allows. A meal that the day lacks ends a row; a
/// meal that a child of this age does not need, such as a third one in the first month, does not.
pub(super) fn in_a_row(week: &PlannedWeek<'_>, child: usize) -> Vec<Broken> {
    let Some(eater) = week.eaters.get(child) else {
        return Vec::new();
    };
    // Several records of one meal count as one meal.
    let mut meals: BTreeMap<(Date, usize), Vec<&MealOfWeek<'_>>> = BTreeMap::new();
    for meal in week.of(child) {
        meals.entry((meal.day, meal.place)).or_default().push(meal);
    }
    let is_full = |day: Date| {
        let of_day = meals.range((day, 0)..=(day, usize::MAX));
        of_day.count() >= eater.meals_needed(day)
    };
    let follows = |before: (Date, usize), after: (Date, usize)| {
        if before.0 == after.0 {
            return before.1 + 1 == after.1 || is_full(after.0);
        }
        before.0.tomorrow().ok() == Some(after.0)
            && (before.1 + 1 == eater.meals.len() || is_full(before.0))
            && (after.1 == 0 || is_full(after.0))
    };
    let mut rows: BTreeMap<&str, usize> = BTreeMap::new();
    let mut found = Vec::new();
    let mut last: Option<(Date, usize)> = None;
    for (place, servings) in &meals {
        let goes_on = last.is_some_and(|last| follows(last, *place));
        let dishes = servings.iter().flat_map(|meal| &meal.dishes);
        let so_far = dishes.clone().map(|(dish, _)| {
            let before = rows.get(dish).copied().filter(|_| goes_on);
            (*dish, before.unwrap_or(0) + 1)
        });
        rows = so_far.collect();
        let planned = servings.iter().find(|meal| meal.planned);
        let long = rows.iter().find(|(_, meals)| **meals > IN_A_ROW as usize);
        if let (Some((dish, meals)), Some(meal)) = (long, planned) {
            let mut titles = dishes.filter(|(name, _)| *name == dish);
            let title = titles.next().map_or(*dish, |(_, title)| title);
            let words = format!("{title} at {meals} meals in a row");
            found.push(meal.broken(Rule::DishInARow, words));
        }
        last = Some(*place);
    }
    found
}

/// Sums of sizes are held against the most with this much room for rounding.
const ROUNDING: f64 = 1e-6;

/// A meal of more cubes than this child is likely to eat.
pub(super) fn too_large(week: &PlannedWeek<'_>, child: usize) -> Vec<Broken> {
    let Some(eater) = week.eaters.get(child) else {
        return Vec::new();
    };
    let meals = week.of(child).into_iter().filter(|meal| meal.planned);
    let large = meals.filter_map(|meal| {
        let need = eater.days.get(&meal.day)?;
        let family_food = need.age.0 >= 12;
        let rule = if family_food {
            Rule::FamilyFood
        } else {
            Rule::MealSize
        };
        let why = match (family_food, eater.eaten_lately) {
            (true, _) => "beside family food".to_string(),
            (false, Some(_)) => format!("by what {} ate lately", eater.name),
            (false, None) => format!("at {} months", need.age.0),
        };
        // One cube is the least that can be thawed.
        let size = meal.usual_cubes();
        let is_large = size > f64::from(need.most) + ROUNDING && meal.cubes() > 1;
        let of_first_tray = if meal.has_other_cubes() {
            format!(", as much as {size:.1} of the first tray")
        } else {
            String::new()
        };
        let words = || {
            format!(
                "{} cubes{of_first_tray}, where {} at most are usual {why}",
                meal.cubes(),
                need.most
            )
        };
        is_large.then(|| meal.broken(rule, words()))
    });
    large.collect()
}
