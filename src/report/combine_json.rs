//! Suggestions for a purée as JSON.

use data_import::NutrientId;
use rust_decimal::Decimal;
use serde::Serialize;
use serde_json::{Map, Value, json};

use super::interval::IntervalReport;
use crate::combine::{
    CombineRequest, KitchenAmounts, LeftOut, LimitKind, Near, NearLimit, PartOf, Prefer, Suggested,
    Suggestion, Tables, Wanted,
};
use crate::cost::Money;
use crate::household::Combined;
use crate::safety::Objection;

/// Decimals of a cost: it is worked out for a serving, which may cost less than a cent.
const COST_DECIMALS: u32 = 6;

/// What was found for an ask.
#[derive(Debug, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct CombineReport {
    pub schema: u32,
    pub possible: bool,
    /// What is best: `iron`, or the tagname of another nutrient, or `money`.
    pub goal: String,
    pub serving_ml: f64,
    /// Foods that were chosen from.
    pub candidates: usize,
    pub left_out: LeftOut,
    pub answers: Vec<SuggestionReport>,
    /// Where nothing does it: limit by limit, how near one comes.
    pub nearest: Vec<NearReport>,
}

/// A suggestion.
#[derive(Debug, Serialize)]
pub struct SuggestionReport {
    pub rank: usize,
    pub foods: Vec<String>,
    pub iron_sources: Vec<String>,
    pub parts: Vec<PartReport>,
    pub per_serving: SuggestedServingReport,
    /// Where what it brings of the nutrient asked for most likely lies.
    pub interval: Option<IntervalReport>,
    /// Whether the low end brings what was asked for as well; `null` where no amount was.
    pub low_reaches: Option<bool>,
    pub energy_kcal_per_g: f64,
    pub dry_matter: f64,
    pub density_g_per_ml: f64,
    pub new_foods: usize,
    /// Limits that hold it back; `most:` and `least:` name a food at the end of its share.
    pub at_the_limit: Vec<String>,
    pub kitchen: KitchenReport,
    pub objections: Vec<Objection>,
    /// What it is the best of.
    pub proof: String,
}

/// A part of a suggestion.
#[derive(Debug, Serialize)]
pub struct PartReport {
    /// Id of a food, `base` or `water`.
    pub food: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub role: Option<String>,
    /// Samples behind its iron value; 0 for one that was calculated or taken from elsewhere.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub iron_analyses: Option<u32>,
    pub share: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub share_limits: Option<[f64; 2]>,
    pub grams_per_serving: f64,
    pub edible_raw_g_per_serving: f64,
    pub iron_mg: f64,
    pub new: bool,
}

/// What a serving holds.
#[derive(Debug, Serialize)]
pub struct SuggestedServingReport {
    pub grams: f64,
    pub iron_mg: f64,
    pub iron_from_meat_or_fish_mg: f64,
    pub vitamin_c_to_iron: Option<f64>,
    /// Whether the vitamin C of a food is not known, so that the ratio is a least.
    pub vitamin_c_is_least: bool,
    pub energy_kcal: f64,
    pub sodium_mg: f64,
    pub retinol_ug: f64,
    pub cost: Option<Money>,
    /// What was asked for, where that is not iron: tagname and amount.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub goal: Option<Map<String, Value>>,
}

/// What to weigh out.
#[derive(Debug, Serialize)]
pub struct KitchenReport {
    pub cubes: u32,
    pub edible_g: Map<String, Value>,
    pub water_ml: f64,
    pub makes_cubes: f64,
    pub iron_mg_per_serving: f64,
    pub keeps_limits: bool,
}

/// How near one comes to a limit.
#[derive(Debug, Serialize)]
pub struct NearReport {
    pub limit: String,
    pub wanted: Value,
    pub possible: Value,
    pub foods: Vec<String>,
    pub shares: Map<String, Value>,
}

impl CombineReport {
    /// The report of an answer, with the objections to each suggestion and how sure it is.
    pub fn new(ask: &CombineRequest, combined: &Combined) -> Self {
        let (answer, objections) = (&combined.answer, &combined.objections);
        let goal = match ask.prefer {
            Prefer::Cheapest => "money",
            _ if ask.nutrient.id == NutrientId::IRON => "iron",
            _ => ask.nutrient.tag.as_str(),
        };
        let ranked = answer.suggestions.iter().enumerate();
        Self {
            schema: 1,
            possible: !answer.suggestions.is_empty(),
            goal: goal.to_string(),
            serving_ml: ask.serving_size().millilitres(),
            candidates: answer.candidates,
            left_out: answer.left_out,
            answers: ranked
                .map(|(at, found)| {
                    let objections = objections.get(at).map_or(&[][..], Vec::as_slice);
                    let interval = combined.intervals.get(at).cloned().flatten();
                    let reaches = interval.as_ref().zip(ask.at_least);
                    SuggestionReport {
                        low_reaches: reaches.map(|(interval, least)| interval.low >= least),
                        interval: IntervalReport::known("per_serving", interval),
                        ..suggestion(ask, (at + 1, found), objections)
                    }
                })
                .collect(),
            nearest: answer.nearest.iter().map(near).collect(),
        }
    }
}

