//! What is wrong with an ingredient: its food, its amount, or both.

use std::fmt::Write as _;

use super::Ingredient;
use crate::problem::{Located, Problem};
use crate::spoken::{FoodReading, Lookup, Reader, Unclear, knows_unit};

/// Everything that is not clear in an ingredient. Its food and its amount are read separately, so
/// that a problem of the food does not hide one of the amount.
pub(super) fn faults<L: Lookup>(
    reader: &mut Reader<'_, L>,
    written: &Ingredient,
    doubt: &Unclear,
) -> Result<Vec<Problem>, L::Error> {
    let (food, amount, method) = (
        &written.food.value,
        &written.amount.value,
        written.method.value,
    );
    let of_food = match reader.read(&format!("100 g {food} {method}"))? {
        FoodReading::Taken(taken) => {
            // The food is clear: the amount is not.
            let of_amount = reader.read(&format!("{amount} {} {method}", taken.food.id))?;
            let unclear = match &of_amount {
                FoodReading::Unclear(unclear) => unclear,
                FoodReading::Taken(_) => doubt,
            };
            let unclear = if unclear.is_of_the_food() || !knows_unit(amount.unit())? {
                no_amount(written)
            } else {
                unclear_at(&written.amount, unclear)
            };
            return Ok(vec![unclear]);
        }
        FoodReading::Unclear(mut unclear) => {
            unclear.typed.clone_from(food);
            unclear
        }
    };
    let mut problems = vec![unclear_at(&written.food, &of_food)];
    if !knows_unit(amount.unit())? {
        problems.push(no_amount(written));
    }
    Ok(problems)
}

/// The problem with an amount whose unit is not known.
fn no_amount(written: &Ingredient) -> Problem {
    let amount = &written.amount;
    let place = amount.place.as_ref();
    let typed = place.and_then(|place| place.source.text.get(place.span.clone()));
    let typed = typed.map(|typed| typed.trim_matches('"').to_string());
    let typed = typed.unwrap_or_else(|| amount.value.to_string());
    amount
        .problem(format!(
            "“{typed}” is not an amount of {}",
            written.food.value
        ))
        .hint("write a number and g, kg, oz, lb, or a measure of the food, such as 600 g or 2 cup")
}

/// The problem with what is not clear, at the place where it is written.
fn unclear_at<T>(written: &Located<T>, unclear: &Unclear) -> Problem {
    let mut hint = unclear.hint();
    for choice in &unclear.choices {
        let _ = write!(hint, "\nfood = \"{}\"  # {}", choice.id, choice.name);
    }
    written.problem(unclear.what()).hint(hint)
}
