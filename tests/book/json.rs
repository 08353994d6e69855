//! The record as JSON: one object, the values that the text has, `null` for what is not known.

use rust_decimal::Decimal;
use serde_json::{Value, json};

use super::household::Household;

/// A price, a batch of 14 cubes beside a jar, and one meal.
fn home() -> Household {
    let home = Household::new();
    home.say_of_itself("\n[[ready_made]]\nname = \"jar\"\nmass = \"4 oz\"\nprice = \"1.29\"\n");
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    home.answer(&["freeze", "squash", "--cubes", "14", "--on", "2026-10-01"]);
    home
}

fn json(home: &Household, args: &[&str]) -> Value {
    let value: Value = serde_json::from_str(&home.answer(args)).unwrap();
    assert_eq!(value["schema"], 1, "{args:?}");
    value
}

#[test]
fn the_freezer() {
    let home = home();
    let freezer = ["freezer", "--on", "2026-10-02", "--json"];
    let before = json(&home, &freezer);
    assert_eq!(
        before["pace"],
        json!({"cubes_a_day": null, "stated": false, "days_counted": 0, "planned_until": null})
    );
    assert_eq!(
        before["batches"][0]["too_many"],
        Value::Null,
        "no pace is known"
    );
    home.answer(&["serve", "2 squash", "--on", "2026-10-02"]);
    let after = json(&home, &freezer);
    assert_eq!(
        (&after["cubes"], &after["day"]),
        (&json!(12), &json!("2026-10-02"))
    );
    let batch = &after["batches"][0];
    assert_eq!(batch["too_many"], 0);
    assert_eq!(after["pace"]["cubes_a_day"], 2.0);
    for (key, value) in [
        ("batch", json!(2)),
        ("recipe", json!("squash")),
        ("title", json!("Squash")),
        ("cubes_left", json!(12)),
        ("cubes_made", json!(14)),
        ("made", json!("2026-10-01")),
        ("use_by", json!("2026-10-31")),
        ("days_left", json!(29)),
    ] {
        assert_eq!(batch[key], value, "{key}");
    }
    let past = json(&home, &["freezer", "--on", "2026-11-05", "--json"]);
    assert_eq!(past["batches"][0]["days_left"], -5);
    assert_eq!(past["batches"][0]["too_many"], 12);
}

#[test]
fn an_empty_freezer_is_the_answer_no_and_still_an_object() {
    let home = Household::new();
    for (command, list) in [("freezer", "batches"), ("money", "recipes")] {
        let said = home.said(&[command, "--json"]);
        assert_eq!(said.code, 1, "{command}");
        let value: Value = serde_json::from_str(&said.out).unwrap();
        assert_eq!((&value["schema"], &value[list]), (&json!(1), &json!([])));
    }
    let said = home.said(&["undo", "--json"]);
    let value: Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!((said.code, &value["entry"]), (1, &Value::Null));
}

#[test]
fn what_to_cook_next_names_the_child_whose_foods_it_counts() {
    let home = home();
    home.say_of_itself("[[child]]\nname = \"Robin\"\nborn = \"2026-01-01\"\n");
    home.answer(&[
        "serve",
        "2 squash",
        "--child",
        "Robin",
        "--on",
        "2026-10-02",
    ]);
    let next = json(&home, &["cook-next", "--on", "2026-10-02", "--json"]);
    assert_eq!(
        next["children"],
        json!([{"child": "Wren", "known_foods": 0, "few": true},
               {"child": "Robin", "known_foods": 1, "few": true}])
    );
    // Two cubes a day for 31 days are 62; the 12 that lie there are among them.
    assert_eq!(
        next["room"],
        json!({"keeps_days": 30, "eaten_by_then": 62, "waiting": 12, "cubes": 50})
    );
    assert_eq!(next["recipes"].as_array().unwrap().len(), 3);
    let text = home.answer(&["cook-next", "--on", "2026-10-02"]);
    assert!(text.contains("Wren knows 0 foods") && text.contains("Robin knows 1 food "));
}

