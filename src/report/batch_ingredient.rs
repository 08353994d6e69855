//! An ingredient of a batch: what is bought, what is left after trimming and after cooking, and on what that rests.

use serde::Serialize;

use crate::cooking::{Preparation, RetentionRow, State, YieldBasis};
use crate::recipe::{Basis, PreparedIngredient};

/// An ingredient of a batch, as bought, trimmed and cooked.
#[derive(Debug, Clone, Serialize)]
pub struct IngredientReport {
    pub food: String,
    pub name: String,
    pub class: String,
    pub method: &'static str,
    pub state: State,
    /// The drained food, where the liquid of its can is poured away.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drained_to: Option<String>,
    pub purchased_g: f64,
    pub edible_g: f64,
    pub cooked_g: f64,
    #[serde(rename = "yield")]
    pub yield_factor: f64,
    pub yield_basis: &'static str,
    pub yield_source: String,
    /// The least and the most that the yield factor may well be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub yield_range: Option<(f64, f64)>,
    pub solids_kept: f64,
    pub fat_lost_g: f64,
    pub retention_drained: Option<String>,
    pub retention_used: Option<String>,
    pub source: String,
    /// Whether the cooked mass is an estimate.
    #[serde(skip)]
    pub estimated: bool,
    /// What the recipe weighs: the food as bought, or trimmed.
    #[serde(skip)]
    pub basis: Basis,
}

impl IngredientReport {
    pub(super) fn new(ingredient: &PreparedIngredient) -> Self {
        let Preparation {
            state,
            yield_factor: cooked,
            retention,
            ..
        } = &ingredient.preparation;
        let kept = ingredient.kept();
        let (basis, source) = match ingredient.weighed {
            Some(_) => (YieldBasis::Weighed, "weighed"),
            None => (cooked.basis, cooked.source.as_str()),
        };
        let code = |row: Option<&RetentionRow>| row.map(|row| row.code.clone());
        Self {
            food: ingredient.food.id.to_string(),
            name: ingredient.food.name.clone(),
            class: ingredient.class.to_string(),
            method: ingredient.method.word(),
            state: *state,
            drained_to: ingredient
                .drained
                .as_ref()
                .map(|can| can.food.id.to_string()),
            purchased_g: ingredient.purchased().grams(),
            edible_g: ingredient.edible().grams(),
            cooked_g: ingredient.cooked().grams(),
            yield_factor: ingredient.cooked() / ingredient.edible(),
            yield_basis: basis.word(),
            yield_source: source.to_string(),
            yield_range: cooked.range.filter(|_| ingredient.weighed.is_none()),
            solids_kept: kept.solids,
            fat_lost_g: ingredient.edible().grams() * kept.fat_lost / 100.0,
            retention_drained: code(retention.drained.as_deref()),
            retention_used: code(retention.used.as_deref()),
            source: ingredient.food.source.clone(),
            estimated: ingredient.weighed.is_none() && cooked.basis.is_estimated(),
            basis: ingredient.basis,
        }
    }
}
