//! The additions that raise the iron of a bowl most: whole cubes from the freezer, and foods of the
//! cupboard that are eaten as they are. There are few enough to try every set of them.

use std::collections::BTreeSet;

use data_import::{FoodId, NutrientId};

use super::mixing::{BowlPart, CubesInTime, Mixing};
use crate::combine::Tables;
use crate::cooking::Method;
use crate::notebook::{BookError, Child, Helping, TasteRecord};
use crate::nutrition::Serving;
use crate::quantity::Mass;
use crate::safety::{FeedingStage, Judge, Objection};

/// The grams of a food of the cupboard that may be stirred in: about a teaspoon, two, and a
/// tablespoon (common practice, no source).
const SPOONS: [f64; 3] = [5.0, 10.0, 15.0];
/// The most cubes and the most parts that are added (judgement).
const MOST_CUBES: u32 = 2;
const MOST_PARTS: usize = 2;
/// The most additions that are shown (judgement).
const MOST_SHOWN: usize = 5;

/// A candidate addition to a bowl.
#[derive(Debug, Clone)]
struct Addition {
    /// The recipe or the food, so that nothing is added twice.
    what: String,
    typed: String,
    serving: Serving,
    iron: f64,
    /// The largest share of the bowl, 0 to 1; `None` for cubes.
    most_share: Option<f64>,
}

/// An addition to a bowl, and its effect.
#[derive(Debug, Clone)]
pub struct Raised {
    /// The parts as they are typed to serve them.
    pub parts: Vec<String>,
    /// The iron that the parts add, mg.
    pub added_iron: f64,
    /// Foods in the parts that the child does not know.
    pub new: Vec<String>,
    /// The objections to the whole bowl, none of them grave.
    pub objections: Vec<Objection>,
}

impl Mixing<'_> {
    /// The additions that raise the iron of a bowl most, each different food or recipe first named
    /// once.
    pub fn raising(
        &self,
        bowl: &[BowlPart],
        child: &Child,
        record: &TasteRecord,
        new_at_most: usize,
    ) -> Result<Vec<Raised>, BookError> {
        let in_bowl: Vec<Serving> = bowl.iter().map(|part| part.serving.clone()).collect();
        let mass: f64 = in_bowl.iter().map(|serving| serving.mass.grams()).sum();
        let mut choices = self.more_cubes();
        choices.extend(self.cupboard(&in_bowl, record)?);
        let mut sets: Vec<Vec<&Addition>> = Vec::new();
        for (at, addition) in choices.iter().enumerate() {
            sets.push(vec![addition]);
            let others = choices
                .iter()
                .skip(at + 1)
                .filter(|other| other.what != addition.what);
            if MOST_PARTS > 1 {
                sets.extend(others.map(|other| vec![addition, other]));
            }
        }
        sets.retain(|set| fits(set, mass));
        let iron = |set: &[&Addition]| -> f64 { set.iter().map(|addition| addition.iron).sum() };
        sets.sort_by(|a, b| iron(b).total_cmp(&iron(a)));
        let judge = self.judge()?;
        let eater = judge.eater(child, self.day())?;
        let mut raised: Vec<Raised> = Vec::new();
        let mut first_named: BTreeSet<BTreeSet<&str>> = BTreeSet::new();
        for set in &sets {
            let named: BTreeSet<&str> = set.iter().map(|addition| addition.what.as_str()).collect();
            if first_named.contains(&named) {
                continue;
            }
            let foods = set.iter().flat_map(|addition| &addition.serving.foods);
            let new = record.new_among(foods.map(|food| (food.id.as_str(), food.name.as_str())));
            let added = set.iter().map(|addition| addition.serving.clone());
            let whole: Vec<Serving> = in_bowl.iter().cloned().chain(added).collect();
            if new.len() > new_at_most {
                continue;
            }
            let meal = judge.portions(&whole)?;
            let objections = judge.each(&eater, FeedingStage::Mixed, &[meal]);
            let objections: Vec<Objection> = objections.into_iter().flatten().collect();
            if objections.iter().any(Objection::bars_a_plan) {
                continue;
            }
            first_named.insert(named);
            raised.push(Raised {
                parts: set.iter().map(|addition| addition.typed.clone()).collect(),
                added_iron: iron(set),
                new,
                objections,
            });
            if raised.len() == MOST_SHOWN {
                break;
            }
        }
        Ok(raised)
    }

    /// One and two more cubes of each batch that is in time.
    fn more_cubes(&self) -> Vec<Addition> {
        let mut choices = Vec::new();
        for CubesInTime { recipe, left, cube } in self.in_time() {
            let Some(iron) = cube.total(NutrientId::IRON).known else {
                continue;
            };
            for cubes in 1..=MOST_CUBES.min(left) {
                choices.push(Addition {
                    what: recipe.to_string(),
                    typed: format!("{cubes} {recipe}"),
                    serving: cube.times(f64::from(cubes)),
                    iron: iron * f64::from(cubes),
                    most_share: None,
                });
            }
        }
        choices
    }

    /// Foods that are eaten as they are and that the child knows, or that were bought.
    fn cupboard(&self, bowl: &[Serving], record: &TasteRecord) -> Result<Vec<Addition>, BookError> {
        let tables = Tables::builtin()?;
        let in_bowl: BTreeSet<&FoodId> = bowl
            .iter()
            .flat_map(|serving| &serving.foods)
            .map(|food| &food.id)
            .collect();
        let known = record.known();
        let store = self.store();
        let mut ids = Vec::new();
        for (id, _) in tables.candidates() {
            let bought =
                known.contains_key(id.as_str()) || store.price(id.as_str(), self.day())?.is_some();
            if bought && !in_bowl.contains(id) {
                ids.push(id.clone());
            }
        }
        let allergens = Judge::builtin()?.allergens();
        let mut choices = Vec::new();
        for food in self.pantry().foods(&ids)?.into_iter().flatten() {
            let part = tables
                .part(&food)
                .filter(|part| part.method == Method::None);
            let (Some(part), Some(iron)) = (part, food.composition.get(NutrientId::IRON)) else {
                continue;
            };
            let most_share = tables.roles.get(part.role).map(|role| role.max_share);
            for grams in SPOONS {
                let helping = Helping::new(food.clone(), Mass::from_grams(grams), allergens);
                let part = self.food(&helping)?;
                choices.push(Addition {
                    what: food.id.to_string(),
                    typed: format!("{grams} g {} ({})", food.name, food.id),
                    serving: part.serving,
                    iron: iron * grams / 100.0,
                    most_share,
                });
            }
        }
        Ok(choices)
    }
}

/// Whether no food is a larger share of the whole than its role allows.
fn fits(set: &[&Addition], bowl: f64) -> bool {
    let whole = bowl
        + set
            .iter()
            .map(|addition| addition.serving.mass.grams())
            .sum::<f64>();
    set.iter().all(|addition| {
        let most = addition.most_share.unwrap_or(1.0);
        addition.serving.mass.grams() <= most * whole
    })
}
