//! The doubts about a cube of a batch in the record, a row for each cause.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::sync::Arc;

use data_import::{FoodId, NutrientId};
use rusqlite::{Connection, Transaction, params};

use crate::nutrition::{Serving, Total};
use crate::uncertainty::{Cause, CubesTaken, Doubts, Evidence, PotId, UnsurePortion};

/// The name of the row for values of hardly more than nothing.
const FAINT: &str = "faint";

/// Records the doubts of a cube, both where the cubes of its batch were counted and where they were
/// not, since they may be counted later.
pub(super) fn write(
    transaction: &Transaction<'_>,
    batch: i64,
    cube: &Serving,
    doubts: impl Fn(Option<u32>) -> Doubts,
) -> rusqlite::Result<()> {
    transaction.execute("DELETE FROM batch_doubt WHERE batch = ?1", [batch])?;
    let mut insert = transaction.prepare(
        "INSERT INTO batch_doubt (batch, cause, amounts, when_counted) VALUES (?1, ?2, ?3, ?4)",
    )?;
    let (uncounted, counted) = (doubts(None), doubts(Some(1)));
    let causes: BTreeSet<&Cause> = uncounted.causes().iter().chain(counted.causes()).collect();
    for cause in causes {
        insert.execute(params![
            batch,
            cause.to_string(),
            amounts(cube, &uncounted, cause),
            amounts(cube, &counted, cause)
        ])?;
    }
    let faints = (faint(cube, &uncounted), faint(cube, &counted));
    insert.execute(params![batch, FAINT, faints.0, faints.1])?;
    Ok(())
}

/// The amounts of a cause as a cell: `303:0.0123 304:-0.2`; for the doubt of the food data with the
/// number of analyses: `303:0.0123:12`.
fn amounts(cube: &Serving, doubts: &Doubts, cause: &Cause) -> String {
    let mut cell = String::new();
    for nutrient in doubts.nutrients() {
        let mut found = doubts.of(nutrient).filter(|(of, _)| *of == cause);
        let amount = found.next().map_or(0.0, |(_, amount)| amount);
        let amount = relative(cube, nutrient, amount);
        let evidence = match cause {
            Cause::Database(food) => doubts.evidence(nutrient, food),
            _ => None,
        };
        if amount == 0.0 && evidence.is_none() {
            continue;
        }
        let between = if cell.is_empty() { "" } else { " " };
        // Writing to a string cannot fail.
        let _ = write!(cell, "{between}{}:{amount:.4e}", nutrient.number());
        if let Some(evidence) = evidence {
            let _ = write!(cell, ":{}", evidence_cell(evidence));
        }
    }
    cell
}

fn faint(cube: &Serving, doubts: &Doubts) -> String {
    let faint = doubts.nutrients().map(|nutrient| {
        let faint = relative(cube, nutrient, doubts.faint(nutrient));
        format!("{}:{faint:.4e}", nutrient.number())
    });
    faint.collect::<Vec<_>>().join(" ")
}

/// An amount relative to the served amount of the nutrient, so that it follows where that is
/// corrected.
fn relative(cube: &Serving, nutrient: NutrientId, amount: f64) -> f64 {
    match cube.total(nutrient).known {
        Some(served) if served > 0.0 => amount / served,
        _ => 0.0,
    }
}

fn evidence_cell(evidence: Evidence) -> String {
    match evidence {
        Evidence::Analysed(count) => count.to_string(),
        Evidence::Calculated => "calculated".into(),
        Evidence::Label => "label".into(),
        Evidence::Unknown => "unknown".into(),
    }
}

/// The doubts of a cube of a batch; `None` where they were not recorded.
pub(super) fn read(
    connection: &Connection,
    batch: i64,
    served: &BTreeMap<NutrientId, Total>,
) -> rusqlite::Result<Option<UnsurePortion>> {
    let (counted, cubes, both): (bool, u32, bool) = connection.query_row(
        "SELECT counted, cubes, full_g IS NOT NULL FROM batch WHERE entry = ?1",
        [batch],
        |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
    )?;
    let mut select = connection.prepare_cached(
        "SELECT cause, CASE WHEN ?2 THEN when_counted ELSE amounts END \
         FROM batch_doubt WHERE batch = ?1",
    )?;
    let rows = select.query_map(params![batch, counted && both], |row| {
        Ok((row.get(0)?, row.get(1)?))
    })?;
    let mut doubts = Doubts::default();
    for row in rows {
        let (cause, amounts): (String, String) = row?;
        read_row(&mut doubts, &cause, &amounts, served)?;
    }
    if doubts.nutrients().next().is_none() {
        return Ok(None);
    }
    Ok(Some(UnsurePortion {
        doubts: Arc::new(doubts.in_pot(&PotId::from(format!("#{batch}")))),
        times: 1.0,
        cubes: Some(CubesTaken {
            taken: 1.0,
            counted: counted.then_some(f64::from(cubes)),
        }),
    }))
}

fn read_row(
    doubts: &mut Doubts,
    cause: &str,
    amounts: &str,
    served: &BTreeMap<NutrientId, Total>,
) -> rusqlite::Result<()> {
    for cell in amounts.split_whitespace() {
        let mut parts = cell.splitn(3, ':');
        let number = parts.next().and_then(|number| number.parse().ok());
        let amount = parts.next().and_then(|amount| amount.parse::<f64>().ok());
        let (Some(number), Some(amount)) = (number, amount) else {
            return Err(unread(format!("“{cell}” is no amount of a nutrient")));
        };
        let nutrient = NutrientId::new(number);
        let served = served.get(&nutrient).and_then(|total| total.known);
        let amount = amount * served.unwrap_or(0.0);
        if cause == FAINT {
            doubts.note_faint(nutrient, amount);
            continue;
        }
        let cause: Cause = cause.parse().map_err(unread)?;
        if let (Cause::Database(food), Some(evidence)) = (&cause, parts.next()) {
            note_evidence(doubts, nutrient, food, evidence)?;
        }
        doubts.note(nutrient, cause, amount);
    }
    Ok(())
}

fn note_evidence(
    doubts: &mut Doubts,
    nutrient: NutrientId,
    food: &FoodId,
    cell: &str,
) -> rusqlite::Result<()> {
    let evidence = match cell {
        "calculated" => Evidence::Calculated,
        "label" => Evidence::Label,
        "unknown" => Evidence::Unknown,
        count => match count.parse() {
            Ok(count) => Evidence::Analysed(count),
            Err(_) => return Err(unread(format!("“{cell}” is no number of analyses"))),
        },
    };
    doubts.note_value(nutrient, food, evidence);
    Ok(())
}

fn unread(error: impl Into<Box<dyn std::error::Error + Send + Sync>>) -> rusqlite::Error {
    rusqlite::Error::FromSqlConversionFailure(0, rusqlite::types::Type::Text, error.into())
}
