//! A recipe that is ready to calculate: its ingredients with their masses, yields and retention
//! rows, and its liquid.

use data_import::Food;

use super::ingredient::share_returned;
use super::{PreparedIngredient, PreparedPot, RecipeServing};
use crate::portion::{Rounding, on_the_scale};
use crate::problem::Located;
use crate::quantity::{Mass, Volume};
use crate::uncertainty::FoodSpreads;

/// A recipe ready to calculate.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// Its title.
    pub title: String,
    /// How often the written recipe goes into it.
    pub factor: f64,
    /// What goes in.
    pub ingredients: Vec<PreparedIngredient>,
    /// The cooking liquid.
    pub liquid: PreparedLiquid,
    /// The blended batch on the scale.
    pub weighed: Option<Located<Mass>>,
    /// What stays in the pot and the blender.
    pub loss: Option<Located<Mass>>,
    /// What one child gets at a meal.
    pub serving: RecipeServing,
}

impl Prepared {
    /// What is expected to stay in the pot and the blender; `None` where the scale says what came
    /// out.
    pub fn expected_loss(&self) -> Option<Mass> {
        let loss = self.loss.as_ref().map(|loss| loss.value);
        loss.filter(|_| self.weighed.is_none())
    }
}

/// The cooking liquid ready to calculate.
#[derive(Debug, Clone)]
pub struct PreparedLiquid {
    /// What was left in the pot or steamer.
    pub collected: Volume,
    /// The part blended back in.
    pub returned: Volume,
    /// Plain water blended in.
    pub added: Volume,
    /// The food that stands for the water.
    pub water: Food,
    /// How far its values may be off.
    pub spreads: FoodSpreads,
}

impl PreparedLiquid {
    /// The share of the collected liquid that is returned; 0 where nothing was collected.
    pub fn returned_share(&self) -> f64 {
        share_returned(self.collected, self.returned)
    }

    /// Returned and added liquid together, at 1 g/ml.
    pub fn mass(&self) -> Mass {
        (self.returned + self.added).at_density(1.0)
    }
}

impl Prepared {
    /// The purée that the cooked ingredients and the liquid add up to.
    pub fn expected(&self) -> Mass {
        self.ingredients
            .iter()
            .map(PreparedIngredient::cooked)
            .sum::<Mass>()
            + self.liquid_mass()
    }

    /// Everything liquid that is blended in, at 1 g/ml: of the common pot, of pots of one
    /// ingredient, and plain water.
    pub fn liquid_mass(&self) -> Mass {
        let pots = self.ingredients.iter().filter_map(|one| one.pot);
        let pots = pots.map(|pot| pot.returned.at_density(1.0)).sum::<Mass>();
        self.liquid.mass() + pots
    }

    /// Everything in the recipe times `factor`, then rounded to what a kitchen scale shows.
    #[must_use]
    pub fn scaled(&self, factor: f64, rounding: Rounding) -> Self {
        let mass = |mass: Mass| on_the_scale(mass * factor, rounding);
        let volume = |volume: Volume| {
            let rounded = mass(Mass::from_grams(volume.millilitres()));
            Volume::from_millilitres(rounded.grams())
        };
        let mut scaled = self.clone();
        scaled.factor *= factor;
        for ingredient in &mut scaled.ingredients {
            let written = ingredient.amount;
            ingredient.amount = mass(written);
            // What was weighed after cooking grows with what is really weighed out.
            let grown = ingredient.amount / written;
            ingredient.weighed = ingredient.weighed.map(|weighed| weighed * grown);
            ingredient.pot = ingredient.pot.map(|pot| PreparedPot {
                collected: volume(pot.collected),
                returned: volume(pot.returned),
            });
        }
        scaled.liquid.collected = volume(self.liquid.collected);
        scaled.liquid.returned = volume(self.liquid.returned);
        scaled.liquid.added = volume(self.liquid.added);
        let grown = scaled.expected() / self.expected();
        let in_step = |located: &Located<Mass>| located.with(located.value * grown);
        scaled.weighed = self.weighed.as_ref().map(in_step);
        scaled.loss = self.loss.as_ref().map(in_step);
        scaled
    }
}
