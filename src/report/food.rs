//! A food as a page and as JSON: its values in the dataset, and the nutrients of which it is a good source.

use data_import::own::LabelFood;
use data_import::{
    Basis, EnergyFactors, Error, Food, NutrientId, Provenance, all_nutrients, group_name,
};
use serde::Serialize;

use super::food_facts::{BuyingEntry, EatenEntry, LackEntry, RecipeEntry, buying, lack, recipe};
use super::number::decimals;
use crate::combine::CookedTogether;
use crate::household::{FoodFacts, USUAL_SERVING};
use crate::nutrition::reading::GOOD_SOURCE;
use crate::nutrition::{AgeMonths, IntakeTable};
use crate::portion::{Constituents, ROOM_CELSIUS, Tray};
use crate::problem::Problem;
use crate::quantity::Mass;
use crate::safety::Objection;

/// The report of one food; the fields are the keys of the JSON.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct FoodReport {
    pub schema: u32,
    pub food: FoodEntry,
    /// What speaks against the food, the gravest first.
    pub objections: Vec<Objection>,
    /// Whether the food is stopped however it is cooked and given.
    pub stopped: bool,
    /// The label from which an own food was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<LabelEntry>,
    /// How much of the food a baby eats at a meal.
    pub eaten: EatenEntry,
    /// Nutrients of which that gives at least a tenth of the reference intake, the most first.
    pub good_for: Vec<GoodFor>,
    pub age_months: u16,
    pub two_cubes_g: f64,
    /// What the food lacks, with foods that bring it.
    pub lacks: Vec<LackEntry>,
    /// The foods that old cookery books have it with; `null` where they have too little.
    pub cooked_together: Option<CookedTogether>,
    /// The household's recipes that have it.
    pub recipes: Vec<RecipeEntry>,
    pub buying: BuyingEntry,
}

#[derive(Debug, Clone, Serialize)]
pub struct FoodEntry {
    pub id: String,
    pub name: String,
    pub common_names: String,
    pub scientific_name: String,
    pub manufacturer: String,
    pub group: String,
    pub source: String,
    pub refuse_percent: Option<f64>,
    pub refuse: String,
    pub energy_factors_kcal_per_g: Option<EnergyFactors>,
    /// Whether the values are per 100 ml, as the label of a drink has them.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub per_ml: bool,
    pub nutrients: Vec<ValueEntry>,
    pub measures: Vec<MeasureEntry>,
}

/// The label from which an own food was read; the fields are the keys of the JSON.
#[derive(Debug, Clone, Serialize)]
pub struct LabelEntry {
    /// The amount that the figures of the label refer to: `100 g`, `serving of 15 g`.
    pub per: String,
    /// Digits of its barcode.
    pub barcode: Option<String>,
    /// Remarks on figures that were derived, and on what was assumed.
    pub remarks: Vec<String>,
    /// Implausible values of the label, each with file, line and column.
    pub warnings: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct ValueEntry {
    pub id: &'static str,
    pub number: u16,
    pub name: &'static str,
    #[serde(skip)]
    pub plain: &'static str,
    pub unit: &'static str,
    pub per_100g: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub data_points: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standard_error: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub origin: Option<&'static str>,
    /// The number of the nutrient from which the value was taken where the dataset has none for this one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub taken_from: Option<u16>,
    #[serde(skip)]
    pub decimals: u8,
    /// Whether it is one of the dozen that is looked at first.
    #[serde(skip)]
    pub first: bool,
}

#[derive(Debug, Clone, Serialize)]
pub struct MeasureEntry {
    pub label: String,
    pub grams: f64,
}

#[derive(Debug, Clone, Serialize)]
pub struct GoodFor {
    pub id: &'static str,
    pub name: &'static str,
    #[serde(skip)]
    pub plain: &'static str,
    pub unit: &'static str,
    /// The amount in what is eaten, cooked.
    pub per_eaten: f64,
    /// The amount in two cubes of the food as it is.
    pub per_two_cubes: f64,
    pub kind: &'static str,
    pub amount: f64,
    pub percent: f64,
    #[serde(skip)]
    pub decimals: u8,
    /// Whether it is one of the dozen that is looked at first.
    #[serde(skip)]
    pub first: bool,
}

/// Nutrients that a food is not praised for: water, and vitamin D in international units, which is
/// named in micrograms already.
const NOT_PRAISED: [NutrientId; 2] = [NutrientId::WATER, NutrientId::VITAMIN_D_IU];

impl FoodReport {
    /// Builds the report of a food for an age; `month` is that of the household, 1 to 12, and `None` without one.
    pub fn new(
        food: &Food,
        provenance: &[Provenance],
        intakes: &IntakeTable,
        facts: &FoodFacts,
        (age, month): (AgeMonths, Option<u32>),
    ) -> Result<Self, Error> {
        let all = all_nutrients()?;
        let serving = two_cubes(food);
        let values: Vec<_> = all
            .iter()
            .filter_map(|nutrient| {
                let from = provenance.iter().find(|one| one.nutrient == nutrient.id);
                Some(ValueEntry {
                    id: &nutrient.tag,
                    number: nutrient.id.number(),
                    name: &nutrient.name,
                    plain: &nutrient.plain,
                    unit: &nutrient.unit,
                    per_100g: food.composition.get(nutrient.id)?,
                    data_points: from.and_then(|from| from.data_points),
                    standard_error: from.and_then(|from| from.standard_error),
                    origin: from.map(|from| from.origin.as_str()),
                    taken_from: from
                        .and_then(|from| from.taken_from)
                        .map(NutrientId::number),
                    decimals: nutrient.decimals,
                    first: nutrient.default_order.is_some(),
                })
            })
            .collect();
        let mut good_for: Vec<_> = values
            .iter()
            .filter(|value| !NOT_PRAISED.map(NutrientId::number).contains(&value.number))
            .filter_map(|value| {
                let eaten = facts.portion.amount(food, NutrientId::new(value.number))?;
                good_for(value, (eaten, serving), intakes, age)
            })
            .collect();
        good_for.sort_by(|a, b| b.percent.total_cmp(&a.percent));
        Ok(Self {
            schema: 1,
            food: FoodEntry::new(food, values),
            objections: Vec::new(),
            stopped: false,
            label: None,
            eaten: EatenEntry::new(&facts.portion, food, (intakes, age)),
            good_for,
            age_months: age.0,
            two_cubes_g: serving.grams(),
            lacks: facts.complements.iter().map(lack).collect(),
            cooked_together: facts.cooked_together.clone(),
            recipes: facts.recipes.iter().map(recipe).collect(),
            buying: buying(&facts.buying, month),
        })
    }

