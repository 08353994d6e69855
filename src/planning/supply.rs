//! The allocation of planned cubes: those in the freezer and those to be cooked, meal by meal.

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::facts::{Facts, is_batch};
use crate::notebook::{Pick, Stock};
use crate::portion::CubeCount;

/// The origin of cubes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StockOrigin {
    /// A batch in the freezer, by its number.
    Batch(i64),
    /// A cooking that is planned for this day.
    Cooking(Date),
}

/// Cubes of one origin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockLot {
    /// The origin of the cubes.
    pub origin: StockOrigin,
    /// Name of the recipe.
    pub name: String,
    /// The first day on which they can be served.
    pub from: Date,
    /// The last day on which they are to be served.
    pub use_by: Date,
    /// The number of cubes left.
    pub left: u32,
}

/// The cubes allocated to a pick.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TakenCubes {
    /// The lots, and the number of cubes from each.
    pub parts: Vec<(StockLot, CubeCount)>,
    /// Cubes that are lacking.
    pub short: CubeCount,
    /// The first day on which there are more cubes, where some are lacking.
    pub more_from: Option<Date>,
}

/// Cubes that are in the freezer, or will be.
#[derive(Debug, Clone)]
pub struct Supply {
    lots: Vec<StockLot>,
}

impl Supply {
    /// The supply in the freezer.
    pub fn of_stock(stock: &[Stock]) -> Self {
        let frozen = stock.iter().map(|stock| StockLot {
            origin: StockOrigin::Batch(stock.batch.id),
            name: stock.batch.name.clone(),
            from: stock.batch.day,
            use_by: stock.batch.use_by,
            left: stock.left,
        });
        let mut supply = Self {
            lots: frozen.collect(),
        };
        supply.sort();
        supply
    }

    /// The supply in the freezer, and from cooking that is planned from today on and not done yet.
    pub fn of(facts: &Facts<'_>) -> Self {
        let mut supply = Self::of_stock(&facts.stock);
        for (day, cooking) in facts.plan.cooking.range(facts.today..) {
            for session in cooking {
                let Some(dish) = facts.dishes.get(&session.recipe) else {
                    continue;
                };
                if !was_cooked(facts, *day, &session.recipe) {
                    supply.lots.push(StockLot {
                        origin: StockOrigin::Cooking(*day),
                        name: session.recipe.clone(),
                        from: first_day_of_cooked(*day),
                        use_by: day.saturating_add(i64::from(dish.keeps).days()),
                        left: dish.cubes_a_tray.saturating_mul(session.trays),
                    });
                }
            }
        }
        supply.sort();
        supply
    }

    /// Sorts the lots, the first to be eaten first.
    fn sort(&mut self) {
        self.lots.sort_by_key(|lot| (lot.use_by, lot.origin));
    }

    /// The lots with cubes left, the first to be eaten first.
    pub fn left(&self) -> impl Iterator<Item = &StockLot> {
        self.lots.iter().filter(|lot| lot.left > 0)
    }

    /// Takes cubes for a day: those to be eaten first, and cubes past their last day only where no
    /// others are left.
    pub fn take(&mut self, pick: &Pick, day: Date) -> TakenCubes {
        let mut wanted = pick.cubes;
        let mut parts = Vec::new();
        for in_time in [true, false] {
            for lot in &mut self.lots {
                let fits = lot.is(&pick.name) && lot.from <= day;
                if fits && (lot.use_by >= day) == in_time && lot.left.min(wanted.taken()) > 0 {
                    let cubes = wanted.take(lot.left);
                    lot.left -= cubes.taken();
                    parts.push((lot.clone(), cubes));
                }
            }
        }
        let later = self.lots.iter().filter(|lot| {
            !wanted.is_none() && lot.is(&pick.name) && lot.left > 0 && lot.from > day
        });
        TakenCubes {
            parts,
            short: wanted,
            more_from: later.map(|lot| lot.from).min(),
        }
    }
}

impl StockLot {
    /// Whether a pick of this name means the lot.
    fn is(&self, name: &str) -> bool {
        self.name == name || matches!(self.origin, StockOrigin::Batch(id) if is_batch(name, id))
    }
}

/// The first day on which cubes cooked on a day can be eaten: they freeze overnight.
pub fn first_day_of_cooked(day: Date) -> Date {
    day.saturating_add(1.day())
}

/// Whether a batch of a recipe was frozen on a day.
pub fn was_cooked(facts: &Facts<'_>, day: Date, recipe: &str) -> bool {
    let mut batches = facts.batches.iter();
    batches.any(|batch| batch.day == day && batch.name == recipe)
}
