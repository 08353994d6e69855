//! Feedings: what was served, to whom, and how it went.

use std::collections::BTreeMap;
use std::str::FromStr;

use data_import::NutrientId;
use jiff::civil::Date;
use rusqlite::{Connection, params};

use super::error::BookError;
use super::freezer::{FrozenBatch, parsed, take};
use super::store::{Store, new_entry};
use crate::problem::Problem;

/// Cubes of one recipe, or of one batch named by its number: `2 lentil-squash`, `1 #7`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pick {
    /// How many; at least one.
    pub cubes: u32,
    /// Name of the recipe, or `#` and the number of a batch.
    pub name: String,
}

/// A text that is no [`Pick`].
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` does not say how many cubes of what")]
pub struct NotAPick(String);

impl NotAPick {
    /// What to do next.
    pub fn hint(&self) -> &'static str {
        "write a number and a recipe, such as `2 red-lentil-squash`; see `trayful freezer`"
    }
}

impl FromStr for Pick {
    type Err = NotAPick;

    fn from_str(text: &str) -> Result<Self, NotAPick> {
        let wrong = || NotAPick(text.trim().to_string());
        let (cubes, name) = text.trim().split_once(' ').ok_or_else(wrong)?;
        let cubes = cubes
            .parse()
            .ok()
            .filter(|cubes| (1..=1000).contains(cubes));
        let name = name.trim().trim_end_matches(".toml");
        if name.is_empty() {
            return Err(wrong());
        }
        Ok(Self {
            cubes: cubes.ok_or_else(wrong)?,
            name: name.to_string(),
        })
    }
}

/// How a meal went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// Eaten.
    Taken,
    /// Tasted, some eaten.
    Some,
    /// Not eaten.
    Refused,
}

impl How {
    /// The word for it in the record.
    pub fn word(self) -> &'static str {
        match self {
            Self::Taken => "taken",
            Self::Some => "some",
            Self::Refused => "refused",
        }
    }

    /// The meaning of a word in the record.
    pub fn from_word(word: &str) -> Self {
        match word {
            "taken" => Self::Taken,
            "some" => Self::Some,
            _ => Self::Refused,
        }
    }
}

/// A meal as it is about to be recorded.
#[derive(Debug, Clone)]
pub struct Feeding<'a> {
    /// The day.
    pub day: Date,
    /// The child.
    pub child: &'a str,
    /// What is served.
    pub picks: &'a [Pick],
    /// How it went.
    pub how: How,
    /// What was seen afterwards, in the parent's words; empty for nothing.
    pub reaction: &'a str,
}

/// A sum over a meal, in the nutrient's unit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MealTotal {
    /// Sum of what is known; `None` where nothing is.
    pub known: Option<f64>,
    /// Whether every part is known.
    pub complete: bool,
}

/// A meal that was recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct Served {
    /// Number of the entry.
    pub id: i64,
    /// From which batches, and how many cubes of each.
    pub parts: Vec<(FrozenBatch, u32)>,
    /// What it holds as served, by nutrient.
    pub totals: BTreeMap<NutrientId, MealTotal>,
}

impl Store {
    /// Records a meal, oldest cubes first, and says what it holds as served.
    pub fn serve(&mut self, feeding: &Feeding<'_>) -> Result<Served, BookError> {
        if feeding.picks.is_empty() {
            let nothing = NotAPick(String::new());
            return Err(Problem::new("a meal has at least one cube")
                .hint(nothing.hint())
                .into());
        }
        self.write(|transaction| {
            let id = new_entry(transaction, feeding.day, "feeding")?;
            transaction.execute(
                "INSERT INTO feeding (entry, child, how, reaction) VALUES (?1, ?2, ?3, ?4)",
                params![id, feeding.child, feeding.how.word(), feeding.reaction],
            )?;
            let mut parts = Vec::new();
            for pick in feeding.picks {
                // Taken one by one, so that a recipe named twice finds the rest of the cubes.
                for (batch, cubes) in take(transaction, pick, feeding.day)? {
                    transaction.execute(
                        "INSERT INTO feeding_part (feeding, batch, cubes) VALUES (?1, ?2, ?3) \
                         ON CONFLICT (feeding, batch) DO UPDATE SET cubes = cubes + excluded.cubes",
                        params![id, batch.id, cubes],
                    )?;
                    parts.push((batch, cubes));
                }
            }
            let totals = totals(transaction, &parts)?;
            Ok(Served { id, parts, totals })
        })
    }
}

/// What cubes hold as served, by nutrient.
fn totals(
    connection: &Connection,
    parts: &[(FrozenBatch, u32)],
) -> rusqlite::Result<BTreeMap<NutrientId, MealTotal>> {
    let mut totals: BTreeMap<NutrientId, MealTotal> = BTreeMap::new();
    let mut select = connection
        .prepare("SELECT number, served, missing FROM batch_nutrient WHERE batch = ?1")?;
    for (batch, cubes) in parts {
        let rows = select.query_map([batch.id], |row| {
            let served: Option<f64> = row.get(1)?;
            let missing: String = row.get(2)?;
            Ok((NutrientId::new(row.get(0)?), served, missing.is_empty()))
        })?;
        for row in rows {
            let (nutrient, served, complete) = row?;
            let total = totals.entry(nutrient).or_insert(MealTotal {
                known: None,
                complete: true,
            });
            total.complete &= complete;
            if let Some(served) = served {
                *total.known.get_or_insert(0.0) += served * f64::from(*cubes);
            }
        }
    }
    Ok(totals)
}

/// Whether there was a meal on a day or before it.
pub(super) fn eaten_before(connection: &Connection, day: Date) -> rusqlite::Result<bool> {
    connection.query_row(
        "SELECT EXISTS (SELECT 1 FROM entry WHERE kind = 'feeding' AND day <= ?1)",
        [day.to_string()],
        |row| row.get(0),
    )
}

/// A day and how many cubes went that day.
pub(super) fn eaten_by_day(
    connection: &Connection,
    from: Date,
    to: Date,
) -> rusqlite::Result<Vec<(Date, u32)>> {
    connection
        .prepare(
            "SELECT entry.day, sum(feeding_part.cubes) FROM feeding_part \
             JOIN entry ON entry.id = feeding_part.feeding \
             WHERE entry.day > ?1 AND entry.day <= ?2 GROUP BY entry.day ORDER BY entry.day",
        )?
        .query_map(params![from.to_string(), to.to_string()], |row| {
            Ok((parsed(row, 0)?, row.get(1)?))
        })?
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pick_is_a_number_and_a_name() {
        let pick: Pick = " 2  red-lentil-squash.toml ".parse().unwrap();
        assert_eq!((pick.cubes, pick.name.as_str()), (2, "red-lentil-squash"));
        for wrong in ["", "2", "two cubes", "0 squash", "-1 squash", "2 "] {
            assert!(wrong.parse::<Pick>().is_err(), "{wrong}");
        }
    }
}
