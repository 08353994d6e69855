//! Milk as it is typed.

use data_import::Error;

use super::helping;
use crate::notebook::{MilkAmount, MilkPart};
use crate::nutrition::BreastMilk;
use crate::quantity::Mass;
use crate::spoken::{Taken, TakenAmount};

/// Feeds at the breast, each side counted: the average of a feed was weighed before and after every breast, so that both sides at
/// one feeding are two (Kent and others, Pediatrics 117:e387, 2006).
pub fn feeds_of_sides(one_side: u32, both_sides: u32) -> u32 {
    one_side.saturating_add(both_sides.saturating_mul(2))
}

/// A milk of a day from what was typed.
///
/// Errors: a table does not read.
pub fn milk_part(taken: &Taken) -> Result<MilkPart, Error> {
    let mass = match taken.portion {
        TakenAmount::Mass(_, mass) => mass,
        // What was drunk at the breast is estimated when the day is summed up, from its feeds.
        TakenAmount::Feeds(_) | TakenAmount::Wanted => Mass::ZERO,
    };
    Ok(MilkPart {
        helping: helping(taken.food.clone(), mass)?,
        breast: taken.food.id.as_str() == BreastMilk::FOOD,
        amount: match taken.portion {
            TakenAmount::Mass(_, mass) => MilkAmount::Mass(mass),
            TakenAmount::Feeds(feeds) => MilkAmount::Feeds(feeds),
            TakenAmount::Wanted => MilkAmount::Wanted,
        },
    })
}
