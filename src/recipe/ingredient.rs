//! One ingredient ready to calculate: what it weighs on its way, and what it keeps.

use std::collections::BTreeMap;

use data_import::{Food, NutrientId, Origin};

use super::{Basis, Ingredient};
use crate::cooking::{FoodClass, Method, Practice, PracticeTable, Preparation, dry_share};
use crate::food::{NewerValue, share_without_refuse};
use crate::problem::Located;
use crate::quantity::{Mass, Volume};
use crate::uncertainty::FoodSpreads;

/// One ingredient ready to calculate.
#[derive(Debug, Clone)]
pub struct PreparedIngredient {
    /// The food as it is bought.
    pub food: Food,
    /// The same food without the liquid of its can, where it is drained.
    pub drained: Option<DrainedCan>,
    /// What it is cooked as.
    pub class: FoodClass,
    /// How it is cooked.
    pub method: Method,
    /// The amount in the recipe, scaled and rounded.
    pub amount: Mass,
    /// What the amount counts.
    pub basis: Basis,
    /// The household measure the amount was worked out from.
    pub measure: Option<String>,
    /// How it is prepared.
    pub preparation: Preparation,
    /// The share of the liquid of its pot, 0 to 1, that is blended back in.
    pub returned: f64,
    /// The share of the melted fat, 0 to 1, that is eaten.
    pub drippings: f64,
    /// The liquid of a pot of its own.
    pub pot: Option<PreparedPot>,
    /// Cooked mass off the scale, scaled.
    pub weighed: Option<Mass>,
    /// What was assumed where the label of an own food is silent.
    pub assumed: Vec<String>,
    /// Where its values come from, by nutrient; empty where the dataset does not say.
    pub origins: BTreeMap<NutrientId, Origin>,
    /// Newer analyses of it that are not taken.
    pub newer: Vec<NewerValue>,
    /// How far its values may be off.
    pub spreads: FoodSpreads,
    /// Where the recipe speaks of it.
    pub written: Located<String>,
}

/// A food without the liquid of its can.
#[derive(Debug, Clone)]
pub struct DrainedCan {
    /// The drained food.
    pub food: Food,
    /// Its share of the whole contents, 0 to 1.
    pub share: f64,
    /// Who says so.
    pub source: String,
}

/// The liquid of the pot of one ingredient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PreparedPot {
    /// What was left in it.
    pub collected: Volume,
    /// The part blended back in.
    pub returned: Volume,
}

/// What an ingredient keeps of its edible part when it is cooked, with what comes back of liquid and drippings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RetainedShares {
    /// The share of its solids, 0 to 1.
    pub solids: f64,
    /// Fat that is not eaten, g per 100 g.
    pub fat_lost: f64,
    /// The place between the two rows of retention, 0 (all poured away) to 1 (all used).
    pub(super) leavings: f64,
}

/// Energy of a gram of melted fat, kcal: the factor of fat in beef and poultry (USDA Agriculture Handbook 74).
const KCAL_OF_FAT: f64 = 9.02;

/// What goes with the solids where food is drained.
const OF_THE_SOLIDS: [NutrientId; 3] = [
    NutrientId::PROTEIN,
    NutrientId::CARBOHYDRATE,
    NutrientId::SUGARS,
];

/// What goes with the fat where it melts out.
const OF_THE_FAT: [NutrientId; 17] = [
    NutrientId::FAT,
    NutrientId::SATURATED_FAT,
    NutrientId::MONOUNSATURATED_FAT,
    NutrientId::POLYUNSATURATED_FAT,
    NutrientId::CHOLESTEROL,
    NutrientId::VITAMIN_A_IU,
    NutrientId::VITAMIN_A_RAE,
    NutrientId::RETINOL,
    NutrientId::BETA_CAROTENE,
    NutrientId::ALPHA_CAROTENE,
    NutrientId::BETA_CRYPTOXANTHIN,
    NutrientId::LYCOPENE,
    NutrientId::LUTEIN_ZEAXANTHIN,
    NutrientId::VITAMIN_E,
    NutrientId::VITAMIN_D,
    NutrientId::VITAMIN_D_IU,
    NutrientId::VITAMIN_K,
];

impl PreparedIngredient {
    /// A gram of a food as it is bought, none of it refuse, without liquid of its own.
    pub fn gram(
        food: Food,
        drained: Option<DrainedCan>,
        class: FoodClass,
        method: Method,
        preparation: Preparation,
    ) -> Self {
        Self {
            food,
            drained,
            class,
            method,
            amount: Mass::from_grams(1.0),
            basis: Basis::Edible,
            measure: None,
            preparation,
            returned: 0.0,
            drippings: 0.0,
            pot: None,
            weighed: None,
            assumed: Vec::new(),
            origins: BTreeMap::new(),
            newer: Vec::new(),
            spreads: FoodSpreads::default(),
            written: Located::default_of(String::new()),
        }
    }

    /// The ingredient in a recipe that returns this share, 0 to 1, of the liquid it is cooked in.
    #[must_use]
    pub fn in_liquid(mut self, share: f64) -> Self {
        self.return_liquid(share);
        self
    }

    /// Returns this share, 0 to 1, of the liquid that it is cooked in.
    pub fn return_liquid(&mut self, share: f64) {
        (self.returned, self.drippings) = usual_leavings(self.method, None, share);
    }

