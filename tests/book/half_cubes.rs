//! Half a cube at a meal: the cube leaves the freezer whole, half of it is served.

use approx::assert_relative_eq;
use serde_json::Value;

use super::household::Household;

fn home() -> Household {
    let home = Household::new();
    home.answer_with_warnings(&["freeze", "squash", "--cubes", "20", "--on", "2026-11-20"]);
    home
}

fn served(home: &Household, what: &str) -> Value {
    let said = home.said(&["serve", what, "--meal", "lunch", "--json"]);
    serde_json::from_str(&said.out).unwrap()
}

fn iron(meal: &Value) -> f64 {
    let all = meal["nutrients"].as_array().unwrap().iter();
    let iron = all.clone().find(|one| one["id"] == "FE").unwrap();
    iron["amount"].as_f64().unwrap()
}

fn left(home: &Household) -> u64 {
    home.json(&["freezer", "--json"])["batches"][0]["cubes_left"]
        .as_u64()
        .unwrap()
}

#[test]
fn a_thawed_cube_is_gone_and_the_half_is_counted() {
    let home = home();
    let one = served(&home, "1 squash");
    assert_eq!(left(&home), 19);
    for (typed, share, gone) in [
        ("1/2 squash", 0.5, 1),
        ("1 1/2 squash", 1.5, 2),
        ("0.5 squash", 0.5, 1),
    ] {
        let before = left(&home);
        let meal = served(&home, typed);
        assert_relative_eq!(iron(&meal), iron(&one) * share, max_relative = 1e-12);
        assert_eq!(meal["parts"][0]["cubes"], share);
        assert_eq!(before - left(&home), gone, "{typed}");
    }
    let told = home
        .said(&["serve", "half a squash", "--meal", "supper"])
        .out;
    assert!(told.contains("½ of Squash (#1)"), "{told}");
    assert!(
        told.contains("The cube of which half was served counts as taken out"),
        "{told}"
    );
    let mixed = home.json(&["mix", "1 1/2 squash", "--json"]);
    assert_eq!(mixed["parts"][0]["cubes"], 1.5, "{mixed}");
}

#[test]
fn a_half_is_planned_corrected_exported_and_not_thrown_away() {
    let home = home();
    home.answer_with_warnings(&["plan", "set", "2026-11-28", "lunch", "1 1/2 squash"]);
    let plan = home.answer(&[
        "plan",
        "export",
        "-",
        "--from",
        "2026-11-28",
        "--to",
        "2026-11-28",
    ]);
    assert!(plan.contains("lunch,1.5,squash"), "{plan}");
    home.write("plan.csv", &plan);
    home.answer_with_warnings(&["plan", "import", "plan.csv"]);
    assert_eq!(
        plan,
        home.answer(&[
            "plan",
            "export",
            "-",
            "--from",
            "2026-11-28",
            "--to",
            "2026-11-28"
        ])
    );
    let meal = served(&home, "2 squash")["entry"].to_string();
    home.answer_with_warnings(&["change", &meal, "--amount", "1/2"]);
    assert_eq!(left(&home), 19);
    let log = home.answer(&["log"]);
    assert!(log.contains("½ cube of Squash (#1)"), "{log}");
    home.answer_with_warnings(&["undo", "--json"]);
    assert_eq!(left(&home), 18);
    home.answer_with_warnings(&["redo", "--json"]);
    let exported = home.path().join("copy");
    home.answer_with_warnings(&["book", "export", exported.to_str().unwrap()]);
    let other = Household::new();
    other.answer_with_warnings(&["book", "import", exported.to_str().unwrap()]);
    assert_eq!(other.answer(&["log"]), log);
    let refused = home.refusal(&["discard", "1/2 squash"]);
    assert!(
        refused.contains("a frozen cube is thrown away whole"),
        "{refused}"
    );
}

#[test]
fn half_of_a_food_is_no_cube() {
    let home = home();
    home.write("recipes/banana-squash.toml", super::household::SQUASH);
    let meal = served(&home, "1/2 banana");
    assert_eq!(meal["parts"][0]["batch"], Value::Null, "{meal}");
    assert_relative_eq!(meal["parts"][0]["grams"].as_f64().unwrap(), 59.0);
}
