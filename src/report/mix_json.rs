//! A bowl as JSON.

use data_import::NutrientId;
use serde::Serialize;

use super::interval::IntervalReport;
use super::mix::MixPage;
use super::week::AmountReport;
use crate::household::BowlPart;
use crate::nutrition::reading::why_no_reference;
use crate::nutrition::{Bound, Bowl, Intake};
use crate::portion::CubeCount;
use crate::safety::Objection;

/// A bowl for other programs.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct MixReport {
    pub schema: u32,
    pub child: String,
    pub day: String,
    pub age_months: u16,
    pub parts: Vec<BowlPartReport>,
    pub bowl: BowlReport,
    /// The topping, and the bowl with it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub added: Option<AddedReport>,
    pub iron_reference: Option<Intake>,
    /// Reason for lacking references: the child is too old for their tables.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub no_reference: Option<&'static str>,
    /// Moles for each mole in the bowl as it is first; `null` with meat, fish or poultry in it.
    pub vitamin_c_per_iron_wanted: Option<f64>,
    pub new: Vec<String>,
    pub next_new_food: Option<String>,
    pub objections: Vec<Objection>,
    pub one_more_cube: Vec<MoreReport>,
}

#[derive(Debug, Clone, Serialize)]
pub struct AddedReport {
    pub parts: Vec<BowlPartReport>,
    pub bowl: BowlReport,
}

#[derive(Debug, Clone, Serialize)]
pub struct BowlPartReport {
    pub what: String,
    pub name: String,
    pub cubes: Option<CubeCount>,
    pub batch: Option<i64>,
    pub grams: f64,
    pub remark: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct BowlReport {
    pub mass_g: f64,
    pub energy_kcal: AmountReport,
    pub energy_interval: Option<IntervalReport>,
    pub energy_density_kcal_per_g: Option<Bound>,
    pub iron_mg: AmountReport,
    pub iron_interval: Option<IntervalReport>,
    pub iron_percent: Option<f64>,
    pub flesh_iron_percent: Option<Bound>,
    pub vitamin_c_mg: AmountReport,
    /// Moles for each mole.
    pub vitamin_c_per_iron: Option<Bound>,
    pub allergens: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct MoreReport {
    pub batch: i64,
    pub recipe: String,
    pub iron_mg: AmountReport,
    pub new: Vec<String>,
}

impl MixReport {
    /// Builds the report of a bowl.
    pub fn new(page: &MixPage<'_>) -> Self {
        let iron = page.iron.as_ref();
        let bowl = |bowl: &Bowl| BowlReport::new(bowl, iron.map(|intake| intake.amount));
        Self {
            schema: 1,
            child: page.child.to_string(),
            day: page.day.to_string(),
            age_months: page.age.0,
            parts: page.parts.iter().map(part).collect(),
            bowl: bowl(page.bowl),
            added: page.added.as_ref().map(|added| AddedReport {
                parts: added.parts.iter().map(part).collect(),
                bowl: bowl(&added.bowl),
            }),
            iron_reference: page.iron.clone(),
            no_reference: why_no_reference(page.age),
            vitamin_c_per_iron_wanted: page.bowl.vitamin_c_wanted(),
            new: page.before.new.clone(),
            next_new_food: page.before.next_free.map(|day| day.to_string()),
            objections: page.before.objections.clone(),
            one_more_cube: page
                .more_iron
                .iter()
                .map(|one| MoreReport {
                    batch: one.batch,
                    recipe: one.recipe.clone(),
                    iron_mg: AmountReport::from(&one.iron),
                    new: one.new.clone(),
                })
                .collect(),
        }
    }
}

impl BowlReport {
    fn new(bowl: &Bowl, reference: Option<f64>) -> Self {
        let iron = bowl.total(NutrientId::IRON);
        let interval = |nutrient| IntervalReport::known("per_serving", bowl.interval(nutrient));
        Self {
            mass_g: bowl.mass().grams(),
            energy_kcal: AmountReport::from(&bowl.total(NutrientId::ENERGY)),
            energy_interval: interval(NutrientId::ENERGY),
            iron_interval: interval(NutrientId::IRON),
            energy_density_kcal_per_g: bowl.energy_density(),
            iron_percent: iron
                .known
                .zip(reference)
                .map(|(known, all)| known / all * 100.0),
            iron_mg: AmountReport::from(&iron),
            flesh_iron_percent: bowl.flesh_iron().map(|share| share.times(100.0)),
            vitamin_c_mg: AmountReport::from(&bowl.total(NutrientId::VITAMIN_C)),
            vitamin_c_per_iron: bowl.vitamin_c_per_iron(),
            allergens: bowl.allergens().into_iter().map(String::from).collect(),
        }
    }
}

fn part(part: &BowlPart) -> BowlPartReport {
    BowlPartReport {
        what: part.typed.clone(),
        name: part.serving.what.clone(),
        cubes: part.cubes,
        batch: part.batch,
        grams: part.serving.mass.grams(),
        remark: part.remark.clone(),
    }
}
