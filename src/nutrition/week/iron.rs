//! Iron: what helps it in a meal, and how much of it comes from meat, fish or poultry.

use data_import::NutrientId;

use crate::nutrition::{Day, DietGroup, Grouping, Meal, ServedFood, Total, Traits};

/// The iron of one meal and the vitamin C beside it, as eaten.
#[derive(Debug, Clone, PartialEq)]
pub struct MealIron {
    /// What the household calls the meal; may be empty.
    pub name: String,
    /// Iron, mg.
    pub iron: Total,
    /// Vitamin C, mg.
    pub vitamin_c: Total,
    /// Molecules of vitamin C for one of iron; a lower bound where `ratio_complete` is false. `None`
    /// where there is no iron, or not all of it is known.
    pub ratio: Option<f64>,
    /// Whether all the vitamin C is known.
    pub ratio_complete: bool,
}

/// Iron from meat, fish and poultry, beside all of it.
#[derive(Debug, Clone, PartialEq)]
pub struct FleshIron {
    /// Iron from them, mg; a lower bound where foods are missing.
    pub flesh: Total,
    /// Share of all iron, milk included, in percent; `None` where not all iron is known.
    pub percent: Option<f64>,
}

/// Molecules of vitamin C for one of iron at which foods for infants are fortified.
pub const WANTED_RATIO: f64 = 2.0;

/// Where [`WANTED_RATIO`] comes from.
pub const RATIO_SOURCE: &str = "2 to 1 in infant cereals low in phytate, American Journal of \
     Clinical Nutrition 65:916 (1997); more is used where there is much phytate";

/// g/mol of ascorbic acid and of iron.
const VITAMIN_C_MOLAR: f64 = 176.12;
const IRON_MOLAR: f64 = 55.845;

/// Molecules of vitamin C for one of iron, both in mg; `None` without iron.
pub fn molar_ratio(vitamin_c: f64, iron: f64) -> Option<f64> {
    (iron > 0.0).then(|| (vitamin_c / VITAMIN_C_MOLAR) / (iron / IRON_MOLAR))
}

impl MealIron {
    pub(super) fn of(meal: &Meal) -> Self {
        let iron = meal.total(NutrientId::IRON, None);
        let vitamin_c = meal.total(NutrientId::VITAMIN_C, None);
        let known = iron.known.filter(|_| iron.complete());
        let ratio = known
            .zip(vitamin_c.known)
            .and_then(|(iron, vitamin_c)| molar_ratio(vitamin_c, iron));
        Self {
            name: meal.name.clone(),
            ratio,
            ratio_complete: vitamin_c.complete(),
            iron,
            vitamin_c,
        }
    }
}

impl FleshIron {
    pub(super) fn of(day: &Day, traits: &Traits) -> Self {
        let mut flesh = Total::default();
        for meal in day.meals.iter().filter(|meal| meal.share > 0.0) {
            for food in meal.servings.iter().flat_map(|serving| &serving.foods) {
                if let Some(amount) = from_flesh(food, traits) {
                    flesh.add(&amount.times(meal.share));
                }
            }
        }
        let all = day.total(NutrientId::IRON, None);
        let complete = all.complete() && day.milk.is_some();
        Self::beside(flesh, all.known.filter(|_| complete))
    }

    /// The share of all iron, where all of it is known.
    pub(super) fn beside(flesh: Total, all: Option<f64>) -> Self {
        let percent = all.filter(|all| *all > 0.0).zip(super::had(&flesh));
        Self {
            percent: percent.map(|(all, of_flesh)| of_flesh / all * 100.0),
            flesh,
        }
    }
}

/// The iron of a food of meat, fish or poultry, or that may be; `None` of any other food.
fn from_flesh(food: &ServedFood, traits: &Traits) -> Option<Total> {
    match traits.get(&food.id).map(|one| one.grouping) {
        Some(Grouping::Group(DietGroup::Flesh)) => Some(Total::of(&food.id, food.iron)),
        Some(Grouping::Unknown) | None => Some(Total::of(&food.id, None)),
        Some(_) => None,
    }
}
