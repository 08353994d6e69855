//! The needs of a day at an age, and the size of a meal: from recent meals on record, or by age
//! without any.

use std::ops::RangeInclusive;

use super::Need;
use super::rules::table::GROWS_EVERY;
use crate::nutrition::{AgeMonths, Complementary};
use crate::quantity::Volume;

/// The size of a child's meals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MealSize {
    /// The volume of a cube.
    pub cube: Volume,
    /// Cubes of a usual meal by the record; `None` without enough meals on record.
    pub eaten: Option<f64>,
}

impl Need {
    /// The needs of a child on a day of a plan, counted from its first; `None` where nothing is
    /// published. Meals are those of `published`, but two in the first month; a child outside its
    /// ages is taken as one at the nearest.
    pub fn on(
        day: u32,
        age: AgeMonths,
        breast_fed: bool,
        size: MealSize,
        published: &Complementary,
    ) -> Option<Self> {
        let nearest = AgeMonths(age.0.clamp(FIRST_MONTH, LAST_MONTH));
        let needs = published.needs(nearest, breast_fed)?;
        let cubes = |ml: f64| whole(ml / size.cube.millilitres().max(1.0));
        let cap = most_ml(age).map_or(u32::MAX, cubes);
        // The usual amounts by age are round numbers, so that the whole cubes nearest to them are
        // exact enough.
        let eaten = size
            .eaten
            .unwrap_or_else(|| f64::from(cubes(usual_ml(age))))
            .min(MOST_USUAL);
        let usual = whole(eaten).min(cap);
        let a_third_more = (eaten * 4.0 / 3.0).max(eaten + 1.0);
        let most = whole_below(a_third_more).max(usual).min(cap);
        let grown = (usual + day / GROWS_EVERY).min(most);
        Some(Self {
            age,
            meals: meals(nearest, needs.meals_from..=needs.meals_to),
            usual,
            cubes: usual.div_ceil(2)..=grown,
            most,
        })
    }
}

/// The ages in completed months for which the guidance is made.
const FIRST_MONTH: u16 = 6;
const LAST_MONTH: u16 = 23;

/// The meals of a day: two in the first month of solids, the least that is recommended then (WHO,
/// Infant and young child feeding: model chapter, 2009; from memory).
fn meals(age: AgeMonths, published: RangeInclusive<u32>) -> RangeInclusive<u32> {
    if age.0 == FIRST_MONTH {
        2..=2
    } else {
        published
    }
}

/// The volume of a usual meal in millilitres: three tablespoons at first, growing to half a cup of
/// 250 ml by nine months (WHO, Infant and young child feeding: model chapter, 2009; from memory;
/// the months between: judgement). From twelve months on it is purée beside family food.
fn usual_ml(age: AgeMonths) -> f64 {
    match age.0 {
        0..=6 => 45.0,
        7 => 75.0,
        8 => 100.0,
        9..=11 => 125.0,
        12..=17 => FROM_TWELVE_MONTHS,
        _ => FROM_EIGHTEEN_MONTHS,
    }
}

/// Purée of a meal beside family food from twelve months on, in millilitres (judgement).
pub(super) const FROM_TWELVE_MONTHS: f64 = 90.0;
/// Purée of a meal beside family food from eighteen months on, in millilitres (judgement).
pub(super) const FROM_EIGHTEEN_MONTHS: f64 = 60.0;

/// The most purée of a meal beside family food, in millilitres.
fn most_ml(age: AgeMonths) -> Option<f64> {
    match age.0 {
        0..=11 => None,
        12..=17 => Some(FROM_TWELVE_MONTHS),
        _ => Some(FROM_EIGHTEEN_MONTHS),
    }
}

/// The most cubes of a usual meal that are planned with.
const MOST_USUAL: f64 = 15.0;

/// Whole cubes, the nearest number, at least one.
fn whole(cubes: f64) -> u32 {
    whole_below(cubes.round().clamp(1.0, MOST_USUAL))
}

/// Whole cubes, no more than these.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a meal holds a few dozen cubes at most"
)]
fn whole_below(cubes: f64) -> u32 {
    (cubes + ROUNDING).floor().max(0.0) as u32
}

/// Four thirds of three cubes are four, whatever the last digit.
const ROUNDING: f64 = 1e-9;

#[cfg(test)]
mod tests {
    use super::*;

    fn need(day: u32, months: u16, eaten: Option<f64>) -> Need {
        let size = MealSize {
            cube: Volume::from_millilitres(27.0),
            eaten,
        };
        let table = Complementary::builtin().unwrap();
        Need::on(day, AgeMonths(months), true, size, &table).unwrap()
    }

    /// PAHO and WHO, Guiding principles for complementary feeding of the breastfed child, 2003.
    #[test]
    fn meals_are_as_published() {
        assert_eq!(need(0, 6, None).meals, 2..=2);
        assert_eq!(need(0, 7, None).meals, 2..=3);
        assert_eq!(need(0, 10, None).meals, 3..=4);
        assert_eq!(need(0, 30, None).meals, need(0, 23, None).meals);
    }

    #[test]
    fn a_meal_follows_the_record_and_grows_by_a_third_at_most() {
        let cubes = |day, eaten| need(day, 8, Some(eaten)).cubes;
        assert_eq!((cubes(0, 3.0), cubes(2, 3.0)), (2..=3, 2..=3));
        assert_eq!((cubes(3, 3.0), cubes(13, 3.0)), (2..=4, 2..=4));
        assert_eq!((cubes(6, 6.0), cubes(13, 6.0)), (3..=8, 3..=8));
        assert_eq!(cubes(13, 1.0), 1..=2);
        // A third more than five is not seven.
        assert_eq!(cubes(13, 5.0), 3..=6);
        // A third, or one cube, more than was eaten, not than the nearest whole number.
        assert_eq!((cubes(13, 1.5), cubes(13, 2.4)), (1..=2, 1..=3));
        assert_eq!(cubes(13, 2.5), 2..=3);
    }

    #[test]
    fn usual_amounts_stand_in_and_family_food_takes_over() {
        let usual = |months, eaten| need(0, months, eaten).usual;
        assert_eq!(
            [6, 7, 8, 11].map(|months| usual(months, None)),
            [2, 3, 4, 5]
        );
        assert_eq!((usual(14, None), usual(22, None)), (3, 2));
        assert_eq!((usual(14, Some(9.0)), need(0, 22, Some(9.0)).most), (3, 2));
    }
}
