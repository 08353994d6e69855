//! Feedings: what was served, to whom, and how it went.

use crate::next_step::{NextStep, Remark};
use serde::Serialize;
use std::str::FromStr;

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension as _, ToSql, Transaction, params};

use super::eaten;
use super::error::BookError;
use super::freezer::FrozenBatch;
use super::larder::{self, Helping};
use super::sql::{parsed, rows, write_entry};
use super::store::{Store, WriteError};
use super::take_cubes::take;
use crate::nutrition::{Serving, joined_wordings};
use crate::portion::CubeCount;
use crate::problem::Problem;

/// Cubes of one recipe, or of one batch named by its number: `2 lentil-squash`, `1 #7`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pick {
    /// The number of cubes; at least a half.
    pub cubes: CubeCount,
    /// Name of the recipe, or `#` and the number of a batch.
    pub name: String,
}

/// The error for a text that is not a [`Pick`].
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” does not say how many cubes of what")]
pub struct NotAPick(String);

impl NotAPick {
    /// The next step that remedies the error.
    pub fn hint(&self) -> Remark {
        let words = "write a number and a recipe, such as “2 red-lentil-squash”";
        Remark::with(words, NextStep::SeeFreezer)
    }
}

impl FromStr for Pick {
    type Err = NotAPick;

    fn from_str(text: &str) -> Result<Self, NotAPick> {
        let wrong = || NotAPick(text.trim().to_string());
        let (cubes, name) = count_and_name(text.trim()).ok_or_else(wrong)?;
        let name = name.trim().trim_end_matches(".toml");
        if name.is_empty() {
            return Err(wrong());
        }
        Ok(Self {
            cubes,
            name: name.to_string(),
        })
    }
}

/// The number of cubes at the beginning of a text, and the rest: a number of two words is tried
/// before one of one word.
fn count_and_name(text: &str) -> Option<(CubeCount, &str)> {
    let blanks = text.match_indices(' ').take(2).map(|(at, _)| at);
    let blanks: Vec<usize> = blanks.collect();
    let mut splits = blanks.into_iter().rev().map(|at| text.split_at(at));
    splits.find_map(|(number, name)| Some((number.parse().ok()?, name)))
}

/// How much of a meal was eaten.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum How {
    /// Eaten.
    Taken,
    /// Tasted, some eaten.
    Some,
    /// Not eaten.
    Refused,
}

impl How {
    /// The usual share of a meal that is eaten, and whether it is an estimate: half, where some was
    /// eaten.
    pub fn share(self) -> (f64, bool) {
        match self {
            Self::Taken => (1.0, false),
            Self::Some => (0.5, true),
            Self::Refused => (0.0, false),
        }
    }

    /// How a meal went by the share that was eaten, where it was not said in words: nothing, some
    /// of it, all of it.
    pub fn of_share(share: f64) -> Self {
        if share <= 0.0 {
            Self::Refused
        } else if share < 1.0 {
            Self::Some
        } else {
            Self::Taken
        }
    }

    /// That a meal can have gone so when this share was eaten.
    ///
    /// Errors: the two contradict each other.
    pub fn check_share(self, share: Option<f64>) -> Result<(), Problem> {
        let Some(share) = share else { return Ok(()) };
        if matches!(self, Self::Refused) == (share <= 0.0) {
            return Ok(());
        }
        let what = format!(
            "a meal that was {} is none of which {:.0} % was eaten",
            self.word(),
            share * 100.0
        );
        Err(Problem::new(what).hint("leave one of the two out: how it went, or the share"))
    }

    /// The word for it in the record.
    pub fn word(self) -> &'static str {
        match self {
            Self::Taken => "taken",
            Self::Some => "some",
            Self::Refused => "refused",
        }
    }

    /// The words for it on the page and in print.
    pub fn shown(self) -> &'static str {
        match self {
            Self::Taken => "eaten",
            Self::Some => "some of it",
            Self::Refused => "not eaten",
        }
    }

    /// The value of a word in the record.
    pub fn from_word(word: &str) -> Self {
        match word {
            "taken" => Self::Taken,
            "some" => Self::Some,
            _ => Self::Refused,
        }
    }
}

/// The share of a meal that was eaten, stated or usual, and whether it is an estimate.
pub(super) fn share_eaten(how: How, stated: Option<f64>) -> (f64, bool) {
    stated.map_or(how.share(), |share| (share, false))
}

/// A meal as it is about to be recorded.
#[derive(Debug, Clone)]
pub struct Feeding<'a> {
    /// The day.
    pub day: Date,
    /// The child.
    pub child: &'a str,
    /// The name of the meal; empty where it was not recorded.
    pub meal: &'a str,
    /// The cubes that are served.
    pub picks: &'a [Pick],
    /// The other food that is served.
    pub foods: &'a [Helping],
    /// How much of the meal was eaten.
    pub how: How,
    /// The share of the meal that was eaten, 0 to 1, where it was stated.
    pub share: Option<f64>,
    /// The reaction that was seen afterwards, in the parent's words; empty for none.
    pub reaction: &'a str,
}

/// A meal that was recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct Served {
    /// Number of the entry.
    pub id: i64,
    /// The batches that cubes were taken from, and the number of cubes of each.
    pub parts: Vec<(FrozenBatch, CubeCount)>,
    /// The servings, cubes first.
    pub servings: Vec<Serving>,
}

