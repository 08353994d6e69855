//! The cooking liquid of a batch in words: what is kept, blended back in, added and lost.

use super::number::{kitchen_volume, percent, unbroken, whole_grams};
use crate::cooking::{Method, PracticeTable};
use crate::quantity::Volume;
use crate::recipe::Batch;
use crate::words::joined;

/// What to do with the cooking liquid, a sentence for each step.
#[derive(Debug)]
pub(super) struct LiquidWords {
    /// How much of the cooking liquid is kept, and how much goes back in.
    pub(super) keep: String,
    /// What to do with the liquid of each pot of its own.
    pots: Vec<String>,
    /// The plain water to add.
    pub(super) add: Option<String>,
    /// What stays in the pot.
    pub(super) loss: Option<String>,
    some_kept: bool,
}

impl LiquidWords {
    pub(super) fn of(batch: &Batch) -> Self {
        let liquid = &batch.prepared.liquid;
        let some_kept = liquid.collected > Volume::ZERO;
        let pots: Vec<String> = pot_lines(batch).collect();
        let keep = if some_kept {
            format!(
                "Keep {} of the cooking liquid, blend {} of it back in ({}).",
                kitchen_volume(liquid.collected),
                kitchen_volume(liquid.returned),
                unbroken(&percent(liquid.returned_share() * 100.0)),
            )
        } else if pots.is_empty() {
            "No cooking liquid is blended back in.".into()
        } else {
            "Of the other pots no liquid is blended back in.".into()
        };
        let water = (liquid.added > Volume::ZERO).then_some(liquid.added);
        let loss = batch.prepared.expected_loss();
        Self {
            keep,
            some_kept,
            pots,
            add: water.map(|water| format!("Add {} of water.", kitchen_volume(water))),
            loss: loss
                .map(|loss| format!("{} stay in the pot and the blender.", whole_grams(loss))),
        }
    }

    /// All the sentences, with the rule of thumb on how much liquid makes a purée thin.
    pub(super) fn all(self, practice: &PracticeTable) -> String {
        let rule = practice.rule("liquid").filter(|_| self.some_kept);
        let words = [
            Some(self.keep),
            rule.map(|rule| rule.text.clone()),
            Some(joined(self.pots, " ")).filter(|pots| !pots.is_empty()),
            self.add,
            self.loss,
        ];
        joined(words.into_iter().flatten(), " ")
    }
}

/// A sentence for each ingredient with a pot of its own.
fn pot_lines(batch: &Batch) -> impl Iterator<Item = String> {
    let ingredients = batch.prepared.ingredients.iter();
    ingredients.filter_map(|ingredient| {
        let pot = ingredient.pot?;
        Some(format!(
            "{}: of the {} of its own liquid blend {} back in ({}).",
            ingredient.food.name,
            kitchen_volume(pot.collected),
            kitchen_volume(pot.returned),
            percent(ingredient.returned * 100.0),
        ))
    })
}

/// The least water that the pot needs: what the food takes up, and the liquid that is left. What boils away is not
/// counted. `None` where nothing takes up water and no liquid is left.
pub(super) fn pot_water(batch: &Batch) -> Option<Volume> {
    let in_water = |method| matches!(method, Method::Boil | Method::Simmer | Method::Stew);
    let cooked = batch.prepared.ingredients.iter();
    let cooked = cooked.filter(|food| in_water(food.method) && !food.preparation.state.is_ready());
    // A gram of water is a millilitre.
    let taken_up = cooked.map(|food| (food.cooked().grams() - food.edible().grams()).max(0.0));
    let least = taken_up.sum::<f64>() + batch.prepared.liquid.collected.millilitres();
    (least >= 1.0).then(|| Volume::from_millilitres(least))
}

/// Whether a batch has enough milk to cook porridge in it: the water that the yield counts on then does not go in.
pub(super) fn has_milk(batch: &Batch) -> bool {
    /// Less milk than this is a splash, not what the porridge is cooked in (judgement).
    const SPLASH_G: f64 = 50.0;
    let mut foods = batch.prepared.ingredients.iter();
    foods.any(|food| {
        let is_milk = matches!(food.class.0.as_str(), "milk" | "infant-formula");
        is_milk && food.edible().grams() >= SPLASH_G
    })
}
