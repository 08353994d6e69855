//! The batch: masses, water, density, and every nutrient, before and after warming.

use data_import::{Error, Food, FoodId, Nutrient, NutrientId, Origin, nutrients};

use super::notes::notes_on;
use super::{Prepared, PreparedIngredient, RetainedShares};
use crate::cooking::dry_share;
use crate::food::NewerValue;
use crate::nutrition::Total;
use crate::portion::{Constituents, ROOM_CELSIUS};
use crate::problem::Problem;
use crate::quantity::{Mass, in_grams};
use serde::Serialize;

pub use super::notes::{BatchNote, NoteKind};

/// The masses of a batch on its way.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Masses {
    /// As bought.
    #[serde(rename = "purchased_g", serialize_with = "in_grams")]
    pub purchased: Mass,
    /// After refuse is removed.
    #[serde(rename = "edible_g", serialize_with = "in_grams")]
    pub edible: Mass,
    /// After cooking and draining.
    #[serde(rename = "cooked_g", serialize_with = "in_grams")]
    pub cooked: Mass,
    /// Returned and added liquid.
    #[serde(rename = "liquid_g", serialize_with = "in_grams")]
    pub liquid: Mass,
    /// The blended batch.
    #[serde(rename = "puree_g", serialize_with = "in_grams")]
    pub puree: Mass,
}

/// One nutrient of a batch.
#[derive(Debug, Clone, PartialEq)]
pub struct NutrientTotal {
    /// Which one.
    pub nutrient: &'static Nutrient,
    /// In the whole batch, as frozen.
    pub batch: Total,
    /// In the whole batch, were all of it served as the recipe says (warmed, as a rule).
    pub served: Option<f64>,
    /// The share of the known sum, 0 to 1, that rests on measured values; `None` where no dataset
    /// says where its values come from, or the sum is nothing.
    pub measured: Option<f64>,
}

/// A calculated batch.
#[derive(Debug, Clone)]
pub struct Batch {
    /// What was calculated.
    pub prepared: Prepared,
    /// Its masses.
    pub masses: Masses,
    /// Dry matter of the purée, that of a food without a value for water by difference; `None` where
    /// it is not known of some food.
    pub dry_matter: Option<Mass>,
    /// Density at 20 degrees Celsius, g/ml.
    pub density: f64,
    /// Every nutrient, in the table's order.
    pub nutrients: Vec<NutrientTotal>,
    /// What is estimated, missing or to be known.
    pub notes: Vec<BatchNote>,
}

impl Batch {
    /// The total of one nutrient.
    pub fn total(&self, nutrient: NutrientId) -> Option<&NutrientTotal> {
        self.nutrients
            .iter()
            .find(|total| total.nutrient.id == nutrient)
    }

    /// What all of it would hold as served by newer analyses of its foods, and the values that say
    /// so; `None` where there is no newer value.
    pub fn by_newer(&self, nutrient: NutrientId) -> Option<(f64, Vec<(&FoodId, NewerValue)>)> {
        let mut served = self.total(nutrient)?.served?;
        let kept = self.masses.puree / self.blended();
        let mut values = Vec::new();
        for ingredient in &self.prepared.ingredients {
            let newer = ingredient
                .newer
                .iter()
                .find(|newer| newer.nutrient == nutrient);
            let former = ingredient.eaten().composition.get(nutrient);
            let Some((newer, former)) = newer.zip(former) else {
                continue;
            };
            let (cooking, warming) =
                self.prepared
                    .survival(ingredient, ingredient.kept(), nutrient);
            let more = (newer.per_100_g - former) / 100.0;
            served += ingredient.edible().grams() * more * cooking * warming * kept;
            values.push((&ingredient.food.id, *newer));
        }
        (!values.is_empty()).then_some((served, values))
    }

    /// kcal per gram of purée, where the energy is known.
    pub fn energy_density(&self) -> Option<f64> {
        let energy = self.total(NutrientId::ENERGY)?.batch.known?;
        Some(energy / self.masses.puree.grams())
    }

    /// The foods of the recipe.
    pub fn foods(&self) -> impl Iterator<Item = &Food> {
        self.prepared
            .ingredients
            .iter()
            .map(|ingredient| &ingredient.food)
    }
}

/// A purée of more than this many times what the ingredients make is a slip of the number or the
/// unit, not water that was added (judgement). One that is too light is found by its dry matter.
pub(crate) const MOST_TIMES: f64 = 4.0;
/// The share of its dry matter, by the table, that a cooked mass is at least. It may be a little
/// less than all of it, since the scale and the water of the table are not exact (judgement).
pub(crate) const DRY_SLACK: f64 = 0.98;

