//! Names for planned foods that the record has no name for yet.

use data_import::FoodId;

use crate::notebook::LogEntry;
use crate::spoken::Lookup;

/// Puts the names of the food data where entries have the ids of planned foods; the foods are
/// opened only if there are any.
///
/// An id that the food data do not have stays.
///
/// Errors: the food data cannot be read.
pub fn name_planned_foods<'a, L: Lookup>(
    entries: impl IntoIterator<Item = &'a mut LogEntry>,
    foods: &L,
) -> Result<(), L::Error> {
    let unnamed = entries.into_iter().flat_map(LogEntry::unnamed_foods);
    let (ids, names): (Vec<FoodId>, Vec<&mut String>) = unnamed.unzip();
    if ids.is_empty() {
        return Ok(());
    }
    for (name, food) in names.into_iter().zip(foods.foods()?.foods(&ids)?) {
        if let Some(food) = food {
            *name = food.name;
        }
    }
    Ok(())
}
