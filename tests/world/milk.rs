//! Breast milk by age.
//!
//! Sources: Dewey and Brown 2003, energy from breast milk at average intake: 413, 379 and 346 kcal
//! a day at 6 to 8, 9 to 11 and 12 to 23 months; WHO Regional Publications, European Series 87: 0.67
//! kcal a gram; Dietary Reference Intakes: 0.78 litres a day in the first half-year; USDA SR28,
//! 01107: a cup weighs 246 g; Kent and others, Pediatrics 117:e387 (2006): a feed is 76.0 g on average.

use approx::assert_abs_diff_eq;
use trayful::nutrition::{AgeMonths, BreastMilk, NutrientId};
use trayful::quantity::Volume;

use crate::support::food;

#[test]
fn an_average_day_by_age() {
    let table = BreastMilk::builtin().unwrap();
    for (ages, grams) in [
        (0..=5, 811.04),
        (6..=8, 616.42),
        (9..=11, 565.67),
        (12..=23, 516.42),
    ] {
        for months in ages {
            let (mass, said) = table.average(AgeMonths(months)).unwrap();
            assert_abs_diff_eq!(mass.grams(), grams, epsilon = 0.01);
            assert!(said.contains("estimate"), "{said}");
        }
    }
    assert_eq!(table.average(AgeMonths(24)), None);
}

#[test]
fn an_average_feed() {
    let (mass, _) = BreastMilk::of_feeds(11);
    assert_abs_diff_eq!(mass.grams(), 11.0 * 76.0, epsilon = 1e-9);
}

#[test]
fn its_food_is_human_milk() {
    let milk = food(BreastMilk::FOOD);
    assert_eq!(milk.name, "Milk, human, mature, fluid");
    for (nutrient, per_100_g) in [
        (NutrientId::ENERGY, 70.0),
        (NutrientId::IRON, 0.03),
        (NutrientId::PROTEIN, 1.03),
        (NutrientId::WATER, 87.5),
    ] {
        assert_eq!(milk.composition.get(nutrient), Some(per_100_g));
    }
    let cup = BreastMilk::of_volume(Volume::from_millilitres(236.588_236_5));
    assert_abs_diff_eq!(cup.grams(), 246.0, epsilon = 0.01);
}
