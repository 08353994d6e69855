//! Cooking yields.
//!
//! Sources: USDA Table of Cooking Yields for Meat and Poultry, Release 2 (2014); the moisture of
//! raw and cooked foods in the USDA National Nutrient Database for Standard Reference, Release 28
//! (2015), for the derived ones. The yields of classes are kitchen estimates, from memory.

use std::collections::{HashMap, HashSet};

use data_import::reference;
use trayful::cooking::{Method, Yield, YieldBasis};
use trayful::nutrition::NutrientId;

use crate::support::{Row, classes, food, rows};

fn factor(row: &Row) -> f64 {
    row["yield"].parse().unwrap()
}

fn of_kind(kind: &str) -> Vec<Row> {
    rows(reference::YIELDS)
        .into_iter()
        .filter(|row| row["kind"] == kind)
        .collect()
}

#[test]
fn published_yields_are_those_of_the_row_they_name() {
    let table = rows(reference::MEAT_YIELDS);
    let table: HashMap<&str, &Row> = table.iter().map(|row| (row["row"].as_str(), row)).collect();
    let published = of_kind("published");
    for row in &published {
        let (_, rest) = row["source"].split_once("row ").unwrap();
        let number = rest.split_once(':').unwrap().0;
        let percent: f64 = table[number]["yield_pct"].parse().unwrap();
        approx::assert_relative_eq!(factor(row) * 100.0, percent, max_relative = 1e-9);
    }
    println!("{} published yields agree with the table", published.len());
}

#[test]
fn derived_yields_follow_from_the_moisture_of_the_two_foods() {
    let dry = |id: &str| 100.0 - food(id).composition.get(NutrientId::WATER).unwrap();
    let derived = of_kind("derived");
    for row in &derived {
        let named = row["source"]
            .strip_prefix("derived from the dry matter of SR28 ")
            .unwrap();
        let (raw, cooked) = named.split_once(" and ").unwrap();
        assert_eq!(raw, row["food"]);
        approx::assert_abs_diff_eq!(dry(raw) / dry(cooked), factor(row), epsilon = 0.000_050_1);
    }
    println!("{} derived yields recomputed", derived.len());
}

/// What is boiled and drained hardly gains weight: with more than 1.05 the raw and the cooked row
/// are different samples, and the figure is no yield.
#[test]
fn no_drained_vegetable_gains_weight() {
    for row in rows(reference::YIELDS) {
        if food(&row["food"]).group == "1100" && row["method"] == "boil" {
            assert!(factor(&row) <= 1.05, "{row:?}");
        }
    }
}

#[test]
fn foods_and_methods() {
    let all = rows(reference::YIELDS);
    let pairs: HashSet<_> = all
        .iter()
        .map(|row| (&row["food"], &row["method"]))
        .collect();
    assert_eq!(pairs.len(), all.len(), "a food and method stands twice");
    assert!(pairs.len() >= 120, "{}", pairs.len());
    for row in &all {
        assert!(["published", "derived"].contains(&&*row["kind"]), "{row:?}");
        let id = row["food"].parse().unwrap();
        let method: Method = row["method"].parse().unwrap();
        let class = classes().class_of(food(&row["food"]));
        let found = Yield::find(&id, &class, method).unwrap().unwrap();
        let basis = match row["kind"].as_str() {
            "published" => YieldBasis::Published,
            _ => YieldBasis::Derived,
        };
        assert_eq!((found.factor, found.basis), (factor(row), basis), "{row:?}");
    }
    println!(
        "{} foods and methods have a yield of their own",
        pairs.len()
    );
}

#[test]
fn every_class_has_a_yield_and_a_retention_for_every_method() {
    let choices = rows(reference::RETENTION_CHOICE);
    let estimates = rows(reference::CLASS_YIELDS);
    let has = |rows: &[Row], class: &str, method: Method| {
        let same = |row: &&Row| row["class"] == class && row["method"] == method.word();
        rows.iter().filter(same).count() == 1
    };
    let classes = classes().classes();
    for class in &classes {
        for method in Method::all().filter(|method| *method != Method::None) {
            assert!(
                has(&estimates, &class.0, method),
                "no yield: {class}, {method}"
            );
            assert!(
                has(&choices, &class.0, method),
                "no retention: {class}, {method}"
            );
        }
    }
    for row in &estimates {
        assert!(row["source"].contains("from memory"), "{row:?}");
        assert!(factor(row) > 0.0, "{row:?}");
    }
    println!(
        "{} classes, {} estimated yields",
        classes.len(),
        estimates.len()
    );
}
