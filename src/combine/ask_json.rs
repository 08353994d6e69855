//! An ask in JSON: every key must be known, and an unknown one is told with the nearest that is.

use std::collections::BTreeMap;
use std::sync::Arc;

use data_import::FoodId;
use rust_decimal::Decimal;
use serde::{Deserialize, Deserializer};
use serde_json::Value;

use super::ask::{
    Ask, BASE_SHARE, Base, Limits, MOST_ADDED, MOST_ANSWERS, Prefer, Price, PriceBasis,
    ServingSize, Sodium,
};
use super::column::goal_of;
use crate::cost::Money;
use crate::nutrition::AgeMonths;
use crate::portion::Tray;
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
struct Written {
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
    foods: Foods,
    #[serde(default)]
    limits: BTreeMap<String, Option<Number>>,
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
    foods: Vec<BaseFood>,
    min_share: Option<f64>,
}

#[derive(Deserialize)]
struct BaseFood {
    food: FoodId,
    edible_g: f64,
}

#[derive(Deserialize, Default)]
struct Add {
    at_least: Option<usize>,
    at_most: Option<usize>,
}

#[derive(Deserialize, Default)]
struct Foods {
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
    per_kg: Number,
    #[serde(default)]
    basis: PriceBasis,
}

/// A decimal number, as a number or in quotes.
#[derive(Clone, Copy)]
struct Number(Decimal);

impl<'de> Deserialize<'de> for Number {
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

impl Number {
    fn value(self) -> f64 {
        use rust_decimal::prelude::ToPrimitive as _;
        // A decimal always has a nearest float.
        self.0.to_f64().unwrap_or(f64::NAN)
    }
}

impl Ask {
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
        let written: Written = serde_json::from_value(value).map_err(|error| {
            vec![
                Problem::at(
                    Place::new(source, 0..1),
                    format!("the ask does not read: {error}"),
                )
                .hint("see the manual of `trayful combine` for its keys"),
            ]
        })?;
        written.checked(source)
    }
}

impl Written {
    fn checked(self, source: &Arc<SourceText>) -> Result<Ask, Vec<Problem>> {
        let mut problems = Vec::new();
        let mut must = |holds: bool, key: &str, what: &str| {
            if !holds {
                problems.push(Problem::at(
                    place_of(source, key),
                    format!("“{key}” {what}"),
                ));
            }
        };
        must(
            self.schema.is_none_or(|schema| schema == 1),
            "schema",
            "is 1, or left out",
        );
        let usual = Tray::usual();
        let written = &self.serving;
        let said_serving =
            written.cubes.is_some() || written.well_ml.is_some() || written.fill.is_some();
        let serving = ServingSize {
            cubes: self.serving.cubes.unwrap_or(2),
            well_ml: self.serving.well_ml.unwrap_or(usual.well.millilitres()),
            fill: self.serving.fill.unwrap_or(usual.fill),
        };
        must((1..=50).contains(&serving.cubes), "cubes", "is 1 to 50");
        must(
            (1.0..=250.0).contains(&serving.well_ml),
            "well_ml",
            "is 1 to 250",
        );
        must(
            serving.fill > 0.0 && serving.fill <= 1.0,
            "fill",
            "is above 0 and at most 1",
        );
        let at_most = self.add.at_most.unwrap_or(3);
        let at_least = self.add.at_least.unwrap_or(0);
        must(at_most <= MOST_ADDED, "at_most", "is at most 4");
        must(at_least <= at_most, "at_least", "is at most “at_most”");
        let answers = self.answers.unwrap_or(MOST_ANSWERS);
        must(
            (1..=MOST_ANSWERS).contains(&answers),
            "answers",
            "is 1 to 5",
        );
        let target = self.goal.at_least;
        must(
            target.is_none_or(|target| target >= 0.0),
            "at_least",
            "is not negative",
        );
        let share = |share: f64| (0.0..=1.0).contains(&share);
        let base = self.base.map(|base| Base {
            foods: base
                .foods
                .into_iter()
                .map(|one| (one.food, one.edible_g))
                .collect(),
            min_share: base.min_share.unwrap_or(BASE_SHARE),
        });
        if let Some(base) = &base {
            must(share(base.min_share), "min_share", "is 0 to 1");
            must(!base.foods.is_empty(), "base", "has at least one food");
            must(
                base.foods.iter().all(|(_, grams)| *grams > 0.0),
                "edible_g",
                "is above 0",
            );
        }
        let limits = limits(&self.limits);
        must(share(limits.dry_matter_min), "dry_matter_min", "is 0 to 1");
        must(share(limits.dry_matter_max), "dry_matter_max", "is 0 to 1");
        must(
            limits.nitrate_share.is_none_or(share),
            "nitrate_share_max",
            "is 0 to 1",
        );
        must(
            self.limits
                .values()
                .flatten()
                .all(|limit| !limit.0.is_sign_negative()),
            "limits",
            "has no negative limits",
        );
        let prices = self.prices.map(|prices| {
            let price = |one: WrittenPrice| Price {
                per_kg: one.per_kg.0,
                basis: one.basis,
            };
            prices
                .into_iter()
                .map(|(food, one)| (food, price(one)))
                .collect::<BTreeMap<_, _>>()
        });
        let paid = prices.iter().flat_map(BTreeMap::values);
        must(
            paid.into_iter().all(|one| !one.per_kg.is_sign_negative()),
            "per_kg",
            "is not negative",
        );
        let tag = self.goal.nutrient.as_deref().unwrap_or("FE");
        let nutrient = match goal_of(tag) {
            Ok(nutrient) => Some(nutrient),
            Err(problem) => {
                let place = Some(place_of(source, "nutrient"));
                problems.push(Problem { place, ..problem });
                None
            }
        };
        let (true, Some(nutrient)) = (problems.is_empty(), nutrient) else {
            return Err(problems);
        };
        Ok(Ask {
            age: self.age_months.map(AgeMonths),
            at_least: target,
            prefer: self.prefer.unwrap_or(Prefer::Most),
            serving: said_serving.then_some(serving),
            base,
            must: self.must,
            add_at_least: at_least,
            add_at_most: at_most,
            known: self.foods.known.map(|known| known.into_iter().collect()),
            new_at_most: self.foods.new_at_most,
            without: self.foods.without,
            only: self.foods.only.map(|only| only.into_iter().collect()),
            unusual: self.foods.unusual,
            limits,
            prices,
            cooked_together: self.cooked_together,
            answers,
            ..Ask::for_most(nutrient)
        })
    }
}

