//! Nutrients: their identity, names and units, from `data/nutrients.csv`.

use std::fmt;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use crate::error::Error;
use crate::reference;

const TABLE: &str = include_str!("../data/nutrients.csv");

/// The number the USDA datasets give a nutrient (303 is iron).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct NutrientId(u16);

macro_rules! numbers {
    ($($name:ident = $number:literal, $text:literal;)*) => {
        impl NutrientId {
            $(#[doc = $text] pub const $name: Self = Self($number);)*
        }
    };
}

// Numbers: NUTR_DEF.txt of the USDA National Nutrient Database for Standard Reference, Release 28.
numbers! {
    PROTEIN = 203, "Protein, g.";
    FAT = 204, "Total lipid, g.";
    CARBOHYDRATE = 205, "Carbohydrate by difference, fibre included, g.";
    ASH = 207, "Ash, g.";
    ENERGY = 208, "Energy, kcal.";
    WATER = 255, "Water, g.";
    SUGARS = 269, "Total sugars, g.";
    FIBRE = 291, "Total dietary fibre, g.";
    CALCIUM = 301, "Calcium, mg.";
    IRON = 303, "Iron, mg.";
    MAGNESIUM = 304, "Magnesium, mg.";
    PHOSPHORUS = 305, "Phosphorus, mg.";
    POTASSIUM = 306, "Potassium, mg.";
    SODIUM = 307, "Sodium, mg.";
    ZINC = 309, "Zinc, mg.";
    COPPER = 312, "Copper, mg.";
    MANGANESE = 315, "Manganese, mg.";
    SELENIUM = 317, "Selenium, µg.";
    VITAMIN_A_IU = 318, "Vitamin A in international units.";
    RETINOL = 319, "Retinol, µg.";
    VITAMIN_A_RAE = 320, "Vitamin A in retinol activity equivalents, µg.";
    BETA_CAROTENE = 321, "Beta-carotene, µg.";
    ALPHA_CAROTENE = 322, "Alpha-carotene, µg.";
    VITAMIN_E = 323, "Vitamin E as alpha-tocopherol, mg.";
    VITAMIN_D_IU = 324, "Vitamin D in international units.";
    VITAMIN_D = 328, "Vitamin D (D2 and D3), µg.";
    BETA_CRYPTOXANTHIN = 334, "Beta-cryptoxanthin, µg.";
    LYCOPENE = 337, "Lycopene, µg.";
    LUTEIN_ZEAXANTHIN = 338, "Lutein and zeaxanthin, µg.";
    VITAMIN_C = 401, "Vitamin C, mg.";
    THIAMIN = 404, "Thiamin, mg.";
    RIBOFLAVIN = 405, "Riboflavin, mg.";
    NIACIN = 406, "Niacin, mg.";
    PANTOTHENIC_ACID = 410, "Pantothenic acid, mg.";
    VITAMIN_B6 = 415, "Vitamin B6, mg.";
    FOLATE = 417, "Total folate, µg.";
    VITAMIN_B12 = 418, "Vitamin B12, µg.";
    CHOLINE = 421, "Total choline, mg.";
    VITAMIN_K = 430, "Vitamin K (phylloquinone), µg.";
    FOLIC_ACID = 431, "Folic acid, added, µg.";
    FOOD_FOLATE = 432, "Folate occurring naturally in the food, µg.";
    FOLATE_DFE = 435, "Folate in dietary folate equivalents, µg.";
    CHOLESTEROL = 601, "Cholesterol, mg.";
    SATURATED_FAT = 606, "Saturated fatty acids, g.";
    MONOUNSATURATED_FAT = 645, "Monounsaturated fatty acids, g.";
    POLYUNSATURATED_FAT = 646, "Polyunsaturated fatty acids, g.";
}

impl NutrientId {
    /// The nutrient with this number in the USDA datasets.
    pub const fn new(number: u16) -> Self {
        Self(number)
    }

    /// The number itself.
    pub const fn number(self) -> u16 {
        self.0
    }
}

impl fmt::Display for NutrientId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// One nutrient as it is named and shown.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Nutrient {
    /// Number in the USDA datasets.
    #[serde(rename = "number")]
    pub id: NutrientId,
    /// INFOODS tagname, such as `FE`.
    #[serde(rename = "id")]
    pub tag: String,
    /// Name as published: `Iron, Fe`.
    pub name: String,
    /// Name as a parent reads it: `Iron`.
    pub plain: String,
    /// Unit of every value: `kcal`, `g`, `mg`, `µg` or `IU`.
    pub unit: String,
    /// Decimals shown in print.
    pub decimals: u8,
    /// Place among the nutrients shown when none is asked for; `None` if it is not one of them.
    pub default_order: Option<u8>,
}

/// All nutrients the program knows, in the order of the table.
pub fn nutrients() -> Result<&'static [Nutrient], Error> {
    static NUTRIENTS: OnceLock<Vec<Nutrient>> = OnceLock::new();
    if let Some(known) = NUTRIENTS.get() {
        return Ok(known);
    }
    let read = reference::rows("nutrients.csv", TABLE)?;
    Ok(NUTRIENTS.get_or_init(|| read))
}

/// The nutrient with this number.
pub fn nutrient(id: NutrientId) -> Result<Option<&'static Nutrient>, Error> {
    Ok(nutrients()?.iter().find(|nutrient| nutrient.id == id))
}
