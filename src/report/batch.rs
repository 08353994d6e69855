//! The batch as a report: every figure of the card, with the keys of the JSON.

use data_import::{Error, FoodId, NutrientId};
use serde::Serialize;

use super::batch_cost::{CostReport, Priced};
use super::batch_words::{self, Density, LiquidWords};
use super::food_facts::{LackEntry, lack};
use super::interval::IntervalReport;
use crate::cooking::{PracticeTable, Preparation, RetentionRow, State, YieldBasis};
use crate::food::NewerValue;
use crate::household::Complement;
use crate::nutrition::energy::Requirement;
use crate::nutrition::reading::why_no_reference;
use crate::nutrition::week::Yardstick;
use crate::nutrition::{AgeBand, AgeMonths, Complementary, IntakeTable, Total};
use crate::portion::{Cubes, Tray};
use crate::quantity::{Mass, Volume};
use crate::recipe::{
    Basis, Batch, BatchNote, CubeMade, Masses, NutrientTotal, PreparedIngredient, PreparedLiquid,
};
use crate::safety::{Caution, CautionTable, Objection};
use crate::uncertainty::{IntervalPart, UnsurePortion};

/// The tables that a batch is looked at with.
#[derive(Debug)]
pub struct BatchTables {
    intakes: IntakeTable,
    pub(super) cautions: CautionTable,
    pub(super) practice: PracticeTable,
    complementary: Complementary,
}

impl BatchTables {
    /// Reads the built-in tables.
    pub fn builtin() -> Result<Self, Error> {
        Ok(Self {
            intakes: IntakeTable::builtin()?,
            cautions: CautionTable::builtin()?,
            practice: PracticeTable::builtin()?,
            complementary: Complementary::builtin()?,
        })
    }
}

/// The inputs beside the batch from which its report is drawn up.
#[derive(Debug)]
pub struct BatchView<'a> {
    /// The tray it is spooned into.
    pub tray: &'a Tray,
    /// The child's age.
    pub age: AgeMonths,
    /// The child's energy requirement, where it is known.
    pub energy: Option<Requirement>,
    /// The cost of the batch, where the book has prices.
    pub cost: Option<Priced<'a>>,
    /// The objections to the batch, the gravest first.
    pub objections: &'a [Objection],
    /// What the purée lacks, and foods that bring it; `None` where it was not looked up.
    pub lacks: Option<&'a [Complement]>,
    /// The tables.
    pub tables: &'a BatchTables,
}

/// The whole report. Units are in the key names; nutrients carry theirs.
#[derive(Debug, Clone, Serialize)]
#[expect(
    missing_docs,
    reason = "the keys are the documentation; design and README explain them"
)]
pub struct BatchReport {
    pub schema: u32,
    pub recipe: String,
    pub factor: f64,
    pub age_months: u16,
    pub age_band: Option<&'static str>,
    /// Reason for lacking references: the child is too old for their tables.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub no_reference: Option<&'static str>,
    pub mass: Masses,
    pub density_g_per_ml: f64,
    pub cubes: CubesReport,
    pub serving: BatchServing,
    pub energy_density_kcal_per_g: Option<f64>,
    pub puree_weighed: bool,
    pub ingredients: Vec<IngredientReport>,
    pub liquid: LiquidReport,
    pub nutrients: Vec<Figures>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cost: Option<CostReport>,
    pub notes: Vec<BatchNote>,
    pub objections: Vec<Objection>,
    /// What the purée lacks, and foods that bring it; absent where it was not looked up.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lacks: Option<Vec<LackEntry>>,
    pub cautions: Vec<Caution>,
    /// The sentence on the cooking liquid, for the text rendering.
    #[serde(skip)]
    pub liquid_line: String,
    /// The water that the pot needs at least, for the text rendering; `None` where nothing is known of it.
    #[serde(skip)]
    pub pot_water: Option<Volume>,
    /// Whether there is milk beside it, in which what takes up the water may be cooked instead.
    #[serde(skip)]
    pub milk_in_pot: bool,
    /// The energy density beside what is looked for at that age, for the text rendering.
    #[serde(skip)]
    pub density: Option<Density>,
}

