//! Proposals for invented households: every one keeps the rules, whoever finds it, and says honestly how good it is.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]
#![allow(clippy::panic, reason = "a test fails by panicking")]
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    reason = "small invented numbers"
)]

mod cases;

use cases::{Size, case};
use proptest::prelude::*;
use trayful::planning::check::check;
use trayful::planning::propose::{Effort, NoProposal, Proposal, propose, propose_greedily, verify};
use trayful::planning::{Origin, Request};

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
    let mut effort = Effort::default();
    effort.nodes = 200;
    effort.window_nodes = 40;
    effort.rounds = 1;
    effort
}

/// Keeps every rule, by the verifier and as a person's plan would be judged; and adds up.
fn sound(request: &Request, proposal: &Proposal) -> Result<(), TestCaseError> {
    prop_assert_eq!(verify(request, &proposal.plan), Vec::<String>::new());
    let findings = check(&proposal.plan, request).unwrap();
    prop_assert!(findings.iter().all(|one| !one.is_broken()), "{findings:?}");
    let aims: f64 = proposal
        .aims
        .iter()
        .map(|aim| aim.weight as f64 * aim.short)
        .sum();
    prop_assert!((aims - proposal.objective).abs() < 1e-6 * proposal.objective.max(1.0));
    prop_assert!(
        proposal
            .aims
            .iter()
            .all(|aim| (0.0..=aim.most as f64 + 1e-9).contains(&aim.short)),
        "{:?}",
        proposal.aims
    );
    prop_assert!(
        proposal
            .parts()
            .all(|(_, part, why)| part.cubes > 0 && !why.is_empty())
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_proposal_keeps_every_rule(seed in any::<u64>(), size in sizes()) {
        let request = case(seed, size);
        match propose(&request, effort()) {
            Ok(proposal) => {
                sound(&request, &proposal)?;
                prop_assert_eq!(&propose(&request, effort()).unwrap(), &proposal);
            }
            Err(NoProposal::Impossible(why)) => {
                prop_assert!(!why.contradictions.is_empty() || !why.changes.is_empty());
                prop_assert!(propose_greedily(&request, "asked").is_err());
            }
            Err(NoProposal::NotFound(_)) => {}
            Err(other) => panic!("{other}"),
        }
    }

    #[test]
    fn every_makeshift_plan_keeps_every_rule_and_is_no_better(seed in any::<u64>(), size in sizes()) {
        let request = case(seed, size);
        if let Ok(makeshift) = propose_greedily(&request, "asked") {
            sound(&request, &makeshift)?;
            let solved = propose(&request, effort()).unwrap();
            prop_assert!(solved.objective <= makeshift.objective + 1e-6);
        }
    }

    #[test]
    fn a_plan_that_takes_more_than_there_is_is_found_out(seed in any::<u64>(), size in sizes()) {
        let mut request = case(seed, size);
        if let Ok(proposal) = propose_greedily(&request, "asked") {
            let taken = proposal.plan.meals.iter().flat_map(|meal| &meal.parts).find_map(|part| match part.origin {
                Origin::Batch(batch) => Some(batch),
                Origin::Cooking { .. } => None,
            });
            if let Some(batch) = taken {
                request.batches[batch].cubes = 0;
                prop_assert!(!verify(&request, &proposal.plan).is_empty());
            }
        }
    }
}
