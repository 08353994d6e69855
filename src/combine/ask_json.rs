//! An ask in JSON: every key must be known, and an unknown one is told with the nearest that is.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use data_import::{FoodId, Nutrient};
use rust_decimal::Decimal;
use serde::{Deserialize, Deserializer};
use serde_json::Value;

use super::ask::{
    BASE_SHARE, Base, CombineRequest, Limits, MOST_ADDED, MOST_ANSWERS, Prefer, Price, PriceBasis,
    ServingSize, Sodium,
};
use super::column::goal_of;
use crate::cost::Money;
use crate::next_step::{NextStep, Remark};
use crate::nutrition::AgeMonths;
use crate::problem::{Place, Problem, SourceText, nearest};

/// The keys of each object, by the way to it; `*` stands for the keys of a map.
const KEYS: [(&str, &[&str]); 9] = [
    (
        "",
        &[
            "schema",
            "age_months",
            "goal",
            "prefer",
            "serving",
            "base",
            "must",
            "add",
            "foods",
            "limits",
            "prices",
            "cooked_together",
            "answers",
        ],
    ),
    ("goal", &["nutrient", "at_least"]),
    ("serving", &["cubes", "well_ml", "fill"]),
    ("base", &["foods", "min_share"]),
    ("base.foods", &["food", "edible_g"]),
    ("add", &["at_least", "at_most"]),
    (
        "foods",
        &["known", "new_at_most", "without", "only", "unusual"],
    ),
    (
        "limits",
        &[
            "energy_kcal_per_g_min",
            "dry_matter_min",
            "dry_matter_max",
            "sodium_mg_per_serving_max",
            "retinol_ul_share_max",
            "nitrate_share_max",
            "cost_per_serving_max",
            "vitc_to_iron_min",
        ],
    ),
    ("prices.*", &["per_kg", "basis"]),
];

#[derive(Deserialize)]
struct RequestInput {
    schema: Option<u32>,
    age_months: Option<u16>,
    #[serde(default)]
    goal: Goal,
    prefer: Option<Prefer>,
    #[serde(default)]
    serving: WrittenServing,
    base: Option<WrittenBase>,
    #[serde(default)]
    must: Vec<FoodId>,
    #[serde(default)]
    add: Add,
    #[serde(default)]
    foods: FoodsInput,
    #[serde(default)]
    limits: BTreeMap<String, Option<DecimalInput>>,
    prices: Option<BTreeMap<FoodId, WrittenPrice>>,
    #[serde(default)]
    cooked_together: bool,
    answers: Option<usize>,
}

#[derive(Deserialize, Default)]
struct Goal {
    nutrient: Option<String>,
    at_least: Option<f64>,
}

#[derive(Deserialize, Default)]
struct WrittenServing {
    cubes: Option<u32>,
    well_ml: Option<f64>,
    fill: Option<f64>,
}

#[derive(Deserialize)]
struct WrittenBase {
    foods: Vec<BaseFoodInput>,
    min_share: Option<f64>,
}

#[derive(Deserialize)]
struct BaseFoodInput {
    food: FoodId,
    edible_g: f64,
}

#[derive(Deserialize, Default)]
struct Add {
    at_least: Option<usize>,
    at_most: Option<usize>,
}

#[derive(Deserialize, Default)]
struct FoodsInput {
    known: Option<Vec<FoodId>>,
    new_at_most: Option<usize>,
    #[serde(default)]
    without: Vec<String>,
    only: Option<Vec<FoodId>>,
    #[serde(default)]
    unusual: bool,
}

#[derive(Deserialize)]
struct WrittenPrice {
    per_kg: DecimalInput,
    #[serde(default)]
    basis: PriceBasis,
}

/// A decimal number, as a number or in quotes.
#[derive(Clone, Copy)]
struct DecimalInput(Decimal);

impl<'de> Deserialize<'de> for DecimalInput {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = match Value::deserialize(deserializer)? {
            Value::String(text) => text,
            other => other.to_string(),
        };
        let number = text.parse().or_else(|_| Decimal::from_scientific(&text));
        number
            .map(Self)
            .map_err(|_| serde::de::Error::custom(format!("“{text}” is not a number")))
    }
}

impl DecimalInput {
    fn value(self) -> f64 {
        use rust_decimal::prelude::ToPrimitive as _;
        // A decimal always has a nearest float.
        self.0.to_f64().unwrap_or(f64::NAN)
    }
}

