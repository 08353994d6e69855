//! Filling the meals of some days by integer programming.
//!
//! [`formulate`] writes the request down as a program, [`search`] has the solver (microlp, in Rust throughout) look for the best plan from
//! one that [`greedy`] found, [`portion`] parts each day into meals, and [`verify`] holds the result against every rule in whole
//! numbers: what does not pass is never shown.

mod binding;
mod draft;
mod formulate;
mod greedy;
mod impossible;
mod model;
mod portion;
mod proposal;
mod reasons;
mod rolling;
mod scale;
mod score;
mod search;
mod term;
#[cfg(test)]
mod tests;
mod verify;

pub use model::{Model, Row, Variable};
pub use proposal::{Aim, Impossible, NoProposal, Proposal, Quality, Spoiled};
pub use search::Effort;
pub use term::Term;
pub use verify::verify;

use self::draft::Draft;
use self::scale::{PARTS, Scale};
use self::score::Score;
use self::search::Found;
use crate::planning::frame::{Frame, Relaxed};
use crate::planning::{Plan, Request, rules};

/// Proposes a plan. The same request and effort always give the same plan.
///
/// Errors: the request does not hold together, what is settled breaks a rule, or there is no plan that keeps them all.
pub fn propose(request: &Request, effort: Effort) -> Result<Proposal, NoProposal> {
    request.validate()?;
    let settled = settled_broken(request);
    if !settled.is_empty() {
        return Err(NoProposal::Settled(settled));
    }
    let frame = Frame::new(request, Relaxed::default());
    let scale = Scale::new(&frame);
    match search::search(&frame, &scale, effort) {
        Found::Solved {
            draft,
            bound,
            proven,
        } => {
            let score = Score::of(&frame, &scale, &draft).objective();
            let quality = quality(score, bound, proven);
            told(&frame, &scale, &draft, quality).or_else(|why| makeshift(&frame, &scale, &why))
        }
        Found::Greedy { draft, why } => {
            told(&frame, &scale, &draft, Quality::Greedy { why }).map_err(NoProposal::NotFound)
        }
        Found::Infeasible => Err(NoProposal::Impossible(impossible::explain(request))),
        Found::Unknown(why) => Err(NoProposal::NotFound(why)),
    }
}

/// A plan that keeps the rules, without the solver; `None` where this way finds none.
pub fn propose_greedily(request: &Request, why: &str) -> Result<Proposal, NoProposal> {
    request.validate()?;
    let frame = Frame::new(request, Relaxed::default());
    makeshift(&frame, &Scale::new(&frame), why)
}

/// The program that a request is written down as, to be held against another solver.
pub fn model(request: &Request) -> Result<Model, NoProposal> {
    request.validate()?;
    let frame = Frame::new(request, Relaxed::default());
    Ok(formulate::Formulation::new(&frame, &Scale::new(&frame)).model)
}

fn makeshift(frame: &Frame<'_>, scale: &Scale, why: &str) -> Result<Proposal, NoProposal> {
    let draft = greedy::plan(frame, scale).ok_or_else(|| NoProposal::NotFound(why.into()))?;
    told(frame, scale, &draft, Quality::Greedy { why: why.into() }).map_err(NoProposal::NotFound)
}

/// What settled meals alone break: such a plan cannot be completed.
fn settled_broken(request: &Request) -> Vec<crate::planning::Broken> {
    let alone = rules::broken(request, &Plan::default());
    alone
        .into_iter()
        .filter(|one| one.rule != rules::Rule::Meals)
        .collect()
}

fn quality(score: i64, bound: Option<f64>, proven: bool) -> Quality {
    let objective = score as f64 / PARTS as f64;
    match bound {
        _ if proven => Quality::Optimal,
        Some(bound) if objective > 0.0 => Quality::Within {
            percent: ((objective - bound) / objective * 100.0).clamp(0.0, 100.0),
        },
        _ if objective == 0.0 => Quality::Optimal,
        _ => Quality::Within { percent: 100.0 },
    }
}

/// Verifies a draft and tells it; says what is wrong with it otherwise.
fn told(
    frame: &Frame<'_>,
    scale: &Scale,
    draft: &Draft,
    quality: Quality,
) -> Result<Proposal, String> {
    let plan = portion::plan(frame, draft).ok_or("a day could not be parted into meals")?;
    let wrong = verify(frame.request, &plan);
    if let Some(first) = wrong.first() {
        return Err(format!("the plan of the solver breaks a rule ({first})"));
    }
    let score = verify::objective(frame, scale, &plan).ok_or("the plan names what is not there")?;
    let aims = Term::ALL.iter().map(|term| Aim {
        term: *term,
        weight: term.weight(),
        short: score.get(*term) as f64 / PARTS as f64,
        most: term.points(),
    });
    Ok(Proposal {
        reasons: reasons::reasons(frame, scale, draft, &plan),
        aims: aims.collect(),
        objective: score.objective() as f64 / PARTS as f64,
        quality,
        binding: binding::binding(frame, draft, &plan),
        spoiled: binding::spoiled(frame, draft),
        lower_bounds: binding::lower_bounds(frame, draft),
        plan,
    })
}
