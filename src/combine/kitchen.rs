//! Amounts for a kitchen scale for a number of cubes, trimmed and raw, in steps of 5 g, and of 1 g
//! below 20 g.

use super::answers::PartOf;
use super::question::Best;
use super::selection::Selection;

/// Steps of a kitchen scale, and the mass from which the large one is used (judgement).
const SMALL_STEP: f64 = 1.0;
const LARGE_STEP: f64 = 5.0;
const LARGE_FROM: f64 = 20.0;
/// The largest breach of a limit that is rounding of the sum, not of the amounts.
const KEPT: f64 = 1e-6;

/// The amounts to weigh out.
#[derive(Debug, Clone, PartialEq)]
pub struct KitchenAmounts {
    /// The cubes that were asked for.
    pub cubes: u32,
    /// Raw and trimmed grams of each food; those of a base are all its foods together.
    pub edible: Vec<(PartOf, f64)>,
    /// Plain water, in millilitres.
    pub water_ml: f64,
    /// The cubes that these amounts make.
    pub makes_cubes: f64,
    /// The nutrient of the request in a serving of these amounts, in its unit.
    pub goal: f64,
    /// Iron in a serving of these amounts, mg.
    pub iron: f64,
    /// Whether these amounts keep all limits, as the exact ones do.
    pub keeps_limits: bool,
}

/// The rounded amounts that keep the limits best, and of those the ones that bring most.
pub(super) fn weighed_out(selection: &Selection<'_>, best: &Best, cubes: u32) -> KitchenAmounts {
    let serving = selection.ask.serving_size();
    let volume = best.mean(|at| selection.column(at).volume);
    let puree = f64::from(cubes) * serving.well_ml * serving.fill / volume;
    let raw: Vec<(usize, f64)> = best
        .shares
        .iter()
        .map(|(at, share)| (*at, share * puree * selection.column(*at).edible))
        .collect();
    let limits: Vec<Vec<f64>> = selection
        .limits(None, true)
        .into_iter()
        .map(|(_, row)| row)
        .collect();
    let mut found: Option<Rounded> = None;
    for choice in 0..1u32 << raw.len() {
        let amounts = raw.iter().enumerate().map(|(nth, (at, grams))| {
            let (up, water) = (choice >> nth & 1 == 1, *at == selection.water_place());
            (*at, rounded(*grams, up, water))
        });
        let Some(tried) = Rounded::of(selection, &limits, amounts.collect()) else {
            continue;
        };
        if found.as_ref().is_none_or(|best| tried.is_better(best)) {
            found = Some(tried);
        }
    }
    let found = found.unwrap_or_else(|| Rounded::exact(selection, raw, puree));
    found.amounts(selection, cubes)
}

fn rounded(grams: f64, up: bool, water: bool) -> f64 {
    let step = if grams >= LARGE_FROM || water {
        LARGE_STEP
    } else {
        SMALL_STEP
    };
    let steps = grams / step;
    // A mass that is exactly on a step stays there.
    let steps = if up {
        (steps - 1e-9).ceil()
    } else {
        (steps + 1e-9).floor()
    };
    steps.max(0.0) * step
}

/// Rounded amounts and what they make.
struct Rounded {
    raw: Vec<(usize, f64)>,
    /// Mass of the purée.
    puree: f64,
    breach: f64,
    goal: f64,
    iron: f64,
    volume: f64,
}

impl Rounded {
    fn of(selection: &Selection<'_>, limits: &[Vec<f64>], raw: Vec<(usize, f64)>) -> Option<Self> {
        let cooked = raw
            .iter()
            .map(|(at, grams)| grams / selection.column(*at).edible);
        let puree: f64 = cooked.clone().sum();
        if puree <= 0.0 {
            return None;
        }
        let shares: Vec<(usize, f64)> = raw
            .iter()
            .zip(cooked)
            .map(|((at, _), grams)| (*at, grams / puree))
            .collect();
        let sum = |value: &dyn Fn(usize) -> f64| -> f64 {
            shares.iter().map(|(at, share)| share * value(*at)).sum()
        };
        let over = |row: &Vec<f64>| sum(&|at| row[at]);
        let beyond = shares.iter().filter_map(|(at, share)| {
            let (least, most) = selection.shares(*at)?;
            Some((share - most).max(least - share))
        });
        let breach = limits.iter().map(over).chain(beyond).fold(0.0, f64::max);
        Some(Self {
            breach: if breach < KEPT { 0.0 } else { breach },
            goal: sum(&|at| selection.column(at).goal),
            iron: sum(&|at| selection.column(at).iron),
            volume: sum(&|at| selection.column(at).volume),
            raw,
            puree,
        })
    }

    fn exact(selection: &Selection<'_>, raw: Vec<(usize, f64)>, puree: f64) -> Self {
        Self::of(selection, &[], raw.clone()).unwrap_or(Self {
            raw,
            puree,
            breach: 0.0,
            goal: 0.0,
            iron: 0.0,
            volume: 1.0,
        })
    }

    fn is_better(&self, other: &Self) -> bool {
        self.breach < other.breach
            || (self.breach <= other.breach && self.goal / self.volume > other.goal / other.volume)
    }

    fn amounts(self, selection: &Selection<'_>, cubes: u32) -> KitchenAmounts {
        let serving = selection.ask.serving_size();
        let water = selection.water_place();
        let grams = serving.millilitres() / self.volume;
        KitchenAmounts {
            cubes,
            water_ml: self
                .raw
                .iter()
                .filter(|(at, _)| *at == water)
                .map(|(_, grams)| grams)
                .sum(),
            edible: self
                .raw
                .iter()
                .filter(|(at, _)| *at != water)
                .map(|(at, grams)| (selection.part_of(*at), *grams))
                .collect(),
            makes_cubes: self.puree * self.volume / (serving.well_ml * serving.fill),
            goal: self.goal * grams,
            iron: self.iron * grams,
            keeps_limits: self.breach <= 0.0,
        }
    }
}
