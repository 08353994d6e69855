//! Why there is no plan: which rules contradict, and what would have to change.

use std::collections::BTreeMap;

use super::model::Answer;
use super::proposal::Impossible;
use super::scale::Scale;
use super::search::{Effort, possible};
use crate::planning::Request;
use crate::planning::frame::{Frame, Relaxed};

/// A rule that can be left out to see whether it is what contradicts.
type Without = (&'static str, Relaxed);

/// Explains a request that has no plan.
pub(super) fn explain(request: &Request) -> Impossible {
    let usual = Relaxed::default();
    let without: [Without; 4] = [
        (
            "stock: with more cubes of what is in the freezer there would be a plan",
            Relaxed {
                stock: true,
                ..usual
            },
        ),
        (
            "use-by dates: cubes are past their day when they would be needed",
            Relaxed {
                use_by: true,
                ..usual
            },
        ),
        (
            "new foods: the meals cannot be filled from foods that are known, and the waiting days allow no other yet",
            Relaxed {
                new_foods: true,
                ..usual
            },
        ),
        (
            "reactions: without foods that a reaction is on record for, the meals cannot be filled",
            Relaxed {
                excluded: true,
                ..usual
            },
        ),
    ];
    let mut found = Impossible::default();
    for (words, relaxed) in without {
        if possible(request, relaxed) {
            found.contradictions.push(words.into());
        }
    }
    found.changes.extend(missing_cubes(request));
    found.changes.extend(smaller_meals(request));
    found.changes.extend(fewer_meals(request));
    found.changes.extend(more_trays(request));
    if found.contradictions.is_empty() && found.changes.is_empty() {
        found
            .contradictions
            .push("several rules at once: leaving out any one of them is not enough".into());
    }
    found
}

/// The fewest cubes, of known foods, that would have to be there beside what is, and by when.
fn missing_cubes(request: &Request) -> Vec<String> {
    let frame = Frame::new(request, Relaxed::default());
    let scale = Scale::new(&frame);
    let form = super::formulate::Formulation::new(&frame, &scale);
    let (model, missing) = form.with_missing_cubes(&frame);
    let Answer::Found { values, .. } = model.solve(&BTreeMap::new(), Effort::default().nodes)
    else {
        return Vec::new();
    };
    let mut words = Vec::new();
    for child in 0..request.children.len() {
        let days: Vec<_> = missing
            .iter()
            .filter(|((one, _), variable)| *one == child && values[**variable] > 0.5)
            .collect();
        let cubes: f64 = days
            .iter()
            .map(|(_, variable)| values[**variable].round())
            .sum();
        if let Some(((_, first), _)) = days.first() {
            let name = &request.children[child].name;
            let day = request.day_name(request.days[*first]);
            let plural = if cubes > 1.5 { "cubes" } else { "cube" };
            words.push(format!("{cubes:.0} more {plural} for {name}, of foods that {name} may have, the first of them by {day}{}", cook_hint(request, *first)));
        }
    }
    words
}

/// A cook day in time.
fn cook_hint(request: &Request, day: usize) -> String {
    let mut recipes = request.recipes.iter().filter_map(|recipe| {
        Some((
            recipe,
            recipe
                .cook_days
                .iter()
                .copied()
                .filter(|one| *one <= request.days[day])
                .max()?,
        ))
    });
    let hint = recipes.next().map(|(recipe, day)| {
        format!(
            ", such as a further tray of {} on {}",
            recipe.title,
            request.day_name(day)
        )
    });
    hint.unwrap_or_else(|| ": cook before that day".into())
}

/// Whether smaller meals would do.
fn smaller_meals(request: &Request) -> Option<String> {
    let mut smaller = request.clone();
    for need in smaller
        .children
        .iter_mut()
        .flat_map(|child| &mut child.days)
    {
        need.cubes = 1..=*need.cubes.end();
    }
    let other = smaller != *request && possible(&smaller, Relaxed::default());
    other.then(|| "smaller meals: allow meals of 1 cube".into())
}

/// Whether leaving out a meal that the age does not need would do; on one day, if that is enough.
fn fewer_meals(request: &Request) -> Option<String> {
    let spare = |child: &crate::planning::Eater, day: usize| {
        let least = *child.days[day].meals.start();
        let named = u32::try_from(child.meals.len()).unwrap_or(u32::MAX);
        (least < named.min(*child.days[day].meals.end())).then_some(least)
    };
    for (number, child) in request.children.iter().enumerate() {
        for day in 0..request.days.len() {
            let Some(least) = spare(child, day) else {
                continue;
            };
            let mut fewer = request.clone();
            fewer.children[number].days[day].meals = least..=least;
            if possible(&fewer, Relaxed::default()) {
                let day = request.day_name(request.days[day]);
                return Some(format!(
                    "fewer meals: allow {least} meals on {day} for {}",
                    child.name
                ));
            }
        }
    }
    let mut fewer = request.clone();
    for child in &mut fewer.children {
        for day in 0..request.days.len() {
            if let Some(least) = spare(child, day) {
                child.days[day].meals = least..=least;
            }
        }
    }
    let other = fewer != *request && possible(&fewer, Relaxed::default());
    other.then(|| "fewer meals: allow the fewest that are usual for the age on all days".into())
}

/// Whether more trays on the cook days would do.
fn more_trays(request: &Request) -> Option<String> {
    let mut more = request.clone();
    more.trays_a_day = None;
    for recipe in &mut more.recipes {
        recipe.most_trays += 2;
    }
    (!more.recipes.is_empty() && possible(&more, Relaxed::default()))
        .then(|| "more trays on the cook days".into())
}
