//! What can be wrong with a recipe, each with its bit in `errors` and its code in the table of rejects.

/// Something that is wrong with a recipe or one of its lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// No such food, or no such way to cook.
    UnknownFoodOrMethod,
    /// No amount, or none that can be.
    Grams,
    /// A word that is not a basis.
    Basis,
    /// A cooked mass or a yield that cannot be.
    WeighedOrYield,
    /// Less cooked mass than dry matter.
    CookedTooLight,
    /// Lines without their recipe.
    NoRecipe,
    /// Two rows of one recipe.
    RecipeTwice,
    /// A recipe without lines.
    NoLines,
    /// Amounts of liquid that cannot be.
    Liquid,
    /// A mass of the purée or a loss that cannot be: less purée than dry matter, many times what
    /// went in, or a loss of all of it.
    PureeTooLight,
    /// A tray or a serving that cannot be.
    Tray,
    /// No such water.
    UnknownWater,
    /// Nothing to eat.
    OnlyWater,
}

/// The reason of a reject where the food of a line is in no dataset, with the remedy.
pub(super) const UNKNOWN_FOOD: (&str, &str) = (
    "there is no such food",
    "take an id of the food table, as text",
);
/// The beginning of that reason where an id with zeros before it is known (`01123` for `1123`): the
/// id and a question mark are appended.
pub(super) const LOST_ZEROS: &str =
    "the ids of the food table have five digits, as text: did you mean ";
/// The reason of a reject where the program does not know the method of a line.
pub(super) const UNKNOWN_METHOD: (&str, &str) = (
    "there is no such way to cook",
    "take steam, boil, simmer, stew, bake, roast, saute, microwave, pressure or none",
);

/// Every fault with its code, what is wrong, and what to do about it.
const FAULTS: [(Fault, &str, &str, &str); 13] = [
    (
        Fault::UnknownFoodOrMethod,
        "unknown_food_or_method",
        UNKNOWN_FOOD.0,
        UNKNOWN_FOOD.1,
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
        "puree_weighed_g must be above 0, no less than the dry matter of what went in and at most 4 times its cooked mass and liquid; loss_g 0 or above and less than the purée",
        "check both: is a unit wrong? leave puree_weighed_g empty where the purée was not weighed",
    ),
    (
        Fault::Tray,
        "tray",
        "well_ml must be above 0 and at most 100000, fill above 0 and at most 1, cubes_per_serving above 0 and at most 10000",
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
    pub const fn bit(self) -> i64 {
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

    /// The bits of faults that leave no sum of what went in.
    pub(super) const WITHOUT_SUMS: i64 = Self::UnknownFoodOrMethod.bit()
        | Self::Grams.bit()
        | Self::Basis.bit()
        | Self::WeighedOrYield.bit()
        | Self::CookedTooLight.bit()
        | Self::NoRecipe.bit()
        | Self::NoLines.bit()
        | Self::Liquid.bit()
        | Self::UnknownWater.bit();

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
        assert_eq!(
            Fault::WITHOUT_SUMS,
            31 + 32 + 128 + 256 + 2048,
            "what is wrong with a tray, or stands there twice, leaves the sums as they are"
        );
    }

    #[test]
    fn what_is_said_names_the_limits_that_hold() {
        use super::super::{MOST, MOST_CUBES, MOST_TIMES, MOST_YIELD};
        for (fault, limits) in [
            (Fault::Grams, vec![MOST]),
            (Fault::WeighedOrYield, vec![MOST, MOST_YIELD]),
            (Fault::Liquid, vec![MOST]),
            (Fault::Tray, vec![MOST, 1.0, MOST_CUBES]),
            (Fault::PureeTooLight, vec![MOST_TIMES]),
        ] {
            for limit in limits {
                let what = fault.what();
                assert!(what.contains(&format!("{limit:.0}")), "{what}");
            }
        }
        for method in crate::cooking::Method::all() {
            assert!(UNKNOWN_METHOD.1.contains(method.word()));
        }
    }

    #[test]
    fn what_is_no_number_lies_nowhere() {
        assert!(is_within(1e5, 1e5) && !is_within(0.0, 1e5));
        assert!(!is_within(f64::NAN, 1e5) && !is_within(f64::INFINITY, 1e5));
    }
}
