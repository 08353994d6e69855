//! Cautions: a table with a source for each, shown where they apply.

mod freezer_life;
mod texture;

pub use freezer_life::FreezerLimit;
pub use texture::Texture;

use data_import::{Error, Food, reference};

use crate::food::Pattern;
use crate::nutrition::AgeMonths;

/// When in the kitchen a caution is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// When a food that it is about is in the recipe.
    Food,
    /// Before freezing.
    Freeze,
    /// When taking cubes out.
    Thaw,
    /// When warming them.
    Reheat,
    /// At the table.
    Serve,
    /// Always, at the right age.
    Always,
}

/// One caution.
#[derive(Debug, Clone)]
pub struct Caution {
    /// Stable name.
    pub id: String,
    /// What to know.
    pub text: String,
    /// Publication, or "common practice, no source".
    pub source: String,
    /// When it is due.
    pub step: Step,
    /// The allergen it is about, where it is about one.
    pub allergen: Option<String>,
    age_below: Option<u16>,
    age_from: Option<u16>,
    pattern: Pattern,
}

/// The caution that defers to those who know the child; every output ends with it.
pub const DEFER: &str = "defer";

/// The table `cautions.csv`.
#[derive(Debug)]
pub struct CautionTable {
    cautions: Vec<Caution>,
}

impl CautionTable {
    /// Reads the built-in table.
    pub fn builtin() -> Result<Self, Error> {
        let (columns, rows) = reference::records("cautions.csv", reference::CAUTIONS)?;
        let caution = |row| Caution::from_cells(|name| reference::cell(&columns, row, name));
        Ok(Self {
            cautions: rows.iter().map(caution).collect(),
        })
    }

    /// Every caution.
    pub fn all(&self) -> &[Caution] {
        &self.cautions
    }

    /// The major allergens that the name of a food gives away.
    pub fn allergens_of<'a>(&'a self, food: &Food) -> impl Iterator<Item = &'a str> {
        let about: Vec<_> = self
            .cautions
            .iter()
            .filter(|caution| caution.is_about(food))
            .collect();
        about
            .into_iter()
            .filter_map(|caution| caution.allergen.as_deref())
    }

    /// The cautions for cooking, freezing and serving these foods to a child of this age, in the
    /// table's order, the deferring one last.
    pub fn applying<'a>(&'a self, foods: &[&Food], age: AgeMonths) -> Vec<&'a Caution> {
        let mut due: Vec<_> = self
            .cautions
            .iter()
            .filter(|caution| caution.applies(foods, age))
            .collect();
        due.sort_by_key(|caution| caution.id == DEFER);
        due
    }
}

impl Caution {
    fn from_cells<'a>(cell: impl Fn(&str) -> &'a str) -> Self {
        let step = match cell("step") {
            "food" => Step::Food,
            "freeze" => Step::Freeze,
            "thaw" => Step::Thaw,
            "reheat" => Step::Reheat,
            "serve" => Step::Serve,
            _ => Step::Always,
        };
        Self {
            id: cell("id").to_string(),
            text: cell("text").to_string(),
            source: cell("source").to_string(),
            step,
            allergen: Some(cell("allergen"))
                .filter(|name| !name.is_empty())
                .map(String::from),
            age_below: cell("age_below_months").parse().ok(),
            age_from: cell("age_from_months").parse().ok(),
            pattern: Pattern::from_cells(cell),
        }
    }

    /// Whether it is due for these foods at this age.
    fn applies(&self, foods: &[&Food], age: AgeMonths) -> bool {
        let of_age = self.age_below.is_none_or(|limit| age.0 < limit)
            && self.age_from.is_none_or(|limit| age.0 >= limit);
        let about_these = match self.step {
            Step::Food => foods.iter().any(|food| self.pattern.matches(food)),
            _ => self.pattern.is_empty() || foods.iter().any(|food| self.pattern.matches(food)),
        };
        of_age && about_these
    }

    /// Whether it is about this food.
    pub fn is_about(&self, food: &Food) -> bool {
        !self.pattern.is_empty() && self.pattern.matches(food)
    }
}
