//! Cooking yields, and the fat that melts out.
//!
//! Sources: USDA Table of Cooking Yields for Meat and Poultry, Release 2 (2014); weights, moisture, protein and fat of
//! raw and cooked foods in the USDA National Nutrient Database for Standard Reference, Release 28 (2015), called SR28;
//! others are named in the rows. The figures of classes without a published one are kitchen estimates, from memory.

use std::collections::{HashMap, HashSet};

use approx::{assert_abs_diff_eq, assert_relative_eq};
use data_import::reference;
use trayful::cooking::{Method, Preparation, Stated, Yield, YieldBasis};
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

fn value(id: &str, nutrient: NutrientId) -> f64 {
    food(id).composition.get(nutrient).unwrap()
}

/// The raw and the cooked id that a source names, such as "protein of SR28 05062 and 05746 (braised)".
fn pair_of(row: &Row) -> (&str, &str) {
    let (_, named) = row["source"].split_once("SR28 ").unwrap();
    let (raw, rest) = named.split_once(" and ").unwrap();
    assert_eq!(raw, row["food"], "{row:?}");
    (raw, &rest[..5])
}

#[test]
fn published_yields_of_meat_are_those_of_the_row_they_name() {
    let table = rows(reference::MEAT_YIELDS);
    let table: HashMap<&str, &Row> = table.iter().map(|row| (row["row"].as_str(), row)).collect();
    let named = of_kind("published");
    let named = named.iter().filter_map(|row| {
        let (_, rest) = row["source"].split_once("R2 (2014), row ")?;
        Some((row, table[rest.split_once(':').unwrap().0]))
    });
    let mut seen = 0;
    for (row, published) in named {
        seen += 1;
        let percent: f64 = published["yield_pct"].parse().unwrap();
        assert_relative_eq!(factor(row) * 100.0, percent, max_relative = 1e-9);
        if row["fat_from"] == "published" {
            let change = |column: &str| published[column].parse::<f64>().unwrap();
            let (fat, moisture) = (change("fat_change_pct"), change("moisture_change_pct"));
            assert_relative_eq!(row["fat_lost"].parse::<f64>().unwrap(), -fat);
            assert!((percent - 100.0 - moisture - fat).abs() <= 3.0, "{row:?}");
        }
    }
    assert!(seen > 200, "{seen}");
    println!("{seen} published yields agree with the table of meat and poultry");
}

#[test]
fn yields_by_protein_and_by_dry_matter_follow_from_the_two_foods() {
    let protein = of_kind("protein");
    for row in &protein {
        let (raw, cooked) = pair_of(row);
        let quotient = value(raw, NutrientId::PROTEIN) / value(cooked, NutrientId::PROTEIN);
        assert_abs_diff_eq!(quotient, factor(row), epsilon = 0.000_050_1);
    }
    let dry = |id: &str| 100.0 - value(id, NutrientId::WATER);
    let dry_rows: Vec<_> = of_kind("dry-matter")
        .into_iter()
        .chain(of_kind("derived"))
        .collect();
    for row in &dry_rows {
        let (raw, cooked) = pair_of(row);
        let kept = if row["source"].ends_with("90 % of it kept") {
            0.9
        } else {
            1.0
        };
        assert_abs_diff_eq!(
            kept * dry(raw) / dry(cooked),
            factor(row),
            epsilon = 0.000_050_1
        );
    }
    println!(
        "{} yields by protein, {} by dry matter recomputed",
        protein.len(),
        dry_rows.len()
    );
}

#[test]
fn fat_that_melts_follows_from_the_cooked_food_and_is_never_more_than_there_is() {
    let mut seen = 0;
    for row in rows(reference::YIELDS)
        .iter()
        .filter(|row| !row["fat_lost"].is_empty())
    {
        let lost: f64 = row["fat_lost"].parse().unwrap();
        let raw = value(&row["food"], NutrientId::FAT);
        assert!((0.0..=raw).contains(&lost), "{row:?}");
        match row["fat_from"].as_str() {
            "published" | "scaled" => {}
            cooked => {
                seen += 1;
                let left = factor(row) * value(cooked, NutrientId::FAT);
                assert_abs_diff_eq!(lost, (raw - left).max(0.0), epsilon = 0.005_1);
            }
        }
    }
    println!("fat that melts out of {seen} foods recomputed");
}

