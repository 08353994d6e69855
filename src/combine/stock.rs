//! The foods that may be chosen from, cooked.

use std::collections::BTreeSet;

use data_import::{Food, FoodId};
use rust_decimal::prelude::ToPrimitive as _;

use super::ask::{CombineRequest, Price, PriceBasis};
use super::base::{RecipeBase, may_not_be_proposed, raw_base};
use super::column::{self, Column, ToCook};
use super::cookery::Cookery;
use super::selection::Selection;
use super::tables::{FoodNote, PureePart, Role, Tables};
use super::{CombineError, unwanted};
use crate::cooking::ClassTable;
use crate::food::Pantry;
use crate::problem::Problem;
use crate::recipe::{Kitchen, TAP_WATER};

/// A food that may be in the purée.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// The food.
    pub food: Food,
    /// The role of the food in a purée.
    pub part: PureePart,
    /// What a gram of the food brings.
    pub column: Column,
    /// The price of a gram, as cooked, in the currency of the request; a float for the solver
    /// alone. `None` where there is no price.
    pub cost: Option<f64>,
    /// Whether the food is new to the child.
    pub new: bool,
    /// Samples behind its iron value.
    pub iron_analyses: u32,
    pub(super) rich_in_nitrate: bool,
}

/// How many foods were left out, and why.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, serde::Serialize)]
pub struct LeftOut {
    /// Foods that the judge speaks against.
    pub judged: usize,
    /// Foods without a price, where money counts.
    pub without_price: usize,
    /// Foods of which a necessary value is not known.
    pub without_value: usize,
}

/// The foods that may be chosen from, cooked.
#[derive(Debug)]
pub struct Candidates {
    items: Vec<Candidate>,
    left_out: LeftOut,
    base: Option<RecipeBase>,
    water: Column,
    cookery: Option<Cookery>,
}

/// Works out what a gram of each of some foods brings; see [`column::cooked`].
pub type Cook<'a> =
    &'a dyn Fn(&Kitchen<'_>, &[ToCook]) -> Result<Vec<Option<Column>>, CombineError>;

impl Candidates {
    /// Cooks all that may be chosen from, whatever stays out by wish.
    ///
    /// Errors: the food table cannot be read; a food that has to be in it may not be proposed.
    pub fn cooked(
        pantry: &Pantry,
        ask: &CombineRequest,
        base: Option<RecipeBase>,
    ) -> Result<Self, CombineError> {
        let cook =
            |kitchen: &Kitchen<'_>, asked: &[ToCook]| column::cooked(kitchen, asked, ask.nutrient);
        Self::with_columns(pantry, ask, base, &cook)
    }

    /// Cooks all that may be chosen from, with columns from elsewhere, such as another calculation.
    pub fn with_columns(
        pantry: &Pantry,
        ask: &CombineRequest,
        base: Option<RecipeBase>,
        cook: Cook<'_>,
    ) -> Result<Self, CombineError> {
        let tables = Tables::builtin()?;
        let mut left_out = LeftOut::default();
        let chosen = chosen(tables, ask, base.as_ref(), &mut left_out)?;
        let in_base = ask
            .base
            .iter()
            .flat_map(|base| &base.foods)
            .map(|(food, _)| food);
        let mut ids: Vec<FoodId> = chosen.iter().chain(in_base).cloned().collect();
        let tap_water: FoodId = TAP_WATER.parse()?;
        ids.push(tap_water.clone());
        let foods = pantry.clone().for_figures_alone().laid_out_for(&ids)?;
        let kitchen = Kitchen {
            foods: &foods,
            classes: ClassTable::builtin()?,
        };
        let items = items((tables, cook), &kitchen, ask, &chosen, &mut left_out)?;
        let lacking = ask
            .must
            .iter()
            .find(|must| !items.iter().any(|item| item.food.id == **must));
        if let Some(food) = lacking {
            return Err(may_not_be_proposed(food).into());
        }
        let base = match (&ask.base, base) {
            (_, Some(base)) => Some(base),
            (Some(_), None) => Some(raw_base((tables, cook), &kitchen, ask)?),
            (None, None) => None,
        };
        if base.as_ref().is_some_and(|base| base.cost.is_none()) && ask.needs_prices() {
            return Err(
                Problem::new("a food that is in the purée already has no price")
                    .hint("add its price, or ask without money")
                    .into(),
            );
        }
        let water = foods.foods(&[tap_water])?.pop().flatten();
        let water = water.and_then(|water| column::water(&water, ask.nutrient));
        Ok(Self {
            items,
            left_out,
            base,
            water: water.ok_or_else(|| Problem::new("the food data has no tap water (14411)"))?,
            cookery: ask.cooked_together.then(Cookery::builtin).transpose()?,
        })
    }

