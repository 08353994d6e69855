//! What is settled before a proposal: cooking and meals that are planned already, and meals on record.

use std::collections::BTreeSet;

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::planner::Desk;
use crate::notebook::{BookError, Child, Pick, Plan, PlannedServing, Slot};
use crate::nutrition::Serving;
use crate::planning::{Batch, FixedMeal, FixedPart, Request};
use crate::problem::Problem;

impl Desk<'_> {
    /// A cooking that is planned already is a batch from the next day on.
    pub(super) fn settle_cooking(
        &self,
        plan: &Plan,
        request: &mut Request,
    ) -> Result<(), BookError> {
        for (day, cooking) in &plan.cooking {
            for one in cooking {
                let made = self.cookable(&one.recipe, BTreeSet::new())?;
                let cost = made.tray_cost.and_then(|cost| cost.per(made.cubes_a_tray));
                request.batches.push(Batch {
                    id: 0,
                    recipe: made.recipe,
                    title: made.title,
                    cubes: made.cubes_a_tray * one.trays,
                    from: day.saturating_add(1.day()),
                    use_by: day.saturating_add(i64::from(made.freezer_days).days()),
                    cube: made.cube,
                    groups: made.groups,
                    cost,
                });
            }
        }
        Ok(())
    }

    /// Meals on record stay as they are; their cubes have left the freezer.
    pub(super) fn settle_eaten(
        &self,
        child: &Child,
        index: usize,
        request: &mut Request,
    ) -> Result<(), BookError> {
        let (Some(from), Some(to)) = (request.days.first(), request.days.last()) else {
            return Ok(());
        };
        for one in self.store.eaten(&child.name, *from, *to)? {
            if one.meal.name.is_empty() {
                continue;
            }
            let servings = one.meal.servings.iter();
            let mut parts = Vec::new();
            for serving in servings.map(|serving| serving.times(one.meal.share)) {
                parts.push(self.part(None, serving)?);
            }
            settle(request, (one.day, index, &one.meal.name), parts);
        }
        Ok(())
    }

    /// Meals that are planned stay as they are, and hold their cubes, the oldest first.
    pub(super) fn settle_planned(
        &mut self,
        plan: &Plan,
        children: &[&Child],
        request: &mut Request,
    ) -> Result<(), BookError> {
        let mut left: Vec<u32> = request.batches.iter().map(|batch| batch.cubes).collect();
        for (slot, servings) in &plan.meals {
            let child = children.iter().position(|child| child.name == slot.child);
            let taken = |meal: &FixedMeal| meal.day == slot.day && meal.meal == slot.meal;
            let Some(child) = child.filter(|_| !servings.is_empty()) else {
                continue;
            };
            if request
                .fixed
                .iter()
                .any(|meal| meal.child == child && taken(meal))
            {
                continue;
            }
            let mut parts = Vec::new();
            for serving in servings {
                match serving {
                    PlannedServing::Food(..) => {
                        let serving = self.table.serving(serving)?;
                        parts.push(self.part(None, serving)?);
                    }
                    PlannedServing::Cubes(pick) => {
                        for (batch, cubes) in held(&request.batches, &mut left, slot, pick)? {
                            let of_it = request.batches.get(batch);
                            let serving = of_it.map(|one| one.cube.times(f64::from(cubes)));
                            if let Some(serving) = serving {
                                parts.push(self.part(Some((batch, cubes)), serving)?);
                            }
                        }
                    }
                }
            }
            settle(request, (slot.day, child, &slot.meal), parts);
        }
        Ok(())
    }

    fn part(&self, cubes: Option<(usize, u32)>, serving: Serving) -> Result<FixedPart, BookError> {
        Ok(FixedPart {
            cubes,
            groups: self.groups([&serving])?,
            serving,
        })
    }
}

/// Which batches the cubes of a planned meal come from, the first to be eaten first.
fn held(
    batches: &[Batch],
    left: &mut [u32],
    slot: &Slot,
    pick: &Pick,
) -> Result<Vec<(usize, u32)>, BookError> {
    let meant = |batch: &Batch| pick.name == batch.recipe || pick.name == format!("#{}", batch.id);
    let on_time = |batch: &Batch| (batch.from..=batch.use_by).contains(&slot.day);
    let mut order: Vec<usize> = (0..batches.len()).collect();
    order.sort_by_key(|at| batches.get(*at).map(|batch| batch.use_by));
    let mut wanted = pick.cubes;
    let mut taken = Vec::new();
    for at in order {
        let fits = batches
            .get(at)
            .is_some_and(|one| meant(one) && on_time(one));
        let Some(there) = left.get_mut(at).filter(|_| fits) else {
            continue;
        };
        let cubes = wanted.min(*there);
        if cubes > 0 {
            *there -= cubes;
            wanted -= cubes;
            taken.push((at, cubes));
        }
    }
    if wanted > 0 {
        let what = format!(
            "the plan has {} of `{}` for {} on {}, {}, and {wanted} of them will not be there",
            pick.cubes, pick.name, slot.child, slot.day, slot.meal
        );
        return Err(Problem::new(what)
            .hint("plan that meal anew; see `trayful plan check`")
            .into());
    }
    Ok(taken)
}

/// Adds a settled meal, or more to one that is there.
fn settle(request: &mut Request, (day, child, meal): (Date, usize, &str), parts: Vec<FixedPart>) {
    let same = |one: &&mut FixedMeal| one.day == day && one.child == child && one.meal == meal;
    match request.fixed.iter_mut().find(same) {
        Some(there) => there.parts.extend(parts),
        None => request.fixed.push(FixedMeal {
            day,
            child,
            meal: meal.to_string(),
            parts,
        }),
    }
}
