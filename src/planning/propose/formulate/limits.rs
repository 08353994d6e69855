//! Sums over a day or a week that no plan may pass.

use super::week::windows;
use super::{Formulation, Terms, of_child};
use crate::planning::indexed_request::IndexedRequest;
use crate::planning::limit::DayLimit;

impl Formulation {
    /// Adds every limit of a child, in every window of days.
    pub(super) fn limits(&mut self, index: &IndexedRequest<'_>, child: usize) {
        for limit in &index.request.children[child].limits {
            let counted = self.counted(index, child, limit);
            if counted.is_empty() {
                continue;
            }
            for window in windows(index, limit.days.max(1)) {
                let settled = index
                    .fixed_of(child)
                    .filter(|meal| window.contains(&meal.day));
                let settled = settled
                    .map(|meal| limit.amount_of_meal(meal.parts.iter().map(|part| &part.serving)));
                let open = (limit.most - settled.sum::<f64>()).max(0.0);
                let within = counted
                    .iter()
                    .filter(|(day, _)| window.contains(&index.request.days[*day]));
                let terms: Terms = within.map(|(_, term)| *term).collect();
                let high = |(variable, factor): &(usize, f64)| {
                    self.model.variables[*variable].high * factor
                };
                if terms.iter().map(high).sum::<f64>() > open {
                    self.model.at_most(terms, open);
                }
            }
        }
    }

    /// The variables that a limit counts, by day.
    fn counted(
        &self,
        index: &IndexedRequest<'_>,
        child: usize,
        limit: &DayLimit,
    ) -> Vec<(usize, (usize, f64))> {
        if limit.counts_meals() {
            let meals = of_child(&self.served, child).chain(of_child(&self.twice, child));
            let meals = meals.map(|((_, day, dish), variable)| {
                let lots = index.lots_on(*dish, *day);
                let amount = lots.map(|lot| limit.amount(index.lots[lot].cube));
                (*day, (*variable, amount.fold(0.0, f64::max)))
            });
            meals.filter(|(_, (_, factor))| *factor > 0.0).collect()
        } else {
            let cubes = of_child(&self.cubes, child).map(|((_, day, lot), variable)| {
                (*day, (*variable, limit.amount(index.lots[*lot].cube)))
            });
            cubes.filter(|(_, (_, factor))| *factor > 0.0).collect()
        }
    }
}
