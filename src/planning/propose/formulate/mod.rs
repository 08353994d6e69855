//! A request as a mixed-integer program.
//!
//! Integer variables: whether a dish is `served` to a child on a day, and served `twice`, the
//! `cubes` taken from a lot for it, `trays` to be cooked, and the day of a food's `first` taste.
//! The meals of a day are alike here, and are put into their order afterwards. The other variables
//! measure how far each aim is met; all of them are worth points, and the empty plan is always a
//! solution.

mod day;
mod foods;
mod iron;
mod limits;
mod week;

use std::collections::BTreeMap;

use jiff::ToSpan as _;

use super::model::Model;
use crate::planning::indexed_request::IndexedRequest;
use crate::planning::{CubeOrigin, Rule};

/// The model, with the places of its integer variables.
#[derive(Debug)]
pub(super) struct Formulation {
    pub(super) model: Model,
    /// Whether a dish is served, by child, day and dish.
    pub(super) served: BTreeMap<(usize, usize, usize), usize>,
    /// Whether a dish is served a second time on a day, where it may be.
    pub(super) twice: BTreeMap<(usize, usize, usize), usize>,
    /// Cubes, by child, day and lot.
    pub(super) cubes: BTreeMap<(usize, usize, usize), usize>,
    /// Trays, by the lot that may be cooked.
    pub(super) trays: BTreeMap<usize, usize>,
}

/// Variables, each with its factor.
type Terms = Vec<(usize, f64)>;

/// The days after the plan's last day within which cubes that spoil are still worth eating first
/// (judgement).
const SOON_DAYS: i64 = 7;

impl Formulation {
    ///
    /// Errors: the solver fails.
    pub(super) fn new(index: &IndexedRequest<'_>) -> Result<Self, microlp::Error> {
        let mut this = Self {
            model: Model::default(),
            served: BTreeMap::new(),
            twice: BTreeMap::new(),
            cubes: BTreeMap::new(),
            trays: BTreeMap::new(),
        };
        this.cook(index);
        for (child, day, of) in index.child_days() {
            this.day(index, (child, day), of);
        }
        this.stock(index);
        for child in 0..index.days.len() {
            this.new_foods(index, child);
            this.allergens(index, child);
            this.offers(index, child);
            this.variety(index, child);
            this.rows_of_meals(index, child);
            this.limits(index, child);
        }
        for child in 0..index.days.len() {
            this.iron(index, child)?;
        }
        Ok(this)
    }

    /// Trays on cook days.
    fn cook(&mut self, index: &IndexedRequest<'_>) {
        let mut by_day: BTreeMap<_, Terms> = BTreeMap::new();
        for (at, lot) in index.lots.iter().enumerate() {
            let (CubeOrigin::Cooking { day, .. }, Some(most)) = (lot.origin, lot.trays) else {
                continue;
            };
            let worth = (Rule::FewTrays, Rule::FewTrays.points());
            let trays = self.model.whole(most, worth);
            self.trays.insert(at, trays);
            by_day.entry(day).or_default().push((trays, 1.0));
        }
        if let Some(most) = index.request.trays_a_day {
            for terms in by_day.into_values() {
                self.model.at_most(terms, f64::from(most));
            }
        }
    }

    /// No more cubes than the lots have, and those that spoil soon first.
    fn stock(&mut self, index: &IndexedRequest<'_>) {
        let mut taken: BTreeMap<usize, Terms> = BTreeMap::new();
        for ((_, _, lot), cubes) in &self.cubes {
            taken.entry(*lot).or_default().push((*cubes, 1.0));
        }
        for (lot, terms) in taken {
            let of = &index.lots[lot];
            if let Some(worth) = worth_in_time(index, lot) {
                let used = self
                    .model
                    .part(f64::from(of.cubes), (Rule::UseFirst, worth));
                self.model.no_more_than(used, &terms, 0.0);
            }
            let cubes = f64::from(of.cubes);
            match self.trays.get(&lot) {
                Some(trays) => {
                    let mut terms = terms;
                    terms.push((*trays, -cubes));
                    self.model.at_most(terms, 0.0);
                }
                None => self.model.at_most(terms, cubes),
            }
        }
    }

    /// The variables of whether dishes that fit are served to a child, on days that fit.
    fn served_where(&self, child: usize, fits: impl Fn(usize, usize) -> bool) -> Terms {
        of_child(&self.served, child)
            .filter(|((_, day, dish), _)| fits(*day, *dish))
            .map(|(_, variable)| (*variable, 1.0))
            .collect()
    }

    /// The meals of a child with dishes that fit, on days that fit: a dish that is served twice
    /// counts twice.
    fn meals_where(&self, child: usize, fits: impl Fn(usize, usize) -> bool) -> Terms {
        of_child(&self.served, child)
            .chain(of_child(&self.twice, child))
            .filter(|((_, day, dish), _)| fits(*day, *dish))
            .map(|(_, variable)| (*variable, 1.0))
            .collect()
    }
}

/// The variables of a child.
fn of_child(
    variables: &BTreeMap<(usize, usize, usize), usize>,
    child: usize,
) -> impl Iterator<Item = (&(usize, usize, usize), &usize)> {
    variables.range((child, 0, 0)..(child + 1, 0, 0))
}

/// The value of eating a cube of a lot in time: in full where it would spoil within the plan, by a
/// third where it would in the week after.
fn worth_in_time(index: &IndexedRequest<'_>, lot: usize) -> Option<f64> {
    let of = &index.lots[lot];
    let last = *index.request.days.last()?;
    if of.trays.is_some() || of.use_by > last.saturating_add(SOON_DAYS.days()) {
        return None;
    }
    let points = Rule::UseFirst.points();
    Some(if of.use_by <= last {
        points
    } else {
        points / 3.0
    })
}
