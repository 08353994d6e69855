//! A case for each rule in which the plan would differ without the rule.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::civil::Date;

use super::*;
use crate::nutrition::{AgeMonths, DietGroup, NutrientId, Serving};
use crate::planning::kitchen::{
    BEEF, EGG, LENTILS, SALMON, SQUASH, batch, cookable, cube, day, food, request,
};
use crate::planning::limit::{Counts, DayLimit};
use crate::planning::{CubeBatch, CubeOrigin, CubeSize, FixedMeal, FixedPart, PlannedMeal};
use crate::quantity::Mass;
use crate::uncertainty::{Cause, Doubts, UnsurePortion};
use data_import::FoodId;

fn proposed(request: &Request) -> Proposal {
    let proposal = propose(
        request,
        Effort {
            gap: 0.0,
            nodes: 2000,
        },
    )
    .unwrap();
    assert_eq!(verify(request, &proposal.plan), Vec::<String>::new());
    assert_eq!(proposal.quality, Quality::Optimal);
    proposal
}

/// Cubes by day and title.
fn cubes(request: &Request, proposal: &Proposal, title: &str) -> BTreeMap<Date, u32> {
    let mut days = BTreeMap::new();
    let parts = proposal.parts();
    for (meal, part, _) in parts.filter(|(_, part, _)| part.origin.title(request) == title) {
        *days.entry(meal.day).or_default() += part.cubes;
    }
    days
}

fn served(request: &Request, title: &str) -> BTreeMap<Date, u32> {
    cubes(request, &proposed(request), title)
}

/// The number of meals of a dish, whatever their size.
fn meals(request: &Request, proposal: &Proposal, title: &str) -> usize {
    let parts = proposal.parts();
    parts
        .filter(|(_, part, _)| part.origin.title(request) == title)
        .count()
}

fn beef(cubes: u32) -> CubeBatch {
    batch("beef", cubes, cube(&[BEEF], 0.8))
}

fn squash(cubes: u32) -> CubeBatch {
    batch("squash", cubes, cube(&[SQUASH], 0.2))
}

fn egg(cubes: u32) -> CubeBatch {
    batch("egg", cubes, cube(&[EGG], 0.7))
}

/// Three meals a day, everything known.
fn three_meals(days: i64, batches: Vec<CubeBatch>) -> Request {
    let mut some = request(days, batches);
    let child = &mut some.children[0];
    child.meals = ["breakfast", "lunch", "supper"].map(String::from).to_vec();
    for id in [EGG, SALMON] {
        child.known.insert(food(id));
    }
    some
}

fn limit(hazard: &str, days: u32, most: f64, counts: Counts) -> DayLimit {
    DayLimit {
        hazard: hazard.into(),
        days,
        most,
        counts,
        judged: false,
    }
}

#[test]
fn one_dish_never_fills_the_week() {
    let some = three_meals(7, vec![beef(90), squash(90), egg(90)]);
    let proposal = proposed(&some);
    assert_eq!(proposal.plan.meals.len(), 18);
    for title in ["beef", "squash", "egg"] {
        assert_eq!(meals(&some, &proposal, title), 6);
    }
    assert_eq!(proposal.gaps.len(), 3);
    // Two dishes are not a choice: each may come twice a day.
    let some = three_meals(7, vec![beef(90), squash(90)]);
    let proposal = proposed(&some);
    assert_eq!(proposal.plan.meals.len(), 21);
    assert!(meals(&some, &proposal, "beef") <= 14);
}

#[test]
fn a_dish_comes_at_three_meals_in_a_row_at_most() {
    let one_meal = proposed(&request(7, vec![beef(90)]));
    assert_eq!(one_meal.plan.meals.len(), 6);
    let mut two_meals = three_meals(6, vec![beef(90), squash(90)]);
    two_meals.children[0].meals.truncate(2);
    assert_eq!(proposed(&two_meals).plan.meals.len(), 12);
}

#[test]
fn a_small_gain_of_iron_buys_no_monotony_and_a_large_one_does() {
    let of = |iron: f64| {
        let strong = batch("beef", 90, cube(&[BEEF], iron));
        let some = three_meals(4, vec![strong, squash(90), egg(90)]);
        let proposal = proposed(&some);
        meals(&some, &proposal, "beef")
    };
    assert_eq!(of(0.3), 4);
    assert!(of(4.0) > 4);
}

