//! A food as a page and as JSON: its values in the dataset, and the nutrients of which it is a good source.

use data_import::own::LabelFood;
use data_import::{
    Basis, EnergyFactors, Error, Food, NutrientId, Provenance, all_nutrients, group_name,
};
use serde::Serialize;

use super::number::{decimals, percent};
use super::text::{Look, Page};
use crate::nutrition::reading::why_no_reference;
use crate::nutrition::{AgeMonths, IntakeTable};
use crate::portion::{Constituents, Tray};
use crate::problem::Problem;
use crate::quantity::Mass;

/// A serving that gives this share of a day's reference intake is a good source of it, in percent.
const GOOD_SHARE: f64 = 10.0;
/// So many nutrients that a food is good for are shown at first.
const GOOD_SHOWN: usize = 6;
/// Cubes of a usual serving.
const CUBES: f64 = 2.0;

/// The report of one food; the fields are the keys of the JSON.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct FoodReport {
    pub schema: u32,
    pub food: FoodEntry,
    /// The label from which an own food was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<LabelEntry>,
    /// Nutrients of which two cubes give at least a tenth of the reference intake.
    pub good_for: Vec<GoodFor>,
    pub age_months: u16,
    pub two_cubes_g: f64,
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
    pub per_two_cubes: f64,
    pub kind: &'static str,
    pub amount: f64,
    pub percent: f64,
    #[serde(skip)]
    pub decimals: u8,
}