    /// Mass as bought. Without a refuse figure all of it is taken as edible.
    pub fn purchased(&self) -> Mass {
        match self.basis {
            Basis::Purchased => self.amount,
            Basis::Edible => self.amount * (1.0 / self.edible_share()),
        }
    }

    /// Mass after refuse and the liquid of a can are removed.
    pub fn edible(&self) -> Mass {
        let trimmed = match self.basis {
            Basis::Purchased => self.amount * self.edible_share(),
            Basis::Edible => self.amount,
        };
        trimmed * self.drained.as_ref().map_or(1.0, |can| can.share)
    }

    /// Mass after cooking and draining, with the drippings that are eaten.
    pub fn cooked(&self) -> Mass {
        let eaten = &self.preparation.yield_factor;
        let with_fat = || match &self.preparation.melted {
            Some(melted) if eaten.basis.is_our_own() => self.drippings * melted.per_100_g / 100.0,
            _ => 0.0,
        };
        self.weighed
            .unwrap_or_else(|| self.edible() * (eaten.factor + with_fat()))
    }

    /// Whether it is cooked already, and only warmed.
    pub fn is_warmed(&self) -> bool {
        self.method != Method::None && self.preparation.state.is_ready()
    }

    /// How long it is cooked, by a rule of thumb; nothing for what is only warmed.
    pub fn practice<'a>(&self, table: &'a PracticeTable) -> Option<&'a Practice> {
        let how = table.cooking(&self.class, self.method);
        how.filter(|_| !self.is_warmed())
    }

    /// The food whose composition counts.
    pub fn eaten(&self) -> &Food {
        self.drained.as_ref().map_or(&self.food, |can| &can.food)
    }

    /// What it keeps.
    pub fn kept(&self) -> RetainedShares {
        let solids = self.preparation.solids_kept;
        let fat = self.eaten().composition.get(NutrientId::FAT);
        let melted = self.preparation.melted.as_ref().zip(fat);
        let melted = melted.map_or(0.0, |(melted, fat)| melted.per_100_g.min(fat));
        let in_liquid = self.method.uses_water() || self.pot.is_some();
        RetainedShares {
            solids: solids + self.returned * (1.0 - solids),
            fat_lost: melted * (1.0 - self.drippings),
            leavings: if in_liquid {
                self.returned
            } else {
                self.drippings
            },
        }
    }

    /// The share of a nutrient, 0 to 1 as a rule, that survives the cooking.
    pub fn share_kept(&self, kept: RetainedShares, nutrient: NutrientId) -> f64 {
        let value = |nutrient| self.eaten().composition.get(nutrient);
        let retained = || self.preparation.retention.kept(nutrient, kept.leavings);
        let without_fat = || match value(NutrientId::FAT) {
            Some(fat) if fat > 0.0 => 1.0 - kept.fat_lost / fat,
            _ => 1.0,
        };
        match nutrient {
            NutrientId::ENERGY => match value(NutrientId::ENERGY) {
                Some(energy) if energy > 0.0 => {
                    (kept.solids - KCAL_OF_FAT * kept.fat_lost / energy).max(0.0)
                }
                _ => 1.0,
            },
            solids if OF_THE_SOLIDS.contains(&solids) => kept.solids,
            fat if OF_THE_FAT.contains(&fat) => without_fat() * retained(),
            _ => retained(),
        }
    }

    /// Its dry matter that is eaten, with what comes back of its liquid; `None` where the food
    /// gives neither its water nor its parts.
    pub fn dry_matter(&self) -> Option<Mass> {
        self.dry_with(self.kept().solids)
    }

    /// Its dry matter without the liquid: no cooked mass is less.
    pub fn drained_dry_matter(&self) -> Option<Mass> {
        self.dry_with(self.preparation.solids_kept)
    }

    fn dry_with(&self, solids: f64) -> Option<Mass> {
        let share = dry_share(self.eaten())? * solids - self.kept().fat_lost / 100.0;
        Some(self.edible() * share.max(0.0))
    }

    /// The share of what is bought, 0 to 1, that is eaten; 1 where no refuse is known.
    pub fn edible_share(&self) -> f64 {
        share_without_refuse(&self.food)
    }
}

/// The share of the liquid of its pot that comes back with an ingredient, and the share of its
/// melted fat that is eaten. `common` is the share of the liquid that the recipe speaks of as a
/// whole, which is not the juice of what is roasted.
pub(super) fn leavings_eaten(written: &Ingredient, common: f64) -> (f64, f64) {
    let pot = written.pot.as_ref();
    let of_pot = pot.map(|pot| share_returned(pot.collected.value, pot.returned.value));
    let (returned, usual) = usual_leavings(written.method.value, of_pot, common);
    (returned, written.drippings.unwrap_or(usual))
}

/// The two shares where the recipe says nothing of the drippings. `of_pot` is the share of the
/// liquid of a pot of its own.
fn usual_leavings(method: Method, of_pot: Option<f64>, common: f64) -> (f64, f64) {
    let returned = match of_pot {
        Some(share) => share,
        None if method.uses_water() => common,
        None => 0.0,
    };
    // What melts in a stew stays in what is eaten; in a pot it comes back with the liquid; from the
    // oven it is poured off.
    let usual = if method == Method::Stew {
        1.0
    } else {
        returned
    };
    (returned, usual)
}

/// The share of a collected liquid that is returned; 0 where nothing was collected.
pub(super) fn share_returned(collected: Volume, returned: Volume) -> f64 {
    if collected > Volume::ZERO {
        returned / collected
    } else {
        0.0
    }
}
