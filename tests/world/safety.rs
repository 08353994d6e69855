//! What a child may be given.
//!
//! Sources: each row of `hazards.csv` names its own (CDC, WHO, NHS, FDA and EPA, EFSA, AESAN and others). Which
//! objection a meal is due was read from the guidance and the names of the foods by hand, in `tests/data/safety-cases.csv`.

use std::collections::BTreeMap;

use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use serde::Deserialize;
use trayful::cooking::Method;
use trayful::nutrition::AgeMonths;
use trayful::quantity::Mass;
use trayful::safety::{
    Case, CautionTable, ChildFacts, Context, DEFER, Form, Judge, Meal, NotedReaction, Objection,
    Portion, Severity, Tasted,
};

use crate::support::{data, food, foods};

const DAY: Date = date(2026, 11, 27);

#[derive(Deserialize, Debug)]
struct Row {
    age_months: u16,
    context: String,
    foods: String,
    times: Option<i64>,
    allergies: String,
    eczema: String,
    reaction_before: String,
    known: String,
    seen: String,
    verdict: String,
    hazard: String,
    must_not: String,
    note: String,
}

impl Row {
    fn portions(&self) -> Vec<Portion> {
        let batch = self.context == "batch";
        let parts: Vec<Vec<&str>> = self
            .foods
            .split('|')
            .map(|one| one.split(':').collect())
            .collect();
        let grams = |part: &Vec<&str>| part[2].parse::<f64>().unwrap();
        let total: f64 = parts.iter().map(grams).sum();
        // Two cubes of 27 g are a usual serving.
        let share = if batch { (54.0 / total).min(1.0) } else { 1.0 };
        let portion = |part: &Vec<&str>| Portion {
            food: food(part[0]).clone(),
            mass: Some(Mass::from_grams(grams(part) * share)),
            method: Some(part[1].parse().unwrap_or(Method::None)),
            form: if batch { Form::Puree } else { Form::Whole },
        };
        parts.iter().map(portion).collect()
    }

    fn child(&self, portions: &[Portion], judge: &Judge) -> ChildFacts {
        let known = |id: &str| self.known == "all" || self.known.split('|').any(|one| one == id);
        let mut tasted = Tasted::default();
        let first = DAY.saturating_sub(25.days());
        for portion in portions.iter().filter(|one| known(one.food.id.as_str())) {
            tasted.foods.insert(portion.food.id.to_string(), first);
            let held = judge.allergens().of(&portion.food);
            tasted
                .allergens
                .extend(held.map(|allergen| (allergen.to_string(), first)));
        }
        let noted = portions.iter().filter(|one| {
            self.reaction_before
                .split('|')
                .any(|id| id == one.food.id.as_str())
        });
        let noted = noted.map(|one| NotedReaction {
            food: one.food.id.to_string(),
            name: one.food.name.clone(),
            day: first,
            words: "rash".into(),
        });
        ChildFacts {
            name: "Wren".into(),
            age: Some(AgeMonths(self.age_months)),
            allergies: self
                .allergies
                .split('|')
                .filter(|one| !one.is_empty())
                .map(String::from)
                .collect(),
            severe_eczema: self.eczema == "severe",
            reactions: noted.collect(),
            tasted: Some(tasted),
            ..ChildFacts::default()
        }
    }

    fn objections(&self, judge: &Judge) -> Vec<Objection> {
        let portions = self.portions();
        let again = (1..self.times.unwrap_or(1)).map(|back| Meal {
            day: DAY.saturating_sub(back.days()),
            portions: portions.clone(),
        });
        judge.objections(&Case {
            child: &self.child(&portions, judge),
            day: DAY,
            context: match self.context.as_str() {
                "batch" => Context::Cooked,
                "mix" => Context::Mixed,
                "serve" => Context::Served,
                _ => Context::Planned,
            },
            portions: &portions,
            others: &again.collect::<Vec<_>>(),
            seen: &self.seen,
        })
    }
}

#[test]
fn each_case_meets_the_objection_that_is_due() {
    let judge = Judge::builtin().unwrap();
    let rows: Vec<Row> = data("safety-cases.csv");
    let mut wrong = Vec::new();
    for row in &rows {
        let found = row.objections(&judge);
        let named: Vec<_> = found
            .iter()
            .map(|one| (one.hazard.as_str(), one.severity.word()))
            .collect();
        let not = row.must_not.split('|').filter(|one| !one.is_empty());
        let false_alarm = not
            .into_iter()
            .any(|not| named.iter().any(|(hazard, _)| *hazard == not));
        let right = if row.verdict == "none" {
            found.iter().all(|one| one.severity == Severity::Mind)
        } else {
            named.contains(&(row.hazard.as_str(), row.verdict.as_str()))
        };
        if !right || false_alarm {
            wrong.push(format!("{}: {row:?} -> {named:?}", row.note));
        }
    }
    println!(
        "{} of {} cases as due",
        rows.len() - wrong.len(),
        rows.len()
    );
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_objection_says_what_to_do_and_where_it_comes_from() {
    let judge = Judge::builtin().unwrap();
    let rows: Vec<Row> = data("safety-cases.csv");
    for row in &rows {
        for one in row.objections(&judge) {
            for text in [&one.text, &one.source, &one.instead] {
                assert!(!text.trim().is_empty(), "{one:?}");
            }
            assert!(!one.text.contains('{'), "{one:?}");
            assert_eq!(one.foods.len(), one.names.len(), "{one:?}");
        }
    }
}

/// How many foods of the dataset each hazard is about: a pattern that suddenly meets many more is read again.
#[test]
fn the_names_that_a_hazard_meets_are_counted() {
    let judge = Judge::builtin().unwrap();
    let mut count: BTreeMap<String, u32> = BTreeMap::new();
    let mut grave = 0;
    for food in foods() {
        let about = judge.about(food, AgeMonths(9));
        grave += u32::from(about.iter().any(|one| one.severity == Severity::Block));
        for one in about {
            *count.entry(one.hazard).or_default() += 1;
        }
    }
    println!(
        "{grave} of {} foods are blocked in some form at 9 months",
        foods().count()
    );
    println!("{count:#?}");
    assert!(count["honey"] > 20 && count["honey"] < 120, "{count:?}");
}

#[test]
fn the_last_word_is_the_paediatricians() {
    let table = CautionTable::builtin().unwrap();
    assert_eq!(table.all().last().unwrap().id, DEFER);
    for caution in table.all() {
        assert!(!caution.source.trim().is_empty(), "{}", caution.id);
    }
    let defer = table.all().iter().filter(|caution| caution.id == DEFER);
    assert!(
        defer
            .into_iter()
            .all(|one| one.text.to_lowercase().contains("paediatrician"))
    );
}

/// Food Allergen Labeling and Consumer Protection Act (2004) and FASTER Act (2021), USA.
#[test]
fn the_nine_major_allergens() {
    let judge = Judge::builtin().unwrap();
    let mut allergens: Vec<_> = judge.allergens().all().collect();
    allergens.sort_unstable();
    let nine = [
        "egg",
        "fish",
        "milk",
        "peanut",
        "sesame",
        "shellfish",
        "soy",
        "tree nuts",
        "wheat",
    ];
    assert_eq!(allergens, nine);
}
