//! Cautions: a table with a source for each, shown where they apply.

use std::collections::HashMap;

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
        let rows: Vec<HashMap<String, String>> =
            reference::rows("cautions.csv", reference::CAUTIONS)?;
        Ok(Self {
            cautions: rows.into_iter().map(Caution::from_row).collect(),
        })
    }

    /// Every caution.
    pub fn all(&self) -> &[Caution] {
        &self.cautions
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
    fn from_row(mut row: HashMap<String, String>) -> Self {
        let pattern = Pattern::from_row(&row);
        let mut take = |column: &str| row.remove(column).unwrap_or_default();
        let step = match take("step").as_str() {
            "food" => Step::Food,
            "freeze" => Step::Freeze,
            "thaw" => Step::Thaw,
            "reheat" => Step::Reheat,
            "serve" => Step::Serve,
            _ => Step::Always,
        };
        Self {
            id: take("id"),
            text: take("text"),
            source: take("source"),
            step,
            allergen: Some(take("allergen")).filter(|allergen| !allergen.is_empty()),
            age_below: take("age_below_months").parse().ok(),
            age_from: take("age_from_months").parse().ok(),
            pattern,
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
