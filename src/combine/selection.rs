//! All foods that may be in a purée, with its limits, as one question for the search.

use std::collections::BTreeSet;

use rust_decimal::prelude::ToPrimitive as _;

use super::ask::CombineRequest;
use super::base::{BaseFood, RecipeBase};
use super::column::Column;
use super::cookery::Cookery;
use super::question::{Company, SelectionProblem};
use super::stock::{Candidate, LeftOut};
use super::tables::{FoodNote, MixingRule, NITRATE, Role, Tables};
use crate::nutrition::vitamin_c::VITAMIN_C_MG_FOR_IRON_MG;

/// The upper level of preformed vitamin A for a child under four years, µg a day: the rows UL of
/// `VITA_RAE` in `intakes.csv`.
pub(super) const RETINOL_UPPER_UG: f64 = 600.0;
/// The iron in mg that keeps a ratio with iron defined where there is none.
const HARDLY_ANY_IRON: f64 = 1e-9;

/// A limit of a purée.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitKind {
    /// The amount of the goal that a serving has to bring.
    Target,
    /// Energy by mass.
    EnergyDensity,
    /// The cost of a serving.
    Money,
    /// The sodium of a serving.
    Sodium,
    /// The retinol of a serving.
    Retinol,
    /// Vitamin C beside iron.
    VitaminC,
    /// Most dry matter.
    Thickest,
    /// Least dry matter.
    Thinnest,
    /// The share of several foods together: the place of its rule in the tables.
    Share(usize),
}

/// All foods that may be in the purée.
#[derive(Debug)]
pub struct Selection<'a> {
    /// The request.
    pub ask: &'a CombineRequest,
    /// The foods: those that have to be in it, then those that may be added.
    pub items: Vec<&'a Candidate>,
    /// The purée that is added to; its place is behind the items.
    pub base: Option<&'a RecipeBase>,
    /// Water; its place is last.
    pub water: &'a Column,
    /// The foods that may be added, by their place.
    pub open: Vec<usize>,
    /// Foods that were left out.
    pub left_out: LeftOut,
    /// Most sodium of a serving, mg.
    pub sodium_mg: Option<f64>,
    pub(super) tables: &'static Tables,
    pub(super) cookery: Option<&'a Cookery>,
}

/// Limits on a question beyond those of the request.
#[derive(Debug, Clone)]
pub struct Narrowed {
    /// The foods that may be added.
    pub open: Vec<usize>,
    /// Foods of earlier answers, each set with the number of them that may be in the purée.
    pub earlier: Vec<(Vec<usize>, usize)>,
    /// How many foods may be new; `None` where it does not matter.
    pub most_new: Option<usize>,
    /// How many foods are added at least and at most.
    pub added: (usize, usize),
}

