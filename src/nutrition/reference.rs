//! Reference intakes for the child's age: AI, RDA, EAR and UL, each with its source.

use data_import::reference::{self, TableRow};
use data_import::{Error, NutrientId};
use serde::Serialize;

/// Age in completed months.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct AgeMonths(pub u16);

/// The completed month from which solids are due (WHO, complementary feeding, 2023).
pub const SOLIDS_FROM: AgeMonths = AgeMonths(6);

/// The life stages of the Dietary Reference Intakes that matter here, by completed months. Older
/// tables print the second as 7-12 months; it begins on the day the child is six months old (IOM,
/// Dietary Reference Intakes for Calcium and Vitamin D, 2011, life stages: birth to 5.9 months, 6.0
/// to 11.9 months).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AgeBand {
    /// Until the day the child is six months old.
    BirthToFiveMonths,
    /// From six months until the first birthday.
    SixToElevenMonths,
    /// From the first until the fourth birthday.
    OneToThreeYears,
}

impl AgeMonths {
    /// The life stage; `None` from the fourth birthday on, where the table ends.
    pub fn band(self) -> Option<AgeBand> {
        match self.0 {
            0..=5 => Some(AgeBand::BirthToFiveMonths),
            6..=11 => Some(AgeBand::SixToElevenMonths),
            12..=47 => Some(AgeBand::OneToThreeYears),
            _ => None,
        }
    }
}

impl AgeBand {
    /// The label of the life stage in the table.
    pub fn label(self) -> &'static str {
        match self {
            Self::BirthToFiveMonths => "0-5 months",
            Self::SixToElevenMonths => "6-11 months",
            Self::OneToThreeYears => "1-3 years",
        }
    }
}

/// The kind of a reference intake.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum IntakeKind {
    /// Adequate intake: what healthy children were seen to get; less is not a lack.
    Ai,
    /// Recommended dietary allowance.
    Rda,
}

impl IntakeKind {
    /// The usual abbreviation.
    pub fn label(self) -> &'static str {
        match self {
            Self::Ai => "AI",
            Self::Rda => "RDA",
        }
    }
}

/// A daily reference intake, in the nutrient's unit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Intake {
    /// AI or RDA.
    pub kind: IntakeKind,
    /// Amount a day.
    pub amount: f64,
    /// Estimated average requirement a day, where one is set beside the RDA.
    pub ear: Option<f64>,
    /// What must be known to read the figure; may be empty.
    pub counts: String,
    /// Publication.
    pub source: String,
}

/// A tolerable upper intake level.
#[derive(Debug, Clone, PartialEq)]
pub struct Upper {
    /// Amount a day.
    pub amount: f64,
    /// What the level covers, such as all sources.
    pub counts: String,
    /// The nutrient whose total from food may be compared with the level; `None` where no total
    /// from food may.
    pub compared_with: Option<NutrientId>,
    /// Publication.
    pub source: String,
}

/// The table `intakes.csv`.
#[derive(Debug)]
pub struct IntakeTable {
    rows: Vec<IntakeRow>,
}

#[derive(Debug)]
struct IntakeRow {
    number: u16,
    band: &'static str,
    kind: &'static str,
    amount: Option<f64>,
    counts: &'static str,
    compared_with: Option<u16>,
    source: &'static str,
}

impl IntakeTable {
    /// Reads the built-in table.
    pub fn builtin() -> Result<Self, Error> {
        let row = |row: TableRow<'_>| {
            Ok(IntakeRow {
                number: row.number("number")?.ok_or("no number of a nutrient")?,
                band: row.cell("band"),
                kind: row.cell("kind"),
                amount: row.number("amount")?,
                counts: row.cell("counts"),
                compared_with: row.number("compared_with")?,
                source: row.cell("source"),
            })
        };
        Ok(Self {
            rows: reference::try_read_rows("intakes.csv", reference::INTAKES, row)?,
        })
    }

    /// The AI or RDA of a nutrient at an age; `None` where none is set.
    pub fn intake(&self, nutrient: NutrientId, age: AgeMonths) -> Option<Intake> {
        self.rows_of(nutrient, age).find_map(|row| {
            let kind = match row.kind {
                "AI" => IntakeKind::Ai,
                "RDA" => IntakeKind::Rda,
                _ => return None,
            };
            Some(Intake {
                kind,
                amount: row.amount?,
                ear: self.ear(nutrient, age),
                counts: row.counts.to_owned(),
                source: row.source.to_owned(),
            })
        })
    }

    /// The EAR of a nutrient at an age; `None` where none is set for a day.
    pub fn ear(&self, nutrient: NutrientId, age: AgeMonths) -> Option<f64> {
        let mut rows = self.rows_of(nutrient, age);
        rows.find(|row| row.kind == "EAR")?.amount
    }

    /// Why a nutrient has neither AI nor RDA at an age, where the table says so.
    pub fn why_none(&self, nutrient: NutrientId, age: AgeMonths) -> Option<&str> {
        self.rows_of(nutrient, age)
            .find(|row| row.kind == "none")
            .map(|row| row.counts)
    }

    /// The UL of a nutrient at an age; `None` where none is determinable.
    pub fn upper(&self, nutrient: NutrientId, age: AgeMonths) -> Option<Upper> {
        let mut rows = self.rows_of(nutrient, age);
        let row = rows.find(|row| row.kind == "UL")?;
        Some(Upper {
            amount: row.amount?,
            counts: row.counts.to_owned(),
            compared_with: row.compared_with.map(NutrientId::new),
            source: row.source.to_owned(),
        })
    }

    fn rows_of(&self, nutrient: NutrientId, age: AgeMonths) -> impl Iterator<Item = &IntakeRow> {
        let band = age.band().map(AgeBand::label);
        self.rows
            .iter()
            .filter(move |row| row.number == nutrient.number() && Some(row.band) == band)
    }
}
