//! Proposals for invented households: every one keeps the rules, names its gaps, and says honestly how good it is.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(clippy::panic, reason = "a test fails by panicking")]
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    reason = "small invented numbers"
)]

#[allow(dead_code, reason = "the benchmark uses more of it")]
mod cases;

use cases::{Size, case};
use proptest::prelude::*;
use trayful::planning::propose::{Effort, Proposal, propose, verify};
use trayful::planning::{CubeOrigin, Request};

fn sizes() -> impl Strategy<Value = Size> {
    (
        1..=6_u32,
        1..=2_usize,
        1..=3_usize,
        1..=9_usize,
        0..=2_usize,
        0..=6_usize,
    )
        .prop_map(
            |(days, children, meals, batches, recipes, new_foods)| Size {
                days,
                children,
                meals,
                batches,
                recipes,
                new_foods,
            },
        )
}

/// Little work: whatever is found then must be sound as well.
fn effort() -> Effort {
    Effort {
        gap: 0.01,
        nodes: 100,
    }
}

/// Keeps every rule, adds up, and says of each meal to be filled either what it is and why, or why it is empty.
fn sound(request: &Request, proposal: &Proposal) -> Result<(), TestCaseError> {
    prop_assert_eq!(verify(request, &proposal.plan), Vec::<String>::new());
    let aims: f64 = proposal.aims.iter().map(|aim| aim.points).sum();
    prop_assert!((aims - proposal.worth).abs() < 1e-6 * proposal.worth.max(1.0));
    let most = |most: f64| (most + 1e-6).max(0.0);
    prop_assert!(
        proposal.aims.iter().all(|aim| aim.points <= most(aim.most)),
        "{:?}",
        proposal.aims
    );
    prop_assert!(
        proposal
            .parts()
            .all(|(_, part, why)| part.cubes > 0 && !why.is_empty())
    );
    prop_assert!(
        proposal
            .gaps
            .iter()
            .all(|gap| !gap.why.is_empty() && !gap.close.is_empty())
    );
    let slots: usize = request
        .children
        .iter()
        .map(|child| child.meals.len() * request.days.len())
        .sum();
    prop_assert_eq!(proposal.plan.meals.len() + proposal.gaps.len(), slots);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_proposal_keeps_every_rule(seed in any::<u64>(), size in sizes()) {
        let request = case(seed, size);
        let proposal = propose(&request, effort()).unwrap();
        sound(&request, &proposal)?;
        prop_assert_eq!(&propose(&request, effort()).unwrap(), &proposal);
    }

    #[test]
    fn what_a_child_may_not_have_is_never_proposed(seed in any::<u64>(), size in sizes()) {
        let request = case(seed, size);
        let proposal = propose(&request, effort()).unwrap();
        for (meal, part, _) in proposal.parts() {
            let barred = match part.origin {
                CubeOrigin::Batch(batch) => &request.batches[batch].barred,
                CubeOrigin::Cooking { recipe, .. } => &request.recipes[recipe].barred,
            };
            prop_assert!(!barred.contains_key(&meal.child));
        }
    }

    #[test]
    fn a_plan_that_takes_more_than_there_is_is_found_out(seed in any::<u64>(), size in sizes()) {
        let mut request = case(seed, size);
        let proposal = propose(&request, effort()).unwrap();
        let taken = proposal.parts().find_map(|(_, part, _)| match part.origin {
            CubeOrigin::Batch(batch) => Some(batch),
            CubeOrigin::Cooking { .. } => None,
        });
        if let Some(batch) = taken {
            request.batches[batch].cubes = 0;
            prop_assert!(!verify(&request, &proposal.plan).is_empty());
        }
    }
}