/// The cube with a doubt about its iron, relative to it, common to all of its foods.
fn unsure(mut cube: Serving, spread: f64) -> Serving {
    let mut doubts = Doubts::default();
    let name: FoodId = cube.foods[0].id.clone();
    let iron = cube.total(NutrientId::IRON).known.unwrap();
    doubts.note(NutrientId::IRON, Cause::Database(name), iron * spread);
    cube.portion = Some(UnsurePortion {
        doubts: Arc::new(doubts),
        times: 1.0,
        cubes: None,
    });
    cube
}

#[test]
fn plans_whose_intervals_of_iron_overlap_are_equal() {
    let of = |spread: f64| {
        let strong = batch("beef", 90, unsure(cube(&[BEEF], 4.0), spread));
        let others = [(SQUASH, "squash", 0.2), (EGG, "egg", 0.7)];
        let others =
            others.map(|(id, name, iron)| batch(name, 90, unsure(cube(&[id], iron), spread)));
        let some = three_meals(4, [vec![strong], others.to_vec()].concat());
        meals(&some, &proposed(&some), "beef")
    };
    assert!(of(0.02) > 4, "a gain that is sure is worth repetition");
    assert_eq!(of(0.6), 4, "a gain within the uncertainty is not");
}

#[test]
fn a_limit_of_a_week_holds_with_what_was_eaten_before() {
    let liver = batch("liver", 40, cube(&[BEEF], 3.0));
    let mut some = three_meals(7, vec![liver, squash(90), egg(90)]);
    let rare = Counts::Meals(BTreeSet::from([food(BEEF)]));
    some.children[0].limits = vec![limit("liver", 7, 1.0, rare)];
    let proposal = proposed(&some);
    assert_eq!(meals(&some, &proposal, "liver"), 1);
    some.fixed = vec![FixedMeal {
        day: day(-1),
        child: 0,
        meal: "supper".into(),
        parts: vec![FixedPart {
            recipe: Some("liver".into()),
            cubes: None,
            serving: cube(&[BEEF], 3.0),
        }],
    }];
    let proposal = proposed(&some);
    assert_eq!(cubes(&some, &proposal, "liver").keys().min(), Some(&day(6)));
}

#[test]
fn a_limit_of_a_day_counts_cubes() {
    let mut some = three_meals(2, vec![beef(40), squash(40)]);
    let each = Counts::Grams(BTreeMap::from([(food(BEEF), 1.0)]));
    some.children[0].limits = vec![limit("beef", 1, 60.0, each)];
    let proposal = proposed(&some);
    let most = cubes(&some, &proposal, "beef").into_values().max();
    assert!(most <= Some(2), "{most:?}");
}

#[test]
fn a_dish_that_is_barred_is_never_proposed() {
    let mut some = request(2, vec![beef(20), squash(20)]);
    let why = "beef is on record as an allergy of Wren".to_string();
    some.batches[0].barred.insert(0, why.clone());
    some.recipes
        .push(cookable("stew", &[0], cube(&[BEEF], 0.9)));
    some.recipes[0].barred.insert(0, why);
    let proposal = proposed(&some);
    assert!(
        proposal
            .parts()
            .all(|(_, part, _)| part.origin.title(&some) == "squash")
    );
    assert!(proposal.left_out[0].starts_with("beef is not for Wren: "));
}

#[test]
fn no_more_cubes_than_there_are() {
    let total = |there| {
        served(&request(3, vec![beef(there), squash(20)]), "beef")
            .values()
            .sum::<u32>()
    };
    assert_eq!((total(20), total(2), total(3)), (6, 2, 2));
}

#[test]
fn not_after_the_use_by_date_and_not_before_they_are_frozen() {
    let mut past = beef(20);
    past.use_by = day(1);
    let days = |request| served(&request, "beef").into_keys().collect::<Vec<_>>();
    assert_eq!(days(request(3, vec![past, squash(20)])), [day(0), day(1)]);
    let mut later = beef(20);
    later.from = day(2);
    assert_eq!(days(request(3, vec![later, squash(20)])), [day(2)]);
}

