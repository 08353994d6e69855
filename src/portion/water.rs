//! Water of a food that no table and no label gives: what is left of 100 g beside the other parts.
//!
//! Tables of food composition define carbohydrate by difference: 100 g less water, protein, fat
//! and ash (FAO Food and Nutrition Paper 77, "Food energy: methods of analysis and conversion
//! factors", 2003, chapter 2; from memory). Read the other way, the same sum gives the water of a
//! food whose label declares protein, fat and carbohydrate. Ash that is not known stays in it, so
//! that it is an upper bound: good for a density, and never a value of the food itself.

use data_import::own::{ENERGY_SHARE, SALT_PER_SODIUM};
use data_import::{Basis, Food, NutrientId};

/// From this much salt on, in g per 100 g, the ash is too large a part of the difference
/// (judgement).
const MOST_SALT: f64 = 5.0;
/// How far the energy of a food may be above that of its parts where both are small, in kcal per
/// 100 g, since each part is rounded (judgement).
const ENERGY_KCAL: f64 = 12.0;

/// Water in g per 100 g by difference; `None` where a food brings its own value, where protein,
/// fat or carbohydrate is not known, or where the difference cannot be water.
pub fn water_by_difference(food: &Food) -> Option<f64> {
    let value = |id| food.composition.get(id);
    // The mass of 100 ml is not known, so that nothing can be taken from 100 g.
    if value(NutrientId::WATER).is_some() || food.basis == Basis::Millilitres {
        return None;
    }
    let protein = value(NutrientId::PROTEIN)?;
    let fat = value(NutrientId::FAT)?;
    let carbohydrate = value(NutrientId::CARBOHYDRATE)?;
    let ash = value(NutrientId::ASH);
    // Energy without a part that gives it: alcohol, or a slip in copying the label.
    let energy = 4.0 * (protein + carbohydrate) + 9.0 * fat;
    let room = ENERGY_KCAL.max(ENERGY_SHARE * energy);
    let unaccounted = value(NutrientId::ENERGY).is_some_and(|declared| declared > energy + room);
    let salt = value(NutrientId::SODIUM).map(|sodium| sodium / 1000.0 * SALT_PER_SODIUM);
    let salty = ash.is_none() && salt.is_some_and(|salt| salt > MOST_SALT);
    let water = 100.0 - (protein + fat + carbohydrate + ash.unwrap_or(0.0));
    (water >= 0.0 && !unaccounted && !salty).then_some(water)
}

#[cfg(test)]
mod tests {
    use data_import::{Composition, FoodTable};

    use super::*;
    use crate::portion::{Constituents, ROOM_CELSIUS};

    /// A food of SR28 as a packet declares it: energy, fat, carbohydrate, fibre, protein, sodium.
    fn labelled(whole: &Food) -> Food {
        let declared = [
            NutrientId::ENERGY,
            NutrientId::FAT,
            NutrientId::CARBOHYDRATE,
            NutrientId::FIBRE,
            NutrientId::PROTEIN,
            NutrientId::SODIUM,
        ];
        let values = declared.into_iter();
        let values = values.filter_map(|id| Some((id, whole.composition.get(id)?)));
        Food {
            composition: values.collect(),
            ..whole.clone()
        }
    }

    fn sr28(id: &str) -> Food {
        let ids = [id.parse().unwrap()];
        let found = FoodTable::builtin().unwrap().foods(&ids).unwrap();
        found.into_iter().next().unwrap().unwrap()
    }

    fn density(food: &Food) -> Option<f64> {
        Constituents::of_food(food)?.density(ROOM_CELSIUS)
    }

    // USDA SR28: strained fruit, a cereal with fruit, whole milk, yogurt, raw squash and oil. Their
    // ash is 0 to 0.8 g per 100 g.
    #[test]
    fn a_label_gives_nearly_the_density_of_all_values() {
        for id in ["03116", "03191", "01077", "01116", "11485", "04053"] {
            let whole = sr28(id);
            let [known, estimated] = [&whole, &labelled(&whole)].map(|one| density(one).unwrap());
            approx::assert_relative_eq!(known, estimated, max_relative = 0.01);
        }
    }

    // USDA SR28, dry oatmeal for babies: 4.6 g of ash count as water, so that the density comes out
    // too low, though less than a density of 1 g/ml would be.
    #[test]
    fn ash_that_is_not_known_is_in_the_water() {
        let whole = sr28("03189");
        let label = labelled(&whole);
        let value = |id| whole.composition.get(id).unwrap();
        let both = value(NutrientId::WATER) + value(NutrientId::ASH);
        approx::assert_abs_diff_eq!(water_by_difference(&label).unwrap(), both, epsilon = 0.02);
        let [known, estimated] = [&whole, &label].map(|one| density(one).unwrap());
        assert!(1.3 < estimated && estimated < known, "{estimated} {known}");
        let mut with_ash = label;
        with_ash
            .composition
            .insert(NutrientId::ASH, value(NutrientId::ASH));
        approx::assert_abs_diff_eq!(
            water_by_difference(&with_ash).unwrap(),
            value(NutrientId::WATER),
            epsilon = 0.02
        );
    }

    /// The water of a food with these values per 100 g beside 5 g protein and 3 g fat.
    fn water_with(values: &[(NutrientId, f64)]) -> Option<f64> {
        let parts = [(NutrientId::PROTEIN, 5.0), (NutrientId::FAT, 3.0)];
        let composition: Composition = parts.iter().chain(values).copied().collect();
        water_by_difference(&Food {
            composition,
            ..sr28("03189")
        })
    }

    #[test]
    fn what_cannot_be_water_is_no_estimate() {
        let starch = |grams| (NutrientId::CARBOHYDRATE, grams);
        assert_eq!(water_with(&[starch(12.0)]), Some(80.0));
        let ash = (NutrientId::ASH, 2.0);
        assert_eq!(water_with(&[starch(12.0), ash]), Some(78.0));
        for (values, why) in [
            (vec![], "no carbohydrate"),
            (vec![starch(93.0)], "more than 100 g"),
            (
                vec![starch(12.0), (NutrientId::WATER, 79.0)],
                "a value of its own",
            ),
            (
                vec![starch(7.2), (NutrientId::ENERGY, 380.0)],
                "a slip of 72 g",
            ),
            (
                vec![starch(12.0), (NutrientId::SODIUM, 5_600.0)],
                "soy sauce",
            ),
        ] {
            assert_eq!(water_with(&values), None, "{why}");
        }
        let salt = (NutrientId::SODIUM, 5_600.0);
        let with_its_ash = water_with(&[starch(12.0), salt, (NutrientId::ASH, 15.0)]);
        assert_eq!(with_its_ash, Some(65.0));
    }

    #[test]
    fn figures_per_100_ml_are_no_estimate() {
        let drink = Food {
            basis: Basis::Millilitres,
            ..labelled(&sr28("01077"))
        };
        assert_eq!(water_by_difference(&drink), None);
        assert_eq!(density(&drink), None);
    }
}
