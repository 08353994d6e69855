//! The share of a nutrient that survives a step: the USDA Table of Nutrient Retention Factors,
//! Release 6 (2007), and the choice of its row for a class of food and a method.

use std::sync::Arc;

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

/// One row of the published table: one preparation of one kind of food.
#[derive(Debug, Clone, PartialEq)]
pub struct RetentionRow {
    /// The code of four digits.
    pub code: String,
    /// The published wording.
    pub description: String,
    /// Nutrient number and percent kept.
    percents: Vec<(u16, f64)>,
}

impl RetentionRow {
    /// The row with a code; `None` where there is no such code.
    pub fn find(code: &str) -> Option<Self> {
        let (columns, cells) = reference::cells_of(reference::RETENTION, code)?;
        let mut row = Self {
            code: code.to_string(),
            description: String::new(),
            percents: Vec::new(),
        };
        for (column, cell) in columns.iter().zip(&cells) {
            if column == "description" {
                row.description = cell.to_string();
            } else if let (Ok(number), Ok(percent)) = (column.parse(), cell.parse()) {
                row.percents.push((number, percent));
            }
        }
        row.percents.sort_unstable_by_key(|(number, _)| *number);
        Some(row)
    }

    /// The share of a nutrient that survives, between 0 and 1 as a rule (the published figures are
    /// percents); `None` where nothing is published.
    pub fn kept(&self, nutrient: NutrientId) -> Option<f64> {
        let column = published_column(nutrient);
        let at = self
            .percents
            .binary_search_by_key(&column, |(number, _)| *number)
            .ok()?;
        self.percents.get(at).map(|(_, percent)| percent / 100.0)
    }
}

/// One line of the table of choices, `retention-choice.csv`.
#[derive(Debug, Deserialize)]
struct RetentionChoice {
    drained: String,
    used: String,
    fit: String,
}

/// The rows of the published table that speak for one ingredient and one step, which many
/// ingredients share.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Retention {
    /// The row for liquid poured away, or the only row.
    pub drained: Option<Arc<RetentionRow>>,
    /// The row for liquid that is all used.
    pub used: Option<Arc<RetentionRow>>,
    /// The note where no published row is really about this class and method.
    pub note: Option<String>,
}

impl Retention {
    /// What survives when a class of food is cooked by a method; everything where it is not
    /// cooked.
    pub fn cooking(class: &FoodClass, method: Method) -> Result<Self, Error> {
        match method {
            Method::None => Ok(Self::default()),
            _ => Self::chosen(class, method.word()),
        }
    }

    /// What survives when a class of food is warmed again.
    pub fn reheating(class: &FoodClass) -> Result<Self, Error> {
        Self::chosen(class, "reheat")
    }

    /// What survives by one row, named by a recipe.
    pub fn named(row: RetentionRow) -> Self {
        Self {
            drained: Some(Arc::new(row)),
            ..Self::default()
        }
    }

    fn chosen(class: &FoodClass, step: &str) -> Result<Self, Error> {
        let key = [class.0.as_str(), step];
        let choice: Option<RetentionChoice> =
            reference::row("retention-choice.csv", reference::RETENTION_CHOICE, &key)?;
        let Some(choice) = choice else {
            let note = format!("no published row for {class}, {step}: 100 % is kept");
            return Ok(Self {
                note: Some(note),
                ..Self::default()
            });
        };
        let row = |code: &str| match code {
            "" => None,
            code => RetentionRow::find(code).map(Arc::new),
        };
        Ok(Self {
            drained: row(&choice.drained),
            used: row(&choice.used),
            note: Some(choice.fit).filter(|fit| !fit.is_empty()),
        })
    }

    /// Whether the share of the liquid that is returned makes a difference.
    pub fn depends_on_liquid(&self) -> bool {
        self.drained.is_some() && self.used.is_some() && self.drained != self.used
    }

    /// The share of a nutrient that survives when the share `returned` (0 to 1) of the cooking
    /// liquid is blended back in: R = drained + returned x (used - drained). The straight line
    /// between the two published rows is a judgement. `None` where nothing is published.
    pub fn factor(&self, nutrient: NutrientId, returned: f64) -> Option<f64> {
        if is_fully_retained(nutrient) {
            return Some(1.0);
        }
        let kept =
            |row: &Option<Arc<RetentionRow>>| row.as_ref().and_then(|row| row.kept(nutrient));
        match (kept(&self.drained), kept(&self.used)) {
            (Some(drained), Some(used)) => Some(drained + returned * (used - drained)),
            (drained, used) => drained.or(used),
        }
    }

    /// The share that is taken to survive: all of it where nothing is published, which the notes on
    /// a batch say.
    pub fn kept(&self, nutrient: NutrientId, returned: f64) -> f64 {
        self.factor(nutrient, returned).unwrap_or(1.0)
    }
}
