//! A request as a mixed-integer program.
//!
//! Whole variables: cubes `c` of a candidate for a child on a day; whether it is `used` then; trays to be cooked; the day of a
//! food's `first` taste. The rest measures what is short of the aims, in points, and is least where the aims are met.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::Draft;
use super::model::Model;
use super::scale::{PARTS, Scale, days_left, groups_open};
use super::score::free_meals;
use super::term::Term;
use crate::planning::frame::{Cell, Frame};

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

type Terms = Vec<(usize, f64)>;

/// Parts as points.
fn points(parts: i64) -> f64 {
    parts as f64 / PARTS as f64
}

fn weighed(term: Term, parts: i64) -> f64 {
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

    /// One day of a child: cubes, energy, groups, flavours.
    fn day(&mut self, frame: &Frame<'_>, scale: &Scale, owner: (usize, usize), cell: &Cell) {
        let (child, day) = owner;
        let goal = &scale.energy[child][day];
        if cell.meals.is_empty() {
            self.model.offset += weighed(Term::Energy, goal.open);
            self.model.offset +=
                weighed(Term::Groups, groups_open(frame, child, day).1 * scale.group);
            return;
        }
        let (mut all, mut kinds, mut energy) = (Terms::new(), Terms::new(), Terms::new());
        for index in cell.open.iter().copied() {
            let (cubes, used) = self.serve(frame, scale, owner, index);
            all.push((cubes, 1.0));
            kinds.push((used, 1.0));
            energy.push((cubes, points(goal.per_cube[index])));
        }
        let meals = f64::from(cell.count());
        self.totals.insert(owner, self.model.rows.len());
        self.model.row(
            all.clone(),
            meals * f64::from(cell.least),
            meals * f64::from(cell.most),
        );
        self.model.at_most(kinds, f64::from(cell.kinds()));
        let short = self.variable(
            Some(owner),
            format!("energy {child} {day}"),
            f64::INFINITY,
            false,
            weighed(Term::Energy, PARTS),
        );
        energy.push((short, 1.0));
        self.model.at_least(energy, points(goal.open));
        self.groups(frame, scale, owner, cell);
        self.flavours(frame, scale, owner, cell, &all);
    }

    fn serve(
        &mut self,
        frame: &Frame<'_>,
        scale: &Scale,
        owner: (usize, usize),
        index: usize,
    ) -> (usize, usize) {
        let ((child, day), candidate) = (owner, &frame.candidates[index]);
        let cell = &frame.cells[child][day];
        let most = f64::from((cell.count() * cell.most).min(candidate.most_cubes()));
        let mut cost = weighed(
            Term::Oldest,
            days_left(frame, index, day) * scale.waiting_day,
        );
        if candidate.expires {
            cost -= weighed(Term::Waste, scale.spoiled);
        }
        if !candidate.cooked() {
            cost += weighed(Term::Cost, scale.cost[index]);
        }
        let cubes = self.variable(
            Some(owner),
            format!("cubes {child} {day} {index}"),
            most,
            true,
            cost,
        );
        let used = self.variable(
            Some(owner),
            format!("used {child} {day} {index}"),
            1.0,
            true,
            0.0,
        );
        self.model.at_most(vec![(cubes, 1.0), (used, -most)], 0.0);
        self.model.at_most(vec![(cubes, -1.0), (used, 1.0)], 0.0);
        self.cubes.insert((child, day, index), cubes);
        self.used.insert((child, day, index), used);
        (cubes, used)
    }

    fn groups(&mut self, frame: &Frame<'_>, scale: &Scale, owner: (usize, usize), cell: &Cell) {
        let (child, day) = owner;
        let (open, wanted) = groups_open(frame, child, day);
        if wanted == 0 {
            return;
        }
        let mut had = Terms::new();
        for group in open {
            let with: Vec<_> = cell
                .open
                .iter()
                .filter(|one| frame.candidates[**one].groups.contains(&group))
                .collect();
            let served = self.variable(
                Some(owner),
                format!("group {child} {day} {}", group.word()),
                1.0,
                false,
                0.0,
            );
            let mut terms: Terms = with
                .into_iter()
                .map(|one| (self.used[&(child, day, *one)], -1.0))
                .collect();
            terms.push((served, 1.0));
            self.model.at_most(terms, 0.0);
            had.push((served, 1.0));
        }
        let short = self.variable(
            Some(owner),
            format!("groups {child} {day}"),
            f64::INFINITY,
            false,
            weighed(Term::Groups, scale.group),
        );
        had.push((short, 1.0));
        self.model.at_least(had, wanted as f64);
    }

    fn flavours(
        &mut self,
        frame: &Frame<'_>,
        scale: &Scale,
        owner: (usize, usize),
        cell: &Cell,
        all: &Terms,
    ) {
        let (child, day) = owner;
        let flavours: BTreeSet<&str> = cell
            .open
            .iter()
            .map(|one| frame.candidates[*one].flavour)
            .collect();
        for flavour in flavours {
            let free = free_meals(cell, flavour);
            if free >= cell.count() {
                continue;
            }
            let of = |one: &usize| frame.candidates[*one].flavour == flavour;
            let (mut same, mut others) = (Terms::new(), Terms::new());
            for (index, (cubes, _)) in cell.open.iter().zip(all) {
                if of(index) {
                    same.push((*cubes, 1.0))
                } else {
                    others.push((*cubes, 1.0))
                }
            }
            let cost = weighed(Term::Repeats, scale.repeat);
            let beyond = self.variable(
                Some(owner),
                format!("repeats {child} {day} {flavour}"),
                f64::INFINITY,
                false,
                cost,
            );
            same.push((beyond, -1.0));
            others.push((beyond, 1.0));
            self.model.at_most(same, f64::from(free * cell.most));
            self.model
                .at_least(others, f64::from((cell.count() - free) * cell.least));
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

    /// First tastes: each is served on its day, none within the waiting days of another, and nothing before its foods are known.
    fn new_foods(&mut self, frame: &Frame<'_>, child: usize) {
        for (number, food) in frame.new_foods[child].iter().enumerate() {
            if food.settled.is_some() {
                continue;
            }
            for day in food.days.iter().copied() {
                let used: Terms = food
                    .within
                    .iter()
                    .filter_map(|one| Some((*self.used.get(&(child, day, *one))?, -1.0)))
                    .collect();
                if !used.is_empty() {
                    let first = self.variable(
                        Some((child, day)),
                        format!("first {child} {number} {day}"),
                        1.0,
                        true,
                        0.0,
                    );
                    self.first.insert((child, number, day), first);
                    let mut terms = used;
                    terms.push((first, 1.0));
                    self.model.at_most(terms, 0.0);
                }
            }
            let once: Terms = self.firsts(child, |one, _| one == number);
            self.model.at_most(once, 1.0);
            for (day, index) in frame.cells[child]
                .iter()
                .enumerate()
                .flat_map(|(day, _)| food.within.iter().map(move |one| (day, *one)))
            {
                if let Some(used) = self.used.get(&(child, day, index)).copied() {
                    let known = self.firsts(child, |one, first| one == number && first <= day);
                    let mut terms: Terms =
                        known.into_iter().map(|(first, _)| (first, -1.0)).collect();
                    terms.push((used, 1.0));
                    self.model.at_most(terms, 0.0);
                }
            }
        }
        for start in 0..frame.cells[child].len() {
            let within = self.firsts(child, |_, day| {
                (start..start + frame.waiting()).contains(&day)
            });
            if within.len() > 1 {
                self.model.at_most(within, 1.0);
            }
        }
    }

    fn firsts(&self, child: usize, which: impl Fn(usize, usize) -> bool) -> Terms {
        let all = self
            .first
            .iter()
            .filter(|((one, food, day), _)| *one == child && which(*food, *day));
        all.map(|(_, variable)| (*variable, 1.0)).collect()
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

    /// The same rules with cubes that are not there, by child and day, and the fewest of them wanted; nothing else counts. A cube
    /// that is not there counts a little more the earlier it is needed, so that they are asked for as late as can be.
    pub(super) fn with_missing_cubes(
        mut self,
        frame: &Frame<'_>,
    ) -> (Model, BTreeMap<(usize, usize), usize>) {
        for variable in &mut self.model.variables {
            variable.cost = 0.0;
        }
        let mut missing = BTreeMap::new();
        let days = frame.request.days.len() as f64;
        for (child, day, cell) in frame.slots().filter(|(_, _, cell)| !cell.meals.is_empty()) {
            let cost = 1.0 + (days - day as f64) / (100.0 * days);
            let variable = self.variable(
                None,
                format!("missing {child} {day}"),
                f64::from(cell.count() * cell.least),
                true,
                cost,
            );
            missing.insert((child, day), variable);
        }
        for (slot, row) in &self.totals {
            self.model.rows[*row].terms.push((missing[slot], 1.0));
        }
        (self.model, missing)
    }
}