    /// A value per 100 as it is shown, without its unit.
    pub fn shown(&self, value: &ValueEntry) -> String {
        decimals(value.per_100g, self.places(value))
    }

    /// The decimals of a value: all that are published; for a figure worked out from a label, those
    /// of the nutrient, and more where it would vanish.
    fn places(&self, value: &ValueEntry) -> u8 {
        let vanishes = decimals(value.per_100g, value.decimals).parse() == Ok(0.0);
        match self.label {
            Some(_) if value.per_100g > 0.0 && vanishes => value.decimals + 2,
            Some(_) => value.decimals,
            None => value.decimals.max(shown_decimals(value.per_100g)),
        }
    }
}

impl LabelEntry {
    /// Reports the label of an own food and what is implausible about it.
    pub fn new(label: &LabelFood, warnings: &[Problem]) -> Self {
        let remarks = label.remarks.iter().map(|remark| remark.text.clone());
        Self {
            per: label.per.clone(),
            barcode: label.barcode.clone(),
            remarks: remarks.collect(),
            warnings: warnings.iter().map(ToString::to_string).collect(),
        }
    }
}

impl FoodEntry {
    fn new(food: &Food, nutrients: Vec<ValueEntry>) -> Self {
        Self {
            id: food.id.to_string(),
            name: food.name.clone(),
            common_names: food.common_names.clone(),
            scientific_name: food.scientific_name.clone(),
            manufacturer: food.manufacturer.clone(),
            group: group_name(&food.group).unwrap_or(&food.group).to_string(),
            source: food.source.clone(),
            refuse_percent: food.refuse_percent,
            refuse: food.refuse_description.clone(),
            energy_factors_kcal_per_g: food.energy_factors,
            per_ml: food.basis == Basis::Millilitres,
            nutrients,
            measures: food
                .measures
                .iter()
                .map(|measure| MeasureEntry {
                    label: measure.label(),
                    grams: measure.grams,
                })
                .collect(),
        }
    }
}

/// The mass of two cubes of the usual tray, at the food's own density (1 g/ml where a part of it
/// has no value).
fn two_cubes(food: &Food) -> Mass {
    let constituents = Constituents::of(|nutrient| food.composition.get(nutrient));
    let density = constituents
        .and_then(|parts| parts.density(ROOM_CELSIUS))
        .unwrap_or(1.0);
    Tray::usual().cube_mass(density) * USUAL_SERVING
}

fn good_for(
    value: &ValueEntry,
    (eaten, serving): (f64, Mass),
    intakes: &IntakeTable,
    age: AgeMonths,
) -> Option<GoodFor> {
    let intake = intakes.intake(NutrientId::new(value.number), age)?;
    let percent = eaten / intake.amount * 100.0;
    (percent >= GOOD_SOURCE * 100.0).then_some(GoodFor {
        id: value.id,
        name: value.name,
        plain: value.plain,
        unit: value.unit,
        per_eaten: eaten,
        per_two_cubes: value.per_100g * serving.grams() / 100.0,
        kind: intake.kind.label(),
        amount: intake.amount,
        percent,
        decimals: value.decimals,
        first: value.first,
    })
}

impl ValueEntry {
    /// The origin of the value in words; empty where the dataset does not say.
    pub fn origin_words(&self) -> String {
        let word = self.origin.unwrap_or_default().to_string();
        match self.taken_from {
            Some(number) => format!("{word}, from nutrient {number}"),
            None => word,
        }
    }
}

impl FoodEntry {
    /// The share of the food that is thrown away, in words.
    pub fn refuse_words(&self) -> String {
        match self.refuse_percent {
            None => "refuse: no figure is published".into(),
            Some(0.0) => "refuse: none".into(),
            Some(refuse) if self.refuse.is_empty() => {
                format!("refuse: {refuse} % of what is bought")
            }
            Some(refuse) => format!("refuse: {refuse} % of what is bought ({})", self.refuse),
        }
    }
}

/// The decimals a published value is written with, so that none is dropped.
fn shown_decimals(value: f64) -> u8 {
    let text = value.to_string();
    let places = text
        .split_once('.')
        .map_or(0, |(_, fraction)| fraction.len());
    u8::try_from(places.min(4)).unwrap_or(4)
}
