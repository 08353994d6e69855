//! The best set of foods, proven: branch and bound over sets, with a bound that prices every limit.
//!
//! For a set of foods the best shares maximise a ratio, such as iron by volume, over shares that
//! add up to 1 and keep limits `a . shares <= 0`. Whether a ratio above `line` can be reached is a
//! linear question: is `(numerator - line x denominator) . shares` above zero for any shares?
//! (Dinkelbach, W. (1967), "On nonlinear fractional programming".) With a price of at least zero on
//! each limit and any price on the sum of shares, every food that may be added has a most that it
//! can bring, whatever the others are (Lagrangian relaxation), so that sets are left out unseen
//! where the sum of what their foods bring is not above zero. Each node of the search finds the
//! prices that make its bound lowest, by a linear programme in which foods count in parts.

use super::question::{Best, SelectionProblem};
use super::simplex::{Programme, SolverStatus};

/// A value above this, relative to the size of the ratio, is above zero.
const TOLERANCE: f64 = 1e-9;
/// The number of foods that are combined at once to find a first set.
const FIRST_TRIED: usize = 9;

/// The state of a search.
pub(super) struct Search<'a> {
    pub(super) question: &'a SelectionProblem,
    /// The ratio that is to be surpassed.
    pub(super) line: f64,
    /// The size of a numerator.
    pub(super) scale: f64,
    pub(super) best: Option<Best>,
    /// Whether a set could not be solved.
    pub(super) unfinished: bool,
}

/// Prices of limits, with what is left of each food's numerator once they are subtracted.
struct LimitPrices {
    /// The price of the sum of shares.
    sum: f64,
    /// Numerator less prices, for each food and for water.
    left: Vec<f64>,
}

