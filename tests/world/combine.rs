//! What to put into a purée: `tests/data/combine-cases.json`, worked with an independent exact
//! solver (mixed integer programming), and random questions against trial of every set with a
//! solver of linear programmes that is not the program's own.

use std::collections::BTreeMap;

use microlp::{ComparisonOp, OptimizationDirection, Problem, SolveOutcome};
use serde_json::Value;
use trayful::combine::{
    Candidates, Column, Combinations, CombineRequest, Cook, LimitKind, NearLimit, Prefer,
    SelectionProblem, ToCook, Wanted, combine, goal_of,
};
use trayful::problem::SourceText;
use trayful::recipe::Kitchen;

use super::support::pantry;

/// The columns that the cases were worked out with.
fn columns() -> BTreeMap<String, Column> {
    let text = include_str!("../data/combine-columns.csv");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let rows = reader
        .deserialize::<BTreeMap<String, String>>()
        .map(Result::unwrap);
    let column = |row: BTreeMap<String, String>| {
        let value = |key: &str| row[key].parse::<f64>();
        let iron = value("FE").unwrap();
        let column = Column {
            iron,
            goal: iron,
            vitamin_c: value("VITC").ok(),
            sodium: value("NA").unwrap(),
            retinol: value("RETOL").unwrap(),
            energy: value("KCAL").unwrap(),
            dry_matter: value("SOLID").unwrap(),
            volume: value("ML").unwrap(),
            edible: value("RAW").unwrap(),
            bought: value("BOUGHT").unwrap(),
        };
        (row["food"].clone(), column)
    };
    rows.map(column).collect()
}

fn stock(ask: &CombineRequest, columns: &BTreeMap<String, Column>) -> Candidates {
    let cook = |_: &Kitchen<'_>, asked: &[ToCook]| {
        Ok(asked
            .iter()
            .map(|one| columns.get(one.food.as_str()).copied())
            .collect())
    };
    let cook: Cook<'_> = &cook;
    Candidates::with_columns(pantry(), ask, None, cook).unwrap()
}

fn answer(case: &Value, columns: &BTreeMap<String, Column>) -> (CombineRequest, Combinations) {
    let ask = CombineRequest::read(&SourceText::new("a case", case["ask"].to_string())).unwrap();
    let answer = combine(&stock(&ask, columns), &ask, 20).unwrap();
    (ask, answer)
}

/// A tenth of a per cent: the solver that the cases were worked out with proves its answers to less.
const NEAR: f64 = 1e-3;

fn same(value: f64, expected: f64) -> bool {
    (value - expected).abs() <= NEAR * expected.abs().max(1e-6)
}

#[test]
fn every_rank_is_the_best_there_is() {
    let columns = columns();
    let cases: Value = serde_json::from_str(include_str!("../data/combine-cases.json")).unwrap();
    for case in cases["cases"].as_array().unwrap() {
        let (ask, answer) = answer(case, &columns);
        let title = &case["title"];
        let ranks = case["ranks"].as_array().unwrap();
        assert_eq!(answer.suggestions.len(), ranks.len(), "{title}");
        for (one, rank) in answer.suggestions.iter().zip(ranks) {
            let value = match ask.prefer {
                Prefer::Cheapest => one.serving.cost.unwrap(),
                Prefer::Most | Prefer::FewestNew => one.serving.iron,
            };
            let best = rank["value"].as_f64().unwrap();
            assert!(
                same(value, best),
                "{title}: {value}, best {best} ({:?})",
                one.added
            );
        }
        for near in case["nearest"].as_array().unwrap() {
            let limit = near["limit"].as_str().unwrap();
            let miss = answer
                .nearest
                .iter()
                .find(|miss| named(miss.limit) == limit);
            let miss = miss.unwrap_or_else(|| panic!("{title}: {limit} is not given"));
            let possible = match &miss.possible {
                Wanted::Figure(figure) => *figure,
                Wanted::Count(count) => f64::from(u32::try_from(*count).unwrap()),
                other => panic!("{title}: {other:?}"),
            };
            let best = near["possible"].as_f64().unwrap();
            assert!(
                same(possible, best),
                "{title}: {limit} {possible}, best {best}"
            );
        }
        assert_eq!(
            answer.nearest.len(),
            case["nearest"].as_array().unwrap().len(),
            "{title}"
        );
    }
}

/// The name of a limit in the cases.
fn named(limit: NearLimit) -> &'static str {
    match limit {
        NearLimit::One(LimitKind::Target) => "target",
        NearLimit::One(LimitKind::Money) => "money",
        NearLimit::WithTarget(LimitKind::EnergyDensity) => "target and energy_density",
        NearLimit::NewFoods => "new_foods",
        NearLimit::FoodsAdded => "foods_added",
        _ => "another",
    }
}

/// A small generator of numbers that are the same at every run.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 33).unwrap()) / f64::from(1u32 << 31)
    }

    fn below(&mut self, count: usize) -> usize {
        let at = self.roll() * f64::from(u32::try_from(count).unwrap());
        let passed = |one: &usize| f64::from(u32::try_from(*one).unwrap()) < at;
        (0..count).take_while(passed).count().max(1) - 1
    }

    fn between(&mut self, from: f64, to: f64) -> f64 {
        from + self.roll() * (to - from)
    }
}

