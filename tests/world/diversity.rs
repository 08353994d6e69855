//! The eight food groups of minimum dietary diversity.
//!
//! Source: WHO and UNICEF, Indicators for assessing infant and young child feeding practices:
//! definitions and measurement methods (2021): breast milk; grains, roots, tubers and plantains;
//! pulses, nuts and seeds; dairy (milk, formula, yogurt, cheese); flesh foods; eggs; fruits and
//! vegetables rich in vitamin A; other fruits and vegetables. Which group a food of
//! `tests/data/diversity-checks.csv` belongs to was read from its name by hand.

use std::collections::BTreeMap;

use serde::Deserialize;
use trayful::nutrition::{DietGroup, GroupTable, Grouping};

use crate::support::{data, food, foods};

#[derive(Deserialize)]
struct Check {
    id: String,
    name: String,
    group: String,
}

fn word(grouping: Grouping) -> &'static str {
    match grouping {
        Grouping::Group(group) => group.word(),
        Grouping::Apart => "none",
        Grouping::Unknown => "mixed",
    }
}

#[test]
fn foods_by_hand() {
    let table = GroupTable::builtin().unwrap();
    let checks: Vec<Check> = data("diversity-checks.csv");
    let wrong: Vec<String> = checks
        .iter()
        .filter(|check| word(table.grouping_of(food(&check.id))) != check.group)
        .map(|check| {
            let found = word(table.grouping_of(food(&check.id)));
            format!("{}: {found}, not {}", check.name, check.group)
        })
        .collect();
    println!(
        "{} of {} groups as by hand",
        checks.len() - wrong.len(),
        checks.len()
    );
    assert_eq!(wrong, Vec::<String>::new());
    for check in &checks {
        assert_eq!(food(&check.id).name, check.name);
    }
    let tested = |group: &DietGroup| checks.iter().any(|check| check.group == group.word());
    assert!(DietGroup::ALL.iter().all(tested));
}

#[test]
fn most_foods_are_told() {
    let table = GroupTable::builtin().unwrap();
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for food in foods() {
        *counts.entry(word(table.grouping_of(food))).or_default() += 1;
    }
    println!("foods by diet group: {counts:?}");
    assert_eq!(counts["breast-milk"], 1);
    assert_eq!(counts.values().sum::<usize>(), 8789);
}
