//! The program of what is missing: how few cubes more would make a plan possible.

use std::collections::BTreeMap;

use super::Formulation;
use crate::planning::frame::Frame;
use crate::planning::propose::model::Model;

impl Formulation {
    /// The same rules with cubes that are not there, by child and day, and the fewest of them wanted; nothing else counts. A cube
    /// that is not there counts a little more the earlier it is needed, so that they are asked for as late as can be.
    pub(in crate::planning::propose) fn with_missing_cubes(
        mut self,
        frame: &Frame<'_>,
    ) -> (Model, BTreeMap<(usize, usize), usize>) {
        for variable in &mut self.model.variables {
            variable.cost = 0.0;
        }
        let mut missing = BTreeMap::new();
        let days = frame.request.days.len() as f64;
        for (child, day, cell) in frame.slots().filter(|(_, _, cell)| !cell.meals.is_empty()) {
            let cost = 1.0 + (days - day as f64) / (100.0 * days);
            let variable = self.variable(
                None,
                format!("missing {child} {day}"),
                f64::from(cell.count() * cell.least),
                true,
                cost,
            );
            missing.insert((child, day), variable);
        }
        for (slot, row) in &self.totals {
            self.model.rows[*row].terms.push((missing[slot], 1.0));
        }
        (self.model, missing)
    }
}
