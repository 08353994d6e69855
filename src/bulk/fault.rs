//! What can be wrong with a recipe, each with its bit in `errors` and its code in the table of rejects.

/// Something that is wrong with a recipe or one of its lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// No such food, or no such way to cook.
    UnknownFoodOrMethod,
    /// No amount, or none that can be.
    Grams,
    /// A word that is no basis.
    Basis,
    /// A cooked mass or a yield that cannot be.
    WeighedOrYield,
    /// Less cooked mass than dry matter.
    CookedTooLight,
    /// Lines without their recipe.
    NoRecipe,
    /// A recipe that stands there twice.
    RecipeTwice,
    /// A recipe without lines.
    NoLines,
    /// Amounts of liquid that cannot be.
    Liquid,
    /// Less purée than dry matter, or a loss of all of it.
    PureeTooLight,
    /// A tray or a serving that cannot be.
    Tray,
    /// No such water.
    UnknownWater,
    /// Nothing to eat.
    OnlyWater,
}

/// Every fault with its code, what is wrong, and what to do about it.
const FAULTS: [(Fault, &str, &str, &str); 13] = [
    (
        Fault::UnknownFoodOrMethod,
        "unknown_food_or_method",
        "there is no such food, or no such way to cook",
        "take an id of the food table, as text, and steam, boil, simmer, stew, bake, roast, saute, microwave, pressure or none",
    ),
    (
        Fault::Grams,
        "grams",
        "grams must be above 0 and at most 100000",
        "write the mass in grams",
    ),
    (
        Fault::Basis,
        "basis",
        "basis must be purchased or edible",
        "write purchased (as bought), edible (peeled, boned, trimmed), or nothing for purchased",
    ),
    (
        Fault::WeighedOrYield,
        "weighed_or_yield",
        "weighed_g and yield must be above 0, and at most 100000 and 20",
        "leave them empty where nothing was weighed",
    ),
    (
        Fault::CookedTooLight,
        "cooked_too_light",
        "the cooked mass is less than the dry matter of the food",
        "check its amount, its weighed mass or its yield: is a unit wrong?",
    ),
    (
        Fault::NoRecipe,
        "no_recipe",
        "lines without a row in recipes",
        "add the recipe with its tray and its serving",
    ),
    (
        Fault::RecipeTwice,
        "recipe_twice",
        "more than one row in recipes",
        "keep one row for each recipe_id",
    ),
    (
        Fault::NoLines,
        "no_lines",
        "a recipe without lines",
        "add its lines, or leave the recipe out",
    ),
    (
        Fault::Liquid,
        "liquid",
        "liquid below 0 or above 100000 ml, or more returned than collected",
        "returned_ml is the part of collected_ml that is blended back in; plain water is added_ml",
    ),
    (
        Fault::PureeTooLight,
        "puree_too_light",
        "the purée is lighter than the dry matter of what went in, or the loss is all of it",
        "check puree_weighed_g and loss_g: is a unit wrong?",
    ),
    (
        Fault::Tray,
        "tray",
        "well_ml must be above 0, fill above 0 and at most 1, cubes_per_serving above 0",
        "write what one well holds, the share of it that is filled, and the cubes of a serving",
    ),
    (
        Fault::UnknownWater,
        "unknown_water",
        "there is no such water_food",
        "leave it empty for tap water",
    ),
    (
        Fault::OnlyWater,
        "only_water",
        "the recipe holds nothing but water",
        "add something to eat to it",
    ),
];

impl Fault {
    /// Every fault, by its bit.
    pub fn all() -> impl Iterator<Item = Self> {
        FAULTS.iter().map(|(fault, ..)| *fault)
    }

    /// Its bit in the column `errors`.
    pub fn bit(self) -> i64 {
        1 << self as u8
    }

    /// Its bit where something does not hold, else nothing.
    pub(super) fn unless(self, holds: bool) -> i64 {
        if holds { 0 } else { self.bit() }
    }

    /// Its code.
    pub fn code(self) -> &'static str {
        self.row().1
    }

    /// What is wrong.
    pub fn what(self) -> &'static str {
        self.row().2
    }

    /// What to do about it.
    pub fn hint(self) -> &'static str {
        self.row().3
    }

    /// Whether it is a fault of a line, and not of the recipe.
    pub fn is_of_a_line(self) -> bool {
        self <= Self::CookedTooLight
    }

    fn row(self) -> &'static (Self, &'static str, &'static str, &'static str) {
        let row = FAULTS.iter().find(|(fault, ..)| *fault == self);
        row.unwrap_or(&FAULTS[0])
    }
}

/// Whether a number lies above 0 and not above a limit; NaN and infinity do not.
pub(super) fn is_within(number: f64, limit: f64) -> bool {
    number > 0.0 && number <= limit
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fault_has_a_row_and_a_bit_of_its_own() {
        let bits: i64 = Fault::all().map(Fault::bit).sum();
        assert_eq!(bits, (1 << 13) - 1);
        for fault in Fault::all() {
            assert_eq!(fault.row().0, fault);
        }
        assert_eq!(Fault::OnlyWater.bit(), 4096);
        assert_eq!(Fault::all().filter(|fault| fault.is_of_a_line()).count(), 5);
    }

    #[test]
    fn what_is_no_number_lies_nowhere() {
        assert!(is_within(1e5, 1e5) && !is_within(0.0, 1e5));
        assert!(!is_within(f64::NAN, 1e5) && !is_within(f64::INFINITY, 1e5));
    }
}
