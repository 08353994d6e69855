//! Cooking classes of foods.
//!
//! Source: none published. `tests/data/class-checks.csv` was assigned by hand from the foods'
//! names, apart from the rules: common practice, no source.

use std::collections::BTreeMap;

use serde::Deserialize;
use trayful::cooking::FoodClass;

use crate::support::{class_of, classes, data, food, foods};

#[derive(Deserialize)]
struct Check {
    id: String,
    name: String,
    class: String,
}

#[test]
fn a_cook_would_choose_the_same_class() {
    let checks: Vec<Check> = data("class-checks.csv");
    let differing: Vec<String> = checks
        .iter()
        .filter(|check| class_of(&check.id).0 != check.class)
        .map(|check| {
            format!(
                "{}: {}, not {}",
                check.name,
                class_of(&check.id),
                check.class
            )
        })
        .collect();
    println!(
        "{} of {} classes as by hand",
        checks.len() - differing.len(),
        checks.len()
    );
    assert_eq!(differing, Vec::<String>::new());
    for check in &checks {
        assert_eq!(food(&check.id).name, check.name);
    }
}

#[test]
fn every_food_has_a_class() {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for food in foods() {
        *counts.entry(classes().class_of(food).0).or_default() += 1;
    }
    println!("foods by cooking class: {counts:#?}");
    assert_eq!(counts.get("unclassified"), None);
    assert_eq!(counts.values().sum::<usize>(), 8789);
    let mut classes = classes().classes();
    classes.retain(|class| !counts.contains_key(&class.0));
    // The last rule, for foods of other datasets.
    assert_eq!(classes, [FoodClass("unclassified".into())]);
}