impl FoodReport {
    /// Builds the report of a food, its two-cube serving as it stands: uncooked, undiluted.
    pub fn new(
        food: &Food,
        provenance: &[Provenance],
        intakes: &IntakeTable,
        age: AgeMonths,
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
            .filter(|value| value.number != NutrientId::WATER.number())
            .filter_map(|value| good_for(value, serving, intakes, age))
            .collect();
        good_for.sort_by(|a, b| b.percent.total_cmp(&a.percent));
        Ok(Self {
            schema: 1,
            food: FoodEntry::new(food, values),
            label: None,
            good_for,
            age_months: age.0,
            two_cubes_g: serving.grams(),
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
        .and_then(|parts| parts.density(20.0))
        .unwrap_or(1.0);
    Tray::usual().cube_mass(density) * CUBES
}

fn good_for(
    value: &ValueEntry,
    serving: Mass,
    intakes: &IntakeTable,
    age: AgeMonths,
) -> Option<GoodFor> {
    let intake = intakes.intake(NutrientId::new(value.number), age)?;
    let amount = value.per_100g * serving.grams() / 100.0;
    let percent = amount / intake.amount * 100.0;
    (percent >= GOOD_SHARE).then_some(GoodFor {
        id: value.id,
        name: value.name,
        plain: value.plain,
        unit: value.unit,
        per_two_cubes: amount,
        kind: intake.kind.label(),
        amount: intake.amount,
        percent,
        decimals: value.decimals,
    })
}

/// The page of one food.
#[derive(Debug)]
pub struct FoodPage<'a> {
    /// The food.
    pub report: &'a FoodReport,
    /// Whether every value is shown, or the dozen that is looked at first.
    pub all: bool,
}

impl FoodPage<'_> {
    /// Renders the page.
    pub fn render(&self, look: Look) -> String {
        let report = self.report;
        let food = &report.food;
        let mut page = Page::new(look);
        page.heading(&format!("{}  {}", food.id, food.name));
        page.line(&food.group);
        for (label, words) in [
            ("also called", &food.common_names),
            ("maker", &food.manufacturer),
            ("scientific name", &food.scientific_name),
        ] {
            if !words.is_empty() {
                page.line(&format!("{label}: {words}"));
            }
        }
        if report.label.is_none() {
            page.paragraph(&food.refuse_words());
        }
        if let Some(factors) = food.energy_factors_kcal_per_g.as_ref().filter(|_| self.all) {
            page.line(&format!(
                "energy, kcal per g: protein {}, fat {}, carbohydrate {}",
                factors.protein, factors.fat, factors.carbohydrate
            ));
        }
        self.label(&mut page);
        self.measures(&mut page);
        self.good_for(&mut page);
        self.values(&mut page);
        page.line("");
        let unlisted = match report.label {
            Some(_) => "is not on the label",
            None => "was not measured",
        };
        page.paragraph(&format!(
            "Source: {}. A nutrient that is not listed {unlisted}; it is not zero.",
            food.source
        ));
        page.finish()
    }

    /// The table of all values, with the source of each where the dataset names one.
    fn values(&self, page: &mut Page) {
        let values = self.report.food.nutrients.iter();
        let values: Vec<_> = values.filter(|one| self.all || one.first).collect();
        let per = if self.report.food.per_ml {
            "PER 100 ml"
        } else {
            "PER 100 g EDIBLE"
        };
        page.heading(per);
        let with_origin = values.iter().any(|value| value.origin.is_some());
        let row = |value: &&ValueEntry| {
            let mut row = vec![
                value.plain.to_string(),
                self.report.shown(value),
                value.unit.to_string(),
            ];
            if self.all || with_origin {
                row.push(value.id.to_string());
            }
            if with_origin {
                row.extend([
                    value
                        .data_points
                        .map_or_else(String::new, |points| points.to_string()),
                    value
                        .standard_error
                        .map_or_else(String::new, |error| error.to_string()),
                    value.origin_words(),
                ]);
            }
            row
        };
        let header = ["", "", "", "", "analyses", "std error", "origin"];
        let header = if with_origin {
            header.to_vec()
        } else {
            Vec::new()
        };
        page.table(
            header,
            values.iter().map(row),
            if with_origin { &[1, 4, 5] } else { &[1] },
        );
    }

    fn label(&self, page: &mut Page) {
        let Some(label) = &self.report.label else {
            return;
        };
        page.heading("FROM ITS LABEL");
        page.line(&format!("figures per {}", label.per));
        if let Some(barcode) = &label.barcode {
            page.line(&format!("barcode: {barcode}"));
        }
        page.list(label.remarks.iter().cloned());
    }

    fn measures(&self, page: &mut Page) {
        let food = &self.report.food;
        if food.measures.is_empty() {
            return;
        }
        page.heading("MEASURES");
        let rows = food
            .measures
            .iter()
            .map(|measure| vec![measure.label.clone(), format!("{} g", measure.grams)]);
        page.rows(rows, &[1]);
    }

    fn good_for(&self, page: &mut Page) {
        let report = self.report;
        let grams = decimals(report.two_cubes_g, 0);
        page.heading(&format!("GOOD FOR, at {} months", report.age_months));
        if report.good_for.is_empty() {
            page.line(&report.good_for_nothing());
            return;
        }
        page.paragraph(&format!(
            "Two cubes of it as it stands ({grams} g, before any cooking or water) give at least \
             a tenth of a day's reference intake of:"
        ));
        let most = if self.all { usize::MAX } else { GOOD_SHOWN };
        let rows = report.good_for_rows();
        let more = rows.len().saturating_sub(most);
        page.rows(rows.into_iter().take(most), &[1]);
        if more > 0 {
            page.line(&format!("and {more} more"));
        }
    }
}

impl FoodReport {
    /// The reason why the list of nutrients that two cubes are good for is empty.
    pub fn good_for_nothing(&self) -> String {
        let grams = decimals(self.two_cubes_g, 0);
        let beyond = why_no_reference(AgeMonths(self.age_months));
        beyond.map_or_else(
            || format!("Two cubes ({grams} g) give no tenth of any reference intake."),
            String::from,
        )
    }

    /// The nutrients that two cubes are good for: name, amount, and share of the reference intake.
    pub fn good_for_rows(&self) -> Vec<[String; 3]> {
        let row = |good: &GoodFor| {
            let held = decimals(good.per_two_cubes, good.decimals);
            let share = percent(good.percent);
            [
                good.plain.to_string(),
                format!("{held} {}", good.unit),
                format!("{share} of {} {} ({})", good.amount, good.unit, good.kind),
            ]
        };
        self.good_for.iter().map(row).collect()
    }
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
