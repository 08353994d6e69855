//! The variables and constraints of a child's day: meals, cubes, protein and food groups.

use std::collections::BTreeSet;

use super::super::lacking::PROTEIN;
use super::{Formulation, Terms};
use crate::nutrition::DietGroup;
use crate::planning::Rule;
use crate::planning::indexed_request::{ChildDay, IndexedRequest};
use crate::planning::rules::table::FIRST_ALLERGEN_CUBES;

impl Formulation {
    /// Adds the constraints of a child's day.
    pub(super) fn day(
        &mut self,
        index: &IndexedRequest<'_>,
        (child, day): (usize, usize),
        of: &ChildDay<'_>,
    ) {
        let mut cubes = Terms::new();
        for dish in of.dishes.iter().copied() {
            let room = of.room_for(index.dishes[dish].name);
            if room > 0 {
                self.serve(index, (child, day, dish), room);
                let size = index.dishes[dish].size;
                let of_dish = self.cubes_of(index, (child, day, dish), of).into_iter();
                // A meal is as full as its cubes are large.
                cubes.extend(of_dish.map(|(cubes, _)| (cubes, size.times(1))));
            }
        }
        let all = self.meals_where(child, |at, _| at == day);
        if all.is_empty() {
            return;
        }
        let filled = f64::from(of.count()) * worth_on(index, day);
        *self.model.most.entry(Rule::Meals).or_default() += filled;
        let usual = f64::from(of.count() * of.usual());
        let full = (Rule::FullMeals, Rule::FullMeals.points());
        let full = self.model.part(usual, full);
        self.model.no_more_than(full, &cubes, 0.0);
        self.model.at_most(all, f64::from(of.count()));
        self.one_name(index, (child, day), of);
        self.groups(index, (child, day), of);
    }

    /// Whether a dish is served, and whether a second time, which costs half of what a repetition
    /// costs.
    fn serve(
        &mut self,
        index: &IndexedRequest<'_>,
        (child, day, dish): (usize, usize, usize),
        room: u32,
    ) {
        let worth = worth_on(index, day);
        let served = self.model.whole(1, (Rule::Meals, worth));
        self.served.insert((child, day, dish), served);
        // Cubes that are not cooked yet require a tray.
        let lots: Vec<usize> = index.lots_on(dish, day).collect();
        let trays = lots.iter().filter_map(|lot| self.trays.get(lot));
        let trays: Terms = trays.map(|trays| (*trays, 1.0)).collect();
        if trays.len() == lots.len() {
            self.model.no_more_than(served, &trays, 0.0);
        }
        if room > 1 {
            let again = (Rule::Meals, worth - Rule::Variety.points() / 2.0);
            let twice = self.model.whole(1, again);
            self.model.no_more_than(twice, &[(served, 1.0)], 0.0);
            self.twice.insert((child, day, dish), twice);
        }
    }

    /// The cubes of a dish on a day, within what its meals may have.
    fn cubes_of(
        &mut self,
        index: &IndexedRequest<'_>,
        (child, day, dish): (usize, usize, usize),
        of: &ChildDay<'_>,
    ) -> Terms {
        let room = of.room_for(index.dishes[dish].name);
        let (mut least, mut most) = of.cubes_of(&index.dishes[dish]).into_inner();
        let eater = &index.request.children[child];
        let mut foods = index.dishes[dish].foods.iter();
        if foods.any(|food| eater.not_liked_yet.contains(*food)) {
            // An offer is small.
            most = least;
        }
        if index.may_begin_with(child, day, dish) {
            // A small amount is enough; `new_foods` decides when it may be so small.
            least = FIRST_ALLERGEN_CUBES;
        }
        let mut cubes = Terms::new();
        for lot in index.lots_on(dish, day) {
            let high = index.lots[lot].most_cubes().min(room * most);
            let variable = self.model.count(high);
            self.cubes.insert((child, day, lot), variable);
            cubes.push((variable, 1.0));
            if let Some(tray) = self.trays.get(&lot) {
                let a_tray = f64::from(index.lots[lot].cubes.min(room * most));
                self.model.no_more_than(variable, &[(*tray, a_tray)], 0.0);
            }
        }
        let meals = self.meals_where(child, |on, of| (on, of) == (day, dish));
        let times = |cubes: u32, sign: f64| -> Terms {
            let meals = meals.iter();
            meals
                .map(|(variable, _)| (*variable, sign * f64::from(cubes)))
                .collect()
        };
        let too_many = cubes.iter().copied().chain(times(most, -1.0));
        self.model.at_most(too_many.collect(), 0.0);
        let negative = cubes.iter().map(|(variable, _)| (*variable, -1.0));
        self.model
            .at_most(negative.chain(times(least, 1.0)).collect(), 0.0);
        cubes
    }

    /// A dish of one name comes no more often than a dish may, whatever is in its batches.
    fn one_name(
        &mut self,
        index: &IndexedRequest<'_>,
        (child, day): (usize, usize),
        of: &ChildDay<'_>,
    ) {
        let dishes = of.dishes.iter();
        let names: BTreeSet<&str> = dishes.map(|dish| index.dishes[*dish].name).collect();
        for name in names {
            let meals = self.meals_where(child, |at, dish| {
                at == day && index.dishes[dish].name == name
            });
            let room = f64::from(of.room_for(name));
            if meals.len() as f64 > room {
                self.model.at_most(meals, room);
            }
        }
    }

    fn groups(
        &mut self,
        index: &IndexedRequest<'_>,
        (child, day): (usize, usize),
        of: &ChildDay<'_>,
    ) {
        let settled: BTreeSet<DietGroup> = of
            .settled()
            .flat_map(|serving| index.request.groups_of(serving))
            .collect();
        let with = |this: &Self, groups: &[DietGroup]| {
            this.served_where(child, |at, dish| {
                at == day
                    && groups
                        .iter()
                        .any(|group| index.dishes[dish].groups.contains(group))
            })
        };
        let daily = [
            (Rule::ProteinDaily, &PROTEIN[..]),
            (Rule::FleshOrEggDaily, &PROTEIN[..2]),
        ];
        for (rule, groups) in daily {
            if groups.iter().all(|group| !settled.contains(group)) {
                let served = self.model.part(1.0, (rule, rule.points()));
                let meals = with(self, groups);
                self.model.no_more_than(served, &meals, 0.0);
            }
        }
        let wanted = index.request.children[child].groups_wanted as usize;
        let open = wanted.saturating_sub(settled.len());
        let mut served = Terms::new();
        for group in DietGroup::ALL {
            let meals = with(self, &[group]);
            if !settled.contains(&group) && !meals.is_empty() {
                let variable = self.model.part(1.0, (Rule::Groups, 0.0));
                self.model.no_more_than(variable, &meals, 0.0);
                served.push((variable, 1.0));
            }
        }
        let counted = (Rule::Groups, Rule::Groups.points());
        let counted = self.model.part(open as f64, counted);
        self.model.no_more_than(counted, &served, 0.0);
    }
}

/// The points of a meal on a day. An early one is worth a little more: for a later one something
/// can still be cooked.
fn worth_on(index: &IndexedRequest<'_>, day: usize) -> f64 {
    let days_after = index.request.days.len().saturating_sub(day + 1);
    Rule::Meals.points() * (1.0 + EARLY * days_after as f64)
}

/// The share by which a meal is worth more for each day of the plan after it (judgement: six points
/// over a week, where a day with protein is worth thirty).
const EARLY: f64 = 0.01;
