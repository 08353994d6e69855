//! Portions added up to an interval.

use std::collections::BTreeMap;
use std::sync::Arc;

use data_import::{FoodId, NutrientId};

use super::{Cause, DoubtKind, Doubts, Evidence, REACH, UnsurePortion};
use crate::nutrition::Total;

/// How unsure a share is that somebody said, of the whole (judgement).
const SAID: f64 = 0.10;
/// How unsure it is where some was eaten and nobody said how much, of what is taken to be eaten (judgement).
const SOME: f64 = 0.50;
/// Where so much of a value is owed to means of hardly more than nothing, it may be nothing itself.
const FAINT_SHARE: f64 = 0.5;

/// A meal's part of a sum.
#[derive(Debug, Clone)]
pub struct IntervalPart<'a> {
    /// What was served; `None` where nothing is known of its doubts.
    pub portion: Option<&'a UnsurePortion>,
    /// What the portion holds of the nutrient, all of it eaten.
    pub amount: f64,
    /// The meal it belongs to: what is left over is left of the whole meal.
    pub meal: usize,
    /// The share of it that was eaten.
    pub share: f64,
    /// Whether that share is an estimate, because some was eaten and nobody said how much.
    pub estimated: bool,
}

/// Where a figure most likely lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Interval {
    /// The figure.
    pub value: f64,
    /// Its lower end.
    pub low: f64,
    /// Its upper end of what is known; the true one is open where a value is missing.
    pub known_high: f64,
    /// Whether no value is missing.
    pub complete: bool,
    /// One standard deviation, relative to the figure.
    pub spread: f64,
    /// The widest doubt; `None` where there is none.
    pub widest: Option<WidestDoubt>,
}

/// The widest doubt about a figure.
#[derive(Debug, Clone, PartialEq)]
pub struct WidestDoubt {
    /// What kind of doubt it is.
    pub kind: DoubtKind,
    /// The food it is about, where it is about one.
    pub food: Option<FoodId>,
    /// What is known of the value of that food.
    pub evidence: Option<Evidence>,
    /// Its share, 0 to 1, of all squares.
    pub share: f64,
}

impl Interval {
    /// Its upper end; `None` where a value is missing.
    pub fn high(&self) -> Option<f64> {
        Some(self.known_high).filter(|_| self.complete)
    }

    /// Both ends of another figure that is so many times as much.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        Self {
            value: self.value * factor,
            low: self.low * factor,
            known_high: self.known_high * factor,
            ..self.clone()
        }
    }
}

/// The interval of a nutrient over these parts; `None` where nothing of it is known, or not the doubts of every part.
pub fn interval_of<'a>(
    nutrient: NutrientId,
    total: &Total,
    parts: impl IntoIterator<Item = IntervalPart<'a>>,
) -> Option<Interval> {
    let value = total.known?;
    let parts: Vec<IntervalPart<'a>> = parts
        .into_iter()
        .filter(|part| part.amount != 0.0)
        .collect();
    let mut sum = DoubtSum::default();
    let mut whole = DoubtSum::default();
    let mut all = 0.0;
    for part in &parts {
        let portion = part.portion.filter(|one| one.doubts.knows(nutrient))?;
        sum.add(nutrient, portion, part.amount, part.share);
        whole.add(nutrient, portion, part.amount, 1.0);
        all += part.amount;
    }
    sum.eaten = eaten(&parts);
    let spread = sum.spread(value);
    let faint = sum.faint >= FAINT_SHARE * value && value > 0.0;
    // Nobody ate more than was served.
    let most = (all
        + (value
            - parts
                .iter()
                .map(|part| part.amount * part.share)
                .sum::<f64>())
        .max(0.0))
        * (REACH * whole.spread(all)).exp();
    let high = value * (REACH * spread).exp();
    Some(Interval {
        value,
        low: if faint {
            0.0
        } else {
            value * (-REACH * spread).exp()
        },
        known_high: if sum.eaten > 0.0 {
            high.min(most)
        } else {
            high
        },
        complete: total.complete(),
        spread,
        widest: sum.widest(nutrient),
    })
}

/// The variance by what was left over, meal by meal.
fn eaten(parts: &[IntervalPart<'_>]) -> f64 {
    let mut meals: BTreeMap<usize, f64> = BTreeMap::new();
    for part in parts {
        let eaten = part.amount * part.share;
        let doubt = if part.estimated {
            eaten * SOME
        } else if part.share < 1.0 && part.share > 0.0 {
            // Of the whole, not of what was eaten.
            part.amount * SAID
        } else {
            0.0
        };
        *meals.entry(part.meal).or_default() += doubt;
    }
    meals.values().map(|doubt| doubt * doubt).sum()
}

/// Doubts on one nutrient, added by cause.
#[derive(Default)]
struct DoubtSum<'a> {
    by_cause: BTreeMap<&'a Cause, f64>,
    sources: BTreeMap<*const Doubts, &'a Arc<Doubts>>,
    /// Variance of what each cube holds.
    cubes: f64,
    /// Variance of what was eaten.
    eaten: f64,
    faint: f64,
}

impl<'a> DoubtSum<'a> {
    fn add(&mut self, nutrient: NutrientId, portion: &'a UnsurePortion, amount: f64, share: f64) {
        let times = portion.times * share;
        for (cause, doubt) in portion.doubts.of(nutrient) {
            *self.by_cause.entry(cause).or_default() += doubt * times;
        }
        self.faint += portion.doubts.faint(nutrient) * times;
        let cubes = amount * share * portion.cube_to_cube();
        self.cubes += cubes * cubes;
        self.sources
            .insert(Arc::as_ptr(&portion.doubts), &portion.doubts);
    }

    fn variance(&self) -> f64 {
        let keyed: f64 = self.by_cause.values().map(|one| one * one).sum();
        keyed + self.cubes + self.eaten
    }

    fn spread(&self, value: f64) -> f64 {
        if value > 0.0 {
            self.variance().sqrt() / value
        } else {
            0.0
        }
    }

    fn widest(&self, nutrient: NutrientId) -> Option<WidestDoubt> {
        let mut groups: BTreeMap<(DoubtKind, Option<&FoodId>), f64> = BTreeMap::new();
        let keyed = self.by_cause.iter();
        let keyed = keyed.map(|(cause, amount)| ((cause.kind(), cause.food()), amount * amount));
        let alone = [
            ((DoubtKind::Portion, None), self.cubes),
            ((DoubtKind::Eaten, None), self.eaten),
        ];
        for (group, square) in keyed.chain(alone) {
            *groups.entry(group).or_default() += square;
        }
        let ((kind, food), square) = groups.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        let all = self.variance();
        let evidence = food
            .filter(|_| kind == DoubtKind::Composition)
            .and_then(|food| {
                let mut sources = self.sources.values();
                sources.find_map(|doubts| doubts.evidence(nutrient, food))
            });
        (all > 0.0).then(|| WidestDoubt {
            kind,
            food: food.cloned(),
            evidence,
            share: square / all,
        })
    }
}