impl Prepared {
    /// Compares the purée as weighed with what goes in.
    ///
    /// Errors: it is many times as much.
    pub fn check_weighed(&self) -> Result<(), Problem> {
        let expected = self.expected();
        let Some(weighed) = &self.weighed else {
            return Ok(());
        };
        let times = weighed.value / expected;
        if times > MOST_TIMES {
            let problem = weighed.problem(format!(
                "{:.0} g is {times:.0} times what the ingredients make, {:.0} g",
                weighed.value.grams(),
                expected.grams()
            ));
            let hint = "look at the number and the unit; if they are right, the amounts of the recipe are not";
            return Err(problem.hint(hint));
        }
        Ok(())
    }

    /// Calculates the batch.
    ///
    /// Errors: the tables cannot be read; or the figures of the recipe contradict each other.
    pub fn calculate(self) -> Result<Result<Batch, Problem>, Error> {
        let all = nutrients()?;
        Ok(self.calculate_all(all))
    }

    fn calculate_all(self, all: &'static [Nutrient]) -> Result<Batch, Problem> {
        if self
            .ingredients
            .iter()
            .all(|ingredient| ingredient.class.0 == "water")
        {
            return Err(Problem::new("the recipe holds nothing but water")
                .hint("add something to eat to it"));
        }
        let expected = self.expected();
        let blended = self
            .weighed
            .as_ref()
            .map_or(expected, |weighed| weighed.value);
        let dry = self.dry_matter()?;
        let puree = self.after_loss(blended)?;
        if dry.is_some_and(|dry| dry > blended) {
            return Err(self.too_light(blended));
        }
        let kept = puree / blended;
        let water = dry.map(|dry| (blended - dry).grams());
        let keeps: Vec<_> = self
            .ingredients
            .iter()
            .map(PreparedIngredient::kept)
            .collect();
        let totals = all
            .iter()
            .map(|nutrient| match nutrient.id {
                NutrientId::WATER => self.water_total(nutrient, water, kept),
                _ => self.nutrient_total(nutrient, &keeps, kept),
            })
            .collect();
        let mut batch = Batch {
            masses: Masses {
                purchased: self
                    .ingredients
                    .iter()
                    .map(PreparedIngredient::purchased)
                    .sum(),
                edible: self
                    .ingredients
                    .iter()
                    .map(PreparedIngredient::edible)
                    .sum(),
                cooked: expected - self.liquid_mass(),
                liquid: self.liquid_mass(),
                puree,
            },
            dry_matter: dry.map(|dry| dry * kept),
            density: 1.0,
            nutrients: totals,
            notes: Vec::new(),
            prepared: self,
        };
        let density = batch
            .constituents()
            .and_then(|parts| parts.density(ROOM_CELSIUS));
        batch.notes = notes_on(&batch, expected, density);
        batch.density = density.unwrap_or(1.0);
        Ok(batch)
    }

    /// The purée that reaches the tray.
    fn after_loss(&self, blended: Mass) -> Result<Mass, Problem> {
        let Some(loss) = self.loss.as_ref().filter(|_| self.weighed.is_none()) else {
            return Ok(blended);
        };
        if loss.value >= blended {
            let what = format!("the loss is the whole purée of {:.0} g", blended.grams());
            return Err(loss
                .problem(what)
                .hint("write what stays in the pot and the blender"));
        }
        Ok(blended - loss.value)
    }

    fn too_light(&self, blended: Mass) -> Problem {
        let what = format!(
            "a purée of {:.0} g is lighter than the dry matter of what went in",
            blended.grams()
        );
        let problem = match &self.weighed {
            Some(weighed) => weighed.problem(what),
            None => Problem::new(what),
        };
        problem.hint("check the weighed masses, the yields and the amounts: is a unit wrong?")
    }

    /// Dry matter of everything that goes in, the liquid's own included; `None` where some food
    /// gives neither its water nor its parts. Errors: a cooked mass below its dry matter.
    fn dry_matter(&self) -> Result<Option<Mass>, Problem> {
        let mut sum = dry_share(&self.liquid.water).map(|share| self.liquid_mass() * share);
        for ingredient in &self.ingredients {
            let dry = ingredient.dry_matter();
            let least = ingredient.drained_dry_matter();
            if least.is_some_and(|least| least * DRY_SLACK > ingredient.cooked()) {
                let what = format!(
                    "{:.0} g of cooked {} is less than its dry matter",
                    ingredient.cooked().grams(),
                    ingredient.food.name
                );
                let hint = "check its amount, its weighed mass or its yield: is a unit wrong?";
                return Err(ingredient.written.problem(what).hint(hint));
            }
            sum = sum.zip(dry).map(|(sum, dry)| sum + dry);
        }
        Ok(sum)
    }

