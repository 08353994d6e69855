//! Each rule in a case in which the plan would be another without it.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::*;
use crate::nutrition::DietGroup;
use crate::planning::kitchen::{
    BEEF, EGG, SALMON, SQUASH, batch, cookable, cube, day, food, request,
};
use crate::planning::{FixedMeal, FixedPart};

fn proposed(request: &Request) -> Proposal {
    let proposal = propose(request, Effort::default()).unwrap();
    assert_eq!(verify(request, &proposal.plan), Vec::<String>::new());
    assert_eq!(proposal.quality, Quality::Optimal);
    proposal
}

/// Cubes by day and title.
fn cubes(request: &Request, proposal: &Proposal, title: &str) -> BTreeMap<Date, u32> {
    let mut days = BTreeMap::new();
    for (meal, part, _) in proposal
        .parts()
        .filter(|(_, part, _)| part.origin.title(request) == title)
    {
        *days.entry(meal.day).or_default() += part.cubes;
    }
    days
}

fn served(request: &Request, title: &str) -> BTreeMap<Date, u32> {
    cubes(request, &proposed(request), title)
}

fn beef(cubes: u32) -> crate::planning::Batch {
    batch("beef", cubes, cube(&[BEEF], 0.8))
}

fn squash(cubes: u32) -> crate::planning::Batch {
    batch("squash", cubes, cube(&[SQUASH], 0.2))
}

#[test]
fn no_more_cubes_than_there_are() {
    let total = |there| {
        served(&request(3, vec![beef(there), squash(20)]), "beef")
            .values()
            .sum::<u32>()
    };
    assert_eq!((total(20), total(2), total(3)), (6, 2, 3));
}

#[test]
fn not_after_the_use_by_date_and_not_before_they_are_frozen() {
    let mut past = beef(20);
    past.use_by = day(1);
    assert_eq!(
        served(&request(3, vec![past, squash(20)]), "beef"),
        BTreeMap::from([(day(0), 2), (day(1), 2)])
    );
    let mut later = beef(20);
    later.from = day(2);
    assert_eq!(
        served(&request(3, vec![later, squash(20)]), "beef"),
        BTreeMap::from([(day(2), 2)])
    );
}

#[test]
fn as_many_cubes_and_meals_as_the_age_wants() {
    let mut more = request(2, vec![beef(20)]);
    assert_eq!(served(&more, "beef")[&day(0)], 2);
    more.children[0].days[0].cubes = 1..=4;
    more.children[0].meals = ["breakfast", "lunch", "supper", "snack"]
        .map(String::from)
        .to_vec();
    let proposal = proposed(&more);
    // Three meals at most, of four cubes on the first day and two on the second.
    assert_eq!(
        cubes(&more, &proposal, "beef"),
        BTreeMap::from([(day(0), 12), (day(1), 6)])
    );
    assert_eq!(proposal.plan.meals.len(), 6);
}

#[test]
fn new_foods_come_one_at_a_time_with_days_between() {
    let egg = batch("egg", 4, cube(&[EGG], 0.7));
    let salmon = batch("salmon", 20, cube(&[SALMON], 0.6));
    let mut some = request(3, vec![squash(20), egg, salmon]);
    // Egg gives more iron, but there is salmon for all three days, and no time for both.
    assert_eq!(served(&some, "egg"), BTreeMap::new());
    assert_eq!(served(&some, "salmon").len(), 3);
    // A first taste on the day before the plan holds the next back for two days.
    some.children[0].known.insert(food("11090"), day(-1));
    let proposal = proposed(&some);
    let both = [
        cubes(&some, &proposal, "egg"),
        cubes(&some, &proposal, "salmon"),
    ];
    assert_eq!(
        both.iter().flat_map(BTreeMap::keys).collect::<Vec<_>>(),
        [&day(2)]
    );
    assert!(
        proposal
            .binding
            .iter()
            .any(|one| one.starts_with("waiting days: ")),
        "{:?}",
        proposal.binding
    );
    // Were all foods known, both would be served.
    for id in [EGG, SALMON] {
        some.children[0].known.insert(food(id), day(-40));
    }
    assert_eq!(served(&some, "egg").values().sum::<u32>(), 4);
    // In four days there is time for both: three days apart.
    let mut four = request(4, some.batches.clone());
    four.batches[1].cubes = 2;
    let proposal = proposed(&four);
    assert_eq!(
        cubes(&four, &proposal, "egg"),
        BTreeMap::from([(day(3), 2)])
    );
    assert_eq!(
        cubes(&four, &proposal, "salmon")
            .first_key_value()
            .map(|(day, _)| *day),
        Some(day(0))
    );
}

