//! What a batch costs, worked by hand in decimals.

use rust_decimal::Decimal;
use serde_json::Value;
use trayful::cost::Money;
use trayful::quantity::Mass;

use super::household::Household;

/// The cost of the batches, in the order of their numbers; -1 where none is known.
fn costs(home: &Household) -> Vec<Decimal> {
    let money = home.json(&["money", "--json"]);
    let batches = money["batches"].as_array().unwrap().iter();
    let cost = |batch: &Value| batch["cost"].as_str().unwrap_or("-1").parse().unwrap();
    batches.map(cost).collect()
}

/// Rounded to a millionth.
fn millionths(amount: Decimal) -> String {
    amount.round_dp(6).normalize().to_string()
}

#[test]
fn part_of_what_was_bought_costs_its_part() {
    // 3.49 x 600 / 907.18474: two pounds of 453.59237 g each (NIST SP 811, appendix B.8).
    let pack: Money = "3.49".parse().unwrap();
    let pounds = Mass::from_grams(907.184_74);
    let cost = pack.share(Mass::from_grams(600.0), pounds).unwrap();
    assert_eq!(millionths(cost.amount()), "2.30824");
    assert_eq!(cost.shown(), "2.31");
    let home = Household::new();
    home.answer(&["buy", "2 lb 11485", "3.49", "--on", "2026-10-01"]);
    home.answer(&["freeze", "squash", "--on", "2026-10-01"]);
    assert_eq!(costs(&home), [cost.amount()]);
}

#[test]
fn refuse_is_paid_for() {
    // 600 g bought hold 504 g edible at 16 % refuse; 504 g edible are 600 g bought.
    let home = Household::new();
    let edible = "title = \"Squash\"\n[[ingredient]]\nfood = \"11485\"\namount = \"504 g\"\n\
                  basis = \"edible\"\nmethod = \"steam\"\n";
    home.write("recipes/edible.toml", edible);
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    home.answer(&["freeze", "squash", "--on", "2026-10-01"]);
    home.answer(&["freeze", "edible", "--on", "2026-10-01"]);
    let costs: Vec<_> = costs(&home).into_iter().map(millionths).collect();
    assert_eq!(costs, ["2.4", "2.4"]);
}

#[test]
fn the_price_of_the_day_counts() {
    let home = Household::new();
    // 600 g at 5.00, then 6.00, then (last of two on one day) 8.00 for a kilogram.
    for (price, day) in [
        ("5.00", "05"),
        ("6.00", "15"),
        ("7.00", "20"),
        ("8.00", "20"),
    ] {
        home.answer(&[
            "buy",
            "1 kg 11485",
            price,
            "--on",
            &format!("2026-10-{day}"),
        ]);
    }
    for day in ["01", "05", "14", "15", "19", "20", "31"] {
        home.answer(&["freeze", "squash", "--on", &format!("2026-10-{day}")]);
    }
    // Before the first purchase the first one stands in.
    let expected = ["3", "3", "3", "3.6", "3.6", "4.8", "4.8"];
    let costs: Vec<_> = costs(&home).iter().map(ToString::to_string).collect();
    assert_eq!(costs, expected);
}

#[test]
fn a_purchase_entered_late_is_found_by_its_day() {
    let home = Household::new();
    home.answer(&["buy", "1 kg 11485", "5.00", "--on", "2026-10-20"]);
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-10"]);
    home.answer(&["freeze", "squash", "--on", "2026-10-15"]);
    home.answer(&["freeze", "squash", "--on", "2026-10-25"]);
    assert_eq!(costs(&home), [Decimal::new(24, 1), Decimal::from(3)]);
}

#[test]
fn a_missing_price_is_not_zero() {
    let home = Household::new();
    home.said(&["freeze", "lentil", "--on", "2026-10-01"]);
    let unpriced = || home.json(&["money", "--json"])["batches"][0]["unpriced"].clone();
    assert_eq!(costs(&home), [Decimal::NEGATIVE_ONE]);
    assert_eq!(unpriced(), serde_json::json!(["11485", "16144"]));
    home.answer(&["undo"]);
    // 300 g of 1 kg at 4.00; the lentils have no price.
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    let said = home.said(&["freeze", "lentil", "--on", "2026-10-01"]);
    assert!(said.out.contains("at least 1.20 USD"), "{}", said.out);
    assert_eq!(unpriced(), serde_json::json!(["16144"]));
}

