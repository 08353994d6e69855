//! Foods of servings and batches as portions, with what the judge needs.

use std::collections::BTreeMap;

use data_import::{Composition, Food, FoodId};
use jiff::civil::Date;

use crate::cooking::Method;
use crate::nutrition::{ServedFood, Source};
use crate::portion::Tray;
use crate::recipe::Batch;
use crate::safety::{Case, ChildFacts, FeedingStage, Judge, Objection, Portion, PortionForm};

/// A food of a serving as a portion, with its entry in the food table.
pub(super) fn portion(
    known: &BTreeMap<FoodId, Food>,
    source: Source,
    served: &ServedFood,
) -> Portion {
    let puree = source == Source::Puree;
    let food = known.get(&served.id).cloned();
    Portion {
        food: food.unwrap_or_else(|| named(&served.id, &served.name)),
        mass: served.edible,
        method: if puree {
            served.method
        } else {
            Some(Method::None)
        },
        form: if puree {
            PortionForm::Puree
        } else {
            PortionForm::Whole
        },
        typed: served.typed.clone(),
    }
}

/// A food in a purée, without an amount.
pub(in crate::household) fn in_puree(food: Food, method: Option<Method>) -> Portion {
    Portion {
        food,
        mass: None,
        method,
        form: PortionForm::Puree,
        typed: String::new(),
    }
}

/// The objections to foods alone: without other meals around them, and with nothing that was seen.
pub(in crate::household) fn alone(
    judge: &Judge,
    child: &ChildFacts,
    (day, context): (Date, FeedingStage),
    portions: &[Portion],
) -> Vec<Objection> {
    judge.objections(&Case {
        child,
        day,
        context,
        portions,
        others: &[],
        seen: "",
    })
}

/// The foods of one serving of a batch.
pub(super) fn batch_portions(batch: &Batch, tray: &Tray) -> Vec<Portion> {
    let serving = tray.cube_mass(batch.density) * f64::from(batch.prepared.serving.cubes);
    let share = (serving / batch.masses.puree).min(1.0);
    let portion = |ingredient: &crate::recipe::PreparedIngredient| Portion {
        food: ingredient.food.clone(),
        mass: Some(ingredient.edible() * share),
        method: Some(ingredient.method),
        form: PortionForm::Puree,
        typed: ingredient.typed.clone(),
    };
    batch.prepared.ingredients.iter().map(portion).collect()
}

/// A food that is no longer in a table, known only by its recorded name.
fn named(id: &FoodId, name: &str) -> Food {
    Food {
        id: id.clone(),
        name: name.to_string(),
        common_names: String::new(),
        manufacturer: String::new(),
        scientific_name: String::new(),
        group: String::new(),
        refuse_percent: None,
        refuse_description: String::new(),
        energy_factors: None,
        nitrogen_factor: None,
        composition: Composition::new(),
        basis: data_import::Basis::default(),
        serving: None,
        gtin: String::new(),
        measures: Vec::new(),
        source: String::new(),
    }
}
