//! The doubts of one unit: of a cube of a batch, of a gram of a food.

use std::collections::BTreeMap;

use data_import::{FoodId, NutrientId};

use super::{Cause, Evidence, PotId};

/// The doubt that one cause puts on one nutrient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DoubtAmount {
    /// The place of the cause among the causes.
    pub cause: usize,
    /// One standard deviation in the nutrient's unit, signed by the direction in which it errs.
    pub amount: f64,
}

/// The doubts of one unit, by nutrient.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Doubts {
    causes: Vec<Cause>,
    amounts: BTreeMap<NutrientId, Vec<DoubtAmount>>,
    /// The evidence for the values, by nutrient and food.
    evidence: BTreeMap<(NutrientId, FoodId), Evidence>,
    /// The part of each nutrient from values that are less than three standard errors from zero.
    faint: BTreeMap<NutrientId, f64>,
}

impl Doubts {
    /// Notes a doubt, unless it is zero.
    pub fn note(&mut self, nutrient: NutrientId, cause: Cause, amount: f64) {
        let at = self.place(cause);
        let amounts = self.amounts.entry(nutrient).or_default();
        if amount == 0.0 {
            return;
        }
        match amounts.iter_mut().find(|amount| amount.cause == at) {
            Some(known) => known.amount += amount,
            None => amounts.push(DoubtAmount { cause: at, amount }),
        }
    }

    /// Notes the evidence for the value of a food.
    pub fn note_value(&mut self, nutrient: NutrientId, food: &FoodId, evidence: Evidence) {
        self.evidence.insert((nutrient, food.clone()), evidence);
    }

    /// Notes the part of a nutrient from a value that is hardly above zero. The nutrient counts as
    /// examined.
    pub fn note_faint(&mut self, nutrient: NutrientId, amount: f64) {
        self.amounts.entry(nutrient).or_default();
        *self.faint.entry(nutrient).or_default() += amount;
    }

    fn place(&mut self, cause: Cause) -> usize {
        let found = self.causes.iter().position(|known| *known == cause);
        found.unwrap_or_else(|| {
            self.causes.push(cause);
            self.causes.len() - 1
        })
    }

    /// The nutrients that were examined.
    pub fn nutrients(&self) -> impl Iterator<Item = NutrientId> {
        self.amounts.keys().copied()
    }

    /// Whether a nutrient was examined.
    pub fn knows(&self, nutrient: NutrientId) -> bool {
        self.amounts.contains_key(&nutrient)
    }

    /// The doubts on a nutrient, each with its cause.
    pub fn of(&self, nutrient: NutrientId) -> impl Iterator<Item = (&Cause, f64)> {
        let amounts = self.amounts.get(&nutrient).into_iter().flatten();
        amounts.filter_map(|amount| Some((self.causes.get(amount.cause)?, amount.amount)))
    }

    /// The evidence for the value of a food.
    pub fn evidence(&self, nutrient: NutrientId, food: &FoodId) -> Option<Evidence> {
        self.evidence.get(&(nutrient, food.clone())).copied()
    }

    /// The part of a nutrient from values less than three standard errors from zero.
    pub fn faint(&self, nutrient: NutrientId) -> f64 {
        self.faint.get(&nutrient).copied().unwrap_or(0.0)
    }

    /// The causes, in the order in which they were noted.
    pub fn causes(&self) -> &[Cause] {
        &self.causes
    }

    /// The doubts with their causes in a pot on record.
    #[must_use]
    pub fn in_pot(mut self, pot: &PotId) -> Self {
        for cause in &mut self.causes {
            *cause = cause.in_pot(pot);
        }
        self
    }

    /// The doubts times a number of units.
    #[must_use]
    pub fn times(mut self, factor: f64) -> Self {
        for amount in self.amounts.values_mut().flatten() {
            amount.amount *= factor;
        }
        for faint in self.faint.values_mut() {
            *faint *= factor;
        }
        self
    }
}
