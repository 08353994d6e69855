//! How the best plan is looked for: a first plan, then a few days at a time, then all at once.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::Draft;
use super::formulate::Formulation;
use super::greedy;
use super::model::Answer;
use super::rolling;
use super::scale::Scale;
use super::score::Score;
use crate::planning::Request;
use crate::planning::frame::{Frame, Relaxed};

/// How much work may be spent: nodes of branch and bound, so that it is the same on every machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// For all days at once.
    pub nodes: u64,
    /// For a few days, the rest held.
    pub window_nodes: u64,
    /// Times that all windows are tried.
    pub rounds: u32,
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            nodes: 3000,
            window_nodes: 150,
            rounds: 2,
        }
    }
}

/// What was found.
#[derive(Debug)]
pub(super) enum Found {
    /// A plan of the solver; `bound` in the units of the objective: no plan is better.
    Solved {
        draft: Draft,
        bound: Option<f64>,
        proven: bool,
    },
    /// The plan without a solver, and why it stands in.
    Greedy { draft: Draft, why: String },
    /// No plan keeps all the rules.
    Infeasible,
    /// None was found, and none was ruled out.
    Unknown(String),
}

/// Looks for the best plan.
pub(super) fn search(frame: &Frame<'_>, scale: &Scale, effort: Effort) -> Found {
    let form = Formulation::new(frame, scale);
    let rolled = rolling::plan(frame, &form, effort);
    let makeshift = greedy::plan(frame, scale);
    if rolled.infeasible {
        return match makeshift {
            None => Found::Infeasible,
            start => fallback(
                start,
                "the solver found a contradiction where there is none".into(),
            ),
        };
    }
    let starts = [rolled.draft, makeshift.clone()].into_iter().flatten();
    let start = starts.min_by_key(|draft| Score::of(frame, scale, draft).objective());
    let better = start.map(|draft| windows(frame, scale, &form, draft, effort));
    let hints = better
        .as_ref()
        .map(|draft| form.values(frame, draft))
        .unwrap_or_default();
    match form.model.solve(&hints, effort.nodes) {
        Answer::Found {
            values,
            bound,
            proven,
        } => {
            let solved = form.draft(frame, |variable| values[variable]);
            let bound = bound.into_iter().chain(rolled.bound).reduce(f64::max);
            Found::Solved {
                draft: best(frame, scale, solved, better, proven),
                bound,
                proven,
            }
        }
        Answer::Infeasible if makeshift.is_none() => Found::Infeasible,
        Answer::Infeasible => fallback(
            makeshift,
            "the solver found a contradiction where there is none".into(),
        ),
        Answer::Unknown(why) => fallback(makeshift, why),
    }
}

fn fallback(start: Option<Draft>, why: String) -> Found {
    match start {
        Some(draft) => Found::Greedy { draft, why },
        None => Found::Unknown(why),
    }
}

/// The better of two, by the exact score; the proven one where they are equal.
fn best(
    frame: &Frame<'_>,
    scale: &Scale,
    solved: Draft,
    other: Option<Draft>,
    proven: bool,
) -> Draft {
    let score = |draft: &Draft| Score::of(frame, scale, draft).objective();
    match other {
        Some(other) if !proven && score(&other) < score(&solved) => other,
        _ => solved,
    }
}

/// Solves two days at a time, and each child alone, the rest held, as long as that makes the plan better.
fn windows(
    frame: &Frame<'_>,
    scale: &Scale,
    form: &Formulation,
    mut draft: Draft,
    effort: Effort,
) -> Draft {
    let mut least = Score::of(frame, scale, &draft).objective();
    let all: Vec<BTreeSet<(usize, usize)>> = windows_of(frame);
    for _ in 0..effort.rounds {
        let before = least;
        for window in &all {
            let next = window_solved(frame, form, &draft, window, effort.window_nodes);
            if let Some(next) = next {
                let objective = Score::of(frame, scale, &next).objective();
                if objective < least {
                    least = objective;
                    draft = next;
                }
            }
        }
        if least == before {
            break;
        }
    }
    draft
}

fn windows_of(frame: &Frame<'_>) -> Vec<BTreeSet<(usize, usize)>> {
    let days = frame.request.days.len();
    let mut all = Vec::new();
    for gap in [1, 2, 3] {
        for day in 0..days.saturating_sub(gap) {
            all.push(
                (0..frame.cells.len())
                    .flat_map(|child| [(child, day), (child, day + gap)])
                    .collect(),
            );
        }
    }
    for child in 0..frame.cells.len() {
        for start in (0..days).step_by(2) {
            all.push(
                (start..(start + 4).min(days))
                    .map(|day| (child, day))
                    .collect(),
            );
        }
    }
    all
}

fn window_solved(
    frame: &Frame<'_>,
    form: &Formulation,
    draft: &Draft,
    window: &BTreeSet<(usize, usize)>,
    nodes: u64,
) -> Option<Draft> {
    let values = form.values(frame, draft);
    let hold = |variable: usize| match form.owner(variable) {
        Some(owner) if !window.contains(&owner) => {
            Some(values.get(&variable).copied().unwrap_or(0.0))
        }
        _ => None,
    };
    let (small, kept) = form.model.held(hold);
    let hints = kept
        .iter()
        .enumerate()
        .filter_map(|(place, variable)| Some((place, *values.get(variable)?)));
    match small.solve(&hints.collect(), nodes) {
        Answer::Found { values: found, .. } => {
            let mut all: Vec<f64> = (0..form.model.variables.len())
                .map(|one| values.get(&one).copied().unwrap_or(0.0))
                .collect();
            for (place, variable) in kept.iter().enumerate() {
                all[*variable] = found[place];
            }
            Some(form.draft(frame, |variable| all[variable]))
        }
        Answer::Infeasible | Answer::Unknown(_) => None,
    }
}

/// Whether there is any plan at all, with some rules left out.
pub(super) fn possible(request: &Request, relaxed: Relaxed) -> bool {
    let frame = Frame::new(request, relaxed);
    let scale = Scale::new(&frame);
    if greedy::plan(&frame, &scale).is_some() {
        return true;
    }
    let mut form = Formulation::new(&frame, &scale);
    for variable in &mut form.model.variables {
        variable.cost = 0.0;
    }
    matches!(
        form.model.solve(&BTreeMap::new(), Effort::default().nodes),
        Answer::Found { .. }
    )
}