#[test]
fn foods_and_methods() {
    let mut pairs = HashSet::new();
    for row in &rows(reference::YIELDS) {
        for word in row["methods"].split('|') {
            assert!(
                pairs.insert((row["food"].clone(), word.to_string())),
                "twice: {row:?}"
            );
            let method: Method = word.parse().unwrap();
            let food = food(&row["food"]);
            let class = classes().class_of(food);
            let found = Preparation::of(food, &class, method, Stated::default()).unwrap();
            let basis = found.yield_factor.basis.word();
            if found.state.is_ready() {
                assert_eq!(basis, "warmed", "{row:?}");
                continue;
            }
            assert_eq!(basis, row["kind"], "{row:?}");
            // Never less than its dry matter.
            assert!(found.yield_factor.factor >= factor(row) - 1e-9, "{row:?}");
        }
    }
    assert!(pairs.len() > 1500, "{}", pairs.len());
    println!(
        "{} foods and methods have a yield of their own",
        pairs.len()
    );
}

/// What is boiled and drained hardly gains weight.
#[test]
fn no_drained_vegetable_gains_much_weight() {
    for row in rows(reference::YIELDS) {
        if food(&row["food"]).group == "1100" && row["methods"].contains("boil") {
            assert!(factor(&row) <= 1.17, "{row:?}");
        }
    }
}

#[test]
fn every_class_has_a_yield_and_a_retention_for_every_method() {
    let choices = rows(reference::RETENTION_CHOICE);
    let yields = rows(reference::CLASS_YIELDS);
    let has = |rows: &[Row], class: &str, method: Method| {
        let same = |row: &&Row| row["class"] == class && row["method"] == method.word();
        rows.iter().filter(same).count() == 1
    };
    let classes = classes().classes();
    for class in &classes {
        for method in Method::all().filter(|method| *method != Method::None) {
            assert!(
                has(&yields, &class.0, method),
                "no yield: {class}, {method}"
            );
            assert!(
                has(&choices, &class.0, method),
                "no retention: {class}, {method}"
            );
        }
    }
    for row in &yields {
        let estimate = row["kind"] == "estimate";
        assert!(estimate || row["kind"] == "published", "{row:?}");
        assert_eq!(estimate, row["source"].contains("from memory"), "{row:?}");
        assert!(factor(row) > 0.0, "{row:?}");
        let class = trayful::cooking::FoodClass(row["class"].clone());
        let found = Yield::of_class(&class, row["method"].parse().unwrap())
            .unwrap()
            .unwrap();
        assert_eq!(found.basis == YieldBasis::Estimate, estimate);
        if let Some((low, high)) = found.range {
            assert!(low <= found.factor && found.factor <= high, "{row:?}");
        }
    }
    let published = yields
        .iter()
        .filter(|row| row["kind"] == "published")
        .count();
    println!(
        "{} classes, {} yields, {published} of them published",
        classes.len(),
        yields.len()
    );
}

/// Every class and method that a table of shares names exists.
#[test]
fn solids_are_kept_by_classes_and_methods_that_exist() {
    let known: HashSet<String> = classes()
        .classes()
        .into_iter()
        .map(|class| class.0)
        .collect();
    for row in rows(reference::SOLIDS_KEPT) {
        let kept: f64 = row["kept"].parse().unwrap();
        assert!((0.0..=1.0).contains(&kept), "{row:?}");
        assert!(
            row["classes"].split('|').all(|class| known.contains(class)),
            "{row:?}"
        );
        assert!(
            row["methods"]
                .split('|')
                .all(|word| word.parse::<Method>().is_ok()),
            "{row:?}"
        );
    }
}

#[test]
fn a_can_is_drained_to_a_food_that_is_drained() {
    for row in rows(reference::DRAINED_CANS) {
        let share: f64 = row["share"].parse().unwrap();
        assert!((0.5..1.0).contains(&share), "{row:?}");
        assert!(food(&row["food"]).name.contains("anned"), "{row:?}");
        assert!(food(&row["drained"]).name.contains("drained"), "{row:?}");
    }
}