/// The limits that are written, and the usual ones. One that is `null` is none.
fn limits(written: &BTreeMap<String, Option<Number>>) -> Limits {
    let usual = Limits::default();
    let said = |key: &str| written.get(key).map(|limit| limit.map(Number::value));
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
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Ask, Vec<Problem>> {
        Ask::read(&SourceText::new("ask.json", text))
    }

    #[test]
    fn an_empty_ask_is_for_the_most_iron() {
        let ask = read("{}").unwrap();
        assert_eq!(ask.nutrient.tag, "FE");
        assert_eq!((ask.add_at_most, ask.answers), (3, 5));
        assert_eq!(ask.limits, Limits::default());
        assert!((ask.serving_size().millilitres() - 54.0).abs() < 1e-9);
    }

    #[test]
    fn an_unknown_key_is_told_with_the_nearest_and_its_place() {
        let problems = read("{\"goal\": {\"nutrient\": \"FE\"},\n \"limitz\": {}}").unwrap_err();
        let told = problems[0].to_string();
        assert!(
            told.starts_with("ask.json:2:2: “limitz” is no key of an ask"),
            "{told}"
        );
        assert!(told.contains("did you mean “limits”"), "{told}");
        assert!(read("{\"prices\": {\"11090\": {\"per_kq\": 1}}}").is_err());
        assert!(read("{\"base\": {\"foods\": [{\"fod\": \"11090\", \"edible_g\": 1}]}}").is_err());
    }

    #[test]
    fn money_is_read_as_a_number_or_in_quotes_and_null_takes_a_limit_away() {
        let limits = |text: &str| {
            read(&format!("{{\"limits\": {text}, \"prices\": {{}}}}"))
                .unwrap()
                .limits
        };
        let money = limits("{\"cost_per_serving_max\": \"0.03\"}").cost.unwrap();
        assert_eq!(Some(money), limits("{\"cost_per_serving_max\": 0.03}").cost);
        assert_eq!(
            limits("{\"sodium_mg_per_serving_max\": null}").sodium,
            Sodium::Unlimited
        );
    }

    #[test]
    fn what_cannot_be_is_an_error() {
        for text in [
            "{\"add\": {\"at_most\": 5}}",
            "{\"add\": {\"at_least\": 4, \"at_most\": 3}}",
            "{\"answers\": 0}",
            "{\"serving\": {\"fill\": 1.2}}",
            "{\"goal\": {\"nutrient\": \"XY\"}}",
            "{\"limits\": {\"dry_matter_min\": -1}}",
            "{\"must\": [\"broccoli\"]}",
            "[]",
            "{",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
