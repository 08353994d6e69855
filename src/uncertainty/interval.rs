//! Portions added up to an interval.

use std::collections::BTreeMap;
use std::sync::Arc;

use data_import::{FoodId, NutrientId};

use super::{Cause, DoubtKind, Doubts, Evidence, REACH, UnsurePortion};

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

impl<'a> IntervalPart<'a> {
    /// All of what was served, eaten up; what is not known of it adds nothing to a sum.
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

/// The interval of an amount of a nutrient, and whether that is all of it, over the parts it is of; `None` where not the doubts
/// of every part are known.
pub fn interval_of<'a>(
    nutrient: NutrientId,
    (value, complete): (f64, bool),
    parts: impl IntoIterator<Item = IntervalPart<'a>>,
) -> Option<Interval> {
    let parts = parts.into_iter().filter(|part| part.amount != 0.0);
    let parts: Vec<IntervalPart<'a>> = parts.collect();
    let (mut sum, mut whole) = (DoubtSum::default(), DoubtSum::default());
    for part in &parts {
        let portion = part.portion.filter(|one| one.doubts.knows(nutrient))?;
        sum.add(portion, part.amount, part.share);
        whole.add(portion, part.amount, 1.0);
    }
    sum.eaten = eaten(&parts);
    let by_cause = sum.by_cause(nutrient);
    let variance = sum.variance(&by_cause);
    let spread = relative(variance, value);
    let mut known_high = value * (REACH * spread).exp();
    if sum.eaten > 0.0 {
        // Nobody ate more than was served.
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
            // Of the whole, not of what was eaten.
            part.amount * SAID
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
    /// So many units of each; servings of one batch share theirs.
    units: Vec<(&'a Arc<Doubts>, f64)>,
    /// Variance of what each cube holds.
    cubes: f64,
    /// Variance of what was eaten.
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
        let keyed: f64 = by_cause.values().map(|one| one * one).sum();
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
