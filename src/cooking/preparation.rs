//! How one ingredient is prepared: its state, what it weighs afterwards, what it keeps of its
//! solids, its fat and its nutrients. Every decision about a single ingredient is made here; the
//! batch only sums.

use data_import::{Error, Food, NutrientId};

use super::state::DRY_BELOW;
use super::yields::CookingFigures;
use super::{
    CookingTables, FoodClass, MeltedFat, Method, Retention, RetentionRow, State, Yield, YieldBasis,
};
use crate::portion::water_by_difference;

/// The preparation of an ingredient, as far as its recipe states it.
#[derive(Debug, Clone, Default)]
pub struct Stated {
    /// The state in which the ingredient is bought.
    pub state: Option<State>,
    /// The yield factor: cooked mass / edible mass.
    pub yield_factor: Option<f64>,
    /// The row of the retention table.
    pub retention: Option<RetentionRow>,
}

/// How one ingredient is prepared.
#[derive(Debug, Clone, PartialEq)]
pub struct Preparation {
    /// The state in which the ingredient is bought.
    pub state: State,
    /// The yield factor: cooked mass / edible mass, with its source.
    pub yield_factor: Yield,
    /// The share of its solids, 0 to 1, that it keeps where all liquid is poured away.
    pub solids_kept: f64,
    /// The fat that melts out; `None` where no figure is known, or none can melt.
    pub melted: Option<MeltedFat>,
    /// What survives of its nutrients.
    pub retention: Retention,
    /// What survives when the cubes are warmed.
    pub reheating: Retention,
}

/// The factor above which only dry goods gain mass in water (judgement).
const SWELLS_ABOVE: f64 = 1.3;
/// The factor below which what gains mass in water was cooked before (judgement).
const COOKED_BELOW: f64 = 1.1;
/// The water of dry goods, g in 100 g: dry rice, pasta and pulses of SR28 hold 9 to 13 g.
const WATER_OF_DRY_GOODS: f64 = 11.0;

impl Preparation {
    /// Decides how a food of a class is prepared by a method.
    ///
    /// Errors: a table cannot be read.
    pub fn of(
        food: &Food,
        class: &FoodClass,
        method: Method,
        stated: Stated,
    ) -> Result<Self, Error> {
        Self::by(&CookingTables::default(), food, class, method, stated)
    }

    /// Decides how a food of a class is prepared by a method, for a caller that asks the tables
    /// about many foods.
    ///
    /// Errors: a table cannot be read.
    pub fn by(
        tables: &CookingTables,
        food: &Food,
        class: &FoodClass,
        method: Method,
        stated: Stated,
    ) -> Result<Self, Error> {
        let mut ready = Self {
            state: stated.state.unwrap_or_else(|| tables.state_of(food)),
            yield_factor: own_figure(YieldBasis::Uncooked, "not cooked".into()),
            solids_kept: 1.0,
            melted: None,
            retention: Retention::default(),
            reheating: tables.reheating(class)?,
        };
        if method != Method::None {
            ready.cook(tables, food, class, method, stated.state.is_none())?;
        }
        if let Some(factor) = stated.yield_factor {
            let source = "stated in the recipe".into();
            ready.yield_factor = Yield {
                factor,
                ..own_figure(YieldBasis::Stated, source)
            };
        }
        if let Some(row) = stated.retention {
            ready.retention = Retention::named(row);
        }
        Ok(ready)
    }

    /// Cooks the food, or warms it where it is cooked already. `doubtful` says that its state was
    /// read from its name, which its water may correct.
    fn cook(
        &mut self,
        tables: &CookingTables,
        food: &Food,
        class: &FoodClass,
        method: Method,
        doubtful: bool,
    ) -> Result<(), Error> {
        if self.state.is_ready() {
            self.warm();
            return Ok(());
        }
        let found = tables.figures(&food.id, class, method)?;
        let mut found = found.unwrap_or_else(|| no_figures(class, method));
        if let Some(less) = swollen_already(&found.yield_factor, food) {
            if doubtful && less < COOKED_BELOW {
                self.state = State::Cooked;
                self.warm();
                return Ok(());
            }
            found.yield_factor.factor = less;
            found.yield_factor.range = None;
        }
        self.solids_kept = tables.solids_kept(class, method)?;
        self.melted = found.melted.filter(|melted| melted.per_100_g > 0.0);
        self.yield_factor = found.yield_factor;
        self.retention = tables.cooking(class, method)?;
        self.hold_its_dry_matter(food);
        Ok(())
    }

    /// Warms the food: nothing is drained, and nothing melts.
    fn warm(&mut self) {
        let source = format!("{} already: it is only warmed", self.state);
        self.yield_factor = own_figure(YieldBasis::Warmed, source);
        self.retention = self.reheating.clone();
    }

    /// Raises a yield by which the food would weigh less than what is left of its dry matter, as
    /// roasted nuts would by the estimate of their class.
    fn hold_its_dry_matter(&mut self, food: &Food) {
        let melted = self.melted.as_ref().map_or(0.0, |melted| melted.per_100_g);
        let Some(dry) = dry_share(food) else { return };
        let least = dry * self.solids_kept - melted / 100.0;
        if least > self.yield_factor.factor {
            self.yield_factor.factor = least;
            let range = self.yield_factor.range;
            self.yield_factor.range = range.map(|(_, high)| (least, high.max(least)));
            self.yield_factor.source += "; not less than its dry matter";
        }
    }
}

/// The yield of a food whose class takes up water, and that holds water already: in proportion to
/// its dry matter, at least 1. `None` where the factor stands as it is.
fn swollen_already(of_class: &Yield, food: &Food) -> Option<f64> {
    let water = food.composition.get(NutrientId::WATER)?;
    let guessed = matches!(of_class.basis, YieldBasis::Class | YieldBasis::Estimate);
    let swells = guessed && of_class.factor > SWELLS_ABOVE && water >= DRY_BELOW;
    swells.then(|| (of_class.factor * (100.0 - water) / (100.0 - WATER_OF_DRY_GOODS)).max(1.0))
}

/// A factor of 1.
fn own_figure(basis: YieldBasis, source: String) -> Yield {
    Yield {
        factor: 1.0,
        basis,
        range: None,
        source,
    }
}

fn no_figures(class: &FoodClass, method: Method) -> CookingFigures {
    let source = format!("no yield known for {class}, {method}: taken as unchanged");
    CookingFigures {
        yield_factor: own_figure(YieldBasis::Estimate, source),
        melted: None,
    }
}

/// The share of a food, 0 to 1, that is not water: from its water, else from the other parts that
/// are known.
pub fn dry_share(food: &Food) -> Option<f64> {
    let water = food.composition.get(NutrientId::WATER);
    let water = water.or_else(|| water_by_difference(food))?;
    Some(((100.0 - water) / 100.0).clamp(0.0, 1.0))
}
