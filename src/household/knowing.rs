//! Foods that a child had outside the record.

use data_import::Food;
use jiff::civil::Date;

use super::objections::BookJudge;
use super::reaction_response;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, KnownFood, Store};
use crate::safety::{AllergenTable, Objection};

/// Records that a child knows foods since a day; returns the numbers of the entries, and what is to
/// be watched for. `seen` is the reaction afterwards, `words` where or how it was; either may be
/// empty.
pub fn know_foods(
    (book, store): (&Book, &mut Store),
    pantry: &Pantry,
    (child, day): (&Child, Date),
    foods: &[Food],
    (seen, words): (&str, &str),
) -> Result<(Vec<i64>, Vec<Objection>), BookError> {
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let had = judge.had_before(child, day, foods)?;
    let table = AllergenTable::builtin()?;
    let mut entries = Vec::new();
    for food in foods {
        let allergens: Vec<String> = table.of(food).map(String::from).collect();
        entries.push(store.know(&KnownFood {
            day,
            child: &child.name,
            food: food.id.as_str(),
            name: &food.name,
            allergens: &allergens,
            reaction: seen,
            words,
        })?);
    }
    let mut objections = reaction_response((book, store), pantry, child, (day, seen))?;
    objections.extend(had);
    Ok((entries, objections))
}
