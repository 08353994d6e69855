//! What was recorded stays as it was, whatever becomes of the recipe and the dataset.

use super::household::{Household, SQUASH};
use super::support::{root, trayful};

fn frozen() -> Household {
    let home = Household::new();
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    home.answer(&["freeze", "squash", "--on", "2026-10-02"]);
    home
}

const SERVE: [&str; 4] = ["serve", "2 squash", "--on", "2026-10-03"];

/// What a meal, the money and the freezer say, and the rows of the batch.
fn figures(home: &Household) -> (String, String, String) {
    let meal = home.answer(&SERVE);
    home.answer(&["undo"]);
    let money = home.answer(&["money"]);
    (meal, money, home.answer(&["freezer", "--on", "2026-10-03"]))
}

#[test]
fn a_recipe_that_is_changed_or_gone_changes_no_batch() {
    let home = frozen();
    let (before, rows) = (figures(&home), home.in_force());
    home.write(
        "recipes/squash.toml",
        &SQUASH.replace("600 g", "100 g").replace("steam", "boil"),
    );
    assert_eq!(before, figures(&home));
    std::fs::remove_file(home.path().join("recipes/squash.toml")).unwrap();
    assert_eq!(before, figures(&home));
    assert_eq!(rows, home.in_force());
}

#[test]
fn a_price_of_a_later_day_changes_no_batch_that_had_one() {
    let home = frozen();
    let money = home.answer(&["money"]);
    home.answer(&["buy", "1 kg 11485", "9.00", "--on", "2026-10-03"]);
    assert_eq!(money, home.answer(&["money"]));
}

#[test]
fn a_price_that_is_found_later_counts_from_its_day_on() {
    let home = Household::new();
    home.answer_with_warnings(&["freeze", "squash", "--on", "2026-10-02"]);
    let cost = || home.json(&["money", "--json"])["batches"][0]["cost"].clone();
    assert_eq!(cost(), serde_json::Value::Null);
    // 600 g at 4.00 for a kilogram; the purchase is corrected to 5.00.
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    assert_eq!(cost(), "2.4");
    home.answer(&["change", "2", "--price", "5.00"]);
    assert_eq!(cost(), "3");
    home.answer(&["undo"]);
    assert_eq!(cost(), "2.4");
}

#[test]
fn another_dataset_changes_no_batch_and_is_kept_with_its_own() {
    let home = frozen();
    let (before, rows) = (figures(&home), home.in_force());
    // Butter, from the cut of SR28 with which the readers are tested.
    let cut = root()
        .join("data-import/tests/data/sr28-cut")
        .display()
        .to_string();
    home.answer(&[
        "data",
        "import",
        &cut,
        "--cache",
        "cache",
        "--on",
        "2026-11-24",
    ]);
    let meal = trayful(&SERVE)
        .inside(home.path())
        .with("TRAYFUL_CACHE", "cache");
    assert_eq!(before.0, meal.answer());
    home.answer(&["undo"]);
    assert_eq!(rows, home.in_force());
    let butter = SQUASH.replace("11485", "01001").replace("steam", "none");
    home.write("recipes/butter.toml", &butter);
    home.answer(&["freeze", "butter", "--cache", "cache", "--on", "2026-10-03"]);
    let kept = home.texts("SELECT name || ': ' || dataset FROM batch ORDER BY entry");
    insta::assert_snapshot!(kept.join("\n"));
}

#[test]
fn a_price_and_a_nutrient_without_a_value_stay_without_one() {
    let home = Household::new();
    // Junior applesauce has no manganese in SR28.
    home.write(
        "recipes/sauce.toml",
        &SQUASH.replace("11485", "03117").replace("steam", "none"),
    );
    home.answer(&["freeze", "sauce", "--on", "2026-10-02"]);
    let missing = home
        .texts("SELECT number || ' lacks ' || missing FROM batch_nutrient WHERE frozen IS NULL");
    insta::assert_snapshot!(missing.join("\n"));
    assert_eq!(
        home.json(&["money", "--json"])["batches"][0]["cost"],
        serde_json::Value::Null
    );
}

/// What the scale said is of the batch that was cooked, not of the recipe as it is written: all the
/// protein that went in is in the weighed purée (USDA SR28: 1.00 g in 100 g of squash, 16 % refuse).
#[test]
fn a_scaled_batch_is_weighed_as_it_was_cooked() {
    let home = Household::new();
    let freeze = [
        "freeze",
        "squash",
        "--trays",
        "2",
        "--weighed",
        "880g",
        "--on",
        "2026-10-01",
    ];
    home.answer(&freeze);
    let record = rusqlite::Connection::open(home.record()).unwrap();
    let number = |sql: &str| {
        record
            .query_row(sql, [], |row| row.get::<_, f64>(0))
            .unwrap()
    };
    let purchased = number("SELECT purchased_g FROM batch_food");
    assert!(
        purchased > 1000.0,
        "{purchased} g: the recipe of 600 g was scaled"
    );
    let cube = number("SELECT cube_g FROM batch");
    let protein = number("SELECT frozen FROM batch_nutrient WHERE number = 203");
    approx::assert_relative_eq!(
        protein * 880.0 / cube,
        purchased * 0.84 * 1.00 / 100.0,
        max_relative = 1e-9
    );
}
