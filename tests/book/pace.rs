//! Pace, outlook and room with numbers worked by hand.

use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use trayful::cost::BatchCost;
use trayful::notebook::{Book, FrozenBatch, Pace, PlannedEating, Stock};
use trayful::quantity::Mass;

use super::household::Household;

const TODAY: Date = date(2026, 10, 20);

fn eating(cubes_a_day: f64) -> Pace {
    Pace {
        cubes_a_day,
        stated: false,
        days: 14,
    }
}

/// Cubes that are left, and the days until their last day.
fn stock(of: &[(u32, i64)]) -> Vec<Stock> {
    let one = |(id, (left, days)): (i64, &(u32, i64))| Stock {
        batch: FrozenBatch {
            id,
            day: date(2026, 10, 1),
            name: "squash".into(),
            title: "Squash".into(),
            cubes: 40,
            cube: Mass::from_grams(28.0),
            puree: None,
            use_by: TODAY.checked_add(days.days()).unwrap(),
            dataset: String::new(),
            cost: BatchCost::default(),
        },
        left: *left,
    };
    (1..).zip(of).map(one).collect()
}

fn too_many(pace: f64, of: &[(u32, i64)]) -> Vec<u32> {
    let outlook = eating(pace).outlook(&stock(of), TODAY, &PlannedEating::default());
    outlook
        .into_iter()
        .map(|outlook| outlook.too_many)
        .collect()
}

#[test]
fn what_will_not_be_eaten_in_time() {
    // Today counts: 4 days of 2 cubes, 8 of 10.
    assert_eq!(too_many(2.0, &[(10, 3)]), [2]);
    assert_eq!(too_many(2.0, &[(8, 3)]), [0]);
    // The last day is today: one day's cubes.
    assert_eq!(too_many(2.0, &[(10, 0)]), [8]);
    // Past it: all of them.
    assert_eq!(too_many(2.0, &[(10, -1)]), [10]);
    // Nothing is eaten.
    assert_eq!(too_many(0.0, &[(10, 30)]), [10]);
    // 1.5 a day over 3 days is 4.5: four whole cubes.
    assert_eq!(too_many(1.5, &[(10, 2)]), [6]);
    // 0.1 a day over 30 days is 3, whatever a float makes of it.
    assert_eq!(too_many(0.1, &[(3, 29)]), [0]);
}

#[test]
fn the_second_batch_waits_for_the_first() {
    // 4 days of 2: 6 of the first, so 2 are left for the second on those days, and 3 more days of 2.
    assert_eq!(too_many(2.0, &[(6, 3), (10, 6)]), [0, 2]);
    // What is past its day is not eaten and delays nothing.
    assert_eq!(too_many(2.0, &[(6, -1), (8, 3)]), [6, 0]);
    // The surplus of the first is not eaten later: its 8 are, and then 4 of the second.
    assert_eq!(too_many(2.0, &[(10, 3), (10, 5)]), [2, 6]);
}

#[test]
fn the_room_for_a_new_batch() {
    let room = |pace: f64, of: &[(u32, i64)], keeps| {
        let room = eating(pace).room(&stock(of), (TODAY, keeps), &PlannedEating::default());
        (room.waiting, room.eaten_by_then, room.cubes)
    };
    // 31 days of 2 are 62, less the 10 that wait.
    assert_eq!(room(2.0, &[(10, 20)], 30), (10, 62, 52));
    // Two of them spoil, so 8 come first.
    assert_eq!(room(2.0, &[(10, 3)], 30), (8, 62, 54));
    assert_eq!(room(2.0, &[], 30), (0, 62, 62));
    // All days of the next month are taken.
    assert_eq!(room(1.0, &[(40, 30)], 30), (31, 31, 0));
    assert_eq!(room(0.0, &[(40, 60)], 30), (0, 0, 0));
    // What keeps longer can wait: 61 days of 1, less its 40; so 10 of those come in the first 31.
    assert_eq!(room(1.0, &[(40, 60)], 30), (10, 31, 21));
    // A short life: 10 days of 1, and the 13 that keep 29 days have 20 more.
    assert_eq!(room(1.0, &[(13, 29)], 9), (0, 10, 10));
    // 4 days of 1.5 are 6, less 1; the half cubes of 2 days are none.
    assert_eq!(room(1.5, &[(1, 2)], 3), (1, 6, 5));
    assert_eq!(room(1.5, &[], 2), (0, 4, 4));
}

