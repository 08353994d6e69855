//! A serving of one child: cubes of a batch, milk, or other food, as it is served.

use std::collections::BTreeMap;

use data_import::{Food, FoodId, NutrientId, nutrients};

use super::Total;
use crate::cooking::Method;
use crate::quantity::Mass;
use crate::uncertainty::{IntervalPart, UnsurePortion};

/// The source of a serving; totals keep the sources apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Source {
    /// Breast milk or formula.
    Milk,
    /// Cubes from the freezer.
    Puree,
    /// Ready-made food, and food from the table.
    Other,
}

impl Source {
    /// All sources, in the order in which they are shown.
    pub const ALL: [Self; 3] = [Self::Milk, Self::Puree, Self::Other];

    /// The word for it: `milk`, `puree`, `other`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Milk => "milk",
            Self::Puree => "puree",
            Self::Other => "other",
        }
    }
}

/// A serving of cubes, milk or other food.
#[derive(Debug, Clone, PartialEq)]
pub struct Serving {
    /// The source.
    pub source: Source,
    /// Title of the recipe, or name of the food.
    pub what: String,
    /// The mass as served.
    pub mass: Mass,
    /// The nutrients as served; a nutrient that is not in the map was not looked up.
    pub nutrients: BTreeMap<NutrientId, Total>,
    /// The foods in the serving, each once; plain water does not count.
    pub foods: Vec<ServedFood>,
    /// Cooking liquid and plain water blended in; `None` where it is not on record.
    pub liquid: Option<Mass>,
    /// The doubts about the serving; `None` where they are not known.
    pub portion: Option<UnsurePortion>,
}

/// A food in a serving.
#[derive(Debug, Clone, PartialEq)]
pub struct ServedFood {
    /// The id of the food.
    pub id: FoodId,
    /// The name of the food.
    pub name: String,
    /// Edible mass, raw where it was cooked; `None` where it is not on record.
    pub edible: Option<Mass>,
    /// The iron from the food in mg, as served; `None` where it is not known.
    pub iron: Option<f64>,
    /// The major allergens that its name reveals.
    pub allergens: Vec<String>,
    /// How it was cooked; `None` where it is not on record.
    pub method: Option<Method>,
    /// The typed words for the food, which may say more than its name, those of each part of it
    /// apart, see [`wordings`]; empty where they are not known.
    pub typed: String,
}

/// Stands between the words for the parts of one food.
const BETWEEN_WORDINGS: char = '|';

/// The words for each part of a food, by its words on record: ground almonds, and almonds that
/// were named by their id, which have none.
pub fn wordings(typed: &str) -> impl Iterator<Item = &str> {
    typed.split(BETWEEN_WORDINGS)
}

/// The words of a food and of more of it, each wording once.
pub fn joined_wordings(typed: &str, more: &str) -> String {
    let mut joined = typed.to_string();
    for words in wordings(more) {
        if !wordings(&joined).any(|known| known == words) {
            joined.push(BETWEEN_WORDINGS);
            joined.push_str(words);
        }
    }
    joined
}

impl Serving {
    /// A serving of a mass of a food as it is, from a dataset or a label.
    ///
    /// Errors: the table of nutrients cannot be read.
    pub fn of_food(
        source: Source,
        food: &Food,
        mass: Mass,
        allergens: Vec<String>,
    ) -> Result<Self, data_import::Error> {
        let amount = |id| Some(mass.grams() * food.composition.get(id)? / 100.0);
        let totals = nutrients()?
            .iter()
            .map(|nutrient| (nutrient.id, Total::of(&food.id, amount(nutrient.id))));
        Ok(Self {
            source,
            what: food.name.clone(),
            mass,
            nutrients: totals.collect(),
            foods: vec![ServedFood {
                id: food.id.clone(),
                name: food.name.clone(),
                edible: Some(mass),
                iron: amount(NutrientId::IRON),
                allergens,
                method: Some(Method::None),
                typed: String::new(),
            }],
            liquid: Some(Mass::ZERO),
            portion: None,
        })
    }

    /// Sets the words that were typed for the food.
    #[must_use]
    pub fn typed_as(mut self, words: &str) -> Self {
        for food in &mut self.foods {
            words.clone_into(&mut food.typed);
        }
        self
    }

    /// The total of a nutrient; missing from every food where it was not looked up.
    pub fn total(&self, nutrient: NutrientId) -> Total {
        let unknown = || {
            let mut missing: Vec<_> = self.foods.iter().map(|food| food.id.clone()).collect();
            missing.sort();
            missing.dedup();
            Total {
                known: None,
                missing,
            }
        };
        self.nutrients
            .get(&nutrient)
            .cloned()
            .unwrap_or_else(unknown)
    }

    /// The part of the serving in the interval of a nutrient, all of it eaten.
    pub fn interval_part(&self, nutrient: NutrientId) -> IntervalPart<'_> {
        IntervalPart::whole(self.portion.as_ref(), self.total(nutrient).known)
    }

    /// The serving times a factor, as three cubes are three times one cube.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        let nutrients = self.nutrients.iter();
        let foods = self.foods.iter().map(|food| ServedFood {
            edible: food.edible.map(|mass| mass * factor),
            iron: food.iron.map(|iron| iron * factor),
            ..food.clone()
        });
        Self {
            mass: self.mass * factor,
            nutrients: nutrients
                .map(|(id, total)| (*id, total.times(factor)))
                .collect(),
            foods: foods.collect(),
            liquid: self.liquid.map(|mass| mass * factor),
            portion: self.portion.as_ref().map(|portion| portion.times(factor)),
            ..self.clone()
        }
    }
}

impl ServedFood {
    /// Adds more of the same food, whose words stay apart: whole almonds are not ground by the
    /// others. Where a part of it is not cooked, that part decides the method,
    /// since it is the riskier one.
    pub(crate) fn join(&mut self, more: &Self) {
        self.method = match (self.method, more.method) {
            (Some(Method::None), _) | (_, Some(Method::None)) => Some(Method::None),
            (Some(method), Some(_)) => Some(method),
            _ => None,
        };
        self.edible = self.edible.zip(more.edible).map(|(a, b)| a + b);
        self.iron = self.iron.zip(more.iron).map(|(a, b)| a + b);
        self.typed = joined_wordings(&self.typed, &more.typed);
    }
}

/// The total of a nutrient over servings.
pub fn total_of<'a>(
    servings: impl IntoIterator<Item = &'a Serving>,
    nutrient: NutrientId,
) -> Total {
    let mut sum = Total::default();
    for serving in servings {
        sum.add(&serving.total(nutrient));
    }
    sum
}
