//! The cost of a batch, compared with that of ready-made jars.

use super::Money;
use crate::next_step::{NextStep, Remark};
use crate::quantity::Mass;

/// The mass to which a price by 100 g refers.
const HUNDRED_GRAMS: Mass = Mass::from_grams(100.0);

/// The cost of a batch.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BatchCost {
    /// Sum of the known prices; `None` where none is known.
    pub known: Option<Money>,
    /// Ids of the foods without a price; where there are any, the cost is a lower bound.
    pub unpriced: Vec<String>,
}

impl BatchCost {
    /// The cost of the cubes that were frozen, by their share of the purée. A rest that fills no
    /// cube is lost and counts as theirs; a larger rest was eaten or given away, and does not.
    #[must_use]
    pub fn of_frozen(self, frozen: Mass, cube: Mass, puree: Mass) -> Self {
        if puree - frozen < cube {
            return self;
        }
        Self {
            known: self.known.and_then(|known| known.share(frozen, puree)),
            ..self
        }
    }
}

/// A bought jar or pouch.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadyMade {
    /// The name of the product.
    pub name: String,
    /// The recipes (file names without `.toml`) that it is compared with; empty for all.
    pub recipes: Vec<String>,
    /// Net mass.
    pub mass: Mass,
    /// Price of one jar or pouch.
    pub price: Money,
}

/// A batch compared with the same mass of ready-made food.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Mass of the purée that the cost is for.
    pub mass: Mass,
    /// The cost of the batch.
    pub cost: BatchCost,
    /// The ready-made food, where the book has any for the recipe.
    pub ready_made: Option<ReadyMade>,
}

impl Comparison {
    /// The cost of a part of the purée.
    pub fn cost_of(&self, part: Mass) -> Option<Money> {
        self.cost.known?.share(part, self.mass)
    }

    /// The cost of 100 g.
    pub fn per_100_g(&self) -> Option<Money> {
        self.cost_of(HUNDRED_GRAMS)
    }

    /// The cost of an ounce.
    pub fn per_ounce(&self) -> Option<Money> {
        self.cost_of(Mass::OUNCE)
    }

    /// The cost of a mass of the ready-made food.
    pub fn ready_made_of(&self, part: Mass) -> Option<Money> {
        let jar = self.ready_made.as_ref()?;
        jar.price.share(part, jar.mass)
    }

    /// The cost of 100 g of the ready-made food.
    pub fn ready_made_per_100_g(&self) -> Option<Money> {
        self.ready_made_of(HUNDRED_GRAMS)
    }

    /// The saving of the batch; negative where the jar is cheaper. An upper bound where a price is
    /// missing.
    pub fn saving(&self) -> Option<Money> {
        Some(self.ready_made_of(self.mass)? - self.cost.known?)
    }

    /// Whether every price is known.
    pub fn complete(&self) -> bool {
        self.cost.unpriced.is_empty()
    }

    /// Both batches together, compared with the same jar. Where only one has a price, the sum is a
    /// lower bound.
    #[must_use]
    pub fn and(self, other: &Self) -> Self {
        let known = match (self.cost.known, other.cost.known) {
            (Some(known), Some(other)) => Some(known + other),
            (one, other) => one.or(other),
        };
        let mut unpriced = self.cost.unpriced;
        unpriced.extend(other.cost.unpriced.iter().cloned());
        unpriced.sort();
        unpriced.dedup();
        Self {
            mass: self.mass + other.mass,
            cost: BatchCost { known, unpriced },
            ready_made: self.ready_made,
        }
    }

    /// Replaces the ids of the foods without a price by the names that `name` knows, so that they
    /// can be shown but no longer looked up.
    #[must_use]
    pub fn calling(mut self, name: impl Fn(&str) -> Option<String>) -> Self {
        for food in &mut self.cost.unpriced {
            if let Some(name) = name(food) {
                *food = name;
            }
        }
        self
    }

    /// The comparison in words, in a currency, for a number of cubes.
    pub fn remark(&self, currency: &str, cubes: u32) -> Remark {
        let Some(cost) = self.cost.known else {
            return Remark::with("Cost: not known", NextStep::RecordPrices);
        };
        let bound = if self.complete() { "" } else { "at least " };
        let each = cost.per(cubes);
        let each = each.map_or(String::new(), |each| format!(", {} a cube", each.shown()));
        let mut words = vec![format!("Cost: {bound}{} {currency}{each}", cost.shown())];
        if let Some((jar, same)) = self.ready_made.as_ref().zip(self.ready_made_of(self.mass)) {
            let (word, difference) = if same < cost {
                ("more", cost - same)
            } else {
                ("less", same - cost)
            };
            words.push(format!(
                "; the same as {} is {}: {} {word} at home",
                jar.name,
                same.shown(),
                difference.shown()
            ));
        }
        if !self.complete() {
            words.push(format!(" (no price for {})", self.cost.unpriced.join("; ")));
        }
        words.concat().into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A mass in grams at a price, compared with a jar of 113.4 g at 1.29.
    fn beside_a_jar(grams: f64, price: &str) -> Comparison {
        Comparison {
            mass: Mass::from_grams(grams),
            cost: BatchCost {
                known: price.parse().ok(),
                unpriced: Vec::new(),
            },
            ready_made: Some(ReadyMade {
                name: "jar".into(),
                recipes: Vec::new(),
                mass: Mass::from_grams(113.4),
                price: "1.29".parse().unwrap(),
            }),
        }
    }

    /// By hand: 900 g for 3.60 and 600 g for 2.40 are 1500 g for 6.00, 0.40 per 100 g; 1500 g of
    /// the jar are 17.0635, so 11.0635 are saved.
    #[test]
    fn batches_are_added_up() {
        let both = beside_a_jar(900.0, "3.60").and(&beside_a_jar(600.0, "2.40"));
        assert_eq!(both.per_100_g().unwrap().shown(), "0.40");
        assert_eq!(both.saving().unwrap().shown(), "11.06");
        assert!(both.complete());
        let mut unpriced = beside_a_jar(600.0, "");
        unpriced.cost.unpriced = vec!["11485".into()];
        let bounded = both.and(&unpriced);
        assert_eq!(bounded.cost.known.unwrap().shown(), "6.00");
        assert!(!bounded.complete(), "what has no price is never free");
    }

    /// By hand: 900 g for 3.60 is 0.40 per 100 g; a jar of 113.4 g at 1.29 is 1.1376 per 100 g,
    /// so 900 g of it are 10.2381, and 6.6381 are saved.
    #[test]
    fn a_batch_beside_the_jar() {
        let comparison = beside_a_jar(900.0, "3.60");
        assert_eq!(comparison.per_100_g().unwrap().shown(), "0.40");
        assert_eq!(comparison.per_ounce().unwrap().shown(), "0.11");
        assert_eq!(comparison.ready_made_per_100_g().unwrap().shown(), "1.14");
        assert_eq!(comparison.saving().unwrap().shown(), "6.64");
        assert_eq!(
            comparison.remark("USD", 30).words,
            "Cost: 3.60 USD, 0.12 a cube; the same as jar is 10.24: 6.64 less at home"
        );
    }

    #[test]
    fn without_a_price_nothing_is_made_up() {
        let comparison = Comparison {
            mass: Mass::from_grams(900.0),
            cost: BatchCost {
                known: None,
                unpriced: vec!["11485".into()],
            },
            ready_made: None,
        };
        assert_eq!((comparison.per_100_g(), comparison.saving()), (None, None));
        let remark = comparison.remark("USD", 30);
        assert_eq!(remark.next, Some(NextStep::RecordPrices));
    }
}