    /// Water is a mass balance, not a retention. It is not known where that of a food is estimated.
    fn water_total(
        &self,
        nutrient: &'static Nutrient,
        water: Option<f64>,
        kept: f64,
    ) -> NutrientTotal {
        let lacks = |food: &Food| food.composition.get(NutrientId::WATER).is_none();
        let missing = self.foods_in().filter(|(_, food)| lacks(food));
        let missing: Vec<_> = missing.map(|(id, _)| id.clone()).collect();
        let known = water.filter(|_| missing.is_empty());
        let known = known.map(|water| water * kept);
        NutrientTotal {
            nutrient,
            batch: Total { known, missing },
            served: known,
            measured: None,
        }
    }

    fn nutrient_total(
        &self,
        nutrient: &'static Nutrient,
        keeps: &[RetainedShares],
        kept: f64,
    ) -> NutrientTotal {
        let (mut known, mut served, mut missing) = (None, None, Vec::new());
        let mut measured = 0.0;
        let mut add =
            |(id, food): (&FoodId, &Food), mass: Mass, cooking: f64, warming: f64, origin| {
                if mass <= Mass::ZERO {
                    return;
                }
                let Some(value) = food.composition.get(nutrient.id) else {
                    missing.push(id.clone());
                    return;
                };
                let amount = mass.grams() * value / 100.0 * cooking * kept;
                *known.get_or_insert(0.0) += amount;
                *served.get_or_insert(0.0) += amount * warming;
                if origin == Some(&Origin::Measured) {
                    measured += amount;
                }
            };
        for (ingredient, kept) in self.ingredients.iter().zip(keeps) {
            let (cooking, warming) = self.survival(ingredient, *kept, nutrient.id);
            let origin = ingredient.origins.get(&nutrient.id);
            add(
                (&ingredient.food.id, ingredient.eaten()),
                ingredient.edible(),
                cooking,
                warming,
                origin,
            );
        }
        let water = &self.liquid.water;
        add((&water.id, water), self.liquid_mass(), 1.0, 1.0, None);
        missing.sort();
        missing.dedup();
        let has_origins = self
            .ingredients
            .iter()
            .any(|ingredient| !ingredient.origins.is_empty());
        let share = known
            .filter(|known| has_origins && *known > 0.0)
            .map(|known: f64| measured / known);
        NutrientTotal {
            nutrient,
            batch: Total { known, missing },
            served,
            measured: share,
        }
    }

    /// The shares of a nutrient of an ingredient that survive cooking, and then warming where the cubes are warmed.
    pub(super) fn survival(
        &self,
        ingredient: &PreparedIngredient,
        kept: RetainedShares,
        nutrient: NutrientId,
    ) -> (f64, f64) {
        let warming = if self.serving.reheat {
            ingredient.preparation.reheating.kept(nutrient, 0.0)
        } else {
            1.0
        };
        (ingredient.share_kept(kept, nutrient), warming)
    }

    /// Every food that has a mass in the purée, with the id it is written by, the water included where there is any.
    fn foods_in(&self) -> impl Iterator<Item = (&FoodId, &Food)> {
        let water = Some(&self.liquid.water).filter(|_| self.liquid_mass() > Mass::ZERO);
        let eaten = self
            .ingredients
            .iter()
            .map(|ingredient| (&ingredient.food.id, ingredient.eaten()));
        eaten.chain(water.map(|water| (&water.id, water)))
    }
}

impl Batch {
    /// What the purée is made of; `None` where a part other than fibre and ash is unknown.
    fn constituents(&self) -> Option<Constituents> {
        Constituents::of(|nutrient| {
            if nutrient == NutrientId::WATER {
                return self.dry_matter.map(|dry| (self.masses.puree - dry).grams());
            }
            let total = self.total(nutrient)?;
            let may_lack = [NutrientId::FIBRE, NutrientId::ASH].contains(&nutrient);
            total
                .batch
                .known
                .filter(|_| may_lack || total.batch.complete())
        })
    }
}
