//! A first plan by the solver: which day brings which first taste, with everything else allowed to be a fraction; then day after
//! day in whole cubes, the days before held and the days after still in fractions.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::Draft;
use super::formulate::Formulation;
use super::model::{Answer, Model};
use super::search::Effort;
use crate::planning::frame::Frame;

/// What came of it.
#[derive(Debug, Default)]
pub(super) struct Rolled {
    /// The plan, unless a day could not be filled.
    pub(super) draft: Option<Draft>,
    /// No plan is better than this, in the units of the objective.
    pub(super) bound: Option<f64>,
    /// Whether the rules contradict one another even in fractions.
    pub(super) infeasible: bool,
}

pub(super) fn plan(frame: &Frame<'_>, form: &Formulation, effort: Effort) -> Rolled {
    let tastes = fractional(form, |variable| {
        form.is_first(variable) || form.owner(variable).is_none()
    });
    let (values, bound) = match tastes.solve(&BTreeMap::new(), effort.nodes) {
        Answer::Found { values, bound, .. } => (values, bound),
        Answer::Infeasible => {
            return Rolled {
                infeasible: true,
                ..Rolled::default()
            };
        }
        Answer::Unknown(_) => return Rolled::default(),
    };
    let mut held: BTreeMap<usize, f64> = BTreeMap::new();
    let firsts = (0..values.len()).filter(|variable| form.is_first(*variable));
    held.extend(firsts.map(|variable| (variable, values[variable].round())));
    let mut trays = BTreeMap::new();
    for day in 0..frame.request.days.len() {
        let together: BTreeSet<_> = (0..frame.cells.len()).map(|child| (child, day)).collect();
        let alone = together.iter().map(|slot| BTreeSet::from([*slot]));
        let done = step(form, &mut held, &mut trays, &together, effort)
            || alone
                .into_iter()
                .all(|slot| step(form, &mut held, &mut trays, &slot, effort));
        if !done {
            return Rolled {
                draft: None,
                bound,
                infeasible: false,
            };
        }
    }
    held.extend(trays);
    let draft = form.draft(frame, |variable| {
        held.get(&variable).copied().unwrap_or(0.0)
    });
    Rolled {
        draft: Some(draft),
        bound,
        infeasible: false,
    }
}

/// The model with only some of its whole variables whole.
fn fractional(form: &Formulation, whole: impl Fn(usize) -> bool) -> Model {
    let mut model = form.model.clone();
    for (index, variable) in model.variables.iter_mut().enumerate() {
        variable.whole &= whole(index);
    }
    model
}

/// Fills some days in whole cubes and holds them from then on; whether that could be done.
fn step(
    form: &Formulation,
    held: &mut BTreeMap<usize, f64>,
    trays: &mut BTreeMap<usize, f64>,
    slots: &BTreeSet<(usize, usize)>,
    effort: Effort,
) -> bool {
    let now = |variable: usize| {
        form.owner(variable)
            .is_none_or(|owner| slots.contains(&owner))
    };
    let (model, kept) = fractional(form, now).held(|variable| held.get(&variable).copied());
    let Answer::Found { values, .. } = model.solve(&BTreeMap::new(), effort.window_nodes) else {
        return false;
    };
    for (variable, value) in kept.into_iter().zip(values) {
        match form.owner(variable) {
            Some(owner) if slots.contains(&owner) => {
                held.insert(variable, value);
            }
            None => {
                trays.insert(variable, value);
            }
            Some(_) => {}
        }
    }
    true
}