#[test]
fn a_batch_that_fills_the_room_makes_nothing_too_many() {
    let stocks: [&[(u32, i64)]; 5] = [
        &[],
        &[(10, 3)],
        &[(6, 3), (10, 6)],
        &[(40, 60)],
        &[(5, -1), (9, 4), (30, 25), (20, 45)],
    ];
    for (of, keeps, pace) in stocks.iter().flat_map(|of| {
        [2u32, 9, 30, 50]
            .into_iter()
            .flat_map(move |keeps| [0.3, 1.0, 2.5].map(|pace| (of, keeps, pace)))
    }) {
        let wasted = |new: Option<u32>| -> u32 {
            let mut all = of.to_vec();
            all.extend(new.map(|cubes| (cubes, i64::from(keeps))));
            all.sort_by_key(|(_, days)| *days);
            too_many(pace, &all).iter().sum()
        };
        let cubes = eating(pace)
            .room(&stock(of), (TODAY, keeps), &PlannedEating::default())
            .cubes;
        let now = wasted(None);
        assert_eq!(wasted(Some(cubes)), now, "{cubes} in {of:?}");
        assert!(
            wasted(Some(cubes + 1)) > now,
            "{cubes} and one more in {of:?}"
        );
    }
}

#[test]
fn planned_meals_are_eaten_as_planned_and_the_others_at_the_pace() {
    // The next four days are planned whole: 6 of the first batch, none of the second.
    let day = |days: i64| TODAY.checked_add(days.days()).unwrap();
    let planned = PlannedEating {
        share_of_day: (0..4).map(|days| (day(days), 1.0)).collect(),
        by_day: [(day(0), 2), (day(1), 2), (day(3), 2)].into(),
        of_batch: [(1, 6)].into(),
        ..PlannedEating::default()
    };
    let outlook = |of: &[(u32, i64)], planned: &PlannedEating| -> Vec<(u32, u32)> {
        let outlook = eating(2.0).outlook(&stock(of), TODAY, planned);
        outlook
            .iter()
            .map(|one| (one.planned, one.too_many))
            .collect()
    };
    // On the days of the plan the pace says nothing: 4 of the first are left over on its last day.
    assert_eq!(outlook(&[(10, 3)], &planned), [(6, 4)]);
    // Two days after the plan, 4 cubes: those of the first that are not planned, and then none of the second.
    assert_eq!(outlook(&[(10, 5), (6, 5)], &planned), [(6, 0), (0, 6)]);
    // More than is left is not planned of a batch.
    assert_eq!(outlook(&[(5, 3)], &planned), [(5, 0)]);
    // Half of the meals of the first day: one cube at the others.
    let half = PlannedEating {
        share_of_day: [(TODAY, 0.5)].into(),
        ..PlannedEating::default()
    };
    assert_eq!(outlook(&[(3, 0)], &half), [(0, 2)]);
    // 31 days, 4 of them planned: 27 of 2 are 54, and 6 planned ones; the 4 that are not planned come first too.
    let room = eating(2.0).room(&stock(&[(10, 20)]), (TODAY, 30), &planned);
    assert_eq!((room.waiting, room.eaten_by_then, room.cubes), (10, 60, 50));
    // Twenty cubes are to be cooked in a week, which nobody plans to eat yet.
    let cooking = PlannedEating {
        to_cook: [(day(7), 20)].into(),
        ..planned
    };
    let room = eating(2.0).room(&stock(&[(10, 20)]), (TODAY, 30), &cooking);
    assert_eq!((room.waiting, room.cubes), (30, 30));
}