fn random_ask(dice: &mut Dice, foods: &[String]) -> CombineRequest {
    let mut ask = CombineRequest::for_most(goal_of("FE").unwrap());
    let count = 5 + dice.below(18);
    let chosen: Vec<&String> = (0..count)
        .map(|_| &foods[dice.below(foods.len())])
        .collect();
    ask.only = Some(chosen.iter().map(|id| id.parse().unwrap()).collect());
    ask.add_at_most = 1 + dice.below(if count > 14 { 2 } else { 3 });
    ask.add_at_least = dice.below(2);
    ask.answers = 1;
    ask.limits.energy_kcal_per_g = Some(dice.between(0.3, 0.9));
    ask.at_least = (dice.below(2) == 0).then(|| dice.between(0.2, 1.4));
    if dice.below(2) == 0 {
        let known = chosen.iter().filter(|_| dice.below(2) == 0);
        ask.known = Some(known.map(|id| id.parse().unwrap()).collect());
        ask.new_at_most = Some(dice.below(3));
    }
    if dice.below(3) == 0 {
        ask.limits.vitamin_c_to_iron = Some(dice.between(0.5, 3.0));
    }
    if dice.below(3) == 0 {
        ask.must = vec![foods[dice.below(foods.len())].parse().unwrap()];
    }
    ask
}

/// The best of all sets, each tried.
fn by_trial(question: &SelectionProblem) -> Option<f64> {
    fn go(question: &SelectionProblem, from: usize, set: &mut Vec<usize>, best: &mut Option<f64>) {
        if set.len() >= question.at_least
            && let Some(value) = one_set(question, set)
            && best.is_none_or(|best| value > best)
        {
            *best = Some(value);
        }
        if set.len() == question.at_most {
            return;
        }
        for (at, &food) in question.open.iter().enumerate().skip(from) {
            let new = set
                .iter()
                .chain([&food])
                .filter(|food| question.new[**food])
                .count();
            let fits = !set.iter().any(|other| question.clash[food][*other]);
            if fits && question.most_new.is_none_or(|most| new <= most) {
                set.push(food);
                go(question, at + 1, set, best);
                set.pop();
            }
        }
    }
    let mut best = None;
    go(question, 0, &mut Vec::new(), &mut best);
    best
}

/// The best ratio of one set, as a linear programme: amounts whose denominator is 1 (Charnes and Cooper 1962).
fn one_set(question: &SelectionProblem, set: &[usize]) -> Option<f64> {
    let foods: Vec<usize> = question
        .fixed
        .iter()
        .chain(set)
        .copied()
        .chain([question.foods])
        .collect();
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let amounts: Vec<_> = foods
        .iter()
        .map(|food| problem.add_var(question.numerator[*food], (0.0, f64::INFINITY)))
        .collect();
    let row = |of: &dyn Fn(usize) -> f64| -> Vec<_> {
        amounts
            .iter()
            .zip(&foods)
            .map(|(amount, food)| (*amount, of(*food)))
            .collect()
    };
    problem.add_constraint(
        row(&|food| question.denominator[food]),
        ComparisonOp::Eq,
        1.0,
    );
    for limit in &question.limits {
        problem.add_constraint(row(&|food| limit[food]), ComparisonOp::Le, 0.0);
    }
    for food in &foods[..foods.len() - 1] {
        let (least, most) = question.shares[*food];
        let of = |share: f64| row(&|other| f64::from(u8::from(other == *food)) - share);
        problem.add_constraint(of(most), ComparisonOp::Le, 0.0);
        problem.add_constraint(of(least), ComparisonOp::Ge, 0.0);
    }
    let SolveOutcome::Solution(solution) = problem.solve().ok()? else {
        // Stopped on the way, which nobody asked for: equal to nothing.
        return Some(f64::NAN);
    };
    Some(solution.objective())
}

#[test]
fn two_hundred_random_asks_are_answered_as_by_trying_every_set() {
    let columns = columns();
    let foods: Vec<String> = columns.keys().cloned().collect();
    let mut dice = Dice(20_260_413);
    let (mut possible, mut impossible) = (0, 0);
    for round in 0.. {
        if possible + impossible == 200 {
            break;
        }
        let ask = random_ask(&mut dice, &foods);
        let stock = stock(&ask, &columns);
        let selection = stock.selection(&ask).unwrap();
        let aims = [
            LimitKind::Target,
            LimitKind::EnergyDensity,
            LimitKind::Thickest,
            LimitKind::Sodium,
        ];
        let aim = aims[if round % 4 == 0 { dice.below(4) } else { 0 }];
        // As for a near miss: the limit itself is let go.
        let let_go = (dice.below(2) == 0).then_some(aim);
        let narrowed = selection.as_asked();
        let Some(question) = selection.question(aim, (let_go, true), &narrowed) else {
            continue;
        };
        let found = question.best().unwrap().map(|best| best.ratio);
        match (found, by_trial(&question)) {
            (None, None) => impossible += 1,
            (Some(found), Some(tried)) => {
                possible += 1;
                assert!(
                    (found - tried).abs() <= 1e-6 * tried.abs().max(1e-3),
                    "{round}: {found} {tried}"
                );
            }
            (found, tried) => panic!("{round}: {found:?}, by trial {tried:?}"),
        }
    }
    println!("{possible} could be answered, {impossible} could not");
    assert!(possible > 40 && impossible > 20);
}