#[test]
fn new_foods_come_one_at_a_time_with_days_between() {
    let salmon = batch("salmon", 20, cube(&[SALMON], 0.6));
    let mut some = request(3, vec![squash(20), egg(4), salmon]);
    let firsts = |proposal: &Proposal| {
        let both = ["egg", "salmon"].map(|title| cubes(&some, proposal, title));
        both.into_iter().filter(|days| !days.is_empty()).count()
    };
    assert_eq!(firsts(&proposed(&some)), 1);
    // A first taste on the day before the plan holds the next back for two days.
    some.children[0].new_from = Some(day(2));
    let proposal = proposed(&some);
    let both = ["egg", "salmon"].map(|title| cubes(&some, &proposal, title));
    assert_eq!(
        both.iter().flat_map(BTreeMap::keys).collect::<Vec<_>>(),
        [&day(2)]
    );
    assert!(proposal.held_back[0].starts_with("the next new food of Wren"));
}

#[test]
fn a_new_allergen_comes_before_another_new_food() {
    let mut some = request(
        2,
        vec![squash(20), egg(4), batch("salmon", 4, cube(&[SALMON], 0.7))],
    );
    some.batches[1].cube.foods[0].allergens = vec!["egg".into()];
    let proposal = proposed(&some);
    assert_eq!(cubes(&some, &proposal, "egg").keys().min(), Some(&day(0)));
    // One cube of a new allergen is less than a meal.
    assert_eq!(
        proposal.reasons[0][0],
        "first taste of egg, beside food that Wren knows"
    );
}

#[test]
fn two_unknown_foods_in_one_batch_wait_until_one_is_known() {
    let both = batch("egg and salmon", 20, cube(&[EGG, SALMON], 0.9));
    let mut some = request(5, vec![squash(20), both]);
    assert_eq!(served(&some, "egg and salmon"), BTreeMap::new());
    some.batches.push(batch("egg", 2, cube(&[EGG], 0.3)));
    let proposal = proposed(&some);
    let first = |title| cubes(&some, &proposal, title).into_keys().next();
    assert_eq!(first("egg"), Some(day(0)));
    assert!(first("egg and salmon") >= Some(day(3)));
}

#[test]
fn a_refused_food_rests_and_is_offered_again() {
    let mut some = request(4, vec![beef(20), squash(20)]);
    some.children[0].offer_again.insert(food(SQUASH), day(2));
    let days: Vec<Date> = served(&some, "squash").into_keys().collect();
    assert!(!days.is_empty() && days[0] >= day(2), "{days:?}");
}

#[test]
fn a_known_allergen_is_kept_up() {
    let mut some = three_meals(3, vec![beef(40), squash(40), egg(2)]);
    let eggs = |some: &Request| served(some, "egg").len();
    some.batches[2].cube = cube(&[EGG], 0.0);
    some.groups.remove(&food(EGG));
    some.batches[2].cube.foods[0].allergens = vec!["egg".into()];
    some.children[0].allergens = BTreeSet::from(["egg".to_string()]);
    some.children[0].keep_up = some.children[0].allergens.clone();
    assert_eq!(eggs(&some), 1);
}

#[test]
fn whole_trays_on_cook_days_and_none_without_need() {
    let mut some = request(4, vec![squash(2)]);
    some.recipes
        .push(cookable("stew", &[1], cube(&[BEEF], 0.8)));
    let proposal = proposed(&some);
    assert_eq!(
        cubes(&some, &proposal, "stew"),
        BTreeMap::from([(day(2), 2), (day(3), 2)])
    );
    let trays = proposal
        .plan
        .cookings
        .iter()
        .map(|cooking| (cooking.day, cooking.trays));
    assert_eq!(trays.collect::<Vec<_>>(), [(day(1), 1)]);
    some.recipes[0].cubes_a_tray = 2;
    some.trays_a_day = Some(1);
    assert_eq!(served(&some, "stew").values().sum::<u32>(), 2);
    let mut enough = request(2, vec![beef(20)]);
    enough
        .recipes
        .push(cookable("stew", &[0], cube(&[BEEF], 0.8)));
    assert!(proposed(&enough).plan.cookings.is_empty());
}

