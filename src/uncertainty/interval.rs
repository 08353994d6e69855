//! Adding up portions to an interval.

use std::collections::BTreeMap;
use std::sync::Arc;

use data_import::{FoodId, NutrientId};

use super::{Cause, DoubtKind, Doubts, Evidence, REACH, UnsurePortion};

/// The spread of a share that was stated, relative to the whole (judgement).
const STATED_SHARE: f64 = 0.10;
/// The spread where some was eaten and no share was stated, relative to what is assumed to be eaten
/// (judgement).
const SOME: f64 = 0.50;
/// The share of a value from means hardly above zero, from which the value may be zero itself
/// (judgement).
const FAINT_SHARE: f64 = 0.5;

/// A meal's part of a sum.
#[derive(Debug, Clone)]
pub struct IntervalPart<'a> {
    /// The portion that was served; `None` where nothing is known of its doubts.
    pub portion: Option<&'a UnsurePortion>,
    /// The amount of the nutrient in the portion, all of it eaten.
    pub amount: f64,
    /// The meal of the part: what is left over is left of the whole meal.
    pub meal: usize,
    /// The share of it that was eaten.
    pub share: f64,
    /// Whether the share is an estimate, because some was eaten and nobody said how much.
    pub estimated: bool,
}

impl<'a> IntervalPart<'a> {
    /// A portion that was eaten completely; an unknown amount adds nothing to a sum.
    pub fn whole(portion: Option<&'a UnsurePortion>, known: Option<f64>) -> Self {
        Self {
            portion,
            amount: known.unwrap_or(0.0),
            meal: 0,
            share: 1.0,
            estimated: false,
        }
    }
}

/// The interval in which a figure most likely lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Interval {
    /// The figure.
    pub value: f64,
    /// The lower end.
    pub low: f64,
    /// The upper end of what is known; the true one is open where a value is missing.
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
    /// The kind of doubt.
    pub kind: DoubtKind,
    /// The food of the doubt, where it is about one.
    pub food: Option<FoodId>,
    /// The evidence for the value of that food.
    pub evidence: Option<Evidence>,
    /// The share of the doubt in the sum of squares, 0 to 1.
    pub share: f64,
}

impl Interval {
    /// The upper end; `None` where a value is missing.
    pub fn high(&self) -> Option<f64> {
        Some(self.known_high).filter(|_| self.complete)
    }

    /// The interval times a factor.
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

/// The interval of an amount of a nutrient, given with whether it is complete, over its parts;
/// `None` unless the doubts of every part are known.
pub fn interval_of<'a>(
    nutrient: NutrientId,
    (value, complete): (f64, bool),
    parts: impl IntoIterator<Item = IntervalPart<'a>>,
) -> Option<Interval> {
    let parts = parts.into_iter().filter(|part| part.amount != 0.0);
    let parts: Vec<IntervalPart<'a>> = parts.collect();
    let (mut sum, mut whole) = (DoubtSum::default(), DoubtSum::default());
    for part in &parts {
        let portion = part
            .portion
            .filter(|portion| portion.doubts.knows(nutrient))?;
        sum.add(portion, part.amount, part.share);
        whole.add(portion, part.amount, 1.0);
    }
    sum.eaten = eaten(&parts);
    let by_cause = sum.by_cause(nutrient);
    let variance = sum.variance(&by_cause);
    let spread = relative(variance, value);
    let mut known_high = value * (REACH * spread).exp();
    if sum.eaten > 0.0 {
        // No more was eaten than was served.
        let left = parts.iter().map(|part| part.amount * (1.0 - part.share));
        let served = value + left.sum::<f64>();
        let variance = whole.variance(&whole.by_cause(nutrient));
        known_high = known_high.min(served * (REACH * relative(variance, served)).exp());
    }
    let faint = value > 0.0 && sum.faint(nutrient) >= FAINT_SHARE * value;
    Some(Interval {
        value,
        low: if faint {
            0.0
        } else {
            value * (-REACH * spread).exp()
        },
        known_high,
        complete,
        spread,
        widest: sum.widest(nutrient, &by_cause, variance),
    })
}

/// A standard deviation relative to a value; 0 for none.
fn relative(variance: f64, value: f64) -> f64 {
    if value > 0.0 {
        variance.sqrt() / value
    } else {
        0.0
    }
}

/// The variance by what was left over, meal by meal.
fn eaten(parts: &[IntervalPart<'_>]) -> f64 {
    let mut meals: BTreeMap<usize, f64> = BTreeMap::new();
    for part in parts {
        let doubt = if part.estimated {
            part.amount * part.share * SOME
        } else if part.share < 1.0 && part.share > 0.0 {
            // The spread is relative to the whole, not to what was eaten.
            part.amount * STATED_SHARE
        } else {
            0.0
        };
        *meals.entry(part.meal).or_default() += doubt;
    }
    meals.values().map(|doubt| doubt * doubt).sum()
}

/// Doubts added up over parts.
#[derive(Default)]
struct DoubtSum<'a> {
    /// The number of units of each set of doubts; servings of one batch share theirs.
    units: Vec<(&'a Arc<Doubts>, f64)>,
    /// The variance of the content of the cubes.
    cubes: f64,
    /// The variance of what was eaten.
    eaten: f64,
}

impl<'a> DoubtSum<'a> {
    fn add(&mut self, portion: &'a UnsurePortion, amount: f64, share: f64) {
        let times = portion.times * share;
        let mut units = self.units.iter_mut();
        match units.find(|(doubts, _)| Arc::ptr_eq(doubts, &portion.doubts)) {
            Some((_, sum)) => *sum += times,
            None => self.units.push((&portion.doubts, times)),
        }
        let cubes = amount * share * portion.cube_to_cube();
        self.cubes += cubes * cubes;
    }

    fn by_cause(&self, nutrient: NutrientId) -> BTreeMap<&'a Cause, f64> {
        let mut sums = BTreeMap::new();
        for (doubts, times) in &self.units {
            for (cause, amount) in doubts.of(nutrient) {
                *sums.entry(cause).or_default() += amount * times;
            }
        }
        sums
    }

    fn faint(&self, nutrient: NutrientId) -> f64 {
        let units = self.units.iter();
        units
            .map(|(doubts, times)| doubts.faint(nutrient) * times)
            .sum()
    }

    fn variance(&self, by_cause: &BTreeMap<&Cause, f64>) -> f64 {
        let keyed: f64 = by_cause.values().map(|amount| amount * amount).sum();
        keyed + self.cubes + self.eaten
    }

    fn widest(
        &self,
        nutrient: NutrientId,
        by_cause: &BTreeMap<&'a Cause, f64>,
        variance: f64,
    ) -> Option<WidestDoubt> {
        let mut groups: BTreeMap<(DoubtKind, Option<&FoodId>), f64> = BTreeMap::new();
        let keyed = by_cause.iter();
        let keyed = keyed.map(|(cause, amount)| ((cause.kind(), cause.food()), amount * amount));
        let alone = [
            ((DoubtKind::Portion, None), self.cubes),
            ((DoubtKind::Eaten, None), self.eaten),
        ];
        for (group, square) in keyed.chain(alone) {
            *groups.entry(group).or_default() += square;
        }
        let ((kind, food), square) = groups.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        let of_value = food.filter(|_| kind == DoubtKind::Composition);
        let evidence = of_value.and_then(|food| {
            let mut units = self.units.iter();
            units.find_map(|(doubts, _)| doubts.evidence(nutrient, food))
        });
        (variance > 0.0).then(|| WidestDoubt {
            kind,
            food: food.cloned(),
            evidence,
            share: square / variance,
        })
    }
}
