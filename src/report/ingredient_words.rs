//! An ingredient of a batch in words: what to weigh out, its masses, how it is cooked.

use super::batch_ingredient::IngredientReport;
use super::number::{kitchen_mass, unbroken, whole_grams};
use crate::cooking::State;
use crate::quantity::Mass;
use crate::recipe::Basis;

impl IngredientReport {
    /// What to weigh out, in the basis of the recipe, which is named where it is not the `common` one.
    pub(super) fn weigh_out(&self, common: Option<Basis>) -> String {
        let mass = match self.basis {
            Basis::Purchased => self.bought(),
            Basis::Edible => self.trimmed(),
        };
        if self.is_all_eaten() || common == Some(self.basis) {
            return mass;
        }
        format!("{mass} {}", basis_words(self.basis))
    }

    /// Whether nothing of the food is thrown away (within half a gram).
    pub(super) fn is_all_eaten(&self) -> bool {
        (self.purchased_g - self.edible_g).abs() < 0.5
    }

    /// The mass as bought, in both systems of units.
    pub(super) fn bought(&self) -> String {
        unbroken(&kitchen_mass(Mass::from_grams(self.purchased_g)))
    }

    /// The mass after trimming, in both systems of units.
    pub(super) fn trimmed(&self) -> String {
        unbroken(&kitchen_mass(Mass::from_grams(self.edible_g)))
    }

    /// The masses as bought, after trimming and after cooking; the last is marked where it is an estimate.
    pub fn masses(&self) -> [String; 3] {
        let cooked = whole_grams(Mass::from_grams(self.cooked_g));
        let grams = |grams| whole_grams(Mass::from_grams(grams));
        // Pounds stand beside the mass that the recipe weighs.
        let [bought, trimmed] = match self.basis {
            Basis::Purchased => [self.bought(), grams(self.edible_g)],
            Basis::Edible => [grams(self.purchased_g), self.trimmed()],
        };
        [
            bought,
            trimmed,
            cooked + if self.estimated { "\u{a0}~" } else { "" },
        ]
    }

    /// The cooking method, and the state the food is in unless it is raw.
    pub fn cook(&self) -> String {
        let method = cook_words(self.method);
        match (self.method, self.state) {
            ("none", _) | (_, State::Raw) => method.into(),
            (_, state) if state.is_ready() => format!("warm ({state})"),
            (_, state) => format!("{method} from {state}"),
        }
    }
}

/// The words for cooking by a method; `method` is its word in the tables.
pub(super) fn cook_words(method: &'static str) -> &'static str {
    match method {
        "none" => "as it is",
        "pressure" => "pressure-cook",
        "saute" => "sauté",
        method => method,
    }
}

/// What the masses of a recipe count: the food as bought, or trimmed.
pub(super) fn basis_words(basis: Basis) -> &'static str {
    match basis {
        Basis::Purchased => "as bought",
        Basis::Edible => "trimmed",
    }
}
