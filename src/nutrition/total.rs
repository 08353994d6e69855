//! Sums in which a part may be unknown.

use data_import::{FoodId, NutrientId};
use serde::Serialize;

use crate::uncertainty::{Interval, IntervalPart, interval_of};

/// A sum of one nutrient, in its unit, in which a part may be unknown. What is missing is never
/// zero: where anything is missing, the sum is a lower bound.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Total {
    /// Sum of the known parts; `None` where no part is known.
    #[serde(rename = "amount")]
    pub known: Option<f64>,
    /// The foods without a value, in order, each once.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<FoodId>,
}

impl Total {
    /// The total of one food: its amount, or the food as missing.
    pub fn of(food: &FoodId, amount: Option<f64>) -> Self {
        Self {
            known: amount,
            missing: amount.map_or_else(|| vec![food.clone()], |_| Vec::new()),
        }
    }

    /// Whether every part is known.
    pub fn complete(&self) -> bool {
        self.missing.is_empty()
    }

    /// Adds another part.
    pub fn add(&mut self, part: &Self) {
        if let Some(known) = part.known {
            *self.known.get_or_insert(0.0) += known;
        }
        for food in &part.missing {
            if let Err(place) = self.missing.binary_search(food) {
                self.missing.insert(place, food.clone());
            }
        }
    }

    /// The interval of the total of a nutrient, over the parts that were added up; `None` where it
    /// is not known.
    pub fn interval<'a>(
        &self,
        nutrient: NutrientId,
        parts: impl IntoIterator<Item = IntervalPart<'a>>,
    ) -> Option<Interval> {
        interval_of(nutrient, (self.known?, self.complete()), parts)
    }

    /// The total times a factor. Nothing is missing from a factor of zero.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        if factor == 0.0 {
            return Self {
                known: Some(0.0),
                missing: Vec::new(),
            };
        }
        Self {
            known: self.known.map(|known| known * factor),
            missing: self.missing.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_missing_makes_a_lower_bound_and_is_named_once() {
        let (squash, lentil) = ("11485".parse().unwrap(), "16144".parse().unwrap());
        let mut total = Total::of(&squash, Some(0.5));
        assert!(total.complete());
        for food in [&squash, &lentil, &lentil] {
            total.add(&Total::of(food, None));
        }
        total.add(&Total::of(&lentil, Some(2.0)));
        assert_eq!(total.known, Some(2.5));
        assert_eq!(total.missing, [squash.clone(), lentil]);
        assert_eq!(total.times(2.0).known, Some(5.0));
        assert!(total.times(0.0).complete());
        assert_eq!(Total::of(&squash, None).times(3.0).known, None);
    }
}
