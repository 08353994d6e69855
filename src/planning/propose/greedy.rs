//! A plan without a solver: day by day, what spoils first, then whatever improves it most. It keeps every rule, and claims
//! nothing more. The solver starts from it, and it stands in where the solver has no answer.

use std::collections::BTreeMap;

use super::draft::Draft;
use super::scale::Scale;
use super::score::Score;
use crate::planning::frame::Frame;

/// Rounds of improvement at most.
const ROUNDS: usize = 6;

/// A plan that keeps every rule; `None` where this way finds none, which does not mean that there is none.
pub(super) fn plan(frame: &Frame<'_>, scale: &Scale) -> Option<Draft> {
    let mut draft = Draft::empty(frame);
    let days = frame.request.days.len();
    for day in 0..days {
        // Who has the fewest to choose from comes first.
        let mut children: Vec<usize> = (0..frame.cells.len()).collect();
        children.sort_by_key(|child| frame.cells[*child][day].open.len());
        for child in children {
            fill(frame, &mut draft, child, day)?;
        }
    }
    improve(frame, scale, &mut draft);
    Some(draft)
}

/// Fills one day of a child with the fewest cubes that its meals may have.
fn fill(frame: &Frame<'_>, draft: &mut Draft, child: usize, day: usize) -> Option<()> {
    let cell = &frame.cells[child][day];
    let wanted = cell.count() * cell.least;
    let mut order = cell.open.clone();
    order.sort_by_key(|one| {
        (
            frame.candidates[*one].cooked(),
            frame.candidates[*one].use_by,
        )
    });
    // Foods that are known first; then one that is new, if it must be.
    for may_be_new in [false, true] {
        for index in &order {
            let missing = wanted.saturating_sub(draft.total(child, day));
            let room = draft.distinct(child, day) < cell.kinds();
            if missing == 0 || !room || draft.day(child, day)[*index] > 0 {
                continue;
            }
            let allowed = may_taste(frame, draft, (child, day), *index, may_be_new);
            // The last kind that the day has room for must fill it.
            let last_kind = draft.distinct(child, day) + 1 == cell.kinds();
            let there = available(frame, draft, *index, missing);
            if allowed
                && there > 0
                && (!last_kind
                    || there >= missing
                    || !better_exists(frame, draft, (child, day), (&order, missing), may_be_new))
            {
                cook(frame, draft, *index, there.min(missing));
                draft.day_mut(child, day)[*index] += there.min(missing);
            }
        }
    }
    (draft.total(child, day) >= wanted).then_some(())
}

/// Whether another candidate could fill all that is missing.
fn better_exists(
    frame: &Frame<'_>,
    draft: &Draft,
    (child, day): (usize, usize),
    (order, missing): (&[usize], u32),
    may_be_new: bool,
) -> bool {
    order.iter().any(|one| {
        let unused = draft.day(child, day)[*one] == 0;
        unused
            && may_taste(frame, draft, (child, day), *one, may_be_new)
            && available(frame, draft, *one, missing) >= missing
    })
}

/// Cubes that are left, with trays that can still be cooked.
fn available(frame: &Frame<'_>, draft: &Draft, index: usize, wanted: u32) -> u32 {
    let candidate = &frame.candidates[index];
    let left = draft.left(frame, index);
    if !candidate.cooked() || left >= wanted {
        return left;
    }
    let trays = (candidate.most_trays - draft.trays[index]).min(trays_free(frame, draft, index));
    left + trays * candidate.cubes
}

/// Trays that can still be filled on a candidate's cook day.
fn trays_free(frame: &Frame<'_>, draft: &Draft, index: usize) -> u32 {
    let day = |one: usize| match frame.candidates[one].origin {
        crate::planning::Origin::Cooking { day, .. } => Some(day),
        crate::planning::Origin::Batch(_) => None,
    };
    let Some(most) = frame.request.trays_a_day else {
        return u32::MAX;
    };
    let same_day = (0..frame.candidates.len()).filter(|one| day(*one) == day(index));
    most.saturating_sub(same_day.map(|one| draft.trays[one]).sum())
}