impl CombineRequest {
    /// Reads an ask in JSON.
    ///
    /// Errors: every problem with its place; an unknown key with the nearest that there is.
    pub fn read(source: &Arc<SourceText>) -> Result<Self, Vec<Problem>> {
        let value: Value = serde_json::from_str(&source.text).map_err(|error| {
            let at = offset(&source.text, error.line(), error.column());
            let problem = Problem::at(
                Place::new(source, at..at + 1),
                format!("this is not JSON: {error}"),
            );
            vec![
                problem
                    .hint("write an object in braces, such as {\"goal\": {\"nutrient\": \"FE\"}}"),
            ]
        })?;
        let mut problems = Vec::new();
        unknown_keys(source, &value, "", &mut problems);
        if !problems.is_empty() {
            return Err(problems);
        }
        let written: RequestInput = serde_json::from_value(value).map_err(|error| {
            vec![
                Problem::at(
                    Place::new(source, 0..1),
                    format!("the ask does not read: {error}"),
                )
                .hint(Remark::with(
                    "the manual lists its keys",
                    NextStep::SeeCombineKeys,
                )),
            ]
        })?;
        written.checked(source)
    }
}

impl RequestInput {
    fn checked(self, source: &Arc<SourceText>) -> Result<CombineRequest, Vec<Problem>> {
        let of_schema = self.schema.is_none_or(|schema| schema == 1);
        let tag = self.goal.nutrient.as_deref().unwrap_or("FE");
        let nutrient = goal_of(tag).map_err(|problem| {
            let place = Some(place_of(source, "nutrient"));
            vec![Problem { place, ..problem }]
        })?;
        let ask = self.ask(nutrient);
        let share = |share: f64| (0.0..=1.0).contains(&share);
        let serving = ask.serving_size();
        let limits = &ask.limits;
        let foods = || ask.base.iter().flat_map(|base| &base.foods);
        let paid = ask.prices.iter().flat_map(BTreeMap::values);
        let none_below = limits
            .figures()
            .into_iter()
            .flatten()
            .all(|limit| limit >= 0.0);
        let checks = [
            (of_schema, "schema", "is 1, or left out"),
            ((1..=50).contains(&serving.cubes), "cubes", "is 1 to 50"),
            (
                (1.0..=250.0).contains(&serving.well_ml),
                "well_ml",
                "is 1 to 250",
            ),
            (
                serving.fill > 0.0 && serving.fill <= 1.0,
                "fill",
                "is above 0 and at most 1",
            ),
            (ask.add_at_most <= MOST_ADDED, "at_most", "is at most 4"),
            (
                ask.add_at_least <= ask.add_at_most,
                "at_least",
                "is at most “at_most”",
            ),
            (
                (1..=MOST_ANSWERS).contains(&ask.answers),
                "answers",
                "is 1 to 5",
            ),
            (
                ask.at_least.is_none_or(|target| target >= 0.0),
                "at_least",
                "is not negative",
            ),
            (
                ask.base.as_ref().is_none_or(|base| share(base.min_share)),
                "min_share",
                "is 0 to 1",
            ),
            (
                ask.base.is_none() || foods().count() > 0,
                "base",
                "has at least one food",
            ),
            (
                foods().all(|(_, grams)| *grams > 0.0),
                "edible_g",
                "is above 0",
            ),
            (share(limits.dry_matter_min), "dry_matter_min", "is 0 to 1"),
            (share(limits.dry_matter_max), "dry_matter_max", "is 0 to 1"),
            (
                limits.nitrate_share.is_none_or(share),
                "nitrate_share_max",
                "is 0 to 1",
            ),
            (none_below, "limits", "has no negative limits"),
            (
                paid.into_iter().all(|one| !one.per_kg.is_sign_negative()),
                "per_kg",
                "is not negative",
            ),
        ];
        let wrong = checks.into_iter().filter(|(holds, ..)| !holds);
        let problems: Vec<Problem> = wrong
            .map(|(_, key, what)| Problem::at(place_of(source, key), format!("“{key}” {what}")))
            .collect();
        if problems.is_empty() {
            Ok(ask)
        } else {
            Err(problems)
        }
    }

    fn ask(self, nutrient: &'static Nutrient) -> CombineRequest {
        let usual = CombineRequest::for_most(nutrient);
        let mut must = self.must;
        let mut seen = BTreeSet::new();
        must.retain(|food| seen.insert(food.clone()));
        CombineRequest {
            age: self.age_months.map(AgeMonths),
            at_least: self.goal.at_least,
            prefer: self.prefer.unwrap_or(Prefer::Most),
            serving: self.serving.size(),
            base: self.base.map(WrittenBase::base),
            must,
            add_at_least: self.add.at_least.unwrap_or(usual.add_at_least),
            add_at_most: self.add.at_most.unwrap_or(usual.add_at_most),
            known: self.foods.known.map(BTreeSet::from_iter),
            new_at_most: self.foods.new_at_most,
            without: self.foods.without,
            only: self.foods.only.map(BTreeSet::from_iter),
            unusual: self.foods.unusual,
            limits: limits(&self.limits),
            prices: self.prices.map(|prices| {
                let prices = prices.into_iter();
                prices.map(|(food, one)| (food, one.price())).collect()
            }),
            cooked_together: self.cooked_together,
            answers: self.answers.unwrap_or(usual.answers),
            ..usual
        }
    }
}

