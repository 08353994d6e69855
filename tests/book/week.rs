//! The week as a parent reads it, and the JSON behind it.

use std::collections::BTreeMap;

use serde_json::Value;
use trayful::notebook::{Book, Pick, Plan, PlannedFood, PlannedServing, Slot};
use trayful::quantity::Mass;

use super::household::Household;
use super::support::trayful;

/// Two days: one with breast milk, squash and a banana from the table, some of it left, and one with squash alone.
fn with_two_days() -> Household {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--cubes", "14", "--on", "2026-10-01"]);
    home.answer(&["milk", "breast 4 feeds", "--on", "2026-10-02"]);
    let served = [
        "serve",
        "2 squash, 40 g 09040",
        "--meal",
        "lunch",
        "--on",
        "2026-10-02",
    ];
    let left = ["--how", "some", "--eaten", "50%"];
    home.answer(&[&served[..], &left[..]].concat());
    home.answer(&["serve", "1 squash", "--meal", "lunch", "--on", "2026-10-03"]);
    home
}

fn json(home: &Household, args: &[&str]) -> Value {
    serde_json::from_str(&home.answer(args)).unwrap()
}

#[test]
fn the_demo_households_last_week() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    trayful(&["demo", "--into", book.to_str().unwrap()]).answer();
    let week = ["week", "--to", "2026-11-15"];
    let answer = trayful(&week).inside(&book).answer();
    assert!(answer.lines().count() <= 25, "{answer}");
    insta::assert_snapshot!(answer);
    let why = [&week[..], &["--why"]].concat();
    insta::assert_snapshot!(trayful(&why).inside(&book).answer());
}

#[test]
fn a_week_with_gaps_says_which() {
    let home = with_two_days();
    let week = ["week", "--from", "2026-10-01", "--to", "2026-10-04"];
    let why = [&week[..], &["--why"]].concat();
    insta::assert_snapshot!(home.told(&[&week, &why]));
}

#[test]
fn days_without_a_record_are_no_days_without_food() {
    let home = with_two_days();
    insta::assert_snapshot!(home.told(&[
        &["week", "--to", "2026-12-31"],
        &["week", "--from", "2026-10-02", "--to", "2026-10-01"],
        &["week", "--from", "2026-01-01", "--to", "2026-10-01"],
        &["week", "--child", "Nobody", "--to", "2026-10-02"],
    ]));
}

/// SR28: a banana has 0.26 mg of iron in 100 g and 89 kcal; human milk 0.03 mg and 70 kcal. A feed is
/// 76 g (Kent and others, 2006).
#[test]
fn the_json_holds_every_figure_and_the_parts_it_is_made_of() {
    let home = with_two_days();
    let week = json(
        &home,
        &[
            "week",
            "--from",
            "2026-10-02",
            "--to",
            "2026-10-04",
            "--json",
        ],
    );
    assert_eq!(week["schema"], 1);
    for key in [
        "child", "from", "to", "days", "week", "record", "units", "foods", "tastes",
    ] {
        assert!(week.get(key).is_some(), "{key}");
    }
    assert_eq!(
        (&week["from"], &week["to"]),
        (&"2026-10-02".into(), &"2026-10-04".into())
    );
    let number = |value: &Value| value.as_f64().unwrap();
    let near = |value: &Value, expected: f64| {
        approx::assert_abs_diff_eq!(number(value), expected, epsilon = 1e-9);
    };

    let iron = &week["days"][0]["nutrients"]["FE"];
    near(&iron["milk"], 4.0 * 76.0 * 0.03 / 100.0);
    near(&iron["other"], 40.0 * 0.26 / 100.0 * 0.5);
    near(
        &iron["food"],
        number(&iron["puree"]) + number(&iron["other"]),
    );
    near(
        &iron["total"],
        number(&iron["milk"]) + number(&iron["food"]),
    );
    assert_eq!(iron["complete"], true);
    let energy = &week["days"][0]["nutrients"]["ENERC_KCAL"];
    near(&energy["milk"], 304.0 * 0.70);

    // The second day has no milk on record, and the third nothing.
    let second = &week["days"][1]["nutrients"]["FE"];
    assert_eq!(
        (&second["milk"], &second["complete"]),
        (&Value::Null, &false.into())
    );
    let third = &week["days"][2];
    assert_eq!(third["nutrients"]["FE"]["total"], Value::Null);
    assert_eq!(third["recorded"], false);
    assert_eq!(week["record"]["counted"], 2);

    let per_day = &week["week"]["FE"];
    let both = number(&iron["total"]) + number(&second["total"]);
    near(&per_day["per_day"], both / 2.0);
    assert_eq!(per_day["complete"], false);
    // Born on the second of March: six months old from the second of September on.
    assert_eq!(per_day["reference"]["kind"], "RDA");
    near(&per_day["reference"]["amount"], 11.0);
    near(&per_day["reference"]["percent"], both / 2.0 / 11.0 * 100.0);
    let servings = &week["days"][0]["meals"][0]["servings"];
    assert_eq!(servings.as_array().unwrap().len(), 2);
    assert_eq!(week["days"][0]["meals"][0]["share"], 0.5);
}