#[test]
fn what_does_not_reach_is_filled_as_far_as_it_goes_and_the_gaps_are_named() {
    let mut some = request(4, vec![squash(4)]);
    some.recipes.push(cookable("stew", &[], cube(&[BEEF], 0.8)));
    let proposal = proposed(&some);
    assert_eq!(proposal.plan.meals.len(), 2);
    let gap = &proposal.gaps[1];
    assert_eq!(gap.why, "no cubes are left that Wren may have");
    assert!(gap.close.starts_with("cook a tray of stew by "), "{gap:?}");
    let nothing = proposed(&request(2, vec![squash(0)]));
    assert!(nothing.plan.meals.is_empty());
    assert_eq!(nothing.gaps[0].why, "no cubes are left for Wren");
}

#[test]
fn what_is_settled_is_kept_and_counts() {
    let mut some = request(4, vec![beef(4), squash(20), egg(8)]);
    some.fixed = vec![FixedMeal {
        day: day(1),
        child: 0,
        meal: "lunch".into(),
        parts: vec![FixedPart {
            recipe: Some("beef".into()),
            cubes: Some((0, 2)),
            serving: cube(&[BEEF], 1.6),
        }],
    }];
    let proposal = proposed(&some);
    assert!(proposal.plan.meals.iter().all(|meal| meal.day != day(1)));
    assert!(cubes(&some, &proposal, "beef").values().sum::<u32>() <= 2);
}

#[test]
fn settled_meals_on_both_sides_make_no_row_too_long() {
    let mut some = three_meals(3, vec![beef(90), squash(90), egg(90)]);
    let settled = |after, meal: &str| FixedMeal {
        day: day(after),
        child: 0,
        meal: meal.into(),
        parts: vec![FixedPart {
            recipe: Some("beef".into()),
            cubes: Some((0, 2)),
            serving: cube(&[BEEF], 1.6),
        }],
    };
    some.fixed = vec![
        settled(0, "lunch"),
        settled(0, "supper"),
        settled(1, "breakfast"),
    ];
    proposed(&some);
    some.children[0].meals = ["lunch", "supper"].map(String::from).to_vec();
    some.fixed = vec![settled(0, "supper"), settled(2, "lunch")];
    proposed(&some);
}

#[test]
fn cubes_that_expire_go_first() {
    let mut old = squash(4);
    old.use_by = day(1);
    let mut some = request(4, vec![batch("beef", 20, cube(&[BEEF], 0.3)), old]);
    some.groups.clear();
    assert_eq!(served(&some, "squash").values().sum::<u32>(), 4);
}

#[test]
fn the_same_request_gives_the_same_plan() {
    let mut some = three_meals(5, vec![beef(7), squash(9), egg(5)]);
    some.recipes
        .push(cookable("stew", &[1], cube(&[BEEF, SQUASH], 0.4)));
    let first = propose(&some, Effort::default()).unwrap();
    assert!((0..3).all(|_| propose(&some, Effort::default()).unwrap() == first));
}

/// Another dish at one meal leaves all other meals as they are and breaks no rule; what no meal
/// takes any more is not cooked.
#[test]
fn one_meal_has_another_dish() {
    let mut request = request(3, vec![squash(8), beef(6)]);
    request.recipes = vec![cookable("egg", &[0], cube(&[EGG], 0.7))];
    request.trays_a_day = Some(1);
    let proposal = proposed(&request);
    assert!(proposal.plan.meals.len() > 2, "{:?}", proposal.plan);
    let mut changed = 0;
    for (at, meal) in proposal.plan.meals.iter().enumerate() {
        for other in instead(&request, &proposal, at) {
            assert_eq!(verify(&request, &other.plan), Vec::<String>::new());
            let dish = |meal: &PlannedMeal| meal.parts[0].origin.recipe(&request).to_string();
            assert_ne!(dish(meal), dish(&other.plan.meals[at]));
            assert_eq!(meal.cubes(), other.plan.meals[at].cubes());
            for (now, before) in other.plan.meals.iter().zip(&proposal.plan.meals) {
                assert!(now == before || now == &other.plan.meals[at]);
            }
            let origins = other.plan.meals.iter().flat_map(|meal| &meal.parts);
            let origins: BTreeSet<_> = origins.map(|part| part.origin).collect();
            for cooking in &other.plan.cookings {
                let (recipe, day) = (cooking.recipe, cooking.day);
                assert!(origins.contains(&CubeOrigin::Cooking { recipe, day }));
            }
            assert_eq!(other.quality, Quality::Unrated);
            changed += 1;
        }
    }
    assert!(changed > 0);
    assert!(instead(&request, &proposal, proposal.plan.meals.len()).is_empty());
}