fn suggestion(
    ask: &CombineRequest,
    (rank, suggestion): (usize, &Suggestion),
    objections: &[Objection],
) -> SuggestionReport {
    let serving = &suggestion.serving;
    let of_iron = ask.nutrient.id == NutrientId::IRON;
    SuggestionReport {
        rank,
        foods: suggestion.added.iter().map(ToString::to_string).collect(),
        iron_sources: suggestion.iron_sources.clone(),
        parts: suggestion.parts.iter().map(part).collect(),
        per_serving: SuggestedServingReport {
            grams: serving.grams,
            iron_mg: serving.iron,
            iron_from_meat_or_fish_mg: serving.iron_from_meat_or_fish,
            vitamin_c_to_iron: serving.vitamin_c_to_iron,
            vitamin_c_is_least: serving.vitamin_c_lacks,
            energy_kcal: serving.energy,
            sodium_mg: serving.sodium,
            retinol_ug: serving.retinol,
            cost: serving.cost.and_then(money),
            goal: (!of_iron)
                .then(|| Map::from_iter([(ask.nutrient.tag.clone(), json!(serving.goal))])),
        },
        interval: None,
        low_reaches: None,
        energy_kcal_per_g: suggestion.energy_kcal_per_g,
        dry_matter: suggestion.dry_matter,
        density_g_per_ml: suggestion.density,
        new_foods: suggestion.new_foods,
        at_the_limit: at_the_limit(suggestion),
        kitchen: kitchen(&suggestion.kitchen),
        objections: objections.to_vec(),
        proof: proof(ask, rank, suggestion),
    }
}

/// A sum of money as a decimal.
pub(super) fn money(cost: f64) -> Option<Money> {
    Decimal::from_f64_retain(cost).map(|cost| Money::new(cost.round_dp(COST_DECIMALS)))
}

/// What a suggestion is the best of.
pub(super) fn proof(ask: &CombineRequest, rank: usize, suggestion: &Suggestion) -> String {
    if rank == 1 {
        return "the best of all sets".to_string();
    }
    let shared = if ask.add_at_most > 1 {
        "with at most one of the foods of each answer above"
    } else {
        "without the foods of the answers above"
    };
    format!(
        "the best of all sets without {}, {shared}",
        crate::words::joined(&suggestion.without, ", ")
    )
}

fn id(part: &PartOf) -> String {
    match part {
        PartOf::Food(id, _, _) => id.to_string(),
        PartOf::Base => "base".into(),
        PartOf::Water => "water".into(),
    }
}

fn part(suggested: &Suggested) -> PartReport {
    let (name, role) = match &suggested.part {
        PartOf::Food(_, name, role) => (Some(name.clone()), Some(role.clone())),
        PartOf::Base | PartOf::Water => (None, None),
    };
    PartReport {
        food: id(&suggested.part),
        name,
        role,
        iron_analyses: suggested.iron_analyses,
        share: suggested.share,
        share_limits: suggested.limits.map(|(least, most)| [least, most]),
        grams_per_serving: suggested.grams,
        edible_raw_g_per_serving: suggested.edible_raw,
        iron_mg: suggested.iron,
        new: suggested.new,
    }
}

/// Rounding within which a share is at its end.
const AT_ITS_END: f64 = 1e-7;

fn at_the_limit(suggestion: &Suggestion) -> Vec<String> {
    let mut reached: Vec<String> = suggestion
        .held_back
        .iter()
        .map(|kind| limit_name(*kind))
        .collect();
    for part in &suggestion.parts {
        let Some((least, most)) = part.limits else {
            continue;
        };
        if (part.share - most).abs() < AT_ITS_END {
            reached.push(format!("most:{}", id(&part.part)));
        } else if (part.share - least).abs() < AT_ITS_END {
            reached.push(format!("least:{}", id(&part.part)));
        }
    }
    reached
}

/// The name of a limit in JSON.
pub(super) fn limit_name(kind: LimitKind) -> String {
    match kind {
        LimitKind::Target => "target".into(),
        LimitKind::EnergyDensity => "energy_density".into(),
        LimitKind::Money => "money".into(),
        LimitKind::Sodium => "sodium".into(),
        LimitKind::Retinol => "retinol".into(),
        LimitKind::VitaminC => "vitamin_c".into(),
        LimitKind::Thickest => "thickest".into(),
        LimitKind::Thinnest => "thinnest".into(),
        LimitKind::Share(at) => {
            let rule = Tables::builtin()
                .ok()
                .and_then(|tables| tables.rules.get(at));
            format!("share:{}", rule.map_or("", |rule| rule.id.as_str()))
        }
    }
}

fn kitchen(amounts: &KitchenAmounts) -> KitchenReport {
    let edible = amounts
        .edible
        .iter()
        .map(|(part, grams)| (id(part), json!(grams)));
    KitchenReport {
        cubes: amounts.cubes,
        edible_g: edible.collect(),
        water_ml: amounts.water_ml,
        makes_cubes: amounts.makes_cubes,
        iron_mg_per_serving: amounts.iron,
        keeps_limits: amounts.keeps_limits,
    }
}

fn near(near: &Near) -> NearReport {
    let limit = match near.limit {
        NearLimit::One(kind) => limit_name(kind),
        NearLimit::WithTarget(kind) => format!("target and {}", limit_name(kind)),
        NearLimit::NewFoods => "new_foods".into(),
        NearLimit::FoodsAdded => "foods_added".into(),
        NearLimit::Without => "without".into(),
    };
    let value = |wanted: &Wanted| match wanted {
        Wanted::Figure(figure) => json!(figure),
        Wanted::Count(count) => json!(count),
        Wanted::Word(word) => json!(word),
        Wanted::Would => json!(true),
    };
    NearReport {
        limit,
        wanted: value(&near.wanted),
        possible: value(&near.possible),
        foods: near.foods.iter().map(ToString::to_string).collect(),
        shares: near
            .shares
            .iter()
            .map(|(part, share)| (id(part), json!(share)))
            .collect(),
    }
}
