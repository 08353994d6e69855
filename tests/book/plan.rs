//! Plans as a parent meets them: every command by its whole output.

use std::collections::BTreeSet;

use jiff::ToSpan as _;
use jiff::civil::date;
use proptest::prelude::*;
use trayful::cost::BatchCost;
use trayful::notebook::{
    Child, FrozenBatch, Pick, Plan, PlannedCooking, PlannedFood, PlannedServing, Settings, Slot,
    Stock,
};
use trayful::planning::file;
use trayful::planning::validation::{Validation, name_of};
use trayful::problem::SourceText;
use trayful::quantity::Mass;

use super::household::Household;
use super::support::trayful;

/// Squash known and in the freezer, lentils not tasted yet.
pub(crate) fn with_cubes() -> Household {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--cubes", "6", "--on", "2026-10-01"]);
    home.answer(&["serve", "1 squash", "--on", "2026-10-02"]);
    home
}

/// Its plan of a week.
pub(crate) fn with_a_plan() -> Household {
    let home = with_cubes();
    for set in [
        &["2026-10-05", "lunch", "2 squash"][..],
        &["2026-10-06", "lunch", "2 squash", "30 g 01116"],
        &["2026-10-07", "lunch", "2 squash", "--to", "2026-10-08"],
        &["2026-10-07", "--cook", "1 lentil"],
        &["2026-10-09", "supper", "2 lentil"],
    ] {
        let on = ["--on", "2026-10-05"];
        home.answer(&[&["plan", "set"][..], set, &on].concat());
    }
    home
}

