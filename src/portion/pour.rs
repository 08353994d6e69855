//! The mass of so many millilitres of a food that pours or is spooned without gaps, by its composition.

use data_import::{Food, NutrientId};

use super::Constituents;
use crate::quantity::{Mass, Volume};

/// Room temperature.
const CELSIUS: f64 = 20.0;
/// What is drier than this, in g of water in 100 g, is a powder, a cheese or a loaf: its volume says little.
const WET: f64 = 60.0;
/// How the names of foods without gaps between their parts begin.
const SMOOTH: [&str; 7] = [
    "babyfood",
    "buttermilk",
    "cream,",
    "infant formula",
    "kefir",
    "milk,",
    "yogurt",
];

/// The mass of a volume of a smooth food; `None` for any other food, or where its composition is not known.
pub fn poured(food: &Food, volume: Volume) -> Option<Mass> {
    let name = food.name.to_lowercase();
    let value = |nutrient| food.composition.get(nutrient);
    let smooth = SMOOTH.iter().any(|start| name.starts_with(start));
    let wet = value(NutrientId::WATER).is_some_and(|water| water >= WET);
    let density = Constituents::of(value)?.density(CELSIUS)?;
    (smooth && wet).then(|| volume.at_density(density))
}

#[cfg(test)]
mod tests {
    use data_import::FoodTable;

    use super::*;

    fn hundred_millilitres_of(id: &str) -> Option<f64> {
        let table = FoodTable::builtin().unwrap();
        let food = table.foods(&[id.parse().unwrap()]).unwrap().pop().flatten();
        let mass = poured(&food.unwrap(), Volume::from_millilitres(100.0));
        mass.map(Mass::grams)
    }

    /// SR28 weighs a cup (236.588 ml) of whole milk (01077) at 244 g, and of buttermilk (01088) at 245 g.
    #[test]
    fn what_pours_weighs_what_the_dataset_weighs() {
        for (id, cup) in [("01077", 244.0), ("01088", 245.0)] {
            let ours = hundred_millilitres_of(id).unwrap();
            approx::assert_relative_eq!(ours, cup / 2.365_882, max_relative = 0.01);
        }
    }

    #[test]
    fn a_powder_and_a_loaf_have_no_mass_by_volume() {
        for id in ["01091", "18064", "11485"] {
            assert_eq!(hundred_millilitres_of(id), None, "{id}");
        }
    }
}