#[test]
fn two_unknown_foods_in_one_batch_wait_until_one_is_known() {
    let both = batch("egg and salmon", 20, cube(&[EGG, SALMON], 0.9));
    let mut some = request(5, vec![squash(20), both]);
    assert_eq!(served(&some, "egg and salmon"), BTreeMap::new());
    some.batches.push(batch("egg", 2, cube(&[EGG], 0.3)));
    let proposal = proposed(&some);
    assert_eq!(
        cubes(&some, &proposal, "egg")
            .first_key_value()
            .map(|(day, _)| *day),
        Some(day(0))
    );
    assert_eq!(
        cubes(&some, &proposal, "egg and salmon"),
        BTreeMap::from([(day(3), 2), (day(4), 2)])
    );
}

#[test]
fn nothing_that_a_reaction_is_on_record_for() {
    let mut some = request(2, vec![beef(20), squash(20)]);
    some.children[0]
        .excluded
        .insert(food(BEEF), "a rash".into());
    let proposal = proposed(&some);
    assert_eq!(cubes(&some, &proposal, "beef"), BTreeMap::new());
    assert_eq!(
        proposal.binding,
        ["reaction: beef is not for Wren, beef is in it"]
    );
}

#[test]
fn whole_trays_on_cook_days() {
    let mut some = request(4, vec![squash(20)]);
    some.recipes
        .push(cookable("stew", &[1], cube(&[BEEF], 0.8)));
    let proposal = proposed(&some);
    assert_eq!(
        cubes(&some, &proposal, "stew"),
        BTreeMap::from([(day(2), 2), (day(3), 2)])
    );
    assert_eq!(
        proposal
            .plan
            .cookings
            .iter()
            .map(|one| (one.day, one.trays))
            .collect::<Vec<_>>(),
        [(day(1), 1)]
    );
    some.recipes[0].same_day = true;
    assert_eq!(served(&some, "stew").len(), 3);
    // Two cubes a tray: two trays at most, and with one tray a day one.
    some.recipes[0].cubes_a_tray = 2;
    assert_eq!(served(&some, "stew").values().sum::<u32>(), 4);
    some.trays_a_day = Some(1);
    assert_eq!(served(&some, "stew").values().sum::<u32>(), 2);
}

#[test]
fn what_is_settled_is_kept_and_counts() {
    let mut some = request(
        4,
        vec![beef(4), squash(20), batch("egg", 8, cube(&[EGG], 0.9))],
    );
    some.batches[2].groups = [DietGroup::Eggs].into();
    let meal = |after, batch, serving| FixedMeal {
        day: day(after),
        child: 0,
        meal: "lunch".into(),
        parts: vec![FixedPart {
            cubes: Some((batch, 2)),
            serving,
            groups: [DietGroup::Other].into(),
        }],
    };
    some.fixed = vec![meal(1, 0, cube(&[BEEF], 1.6))];
    let proposal = proposed(&some);
    assert!(proposal.plan.meals.iter().all(|meal| meal.day != day(1)));
    assert!(cubes(&some, &proposal, "beef").values().sum::<u32>() <= 2);
    // A settled first taste holds the plan's own back.
    some.batches.push(batch("salmon", 8, cube(&[SALMON], 0.9)));
    some.fixed = vec![meal(1, 2, cube(&[EGG], 1.8))];
    assert_eq!(served(&some, "salmon"), BTreeMap::new());
    // And what is settled against the rules is said at once.
    some.batches[2].cubes = 1;
    let Err(NoProposal::Settled(broken)) = propose(&some, Effort::default()) else {
        panic!()
    };
    assert_eq!(broken[0].words, "cubes of egg: 2 are planned, 1 are there");
}

#[test]
fn iron_comes_before_waste_and_the_oldest_before_the_cheapest() {
    let mut old = squash(8);
    old.use_by = day(1);
    let some = request(2, vec![beef(20), old.clone()]);
    assert_eq!(served(&some, "squash"), BTreeMap::new());
    let mut young = old.clone();
    young.title = "young".into();
    young.use_by = day(20);
    young.cost = "0.01".parse().ok();
    old.cost = "0.90".parse().ok();
    old.use_by = day(10);
    assert_eq!(
        served(&request(2, vec![young, old]), "young"),
        BTreeMap::new()
    );
}

