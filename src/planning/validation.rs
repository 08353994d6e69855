//! Validation of plans: days within a child's life, meals and children in the book's settings,
//! cubes that exist or can be cooked.

use crate::next_step::NextStep;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::facts::is_batch;
use crate::names::{self, Named};
use crate::notebook::{
    FrozenBatch, PlannedCooking, PlannedFood, PlannedServing, Settings, Slot, Stock,
};
use crate::problem::Problem;
use crate::quantity::Mass;
use crate::words;

/// The age below which a child may have a plan, in years (judgement).
const OLDEST: i32 = 10;
/// The largest number of trays a day that is accepted (judgement).
const MOST_TRAYS: u32 = 100;
/// The largest mass of a food at a meal that is accepted; more is a slip of the number or the unit
/// (judgement).
const MOST_AT_A_MEAL: Mass = Mass::from_grams(1500.0);

/// The inputs of the validation.
#[derive(Debug)]
pub struct Validation<'a> {
    /// The settings of the household.
    pub settings: &'a Settings,
    /// The recipes of the book.
    pub recipes: &'a [Named],
    /// The batches in the freezer.
    pub stock: &'a [Stock],
    /// Every batch on record.
    pub batches: &'a [FrozenBatch],
}

/// Checks the mass of a food that a child may eat at a meal, planned or eaten; `what` are the words
/// that were written.
pub fn at_a_meal(what: &str, mass: Mass) -> Result<(), Problem> {
    if mass <= MOST_AT_A_MEAL {
        return Ok(());
    }
    Err(Problem::new(format!("{what} is more than a meal")).hint("look at the number and the unit"))
}

impl Validation<'_> {
    /// Validates a meal of a child; without a name, of the only one.
    ///
    /// Errors: there is no such child or meal, or the child is not born yet on the day, or ten
    /// years old.
    pub fn slot(&self, day: Date, child: Option<&str>, meal: &str) -> Result<Slot, Problem> {
        let child = self.settings.child(child)?;
        if day < child.born {
            let what = format!("{} is not born on {}", child.name, words::day(day));
            return Err(Problem::new(what).hint(format!(
                "book.toml says {}: is the year of the plan right?",
                words::day(child.born)
            )));
        }
        if day >= child.born.saturating_add(OLDEST.years()) {
            let what = format!("{} is ten years old on {}", child.name, words::day(day));
            return Err(Problem::new(what).hint("is the year of the plan right?"));
        }
        Ok(Slot {
            day,
            child: child.name.clone(),
            meal: self.settings.meal(meal)?.to_string(),
        })
    }

    /// Validates the day of a cooking, on which some child of the book must be of an age for a
    /// plan.
    pub fn cooking_day(&self, day: Date) -> Result<Date, Problem> {
        let children = &self.settings.children;
        let mut lives = children
            .iter()
            .map(|child| child.born..child.born.saturating_add(OLDEST.years()));
        if children.is_empty() || lives.any(|life| life.contains(&day)) {
            return Ok(day);
        }
        let day = words::day(day);
        let what = format!("no child of the book is born, and below ten years old, on {day}");
        Err(Problem::new(what).hint("is the year of the plan right?"))
    }

    /// Validates a serving that is planned.
    pub fn serving(&self, serving: &PlannedServing) -> Result<(), Problem> {
        match serving {
            PlannedServing::Cubes(pick) if pick.name.starts_with('#') => self.batch(&pick.name),
            PlannedServing::Cubes(pick) => {
                let frozen = self.stock.iter().any(|stock| stock.batch.name == pick.name);
                if frozen {
                    Ok(())
                } else {
                    self.recipe(&pick.name)
                }
            }
            PlannedServing::Food(PlannedFood { id, mass, .. }) => {
                at_a_meal(&format!("{} g of {id}", mass.grams()), *mass)
            }
        }
    }

    /// Validates a cooking that is planned.
    pub fn cooking(&self, cooking: &PlannedCooking) -> Result<(), Problem> {
        if !(1..=MOST_TRAYS).contains(&cooking.trays) {
            let what = format!("{} trays of {}", cooking.trays, cooking.recipe);
            return Err(Problem::new(what).hint(format!("write 1 to {MOST_TRAYS} trays")));
        }
        self.recipe(&cooking.recipe)
    }

    fn batch(&self, name: &str) -> Result<(), Problem> {
        if self
            .stock
            .iter()
            .any(|stock| is_batch(name, stock.batch.id))
        {
            return Ok(());
        }
        let what = match self.batches.iter().find(|batch| is_batch(name, batch.id)) {
            Some(batch) => format!("batch {name} ({}) is gone", batch.title),
            None => format!("there is no batch {name}"),
        };
        Err(Problem::new(what).hint(NextStep::SeeFreezer))
    }

    fn recipe(&self, name: &str) -> Result<(), Problem> {
        if self.recipes.iter().any(|recipe| recipe.name == name) {
            return Ok(());
        }
        Err(names::unknown("recipe", name, self.recipes))
    }
}

/// The name of a serving, which must be unique in a meal.
pub fn name_of(serving: &PlannedServing) -> String {
    match serving {
        PlannedServing::Cubes(pick) => pick.name.clone(),
        PlannedServing::Food(food) => food.id.to_string(),
    }
}

/// The first name that is planned twice in a meal, which is a contradiction.
pub fn named_twice(servings: &[PlannedServing]) -> Option<String> {
    let names: Vec<_> = servings.iter().map(name_of).collect();
    let twice =
        |(at, name): &(usize, &String)| names.iter().take(*at).any(|earlier| earlier == *name);
    let found = names.iter().enumerate().find(twice);
    found.map(|(_, name)| name.clone())
}
