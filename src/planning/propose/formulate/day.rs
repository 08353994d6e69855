//! One day of a child in the program: its meals, their cubes, protein and food groups.

use std::collections::BTreeSet;

use super::{Formulation, Terms};
use crate::nutrition::DietGroup;
use crate::planning::Rule;
use crate::planning::indexed_request::{ChildDay, IndexedRequest};
use crate::planning::rules::table::DISH_A_DAY;

/// Meat, fish, egg and pulses.
const PROTEIN: [DietGroup; 3] = [DietGroup::Flesh, DietGroup::Eggs, DietGroup::Pulses];

impl Formulation {
    /// One day of a child.
    pub(super) fn day(
        &mut self,
        index: &IndexedRequest<'_>,
        (child, day): (usize, usize),
        of: &ChildDay<'_>,
    ) {
        let (mut all, mut cubes) = (Terms::new(), Terms::new());
        for dish in of.dishes.iter().copied() {
            let room = of.room_for(index.dishes[dish].name);
            if room > 0 {
                let meals = self.model.whole(room, (Rule::Meals, Rule::Meals.points()));
                self.meals.insert((child, day, dish), meals);
                all.push((meals, 1.0));
                cubes.extend(self.cubes_of(index, (child, day, dish), of));
            }
        }
        if all.is_empty() {
            return;
        }
        let filled = f64::from(of.count()) * Rule::Meals.points();
        *self.model.most.entry(Rule::Meals).or_default() += filled;
        let usual = f64::from(of.count() * of.usual);
        let full = (Rule::FullMeals, Rule::FullMeals.points());
        let full = self.model.part(usual, full);
        self.model.no_more_than(full, &cubes, 0.0);
        self.model.at_most(all, f64::from(of.count()));
        self.twice(index, (child, day), of);
        self.groups(index, (child, day), of);
    }

    /// The cubes of a dish on a day: as many as its meals may have.
    fn cubes_of(
        &mut self,
        index: &IndexedRequest<'_>,
        (child, day, dish): (usize, usize, usize),
        of: &ChildDay<'_>,
    ) -> Terms {
        let meals = self.meals[&(child, day, dish)];
        let room = of.room_for(index.dishes[dish].name);
        let (least, most) = (*of.cubes.start(), *of.cubes.end());
        let mut cubes = Terms::new();
        for lot in index.lots_on(dish, day) {
            let high = index.lots[lot].most_cubes().min(room * most);
            let variable = self.model.count(high);
            self.cubes.insert((child, day, lot), variable);
            cubes.push((variable, 1.0));
            // Of no part of a tray more than the same part of what a day can take of a tray.
            if let Some(trays) = self.trays.get(&lot) {
                let a_tray = index.lots[lot].cubes.min(room * most);
                let link = vec![(variable, 1.0), (*trays, -f64::from(a_tray))];
                self.model.at_most(link, 0.0);
            }
        }
        let mut too_many = cubes.clone();
        too_many.push((meals, -f64::from(most)));
        self.model.at_most(too_many, 0.0);
        self.model
            .at_most(negated(&cubes, (meals, f64::from(least))), 0.0);
        cubes
    }

    /// A dish at a second meal of the day costs half of what a repetition costs; a third is one too many, whatever is in the batch.
    fn twice(
        &mut self,
        index: &IndexedRequest<'_>,
        (child, day): (usize, usize),
        of: &ChildDay<'_>,
    ) {
        let names: BTreeSet<&str> = of
            .dishes
            .iter()
            .map(|dish| index.dishes[*dish].name)
            .collect();
        for name in names {
            let mut meals =
                self.meals_where(child, |at, dish| at == day && index.dishes[dish].name == name);
            let settled = of.settled_with(name);
            let room = DISH_A_DAY.saturating_sub(settled);
            if meals.len() > 1 {
                self.model.at_most(meals.clone(), f64::from(room));
            }
            let worth = -Rule::Variety.points() / 2.0;
            let second = self.model.part(2.0, (Rule::Variety, worth));
            meals.push((second, -1.0));
            self.model
                .at_most(meals, 1.0 - f64::from(settled.min(1)));
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
            this.meals_where(child, |at, dish| {
                at == day && groups.iter().any(|one| index.dishes[dish].groups.contains(one))
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
                let one = self.model.part(1.0, (Rule::Groups, 0.0));
                self.model.no_more_than(one, &meals, 0.0);
                served.push((one, 1.0));
            }
        }
        let counted = (Rule::Groups, Rule::Groups.points());
        let counted = self.model.part(open as f64, counted);
        self.model.no_more_than(counted, &served, 0.0);
    }
}

/// The negative of a sum, and one term more.
fn negated(terms: &Terms, more: (usize, f64)) -> Terms {
    let negative = terms.iter().map(|(one, factor)| (*one, -factor));
    negative.chain(std::iter::once(more)).collect()
}
