//! Vitamin C beside the iron of foods that are eaten together: how much is looked for, and for
//! which foods none is.

use data_import::FoodId;

use super::{DietGroup, Grouping, Traits};

/// Ascorbic acid, g/mol (C6H8O6).
pub(super) const VITAMIN_C_MOLAR: f64 = 176.12;
/// Iron, g/mol (IUPAC standard atomic weight).
pub(super) const IRON_MOLAR: f64 = 55.845;
/// The vitamin C in mg that has as many molecules as 1 mg of iron has atoms.
pub const VITAMIN_C_MG_FOR_IRON_MG: f64 = VITAMIN_C_MOLAR / IRON_MOLAR;

/// Moles of vitamin C for each mole of iron where there is little phytate (American Journal of
/// Clinical Nutrition 65:916, 1997).
pub const LITTLE_PHYTATE: f64 = 2.0;
/// Moles of vitamin C for each mole of iron where there is much phytate (WHO and FAO, Guidelines on
/// food fortification with micronutrients, 2006; from memory).
pub const MUCH_PHYTATE: f64 = 4.0;

/// The sources of [`LITTLE_PHYTATE`] and [`MUCH_PHYTATE`], as a reader sees them.
pub const RATIO_SOURCE: &str = "2 to 1 in infant cereals low in phytate, American Journal of Clinical Nutrition 65:916 (1997); 4 to 1 where \
     there is much phytate, WHO and FAO, Guidelines on food fortification with micronutrients (2006)";

/// The foods with much phytate, as a reader knows them.
pub const RICH_IN_PHYTATE: &str = "pulses, whole grain, nuts or seeds";

/// Moles of vitamin C for each mole of iron, from amounts in mg; `None` without iron.
pub fn molar_ratio(vitamin_c: f64, iron: f64) -> Option<f64> {
    (iron > 0.0).then(|| (vitamin_c / VITAMIN_C_MOLAR) / (iron / IRON_MOLAR))
}

/// The ratio looked for in a meal of these foods: the higher one as soon as one food holds much
/// phytate, since a little of it already inhibits absorption. `None` with meat, fish or poultry,
/// which bring haem iron and help the absorption of the other iron.
pub fn ratio_wanted<'a>(
    foods: impl IntoIterator<Item = &'a FoodId>,
    traits: &Traits,
) -> Option<f64> {
    let mut wanted = LITTLE_PHYTATE;
    for food in foods.into_iter().filter_map(|food| traits.get(food)) {
        if food.grouping == Grouping::Group(DietGroup::Flesh) {
            return None;
        }
        if food.much_phytate {
            wanted = MUCH_PHYTATE;
        }
    }
    Some(wanted)
}
