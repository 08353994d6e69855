//! A question for the search, as plain numbers.

use super::search::Search;

/// The question: all that the search knows of foods.
#[derive(Debug, Clone, Default)]
pub struct SelectionProblem {
    /// The foods by their place: those that are always in it, those that may be added, and water
    /// last.
    pub foods: usize,
    /// Least and most share of each food, without water.
    pub shares: Vec<(f64, f64)>,
    /// Limits `a . shares <= 0`, an entry for each food and for water.
    pub limits: Vec<Vec<f64>>,
    /// The numerator of the ratio to maximise.
    pub numerator: Vec<f64>,
    /// The denominator of the ratio: above zero for all shares.
    pub denominator: Vec<f64>,
    /// Foods that are always in it.
    pub fixed: Vec<usize>,
    /// Foods that may be added.
    pub open: Vec<usize>,
    /// Which foods may not be together, food by food.
    pub clash: Vec<Vec<bool>>,
    /// Which foods are new to the child.
    pub new: Vec<bool>,
    /// How many new foods may be added.
    pub most_new: Option<usize>,
    /// How many foods are added at least.
    pub at_least: usize,
    /// How many foods are added at most.
    pub at_most: usize,
    /// Which foods are cooked with which, where each needs company: see [`Company`].
    pub company: Option<Company>,
}

/// The rule that each added food must have met another one of the purée.
#[derive(Debug, Clone, Default)]
pub struct Company {
    /// Which foods have met, food by food.
    pub met: Vec<Vec<bool>>,
    /// Which foods have met one that is always in the purée.
    pub met_fixed: Vec<bool>,
    /// Whether any food is always in the purée.
    pub has_fixed: bool,
}

impl Company {
    /// Whether every added food has company.
    pub(super) fn suits(&self, added: &[usize]) -> bool {
        if added.len() < 2 && !self.has_fixed {
            return true;
        }
        let has_company = |food: &usize| {
            self.met_fixed[*food]
                || added
                    .iter()
                    .any(|other| other != food && self.met[*food][*other])
        };
        added.iter().all(has_company)
    }
}

/// The best set.
#[derive(Debug, Clone, PartialEq)]
pub struct Best {
    /// The ratio.
    pub ratio: f64,
    /// The foods that are added, by their place.
    pub added: Vec<usize>,
    /// The share of each food of the purée by its place, with that of water.
    pub shares: Vec<(usize, f64)>,
}

impl Best {
    /// The mean of a figure of its foods by their shares; `figure` gives that of a place.
    pub(super) fn mean(&self, figure: impl Fn(usize) -> f64) -> f64 {
        let shares = self.shares.iter();
        shares.map(|(place, share)| share * figure(*place)).sum()
    }
}

impl SelectionProblem {
    /// The best set of foods with its shares; `None` where no set keeps the limits.
    ///
    /// Errors: a set could not be worked out, so that nothing is proven.
    pub fn best(&self) -> Result<Option<Best>, Unproven> {
        let mut search = Search {
            question: self,
            line: self.lowest_ratio(),
            scale: self.scale(),
            best: None,
            unfinished: false,
        };
        search.run();
        if search.unfinished {
            return Err(Unproven);
        }
        Ok(search.best)
    }

    /// A ratio below that of any shares, since every ratio is a mean of those of the foods.
    fn lowest_ratio(&self) -> f64 {
        let ratios = self.numerator.iter().zip(&self.denominator);
        let ratios = ratios.filter(|(_, below)| **below > 0.0);
        let least = ratios
            .map(|(above, below)| above / below)
            .fold(0.0, f64::min);
        least - 1e-6 * (1.0 + least.abs())
    }

    fn scale(&self) -> f64 {
        let largest = |values: &[f64]| {
            values
                .iter()
                .fold(0.0f64, |most, value| most.max(value.abs()))
        };
        largest(&self.numerator).max(1e-12)
    }

    pub(super) fn water(&self) -> usize {
        self.foods
    }
}

/// The error that a set took too many steps, because of rounding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Unproven;
