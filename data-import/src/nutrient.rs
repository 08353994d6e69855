//! Nutrients: their identity, names and units, from `data/nutrients.csv` and `nutrients-more.csv`.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use crate::error::Error;
use crate::reference;

const CORE: &str = include_str!("../data/nutrients.csv");
const MORE: &str = include_str!("../data/nutrients-more.csv");

/// The number the USDA datasets give a nutrient (303 is iron). Where FoodData Central has none, or
/// one with a point, it is that dataset's nutrient id, from 1001 on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct NutrientId(u16);

// Numbers: NUTR_DEF.txt of the USDA National Nutrient Database for Standard Reference, Release 28.
impl NutrientId {
    /// Protein, g.
    pub const PROTEIN: Self = Self(203);
    /// Total lipid, g.
    pub const FAT: Self = Self(204);
    /// Carbohydrate by difference, fibre included, g.
    pub const CARBOHYDRATE: Self = Self(205);
    /// Ash, g.
    pub const ASH: Self = Self(207);
    /// Energy, kcal.
    pub const ENERGY: Self = Self(208);
    /// Water, g.
    pub const WATER: Self = Self(255);
    /// Total sugars, g.
    pub const SUGARS: Self = Self(269);
    /// Total dietary fibre, g.
    pub const FIBRE: Self = Self(291);
    /// Calcium, mg.
    pub const CALCIUM: Self = Self(301);
    /// Iron, mg.
    pub const IRON: Self = Self(303);
    /// Magnesium, mg.
    pub const MAGNESIUM: Self = Self(304);
    /// Phosphorus, mg.
    pub const PHOSPHORUS: Self = Self(305);
    /// Potassium, mg.
    pub const POTASSIUM: Self = Self(306);
    /// Sodium, mg.
    pub const SODIUM: Self = Self(307);
    /// Zinc, mg.
    pub const ZINC: Self = Self(309);
    /// Copper, mg.
    pub const COPPER: Self = Self(312);
    /// Manganese, mg.
    pub const MANGANESE: Self = Self(315);
    /// Selenium, µg.
    pub const SELENIUM: Self = Self(317);
    /// Vitamin A in international units.
    pub const VITAMIN_A_IU: Self = Self(318);
    /// Retinol, µg.
    pub const RETINOL: Self = Self(319);
    /// Vitamin A in retinol activity equivalents, µg.
    pub const VITAMIN_A_RAE: Self = Self(320);
    /// Beta-carotene, µg.
    pub const BETA_CAROTENE: Self = Self(321);
    /// Alpha-carotene, µg.
    pub const ALPHA_CAROTENE: Self = Self(322);
    /// Vitamin E as alpha-tocopherol, mg.
    pub const VITAMIN_E: Self = Self(323);
    /// Vitamin D in international units.
    pub const VITAMIN_D_IU: Self = Self(324);
    /// Vitamin D (D2 and D3), µg.
    pub const VITAMIN_D: Self = Self(328);
    /// Beta-cryptoxanthin, µg.
    pub const BETA_CRYPTOXANTHIN: Self = Self(334);
    /// Lycopene, µg.
    pub const LYCOPENE: Self = Self(337);
    /// Lutein and zeaxanthin, µg.
    pub const LUTEIN_ZEAXANTHIN: Self = Self(338);
    /// Vitamin C, mg.
    pub const VITAMIN_C: Self = Self(401);
    /// Thiamin, mg.
    pub const THIAMIN: Self = Self(404);
    /// Riboflavin, mg.
    pub const RIBOFLAVIN: Self = Self(405);
    /// Niacin, mg.
    pub const NIACIN: Self = Self(406);
    /// Pantothenic acid, mg.
    pub const PANTOTHENIC_ACID: Self = Self(410);
    /// Vitamin B6, mg.
    pub const VITAMIN_B6: Self = Self(415);
    /// Total folate, µg.
    pub const FOLATE: Self = Self(417);
    /// Vitamin B12, µg.
    pub const VITAMIN_B12: Self = Self(418);
    /// Total choline, mg.
    pub const CHOLINE: Self = Self(421);
    /// Vitamin K (phylloquinone), µg.
    pub const VITAMIN_K: Self = Self(430);
    /// Folic acid, added, µg.
    pub const FOLIC_ACID: Self = Self(431);
    /// Folate occurring naturally in the food, µg.
    pub const FOOD_FOLATE: Self = Self(432);
    /// Folate in dietary folate equivalents, µg.
    pub const FOLATE_DFE: Self = Self(435);
    /// Cholesterol, mg.
    pub const CHOLESTEROL: Self = Self(601);
    /// Saturated fatty acids, g.
    pub const SATURATED_FAT: Self = Self(606);
    /// Monounsaturated fatty acids, g.
    pub const MONOUNSATURATED_FAT: Self = Self(645);
    /// Polyunsaturated fatty acids, g.
    pub const POLYUNSATURATED_FAT: Self = Self(646);
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
    /// INFOODS tagname, such as `FE`; `N` and the number where the dataset gives none.
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

/// The 46 nutrients of the abbreviated file, which a batch adds up, in the order of their table.
pub fn nutrients() -> Result<&'static [Nutrient], Error> {
    static NUTRIENTS: OnceLock<Vec<Nutrient>> = OnceLock::new();
    if let Some(known) = NUTRIENTS.get() {
        return Ok(known);
    }
    let read = reference::rows("nutrients.csv", CORE)?;
    Ok(NUTRIENTS.get_or_init(|| read))
}

/// All nutrients the program knows: the 46, then the others in the order of their table.
pub fn all_nutrients() -> Result<&'static [Nutrient], Error> {
    static NUTRIENTS: OnceLock<Vec<Nutrient>> = OnceLock::new();
    if let Some(known) = NUTRIENTS.get() {
        return Ok(known);
    }
    let mut read = nutrients()?.to_vec();
    read.extend(reference::rows::<Nutrient>("nutrients-more.csv", MORE)?);
    Ok(NUTRIENTS.get_or_init(|| read))
}

/// The nutrient with this number, one of all.
pub fn nutrient(id: NutrientId) -> Result<Option<&'static Nutrient>, Error> {
    Ok(all_nutrients()?.iter().find(|nutrient| nutrient.id == id))
}

/// The place of each number in [`all_nutrients`].
pub(crate) fn places() -> Result<BTreeMap<NutrientId, u16>, Error> {
    let numbers = all_nutrients()?.iter().map(|nutrient| nutrient.id);
    Ok(numbers.zip(0..).collect())
}
