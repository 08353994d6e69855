//! Reference intakes.
//!
//! Sources: NASEM Dietary Reference Intakes, summary tables, 2019 edition (NCBI NBK545442); IOM
//! Dietary Reference Intakes for macronutrients and water (2002/2005), for calcium and vitamin D
//! (2011) and the upper levels of 1998; `tests/data/intake-checks.csv` names them row by row.

use data_import::reference;
use serde::Deserialize;
use trayful::nutrition::{AgeBand, AgeMonths, IntakeKind, IntakeTable, NutrientId, nutrients};

use crate::support::{age_in, data, rows, tagged};

const BANDS: [&str; 3] = ["0-6 months", "7-12 months", "1-3 years"];

#[derive(Deserialize, Debug)]
struct Check {
    id: String,
    band: String,
    kind: String,
    amount: Option<f64>,
    unit: String,
}

#[test]
fn amounts_are_those_of_the_summary_tables() {
    let table = IntakeTable::builtin().unwrap();
    let checks: Vec<Check> = data("intake-checks.csv");
    for check in &checks {
        let (nutrient, age) = (tagged(&check.id), age_in(&check.band));
        let unit = &data_import::nutrient(nutrient).unwrap().unwrap().unit;
        assert_eq!(unit, &check.unit, "{check:?}");
        match check.kind.as_str() {
            "AI" | "RDA" => {
                let intake = table.intake(nutrient, age).unwrap();
                assert_eq!(intake.kind.label(), check.kind, "{check:?}");
                assert_eq!(Some(intake.amount), check.amount, "{check:?}");
            }
            "none" => {
                assert_eq!(table.intake(nutrient, age), None, "{check:?}");
                assert!(
                    !table.why_none(nutrient, age).unwrap().is_empty(),
                    "{check:?}"
                );
            }
            "UL" => {
                let upper = table.upper(nutrient, age).map(|upper| upper.amount);
                assert_eq!(upper, check.amount, "{check:?}");
            }
            kind => assert_eq!(in_the_file(check, kind), check.amount, "{check:?}"),
        }
    }
    println!("{} reference intakes found again", checks.len());
}

/// A kind of figure that the library does not offer, from the table itself.
fn in_the_file(check: &Check, kind: &str) -> Option<f64> {
    let all = rows(reference::INTAKES);
    let row = all
        .iter()
        .find(|row| row["id"] == check.id && row["band"] == check.band && row["kind"] == kind);
    row?["amount"].parse().ok()
}

#[test]
fn every_nutrient_has_an_intake_or_a_reason_for_none() {
    let table = IntakeTable::builtin().unwrap();
    for nutrient in nutrients().unwrap() {
        for age in BANDS.map(age_in) {
            let intake = table.intake(nutrient.id, age);
            let why_none = table
                .why_none(nutrient.id, age)
                .is_some_and(|why| !why.is_empty());
            assert_ne!(intake.is_some(), why_none, "{} at {age:?}", nutrient.tag);
            let sourced = intake.is_none_or(|one| one.amount > 0.0 && !one.source.is_empty());
            assert!(sourced, "{} at {age:?}", nutrient.tag);
        }
    }
}

#[test]
fn only_iron_zinc_and_protein_have_an_allowance_before_the_first_birthday() {
    let table = IntakeTable::builtin().unwrap();
    let allowed = |age| {
        let all = nutrients().unwrap().iter().map(|nutrient| nutrient.id);
        let rda = |id: &NutrientId| {
            table
                .intake(*id, age)
                .is_some_and(|intake| intake.kind == IntakeKind::Rda)
        };
        all.filter(rda).collect::<Vec<_>>()
    };
    assert_eq!(allowed(AgeMonths(3)), []);
    assert_eq!(
        allowed(AgeMonths(9)),
        [NutrientId::PROTEIN, NutrientId::IRON, NutrientId::ZINC]
    );
}

/// The upper level of vitamin A counts retinol only, that of folate folic acid only; those of
/// magnesium, niacin and vitamin E count supplements or fortification, which no total tells.
#[test]
fn an_upper_level_is_held_against_what_it_counts() {
    let table = IntakeTable::builtin().unwrap();
    let compared = |nutrient, age| {
        table
            .upper(nutrient, age)
            .and_then(|upper| upper.compared_with)
    };
    for age in BANDS.map(age_in) {
        let vitamin_a = compared(NutrientId::VITAMIN_A_RAE, age);
        assert_eq!(vitamin_a, Some(NutrientId::RETINOL));
        for never in [
            NutrientId::MAGNESIUM,
            NutrientId::NIACIN,
            NutrientId::VITAMIN_E,
        ] {
            assert_eq!(compared(never, age), None, "{never} at {age:?}");
        }
        let iron = compared(NutrientId::IRON, age);
        assert_eq!(iron, Some(NutrientId::IRON));
    }
    let toddler = age_in("1-3 years");
    assert_eq!(
        compared(NutrientId::FOLATE_DFE, toddler),
        Some(NutrientId::FOLIC_ACID)
    );
    for never in [
        NutrientId::MAGNESIUM,
        NutrientId::NIACIN,
        NutrientId::VITAMIN_E,
    ] {
        assert!(table.upper(never, toddler).is_some(), "{never}");
    }
}

/// The reports' groups: 0 through 6 months, 7 through 12 months, 1 through 3 years; by completed
/// months a child is in the second from seven months to the day before the first birthday.
#[test]
fn ages_fall_in_the_groups_of_the_reports() {
    for (months, band) in [
        (0, Some(AgeBand::ZeroToSixMonths)),
        (6, Some(AgeBand::ZeroToSixMonths)),
        (7, Some(AgeBand::SevenToTwelveMonths)),
        (11, Some(AgeBand::SevenToTwelveMonths)),
        (12, Some(AgeBand::OneToThreeYears)),
        (47, Some(AgeBand::OneToThreeYears)),
        (48, None),
    ] {
        assert_eq!(AgeMonths(months).band(), band, "{months} months");
    }
}
