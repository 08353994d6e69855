//! Cautions for infants and toddlers.
//!
//! Sources: each caution names its own (CDC, American Academy of Pediatrics, FDA and EPA, NHS, the
//! US allergen law and others). Which foods a caution is about was read from the names by hand, in
//! `tests/data/caution-checks.csv`.

use serde::Deserialize;
use trayful::nutrition::AgeMonths;
use trayful::safety::{CautionTable, DEFER};

use crate::support::{data, food, foods};

#[derive(Deserialize)]
struct Check {
    food: String,
    age_months: u16,
    caution: String,
    shown: String,
    why: String,
}

#[test]
fn a_careful_reader_expects_the_same() {
    let table = CautionTable::builtin().unwrap();
    let checks: Vec<Check> = data("caution-checks.csv");
    let wrong: Vec<String> = checks
        .iter()
        .filter(|check| {
            assert!(
                table.all().iter().any(|it| it.id == check.caution),
                "{}",
                check.caution
            );
            let due = table.applying(&[food(&check.food)], AgeMonths(check.age_months));
            due.iter().any(|caution| caution.id == check.caution) != (check.shown == "yes")
        })
        .map(|check| format!("{} {}: {}", check.food, check.caution, check.why))
        .collect();
    println!(
        "{} of {} cautions as expected",
        checks.len() - wrong.len(),
        checks.len()
    );
    assert_eq!(wrong, Vec::<String>::new());
}

#[test]
fn every_caution_says_where_it_comes_from() {
    let table = CautionTable::builtin().unwrap();
    for caution in table.all() {
        assert!(!caution.source.trim().is_empty(), "{}", caution.id);
        assert!(!caution.text.trim().is_empty(), "{}", caution.id);
    }
}

#[test]
fn the_last_word_is_the_paediatricians() {
    let table = CautionTable::builtin().unwrap();
    let some = foods().step_by(50).collect::<Vec<_>>();
    for months in [0, 2, 5, 8, 11, 12, 23, 36, 47] {
        for chosen in some.chunks(3) {
            let due = table.applying(chosen, AgeMonths(months));
            assert_eq!(due.last().unwrap().id, DEFER);
            assert_eq!(due.iter().filter(|caution| caution.id == DEFER).count(), 1);
        }
    }
    assert!(table.all().iter().any(|caution| {
        caution.id == DEFER && caution.text.to_lowercase().contains("paediatrician")
    }));
}

/// Food Allergen Labeling and Consumer Protection Act (2004) and FASTER Act (2021), USA.
#[test]
fn the_nine_major_allergens() {
    let table = CautionTable::builtin().unwrap();
    let mut allergens: Vec<_> = table
        .all()
        .iter()
        .filter_map(|caution| caution.allergen.as_deref())
        .collect();
    allergens.sort_unstable();
    let nine = [
        "egg",
        "fish",
        "milk",
        "peanut",
        "sesame",
        "shellfish",
        "soy",
        "tree nuts",
        "wheat",
    ];
    assert_eq!(allergens, nine);
}
