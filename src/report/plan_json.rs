//! A plan as JSON.

use serde::Serialize;

use super::plan::PlanPage;
use super::plan_calendar::thawed;
use crate::notebook::{How, PlannedFood, Slot};
use crate::planning::agenda::{AgendaMeal, AgendaPart, Outcome};
use crate::planning::facts::Facts;
use crate::planning::findings::Finding;
use crate::planning::supply::StockOrigin;
use crate::portion::CubeCount;
use crate::safety::Objection;

/// A plan for other programs. The keys are the documentation.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct PlanReport {
    pub schema: u32,
    pub today: String,
    pub from: String,
    pub to: String,
    pub meals: Vec<AgendaMealReport>,
    pub cooking: Vec<AgendaCookingReport>,
    /// The cubes to thaw tonight, in words.
    pub thaw_tonight: Vec<String>,
    /// The objections to what is shown that is still to come, the gravest first.
    pub objections: Vec<Objection>,
    pub findings: Vec<FindingReport>,
}

#[derive(Debug, Clone, Serialize)]
pub struct AgendaMealReport {
    #[serde(flatten)]
    pub slot: Slot,
    /// `open`, `as-planned` or `otherwise`.
    pub outcome: &'static str,
    /// How much of the meal was eaten; `None` for a meal that is not on record.
    pub how: Option<How>,
    pub parts: Vec<AgendaPartReport>,
}

/// Cubes of a recipe, or grams of a food.
#[derive(Debug, Clone, Serialize)]
pub struct AgendaPartReport {
    pub what: String,
    pub name: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cubes: Option<CubeCount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub grams: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub from: Vec<LotReport>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lacking: Option<CubeCount>,
}

#[derive(Debug, Clone, Serialize)]
pub struct LotReport {
    pub cubes: CubeCount,
    pub batch: Option<i64>,
    pub to_be_cooked: Option<String>,
    pub use_by: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct AgendaCookingReport {
    pub day: String,
    pub recipe: String,
    pub title: String,
    pub trays: u32,
    pub cubes: Option<u32>,
    pub done: bool,
}

#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct FindingReport {
    pub day: String,
    pub child: Option<String>,
    pub meal: Option<String>,
    pub rule: &'static str,
    pub words: String,
}

impl PlanReport {
    /// Builds the report of a plan.
    pub fn new(page: &PlanPage<'_>) -> Self {
        let facts = page.facts;
        let open = |meal: &&AgendaMeal| meal.outcome == Outcome::Open;
        let tomorrow = page.tomorrow.meals.iter().filter(open);
        let cooking = page.agenda.cooking.iter().map(|planned| {
            let dish = facts.dishes.get(&planned.recipe);
            AgendaCookingReport {
                day: planned.day.to_string(),
                recipe: planned.recipe.clone(),
                title: facts.title(&planned.recipe).to_string(),
                trays: planned.trays,
                cubes: dish.map(|dish| dish.cubes_a_tray.saturating_mul(planned.trays)),
                done: planned.done,
            }
        });
        Self {
            schema: 1,
            today: facts.today.to_string(),
            from: page.from.to_string(),
            to: page.to.to_string(),
            meals: page
                .agenda
                .meals
                .iter()
                .map(|meal| AgendaMealReport::new(facts, meal))
                .collect(),
            cooking: cooking.collect(),
            thaw_tonight: tomorrow.filter_map(|meal| thawed(facts, meal)).collect(),
            objections: page.objections.to_vec(),
            findings: page.findings.iter().map(FindingReport::new).collect(),
        }
    }
}

impl AgendaMealReport {
    fn new(facts: &Facts<'_>, meal: &AgendaMeal) -> Self {
        let (outcome, how) = match meal.outcome {
            Outcome::Open => ("open", None),
            Outcome::AsPlanned(how) => ("as-planned", Some(how)),
            Outcome::Otherwise(how) => ("otherwise", Some(how)),
        };
        Self {
            slot: meal.slot.clone(),
            outcome,
            how,
            parts: meal
                .parts
                .iter()
                .map(|part| AgendaPartReport::new(facts, part))
                .collect(),
        }
    }
}

impl AgendaPartReport {
    fn new(facts: &Facts<'_>, part: &AgendaPart) -> Self {
        match part {
            AgendaPart::Cubes(pick, taken) => Self {
                what: pick.name.clone(),
                name: facts.title(&pick.name).to_string(),
                cubes: Some(pick.cubes),
                grams: None,
                from: taken
                    .parts
                    .iter()
                    .map(|(lot, cubes)| {
                        let (batch, cooked_on) = match lot.origin {
                            StockOrigin::Batch(id) => (Some(id), None),
                            StockOrigin::Cooking(day) => (None, Some(day.to_string())),
                        };
                        LotReport {
                            cubes: *cubes,
                            batch,
                            to_be_cooked: cooked_on,
                            use_by: lot.use_by.to_string(),
                        }
                    })
                    .collect(),
                lacking: Some(taken.short),
            },
            AgendaPart::Food(PlannedFood { id, mass, .. }) => Self {
                what: id.to_string(),
                name: facts
                    .foods
                    .get(id)
                    .map_or(String::new(), |(food, _)| food.name.clone()),
                cubes: None,
                grams: Some(mass.grams()),
                from: Vec::new(),
                lacking: None,
            },
        }
    }
}

impl FindingReport {
    /// A finding for other programs.
    pub fn new(finding: &Finding) -> Self {
        let given = |text: &String| Some(text.clone()).filter(|text| !text.is_empty());
        Self {
            day: finding.day.to_string(),
            child: given(&finding.child),
            meal: given(&finding.meal),
            rule: finding.about.word(),
            words: finding.words.clone(),
        }
    }
}
