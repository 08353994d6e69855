//! The contents of one bowl: energy, iron and what helps it.

use serde::Serialize;
use std::collections::BTreeSet;

use data_import::{FoodId, NutrientId};

use super::vitamin_c::{IRON_MOLAR, VITAMIN_C_MOLAR, ratio_wanted};
use super::{DietGroup, Grouping, ServedFood, Serving, Total, Traits, total_of};
use crate::quantity::Mass;
use crate::uncertainty::Interval;

/// A figure, or the side on which the true one lies where a value is missing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "bound", content = "value", rename_all = "kebab-case")]
pub enum Bound {
    /// Every part is known.
    Exactly(f64),
    /// The true figure is this or more.
    AtLeast(f64),
    /// The true figure is this or less.
    AtMost(f64),
}

impl Bound {
    /// The number, whichever side it bounds.
    pub fn value(self) -> f64 {
        match self {
            Self::Exactly(value) | Self::AtLeast(value) | Self::AtMost(value) => value,
        }
    }

    /// The bound times a factor.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        match self {
            Self::Exactly(value) => Self::Exactly(value * factor),
            Self::AtLeast(value) => Self::AtLeast(value * factor),
            Self::AtMost(value) => Self::AtMost(value * factor),
        }
    }

    /// The sign before the number: empty, `>= ` or `<= `.
    pub fn sign(self) -> &'static str {
        match self {
            Self::Exactly(_) => "",
            Self::AtLeast(_) => ">= ",
            Self::AtMost(_) => "<= ",
        }
    }

    /// The ratio of two totals times a factor; `None` where a total is not known at all, both are
    /// lower bounds, or the second is nothing.
    fn ratio(above: &Total, below: &Total, factor: f64) -> Option<Self> {
        let below_known = below.known.filter(|below| *below > 0.0)?;
        let value = above.known? / below_known * factor;
        match (above.complete(), below.complete()) {
            (true, true) => Some(Self::Exactly(value)),
            (false, true) => Some(Self::AtLeast(value)),
            (true, false) => Some(Self::AtMost(value)),
            (false, false) => None,
        }
    }
}

/// Servings that are served together.
#[derive(Debug, Clone, PartialEq)]
pub struct Bowl {
    /// The servings.
    pub servings: Vec<Serving>,
    /// The traits of the foods.
    traits: Traits,
}

impl Bowl {
    /// A bowl of servings, with the traits of their foods; a food without traits may be anything.
    pub fn of(servings: Vec<Serving>, traits: Traits) -> Self {
        Self { servings, traits }
    }

    fn grouping(&self, food: &FoodId) -> Option<Grouping> {
        self.traits.get(food).map(|traits| traits.grouping)
    }

    fn foods(&self) -> impl Iterator<Item = &ServedFood> {
        self.servings.iter().flat_map(|serving| &serving.foods)
    }

    /// The mass of the bowl.
    pub fn mass(&self) -> Mass {
        self.servings.iter().map(|serving| serving.mass).sum()
    }

    /// The total of a nutrient, as served.
    pub fn total(&self, nutrient: NutrientId) -> Total {
        total_of(&self.servings, nutrient)
    }

    /// The interval of the total of a nutrient; `None` where it is not known.
    pub fn interval(&self, nutrient: NutrientId) -> Option<Interval> {
        let parts = self.servings.iter();
        let parts = parts.map(|serving| serving.interval_part(nutrient));
        self.total(nutrient).interval(nutrient, parts)
    }

    /// The energy density, kcal in a gram.
    pub fn energy_density(&self) -> Option<Bound> {
        let mass = Total {
            known: Some(self.mass().grams()),
            missing: Vec::new(),
        };
        Bound::ratio(&self.total(NutrientId::ENERGY), &mass, 1.0)
    }

