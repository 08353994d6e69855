//! Recommendations for planned meals: aims that they do not meet.

use std::collections::{BTreeMap, BTreeSet};

use data_import::FoodId;
use jiff::civil::Date;

use super::{Broken, MealOfWeek, PlannedWeek, Rule};
use crate::nutrition::DietGroup;
use crate::planning::Need;

impl PlannedWeek<'_> {
    /// The aims of the table that the planned meals do not meet. Only days on which as many meals
    /// are planned or eaten as the age needs are checked, since the others are not full yet.
    pub(crate) fn missed(&self, groups: &BTreeMap<FoodId, DietGroup>) -> Vec<Broken> {
        let mut found = Vec::new();
        for child in 0..self.eaters.len() {
            let meals = self.of(child);
            let days: BTreeSet<Date> = meals
                .iter()
                .filter(|meal| meal.planned)
                .map(|meal| meal.day)
                .collect();
            for day in &days {
                found.extend(self.day_missed(child, *day, &meals, groups));
            }
            found.extend(self.not_offered(child, &meals, &days));
        }
        found
    }

    fn day_missed(
        &self,
        child: usize,
        day: Date,
        meals: &[&MealOfWeek<'_>],
        groups: &BTreeMap<FoodId, DietGroup>,
    ) -> Vec<Broken> {
        let eater = &self.eaters[child];
        let of_day: Vec<_> = meals.iter().filter(|meal| meal.day == day).collect();
        let is_full = |need: &Need| of_day.len() >= *need.meals.start() as usize;
        if !eater.days.get(&day).is_some_and(is_full) {
            return Vec::new();
        }
        let foods = of_day.iter().flat_map(|meal| meal.foods());
        let had: BTreeSet<DietGroup> = foods
            .filter_map(|food| groups.get(&food.id).copied())
            .collect();
        let none = |groups: &[DietGroup]| groups.iter().all(|one| !had.contains(one));
        let animal = [DietGroup::Flesh, DietGroup::Eggs];
        let mut missed = Vec::new();
        if none(&[DietGroup::Flesh, DietGroup::Eggs, DietGroup::Pulses]) {
            let words = "no meat, fish, egg or pulses that day".to_string();
            missed.push((Rule::ProteinDaily, words));
        } else if none(&animal) && groups.values().any(|one| animal.contains(one)) {
            // Of a household that cooks neither meat nor egg it is no news.
            let words = "pulses, and no meat, fish or egg that day".to_string();
            missed.push((Rule::FleshOrEggDaily, words));
        }
        if missed.is_empty() && had.len() < eater.groups_wanted as usize {
            let names: Vec<&str> = had.iter().map(|group| group.name()).collect();
            let words = format!(
                "{} of {} food groups beside milk: {}",
                had.len(),
                eater.groups_wanted,
                names.join("; ")
            );
            missed.push((Rule::Groups, words));
        }
        let broken = |(rule, words)| Broken {
            rule,
            day,
            child,
            meal: None,
            words,
        };
        missed.into_iter().map(broken).collect()
    }

    /// Known allergens that do not come again in a week of planned meals.
    fn not_offered(
        &self,
        child: usize,
        meals: &[&MealOfWeek<'_>],
        days: &BTreeSet<Date>,
    ) -> Option<Broken> {
        let last = days
            .last()
            .filter(|_| days.len() >= super::table::ALLERGEN_DAYS)?;
        let foods = meals.iter().flat_map(|meal| meal.foods());
        let served: BTreeSet<&str> = foods
            .flat_map(|food| food.allergens.iter().map(String::as_str))
            .collect();
        let known = self.eaters[child].keep_up.iter();
        let missing: Vec<&str> = known
            .map(String::as_str)
            .filter(|allergen| !served.contains(allergen))
            .collect();
        (!missing.is_empty()).then(|| Broken {
            rule: Rule::AllergenWeekly,
            day: *last,
            child,
            meal: None,
            words: format!(
                "known and well taken, and not in the week: {}",
                missing.join("; ")
            ),
        })
    }
}
