//! A request in JSON: every key must be known, and the problem with an unknown one names the
//! nearest that is.

use std::collections::{BTreeMap, BTreeSet};
use std::iter;
use std::sync::Arc;

use data_import::{FoodId, Nutrient};
use rust_decimal::Decimal;
use serde::{Deserialize, Deserializer};
use serde_json::Value;

use super::ask::{
    BASE_SHARE, Base, CombineRequest, Limits, MOST_ADDED, MOST_ANSWERS, Prefer, Price, ServingSize,
    Sodium,
};
use super::column::{goal_of, usual_goal};
use crate::cost::Money;
use crate::next_step::{NextStep, Remark};
use crate::nutrition::AgeMonths;
use crate::problem::{Place, Problem, SourceText, nearest};

/// The keys of each object, by the path to it; `*` stands for the keys of a map.
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
    prices: Option<BTreeMap<FoodId, Price>>,
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

/// A decimal number, written as a number or in quotes.
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

/// Reads a decimal number, written as a number or in quotes.
pub(super) fn decimal<'de, D: Deserializer<'de>>(written: D) -> Result<Decimal, D::Error> {
    DecimalInput::deserialize(written).map(|number| number.0)
}

impl DecimalInput {
    fn value(self) -> f64 {
        use rust_decimal::prelude::ToPrimitive as _;
        // A decimal always has a nearest float.
        self.0.to_f64().unwrap_or(f64::NAN)
    }
}

