//! Weeks from the freezer of the demo household at several ages, as a dietitian would read them;
//! and what the judge says of them.

use serde_json::Value;

use super::household::Household;

/// The demo household with its child born so that it is so many months old on the first day of the plan.
fn aged(born: &str) -> Household {
    let home = Household::without_a_book();
    home.answer(&["demo", "--into", "."]);
    home.change("born   = \"2026-03-02\"", &format!("born   = \"{born}\""));
    home
}

/// A Monday, the day after the record ends.
const WEEK: [&str; 10] = [
    "plan",
    "propose",
    "--from",
    "2026-11-16",
    "--cook",
    "2026-11-16",
    "--cook",
    "2026-11-18",
    "--cook",
    "2026-11-20",
];

/// No meal that the judge blocks or warns of, before and after it is kept, and no rule that is broken.
fn is_sound(home: &Household) {
    let json = |args: &[&str]| -> Value {
        let said = home.said(&[args, &["--json"]].concat());
        assert_eq!(said.code, 0, "{}", said.out);
        serde_json::from_str(&said.out).unwrap()
    };
    let grave = |json: &Value| -> Vec<Value> {
        let objections = json["objections"].as_array().unwrap().iter();
        objections
            .filter(|one| one["severity"] != "mind")
            .cloned()
            .collect()
    };
    let kept = json(&[&WEEK[..], &["--keep"]].concat());
    assert_eq!(grave(&kept), Vec::<Value>::new());
    let check = [
        "plan",
        "check",
        "--from",
        "2026-11-16",
        "--on",
        "2026-11-16",
    ];
    let checked = json(&check);
    assert_eq!(grave(&checked), Vec::<Value>::new());
    assert_eq!(
        checked["findings"].as_array().unwrap().len(),
        0,
        "{checked}"
    );
    let meals = kept["meals"].as_array().unwrap();
    let liver = meals
        .iter()
        .filter(|one| one["recipe"] == "chicken-liver-white-bean");
    assert!(liver.count() <= 1);
    home.answer(&["undo"]);
}

fn week_of(born: &str) -> String {
    let home = aged(born);
    is_sound(&home);
    home.told(&[&WEEK])
}

#[test]
fn a_week_at_six_months() {
    insta::assert_snapshot!(week_of("2026-05-16"));
}

#[test]
fn a_week_at_eight_months() {
    insta::assert_snapshot!(week_of("2026-03-02"));
}

#[test]
fn a_week_at_eleven_months() {
    insta::assert_snapshot!(week_of("2025-12-10"));
}

#[test]
fn a_week_at_fourteen_months() {
    insta::assert_snapshot!(week_of("2025-09-10"));
}

#[test]
fn a_week_at_twenty_two_months() {
    insta::assert_snapshot!(week_of("2025-01-10"));
}

#[test]
fn the_freezer_alone_is_filled_as_far_as_it_goes_and_each_gap_is_named() {
    let home = aged("2026-03-02");
    insta::assert_snapshot!(home.told(&[
        &WEEK[..4],
        &[&WEEK[..4], &["--to", "2026-11-17", "--why"]].concat(),
    ]));
}

#[test]
fn an_allergy_on_record_is_never_proposed() {
    let home = aged("2026-03-02");
    home.change(
        "milk   = \"breast\"",
        "milk   = \"breast\"\nallergies = [\"egg\", \"fish\"]",
    );
    is_sound(&home);
    let told = home.answer(&[&WEEK[..], &["--json"]].concat());
    let json: Value = serde_json::from_str(&told).unwrap();
    let recipes = json["meals"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| &one["recipe"]);
    let barred = [
        "egg-oat-apple",
        "salmon-broccoli-millet",
        "mackerel-potato-fennel",
    ];
    let wrong: Vec<&Value> = recipes
        .filter(|one| barred.contains(&one.as_str().unwrap()))
        .collect();
    assert_eq!(wrong, Vec::<&Value>::new());
}

#[test]
fn two_children_share_the_freezer() {
    let home = aged("2026-03-02");
    home.say_of_itself("\n[[child]]\nname = \"Robin\"\nborn = \"2025-01-10\"\n");
    is_sound(&home);
}

#[test]
fn what_is_planned_for_another_child_is_not_given_away() {
    let home = aged("2026-03-02");
    home.say_of_itself("\n[[child]]\nname = \"Robin\"\nborn = \"2025-01-10\"\n");
    let beef = [
        "plan",
        "set",
        "2026-11-17",
        "lunch",
        "12 beef-beetroot-barley",
    ];
    home.said(&[&beef[..], &["--child", "Robin", "--on", "2026-11-16"]].concat());
    let wren = [&WEEK[..4], &["--child", "Wren", "--json"]].concat();
    let json: Value = serde_json::from_str(&home.said(&wren).out).unwrap();
    let mut meals = json["meals"].as_array().unwrap().iter();
    assert!(
        meals.all(|one| one["recipe"] != "beef-beetroot-barley"),
        "{json}"
    );
}