#[derive(Debug, Clone, Serialize)]
pub struct CubesReport {
    pub tray: String,
    pub wells: u32,
    pub fill: f64,
    pub count: f64,
    pub whole: u32,
    pub leftover_g: f64,
    pub cube_g: f64,
    pub cube_ml: f64,
}

#[derive(Debug, Clone, Serialize)]
pub struct BatchServing {
    pub cubes: u32,
    pub reheat: bool,
    pub mass_g: f64,
}

#[derive(Debug, Clone, Serialize)]
pub struct IngredientReport {
    pub food: String,
    pub name: String,
    pub class: String,
    pub method: &'static str,
    pub state: State,
    /// The drained food, where the liquid of its can is poured away.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drained_to: Option<String>,
    pub purchased_g: f64,
    pub edible_g: f64,
    pub cooked_g: f64,
    #[serde(rename = "yield")]
    pub yield_factor: f64,
    pub yield_basis: &'static str,
    pub yield_source: String,
    /// The least and the most it may well be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub yield_range: Option<(f64, f64)>,
    pub solids_kept: f64,
    pub fat_lost_g: f64,
    pub retention_drained: Option<String>,
    pub retention_used: Option<String>,
    pub source: String,
    /// Whether the cooked mass is an estimate.
    #[serde(skip)]
    pub estimated: bool,
    /// What the recipe weighs: the food as bought, or trimmed.
    #[serde(skip)]
    pub basis: Basis,
}

#[derive(Debug, Clone, Serialize)]
pub struct LiquidReport {
    pub collected_ml: f64,
    pub returned_ml: f64,
    pub added_ml: f64,
    pub water: String,
}

/// The figures of a nutrient: amounts in its own unit, `null` where nothing is known.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct Figures {
    pub id: &'static str,
    pub number: u16,
    pub name: &'static str,
    pub unit: &'static str,
    pub per_batch: Option<f64>,
    pub per_100g: Option<f64>,
    pub per_cube: Option<f64>,
    pub per_serving: Option<f64>,
    pub complete: bool,
    pub missing: Vec<String>,
    /// The share of the known amount that rests on measured values.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured_percent: Option<f64>,
    pub reference: Option<Yardstick>,
    pub upper: Option<UpperReport>,
    /// Where the figure of a serving most likely lies.
    pub interval: Option<IntervalReport>,
    /// A serving by newer analyses, where there are any that are not taken.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub newer: Option<NewerReport>,
    /// The total behind the figures, for the text rendering.
    #[serde(skip)]
    pub total: NutrientTotal,
}

/// The amount of a serving by newer analyses of its foods.
#[derive(Debug, Clone, Serialize)]
pub struct NewerReport {
    pub per_serving: f64,
    pub values: Vec<NewerFood>,
}

/// A newer value of a food.
#[derive(Debug, Clone, Serialize)]
pub struct NewerFood {
    pub food: String,
    pub per_100g: f64,
    pub analyses: u32,
    pub from: u16,
    pub to: u16,
    /// The years in words.
    #[serde(skip)]
    pub years: String,
}

impl NewerFood {
    fn of((food, value): &(&FoodId, NewerValue)) -> Self {
        Self {
            food: food.to_string(),
            per_100g: value.per_100_g,
            analyses: value.analyses,
            from: value.from,
            to: value.to,
            years: value.years(),
        }
    }
}

#[derive(Debug, Clone, Serialize)]
pub struct UpperReport {
    pub amount: f64,
    pub counts: String,
    /// Share of the upper level in one serving; `null` where it may not be compared.
    pub percent: Option<f64>,
    pub source: String,
}