impl WrittenServing {
    /// The serving; `None` where nothing is said of it.
    fn size(&self) -> Option<ServingSize> {
        let usual = ServingSize::default();
        let said = self.cubes.is_some() || self.well_ml.is_some() || self.fill.is_some();
        said.then_some(ServingSize {
            cubes: self.cubes.unwrap_or(usual.cubes),
            well_ml: self.well_ml.unwrap_or(usual.well_ml),
            fill: self.fill.unwrap_or(usual.fill),
        })
    }
}

impl WrittenBase {
    fn base(self) -> Base {
        let foods = self.foods.into_iter();
        Base {
            foods: foods.map(|one| (one.food, one.edible_g)).collect(),
            min_share: self.min_share.unwrap_or(BASE_SHARE),
        }
    }
}

impl WrittenPrice {
    fn price(&self) -> Price {
        Price {
            per_kg: self.per_kg.0,
            basis: self.basis,
        }
    }
}

/// The limits that are written, and the usual ones. One that is `null` is none.
fn limits(written: &BTreeMap<String, Option<DecimalInput>>) -> Limits {
    let usual = Limits::default();
    let said = |key: &str| written.get(key).map(|limit| limit.map(DecimalInput::value));
    Limits {
        energy_kcal_per_g: said("energy_kcal_per_g_min").flatten(),
        dry_matter_min: said("dry_matter_min")
            .map_or(usual.dry_matter_min, |one| one.unwrap_or(0.0)),
        dry_matter_max: said("dry_matter_max")
            .map_or(usual.dry_matter_max, |one| one.unwrap_or(1.0)),
        sodium: match said("sodium_mg_per_serving_max") {
            None => usual.sodium,
            Some(None) => Sodium::Unlimited,
            Some(Some(most)) => Sodium::AtMost(most),
        },
        retinol_share: said("retinol_ul_share_max").unwrap_or(usual.retinol_share),
        nitrate_share: said("nitrate_share_max").flatten(),
        cost: written
            .get("cost_per_serving_max")
            .copied()
            .flatten()
            .map(|cost| Money::new(cost.0)),
        vitamin_c_to_iron: said("vitc_to_iron_min")
            .flatten()
            .filter(|ratio| *ratio > 0.0),
    }
}

fn unknown_keys(source: &Arc<SourceText>, value: &Value, way: &str, problems: &mut Vec<Problem>) {
    match value {
        Value::Array(all) => {
            for one in all {
                unknown_keys(source, one, way, problems);
            }
        }
        Value::Object(fields) => {
            let known = KEYS
                .iter()
                .find(|(of, _)| *of == way)
                .map(|(_, keys)| *keys);
            for (key, inner) in fields {
                if let Some(known) = known
                    && !known.contains(&key.as_str())
                {
                    problems.push(unknown_key(source, key, known));
                    continue;
                }
                let step = if known.is_some() { key.as_str() } else { "*" };
                let way = if way.is_empty() {
                    step.to_string()
                } else {
                    format!("{way}.{step}")
                };
                unknown_keys(source, inner, &way, problems);
            }
        }
        _ => {}
    }
}

fn unknown_key(source: &Arc<SourceText>, key: &str, known: &[&str]) -> Problem {
    let problem = Problem::at(
        place_of(source, key),
        format!("“{key}” is no key of an ask"),
    );
    match nearest(key, known.iter().copied()) {
        Some(near) => problem.hint(format!(
            "did you mean “{near}”? known here: {}",
            known.join(", ")
        )),
        None => problem.hint(format!("known here: {}", known.join(", "))),
    }
}

/// Where a key is first written; the whole text where it is not.
fn place_of(source: &Arc<SourceText>, key: &str) -> Place {
    let quoted = format!("\"{key}\"");
    match source.text.find(&quoted) {
        Some(at) => Place::new(source, at..at + quoted.len()),
        None => Place::new(source, 0..1),
    }
}

fn offset(text: &str, line: usize, column: usize) -> usize {
    let before: usize = text
        .split_inclusive('\n')
        .take(line.saturating_sub(1))
        .map(str::len)
        .sum();
    before + column.saturating_sub(1)
}

#[cfg(test)]
mod tests;