impl Store {
    /// Records a meal, oldest cubes first, and returns its servings.
    pub fn serve(&mut self, feeding: &Feeding<'_>) -> Result<Served, BookError> {
        self.write(|transaction| write_meal(transaction, feeding))
    }

    /// Records a meal of each of some children, or nothing.
    pub fn serve_each(&mut self, feedings: &[Feeding<'_>]) -> Result<Vec<Served>, BookError> {
        self.write_each(feedings, write_meal)
    }
}

/// Writes the entry of a meal.
pub(super) fn write_meal(
    transaction: &Transaction<'_>,
    feeding: &Feeding<'_>,
) -> Result<Served, WriteError> {
    if feeding.picks.is_empty() && feeding.foods.is_empty() {
        let nothing = NotAPick(String::new());
        let problem = Problem::new("a meal has at least one cube, or some other food");
        return Err(problem.hint(nothing.hint()).into());
    }
    let columns: [(&str, &dyn ToSql); 5] = [
        ("child", &feeding.child),
        ("how", &feeding.how.word()),
        ("reaction", &feeding.reaction),
        ("meal", &feeding.meal),
        ("share", &feeding.share),
    ];
    let id = write_entry(transaction, feeding.day, "feeding", &columns)?;
    let parts = fill(transaction, id, feeding.day, (feeding.picks, feeding.foods))?;
    let servings = eaten::servings_of(transaction, id)?;
    Ok(Served {
        id,
        parts,
        servings,
    })
}

/// Takes the cubes of a meal out of the freezer, and adds the other foods.
pub(super) fn fill(
    transaction: &Transaction<'_>,
    id: i64,
    day: Date,
    (picks, foods): (&[Pick], &[Helping]),
) -> Result<Vec<(FrozenBatch, CubeCount)>, WriteError> {
    let mut parts = Vec::new();
    for pick in picks {
        // The cubes are taken pick by pick, so that a recipe named twice finds the rest of them.
        for (batch, cubes) in take(transaction, pick, day)? {
            transaction.execute(
                "INSERT INTO feeding_part (feeding, batch, cubes, halved) VALUES (?1, ?2, ?3, ?4) \
                 ON CONFLICT (feeding, batch) DO UPDATE \
                 SET cubes = cubes + excluded.cubes, halved = halved + excluded.halved",
                params![id, batch.id, cubes.taken(), cubes.halved()],
            )?;
            parts.push((batch, cubes));
        }
    }
    for helping in foods {
        let food = larder::keep(transaction, helping)?;
        let before: Option<String> = transaction
            .prepare_cached("SELECT typed FROM feeding_food WHERE feeding = ?1 AND food = ?2")?
            .query_row([id, food], |row| row.get(0))
            .optional()?;
        let typed = before.map_or_else(
            || helping.named.clone(),
            |before| joined_wordings(&before, &helping.named),
        );
        transaction.execute(
            "INSERT INTO feeding_food (feeding, food, grams, typed) VALUES (?1, ?2, ?3, ?4) \
             ON CONFLICT (feeding, food) DO UPDATE \
             SET grams = grams + excluded.grams, typed = excluded.typed",
            params![id, food, helping.mass.grams(), typed],
        )?;
    }
    Ok(parts)
}

/// The number of days with a meal after a day, up to another.
pub(super) fn days_with_meals(
    connection: &Connection,
    after: Date,
    to: Date,
) -> rusqlite::Result<u32> {
    connection.query_row(
        "SELECT count(DISTINCT day) FROM entry WHERE kind = 'feeding' AND day > ?1 AND day <= ?2",
        params![after.to_string(), to.to_string()],
        |row| row.get(0),
    )
}

/// The number of cubes eaten on each day.
pub(super) fn eaten_by_day(
    connection: &Connection,
    from: Date,
    to: Date,
) -> rusqlite::Result<Vec<(Date, u32)>> {
    let sql = "SELECT entry.day, sum(feeding_part.cubes) FROM feeding_part \
               JOIN entry ON entry.id = feeding_part.feeding \
               WHERE entry.day > ?1 AND entry.day <= ?2 GROUP BY entry.day ORDER BY entry.day";
    let days = [from.to_string(), to.to_string()];
    rows(connection, sql, days, |row| {
        Ok((parsed(row, 0)?, row.get(1)?))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pick_is_a_number_and_a_name() {
        let pick: Pick = " 2  red-lentil-squash.toml ".parse().unwrap();
        assert_eq!(
            (pick.cubes, pick.name.as_str()),
            (2.into(), "red-lentil-squash")
        );
        for half in ["1/2 squash", "½ squash", "0.5 squash", "half a squash"] {
            let pick: Pick = half.parse().unwrap();
            assert_eq!(
                (pick.cubes, pick.name.as_str()),
                (CubeCount::new(1, 1), "squash")
            );
        }
        let pick: Pick = "1 1/2 squash and pear".parse().unwrap();
        assert_eq!(
            (pick.cubes.served(), pick.name.as_str()),
            (1.5, "squash and pear")
        );
        for wrong in ["", "2", "two cubes", "0 squash", "-1 squash", "2 "] {
            assert!(wrong.parse::<Pick>().is_err(), "{wrong}");
        }
    }
}
