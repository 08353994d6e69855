//! Iron in the program: how much of it counts, and how far plans differ in it at all.

use super::{Formulation, Terms};
use crate::nutrition::{NutrientId, Serving};
use crate::planning::Rule;
use crate::planning::indexed_request::{ChildDay, IndexedRequest};
use crate::planning::request::iron_of;
use crate::uncertainty::{IntervalPart, interval_of};

/// What iron is worth where two plans are equal in it but for their uncertainty: enough to take the one with more, and too little to buy a
/// repetition with all of it (judgement).
const BETWEEN_EQUALS: f64 = 0.05;

impl Formulation {
    /// Iron over all days: in full to the average requirement, by half to the allowance. Plans within the interval of the one with the most iron are
    /// equal: what lies above its lower end hardly counts.
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
        let there = goal.from_milk * days + fixed.map(iron_of).sum::<f64>();
        let (ear, rda) = (goal.ear * days, goal.rda * days);
        let counts = self.low_end(index, child)?;
        let counts = counts.map_or(rda, |low| rda.min(there + low));
        let worth = Rule::Iron.points() / ear;
        let steps = [
            (there, ear.min(counts), worth),
            (there.max(ear), counts, worth / 2.0),
            (there.max(counts), rda, worth * BETWEEN_EQUALS),
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

    /// The cubes of a child with the iron of one of each, in mg.
    fn iron_of_cubes(&self, index: &IndexedRequest<'_>, child: usize) -> Terms {
        let of_child = self.cubes.iter().filter(|((one, _, _), _)| *one == child);
        of_child
            .map(|((_, _, lot), cubes)| (*cubes, iron_of(index.lots[*lot].cube)))
            .collect()
    }

    /// The lower end of the interval of iron, in mg, of the cubes with which there is the most; `None` where the doubts of one are not known.
    fn low_end(
        &self,
        index: &IndexedRequest<'_>,
        child: usize,
    ) -> Result<Option<f64>, microlp::Error> {
        let most = self.model.most_of(&self.iron_of_cubes(index, child))?;
        let of_child = self.cubes.iter().filter(|((one, _, _), _)| *one == child);
        let eaten = of_child.map(|((_, _, lot), cubes)| index.lots[*lot].cube.times(most[*cubes]));
        let eaten: Vec<Serving> = eaten.collect();
        let iron = eaten.iter().map(iron_of).sum();
        let parts = eaten.iter();
        let parts: Vec<IntervalPart<'_>> = parts
            .map(|one| one.interval_part(NutrientId::IRON))
            .collect();
        Ok(interval_of(NutrientId::IRON, (iron, true), parts).map(|one| one.low))
    }
}
