//! Reading milk as it is typed.

use data_import::Error;

use super::helping;
use crate::notebook::{MilkAmount, MilkPart};
use crate::nutrition::BreastMilk;
use crate::quantity::Mass;
use crate::spoken::{Taken, TakenAmount};

/// Whether a text says that a child drinks no milk.
pub fn is_no_milk(typed: &str) -> bool {
    let words = typed.to_lowercase();
    let words: Vec<&str> = words.split_whitespace().collect();
    matches!(
        words.as_slice(),
        ["none" | "no" | "nothing" | "nil"]
            | ["no" | "zero" | "without", "milk" | "milks"]
            | ["no", "milk", "today" | "now" | "yet"]
            | ["no", "milk", "at", "all"]
    )
}

/// The milk of a day from what was typed.
///
/// Errors: a table cannot be read.
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