#[test]
fn a_new_allergen_begins_with_one_cube() {
    let mut some = request(5, vec![squash(20), egg(20)]);
    some.batches[1].cube.foods[0].allergens = vec!["egg".into()];
    let eggs = served(&some, "egg");
    let mut sizes = eggs.into_iter();
    assert_eq!(sizes.next(), Some((day(0), 1)));
    assert!(sizes.len() > 0 && sizes.all(|(_, cubes)| cubes == 2));
    // Set by hand with more cubes, it is found.
    let meal = |cubes| Schedule {
        meals: vec![PlannedMeal {
            day: day(0),
            child: 0,
            meal: "lunch".into(),
            parts: vec![crate::planning::PlannedCubes {
                origin: CubeOrigin::Batch(1),
                cubes,
            }],
        }],
        cookings: Vec::new(),
    };
    assert!(verify(&some, &meal(1)).is_empty());
    let wrong = verify(&some, &meal(2));
    assert!(
        wrong[0].contains("for the first time in 2 cubes"),
        "{wrong:?}"
    );
}

/// One cube is a usual size for a child who eats little: a first meal is no less a first one for
/// that.
#[test]
fn a_new_allergen_stays_at_one_cube_for_a_small_eater() {
    for (id, allergen) in [(EGG, "wheat"), (EGG, "soy"), (SALMON, "peanut")] {
        let mut some = request(5, vec![batch("new", 20, cube(&[id], 0.9))]);
        some.batches[0].cube.foods[0].allergens = vec![allergen.into()];
        for need in some.children[0].days.values_mut() {
            (need.age, need.usual, need.most, need.cubes) = (AgeMonths(6), 2, 3, 1..=3);
        }
        let mut sizes = served(&some, "new").into_iter();
        assert_eq!(sizes.next(), Some((day(0), 1)), "{allergen}");
        assert!(sizes.all(|(_, cubes)| cubes > 1), "{allergen}");
    }
}

/// Dishes that share a new allergen wait for each other: on the day of the first taste it comes at
/// one meal.
#[test]
fn dishes_with_the_same_new_allergen_do_not_share_its_first_day() {
    let dish = |title: &str, other: &str| {
        let mut both = batch(title, 40, cube(&[EGG, other], 0.9));
        both.cube.foods[0].allergens = vec!["egg".into()];
        both
    };
    let mut some = three_meals(
        3,
        vec![
            dish("egg", BEEF),
            dish("egg and squash", SQUASH),
            dish("egg and salmon", SALMON),
        ],
    );
    some.children[0].known.remove(&food(EGG));
    let proposal = proposed(&some);
    let first = proposal.plan.meals.iter().filter(|meal| meal.day == day(0));
    assert_eq!(first.map(PlannedMeal::cubes).collect::<Vec<_>>(), [1]);
    assert!(proposal.plan.meals.len() > 1);
}

#[test]
fn a_meal_that_the_age_does_not_need_ends_no_row() {
    let mut some = three_meals(4, vec![beef(90)]);
    for need in some.children[0].days.values_mut() {
        need.meals = 2..=2;
    }
    let proposal = proposed(&some);
    assert_eq!(proposal.plan.meals.len(), 6);
    assert!(
        proposal
            .gaps
            .iter()
            .all(|gap| gap.why.contains("often enough"))
    );
}