#[test]
fn a_week_as_it_is_planned() {
    let home = with_two_days();
    let meal = |meal: &str| Slot {
        day: jiff::civil::date(2026, 10, 5),
        child: "Wren".into(),
        meal: meal.into(),
    };
    let cubes = |name: &str, cubes: u32| {
        PlannedServing::Cubes(Pick {
            cubes: cubes.into(),
            name: name.into(),
        })
    };
    let banana = PlannedServing::Food(PlannedFood::by_id(
        "09040".parse().unwrap(),
        Mass::from_grams(30.0),
    ));
    // Squash is in the freezer, lentils are yet to be cooked.
    let meals = BTreeMap::from([
        (meal("lunch"), vec![cubes("squash", 2), banana]),
        (meal("supper"), vec![cubes("lentil", 2)]),
    ]);
    let plan = Plan {
        meals,
        ..Plan::default()
    };
    let book = Book::open(home.path()).unwrap();
    book.store().unwrap().plan(&plan).unwrap();
    home.answer(&["milk", "breast", "--from", "2026-10-05"]);
    let args = [
        "week",
        "--planned",
        "--from",
        "2026-10-05",
        "--to",
        "2026-10-06",
    ];
    let why = [&args[..], &["--why"]].concat();
    insta::assert_snapshot!(home.told(&[&args, &why]));
    let week = json(&home, &[&args[..], &["--json"]].concat());
    assert_eq!(week["planned"], true);
    let meals = week["days"][0]["meals"].as_array().unwrap();
    let names: Vec<_> = meals
        .iter()
        .map(|meal| meal["name"].as_str().unwrap())
        .collect();
    assert_eq!(names, ["lunch", "supper"]);
    assert_eq!(meals[1]["servings"][0]["what"], "Lentil and squash");
}

/// Where milk is not on record, the sum of the rest is told, and its share of the reference: the
/// same in the answer, its evidence and the page for the visit.
#[test]
fn a_lower_bound_is_one_figure_everywhere() {
    let home = Household::new();
    home.answer(&["serve", "100 g boiled lentils", "--on", "2026-11-20"]);
    let days = ["--from", "2026-11-20", "--to", "2026-11-20"];
    let told = |command: &[&str]| {
        let text = home.answer(&[command, &days].concat());
        let text = text.replace("&#62;", ">").replace('\u{a0}', " ");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let week = told(&["week"]);
    let words = "at least 3.33 mg, >= 30 % of 11 mg";
    assert!(week.contains(words), "{week}");
    assert!(
        week.contains("the amounts eaten and drunk: none estimated"),
        "{week}"
    );
    for (command, parts) in [
        (&["week", "--why"][..], [words, "3.33 mg >= 3.33 mg"]),
        (&["visit"], [words, words]),
        (&["visit", "-"], [words, ">= 30 %"]),
    ] {
        let text = told(command);
        for part in parts {
            assert!(text.contains(part), "{part} is not in {text}");
        }
    }
}