impl CombineRequest {
    /// Reads a request in JSON.
    ///
    /// Errors: every problem with its place; an unknown key with the nearest known one.
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

/// A check of a request: the key, what the value of the key has to be, and whether it is that.
type RequestCheck = (&'static str, String, fn(&CombineRequest) -> bool);

/// The checks of a request beyond the types of its values.
fn checks() -> [RequestCheck; 15] {
    let share = || "is 0 to 1".to_string();
    [
        ("cubes", "is 1 to 50".into(), |request| {
            (1..=50).contains(&request.serving_size().cubes)
        }),
        ("well_ml", "is 1 to 250".into(), |request| {
            (1.0..=250.0).contains(&request.serving_size().well_ml)
        }),
        ("fill", "is above 0 and at most 1".into(), |request| {
            let fill = request.serving_size().fill;
            fill > 0.0 && fill <= 1.0
        }),
        ("at_most", format!("is at most {MOST_ADDED}"), |request| {
            request.add_at_most <= MOST_ADDED
        }),
        ("at_least", "is at most “at_most”".into(), |request| {
            request.add_at_least <= request.add_at_most
        }),
        ("answers", format!("is 1 to {MOST_ANSWERS}"), |request| {
            (1..=MOST_ANSWERS).contains(&request.answers)
        }),
        ("at_least", "is not negative".into(), |request| {
            request.at_least.is_none_or(|target| target >= 0.0)
        }),
        ("min_share", share(), |request| {
            request
                .base
                .as_ref()
                .is_none_or(|base| is_share(base.min_share))
        }),
        ("base", "has at least one food".into(), |request| {
            request
                .base
                .as_ref()
                .is_none_or(|base| !base.foods.is_empty())
        }),
        ("edible_g", "is above 0".into(), |request| {
            let mut foods = request.base.iter().flat_map(|base| &base.foods);
            foods.all(|(_, grams)| *grams > 0.0)
        }),
        ("dry_matter_min", share(), |request| {
            is_share(request.limits.dry_matter_min)
        }),
        ("dry_matter_max", share(), |request| {
            is_share(request.limits.dry_matter_max)
        }),
        ("nitrate_share_max", share(), |request| {
            request.limits.nitrate_share.is_none_or(is_share)
        }),
        ("limits", "has no negative limits".into(), |request| {
            let figures = request.limits.figures();
            figures.into_iter().flatten().all(|limit| limit >= 0.0)
        }),
        ("per_kg", "is not negative".into(), |request| {
            let mut prices = request.prices.iter().flat_map(BTreeMap::values);
            prices.all(|price| !price.per_kg.is_sign_negative())
        }),
    ]
}

/// Whether a figure is a share, 0 to 1.
fn is_share(share: f64) -> bool {
    (0.0..=1.0).contains(&share)
}

impl RequestInput {
    fn checked(self, source: &Arc<SourceText>) -> Result<CombineRequest, Vec<Problem>> {
        let schema_is_known = self.schema.is_none_or(|schema| schema == 1);
        let nutrient = match &self.goal.nutrient {
            Some(tag) => goal_of(tag).map_err(|problem| {
                let place = Some(place_of(source, "nutrient"));
                vec![Problem { place, ..problem }]
            })?,
            None => usual_goal().map_err(|problem| vec![problem])?,
        };
        let request = self.request(nutrient);
        let checks = checks()
            .into_iter()
            .map(|(key, what, holds)| (key, what, holds(&request)));
        let problems: Vec<Problem> =
            iter::once(("schema", "is 1, or left out".into(), schema_is_known))
                .chain(checks)
                .filter(|(.., holds)| !holds)
                .map(|(key, what, _)| Problem::at(place_of(source, key), format!("“{key}” {what}")))
                .collect();
        if problems.is_empty() {
            Ok(request)
        } else {
            Err(problems)
        }
    }

    fn request(self, nutrient: &'static Nutrient) -> CombineRequest {
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
            prices: self.prices,
            cooked_together: self.cooked_together,
            answers: self.answers.unwrap_or(usual.answers),
            ..usual
        }
    }
}

impl WrittenServing {
    /// The serving; `None` where none of its keys is written.
    fn size(&self) -> Option<ServingSize> {
        let usual = ServingSize::default();
        let written = self.cubes.is_some() || self.well_ml.is_some() || self.fill.is_some();
        written.then_some(ServingSize {
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
            foods: foods.map(|input| (input.food, input.edible_g)).collect(),
            min_share: self.min_share.unwrap_or(BASE_SHARE),
        }
    }
}

/// The limits that are written, and the usual ones for the others. A limit of `null` is no limit.
fn limits(written: &BTreeMap<String, Option<DecimalInput>>) -> Limits {
    let usual = Limits::default();
    let figure = |key: &str| written.get(key).map(|limit| limit.map(DecimalInput::value));
    Limits {
        energy_kcal_per_g: figure("energy_kcal_per_g_min").flatten(),
        dry_matter_min: figure("dry_matter_min")
            .map_or(usual.dry_matter_min, |least| least.unwrap_or(0.0)),
        dry_matter_max: figure("dry_matter_max")
            .map_or(usual.dry_matter_max, |most| most.unwrap_or(1.0)),
        sodium: match figure("sodium_mg_per_serving_max") {
            None => usual.sodium,
            Some(None) => Sodium::Unlimited,
            Some(Some(most)) => Sodium::AtMost(most),
        },
        retinol_share: figure("retinol_ul_share_max").unwrap_or(usual.retinol_share),
        nitrate_share: figure("nitrate_share_max").flatten(),
        cost: written
            .get("cost_per_serving_max")
            .copied()
            .flatten()
            .map(|cost| Money::new(cost.0)),
        vitamin_c_to_iron: figure("vitc_to_iron_min")
            .flatten()
            .filter(|ratio| *ratio > 0.0),
    }
}

/// Collects the unknown keys of a value and of all that is in it, as problems.
fn unknown_keys(source: &Arc<SourceText>, value: &Value, path: &str, problems: &mut Vec<Problem>) {
    match value {
        Value::Array(all) => {
            for value in all {
                unknown_keys(source, value, path, problems);
            }
        }
        Value::Object(fields) => {
            let known = KEYS
                .iter()
                .find(|(of, _)| *of == path)
                .map(|(_, keys)| *keys);
            for (key, inner) in fields {
                if let Some(known) = known
                    && !known.contains(&key.as_str())
                {
                    problems.push(unknown_key(source, key, known));
                    continue;
                }
                let step = if known.is_some() { key.as_str() } else { "*" };
                let path = if path.is_empty() {
                    step.to_string()
                } else {
                    format!("{path}.{step}")
                };
                unknown_keys(source, inner, &path, problems);
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