impl BatchReport {
    /// Builds the report of a batch.
    pub fn new(batch: &Batch, view: &BatchView<'_>) -> Self {
        let cubes = Cubes::of(batch.masses.puree, view.tray.cube_mass(batch.density));
        let prepared = &batch.prepared;
        let scale = Scale {
            puree: batch.masses.puree,
            cube: cubes.each,
            serving: cubes.each * f64::from(prepared.serving.cubes),
        };
        let nutrients = batch.nutrients.iter();
        let unsure = UnsureServing::of(batch, &cubes, view.tray);
        Self {
            schema: 1,
            recipe: prepared.title.clone(),
            factor: prepared.factor,
            age_months: view.age.0,
            age_band: view.age.band().map(AgeBand::label),
            no_reference: why_no_reference(view.age),
            mass: batch.masses,
            density_g_per_ml: batch.density,
            cubes: CubesReport::new(&cubes, view.tray),
            serving: BatchServing {
                cubes: prepared.serving.cubes,
                reheat: prepared.serving.reheat,
                mass_g: scale.serving.grams(),
            },
            energy_density_kcal_per_g: batch.energy_density(),
            puree_weighed: prepared.weighed.is_some(),
            ingredients: prepared
                .ingredients
                .iter()
                .map(IngredientReport::new)
                .collect(),
            liquid: LiquidReport::new(&prepared.liquid),
            nutrients: nutrients
                .map(|total| Figures {
                    interval: unsure.interval(total, &scale),
                    ..Figures::new(total, batch, &scale, view)
                })
                .collect(),
            cost: view
                .cost
                .as_ref()
                .map(|priced| CostReport::new(priced, &cubes, batch)),
            notes: batch.notes.clone(),
            objections: view.objections.to_vec(),
            lacks: view.lacks.map(|all| all.iter().map(lack).collect()),
            cautions: view.tables.cautions.all().to_vec(),
            liquid_line: LiquidWords::of(batch).all(&view.tables.practice),
            pot_water: batch_words::pot_water(batch),
            milk_in_pot: batch_words::has_milk(batch),
            density: Density::of(&view.tables.complementary, batch, view.age),
        }
    }
}

impl CubesReport {
    fn new(cubes: &Cubes, tray: &Tray) -> Self {
        Self {
            tray: tray.name.clone(),
            wells: tray.wells,
            fill: tray.fill,
            count: cubes.count,
            whole: cubes.whole(),
            leftover_g: cubes.left_over().grams(),
            cube_g: cubes.each.grams(),
            cube_ml: tray.cube_volume().millilitres(),
        }
    }
}

impl LiquidReport {
    fn new(liquid: &PreparedLiquid) -> Self {
        Self {
            collected_ml: liquid.collected.millilitres(),
            returned_ml: liquid.returned.millilitres(),
            added_ml: liquid.added.millilitres(),
            water: liquid.water.id.to_string(),
        }
    }
}

/// A serving of cubes, as they are made and as if they were counted.
struct UnsureServing {
    made: UnsurePortion,
    counted: Option<UnsurePortion>,
}

impl UnsureServing {
    fn of(batch: &Batch, cubes: &Cubes, tray: &Tray) -> Self {
        let taken = f64::from(batch.prepared.serving.cubes);
        let made = CubeMade::of(cubes.each, &tray.name);
        let counted = Some(cubes.whole()).filter(|whole| *whole > 0);
        let counted = counted.map(|whole| CubeMade {
            counted: Some(whole),
            ..made
        });
        Self {
            made: batch.portion(made).times(taken),
            counted: counted.map(|counted| batch.portion(counted).times(taken)),
        }
    }

    fn interval(&self, total: &NutrientTotal, scale: &Scale) -> Option<IntervalReport> {
        let nutrient = total.nutrient.id;
        let part = scale.serving / scale.puree;
        let served = Total {
            known: total.served.map(|served| served * part),
            missing: total.batch.missing.clone(),
        };
        let of = |portion| {
            let part = IntervalPart::whole(Some(portion), served.known);
            served.interval(nutrient, [part])
        };
        let counted = self.counted.as_ref().and_then(of);
        let made = of(&self.made)?;
        Some(IntervalReport::new("per_serving", made, counted.as_ref()))
    }
}

/// The masses that the figures of one nutrient are stated for.
struct Scale {
    puree: Mass,
    cube: Mass,
    serving: Mass,
}