    /// Moles of vitamin C for each mole of iron.
    pub fn vitamin_c_per_iron(&self) -> Option<Bound> {
        let vitamin_c = self.total(NutrientId::VITAMIN_C);
        let factor = IRON_MOLAR / VITAMIN_C_MOLAR;
        Bound::ratio(&vitamin_c, &self.total(NutrientId::IRON), factor)
    }

    /// Moles of vitamin C looked for beside each mole of iron; `None` with meat, fish or poultry in
    /// the bowl.
    pub fn vitamin_c_wanted(&self) -> Option<f64> {
        ratio_wanted(self.foods().map(|food| &food.id), &self.traits)
    }

    /// The vitamin C that is lacking for the ratio looked for, mg; `None` where it is not known, or
    /// nothing is lacking.
    pub fn vitamin_c_lacking(&self) -> Option<f64> {
        let Some(Bound::Exactly(ratio)) = self.vitamin_c_per_iron() else {
            return None;
        };
        let iron = self.total(NutrientId::IRON).known?;
        let lacking = (self.vitamin_c_wanted()? - ratio) * iron * VITAMIN_C_MOLAR / IRON_MOLAR;
        (lacking > 0.0).then_some(lacking)
    }

    /// The share of the iron, 0 to 1, that meat, fish and poultry bring; a lower bound where a food
    /// may hold some of them, or the iron of one is not on record. `None` where nothing of it is
    /// known.
    pub fn flesh_iron(&self) -> Option<Bound> {
        let iron = self.total(NutrientId::IRON);
        let all = iron.known.filter(|all| iron.complete() && *all > 0.0)?;
        let is_flesh =
            |food: &&ServedFood| self.grouping(&food.id) == Some(Grouping::Group(DietGroup::Flesh));
        let iron: Vec<Option<f64>> = self
            .foods()
            .filter(is_flesh)
            .map(|food| food.iron)
            .collect();
        // The sum of no floats is -0.0.
        let share = iron.iter().flatten().fold(0.0, |sum, part| sum + part) / all;
        if iron.iter().all(Option::is_some) && self.unclear().next().is_none() {
            return Some(Bound::Exactly(share));
        }
        (share > 0.0).then_some(Bound::AtLeast(share))
    }

    /// The foods that may hold meat, fish or poultry, which their names do not say.
    pub fn unclear(&self) -> impl Iterator<Item = &ServedFood> {
        self.foods().filter(|food| {
            let group = self.grouping(&food.id);
            group.is_none_or(|group| group == Grouping::Unknown)
        })
    }