/// Cooks trays until so many cubes are there.
fn cook(frame: &Frame<'_>, draft: &mut Draft, index: usize, cubes: u32) {
    while frame.candidates[index].cooked() && draft.left(frame, index) < cubes {
        draft.trays[index] += 1;
    }
}

/// Whether a child may be given a candidate on a day, from what it tastes before and after.
fn may_taste(
    frame: &Frame<'_>,
    draft: &Draft,
    (child, day): (usize, usize),
    index: usize,
    may_be_new: bool,
) -> bool {
    let foods = &frame.new_foods[child];
    let mut firsts: BTreeMap<usize, usize> = BTreeMap::new();
    for (number, food) in foods.iter().enumerate() {
        let served = |day: &usize| {
            food.within
                .iter()
                .any(|one| draft.day(child, *day)[*one] > 0)
        };
        let first = food
            .settled
            .or_else(|| (0..frame.cells[child].len()).find(served));
        firsts.extend(first.map(|first| (number, first)));
    }
    let unknown: Vec<usize> = (0..foods.len())
        .filter(|number| {
            foods[*number].within.contains(&index)
                && firsts.get(number).is_none_or(|first| *first > day)
        })
        .collect();
    match unknown.as_slice() {
        [] => true,
        [new] => {
            let waited = firsts
                .iter()
                .all(|(other, first)| other == new || first.abs_diff(day) >= frame.waiting());
            may_be_new && foods[*new].settled.is_none() && foods[*new].days.contains(&day) && waited
        }
        _ => false,
    }
}

/// Adds and exchanges cubes as long as that makes the plan better.
fn improve(frame: &Frame<'_>, scale: &Scale, draft: &mut Draft) {
    let mut best = Score::of(frame, scale, draft).objective();
    for _ in 0..ROUNDS {
        let before = best;
        let slots: Vec<(usize, usize)> =
            frame.slots().map(|(child, day, _)| (child, day)).collect();
        for slot in slots {
            while let Some((better, objective)) = best_change(frame, scale, draft, slot, best) {
                *draft = better;
                best = objective;
            }
        }
        if best == before {
            break;
        }
    }
}

/// The best single change of a day, if one is better: a cube more, or a cube in place of another.
fn best_change(
    frame: &Frame<'_>,
    scale: &Scale,
    draft: &Draft,
    slot: (usize, usize),
    best: i64,
) -> Option<(Draft, i64)> {
    let (child, day) = slot;
    let cell = &frame.cells[child][day];
    let given: Vec<usize> = cell
        .open
        .iter()
        .copied()
        .filter(|one| draft.day(child, day)[*one] > 0)
        .collect();
    let mut found: Option<(Draft, i64)> = None;
    for add in cell
        .open
        .iter()
        .copied()
        .filter(|add| draft.left(frame, *add) > 0)
    {
        for take in std::iter::once(None).chain(given.iter().copied().map(Some)) {
            if take == Some(add) {
                continue;
            }
            let mut next = draft.clone();
            if let Some(take) = take {
                // A first taste that is taken away may leave later meals with a food that is not known.
                let introduces = frame.new_foods[child]
                    .iter()
                    .any(|food| food.within.contains(&take));
                if introduces {
                    continue;
                }
                next.day_mut(child, day)[take] -= 1;
            }
            if !may_taste(frame, &next, slot, add, false) {
                continue;
            }
            next.day_mut(child, day)[add] += 1;
            let fits = next.total(child, day) <= cell.count() * cell.most
                && next.distinct(child, day) <= cell.kinds();
            let objective = Score::of(frame, scale, &next).objective();
            if fits && objective < found.as_ref().map_or(best, |(_, least)| *least) {
                found = Some((next, objective));
            }
        }
    }
    found
}
