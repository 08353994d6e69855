//! Foods that a child had away from the record.

use data_import::Food;
use jiff::civil::Date;

use crate::notebook::{BookError, Child, KnownFood, Store};
use crate::safety::AllergenTable;

/// Records that a child knows foods since a day; gives the numbers of the entries. `seen` is the reaction afterwards, `words` where
/// or how it was; either may be empty.
pub fn know_foods(
    store: &mut Store,
    (child, day): (&Child, Date),
    foods: &[Food],
    (seen, words): (&str, &str),
) -> Result<Vec<i64>, BookError> {
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
    Ok(entries)
}
