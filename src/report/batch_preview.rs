//! A batch before it is cooked, in the words of the page.

use crate::next_step::Remark;
use data_import::NutrientId;

use super::batch::{BatchReport, BatchView, Figures};
use super::card::{
    chosen, density_line, liquid_line, missing_lines, share_of_day, trays, upper_lines,
};
use super::kitchen_steps::is_estimated;
use super::number::{amount, decimals, kitchen_mass, percent, unbroken};
use crate::cooking::{Method, PracticeTable};
use crate::nutrition::Complementary;
use crate::recipe::{Batch, PreparedIngredient};
use crate::safety::DEFER;

/// What the page shows of a batch, each value with its unit.
#[derive(Debug)]
pub struct PreviewReport {
    /// Cubes, energy density and iron in a sentence, to be read out when they change.
    pub said: String,
    /// How many cubes, and of which mass.
    pub makes: String,
    /// How many trays they fill, and what stays over.
    pub trays: String,
    /// The energy density.
    pub energy: String,
    /// Dry matter: the more of it, the thicker.
    pub dry: String,
    /// Iron of a cube.
    pub iron: String,
    /// The energy density, beside what is looked for at this age.
    pub density: Option<String>,
    /// What is weighed out.
    pub out: Vec<OutRow>,
    /// What becomes of the cooking liquid.
    pub liquid: String,
    /// Whether a mass is an estimate.
    pub estimated: bool,
    /// What a serving is.
    pub serving: String,
    /// The child's age in months.
    pub age: u16,
    /// The nutrients that are looked at first.
    pub nutrients: Vec<NutrientRow>,
    /// Foods without a published value.
    pub missing: Vec<String>,
    /// What is estimated or assumed.
    pub notes: Vec<String>,
    /// Cautions with their sources.
    pub cautions: Vec<(String, String)>,
    /// What of a serving is above an upper level.
    pub above: Vec<String>,
    /// What it costs, beside the jar.
    pub cost: Option<Remark>,
    /// The sentence that defers to those who know the child.
    pub defer: Vec<String>,
}

/// An ingredient to weigh out.
#[derive(Debug)]
pub struct OutRow {
    /// Its name.
    pub name: String,
    /// As bought.
    pub bought: String,
    /// Without refuse.
    pub trimmed: String,
    /// How it is cooked.
    pub cook: &'static str,
    /// What then is there; `~` marks an estimate.
    pub cooked: String,
}

/// A nutrient; `>=` marks a lower bound.
#[derive(Debug)]
pub struct NutrientRow {
    /// Its name.
    pub name: String,
    /// In a cube, as frozen.
    pub cube: String,
    /// In a serving, as served.
    pub serving: String,
    /// The share of a day's reference.
    pub share: String,
}

impl PreviewReport {
    /// Puts a batch into words.
    pub fn new(
        batch: &Batch,
        view: &BatchView<'_>,
        practice: &PracticeTable,
        complementary: &Complementary,
    ) -> Self {
        let report = BatchReport::new(batch, view);
        let ingredients = &batch.prepared.ingredients;
        let (defer, cautions): (Vec<_>, Vec<_>) =
            report.cautions.iter().partition(|one| one.id == DEFER);
        Self {
            said: format!(
                "{}. Energy density {}. Iron in a cube {}.",
                makes(&report),
                energy(&report),
                iron(&report)
            ),
            makes: makes(&report),
            energy: energy(&report),
            dry: dry(&report),
            iron: iron(&report),
            trays: filled(&report),
            density: density_line(complementary, &report, view.age),
            out: ingredients.iter().map(OutRow::new).collect(),
            liquid: liquid_line(practice, batch),
            estimated: ingredients.iter().any(is_estimated),
            serving: serving(&report),
            age: report.age_months,
            nutrients: nutrients(&report),
            missing: missing_lines(&report),
            notes: report.notes.iter().map(|note| note.text.clone()).collect(),
            cautions: cautions
                .into_iter()
                .map(|one| (one.text.clone(), one.source.clone()))
                .collect(),
            above: upper_lines(&report)
                .iter()
                .map(|line| line.trim_start_matches("! ").to_string())
                .collect(),
            cost: report.cost.as_ref().map(|cost| cost.remark.clone()),
            defer: defer.into_iter().map(|one| one.text.clone()).collect(),
        }
    }
}

impl OutRow {
    fn new(one: &PreparedIngredient) -> Self {
        let cooked = unbroken(&format!("{} g", decimals(one.cooked().grams(), 0)));
        Self {
            name: one.food.name.clone(),
            bought: unbroken(&kitchen_mass(one.purchased())),
            trimmed: unbroken(&format!("{} g", decimals(one.edible().grams(), 0))),
            cook: match one.method {
                Method::None => "as it is",
                method => method.word(),
            },
            cooked: if is_estimated(one) {
                format!("~\u{a0}{cooked}")
            } else {
                cooked
            },
        }
    }
}

fn cubes(count: u64) -> String {
    format!("{count} cube{}", if count == 1 { "" } else { "s" })
}

fn makes(report: &BatchReport) -> String {
    let each = format!(
        "{} g ({} ml)",
        decimals(report.cubes.cube_g, 1),
        decimals(report.cubes.cube_ml, 1)
    );
    format!("{} of {}", cubes(report.cubes.whole), unbroken(&each))
}

fn filled(report: &BatchReport) -> String {
    let left = if report.cubes.leftover_g >= 0.5 {
        format!(", {} g left over", decimals(report.cubes.leftover_g, 0))
    } else {
        String::new()
    };
    format!(
        "{} of {} wells{left}; {} g of purée in all",
        trays(report.cubes.whole, report.cubes.wells),
        report.cubes.wells,
        decimals(report.mass.puree_g, 0)
    )
}

fn serving(report: &BatchReport) -> String {
    let warmed = if report.serving.reheat {
        ", warmed"
    } else {
        ""
    };
    format!("{}{warmed}", cubes(u64::from(report.serving.cubes)))
}

fn energy(report: &BatchReport) -> String {
    report.energy_density_kcal_per_g.map_or_else(
        || "not known".into(),
        |density| unbroken(&format!("{} kcal per g", decimals(density, 2))),
    )
}

/// What of 100 g is not water.
fn dry(report: &BatchReport) -> String {
    let water = figures(report, NutrientId::WATER).filter(|water| water.complete);
    water
        .and_then(|water| water.per_100g)
        .map_or_else(|| "not known".into(), |water| percent(100.0 - water))
}

fn iron(report: &BatchReport) -> String {
    figures(report, NutrientId::IRON).map_or_else(
        || "not known".into(),
        |iron| unbroken(&amount(iron.per_cube, iron.complete, iron.total.nutrient)),
    )
}

fn figures(report: &BatchReport, nutrient: NutrientId) -> Option<&Figures> {
    let mut all = report.nutrients.iter();
    all.find(|one| one.total.nutrient.id == nutrient)
}

fn nutrients(report: &BatchReport) -> Vec<NutrientRow> {
    let rows = chosen(report, false).into_iter().map(|one| NutrientRow {
        name: one.total.nutrient.plain.clone(),
        cube: unbroken(&amount(one.per_cube, one.complete, one.total.nutrient)),
        serving: unbroken(&amount(one.per_serving, one.complete, one.total.nutrient)),
        share: share_of_day(one, report),
    });
    rows.collect()
}
