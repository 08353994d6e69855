//! Intervals of chosen nutrients: the recipe is calculated as one batch is, with the doubts of its
//! foods, cooking and scales.
//!
//! The sums of a run know nothing of doubts, so that a run with intervals takes far longer; its figures stay the same.

use data_import::{Food, Nutrient, NutrientId};

use super::BulkError;
use super::lines::{LineBasis, RecipeLine, given};
use super::outcome::BulkRow;
use super::prepared_foods::PreparedFoods;
use super::recipes::Header;
use crate::nutrition::Total;
use crate::problem::Located;
use crate::quantity::{Mass, Volume};
use crate::recipe::{
    Basis, CubeMade, Prepared, PreparedIngredient, PreparedLiquid, RecipeServing, TAP_WATER,
};
use crate::uncertainty::{FoodSpreads, Interval, IntervalPart};

/// The ends of an interval.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Ends {
    /// `None` where nothing is known of the nutrient.
    pub(super) low: Option<f64>,
    /// `None` where a food has no value either: the upper end is then open.
    pub(super) high: Option<f64>,
}

impl From<Interval> for Ends {
    fn from(interval: Interval) -> Self {
        Self {
            low: Some(interval.low),
            high: interval.high(),
        }
    }
}

/// A line of a recipe whose food and method are known.
#[derive(Debug)]
pub(super) struct UnsureLine {
    food: String,
    method: String,
    grams: f64,
    basis: Basis,
    weighed: Option<f64>,
    own_yield: Option<f64>,
}

impl UnsureLine {
    /// Of a line without a fault; `None` for one that has any.
    pub(super) fn of(line: &RecipeLine<'_>, words: (Option<&str>, Option<&str>)) -> Option<Self> {
        Some(Self {
            food: words.0?.into(),
            method: words.1?.into(),
            grams: given(line.grams)?,
            basis: match line.basis {
                LineBasis::Edible => Basis::Edible,
                LineBasis::Purchased => Basis::Purchased,
                LineBasis::Unknown => return None,
            },
            weighed: given(line.weighed),
            own_yield: given(line.own_yield),
        })
    }

    fn ingredient(
        &self,
        foods: &PreparedFoods<'_>,
        share: f64,
    ) -> Result<Option<PreparedIngredient>, BulkError> {
        let found = foods.unsure(&self.food, &self.method, self.own_yield)?;
        Ok(found.map(|one| PreparedIngredient {
            amount: Mass::from_grams(self.grams),
            basis: self.basis,
            weighed: self.weighed.map(Mass::from_grams),
            ..one.in_liquid(share)
        }))
    }
}

/// The ingredients and the water of a recipe, each with how far its values may be off.
#[derive(Debug)]
pub(super) struct UnsureRecipe {
    ingredients: Vec<PreparedIngredient>,
    water: (Food, FoodSpreads),
}

impl UnsureRecipe {
    /// The foods of a recipe without faults.
    ///
    /// Errors: a table of the program does not read.
    pub(super) fn gather(
        foods: &PreparedFoods<'_>,
        header: &Header,
        lines: &[UnsureLine],
    ) -> Result<Option<Self>, BulkError> {
        let share = header.returned_share();
        let mut ingredients = Vec::with_capacity(lines.len());
        for line in lines {
            let Some(ingredient) = line.ingredient(foods, share)? else {
                return Ok(None);
            };
            ingredients.push(ingredient);
        }
        // Of a recipe without liquid the word for its water says nothing: any water will do, since
        // none of it is poured in.
        let water = foods.unsure_water(header.water_word());
        let water = water.or_else(|| foods.unsure_water(TAP_WATER));
        Ok(water.map(|water| Self { ingredients, water }))
    }

    /// The intervals of a serving, for each of the nutrients.
    ///
    /// Errors: the table of nutrients does not read; the calculation of a batch refuses what the
    /// sums of the run let pass.
    pub(super) fn intervals(
        self,
        header: &Header,
        row: &BulkRow,
        wanted: &[&Nutrient],
    ) -> Result<Vec<Ends>, BulkError> {
        let ml = Volume::from_millilitres;
        let mass = |grams: f64| Located::default_of(Mass::from_grams(grams));
        let (water, spreads) = self.water;
        let prepared = Prepared {
            title: String::new(),
            factor: 1.0,
            ingredients: self.ingredients,
            liquid: PreparedLiquid {
                collected: ml(header.collected),
                returned: ml(header.returned),
                added: ml(header.added),
                water,
                spreads,
            },
            weighed: header.puree_weighed.map(mass),
            loss: (header.loss > 0.0).then(|| mass(header.loss)),
            serving: RecipeServing {
                reheat: header.reheat,
                ..RecipeServing::default()
            },
        };
        let mut batch = prepared.calculate()??;
        let ids: Vec<NutrientId> = wanted.iter().map(|one| one.id).collect();
        batch
            .nutrients
            .retain(|total| ids.contains(&total.nutrient.id));
        let cube = CubeMade::of(Mass::from_grams(row.cube), "");
        let portion = batch.portion(cube).times(row.serving / row.cube);
        let part = row.serving / row.puree;
        let of = |id: &NutrientId| {
            let Some(total) = batch.total(*id) else {
                return Ends::default();
            };
            let served = Total {
                known: total.served.map(|served| served * part),
                missing: total.batch.missing.clone(),
            };
            let part = IntervalPart::whole(Some(&portion), served.known);
            served
                .interval(*id, [part])
                .map(Ends::from)
                .unwrap_or_default()
        };
        Ok(ids.iter().map(of).collect())
    }
}