#[test]
fn a_refused_food_is_offered_again_and_variety_is_sought() {
    let same = |name: &str, id| batch(name, 20, cube(&[id], 0.2));
    let mut some = request(2, vec![same("beef", BEEF), same("squash", SQUASH)]);
    some.batches[1].use_by = day(90);
    assert_eq!(served(&some, "squash"), BTreeMap::new());
    some.children[0].offer_again.insert(food(SQUASH));
    let proposal = proposed(&some);
    assert!(!cubes(&some, &proposal, "squash").is_empty());
    let why: Vec<_> = proposal.parts().flat_map(|(_, _, why)| why).collect();
    assert!(
        why.iter()
            .any(|why| *why == "squash was refused and is offered again"),
        "{why:?}"
    );
    // Three meals of one flavour are one too many where there is another.
    some.children[0].offer_again.clear();
    some.children[0].meals = ["breakfast", "lunch", "supper"].map(String::from).to_vec();
    assert_eq!(
        served(&some, "squash"),
        BTreeMap::from([(day(0), 2), (day(1), 2)])
    );
}

#[test]
fn the_same_request_gives_the_same_plan() {
    let mut some = request(
        5,
        vec![beef(7), squash(9), batch("egg", 5, cube(&[EGG], 0.5))],
    );
    some.recipes
        .push(cookable("stew", &[1], cube(&[BEEF, SQUASH], 0.4)));
    some.children[0].meals.push("supper".into());
    let first = proposed(&some);
    assert!((0..3).all(|_| propose(&some, Effort::default()).unwrap() == first));
}

#[test]
fn a_makeshift_plan_keeps_the_rules_and_says_what_it_is() {
    let some = request(4, vec![beef(3), squash(9)]);
    let proposal = propose_greedily(&some, "the solver was not asked").unwrap();
    assert_eq!(verify(&some, &proposal.plan), Vec::<String>::new());
    assert!(proposal.quality.sentence().starts_with("A makeshift plan"));
    assert!(proposal.objective >= proposed(&some).objective);
}

#[test]
fn a_draft_that_breaks_a_rule_is_never_told() {
    let some = request(2, vec![beef(2), squash(9)]);
    let frame = Frame::new(&some, Relaxed::default());
    let scale = Scale::new(&frame);
    let mut draft = Draft::empty(&frame);
    for day in 0..2 {
        draft.day_mut(0, day)[0] = 2;
    }
    let error = told(&frame, &scale, &draft, Quality::Optimal).unwrap_err();
    assert_eq!(
        error,
        "the plan of the solver breaks a rule (stock: cubes of beef: 4 are planned, 2 are there)"
    );
}

fn impossible(request: &Request) -> Impossible {
    match propose(request, Effort::default()) {
        Err(NoProposal::Impossible(impossible)) => impossible,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_cannot_be_done_is_explained() {
    let why = impossible(&request(3, vec![squash(4)]));
    assert!(why.contradictions[0].starts_with("stock:"), "{why:?}");
    assert_eq!(
        why.changes[0],
        "2 more cubes for Wren, of foods that Wren may have, the first of them by Wednesday: cook before that day"
    );
    assert!(
        why.changes
            .contains(&"smaller meals: allow meals of 1 cube".to_string())
    );

    let mut past = squash(10);
    past.use_by = day(1);
    let why = impossible(&request(3, vec![past]));
    assert!(
        why.contradictions
            .iter()
            .any(|one| one.starts_with("use-by dates:")),
        "{why:?}"
    );

    let mut new = request(2, vec![batch("egg", 20, cube(&[EGG], 0.7))]);
    new.children[0].known.insert(food("11090"), day(-1));
    let why = impossible(&new);
    assert!(why.contradictions[0].starts_with("new foods:"), "{why:?}");

    let mut shunned = request(1, vec![squash(10)]);
    shunned.children[0]
        .excluded
        .insert(food(SQUASH), "a rash".into());
    assert!(impossible(&shunned).contradictions[0].starts_with("reactions:"));

    let mut two = request(2, vec![squash(6)]);
    two.children[0].meals.push("supper".into());
    let why = impossible(&two);
    assert!(
        why.changes
            .iter()
            .any(|one| one.starts_with("fewer meals: allow 1 meals on Monday")),
        "{why:?}"
    );
}
