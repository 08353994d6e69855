//! What complementary food is to bring.
//!
//! Sources: WHO and PAHO 2003 (breast-fed): 200, 300 and 550 kcal a day from complementary food at
//! 6 to 8, 9 to 11 and 12 to 23 months, 2-3, 3-4 and 3-4 meals; WHO 2005 (not breast-fed): 600, 700
//! and 900 kcal from everything, 4-5 meals; WHO Regional Publications, European Series 87, table 12:
//! least energy density at two, three and four meals a day.

use approx::assert_abs_diff_eq;
use trayful::nutrition::{AgeMonths, Complementary};

/// Ages in completed months; kcal, meals, kcal/g at two, three and four meals.
type Published = ((u16, u16), f64, (u32, u32), [f64; 3]);

const BREAST_FED: [Published; 3] = [
    ((6, 8), 200.0, (2, 3), [0.9, 0.6, 0.4]),
    ((9, 11), 300.0, (3, 4), [1.2, 0.8, 0.6]),
    ((12, 23), 550.0, (3, 4), [1.5, 1.0, 0.7]),
];

const NOT_BREAST_FED: [Published; 3] = [
    ((6, 8), 600.0, (4, 5), [1.7, 1.1, 0.9]),
    ((9, 11), 700.0, (4, 5), [1.8, 1.2, 0.9]),
    ((12, 23), 900.0, (4, 5), [2.0, 1.3, 1.0]),
];

#[test]
fn energy_meals_and_least_density_at_every_month() {
    let table = Complementary::builtin().unwrap();
    for (breast_fed, published) in [(true, BREAST_FED), (false, NOT_BREAST_FED)] {
        for ((from, last), kcal, meals, densities) in published {
            for months in from..=last {
                let needs = table.needs(AgeMonths(months), breast_fed).unwrap();
                assert_abs_diff_eq!(needs.kcal, kcal);
                assert_eq!((needs.meals_from, needs.meals_to), meals, "{months} months");
                for (meals, least) in (2..).zip(densities) {
                    assert_abs_diff_eq!(needs.least_density(meals), least);
                }
                assert_abs_diff_eq!(needs.least_density(1), densities[0]);
                assert_abs_diff_eq!(needs.least_density(6), densities[2]);
            }
        }
        for months in [0, 5, 24, 36] {
            assert_eq!(table.needs(AgeMonths(months), breast_fed), None);
        }
    }
}

/// The energy from food is what a child needs less what breast milk gives: Dewey and Brown 2003 have
/// 615 and 686 kcal in all and 413 and 379 from milk, which the guiding principles round.
#[test]
fn the_gap_is_what_milk_leaves() {
    let table = Complementary::builtin().unwrap();
    for (months, all, milk) in [(6, 615.0, 413.0), (9, 686.0, 379.0)] {
        let gap: f64 = all - milk;
        let rounded = (gap / 50.0).round() * 50.0;
        assert_abs_diff_eq!(table.needs(AgeMonths(months), true).unwrap().kcal, rounded);
    }
}