impl Search<'_> {
    pub(super) fn run(&mut self) {
        let question = self.question;
        if question.at_least == 0 {
            self.try_set(&[]);
        }
        if question.at_most == 0 {
            return;
        }
        let open: Vec<usize> = question.open.clone();
        let Some((prices, parts)) = self.relaxed(&[], &open, question.at_most) else {
            return;
        };
        self.first_sets(&open, &prices, &parts);
        self.node(&[], &open, question.at_most);
    }

    fn tolerance(&self) -> f64 {
        TOLERANCE * self.scale
    }

    /// The most that a food brings at these prices.
    fn bring(&self, prices: &LimitPrices, food: usize) -> f64 {
        let left = prices.left[food] - self.line * self.question.denominator[food];
        let (least, most) = self.question.shares[food];
        (least * left).max(most * left)
    }

    /// The most that the sum of shares, the chosen foods and water bring.
    fn ground(&self, prices: &LimitPrices, chosen: &[usize]) -> f64 {
        let water = self.question.water();
        let of_water = prices.left[water] - self.line * self.question.denominator[water];
        let fixed = self.question.fixed.iter().chain(chosen);
        let brought: f64 = fixed.map(|food| self.bring(prices, *food)).sum();
        prices.sum + of_water.max(0.0) + brought
    }

    /// Solves a node with foods in parts: the prices, and the part of each food; `None` where no
    /// set of the node is better than the line.
    fn relaxed(
        &mut self,
        chosen: &[usize],
        rest: &[usize],
        more: usize,
    ) -> Option<(LimitPrices, Vec<f64>)> {
        let question = self.question;
        let fixed = question.fixed.iter().chain(chosen);
        let inside: Vec<usize> = fixed.copied().collect();
        let water = question.water();
        let places: Vec<usize> = inside.iter().chain(rest).copied().chain([water]).collect();
        let bounds = |place: usize, food: usize| match question.shares.get(food) {
            Some((least, most)) if place < inside.len() => (*least, *most),
            Some((_, most)) => (0.0, *most),
            None => (0.0, 1.0),
        };
        let variables = places.iter().enumerate().map(|(place, &food)| {
            let (least, most) = bounds(place, food);
            (self.cost(food), least, most)
        });
        let mut programme = Programme::new(variables);
        programme.row(places.iter().map(|_| 1.0), 1.0, 0.0);
        let scales = self.limit_rows(&mut programme, &places)?;
        let part = |place: usize, food: usize| {
            let counted = (inside.len()..places.len() - 1).contains(&place);
            if counted {
                1.0 / question.shares[food].1
            } else {
                0.0
            }
        };
        let parts = || {
            places
                .iter()
                .enumerate()
                .map(|(place, &food)| (part(place, food), food))
        };
        programme.row(parts().map(|(part, _)| part), more as f64, more as f64);
        if let Some(most) = self.new_left(chosen) {
            let new = parts().map(|(part, food)| {
                let is_new = question.new.get(food).copied().unwrap_or(false);
                if is_new { part } else { 0.0 }
            });
            programme.row(new, most as f64, most as f64);
        }
        let solution = programme.solve(self.tolerance());
        match solution.outcome {
            SolverStatus::Infeasible | SolverStatus::Below => None,
            SolverStatus::Optimal | SolverStatus::Unfinished => {
                let prices = self.prices(&solution.prices, &scales);
                let rest = inside.len()..places.len() - 1;
                let parts = rest.map(|place| solution.values[place] * part(place, places[place]));
                Some((prices, parts.collect()))
            }
        }
    }

    fn cost(&self, food: usize) -> f64 {
        self.question.numerator[food] - self.line * self.question.denominator[food]
    }

    /// Adds the limits, each divided by its largest entry; `None` where one cannot be kept.
    fn limit_rows(&self, programme: &mut Programme, places: &[usize]) -> Option<Vec<f64>> {
        let mut scales = Vec::with_capacity(self.question.limits.len());
        for limit in &self.question.limits {
            let entries = || places.iter().map(|food| limit[*food]);
            let largest = entries().fold(0.0f64, |most, entry| most.max(entry.abs()));
            let scale = if largest > 0.0 { largest } else { 1.0 };
            let most_slack = entries()
                .map(|entry| -entry / scale)
                .fold(f64::NEG_INFINITY, f64::max);
            if most_slack < 0.0 {
                return None;
            }
            programme.row(entries().map(|entry| entry / scale), 0.0, most_slack);
            scales.push(scale);
        }
        Some(scales)
    }

    fn prices(&self, solved: &[f64], scales: &[f64]) -> LimitPrices {
        let sum = solved.first().copied().unwrap_or(0.0);
        let mut left: Vec<f64> = self
            .question
            .numerator
            .iter()
            .map(|left| left - sum)
            .collect();
        let limits = self.question.limits.iter().zip(scales);
        for ((limit, scale), price) in limits.zip(solved.iter().skip(1)) {
            let price = price.max(0.0) / scale;
            if price > 0.0 {
                for (left, entry) in left.iter_mut().zip(limit) {
                    *left -= price * entry;
                }
            }
        }
        LimitPrices { sum, left }
    }

    fn new_left(&self, chosen: &[usize]) -> Option<usize> {
        let most = self.question.most_new?;
        let new = chosen.iter().filter(|food| self.question.new[**food]);
        Some(most.saturating_sub(new.count()))
    }

    fn may_join(&self, chosen: &[usize], food: usize) -> bool {
        let clashes = |other: &usize| self.question.clash[food][*other];
        let too_new = self.question.new[food] && self.new_left(chosen) == Some(0);
        !too_new && !chosen.iter().any(clashes)
    }

    /// Tries sets of what looks best, so that the search starts from a good line.
    fn first_sets(&mut self, open: &[usize], prices: &LimitPrices, parts: &[f64]) {
        let mut by_part: Vec<usize> = (0..open.len()).collect();
        by_part.sort_by(|a, b| parts[*b].total_cmp(&parts[*a]));
        let mut tried: Vec<usize> = by_part
            .iter()
            .take(FIRST_TRIED)
            .map(|at| open[*at])
            .collect();
        let mut by_bring: Vec<usize> = open.to_vec();
        by_bring.sort_by(|a, b| self.bring(prices, *b).total_cmp(&self.bring(prices, *a)));
        by_bring.truncate(FIRST_TRIED);
        by_bring.retain(|food| !tried.contains(food));
        tried.extend(by_bring);
        let mut chosen = Vec::new();
        self.all_of(&tried, &mut chosen);
        self.exchanged(open);
    }

    fn all_of(&mut self, foods: &[usize], chosen: &mut Vec<usize>) {
        for (at, &food) in foods.iter().enumerate() {
            if !self.may_join(chosen, food) {
                continue;
            }
            chosen.push(food);
            if chosen.len() >= self.question.at_least {
                self.try_set(chosen);
            }
            if chosen.len() < self.question.at_most.min(3) {
                self.all_of(&foods[at + 1..], chosen);
            }
            chosen.pop();
        }
    }

    /// Exchanges one food of the best set for another as long as that improves it.
    fn exchanged(&mut self, open: &[usize]) {
        while let Some(best) = self.best.clone() {
            for at in 0..best.added.len() {
                let mut others = best.added.clone();
                others.remove(at);
                for &food in open {
                    if !best.added.contains(&food) && self.may_join(&others, food) {
                        let mut set = others.clone();
                        set.push(food);
                        self.try_set(&set);
                    }
                }
            }
            if self.best.as_ref() == Some(&best) {
                return;
            }
        }
    }

    /// Examines all sets of the chosen foods and up to `more` of the rest.
    fn node(&mut self, chosen: &[usize], rest: &[usize], more: usize) {
        if rest.is_empty() {
            return;
        }
        let Some((prices, _)) = self.relaxed(chosen, rest, more) else {
            return;
        };
        let tolerance = self.tolerance();
        let mut brings: Vec<(f64, usize)> = rest
            .iter()
            .map(|food| (self.bring(&prices, *food), *food))
            .collect();
        brings.sort_unstable_by(|a, b| b.0.total_cmp(&a.0));
        let others = |from: usize, many: usize| -> f64 {
            let next = brings.iter().skip(from).take(many);
            next.map(|(bring, _)| bring.max(0.0)).sum()
        };
        for (at, &(_, food)) in brings.iter().enumerate() {
            // The line may have risen since, so that less is left above it.
            let ground = self.ground(&prices, chosen) + self.bring(&prices, food);
            if ground + others(at + 1, more - 1) <= tolerance || !self.may_join(chosen, food) {
                continue;
            }
            let mut set = chosen.to_vec();
            set.push(food);
            if set.len() >= self.question.at_least && ground > tolerance {
                self.try_set(&set);
            }
            if more > 1 {
                let beyond = others(at + 1, more - 2);
                let rest: Vec<usize> = brings[at + 1..]
                    .iter()
                    .filter(|(bring, other)| {
                        ground + bring + beyond > tolerance && self.may_join(&set, *other)
                    })
                    .map(|(_, other)| *other)
                    .collect();
                self.node(&set, &rest, more - 1);
            }
        }
    }

    /// Solves one set, and keeps it where it is better than the line.
    fn try_set(&mut self, added: &[usize]) {
        let question = self.question;
        if question
            .company
            .as_ref()
            .is_some_and(|company| !company.suits(added))
        {
            return;
        }
        let foods: Vec<usize> = question.fixed.iter().chain(added).copied().collect();
        let mut found = None;
        while let Some(shares) = self.shares(&foods) {
            let sum = |values: &[f64]| {
                shares
                    .iter()
                    .map(|(food, share)| values[*food] * share)
                    .sum::<f64>()
            };
            let ratio = sum(&question.numerator) / sum(&question.denominator);
            if ratio <= self.line {
                break;
            }
            self.line = ratio;
            found = Some((ratio, shares));
        }
        if let Some((ratio, shares)) = found {
            let mut added = added.to_vec();
            added.sort_unstable();
            self.best = Some(Best {
                ratio,
                added,
                shares,
            });
        }
    }

    /// Shares of these foods that surpass the line by most; `None` where none do.
    fn shares(&mut self, foods: &[usize]) -> Option<Vec<(usize, f64)>> {
        let water = self.question.water();
        let places: Vec<usize> = foods.iter().copied().chain([water]).collect();
        let variables = places.iter().map(|&food| {
            let (least, most) = self
                .question
                .shares
                .get(food)
                .copied()
                .unwrap_or((0.0, 1.0));
            (self.cost(food), least, most)
        });
        let mut programme = Programme::new(variables);
        programme.row(places.iter().map(|_| 1.0), 1.0, 0.0);
        self.limit_rows(&mut programme, &places)?;
        let solution = programme.solve(self.tolerance());
        self.unfinished |= solution.outcome == SolverStatus::Unfinished;
        (solution.outcome == SolverStatus::Optimal).then(|| {
            places
                .into_iter()
                .zip(solution.values)
                .map(|(food, share)| (food, share.clamp(0.0, 1.0)))
                .collect()
        })
    }
}
