//! Daily Values of US labels for infants and small children.
//!
//! Source: 21 CFR 101.9(c)(8)(iv) and (c)(9), the table from memory. The rule of 2016 (81 FR 33742)
//! took the values of vitamins and minerals from the intakes of the Dietary Reference Intakes, which
//! this program has from other publications: so the two must agree, but for what has changed since.

use trayful::nutrition::{AgeMonths, DailyValues, IntakeTable, NutrientId, nutrients};

#[test]
fn vitamins_and_minerals_are_the_reference_intakes_of_their_time() {
    let (values, intakes) = (
        DailyValues::builtin().unwrap(),
        IntakeTable::builtin().unwrap(),
    );
    // Rounded on the label: copper 0.22 and 0.34 mg. Changed since: potassium and sodium (2019).
    // From shares of energy instead: carbohydrate, fat and fibre.
    let apart = ["CU", "K", "NA", "CHOCDF", "FAT", "FIBTG"];
    let mut compared = 0;
    for nutrient in nutrients().unwrap() {
        for months in [9, 24] {
            let value = values.of(nutrient.id, AgeMonths(months));
            let intake = intakes.intake(nutrient.id, AgeMonths(months));
            let (Some(value), Some(intake)) = (value, intake) else {
                continue;
            };
            if apart.contains(&nutrient.tag.as_str()) {
                continue;
            }
            compared += 1;
            approx::assert_abs_diff_eq!(value, intake.amount, epsilon = 1e-9);
        }
    }
    println!("{compared} Daily Values are the reference intake");
    assert_eq!(compared, 42);
}

#[test]
fn the_value_changes_with_the_first_birthday() {
    let values = DailyValues::builtin().unwrap();
    let iron = |months| values.of(NutrientId::IRON, AgeMonths(months));
    assert_eq!(iron(6), Some(11.0));
    assert_eq!(iron(11), Some(11.0));
    assert_eq!(iron(12), Some(7.0));
    assert_eq!(iron(47), Some(7.0));
    assert_eq!(iron(48), None);
    assert_eq!(values.of(NutrientId::SODIUM, AgeMonths(9)), None);
    assert_eq!(values.of(NutrientId::SODIUM, AgeMonths(12)), Some(1500.0));
}
