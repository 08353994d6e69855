//! What holds a plan back, what spoils all the same, and which figures are lower bounds.

use std::collections::BTreeSet;

use jiff::ToSpan as _;

use super::draft::Draft;
use super::proposal::Spoiled;
use super::term::Term;
use crate::planning::Plan;
use crate::planning::frame::Frame;
use crate::planning::rules::first_tastes;

/// What is at its limit, in words.
pub(super) fn binding(frame: &Frame<'_>, draft: &Draft, plan: &Plan) -> Vec<String> {
    let mut all = used_up(frame, draft);
    for child in 0..frame.request.children.len() {
        all.extend(held_back(frame, plan, child));
        all.extend(shunned(frame, child));
        all.extend(full_meals(frame, draft, child));
    }
    all.extend(full_cook_days(frame, plan));
    all
}

/// Stocks that the plan empties.
fn used_up(frame: &Frame<'_>, draft: &Draft) -> Vec<String> {
    let mut words = Vec::new();
    for (index, candidate) in frame.candidates.iter().enumerate() {
        let there = candidate.cubes * draft.trays[index];
        if !candidate.cooked() && there > 0 && draft.served(index) == there {
            words.push(format!(
                "stock: all {there} cubes of {} are used",
                candidate.title
            ));
        }
    }
    words
}

/// New foods that could have been served, had their turn come.
fn held_back(frame: &Frame<'_>, plan: &Plan, child: usize) -> Vec<String> {
    let request = frame.request;
    let eater = &request.children[child];
    let firsts = first_tastes(request, plan, child);
    let tasted: BTreeSet<_> = firsts.values().flat_map(|foods| foods.keys()).collect();
    let last = eater
        .last_first()
        .into_iter()
        .chain(firsts.keys().copied())
        .max();
    let waiting = i64::from(request.waiting_days.max(1)).days();
    let mut words = Vec::new();
    let there = |index: &usize| {
        frame.candidates[*index].most_cubes() > 0
            && frame.candidates[*index].use_by >= request.days[0]
    };
    for food in &frame.new_foods[child] {
        let wanted = food.within.iter().any(there) && !eater.excluded.contains_key(&food.id);
        if tasted.contains(&food.id) || !wanted {
            continue;
        }
        words.push(match last.map(|last| last.saturating_add(waiting)) {
            Some(free) if free > request.days[0] => format!(
                "waiting days: {} is new to {}, and the next new food may come on {}",
                food.name,
                eater.name,
                request.day_name(free)
            ),
            _ => format!(
                "new foods: {} is new to {}, and no plan with it is better",
                food.name, eater.name
            ),
        });
    }
    words
}

/// Candidates that a reaction keeps off the plate.
fn shunned(frame: &Frame<'_>, child: usize) -> Vec<String> {
    let eater = &frame.request.children[child];
    let mut words = BTreeSet::new();
    for candidate in frame.candidates.iter().filter(|one| one.most_cubes() > 0) {
        if let Some(food) = candidate
            .cube
            .foods
            .iter()
            .find(|food| eater.excluded.contains_key(&food.id))
        {
            words.insert(format!(
                "reaction: {} is not for {}, {} is in it",
                candidate.title, eater.name, food.name
            ));
        }
    }
    words.into_iter().collect()
}

/// Days on which every meal is as large as it may be.
fn full_meals(frame: &Frame<'_>, draft: &Draft, child: usize) -> Option<String> {
    let cells = frame.cells[child]
        .iter()
        .enumerate()
        .filter(|(_, cell)| !cell.meals.is_empty() && cell.least < cell.most);
    let full = cells
        .clone()
        .filter(|(day, cell)| draft.total(child, *day) == cell.count() * cell.most);
    let (full, all) = (full.count(), cells.count());
    let name = &frame.request.children[child].name;
    (full > 0).then(|| {
        format!(
            "cubes a meal: {name}'s meals are as large as the age wants on {full} of {all} days"
        )
    })
}

/// Cook days on which no more trays can be filled.
fn full_cook_days(frame: &Frame<'_>, plan: &Plan) -> Vec<String> {
    let Some(most) = frame.request.trays_a_day else {
        return Vec::new();
    };
    let days: BTreeSet<_> = plan.cookings.iter().map(|one| one.day).collect();
    let trays = |day| {
        plan.cookings
            .iter()
            .filter(|one| one.day == day)
            .map(|one| one.trays)
            .sum::<u32>()
    };
    let full = days.into_iter().filter(|day| trays(*day) == most);
    full.map(|day| {
        format!(
            "cook days: all {most} trays are filled on {}",
            frame.request.day_name(day)
        )
    })
    .collect()
}

/// Cubes that spoil within the plan.
pub(super) fn spoiled(frame: &Frame<'_>, draft: &Draft) -> Vec<Spoiled> {
    let candidates = frame
        .candidates
        .iter()
        .enumerate()
        .filter(|(_, one)| one.expires);
    let left = candidates.map(|(index, one)| Spoiled {
        origin: one.origin,
        title: one.title.into(),
        cubes: draft.left(frame, index),
        use_by: one.use_by,
    });
    left.filter(|one| one.cubes > 0).collect()
}

/// Nutrients of served cubes in which a food lacks a value, and money without a price.
pub(super) fn lower_bounds(frame: &Frame<'_>, draft: &Draft) -> Vec<String> {
    let mut words = Vec::new();
    let served: Vec<_> = (0..frame.candidates.len())
        .filter(|index| draft.served(*index) > 0)
        .map(|index| &frame.candidates[index])
        .collect();
    for (term, nutrient) in Term::ALL
        .iter()
        .filter_map(|term| Some((term, term.nutrient()?)))
    {
        let lacking: BTreeSet<_> = served
            .iter()
            .filter(|one| !one.cube.total(nutrient).complete())
            .map(|one| one.title)
            .collect();
        if !lacking.is_empty() {
            let titles: Vec<_> = lacking.into_iter().collect();
            words.push(format!(
                "{} is a lower bound: a food in {} has no value for it",
                term.name(),
                titles.join(", ")
            ));
        }
    }
    words
}
