//! Proposing a week from the book, with the objections of the judge to the result.

use std::collections::BTreeMap;

use super::planner::{Wish, planning_request};
use super::{BookJudge, objections_to_plan, plan_facts};
use crate::next_step::{NextStep, Remark};
use crate::notebook::{Book, BookError, Pick, Plan, PlannedCooking, PlannedServing, Slot, Store};
use crate::planning::facts::Span;
use crate::planning::propose::{Effort, NoProposal, Proposal, instead, propose};
use crate::planning::{CubeOrigin, Request};
use crate::portion::CubeCount;
use crate::problem::Problem;
use crate::safety::Objection;
use crate::spoken::Lookup;

/// A proposal, the request that it answers, and the objections to it.
#[derive(Debug)]
pub struct ProposedWeek {
    /// The planning request.
    pub request: Request,
    /// The answer.
    pub proposal: Proposal,
    /// The answer as a plan of the book.
    pub plan: Plan,
    /// The objections to the meals; none of them blocks or warns.
    pub objections: Vec<Objection>,
}

/// Proposes a week. Nothing is recorded.
///
/// Errors: the book cannot be read, or these days cannot be planned.
pub fn propose_week<L: Lookup>(
    lookup: &L,
    book: &Book,
    store: &Store,
    wish: &Wish<'_>,
) -> Result<ProposedWeek, L::Error>
where
    L::Error: From<BookError> + From<Problem>,
{
    let request = planning_request(book, store, lookup.foods()?, wish)?;
    let proposal = propose(&request, Effort::default()).map_err(problem)?;
    judged_week(lookup, book, store, (request, proposal))
}

/// The proposals in which one meal, by its place among the meals, has another dish that breaks no
/// rule, and the request that they answer.
///
/// Errors: the book cannot be read, or these days cannot be planned.
pub fn other_dishes<L: Lookup>(
    lookup: &L,
    book: &Book,
    store: &Store,
    wish: &Wish<'_>,
    (proposal, meal): (&Proposal, usize),
) -> Result<(Request, Vec<Proposal>), L::Error>
where
    L::Error: From<BookError>,
{
    let request = planning_request(book, store, lookup.foods()?, wish)?;
    let others = instead(&request, proposal, meal);
    Ok((request, others))
}

/// A proposal as a plan of the book, passed through the judge.
///
/// Errors: the book cannot be read.
pub fn judged_week<L: Lookup>(
    lookup: &L,
    book: &Book,
    store: &Store,
    (request, proposal): (Request, Proposal),
) -> Result<ProposedWeek, L::Error>
where
    L::Error: From<BookError> + From<Problem>,
{
    let plan = proposed_plan(&request, &proposal, store)?;
    let (Some(from), Some(to)) = (request.days.first().copied(), request.days.last().copied())
    else {
        return Err(problem(NoProposal::Unsound("it is for no day".into())).into());
    };
    let span = Span {
        today: from,
        from,
        to,
    };
    let facts = plan_facts(book, store, lookup.foods()?, span, plan.clone())?;
    let pantry = lookup.foods()?;
    let judge = BookJudge::new(&book.settings, Some(store), &pantry)?;
    let objections = objections_to_plan(&judge, &facts, &plan)?;
    Ok(ProposedWeek {
        request,
        proposal,
        plan,
        objections,
    })
}

fn problem(why: NoProposal) -> Problem {
    match why {
        NoProposal::Request(error) => Problem::new(error.to_string()),
        other => Problem::new(other.to_string()).hint(Remark::with(
            "this is a mistake of the program, please report it",
            NextStep::PlanMeals,
        )),
    }
}

/// A proposal as a plan of the book, for the meals and the days that it fills.
fn proposed_plan(request: &Request, proposal: &Proposal, store: &Store) -> Result<Plan, BookError> {
    let mut plan = Plan::default();
    for meal in &proposal.plan.meals {
        let child = request.children.get(meal.child);
        let slot = Slot {
            day: meal.day,
            child: child.map(|child| child.name.clone()).unwrap_or_default(),
            meal: meal.meal.clone(),
        };
        let mut cubes: BTreeMap<String, CubeCount> = BTreeMap::new();
        for part in &meal.parts {
            *cubes.entry(name_of(request, part.origin)).or_default() += part.cubes.into();
        }
        let parts = cubes.into_iter();
        let parts = parts.map(|(name, cubes)| PlannedServing::Cubes(Pick { cubes, name }));
        plan.meals.insert(slot, parts.collect());
    }
    let (Some(first), Some(last)) = (request.days.first(), request.days.last()) else {
        return Ok(plan);
    };
    let settled = store.planned(*first, *last)?.cooking;
    for cooking in &proposal.plan.cookings {
        let Some(recipe) = request.recipes.get(cooking.recipe) else {
            continue;
        };
        // Cooking that is planned already for that day is kept.
        let planned = settled.get(&cooking.day).cloned().unwrap_or_default();
        let day = plan.cooking.entry(cooking.day).or_insert(planned);
        day.push(PlannedCooking {
            recipe: recipe.recipe.clone(),
            trays: cooking.trays,
        });
    }
    Ok(plan)
}

/// The name of the recipe; or of the batch, where batches of the recipe differ in their foods and
/// only some are allowed.
fn name_of(request: &Request, origin: CubeOrigin) -> String {
    let recipe = origin.recipe(request);
    match origin {
        CubeOrigin::Batch(at) if request.is_ambiguous(recipe) => {
            let batch = request.batches.get(at).filter(|batch| batch.id != 0);
            batch.map_or_else(|| recipe.to_string(), |batch| format!("#{}", batch.id))
        }
        _ => recipe.to_string(),
    }
}
