//! What a day needs at an age where the household says nothing else.

use crate::nutrition::{AgeMonths, Complementary};
use crate::quantity::Volume;

use super::Need;

impl Need {
    /// Meals, cubes and energy for an age, from the volume of a cube. Meals and energy are those of `published`; a child
    /// outside its ages is taken as one at the nearest. Portions: see [`portion_ml`].
    pub fn usual(
        age: AgeMonths,
        breast_fed: bool,
        cube: Volume,
        published: &Complementary,
    ) -> Option<Self> {
        let nearest = AgeMonths(age.0.clamp(FIRST_MONTH, LAST_MONTH));
        let needs = published.needs(nearest, breast_fed)?;
        let (least, most) = portion_ml(age);
        let cubes_in = |ml: f64| whole(ml / cube.millilitres().max(1.0));
        Some(Self {
            age,
            meals: needs.meals_from..=needs.meals_to,
            cubes: cubes_in(least)..=cubes_in(most).max(cubes_in(least)),
            energy_kcal: kcal(needs.kcal),
        })
    }
}

/// The ages that the guidance is for.
const FIRST_MONTH: u16 = 6;
const LAST_MONTH: u16 = 23;

/// Whole kcal, as they are published.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a float cast saturates, and a day's energy is a few hundred kcal"
)]
fn kcal(energy: f64) -> u32 {
    energy.round() as u32
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
        let table = Complementary::builtin().unwrap();
        let need = |months, breast| Need::usual(AgeMonths(months), breast, cube, &table).unwrap();
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
        let table = Complementary::builtin().unwrap();
        let cubes = |months, ml| {
            let cube = Volume::from_millilitres(ml);
            Need::usual(AgeMonths(months), true, cube, &table)
                .unwrap()
                .cubes
        };
        assert_eq!(cubes(7, 27.0), 1..=4);
        assert_eq!(cubes(10, 27.0), 2..=4);
        assert_eq!(cubes(14, 27.0), 4..=9);
        assert_eq!(cubes(7, 500.0), 1..=1);
    }
}
