//! How much of a nutrient survives a step: the USDA Table of Nutrient Retention Factors,
//! Release 6 (2007), and the choice of its row for a class of food and a method.

use std::collections::HashMap;

use csv::StringRecord;
use data_import::{Error, NutrientId, reference};
use serde::Deserialize;

use super::{FoodClass, Method};

/// Macronutrients and their parts are taken as fully retained; they move with the food's dry
/// matter, and the published table has no column for them.
const FULLY_RETAINED: [NutrientId; 10] = [
    NutrientId::WATER,
    NutrientId::ENERGY,
    NutrientId::PROTEIN,
    NutrientId::FAT,
    NutrientId::CARBOHYDRATE,
    NutrientId::FIBRE,
    NutrientId::SUGARS,
    NutrientId::SATURATED_FAT,
    NutrientId::MONOUNSATURATED_FAT,
    NutrientId::POLYUNSATURATED_FAT,
];

/// Whether the calculation takes this nutrient as fully retained by rule.
pub fn is_fully_retained(nutrient: NutrientId) -> bool {
    FULLY_RETAINED.contains(&nutrient)
}

/// The published column that speaks for a nutrient: vitamin A in RAE and retinol take the RE
/// factor, folate in DFE total folate's, every other nutrient its own.
fn published_column(nutrient: NutrientId) -> u16 {
    match nutrient {
        NutrientId::VITAMIN_A_RAE | NutrientId::RETINOL => 392,
        NutrientId::FOLATE_DFE => 417,
        other => other.number(),
    }
}

/// The published table and the table of choices.
#[derive(Debug)]
pub struct RetentionTable {
    columns: StringRecord,
    rows: Vec<StringRecord>,
    choices: HashMap<(String, String), Choice>,
}

/// One line of the table of choices.
#[derive(Debug, Clone, Deserialize)]
struct Choice {
    class: String,
    method: String,
    drained: String,
    used: String,
    fit: String,
}

/// The rows of the published table that speak for one ingredient.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Retention {
    /// Code of the row for liquid poured away, or of the only row.
    pub drained: Option<String>,
    /// Code of the row for liquid that is all used.
    pub used: Option<String>,
    /// Said where no published row is really about this class and method.
    pub note: Option<String>,
}

impl Retention {
    /// Everything is kept and nothing need be said: raw, or cooked already.
    pub const UNTOUCHED: Self = Self {
        drained: None,
        used: None,
        note: None,
    };

    /// One row, named by a recipe.
    pub fn named(code: &str) -> Self {
        Self {
            drained: Some(code.to_string()),
            used: None,
            note: None,
        }
    }

    /// Whether the share of the liquid that is returned makes a difference.
    pub fn depends_on_liquid(&self) -> bool {
        self.drained.is_some() && self.used.is_some() && self.drained != self.used
    }
}

impl RetentionTable {
    /// Reads the built-in tables.
    pub fn builtin() -> Result<Self, Error> {
        let (columns, rows) = reference::records("retention.csv", reference::RETENTION)?;
        let choices: Vec<Choice> =
            reference::rows("retention-choice.csv", reference::RETENTION_CHOICE)?;
        let choices = choices
            .into_iter()
            .map(|choice| ((choice.class.clone(), choice.method.clone()), choice))
            .collect();
        Ok(Self {
            columns,
            rows,
            choices,
        })
    }

    /// The rows for cooking a class of food by a method.
    pub fn cooking(&self, class: &FoodClass, method: Method) -> Retention {
        match method {
            Method::None => Retention::UNTOUCHED,
            _ => self.choice(class, method.word()),
        }
    }

    /// The row for warming a class of food again.
    pub fn reheating(&self, class: &FoodClass) -> Retention {
        self.choice(class, "reheat")
    }

    fn choice(&self, class: &FoodClass, step: &str) -> Retention {
        let code = |text: &str| Some(text.to_string()).filter(|text| !text.is_empty());
        match self.choices.get(&(class.0.clone(), step.to_string())) {
            Some(choice) => Retention {
                drained: code(&choice.drained),
                used: code(&choice.used),
                note: code(&choice.fit),
            },
            None => Retention {
                drained: None,
                used: None,
                note: Some(format!(
                    "no published row for {class}, {step}: 100 % is kept"
                )),
            },
        }
    }

    /// The published wording of a row; `None` where there is no such code.
    pub fn description(&self, code: &str) -> Option<&str> {
        self.row(code).and_then(|row| row.get(2))
    }

    /// The share of a nutrient that survives by one row, between 0 and 1 as a rule (the published
    /// figures are percents); `None` where nothing is published.
    pub fn published(&self, code: &str, nutrient: NutrientId) -> Option<f64> {
        let number = published_column(nutrient).to_string();
        let column = self.columns.iter().position(|name| name == number)?;
        let percent: f64 = self.row(code)?.get(column)?.trim().parse().ok()?;
        Some(percent / 100.0)
    }

    /// The share of a nutrient that survives when the share `returned` (0 to 1) of the cooking
    /// liquid is blended back in: R = drained + returned x (used - drained). The line between the
    /// two published rows is our own estimate. `None` where nothing is published.
    pub fn factor(
        &self,
        retention: &Retention,
        nutrient: NutrientId,
        returned: f64,
    ) -> Option<f64> {
        if is_fully_retained(nutrient) {
            return Some(1.0);
        }
        let published = |code: &Option<String>| {
            code.as_ref()
                .and_then(|code| self.published(code, nutrient))
        };
        match (published(&retention.drained), published(&retention.used)) {
            (Some(drained), Some(used)) => Some(drained + returned * (used - drained)),
            (drained, used) => drained.or(used),
        }
    }

    fn row(&self, code: &str) -> Option<&StringRecord> {
        self.rows.iter().find(|row| row.get(0) == Some(code))
    }
}