impl Selection<'_> {
    /// The place of water.
    pub fn water_place(&self) -> usize {
        self.items.len() + usize::from(self.base.is_some())
    }

    /// The nutrients, energy and volume of a gram at a place.
    pub fn column(&self, place: usize) -> &Column {
        match (self.items.get(place), self.base) {
            (Some(item), _) => &item.column,
            (None, Some(base)) if place == self.items.len() => &base.column,
            _ => self.water,
        }
    }

    /// The price of a gram at a place; 0 without a price, since money does not count then.
    pub fn cost(&self, place: usize) -> f64 {
        match (self.items.get(place), self.base) {
            (Some(item), _) => item.cost.unwrap_or(0.0),
            (None, Some(base)) if place == self.items.len() => base.cost.unwrap_or(0.0),
            _ => 0.0,
        }
    }

    /// The least and most share of the food at a place; water has none.
    pub fn shares(&self, place: usize) -> Option<(f64, f64)> {
        let item = self.items.get(place).map(|item| {
            let role = &self.tables.roles[item.part.role];
            (role.min_share, role.max_share)
        });
        let of_base = || {
            self.base
                .filter(|_| place == self.items.len())
                .map(|base| (base.min_share, 1.0))
        };
        item.or_else(of_base)
    }

    /// The places of the foods that are always in the purée, and of the base.
    pub fn fixed(&self) -> Vec<usize> {
        let base = self.base.map(|_| self.items.len());
        (0..self.ask.must.len()).chain(base).collect()
    }

    /// The number of new foods among those that have to be in the purée.
    pub fn new_among_must(&self) -> usize {
        self.items
            .iter()
            .take(self.ask.must.len())
            .filter(|item| item.new)
            .count()
    }

    /// The role of an item.
    pub fn role(&self, item: &Candidate) -> &Role {
        &self.tables.roles[item.part.role]
    }

    /// The role of a food of the base; `None` for one that would not be proposed.
    pub fn base_role(&self, food: &BaseFood) -> Option<&Role> {
        food.part
            .as_ref()
            .and_then(|part| self.tables.roles.get(part.role))
    }

    pub(super) fn fixed_roles(&self) -> Vec<usize> {
        let must = self
            .items
            .iter()
            .take(self.ask.must.len())
            .map(|item| item.part.role);
        let base = self.base.iter().flat_map(|base| &base.foods);
        must.chain(base.filter_map(|food| Some(food.part.as_ref()?.role)))
            .collect()
    }

    /// The share of the food at a place that counts for a rule.
    fn counted(&self, place: usize, rule: &MixingRule) -> f64 {
        if let Some(item) = self.items.get(place) {
            return f64::from(u8::from(rule.counts(self.role(item), item.rich_in_nitrate)));
        }
        let Some(base) = self.base.filter(|_| place == self.items.len()) else {
            return 0.0;
        };
        let counts = |food: &&BaseFood| match &food.part {
            Some(part) => {
                let note = self.tables.note(&food.food.id);
                let nitrate = note.is_some_and(FoodNote::is_rich_in_nitrate);
                rule.counts(&self.tables.roles[part.role], nitrate)
            }
            // A food outside the tables counts towards a least share: the household cooks it
            // anyway.
            None => rule.min.is_some(),
        };
        base.foods
            .iter()
            .filter(counts)
            .map(|food| food.share)
            .sum()
    }

    /// The limits as rows `a . shares <= 0`, without the one that is dropped.
    pub fn limits(
        &self,
        let_go: Option<LimitKind>,
        with_target: bool,
    ) -> Vec<(LimitKind, Vec<f64>)> {
        let limits = &self.ask.limits;
        let volume = self.ask.serving_size().millilitres();
        let mut rows: Vec<(LimitKind, Vec<f64>)> = Vec::new();
        let mut add = |kind: LimitKind, row: &dyn Fn(usize) -> f64| {
            if let_go != Some(kind) {
                rows.push((kind, (0..=self.water_place()).map(row).collect()));
            }
        };
        let column = |place: usize| self.column(place);
        if let Some(least) = limits.energy_kcal_per_g {
            add(LimitKind::EnergyDensity, &|at| least - column(at).energy);
        }
        add(LimitKind::Thinnest, &|at| {
            limits.dry_matter_min - column(at).dry_matter
        });
        add(LimitKind::Thickest, &|at| {
            column(at).dry_matter - limits.dry_matter_max
        });
        if let Some(most) = self.sodium_mg {
            add(LimitKind::Sodium, &|at| {
                column(at).sodium - most / volume * column(at).volume
            });
        }
        if let Some(most) = limits.retinol_share {
            let most = most * RETINOL_UPPER_UG;
            add(LimitKind::Retinol, &|at| {
                column(at).retinol - most / volume * column(at).volume
            });
        }
        if let Some(most) = limits.cost.and_then(|cost| cost.amount().to_f64()) {
            add(LimitKind::Money, &|at| {
                self.cost(at) - most / volume * column(at).volume
            });
        }
        if let Some(ratio) = limits.vitamin_c_to_iron {
            let ratio = ratio * VITAMIN_C_MG_FOR_IRON_MG;
            // A missing value counts as nothing towards a least share, which is then surely kept.
            add(LimitKind::VitaminC, &|at| {
                ratio * column(at).iron - column(at).vitamin_c.unwrap_or(0.0)
            });
        }
        if let Some(target) = self.ask.at_least.filter(|_| with_target) {
            add(LimitKind::Target, &|at| {
                target / volume * column(at).volume - column(at).goal
            });
        }
        for (place, rule) in self.tables.rules.iter().enumerate() {
            if !rule.is_of_shares() {
                continue;
            }
            let kind = LimitKind::Share(place);
            let of_nitrate = limits.nitrate_share.filter(|_| rule.id == NITRATE);
            if let Some(most) = of_nitrate.or(rule.max) {
                add(kind, &|at| self.counted(at, rule) - most);
            }
            if let Some(least) = rule.min {
                add(kind, &|at| least - self.counted(at, rule));
            }
        }
        rows
    }

    /// The numerator and the denominator of the ratio to maximise: the goal for a target, else the
    /// distance inside a limit.
    fn ratio(&self, aim: LimitKind) -> (Vec<f64>, Vec<f64>) {
        let volume = self.ask.serving_size().millilitres();
        let of = |value: &dyn Fn(usize) -> f64| (0..=self.water_place()).map(value).collect();
        let column = |place: usize| self.column(place);
        let above = match aim {
            LimitKind::Target | LimitKind::Share(_) => of(&|at| column(at).goal * volume),
            LimitKind::Money => of(&|at| -self.cost(at) * volume),
            LimitKind::EnergyDensity => of(&|at| column(at).energy),
            LimitKind::Thinnest => of(&|at| column(at).dry_matter),
            LimitKind::Thickest => of(&|at| -column(at).dry_matter),
            LimitKind::Sodium => of(&|at| -column(at).sodium * volume),
            LimitKind::Retinol => of(&|at| -column(at).retinol * volume / RETINOL_UPPER_UG),
            LimitKind::VitaminC => {
                of(&|at| column(at).vitamin_c.unwrap_or(0.0) / VITAMIN_C_MG_FOR_IRON_MG)
            }
        };
        let below = match aim {
            LimitKind::EnergyDensity | LimitKind::Thinnest | LimitKind::Thickest => of(&|_| 1.0),
            LimitKind::VitaminC => of(&|at| column(at).iron + HARDLY_ANY_IRON),
            _ => of(&|at| column(at).volume),
        };
        (above, below)
    }

    /// The limits of the request alone.
    pub fn as_asked(&self) -> Narrowed {
        Narrowed {
            open: self.open.clone(),
            earlier: Vec::new(),
            most_new: self.ask.most_new(),
            added: (self.ask.add_at_least, self.ask.add_at_most),
        }
    }

    /// The question for the search; `None` where more foods have to be new than may be.
    pub fn question(
        &self,
        aim: LimitKind,
        (let_go, with_target): (Option<LimitKind>, bool),
        narrowed: &Narrowed,
    ) -> Option<SelectionProblem> {
        let most_new = match narrowed.most_new {
            Some(most) => Some(most.checked_sub(self.new_among_must())?),
            None => None,
        };
        let (numerator, denominator) = self.ratio(aim);
        let count = self.water_place();
        let mut clash = self.clashes();
        let mut barred = BTreeSet::new();
        for (foods, most) in &narrowed.earlier {
            match most {
                0 => barred.extend(foods.iter().copied()),
                _ => {
                    for (one, other) in foods
                        .iter()
                        .flat_map(|one| foods.iter().map(move |other| (*one, *other)))
                    {
                        clash[one][other] |= one != other;
                    }
                }
            }
        }
        let open = narrowed
            .open
            .iter()
            .copied()
            .filter(|at| !barred.contains(at));
        Some(SelectionProblem {
            foods: count,
            shares: (0..count).filter_map(|place| self.shares(place)).collect(),
            limits: self
                .limits(let_go, with_target)
                .into_iter()
                .map(|(_, row)| row)
                .collect(),
            numerator,
            denominator,
            fixed: self.fixed(),
            open: open.collect(),
            clash,
            new: (0..count)
                .map(|at| self.items.get(at).is_some_and(|item| item.new))
                .collect(),
            most_new,
            at_least: narrowed.added.0,
            at_most: narrowed.added.1,
            company: self.cookery.map(|cookery| self.company(cookery)),
        })
    }

    fn clashes(&self) -> Vec<Vec<bool>> {
        let roles = 0..self.tables.roles.len();
        let of_roles: Vec<Vec<bool>> = roles
            .clone()
            .map(|one| {
                roles
                    .clone()
                    .map(|other| self.tables.clash(one, other))
                    .collect()
            })
            .collect();
        let row = |one: &&Candidate| {
            self.items
                .iter()
                .map(|other| of_roles[one.part.role][other.part.role])
                .collect()
        };
        self.items.iter().map(row).collect()
    }

    fn company(&self, cookery: &Cookery) -> Company {
        let friends = cookery.friends();
        let words: Vec<Option<&str>> = self
            .items
            .iter()
            .map(|item| cookery.telling(&item.food.id))
            .collect();
        let met = |one: Option<&str>, other: Option<&str>| {
            one.zip(other)
                .is_some_and(|(one, other)| one == other || friends.contains(&(one, other)))
        };
        let of_base = self.base.iter().flat_map(|base| &base.foods);
        let fixed: Vec<Option<&str>> = words
            .iter()
            .take(self.ask.must.len())
            .copied()
            .chain(of_base.map(|food| cookery.telling(&food.food.id)))
            .collect();
        Company {
            met: words
                .iter()
                .map(|one| words.iter().map(|other| met(*one, *other)).collect())
                .collect(),
            met_fixed: words
                .iter()
                .map(|one| fixed.iter().any(|other| met(*one, *other)))
                .collect(),
            has_fixed: !fixed.is_empty(),
        }
    }
}