/// A decimal string of the JSON.
fn decimal(value: &Value) -> Decimal {
    value.as_str().unwrap().parse().unwrap()
}

#[test]
fn the_money_is_a_decimal_string() {
    let home = home();
    home.answer(&["freeze", "squash", "--cubes", "10", "--on", "2026-10-02"]);
    home.said(&["freeze", "lentil", "--cubes", "10", "--on", "2026-10-02"]);
    home.say_of_itself(
        "[[ready_made]]\nname = \"pouch\"\nrecipes = [\"egg\"]\nmass = \"4 oz\"\nprice = \"2\"\n",
    );
    let money = json(&home, &["money", "--json"]);
    let squash = &money["batches"][0];
    // 600 g at 4.00 a kilogram; 4 oz are 113.398 g (NIST SP 811, appendix B.8).
    let puree = json(&home, &["batch", "squash", "--json"])["mass"]["puree_g"]
        .as_f64()
        .unwrap();
    let share = squash["mass_g"].as_f64().unwrap() / puree;
    let cost = decimal(&squash["cost"]) - Decimal::try_from(2.4 * share).unwrap();
    assert!(cost.abs() < Decimal::new(1, 6), "{squash}");
    let mass = Decimal::try_from(squash["mass_g"].as_f64().unwrap()).unwrap();
    let jar = Decimal::new(129, 2) * mass / "113.3980925".parse::<Decimal>().unwrap();
    let difference = decimal(&squash["ready_made_cost"]) - jar;
    assert!(difference.abs() < Decimal::new(1, 6), "{squash}");
    assert_eq!(squash["complete"], true);
    let lentil = &money["batches"][2];
    assert_eq!(
        (&lentil["complete"], &lentil["unpriced"]),
        (&json!(false), &json!(["16144"]))
    );
    let saved: Decimal = money["batches"]
        .as_array()
        .unwrap()
        .iter()
        .map(|batch| decimal(&batch["saved"]))
        .sum();
    assert_eq!(decimal(&money["saved"]["amount"]), saved);
    assert_eq!(money["saved"]["complete"], false);
    assert_eq!(money["batches_compared"], 3);
    assert_eq!(money["recipes"][1]["batches"], 2);
}

#[test]
fn what_is_not_priced_is_null() {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--cubes", "14", "--on", "2026-10-01"]);
    let money = json(&home, &["money", "--json"]);
    for key in [
        "cost",
        "per_100g",
        "ready_made",
        "ready_made_cost",
        "saved",
        "saved_so_far",
    ] {
        assert!(money["batches"][0][key].is_null(), "{key}");
    }
    assert!(money["saved"].is_null());
    let gone = json(
        &home,
        &["discard", "1 squash", "--on", "2026-10-02", "--json"],
    );
    assert!(gone["discarded"][0]["cost"].is_null());
}

#[test]
fn entries_are_told_as_they_are_recorded_and_taken_back() {
    let home = home();
    let bought = [
        "buy",
        "500 g 16144",
        "1.90",
        "--at",
        "shop",
        "--on",
        "2026-10-02",
        "--json",
    ];
    assert_eq!(
        json(&home, &bought),
        json!({"schema": 1, "entry": 3, "day": "2026-10-02", "food": "16144",
               "name": "Lentils, pink or red, raw", "grams": 500.0, "price": "1.9",
               "per_100g": "0.38", "currency": "USD", "store": "shop", "season_months": null})
    );
    let gone = json(
        &home,
        &["discard", "7 squash", "--on", "2026-10-03", "--json"],
    );
    let line = &gone["discarded"][0];
    assert_eq!(
        (&line["batch"], &line["cubes"], &gone["cubes_left"]),
        (&json!(2), &json!(7), &json!(7))
    );
    assert!(line["cost"].is_string() && line["complete"] == true);
    assert_eq!(
        json(&home, &["undo", "--json"]),
        json!({"schema": 1, "entry": 4, "change": 5, "what": "entry", "day": "2026-10-03",
               "kind": "discard", "about": "Squash", "words": "thrown away: 7 cubes of Squash (#2)",
               "now": null, "cubes_left": 14})
    );
}