#[test]
fn twice_the_batch_costs_twice() {
    let home = Household::new();
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    let frozen = home.answer(&["freeze", "squash", "--trays", "2", "--on", "2026-10-01"]);
    let grams: f64 = home.texts("SELECT purchased_g || '' FROM batch_food")[0]
        .parse()
        .unwrap();
    let cost = Decimal::from_f64_retain(grams * 4.0 / 1000.0).unwrap();
    assert!(grams > 1000.0, "{frozen}");
    assert_eq!(millionths(costs(&home)[0]), millionths(cost));
}

#[test]
fn cubes_cost_their_share_of_a_batch_of_which_few_were_frozen() {
    let home = Household::new();
    home.answer(&["buy", "1 kg 11485", "10.00", "--on", "2026-10-01"]);
    let batch = home.json(&["batch", "squash", "--json"]);
    let puree = batch["mass"]["puree_g"].as_f64().unwrap();
    let frozen = |cubes: &[&str]| -> Value {
        let freeze = [&["freeze", "squash", "--on", "2026-10-01", "--json"], cubes].concat();
        serde_json::from_str(&home.said(&freeze).out).unwrap()
    };
    let cost = |of: &Value| of["cost"].as_str().unwrap().parse::<f64>().unwrap();
    // 600 g at 10.00 a kilogram; what fills no whole cube is lost with the cubes.
    let whole = frozen(&[]);
    approx::assert_relative_eq!(cost(&whole), 6.0);
    assert_eq!(whole["warnings"], serde_json::json!([]));
    let few = frozen(&["--cubes", "7"]);
    let grams = few["cube_g"].as_f64().unwrap() * 7.0;
    approx::assert_relative_eq!(cost(&few), 6.0 * grams / puree, max_relative = 1e-6);
    let warning = few["warnings"][0].as_str().unwrap();
    let rest = format!("{:.0} g of the batch were not frozen", puree - grams);
    assert!(warning.contains(&rest), "{warning}");
    let money = home.json(&["money", "--json"]);
    approx::assert_relative_eq!(cost(&money["batches"][1]), cost(&few), max_relative = 1e-6);
}

#[test]
fn another_currency_converts_nothing_and_says_so() {
    let home = Household::new();
    let set = |code: &str| {
        let said = home.answer(&["household", "set", "--currency", code]);
        said.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(!set("EUR").contains("converted"), "nothing is on record");
    home.answer(&["buy", "1 kg 11485", "1.20", "--on", "2026-10-01"]);
    let told = set("CHF");
    assert!(
        told.contains("what was paid in EUR stays in EUR and is in no sum of CHF"),
        "{told}"
    );
    assert!(home.answer(&["log"]).contains("1.20 EUR"));
    assert!(!set("CHF").contains("converted"), "it is the same");
}

#[test]
fn a_price_keeps_the_currency_in_which_it_was_paid() {
    let home = Household::new();
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    home.answer(&["freeze", "squash", "--on", "2026-10-02"]);
    assert_eq!(costs(&home), [Decimal::new(24, 1)]);
    // The settings are changed by hand, so that nobody is told.
    home.change("\"USD\"", "\"EUR\"");
    assert!(home.answer(&["log"]).contains("4.00 USD"));
    assert_eq!(costs(&home), [Decimal::NEGATIVE_ONE]);
    let money = home.json(&["money", "--json"]);
    assert_eq!(money["currency"], "EUR");
    assert_eq!(
        money["purchases_in_other_money"],
        serde_json::json!({"USD": 1})
    );
    let told = home.answer(&["money"]);
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("Nothing is converted into EUR: 1 purchase in USD is in no sum."),
        "{told}"
    );
    // A price that is typed anew is in the money of the book.
    home.answer(&["change", "1", "--price", "4.00"]);
    assert!(home.answer(&["log"]).contains("4.00 EUR"));
    assert_eq!(costs(&home), [Decimal::new(24, 1)]);
    home.answer(&["undo"]);
    assert!(home.answer(&["log"]).contains("4.00 USD"));
    home.change("\"EUR\"", "\"USD\"");
    assert_eq!(costs(&home), [Decimal::new(24, 1)]);
}

#[test]
fn a_price_of_which_no_currency_is_known_is_in_that_of_its_book_for_good() {
    let home = Household::new();
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    let record = rusqlite::Connection::open(home.record()).unwrap();
    record
        .execute("UPDATE purchase SET currency = ''", [])
        .unwrap();
    drop(record);
    assert!(home.answer(&["log"]).contains("4.00 USD"));
    home.change("\"USD\"", "\"EUR\"");
    assert!(home.answer(&["log"]).contains("4.00 USD"));
}
