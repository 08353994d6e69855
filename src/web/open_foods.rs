//! The food data that is open. A request keeps what it began with; the next one sees what was
//! imported since, by this page or by a command.

use std::sync::{Arc, Mutex, PoisonError};

use data_import::CacheState;

use crate::food::{FoodData, FoodDataError, Foods};

/// The open food data: that of the household, and that of the demo.
#[derive(Debug, Default)]
pub(super) struct OpenFoods(Mutex<Vec<Open>>);

/// Food data as it was in one state of its folder.
#[derive(Debug)]
struct Open {
    data: FoodData,
    state: Option<CacheState>,
    foods: Arc<Foods>,
}

impl OpenFoods {
    /// The foods of food data, opened again where its folder has changed since. While an import
    /// changes the folder (`importing`), what is open stays in use.
    pub(super) fn of(&self, data: FoodData, importing: bool) -> Result<Arc<Foods>, FoodDataError> {
        let mut open = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let state = data.state();
        let known = open.iter().find(|known| known.data == data);
        if let Some(known) = known.filter(|known| importing || known.state == state) {
            return Ok(Arc::clone(&known.foods));
        }
        let foods = Arc::new(data.open()?);
        open.retain(|known| known.data != data);
        open.push(Open {
            data,
            state,
            foods: Arc::clone(&foods),
        });
        Ok(foods)
    }
}