    /// The foods that a request allows.
    pub fn selection<'a>(&'a self, ask: &'a CombineRequest) -> Result<Selection<'a>, CombineError> {
        let tables = Tables::builtin()?;
        let without = unwanted::Unwanted::of(tables, &ask.without)?;
        let is_must = |item: &Candidate| ask.must.contains(&item.food.id);
        let free = self
            .items
            .iter()
            .filter(|item| !is_must(item) && !without.holds(tables, item));
        let must = ask
            .must
            .iter()
            .filter_map(|id| self.items.iter().find(|item| item.food.id == *id));
        let items: Vec<&Candidate> = must.chain(free).collect();
        let mut selection = Selection {
            ask,
            items,
            base: self.base.as_ref(),
            water: &self.water,
            open: Vec::new(),
            left_out: self.left_out,
            sodium_mg: ask.sodium_mg()?,
            tables,
            cookery: self.cookery.as_ref(),
        };
        let fixed = selection.fixed_roles();
        let free = ask.must.len()..selection.items.len();
        let joins = |at: &usize| {
            let role = selection.items[*at].part.role;
            !fixed.iter().any(|other| tables.clash(role, *other))
        };
        selection.open = free.filter(joins).collect();
        Ok(selection)
    }
}

/// The foods that the request lets be chosen from, whatever they hold: those that have to be in the
/// purée first.
fn chosen(
    tables: &Tables,
    ask: &CombineRequest,
    base: Option<&RecipeBase>,
    left_out: &mut LeftOut,
) -> Result<Vec<FoodId>, CombineError> {
    let in_base: BTreeSet<&FoodId> = match (base, &ask.base) {
        (Some(base), _) => base.foods.iter().map(|food| &food.food.id).collect(),
        (None, Some(base)) => base.foods.iter().map(|(food, _)| food).collect(),
        (None, None) => BTreeSet::new(),
    };
    if let Some(food) = ask.must.iter().find(|food| tables.note(food).is_none()) {
        return Err(may_not_be_proposed(food).into());
    }
    let mut chosen = ask.must.clone();
    for (food, note) in tables.candidates() {
        let known = ask.known.as_ref().is_some_and(|known| known.contains(food));
        let asked_for = match &ask.only {
            Some(only) => only.contains(food),
            None => note.is_everyday() || ask.unusual || known,
        };
        if !asked_for || in_base.contains(food) || ask.must.contains(food) {
            continue;
        }
        if ask.barred.contains(food) {
            left_out.judged += 1;
        } else if ask.needs_prices() && price(ask, food).is_none() {
            left_out.without_price += 1;
        } else {
            chosen.push(food.clone());
        }
    }
    Ok(chosen)
}

fn price<'a>(ask: &'a CombineRequest, food: &FoodId) -> Option<&'a Price> {
    ask.prices.as_ref()?.get(food)
}

fn items(
    (tables, cook): (&Tables, Cook<'_>),
    kitchen: &Kitchen<'_>,
    ask: &CombineRequest,
    chosen: &[FoodId],
    left_out: &mut LeftOut,
) -> Result<Vec<Candidate>, CombineError> {
    let mut wanted = Vec::new();
    let mut to_cook = Vec::new();
    for (id, food) in chosen.iter().zip(kitchen.foods.foods(chosen)?) {
        let part = food.as_ref().and_then(|food| tables.part(food));
        let Some((food, part)) = food.zip(part) else {
            left_out.without_value += 1;
            continue;
        };
        let role = tables.roles.get(part.role);
        let is_for = |age| role.is_some_and(|role| role.is_for(age));
        if !ask.must.contains(id) && !ask.age.is_none_or(is_for) {
            left_out.judged += 1;
            continue;
        }
        to_cook.push(ToCook {
            food: id.clone(),
            method: part.method,
            may_hold_retinol: role.is_some_and(Role::may_hold_retinol),
        });
        wanted.push((food, part));
    }
    let columns = cook(kitchen, &to_cook)?;
    let mut items = Vec::new();
    for ((food, part), column) in wanted.into_iter().zip(columns) {
        let note = tables.note(&food.id);
        let Some(column) = column else {
            left_out.without_value += 1;
            continue;
        };
        let known = ask.known.as_ref();
        items.push(Candidate {
            cost: cost(ask, &food.id, &column),
            new: known.is_some_and(|known| !known.contains(&food.id)),
            iron_analyses: note.map_or(0, |note| note.iron_analyses),
            rich_in_nitrate: note.is_some_and(FoodNote::is_rich_in_nitrate),
            food,
            part,
            column,
        });
    }
    Ok(items)
}

/// The price of a gram of a cooked food, in the currency of the request.
pub(super) fn cost(ask: &CombineRequest, food: &FoodId, column: &Column) -> Option<f64> {
    let price = price(ask, food)?;
    let grams = match price.basis {
        PriceBasis::Purchased => column.bought,
        PriceBasis::Edible => column.edible,
    };
    Some(price.per_kg.to_f64()? / 1000.0 * grams)
}
