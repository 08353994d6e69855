//! Iron in the program: how much of it counts, and by how much plans really differ in it.

use super::{Formulation, Terms};
use crate::nutrition::{NutrientId, Serving};
use crate::planning::Rule;
use crate::planning::indexed_request::{ChildDay, IndexedRequest};
use crate::planning::request::iron_of;
use crate::uncertainty::{IntervalPart, interval_of};

/// The factor on the value of iron where two plans are equal within their uncertainty: enough to
/// take the one with more, and too little to pay for a repetition (judgement).
const BETWEEN_EQUALS: f64 = 0.05;

impl Formulation {
    /// Iron over all days: in full up to the average requirement, by half up to the allowance.
    /// Plans within the interval of the one with the most iron are equal: what lies above its lower
    /// end hardly counts.
    pub(super) fn iron(
        &mut self,
        index: &IndexedRequest<'_>,
        child: usize,
    ) -> Result<(), microlp::Error> {
        let request = index.request;
        let Some(goal) = request.children[child].iron else {
            return Ok(());
        };
        let days = request.days.len() as f64;
        let fixed = index.days[child].iter().flat_map(ChildDay::settled);
        let settled = goal.from_milk * days + fixed.map(iron_of).sum::<f64>();
        let (ear, rda) = (goal.ear * days, goal.rda * days);
        let counts = self.low_end(index, child)?;
        let counts = counts.map_or(rda, |low| rda.min(settled + low));
        let worth = Rule::Iron.points() / ear;
        let steps = [
            (settled, ear.min(counts), worth),
            (settled.max(ear), counts, worth / 2.0),
            (settled.max(counts), rda, worth * BETWEEN_EQUALS),
        ];
        let mut terms: Terms = Vec::new();
        for (from, to, worth) in steps {
            let part = self.model.part((to - from).max(0.0), (Rule::Iron, worth));
            terms.push((part, 1.0));
        }
        let cubes = self.iron_of_cubes(index, child).into_iter();
        terms.extend(cubes.map(|(cubes, iron)| (cubes, -iron)));
        self.model.at_most(terms, 0.0);
        Ok(())
    }

    /// The cubes of a child, each with its iron in mg.
    fn iron_of_cubes(&self, index: &IndexedRequest<'_>, child: usize) -> Terms {
        let of_child = self.cubes.iter().filter(|((of, _, _), _)| *of == child);
        of_child
            .map(|((_, _, lot), cubes)| (*cubes, iron_of(index.lots[*lot].cube)))
            .collect()
    }

    /// The lower end of the interval of iron, in mg, for the cubes with the most iron; `None` where
    /// the doubts of one cube are not known.
    fn low_end(
        &self,
        index: &IndexedRequest<'_>,
        child: usize,
    ) -> Result<Option<f64>, microlp::Error> {
        let most = self.model.most_of(&self.iron_of_cubes(index, child))?;
        let of_child = self.cubes.iter().filter(|((of, _, _), _)| *of == child);
        let eaten = of_child.map(|((_, _, lot), cubes)| index.lots[*lot].cube.times(most[*cubes]));
        let eaten: Vec<Serving> = eaten.collect();
        let iron = eaten.iter().map(iron_of).sum();
        let parts = eaten.iter();
        let parts: Vec<IntervalPart<'_>> = parts
            .map(|serving| serving.interval_part(NutrientId::IRON))
            .collect();
        Ok(interval_of(NutrientId::IRON, (iron, true), parts).map(|interval| interval.low))
    }
}