    /// The major allergens in the bowl, in alphabetical order.
    pub fn allergens(&self) -> BTreeSet<&str> {
        self.foods()
            .flat_map(|food| &food.allergens)
            .map(String::as_str)
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::nutrition::{DairyForm, FoodTraits, Source};

    const LENTILS: &str = "16144";

    /// A serving of one food: iron and vitamin C in mg, energy in kcal.
    fn serving(id: &str, iron: Option<f64>, vitamin_c: Option<f64>, kcal: f64) -> Serving {
        let id: FoodId = id.parse().unwrap();
        let totals = [
            (NutrientId::IRON, iron),
            (NutrientId::VITAMIN_C, vitamin_c),
            (NutrientId::ENERGY, Some(kcal)),
        ];
        let total = |(nutrient, amount)| (nutrient, Total::of(&id, amount));
        Serving {
            source: Source::Puree,
            what: id.to_string(),
            mass: Mass::from_grams(50.0),
            nutrients: totals.into_iter().map(total).collect(),
            foods: vec![ServedFood {
                id: id.clone(),
                name: id.to_string(),
                edible: None,
                iron,
                allergens: vec!["milk".into()],
                method: None,
                typed: String::new(),
            }],
            liquid: None,
            portion: None,
        }
    }

    fn bowl(servings: Vec<Serving>, flesh: &[&str]) -> Bowl {
        let traits = |id: &FoodId| FoodTraits {
            grouping: Grouping::Group(if flesh.contains(&id.as_str()) {
                DietGroup::Flesh
            } else {
                DietGroup::Other
            }),
            form: DairyForm::Solid,
            formula: false,
            much_phytate: id.as_str() == LENTILS,
            added_sugar: None,
        };
        let foods = servings.iter().flat_map(|serving| &serving.foods);
        let traits = foods
            .map(|food| (food.id.clone(), traits(&food.id)))
            .collect();
        Bowl::of(servings, traits)
    }

    /// Two to one by moles is 6.31 mg of vitamin C for each mg of iron: 2 x 176.12 / 55.845.
    #[test]
    fn the_ratio_is_one_of_moles() {
        let two = bowl(
            vec![serving("11485", Some(1.0), Some(6.307_458), 40.0)],
            &[],
        );
        let ratio = two.vitamin_c_per_iron().unwrap();
        approx::assert_relative_eq!(ratio.value(), 2.0, max_relative = 1e-6);
        let half = bowl(
            vec![serving("11485", Some(1.0), Some(3.153_729), 40.0)],
            &[],
        );
        let lacking = half.vitamin_c_lacking().unwrap();
        approx::assert_relative_eq!(lacking, 3.153_729, max_relative = 1e-6);
        assert_eq!(two.energy_density(), Some(Bound::Exactly(0.8)));
        assert_eq!(two.allergens().into_iter().collect::<Vec<_>>(), ["milk"]);
    }

    /// Four to one is 12.61 mg of vitamin C for each mg of iron: 4 x 176.12 / 55.845.
    #[test]
    fn pulses_take_twice_as_much_and_meat_none() {
        let lentils = || serving(LENTILS, Some(1.0), Some(6.307_458), 40.0);
        let beef = serving("23093", Some(1.0), Some(0.0), 40.0);
        let plants = bowl(vec![lentils()], &[]);
        assert_eq!(plants.vitamin_c_wanted(), Some(4.0));
        let lacking = plants.vitamin_c_lacking().unwrap();
        approx::assert_relative_eq!(lacking, 6.307_458, max_relative = 1e-6);
        let with_meat = bowl(vec![lentils(), beef], &["23093"]);
        assert_eq!(with_meat.vitamin_c_wanted(), None);
        assert_eq!(with_meat.vitamin_c_lacking(), None);
    }

    #[test]
    fn what_is_missing_leaves_one_side_open_or_both() {
        let known = || serving("11485", Some(1.0), Some(5.0), 40.0);
        let with = |iron, vitamin_c| {
            let other = serving("16144", iron, vitamin_c, 40.0);
            bowl(vec![known(), other], &[]).vitamin_c_per_iron()
        };
        assert!(matches!(with(Some(1.0), None), Some(Bound::AtLeast(_))));
        assert!(matches!(with(None, Some(1.0)), Some(Bound::AtMost(_))));
        assert_eq!(with(None, None), None);
        let none = bowl(vec![serving("11485", Some(0.0), Some(5.0), 40.0)], &[]);
        assert_eq!(none.vitamin_c_per_iron(), None);
    }

    #[test]
    fn the_iron_of_meat_is_a_share_of_all() {
        let parts = || {
            vec![
                serving("23093", Some(3.0), None, 1.0),
                serving("11485", Some(1.0), None, 1.0),
            ]
        };
        assert_eq!(
            bowl(parts(), &["23093"]).flesh_iron(),
            Some(Bound::Exactly(0.75))
        );
        let unclear = Bowl::of(parts(), Traits::new());
        assert_eq!(unclear.flesh_iron(), None, "any of it may be meat, or none");
        assert_eq!(unclear.unclear().count(), 2);
        let unknown = vec![serving("23093", None, None, 1.0)];
        assert_eq!(bowl(unknown, &["23093"]).flesh_iron(), None);
        let mut parts = parts();
        parts.push(serving("05305", Some(1.0), None, 1.0));
        parts[2].foods[0].iron = None;
        let open = bowl(parts, &["23093", "05305"]);
        assert_eq!(open.flesh_iron(), Some(Bound::AtLeast(0.6)));
    }
}
