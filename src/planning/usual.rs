//! What a day needs at an age where the household says nothing else.

use std::ops::RangeInclusive;

use crate::nutrition::AgeMonths;
use crate::quantity::Volume;

use super::Need;

impl Need {
    /// Meals, cubes and energy for an age, from the volume of a cube.
    ///
    /// Sources: meals of breast-fed children, PAHO/WHO Guiding principles for complementary feeding of the breastfed child
    /// (2003); of others, WHO Guiding principles for feeding non-breastfed children 6-24 months of age (2005); energy, the
    /// same two. Portions: see [`portion_ml`].
    pub fn usual(age: AgeMonths, breast_fed: bool, cube: Volume) -> Self {
        let (least, most) = portion_ml(age);
        let cubes_in = |ml: f64| whole(ml / cube.millilitres().max(1.0));
        Self {
            age,
            meals: meals(age, breast_fed),
            cubes: cubes_in(least)..=cubes_in(most).max(cubes_in(least)),
            energy_kcal: energy_kcal(age, breast_fed),
        }
    }
}

/// Meals a day.
fn meals(age: AgeMonths, breast_fed: bool) -> RangeInclusive<u32> {
    match (breast_fed, age.0) {
        (false, _) => 4..=5,
        (true, 0..=8) => 2..=3,
        (true, _) => 3..=4,
    }
}

/// kcal a day from food beside milk where the child is breast-fed, else from everything. The older the child beyond 23
/// months, the more this is a lower bound.
fn energy_kcal(age: AgeMonths, breast_fed: bool) -> u32 {
    match (breast_fed, age.0) {
        (true, 0..=8) => 200,
        (true, 9..=11) => 300,
        (true, _) => 550,
        (false, 0..=8) => 600,
        (false, 9..=11) => 700,
        (false, _) => 900,
    }
}

/// Least and most of a meal in millilitres. Most: half a cup of 250 ml at 6 to 11 months, three quarters to a whole one at 12 to 23
/// (WHO, Infant and young child feeding: model chapter, 2009; from memory). Least: two tablespoons at first (the same, from memory); then
/// four, and half a cup (common practice, no source).
fn portion_ml(age: AgeMonths) -> (f64, f64) {
    match age.0 {
        0..=8 => (30.0, 125.0),
        9..=11 => (60.0, 125.0),
        _ => (125.0, 250.0),
    }
}

/// Whole cubes, at least one.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a cup holds a few dozen cubes at most"
)]
fn whole(cubes: f64) -> u32 {
    cubes.floor().clamp(1.0, 100.0) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    /// PAHO/WHO 2003 and WHO 2005, as cited above.
    #[test]
    fn meals_and_energy_are_as_published() {
        let cube = Volume::from_millilitres(27.0);
        let need = |months, breast| Need::usual(AgeMonths(months), breast, cube);
        assert_eq!(
            (need(7, true).meals, need(7, true).energy_kcal),
            (2..=3, 200)
        );
        assert_eq!(
            (need(10, true).meals, need(10, true).energy_kcal),
            (3..=4, 300)
        );
        assert_eq!(
            (need(14, true).meals, need(14, true).energy_kcal),
            (3..=4, 550)
        );
        assert_eq!(
            (need(7, false).meals, need(14, false).energy_kcal),
            (4..=5, 900)
        );
    }

    #[test]
    fn cubes_follow_from_their_volume() {
        let cubes =
            |months, ml| Need::usual(AgeMonths(months), true, Volume::from_millilitres(ml)).cubes;
        assert_eq!(cubes(7, 27.0), 1..=4);
        assert_eq!(cubes(10, 27.0), 2..=4);
        assert_eq!(cubes(14, 27.0), 4..=9);
        assert_eq!(cubes(7, 500.0), 1..=1);
    }
}
