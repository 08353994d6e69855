//! Days that were left out are caught up with in one step.

use serde_json::Value;

use super::household::Household;

/// Monday has two meals; of Tuesday to Thursday nothing is written down; Tuesday and Wednesday were planned.
fn home() -> Household {
    let home = Household::new();
    home.answer_with_warnings(&["freeze", "squash", "--cubes", "20", "--on", "2026-11-20"]);
    let monday = ["--on", "2026-11-23", "--meal"];
    home.answer_with_warnings(&[&["serve", "30 g 01116"], &monday[..], &["breakfast"]].concat());
    home.answer_with_warnings(
        &[
            &["serve", "2 squash"],
            &monday[..],
            &["lunch", "--eaten", "60%"],
        ]
        .concat(),
    );
    for day in ["2026-11-24", "2026-11-25"] {
        home.answer_with_warnings(&["plan", "set", day, "lunch", "3 squash"]);
    }
    home
}

fn meals(home: &Household, day: &str) -> Vec<String> {
    let log = home.json(&["log", "--json"]);
    let entries = log["entries"].as_array().unwrap().iter();
    let of_day = entries.filter(|one| one["day"] == day && one["kind"] != "plan");
    let mut words: Vec<String> = of_day
        .map(|one| one["words"].as_str().unwrap().to_string())
        .collect();
    words.reverse();
    words
}

fn days(home: &Household) -> Vec<Value> {
    let gap = home.json(&["catch-up", "--json"]);
    gap["days"].as_array().unwrap().clone()
}

#[test]
fn the_days_without_entries_are_listed_with_what_may_have_been_eaten() {
    let home = home();
    let days = days(&home);
    let dates: Vec<&Value> = days.iter().map(|day| &day["date"]).collect();
    assert_eq!(dates, ["2026-11-24", "2026-11-25", "2026-11-26"]);
    assert_eq!(days[0]["planned"][0], "lunch: 3 cubes of squash");
    assert_eq!(days[2]["planned"].as_array().unwrap().len(), 0);
    assert_eq!(days[2]["day_before"], "2026-11-23");
    assert_eq!(
        days[2]["before"][1],
        "lunch: 2 cubes of squash; some of it (60 %)"
    );
    let told = home.answer(&["catch-up"]);
    assert!(told.contains("Tuesday 24 November 2026"), "{told}");
    assert!(told.contains("trayful catch-up --as-before all"), "{told}");
    assert!(
        !told.contains("--as-planned all"),
        "Thursday had no plan: {told}"
    );
}

#[test]
fn each_day_is_told_in_its_own_way_in_one_step() {
    let home = home();
    home.answer_with_warnings(&[
        "catch-up",
        "--as-planned",
        "2026-11-24",
        "--as-before",
        "2026-11-25",
        "--not-known",
        "all",
    ]);
    let planned = ["lunch: 3 cubes of Squash (#1); eaten"];
    assert_eq!(meals(&home, "2026-11-24"), planned);
    // The day before is now the one that went as planned.
    assert_eq!(meals(&home, "2026-11-25"), planned);
    assert_eq!(
        meals(&home, "2026-11-26"),
        ["gap: what was eaten is not known"]
    );
    assert!(days(&home).is_empty());
    let freezer = home.json(&["freezer", "--json"]);
    assert_eq!(freezer["batches"][0]["cubes_left"], 20 - 2 - 3 - 3);
    // A day that nobody knows is no day with entries.
    let week = home.json(&[
        "week",
        "--from",
        "2026-11-26",
        "--to",
        "2026-11-26",
        "--json",
    ]);
    assert_eq!(
        week["days"][0]["nutrients"]["FE"]["food"],
        Value::Null,
        "{week}"
    );
}

#[test]
fn the_day_before_comes_again_with_what_was_eaten_of_it() {
    let home = home();
    home.answer_with_warnings(&["catch-up", "--as-before", "all"]);
    for day in ["2026-11-24", "2026-11-25", "2026-11-26"] {
        assert_eq!(
            meals(&home, day),
            [
                "breakfast: 30 g of yogurt, plain, whole milk; eaten",
                "lunch: 2 cubes of Squash (#1); some of it (60 %)"
            ]
        );
    }
}

#[test]
fn what_was_refused_on_a_day_is_not_invented_for_another() {
    let home = home();
    home.answer_with_warnings(&[
        "serve",
        "20 g 09040",
        "--meal",
        "supper",
        "--how",
        "refused",
        "--on",
        "2026-11-23",
    ]);
    let before = &days(&home)[0]["before"];
    assert_eq!(before.as_array().unwrap().len(), 2, "{before}");
    home.answer_with_warnings(&["catch-up", "--as-before", "all"]);
    assert_eq!(meals(&home, "2026-11-24").len(), 2);
}

#[test]
fn all_is_recorded_or_nothing() {
    let home = home();
    let before = home.answer(&["log", "--json"]);
    let refused = home.refusal(&["catch-up", "--as-planned", "all"]);
    assert!(
        refused.contains("nothing was planned for 26 Nov 2026"),
        "{refused}"
    );
    let refused = home.refusal(&["catch-up", "--not-known", "2026-11-23"]);
    assert!(
        refused.contains("23 Nov 2026 is no day without entries"),
        "{refused}"
    );
    home.answer_with_warnings(&["discard", "17 squash", "--on", "2026-11-23"]);
    let refused = home.refusal(&["catch-up", "--as-before", "all"]);
    assert!(refused.contains("squash"), "{refused}");
    home.answer(&["undo", "6", "--json"]);
    assert_eq!(home.answer(&["log", "--json"]), before);
}

#[test]
fn a_hazard_of_days_is_judged_as_in_every_other_command() {
    let home = home();
    home.answer_with_warnings(&[
        "serve",
        "20 g honey",
        "--on",
        "2026-11-23",
        "--meal",
        "supper",
        "--anyway",
    ]);
    let said = home.said(&["catch-up", "--as-before", "all", "--json"]);
    assert_eq!(said.code, 1, "{}", said.out);
    assert!(said.out.contains("honey"), "{}", said.out);
    assert_eq!(days(&home).len(), 3);
}

#[test]
fn a_record_that_begins_today_owes_nothing_of_the_days_before() {
    let home = Household::new();
    home.answer(&[
        "serve",
        "30 g 01116",
        "--meal",
        "lunch",
        "--on",
        "2026-11-10",
    ]);
    for command in ["visit", "week"] {
        let said = home.said(&[command, "--to", "2026-11-10"]).out;
        assert!(
            said.contains("Next") && !said.contains("down the meals of"),
            "{said}"
        );
    }
    let later = home.said(&["week", "--to", "2026-11-12"]).out;
    let later = later.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        later.contains("rite down the meals of 11 Nov 2026"),
        "{later}"
    );
}
