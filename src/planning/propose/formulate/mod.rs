//! A request as a mixed-integer program.
//!
//! Whole variables: cubes `c` of a candidate for a child on a day; whether it is `used` then; trays to be cooked; the day of a
//! food's `first` taste. The rest measures what is short of the aims, in points, and is least where the aims are met.

mod day;
mod first_tastes;
mod missing;

use std::collections::BTreeMap;

use super::draft::Draft;
use super::model::Model;
use super::scale::{PARTS, Scale};
use super::term::Term;
use crate::planning::frame::Frame;

/// The model and where its whole variables are.
#[derive(Debug)]
pub(super) struct Formulation {
    pub(super) model: Model,
    /// Cubes, by child, day and candidate.
    cubes: BTreeMap<(usize, usize, usize), usize>,
    used: BTreeMap<(usize, usize, usize), usize>,
    /// By candidate that may be cooked.
    trays: BTreeMap<usize, usize>,
    /// By child, new food and day.
    first: BTreeMap<(usize, usize, usize), usize>,
    /// The row of a day's cubes, by child and day.
    totals: BTreeMap<(usize, usize), usize>,
    /// Of each variable: child and day, where it belongs to one.
    owners: Vec<Option<(usize, usize)>>,
}

/// Variables, each with its factor.
type Terms = Vec<(usize, f64)>;

/// Parts as points.
pub(super) fn points(parts: i64) -> f64 {
    parts as f64 / PARTS as f64
}

pub(super) fn weighed(term: Term, parts: i64) -> f64 {
    term.weight() as f64 * points(parts)
}

impl Formulation {
    pub(super) fn new(frame: &Frame<'_>, scale: &Scale) -> Self {
        let mut this = Self {
            model: Model::default(),
            cubes: BTreeMap::new(),
            used: BTreeMap::new(),
            trays: BTreeMap::new(),
            first: BTreeMap::new(),
            totals: BTreeMap::new(),
            owners: Vec::new(),
        };
        this.cook(frame, scale);
        for (child, day, cell) in frame.slots() {
            this.day(frame, scale, (child, day), cell);
        }
        this.stock(frame, scale);
        for child in 0..frame.cells.len() {
            this.new_foods(frame, child);
        }
        this.nutrients(scale);
        this.offers(frame, scale);
        this
    }

    fn variable(
        &mut self,
        owner: Option<(usize, usize)>,
        name: String,
        high: f64,
        whole: bool,
        cost: f64,
    ) -> usize {
        self.owners.push(owner);
        self.model.variable(name, (0.0, high), whole, cost)
    }

    /// Trays on cook days.
    fn cook(&mut self, frame: &Frame<'_>, scale: &Scale) {
        let mut by_day: BTreeMap<_, Terms> = BTreeMap::new();
        for (index, candidate) in frame.candidates.iter().enumerate() {
            let crate::planning::Origin::Cooking { day, .. } = candidate.origin else {
                continue;
            };
            let spoiled = if candidate.expires {
                weighed(Term::Waste, scale.spoiled) * f64::from(candidate.cubes)
            } else {
                0.0
            };
            let cost = weighed(Term::Cost, scale.cost[index]) + spoiled;
            let trays = self.variable(
                None,
                format!("trays {index}"),
                f64::from(candidate.most_trays),
                true,
                cost,
            );
            self.trays.insert(index, trays);
            by_day.entry(day).or_default().push((trays, 1.0));
        }
        if let Some(most) = frame.request.trays_a_day {
            for terms in by_day.into_values() {
                self.model.at_most(terms, f64::from(most));
            }
        }
    }

    /// No more cubes than there are.
    fn stock(&mut self, frame: &Frame<'_>, scale: &Scale) {
        let mut served: BTreeMap<usize, Terms> = BTreeMap::new();
        for ((_, _, index), cubes) in &self.cubes {
            served.entry(*index).or_default().push((*cubes, 1.0));
        }
        for (index, candidate) in frame.candidates.iter().enumerate() {
            let left = f64::from(candidate.cubes);
            let mut terms = served.remove(&index).unwrap_or_default();
            if candidate.expires && !candidate.cooked() {
                self.model.offset +=
                    f64::from(candidate.cubes) * weighed(Term::Waste, scale.spoiled);
            }
            if let Some(trays) = self.trays.get(&index) {
                terms.push((*trays, -left));
                self.model.at_most(terms, 0.0);
            } else if !terms.is_empty() {
                self.model.at_most(terms, left);
            }
        }
    }

    fn nutrients(&mut self, scale: &Scale) {
        for (term, child, goal) in &scale.nutrients {
            let short = self.variable(
                None,
                format!("{} {child}", term.name()),
                f64::INFINITY,
                false,
                weighed(*term, PARTS),
            );
            let served = self.cubes.iter().filter(|((one, _, _), _)| one == child);
            let mut terms: Terms = served
                .map(|((_, _, index), cubes)| (*cubes, points(goal.per_cube[*index])))
                .collect();
            terms.push((short, 1.0));
            self.model.at_least(terms, points(goal.open));
        }
    }

    /// Refused foods that are offered again.
    fn offers(&mut self, frame: &Frame<'_>, scale: &Scale) {
        for (number, (child, food)) in scale.again.iter().enumerate() {
            let cost = weighed(Term::OfferAgain, scale.not_offered);
            self.model.offset += cost;
            let offered = self.variable(None, format!("offered {number}"), 1.0, false, -cost);
            let with = self.used.iter().filter(|((one, _, index), _)| {
                one == child && frame.candidates[*index].holds(food)
            });
            let mut terms: Terms = with.map(|(_, used)| (*used, -1.0)).collect();
            terms.push((offered, 1.0));
            self.model.at_most(terms, 0.0);
        }
    }

    /// The whole variables of a draft, first tastes among them, by index.
    pub(super) fn values(&self, frame: &Frame<'_>, draft: &Draft) -> BTreeMap<usize, f64> {
        let mut values = BTreeMap::new();
        for (key, cubes) in &self.cubes {
            let served = draft.day(key.0, key.1)[key.2];
            values.insert(*cubes, f64::from(served));
            values.insert(self.used[key], f64::from(u8::from(served > 0)));
        }
        for (index, trays) in &self.trays {
            values.insert(*trays, f64::from(draft.trays[*index]));
        }
        for ((child, number, day), first) in &self.first {
            let food = &frame.new_foods[*child][*number];
            let served = |day: usize| {
                food.within
                    .iter()
                    .any(|one| draft.day(*child, day)[*one] > 0)
            };
            let is_first = served(*day) && !(0..*day).any(served);
            values.insert(*first, f64::from(u8::from(is_first)));
        }
        values
    }

    /// The draft that values stand for.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "counts of cubes and trays, checked afterwards"
    )]
    pub(super) fn draft(&self, frame: &Frame<'_>, value: impl Fn(usize) -> f64) -> Draft {
        let count = |variable: usize| value(variable).round().max(0.0) as u32;
        let mut draft = Draft::empty(frame);
        for ((child, day, index), cubes) in &self.cubes {
            draft.day_mut(*child, *day)[*index] = count(*cubes);
        }
        for (index, trays) in &self.trays {
            draft.trays[*index] = count(*trays);
        }
        draft
    }

    /// Whether a variable stands for a first taste.
    pub(super) fn is_first(&self, variable: usize) -> bool {
        self.first.values().any(|first| *first == variable)
    }

    /// Child and day of a variable, where it belongs to one.
    pub(super) fn owner(&self, variable: usize) -> Option<(usize, usize)> {
        self.owners[variable]
    }
}
