//! Reading milk as it is typed.

use data_import::Error;

use super::helping;
use crate::notebook::{MilkAmount, MilkPart};
use crate::nutrition::BreastMilk;
use crate::problem::Problem;
use crate::quantity::Mass;
use crate::spoken::{Taken, TakenAmount, parts};

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

/// The most milk of a day that is taken for meant, in grams, and the most feeds: more is a slip of the number (judgement).
const MOST_GRAMS: f64 = 2500.0;
const MOST_FEEDS: u32 = 40;

/// The milks that were typed, each apart. Breast is a milk of its own here, and not the cut of a bird that was named before the comma.
///
/// Errors: none is named.
pub fn typed_milks(words: &[String]) -> Result<Vec<String>, Problem> {
    let mut milks: Vec<String> = Vec::new();
    for part in parts(words) {
        for (at, piece) in part.split(", ").enumerate() {
            let begins = at == 0 || piece.to_lowercase().starts_with("breast");
            match milks.last_mut() {
                Some(last) if !begins => *last = format!("{last}, {piece}"),
                _ => milks.push(piece.to_owned()),
            }
        }
    }
    if milks.is_empty() {
        let what = "no milk is named";
        let hint = "write each milk of a day, such as “breast 5 feeds” or “600 ml 03803”, or none";
        return Err(Problem::new(what).hint(hint));
    }
    Ok(milks)
}

/// That so much milk can be meant as that of one day.
///
/// Errors: it is more than a child drinks.
pub(super) fn check_milk(milks: &[MilkPart]) -> Result<(), Problem> {
    let (mut grams, mut feeds) = (0.0, 0);
    for milk in milks {
        match milk.amount {
            MilkAmount::Mass(mass) => grams += mass.grams(),
            MilkAmount::Feeds(more) => feeds += more,
            MilkAmount::Wanted => {}
        }
    }
    let what = if grams > MOST_GRAMS {
        format!("{grams:.0} g of milk is more than a child drinks in a day")
    } else if feeds > MOST_FEEDS {
        format!("{feeds} feeds are more than those of a day")
    } else {
        return Ok(());
    };
    Err(Problem::new(what)
        .hint("look at the number and the unit: what one day comes to is written"))
}

/// A milk of a day from what was typed.
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