#[test]
fn a_meal_is_planned_changed_and_cleared() {
    let home = with_cubes();
    let on = ["--on", "2026-10-05"];
    let set = |words: &[&'static str]| [&["plan", "set"][..], words, &on].concat();
    insta::assert_snapshot!(home.told(&[
        &["plan", "show", "--on", "2026-10-05"],
        &set(&["2026-10-05", "lunch", "2 squash"]),
        &set(&["2026-10-05", "lunch", "1 squash, 30 ml 01116"]),
        &set(&["2026-10-05", "lunch", "1 squash"]),
        &set(&["2026-10-05", "lunch", "1 squash"]),
        &set(&[
            "2026-10-06",
            "supper",
            "1 lentil",
            "1 egg",
            "--to",
            "2026-10-07"
        ]),
        &set(&["2026-10-06", "--cook", "2 lentil", "--cook", "1 egg"]),
        &set(&["2026-10-05", "lunch", "--empty"]),
        &set(&["2026-10-06", "--empty"]),
        &["undo"],
        &["plan", "export", "-", "--on", "2026-10-05"],
    ]));
}

#[test]
fn a_plan_is_shown_as_days_and_meals() {
    let home = with_a_plan();
    home.answer(&["serve", "--meal", "lunch", "--on", "2026-10-05"]);
    let other = ["serve", "1 squash", "--meal", "lunch", "--on", "2026-10-06"];
    home.answer(&[&other[..], &["--how", "some"]].concat());
    insta::assert_snapshot!(home.told(&[
        &["plan", "show", "--from", "2026-10-05", "--on", "2026-10-08"],
        &[
            "plan",
            "check",
            "--from",
            "2026-10-05",
            "--on",
            "2026-10-08"
        ],
        &[
            "plan",
            "show",
            "--json",
            "--to",
            "2026-10-09",
            "--on",
            "2026-10-08"
        ],
    ]));
}

#[test]
fn a_plan_is_held_against_the_freezer_the_days_and_the_tastes() {
    let home = with_a_plan();
    home.say_of_itself(
        "\n[[child]]\nname = \"Robin\"\nborn = \"2026-03-02\"\nallergies = [\"egg\"]\n",
    );
    home.answer(&[
        "freeze",
        "egg",
        "--cubes",
        "9",
        "--on",
        "2026-10-05",
        "--anyway",
    ]);
    home.answer(&[
        "serve",
        "1 squash",
        "--child",
        "Wren",
        "--on",
        "2026-10-05",
        "--reaction",
        "red cheeks",
    ]);
    let set = |words: &[&str]| home.answer(&[&["plan", "set"][..], words].concat());
    let for_robin = ["--child", "Robin", "--on", "2026-10-05"];
    let egg = ["plan", "set", "2026-10-06", "breakfast", "6 egg"];
    let egg = [&egg[..], &for_robin].concat();
    let rows = home.rows();
    let json = [&egg[..], &["--json"]].concat();
    let stopped = home.told(&[&egg, &json]);
    assert_eq!(rows, home.rows(), "an allergy on record stops a plan");
    home.answer(&[&egg[..], &["--anyway"]].concat());
    let later = ["2026-11-06", "supper", "1 egg", "--anyway"];
    set(&[&later[..], &for_robin].concat());
    set(&[
        "2026-10-04",
        "supper",
        "1 squash",
        "--child",
        "Robin",
        "--on",
        "2026-10-04",
    ]);
    set(&["2026-10-04", "--cook", "1 egg", "--on", "2026-10-05"]);
    let check = [
        "plan",
        "check",
        "--from",
        "2026-10-04",
        "--to",
        "2026-11-08",
    ];
    let check = [&check[..], &["--on", "2026-10-05"]].concat();
    let json = [&check[..], &["--json"]].concat();
    let told = home.told(&[&check]);
    let found: serde_json::Value = serde_json::from_str(&home.said(&json).out).unwrap();
    let rules: Vec<&str> = found["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["rule"].as_str().unwrap())
        .collect();
    insta::assert_snapshot!(format!("{stopped}\n{told}\n{}", rules.join("\n")));
}

#[test]
fn what_the_book_no_longer_knows_is_found() {
    let home = with_a_plan();
    home.answer(&[
        "plan",
        "set",
        "2026-10-06",
        "supper",
        "1 #1",
        "--on",
        "2026-10-05",
    ]);
    std::fs::remove_file(home.path().join("recipes/lentil.toml")).unwrap();
    home.answer(&["discard", "5", "squash", "--on", "2026-10-05"]);
    home.change(
        "# meals = [\"breakfast\", \"lunch\", \"supper\"]",
        "meals = [\"morning\", \"supper\"]",
    );
    insta::assert_snapshot!(home.told(&[
        &["plan", "check", "--on", "2026-10-05"],
        &["plan", "show", "--on", "2026-10-05"],
    ]));
    home.change("born = \"2026-03-02\"", "born = \"2026-10-07\"");
    insta::assert_snapshot!(home.told(&[&["plan", "check", "--on", "2026-10-05"]]));
    home.change("name = \"Wren\"", "name = \"Robin\"");
    insta::assert_snapshot!(home.told(&[&["plan", "check", "--on", "2026-10-05"]]));
}

#[test]
fn what_cannot_be_planned_is_refused_and_leaves_nothing() {
    let home = with_cubes();
    home.answer(&["freeze", "egg", "--cubes", "1", "--on", "2026-10-01"]);
    home.answer(&["discard", "1", "egg", "--on", "2026-10-01"]);
    let before = home.rows();
    let set = |words: &[&'static str]| [&["plan", "set"][..], words].concat();
    insta::assert_snapshot!(home.told(&[
        &set(&["2026-03-01", "lunch", "1 squash"]),
        &set(&["2036-03-02", "lunch", "1 squash"]),
        &set(&["2016-10-05", "--cook", "1 squash"]),
        &set(&["some day", "lunch", "1 squash"]),
        &set(&["2026-10-05", "lunch", "1 #3"]),
        &set(&["2026-10-05", "lunch", "1 #99"]),
        &set(&["2026-10-05", "lunch", "1 sqush"]),
        &set(&["2026-10-05", "lunch", "1 squash, 2 squash"]),
        &set(&["2026-10-05", "lunch", "9 kg 01116"]),
        &set(&["2026-10-05", "lunch"]),
        &set(&["2026-10-05", "brunch", "1 squash"]),
        &set(&["2026-10-05", "lunch", "1 squash", "--child", "Robin"]),
        &set(&["2026-10-05", "lunch", "1 squash", "--to", "2027-10-05"]),
        &set(&["2026-10-05", "--cook", "1 squash", "--cook", "2 squash"]),
        &set(&["2026-10-05", "--cook", "101 squash"]),
        &set(&["2026-10-05", "--cook", "30 g 01116"]),
        &["plan", "show", "--from", "2026-10-05", "--to", "2026-10-04"],
        &["plan", "show", "--from", "2026-10-05", "--to", "2028-10-04"],
    ]));
    assert_eq!(before, home.rows());
}

#[test]
fn a_plan_goes_into_a_file_and_back() {
    let home = with_a_plan();
    let span = ["--from", "2026-10-05", "--to", "2026-10-31"];
    let export = [&["plan", "export", "-"][..], &span].concat();
    let before = home.answer(&export);
    home.write("plan.csv", &before);
    let told = home.told(&[
        &["plan", "import", "plan.csv", "--on", "2026-10-05"],
        &export,
    ]);
    assert_eq!(before, home.answer(&export));
    let other = with_cubes();
    let path = home.path().join("plan.csv").display().to_string();
    let there = other.told(&[&["plan", "import", &path, "--on", "2026-10-05"]]);
    assert_eq!(before, other.answer(&export));
    insta::assert_snapshot!(format!("{told}\n{}", there.replace(&path, "plan.csv")));
    other.answer(&["undo"]);
    assert_eq!(
        other.answer(&export),
        "day,child,meal,cubes,what,grams,trays,typed\n"
    );
}

#[test]
fn everything_wrong_in_a_file_is_told_at_once_and_nothing_is_planned() {
    let home = with_a_plan();
    home.write("plan.csv", BAD);
    let before = home.rows();
    let told = home.told(&[&["plan", "import", "plan.csv"]]);
    assert_eq!(before, home.rows());
    insta::assert_snapshot!(told);
}

/// Each row but the first is wrong.
const BAD: &str = "day,child,meal,cubes,what,grams,trays
2026-10-06,Wren,lunch,2,squash,,
2026-10-06,Wren,lunch,1,squash,,
2026-13-01,Wren,lunch,2,squash,,
2026-10-06,Robin,lunch,2,squash,,
2026-10-06,Wren,brunch,2,squash,,
2026-10-06,Wren,supper,two,squash,,
2026-10-06,Wren,supper,2,sqush,,
2026-10-06,Wren,supper,,99999,30,
2026-10-06,Wren,supper,,squash,30,
2026-10-06,Wren,supper,,01116,-3,
2026-10-06,Wren,supper,2,,,
2026-10-06,Wren,supper,2,squash,30,
2026-10-06,Wren,lunch,,,,
2026-10-07,,,,squash,,0
2026-10-07,Wren,,,squash,,2
2025-10-07,Wren,lunch,2,squash,,
2026-10-07,Wren,lunch,2,#9,,
2026-10-07,Wren,lunch,,squash,,
2026-10-07,\"Wren\",lunch,2
";

#[test]
fn what_is_no_plan_is_refused() {
    let home = with_cubes();
    home.write("semicolons.csv", "day;child;meal;cubes;what;grams;trays\n");
    home.write("empty.csv", "");
    home.write(
        "nothing.csv",
        "\u{feff}day,child,meal,cubes,what,grams,trays\r\n",
    );
    std::fs::write(home.path().join("latin.csv"), b"day,child\xe9\n").unwrap();
    insta::assert_snapshot!(home.told(&[
        &["plan", "import", "semicolons.csv"],
        &["plan", "import", "empty.csv"],
        &["plan", "import", "nothing.csv"],
        &["plan", "import", "latin.csv"],
        &["plan", "import", "none.csv"],
        &["plan", "export", "nowhere/plan.csv"],
    ]));
}

#[test]
fn no_line_is_wider_than_the_page_and_any_folder_will_do() {
    let home = with_a_plan();
    for command in [&["plan", "show"][..], &["plan", "check"], &["shop"]] {
        let told = home.said(&[command, &["--on", "2026-10-05"]].concat()).out;
        let widest = told.lines().map(|line| line.chars().count()).max();
        assert!(widest <= Some(92), "{told}");
    }
    // With --book, from anywhere.
    let book = home.path().display().to_string();
    let show = ["plan", "show", "--on", "2026-10-05"];
    let elsewhere = trayful(&[&show[..], &["--book", &book]].concat());
    assert_eq!(elsewhere.answer(), home.answer(&show));
}

#[test]
fn cubes_are_not_planned_before_they_are_frozen() {
    let home = with_cubes();
    home.answer(&["freeze", "lentil", "--cubes", "9", "--on", "2026-10-08"]);
    home.answer(&[
        "plan",
        "set",
        "2026-10-06",
        "--cook",
        "1 egg",
        "--on",
        "2026-10-05",
    ]);
    let set = |day: &str, what: &str| {
        home.answer(&["plan", "set", day, "lunch", what, "--on", "2026-10-05"]);
    };
    set("2026-10-07", "1 #3");
    set("2026-10-08", "1 lentil");
    set("2026-10-05", "1 egg");
    let found: serde_json::Value = serde_json::from_str(
        &home
            .said(&["plan", "check", "--on", "2026-10-05", "--json"])
            .out,
    )
    .unwrap();
    let mut found: Vec<_> = found["findings"].as_array().unwrap().clone();
    found.retain(|one| one["rule"] == "not-frozen-yet");
    let told: Vec<_> = found
        .iter()
        .map(|one| (one["day"].as_str(), one["words"].as_str()))
        .collect();
    assert_eq!(
        told,
        [
            (
                Some("2026-10-05"),
                Some("1 cube of Egg and wheat: 0 by then, more only from 7 Oct 2026")
            ),
            (
                Some("2026-10-07"),
                Some("1 cube of Lentil and squash: 0 by then, more only from 8 Oct 2026")
            ),
        ]
    );
}

/// Days, meals and what is in them, as anybody may plan them.
fn any_plan() -> impl Strategy<Value = Plan> {
    let name = || prop::sample::select(vec!["squash", "egg", "a \"b\", c", "#1", "ü;\n"]);
    let food = || prop::sample::select(vec!["01116", "own-oats"]);
    let typed = || prop::sample::select(vec!["", "ground almonds", "ü, \"raw\""]);
    let serving = prop_oneof![
        (1u32..9, name()).prop_map(|(cubes, name)| {
            PlannedServing::Cubes(Pick {
                cubes: cubes.into(),
                name: name.to_string(),
            })
        }),
        (0.1f64..1500.0, food(), typed()).prop_map(|(grams, food, typed)| {
            let mass = Mass::from_grams(grams);
            PlannedServing::Food(PlannedFood {
                typed: typed.to_string(),
                ..PlannedFood::by_id(food.parse().unwrap(), mass)
            })
        }),
    ];
    let meal = (
        0i32..40,
        0usize..2,
        0usize..3,
        prop::collection::vec(serving, 0..4),
    );
    let cooking = (0i32..40, prop::collection::vec((1u32..9, name()), 0..3));
    let meals = prop::collection::vec(meal, 0..12);
    (meals, prop::collection::vec(cooking, 0..6)).prop_map(|(meals, cooking)| {
        let day = |days: i32| date(2026, 10, 1).saturating_add(days.days());
        let mut plan = Plan::default();
        for (days, child, meal, mut parts) in meals {
            let mut seen = BTreeSet::new();
            parts.retain(|part| seen.insert(name_of(part)));
            let slot = Slot {
                day: day(days),
                child: CHILDREN[child].into(),
                meal: ["breakfast", "lunch", "supper"][meal].into(),
            };
            plan.meals.insert(slot, parts);
        }
        for (days, recipes) in cooking {
            let mut seen = BTreeSet::new();
            let recipes = recipes
                .into_iter()
                .filter(|(_, name)| !name.starts_with('#') && seen.insert(*name));
            let one = |(trays, name): (u32, &str)| PlannedCooking {
                recipe: name.to_string(),
                trays,
            };
            plan.cooking.insert(day(days), recipes.map(one).collect());
        }
        plan
    })
}

const CHILDREN: [&str; 2] = ["Wren", "Robin \"Bee\", the second"];

proptest! {
    #[test]
    fn any_plan_comes_back_from_its_file_as_it_was(plan in any_plan()) {
        let children = CHILDREN.map(|name| Child {
            name: name.into(),
            born: date(2026, 3, 2),
            weight: None,
            milk: None,
            eczema: trayful::notebook::Eczema::None,
            weeks_early: None,
            allergies: Vec::new(),
            meals_a_day: None,
        sex: None,
            birth_weight: None,
        });
        let settings = Settings { children: children.to_vec(), ..Settings::default() };
        let recipes = ["squash", "egg", "a \"b\", c", "ü;"].map(trayful::names::Named::from);
        let stock = [one_batch()];
        let validation = Validation { settings: &settings, recipes: &recipes, stock: &stock, batches: &[] };
        // What stands at the ends of a cell is not part of a name.
        let trimmed = |name: &str| name.trim().to_string();
        let mut plan = plan;
        for part in plan.meals.values_mut().flatten() {
            if let PlannedServing::Cubes(pick) = part { pick.name = trimmed(&pick.name); }
        }
        for one in plan.cooking.values_mut().flatten() { one.recipe = trimmed(&one.recipe); }
        let text = file::write(&plan).unwrap();
        for text in [text.clone(), text.replace('\n', "\r\n"), format!("\u{feff}{text}\n\n")] {
            let (rows, unread) = file::read(&SourceText::new("plan.csv", text));
            let known = file::foods(&rows);
            let again = file::plan((&rows, unread), &validation, &known);
            prop_assert_eq!(again.as_ref(), Ok(&plan));
        }
    }

    #[test]
    fn no_file_is_too_odd_to_be_read(text in "\\PC{0,80}", tail in "[a-z0-9,\"\n\r;#-]{0,120}") {
        for text in [text.clone(), format!("day,child,meal,cubes,what,grams,trays\n{tail}{text}")] {
            let source = SourceText::new("plan.csv", text);
            let (rows, problems) = file::read(&source);
            prop_assert!(rows.len() < 200);
            for problem in problems {
                let place = problem.place.unwrap();
                prop_assert!(source.text.get(place.span).is_some());
            }
        }
    }
}

fn one_batch() -> Stock {
    Stock {
        batch: FrozenBatch {
            id: 1,
            day: date(2026, 10, 1),
            name: "squash".into(),
            title: "Squash".into(),
            cubes: 9,
            cube: Mass::from_grams(28.0),
            puree: None,
            use_by: date(2026, 10, 31),
            dataset: String::new(),
            cost: BatchCost::default(),
        },
        left: 9,
    }
}
