//! General kitchen hygiene: a table with a source for each row.

use data_import::Error;
use data_import::reference::{self, TableRow};
use serde::Serialize;

/// The step of the kitchen at which a caution is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Before freezing.
    Freeze,
    /// When taking cubes out.
    Thaw,
    /// When warming them.
    Reheat,
    /// At the table.
    Serve,
    /// Always.
    Always,
}

/// One caution.
#[derive(Debug, Clone, Serialize)]
pub struct Caution {
    /// Stable name.
    pub id: String,
    /// The caution in a sentence or two.
    pub text: String,
    /// Publication, or "common practice, no source".
    pub source: String,
    /// The step at which it is due.
    #[serde(skip)]
    pub step: Step,
    /// The caution in a few words; empty where a short answer leaves it out.
    #[serde(skip)]
    pub short: String,
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
        let cautions = reference::read_rows("cautions.csv", reference::CAUTIONS, Caution::of_row)?;
        Ok(Self { cautions })
    }

    /// The sentence that defers to those who know the child; every output ends with it.
    pub fn defer(&self) -> &str {
        let defer = self.cautions.iter().find(|caution| caution.id == DEFER);
        defer.map_or("", |caution| &caution.text)
    }

    /// The deferring sentence in a few words.
    pub fn defer_in_short(&self) -> &str {
        let defer = self.cautions.iter().find(|caution| caution.id == DEFER);
        defer.map_or("", |caution| &caution.short)
    }

    /// Every caution, in the order of the steps; the deferring one is the last.
    pub fn all(&self) -> &[Caution] {
        &self.cautions
    }
}

impl Caution {
    fn of_row(row: TableRow<'_>) -> Self {
        let cell = |column: &str| row.cell(column);
        let step = match cell("step") {
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
            short: cell("short").to_string(),
        }
    }
}