#[test]
fn a_dish_with_one_new_food_is_one_to_choose_from() {
    let salmon = batch("salmon", 90, cube(&[SALMON], 0.6));
    let mut some = three_meals(7, vec![beef(90), squash(90), salmon]);
    some.children[0].known.remove(&food(SALMON));
    let proposal = proposed(&some);
    for title in ["beef", "squash", "salmon"] {
        assert!(meals(&some, &proposal, title) <= 6, "{title}");
    }
    // Two new foods at once cannot be brought in: there are two dishes.
    some.batches[2].cube = cube(&[SALMON, EGG], 0.6);
    some.children[0].known.remove(&food(EGG));
    let proposal = proposed(&some);
    assert!(meals(&some, &proposal, "beef") > 6);
}

#[test]
fn what_was_hardly_ever_eaten_is_offered_in_small_and_with_a_pause() {
    let mut some = three_meals(4, vec![beef(40), squash(40), egg(40)]);
    for need in some.children[0].days.values_mut() {
        (need.usual, need.most, need.cubes) = (4, 4, 2..=4);
    }
    let child = &mut some.children[0];
    child.offer_again.insert(food(SQUASH), day(0));
    assert!(served(&some, "squash").len() > 2);
    some.children[0].not_liked_yet.insert(food(SQUASH));
    let offers = served(&some, "squash");
    assert!(offers.len() <= 2 && offers.values().all(|cubes| *cubes == 2));
}

#[test]
fn cubes_that_run_short_are_spread_evenly() {
    let mut some = request(4, vec![beef(13)]);
    some.children[0].meals = vec!["lunch".into(), "supper".into()];
    for need in some.children[0].days.values_mut() {
        (need.usual, need.most, need.cubes) = (4, 5, 2..=5);
        need.meals = 1..=1;
    }
    let proposal = proposed(&some);
    let sizes: BTreeSet<u32> = proposal.plan.meals.iter().map(PlannedMeal::cubes).collect();
    let (least, most) = (sizes.first().unwrap(), sizes.last().unwrap());
    assert!(most - least <= 1, "{sizes:?}");
}

#[test]
fn what_brings_no_iron_is_named_with_what_would() {
    let mut some = request(3, vec![squash(20)]);
    let lacking = proposed(&some).lacking;
    assert_eq!(
        lacking[0].why,
        "no meat, fish, egg or pulses for Wren on any day; they bring iron and zinc"
    );
    assert_eq!(
        lacking[0].close,
        "cook or give from the table one that Wren knows"
    );
    some.children[0].known.remove(&food(BEEF));
    let close = &proposed(&some).lacking[0].close;
    assert!(close.contains("bring one in"), "{close}");
    some.children[0].known.insert(food(BEEF));
    some.recipes.push(cookable("stew", &[], cube(&[BEEF], 0.9)));
    let lacking = proposed(&some).lacking;
    assert!(
        lacking[0]
            .close
            .starts_with("cook a tray of stew by Mon 30 Nov")
    );
    assert!(
        proposed(&request(3, vec![beef(20), squash(20)]))
            .lacking
            .is_empty()
    );
}

#[test]
fn days_of_pulses_alone_are_named_where_there_is_meat_or_egg() {
    let lentils = || batch("lentils", 20, cube(&[LENTILS], 0.4));
    let with_pulses = |batches| {
        let mut some = request(3, batches);
        some.groups.insert(food(LENTILS), DietGroup::Pulses);
        some.children[0].known.insert(food(LENTILS));
        some
    };
    let none_cooked = with_pulses(vec![lentils()]);
    assert!(proposed(&none_cooked).lacking.is_empty());
    let mut some = with_pulses(vec![lentils(), beef(2)]);
    let lacking = proposed(&some).lacking;
    assert_eq!(
        lacking[0].why,
        "pulses, and no meat, fish or egg for Wren on 2 of 3 days with meals; \
         food from animals is meant for every day where there is any"
    );
    assert_eq!(lacking.len(), 1);
    // A dish that the child may not have does not count.
    some.batches[1].barred.insert(0, "an allergy".into());
    assert!(proposed(&some).lacking.is_empty());
}

