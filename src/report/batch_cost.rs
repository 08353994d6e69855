//! The cost of a batch: what was paid for it, beside the jar, and apart from that the usual price
//! of foods without a price on record.

use serde::Serialize;

use super::plan::short_name;
use crate::buying::UsualCost;
use crate::cost::{Comparison, Money};
use crate::next_step::Remark;
use crate::portion::Cubes;
use crate::recipe::Batch;
use crate::spoken::plain_name;

/// The cost of a batch, in the book's currency.
#[derive(Debug)]
pub struct Priced<'a> {
    /// The currency.
    pub currency: &'a str,
    /// The cost beside the jar.
    pub beside: Comparison,
    /// The usual cost of what has no price, apart from it.
    pub usual: Option<UsualCost>,
}

/// Money as exact decimals, `null` where a price is not known.
#[derive(Debug, Clone, Serialize)]
pub struct CostReport {
    pub currency: String,
    pub batch: Option<Money>,
    pub cube: Option<Money>,
    pub per_100g: Option<Money>,
    pub ready_made_per_100g: Option<Money>,
    pub saving: Option<Money>,
    pub complete: bool,
    pub unpriced: Vec<String>,
    /// The usual cost of the foods without a price, in no other figure here; `null` where none is known.
    pub usual: Option<UsualCost>,
    /// The sentence of the card.
    #[serde(skip)]
    pub remark: Remark,
}

impl CostReport {
    /// `2.48 USD, 0.08 a cube; 7.95 less than the jar`; `None` where no price is known.
    ///
    /// `whole` names the foods that not even the usual price is known of.
    pub(super) fn short(&self, whole: bool) -> Option<String> {
        let usual = self.usual.as_ref().map(|usual| {
            if whole {
                usual.in_words()
            } else {
                usual.in_short()
            }
        });
        match (self.short_paid(), usual) {
            (Some(_), Some(usual)) => {
                let bound = self.batch?.shown();
                Some(format!(
                    "at least {bound} {}; the rest {usual}",
                    self.currency
                ))
            }
            (None, Some(usual)) => Some(usual),
            (paid, None) => paid,
        }
    }

    /// The cost at the prices on record.
    fn short_paid(&self) -> Option<String> {
        let bound = if self.complete { "" } else { "at least " };
        let (batch, cube) = (self.batch?.shown(), self.cube?.shown());
        let cost = format!("{bound}{batch} {}, {cube} a cube", self.currency);
        let saved = self.saving.filter(|_| self.complete);
        let jar = saved.map_or_else(String::new, |saved| {
            let shown = saved.shown();
            match shown.strip_prefix('-') {
                Some(more) => format!("; {more} more than the jar"),
                None => format!("; {shown} less than the jar"),
            }
        });
        Some(cost + &jar)
    }

    /// `0.08 USD a cube`; `None` where no price is known.
    pub(super) fn of_a_cube(&self) -> Option<String> {
        let bound = if self.complete { "" } else { "at least " };
        let cube = self.cube?.shown();
        Some(format!("{bound}{cube} {} a cube", self.currency))
    }

    pub(super) fn new(priced: &Priced<'_>, cubes: &Cubes, batch: &Batch) -> Self {
        let beside = &priced.beside;
        Self {
            currency: priced.currency.to_string(),
            batch: beside.cost.known,
            cube: beside.cost_of(cubes.each),
            per_100g: beside.per_100_g(),
            ready_made_per_100g: beside.ready_made_per_100_g(),
            saving: beside.saving(),
            complete: beside.complete(),
            unpriced: beside.cost.unpriced.clone(),
            remark: with_usual(
                cost_remark(beside, batch, (priced.currency, cubes.whole())),
                priced.usual.as_ref(),
            ),
            usual: priced.usual.clone(),
        }
    }
}

/// The cost of a batch in words, for a number of cubes: the foods without a price are named.
pub fn cost_remark(beside: &Comparison, batch: &Batch, (currency, cubes): (&str, u32)) -> Remark {
    let name = |id: &str| {
        let food = batch.foods().find(|food| food.id.as_str() == id)?;
        let plain = plain_name(&food.id).map(String::from);
        Some(plain.unwrap_or_else(|| short_name(&food.name)))
    };
    beside.clone().calling(name).remark(currency, cubes)
}

/// The remark on the cost, with the usual cost of what has no price apart from it.
fn with_usual(remark: Remark, usual: Option<&UsualCost>) -> Remark {
    let Some(usual) = usual else {
        return remark;
    };
    let words = format!(
        "{}; what has no price usually costs {}",
        remark.words,
        usual.in_words()
    );
    Remark { words, ..remark }
}
