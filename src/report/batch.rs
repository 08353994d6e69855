//! The batch as a report: every figure of the card, with the keys of the JSON.

use data_import::Error;
use serde::Serialize;

use super::batch_cost::{CostReport, Priced};
use super::batch_density::Density;
use super::batch_figures::{Figures, Scale, UnsureServing};
use super::batch_ingredient::IngredientReport;
use super::batch_liquid::{self, LiquidWords};
use super::food_facts::{LackEntry, lack};
use crate::cooking::PracticeTable;
use crate::household::Complement;
use crate::nutrition::energy::Requirement;
use crate::nutrition::reading::why_no_reference;
use crate::nutrition::{AgeBand, AgeMonths, Complementary, IntakeTable};
use crate::portion::{Cubes, Tray};
use crate::quantity::Volume;
use crate::recipe::{Batch, BatchNote, Masses, PreparedLiquid};
use crate::safety::{Caution, CautionTable, Objection};

/// The built-in tables that a batch is compared with.
#[derive(Debug)]
pub struct BatchTables {
    pub(super) intakes: IntakeTable,
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
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct BatchReport {
    pub schema: u32,
    pub recipe: String,
    pub factor: f64,
    pub age_months: u16,
    pub age_band: Option<&'static str>,
    /// Why there are no reference intakes: the child is too old for their tables.
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
    /// The least water that the pot needs, for the text rendering; `None` where nothing takes up water
    /// and no liquid is left.
    #[serde(skip)]
    pub pot_water: Option<Volume>,
    /// Whether the batch has enough milk that its porridge may be cooked in the milk instead.
    #[serde(skip)]
    pub milk_in_pot: bool,
    /// The share of dry matter, 0 to 1, for the page.
    #[serde(skip)]
    pub dry_share: Option<f64>,
    /// The energy density beside the least that is looked for at that age, for the text rendering.
    #[serde(skip)]
    pub density: Option<Density>,
}

/// The tray, and the cubes that the purée fills.
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

/// The serving of the recipe.
#[derive(Debug, Clone, Serialize)]
pub struct BatchServing {
    pub cubes: u32,
    pub reheat: bool,
    pub mass_g: f64,
}

/// The cooking liquid, and the water that is added: the id of its food is `water`.
#[derive(Debug, Clone, Serialize)]
pub struct LiquidReport {
    pub collected_ml: f64,
    pub returned_ml: f64,
    pub added_ml: f64,
    pub water: String,
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
            pot_water: batch_liquid::pot_water(batch),
            milk_in_pot: batch_liquid::has_milk(batch),
            dry_share: batch.dry_matter.map(|dry| dry / batch.masses.puree),
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