#[test]
fn the_reason_of_a_gap_is_what_keeps_the_dish_away() {
    let why = |some: &Request| {
        let gaps = proposed(some).gaps;
        gaps.first().map(|gap| gap.why.clone()).unwrap_or_default()
    };
    let both = batch("egg and salmon", 20, cube(&[EGG, SALMON], 0.9));
    let some = request(2, vec![both]);
    assert!(why(&some).contains("holds several foods new to Wren"));
    let mut some = request(3, vec![beef(20)]);
    let fish = Counts::Meals(BTreeSet::from([food(BEEF)]));
    some.children[0].limits = vec![limit("fish", 7, 1.0, fish)];
    assert!(why(&some).contains("at its limit of 1 meal with fish in 7 days"));
    let mut some = request(1, vec![squash(20)]);
    some.children[0].offer_again.insert(food(SQUASH), day(3));
    assert!(why(&some).contains("was refused, and has a pause"));
}

#[test]
fn advice_for_gaps_keeps_the_rules() {
    let mut some = three_meals(4, Vec::new());
    some.recipes.push(cookable("stew", &[], cube(&[BEEF], 0.9)));
    let proposal = proposed(&some);
    let mut by_day: BTreeMap<Date, usize> = BTreeMap::new();
    for gap in &proposal.gaps {
        *by_day.entry(gap.day).or_default() += usize::from(gap.close.contains("of stew"));
    }
    // Six meals of two cubes, and eight cubes a tray.
    let mut closing = proposal.gaps.iter().map(|gap| gap.close.as_str());
    assert!(closing.any(|close| close.starts_with("cook 2 trays of stew by ")));
    assert!(by_day.values().all(|meals| *meals <= 2), "{by_day:?}");
    assert_eq!(by_day.values().sum::<usize>(), 6);
}

/// A cube of three times the size is three cubes, and no meal is of less than one.
#[test]
fn large_cubes_count_for_what_they_hold() {
    let mut large = squash(9);
    large.size = CubeSize::of(Mass::from_grams(84.0), Mass::from_grams(28.0));
    let mut some = request(3, vec![large]);
    for need in some.children[0].days.values_mut() {
        (need.usual, need.most, need.cubes) = (3, 4, 2..=4);
    }
    let each = BTreeMap::from([(day(0), 1), (day(1), 1), (day(2), 1)]);
    assert_eq!(served(&some, "squash"), each);
    let mut plan = proposed(&some).plan;
    plan.meals[0].parts[0].cubes = 2;
    let wrong = verify(&some, &plan).join("; ");
    let words = "2 cubes, as much as 6.0 of the first tray, where 4 at most are usual";
    assert!(wrong.contains(words), "{wrong}");
    for need in some.children[0].days.values_mut() {
        (need.usual, need.most, need.cubes) = (1, 2, 1..=2);
    }
    assert_eq!(served(&some, "squash"), each);
}

#[test]
fn small_cubes_count_for_what_they_hold() {
    let mut small = squash(30);
    small.size = CubeSize::of(Mass::from_grams(14.0), Mass::from_grams(28.0));
    let some = request(3, vec![small]);
    assert!(served(&some, "squash").values().all(|cubes| *cubes == 4));
}

#[test]
fn the_meals_between_go_without_before_supper_does() {
    let filled = |names: &[&str]| {
        let mut some = three_meals(1, vec![beef(20), squash(20), egg(20)]);
        some.children[0].meals = names.iter().map(ToString::to_string).collect();
        let meals = proposed(&some).plan.meals.into_iter();
        meals.map(|meal| meal.meal).collect::<Vec<String>>()
    };
    let three = ["breakfast", "lunch", "supper"];
    assert_eq!(
        filled(&["breakfast", "snack", "lunch", "tea", "supper"]),
        three
    );
    // Without a supper, tea is the evening meal.
    let tea = ["breakfast", "lunch", "tea"];
    assert_eq!(filled(&["breakfast", "snack", "lunch", "tea"]), tea);
}

#[test]
fn no_meal_is_filled_and_no_gap_named_before_six_months() {
    let mut some = request(4, vec![squash(2)]);
    some.children[0].solids_from = day(2);
    let proposal = proposed(&some);
    let days: Vec<Date> = proposal.plan.meals.iter().map(|meal| meal.day).collect();
    assert_eq!(days, [day(2)]);
    assert!(proposal.gaps.iter().all(|gap| gap.day == day(3)));
    let words = "Wren is six months old on 2 Dec 2026";
    assert!(proposal.before_solids[0].starts_with(words), "{proposal:?}");
}

