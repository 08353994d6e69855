//! The tables of cooking, each figure kept once it was looked up.

use std::cell::RefCell;
use std::collections::HashMap;
use std::hash::Hash;

use data_import::{Error, Food, FoodId, reference};

use super::solids::solids_kept;
use super::yields::{CookingFigures, YieldRow};
use super::{CanRow, FoodClass, Method, Retention, State, Yield};

type OfClass<T> = RefCell<HashMap<(FoodClass, Method), T>>;

/// The tables of cooking. A figure is looked up in the text of its table when it is first needed,
/// and then kept.
#[derive(Debug, Default)]
pub struct CookingTables {
    own: Option<OfFoods>,
    yields: OfClass<Option<Yield>>,
    solids: OfClass<f64>,
    cooking: OfClass<Retention>,
    reheating: RefCell<HashMap<FoodClass, Retention>>,
    states: RefCell<HashMap<FoodId, State>>,
}

/// The tables of single foods.
#[derive(Debug)]
struct OfFoods {
    yields: HashMap<String, Vec<YieldRow>>,
    cans: HashMap<FoodId, CanRow>,
}

impl CookingTables {
    /// Reads the tables of single foods at once, for a caller that asks about many foods.
    ///
    /// Errors: a table cannot be read.
    pub fn for_many() -> Result<Self, Error> {
        let mut yields: HashMap<String, Vec<YieldRow>> = HashMap::new();
        for row in reference::rows::<YieldRow>("yields.csv", reference::YIELDS)? {
            yields.entry(row.food.clone()).or_default().push(row);
        }
        let own = OfFoods {
            yields,
            cans: CanRow::all()?,
        };
        Ok(Self {
            own: Some(own),
            ..Self::default()
        })
    }

    /// The drained row of a food that is listed with the liquid of its can.
    pub fn can(&self, food: &FoodId) -> Result<Option<CanRow>, Error> {
        match &self.own {
            Some(own) => Ok(own.cans.get(food).cloned()),
            None => CanRow::of(food),
        }
    }

    /// The state by the name of a food.
    pub(super) fn state_of(&self, food: &Food) -> State {
        if let Some(known) = self.states.borrow().get(&food.id) {
            return *known;
        }
        let state = State::of(food);
        self.states.borrow_mut().insert(food.id.clone(), state);
        state
    }

    /// The figures of a food by a method: its own, else its class's; `None` where there is neither.
    pub(super) fn figures(
        &self,
        food: &FoodId,
        class: &FoodClass,
        method: Method,
    ) -> Result<Option<CookingFigures>, Error> {
        let own = match &self.own {
            Some(own) => own.yields.get(food.as_str()).cloned().unwrap_or_default(),
            None => reference::rows_of("yields.csv", reference::YIELDS, food.as_str())?,
        };
        if let Some(row) = own.into_iter().find(|row| row.is_of(method)) {
            return Ok(Some(row.into()));
        }
        let of_class = kept(&self.yields, (class.clone(), method), || {
            Yield::of_class(class, method)
        })?;
        Ok(of_class.map(|yield_factor| CookingFigures {
            yield_factor,
            melted: None,
        }))
    }

    pub(super) fn solids_kept(&self, class: &FoodClass, method: Method) -> Result<f64, Error> {
        kept(&self.solids, (class.clone(), method), || {
            solids_kept(class, method)
        })
    }

    pub(super) fn cooking(&self, class: &FoodClass, method: Method) -> Result<Retention, Error> {
        kept(&self.cooking, (class.clone(), method), || {
            Retention::cooking(class, method)
        })
    }

    pub(super) fn reheating(&self, class: &FoodClass) -> Result<Retention, Error> {
        kept(&self.reheating, class.clone(), || {
            Retention::reheating(class)
        })
    }
}

/// The value kept under this key, else the one that is found now.
fn kept<K: Hash + Eq, T: Clone>(
    known: &RefCell<HashMap<K, T>>,
    key: K,
    look_up: impl FnOnce() -> Result<T, Error>,
) -> Result<T, Error> {
    if let Some(found) = known.borrow().get(&key) {
        return Ok(found.clone());
    }
    let found = look_up()?;
    known.borrow_mut().insert(key, found.clone());
    Ok(found)
}