impl Figures {
    fn new(total: &NutrientTotal, batch: &Batch, scale: &Scale, view: &BatchView<'_>) -> Self {
        let nutrient = total.nutrient;
        let frozen = |mass: Mass| total.batch.known.map(|known| known * (mass / scale.puree));
        let served = |total: &NutrientTotal| {
            total
                .served
                .map(|served| served * (scale.serving / scale.puree))
        };
        let per_serving = served(total);
        let reference = view
            .tables
            .intakes
            .intake(nutrient.id, view.age)
            .map(|intake| Yardstick {
                kind: intake.kind.label().into(),
                amount: intake.amount,
                percent: per_serving.map(|amount| amount / intake.amount * 100.0),
                ear: intake.ear,
                counts: intake.counts,
                source: intake.source,
            });
        let upper = view
            .tables
            .intakes
            .upper(nutrient.id, view.age)
            .map(|upper| {
                let compared = upper
                    .compared_with
                    .and_then(|id| batch.total(id))
                    .and_then(served);
                UpperReport {
                    percent: compared.map(|amount| amount / upper.amount * 100.0),
                    amount: upper.amount,
                    counts: upper.counts,
                    source: upper.source,
                }
            });
        Self {
            id: &nutrient.tag,
            number: nutrient.id.number(),
            name: &nutrient.name,
            unit: &nutrient.unit,
            per_batch: total.batch.known,
            per_100g: frozen(Mass::from_grams(100.0)),
            per_cube: frozen(scale.cube),
            per_serving,
            complete: total.batch.complete(),
            missing: total
                .batch
                .missing
                .iter()
                .map(ToString::to_string)
                .collect(),
            measured_percent: total.measured.map(|share| share * 100.0),
            reference: reference.or_else(|| energy_reference(nutrient.id, per_serving, view)),
            upper,
            interval: None,
            newer: batch
                .by_newer(nutrient.id)
                .map(|(served, values)| NewerReport {
                    per_serving: served * (scale.serving / scale.puree),
                    values: values.iter().map(NewerFood::of).collect(),
                }),
            total: total.clone(),
        }
    }
}

/// Energy has no intake of its own, but a child whose weight is known has a requirement.
fn energy_reference(
    nutrient: NutrientId,
    per_serving: Option<f64>,
    view: &BatchView<'_>,
) -> Option<Yardstick> {
    let need = view
        .energy
        .as_ref()
        .filter(|_| nutrient == NutrientId::ENERGY)?;
    Some(Yardstick {
        kind: "EER".into(),
        amount: need.kcal,
        percent: per_serving.map(|energy| energy / need.kcal * 100.0),
        ear: None,
        counts: "all food and milk of the day".into(),
        source: need.source.into(),
    })
}

impl IngredientReport {
    pub(super) fn new(one: &PreparedIngredient) -> Self {
        let Preparation {
            state,
            yield_factor: cooked,
            retention,
            ..
        } = &one.preparation;
        let kept = one.kept();
        let (basis, source) = match one.weighed {
            Some(_) => (YieldBasis::Weighed, "weighed"),
            None => (cooked.basis, cooked.source.as_str()),
        };
        let code = |row: Option<&RetentionRow>| row.map(|row| row.code.clone());
        Self {
            food: one.food.id.to_string(),
            name: one.food.name.clone(),
            class: one.class.to_string(),
            method: one.method.word(),
            state: *state,
            drained_to: one.drained.as_ref().map(|can| can.food.id.to_string()),
            purchased_g: one.purchased().grams(),
            edible_g: one.edible().grams(),
            cooked_g: one.cooked().grams(),
            yield_factor: one.cooked() / one.edible(),
            yield_basis: basis.word(),
            yield_source: source.to_string(),
            yield_range: cooked.range.filter(|_| one.weighed.is_none()),
            solids_kept: kept.solids,
            fat_lost_g: one.edible().grams() * kept.fat_lost / 100.0,
            retention_drained: code(retention.drained.as_deref()),
            retention_used: code(retention.used.as_deref()),
            source: one.food.source.clone(),
            estimated: one.weighed.is_none() && cooked.basis.is_estimated(),
            basis: one.basis,
        }
    }
}