#[test]
fn a_dish_that_is_barred_on_some_days_comes_on_the_others() {
    let mut some = request(4, vec![squash(20)]);
    for after in 0..2 {
        let why = "not before 12 months".to_string();
        some.batches[0].not_on.insert((0, day(after)), why);
    }
    let proposal = proposed(&some);
    let days: Vec<Date> = cubes(&some, &proposal, "squash").into_keys().collect();
    assert_eq!(days, [day(2), day(3)]);
    assert_eq!(
        proposal.left_out,
        ["squash is not for Wren until Tue 1 Dec: not before 12 months"]
    );
}

#[test]
fn cubes_past_their_day_are_the_reason_of_a_gap() {
    let mut old = squash(4);
    old.use_by = day(-1);
    let gaps = proposed(&request(1, vec![old])).gaps;
    assert_eq!(
        gaps[0].why,
        "no cubes are left that Wren may have: 4 cubes are past the last day"
    );
}

/// A meal that is planned between today and the first day of the plan brings its new food before
/// it.
#[test]
fn a_new_food_waits_after_one_that_is_planned_before_the_first_day() {
    let salmon = batch("salmon", 20, cube(&[SALMON], 0.9));
    let mut some = request(4, vec![squash(20), salmon]);
    let need = some.children[0].days[&day(0)].clone();
    some.children[0].days.insert(day(-1), need);
    some.fixed = vec![FixedMeal {
        day: day(-1),
        child: 0,
        meal: "lunch".into(),
        parts: vec![FixedPart {
            recipe: Some("egg".into()),
            cubes: None,
            serving: cube(&[EGG], 0.7),
        }],
    }];
    assert_eq!(served(&some, "salmon").into_keys().next(), Some(day(2)));
}

#[test]
fn an_early_meal_is_filled_before_a_late_one() {
    let days: Vec<Date> = served(&request(5, vec![beef(4)]), "beef")
        .into_keys()
        .collect();
    assert_eq!(days, [day(0), day(1)]);
}

/// A schedule of meals of one day, each of cubes of the first batch.
fn by_hand(meals: &[(&str, u32)]) -> Schedule {
    let meal = |(meal, cubes): &(&str, u32)| PlannedMeal {
        day: day(0),
        child: 0,
        meal: (*meal).into(),
        parts: vec![crate::planning::PlannedCubes {
            origin: CubeOrigin::Batch(0),
            cubes: *cubes,
        }],
    };
    Schedule {
        meals: meals.iter().map(meal).collect(),
        cookings: Vec::new(),
    }
}

#[test]
fn a_day_past_its_limit_is_named_once_at_the_meal_that_adds_most() {
    let mut some = three_meals(1, vec![beef(20)]);
    for need in some.children[0].days.values_mut() {
        (need.most, need.cubes) = (4, 1..=4);
    }
    let each = Counts::Grams(BTreeMap::from([(food(BEEF), 1.0)]));
    some.children[0].limits = vec![limit("retinol", 1, 60.0, each)];
    let plan = by_hand(&[("breakfast", 3), ("supper", 1)]);
    let broken = verify::week(&some, &plan).broken();
    let broken: Vec<_> = broken.iter().map(|one| one.meal.as_deref()).collect();
    assert_eq!(broken, [Some("breakfast")]);
}

#[test]
fn a_new_allergen_from_the_table_begins_with_a_little_too() {
    let broken = |grams: f64| {
        let mut some = request(2, vec![squash(20)]);
        let mut serving = cube(&[EGG], 0.7).times(grams / 28.0);
        serving.foods[0].allergens = vec!["egg".into()];
        some.fixed = vec![FixedMeal {
            day: day(0),
            child: 0,
            meal: "lunch".into(),
            parts: vec![FixedPart {
                recipe: None,
                cubes: None,
                serving,
            }],
        }];
        let broken = verify::week(&some, &Schedule::default()).broken();
        let words = broken.into_iter().map(|one| one.words);
        words.collect::<Vec<String>>().join("; ")
    };
    assert_eq!(broken(20.0), "");
    let words = "100 g with egg for the first time: start with a spoon";
    assert!(broken(100.0).starts_with(words), "{}", broken(100.0));
}
