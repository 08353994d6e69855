//! Reference intakes.
//!
//! Sources: NASEM Dietary Reference Intakes, summary tables, 2019 edition (NCBI NBK545442); IOM
//! Dietary Reference Intakes for macronutrients and water (2002/2005), for calcium and vitamin D
//! (2011) and the upper levels of 1998; `tests/data/intake-checks.csv` names them row by row.

use data_import::reference;
use jiff::civil::{Date, date};
use serde::Deserialize;
use trayful::notebook::Child;
use trayful::nutrition::reading::why_no_reference;
use trayful::nutrition::{AgeBand, AgeMonths, IntakeKind, IntakeTable, NutrientId, nutrients};

use crate::support::{age_in, data, rows, tagged};

const BANDS: [&str; 3] = ["0-5 months", "6-11 months", "1-3 years"];

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
            "EAR" => {
                assert_eq!(table.ear(nutrient, age), check.amount, "{check:?}");
                let beside = table.intake(nutrient, age).and_then(|intake| intake.ear);
                assert_eq!(beside, check.amount, "{check:?}");
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
/// magnesium, niacin and vitamin E count supplements or fortification, which no total states.
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

/// The life stages of the reports: birth to 5.9 months, 6.0 to 11.9 months, 1 to 3 years (IOM, Dietary Reference
/// Intakes for Calcium and Vitamin D, 2011).
#[test]
fn ages_fall_in_the_life_stages_of_the_reports() {
    for (months, band) in [
        (0, Some(AgeBand::BirthToFiveMonths)),
        (5, Some(AgeBand::BirthToFiveMonths)),
        (6, Some(AgeBand::SixToElevenMonths)),
        (11, Some(AgeBand::SixToElevenMonths)),
        (12, Some(AgeBand::OneToThreeYears)),
        (47, Some(AgeBand::OneToThreeYears)),
        (48, None),
    ] {
        assert_eq!(AgeMonths(months).band(), band, "{months} months");
    }
}

/// An EAR stands beside every RDA but that of protein, whose EAR is published per kg of body
/// weight, and is below it; where there is an AI, no EAR could be set (IOM, Dietary Reference
/// Intakes: Applications in Dietary Assessment, 2000).
#[test]
fn an_average_requirement_stands_below_each_allowance_and_beside_nothing_else() {
    let table = IntakeTable::builtin().unwrap();
    for nutrient in nutrients().unwrap() {
        for age in BANDS.map(age_in) {
            let Some(intake) = table.intake(nutrient.id, age) else {
                continue;
            };
            let allowed = intake.kind == IntakeKind::Rda && nutrient.id != NutrientId::PROTEIN;
            assert_eq!(intake.ear.is_some(), allowed, "{} at {age:?}", nutrient.tag);
            let below = intake
                .ear
                .is_none_or(|ear| ear > 0.0 && ear < intake.amount);
            assert!(below, "{} at {age:?}", nutrient.tag);
        }
    }
}

/// Iron: AI 0.27 mg from birth to 5.9 months, RDA 11 mg from 6.0 to 11.9, 7 mg at 1 to 3 years (NASEM, elements summary
/// table, 2019 edition; life stages: IOM 2011).
#[test]
fn iron_changes_on_the_day_of_the_half_birthday_and_of_the_birthdays() {
    let table = IntakeTable::builtin().unwrap();
    let child = Child {
        name: "Wren".into(),
        born: date(2026, 3, 2),
        weight: None,
        milk: None,
        eczema: trayful::notebook::Eczema::None,
        weeks_early: None,
        allergies: Vec::new(),
        meals_a_day: None,
        sex: None,
        birth_weight: None,
    };
    let iron = |day: Date| {
        let intake = table.intake(NutrientId::IRON, child.age_on(day));
        intake.map(|intake| (intake.kind.label(), intake.amount))
    };
    for (day, reference) in [
        (date(2026, 9, 1), Some(("AI", 0.27))),
        (date(2026, 9, 2), Some(("RDA", 11.0))),
        (date(2026, 10, 2), Some(("RDA", 11.0))),
        (date(2027, 3, 1), Some(("RDA", 11.0))),
        (date(2027, 3, 2), Some(("RDA", 7.0))),
        (date(2030, 3, 1), Some(("RDA", 7.0))),
        (date(2030, 3, 2), None),
    ] {
        assert_eq!(iron(day), reference, "{day}");
        let said = why_no_reference(child.age_on(day));
        assert_eq!(said.is_some(), reference.is_none(), "{day}");
    }
}