#[test]
fn the_freezer_goes_by_the_plan() {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--cubes", "14", "--on", "2026-10-01"]);
    home.said(&["serve", "2 squash", "--on", "2026-10-19"]);
    let freezer = || home.answer(&["freezer", "--on", "2026-10-20"]);
    // The last day is in ten days: at 2 a day all 12 are eaten.
    assert!(freezer().contains("12"), "{}", freezer());
    assert!(!freezer().contains("will not be eaten"), "{}", freezer());
    let plan =
        |words: &[&str]| home.answer(&[&["plan", "set"], words, &["--on", "2026-10-20"]].concat());
    for meal in ["breakfast", "supper"] {
        plan(&["2026-10-20", meal, "--empty", "--to", "2026-10-31"]);
    }
    plan(&["2026-10-20", "lunch", "1 squash", "--to", "2026-10-21"]);
    plan(&["2026-10-22", "lunch", "--empty", "--to", "2026-10-31"]);
    let text = freezer();
    assert!(text.contains("10 will not be eaten in time"), "{text}");
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("planned meals, the last on 21 Oct 2026, count as planned"),
        "{text}"
    );
    let json = || -> serde_json::Value {
        let freezer = home.answer(&["freezer", "--on", "2026-10-20", "--json"]);
        serde_json::from_str(&freezer).unwrap()
    };
    let before = json();
    assert_eq!(before["batches"][0]["cubes_planned"], 2);
    assert_eq!(before["batches"][0]["too_many"], 10);
    assert_eq!(before["pace"]["planned_until"], "2026-10-21");
    // A meal that was had as planned is no longer to come.
    home.said(&["serve", "1 squash", "--meal", "lunch", "--on", "2026-10-20"]);
    assert_eq!(json()["batches"][0]["cubes_planned"], 1);
}

/// The pace on a day, after so many cubes on the days before or after it.
fn pace(meals: &[(u32, i64)]) -> Pace {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--on", "2026-09-01"]);
    for (cubes, days) in meals {
        let day = TODAY.checked_add(days.days()).unwrap().to_string();
        home.said(&["serve", &format!("{cubes} squash"), "--on", &day]);
    }
    let book = Book::open(home.path()).unwrap();
    let store = book.store().unwrap();
    store.pace(&book.settings, TODAY, 2.0).unwrap()
}

#[test]
fn the_pace_is_that_of_the_last_two_weeks() {
    // 14 days with today: the 13th day back counts, the 14th does not; of them the days with a meal.
    let old = pace(&[(5, -14), (2, -13), (1, -1), (4, 0), (3, 1)]);
    assert_eq!(
        (old.cubes_a_day, old.days, old.stated),
        (7.0 / 3.0, 3, false)
    );
}

#[test]
fn a_day_without_entries_tells_nothing_of_the_pace() {
    let young = pace(&[(2, -3), (4, 0)]);
    assert_eq!((young.cubes_a_day, young.days), (6.0 / 2.0, 2));
    let first = pace(&[(2, 0)]);
    assert_eq!((first.cubes_a_day, first.days), (2.0, 1));
    let none = pace(&[]);
    assert_eq!((none.cubes_a_day, none.days), (0.0, 0));
}

#[test]
fn a_pace_that_is_stated_is_taken() {
    let home = Household::new();
    home.change("# servings_a_day = 2 ", "servings_a_day = 1.5 ");
    let book = Book::open(home.path()).unwrap();
    let store = book.store().unwrap();
    let pace = store.pace(&book.settings, TODAY, 2.0).unwrap();
    assert_eq!((pace.cubes_a_day, pace.stated), (3.0, true));
}
