//! Milk: what a child drinks a day, from a day on or on one day, and the days of a child with it.

use jiff::ToSpan as _;
use jiff::civil::Date;
use rusqlite::{Connection, ToSql, Transaction, params};

use super::larder::{self, Helping, Larder};
use super::sql::{parsed, rows, write_entry};
use super::store::{Store, WriteError};
use super::{BookError, Child};
use crate::nutrition::{AgeMonths, BreastMilk, Day, Meal, Milk, Serving, Source};
use crate::problem::Problem;
use crate::quantity::Mass;

/// The milk that a child drinks a day, to be recorded.
#[derive(Debug, Clone)]
pub struct NewMilk<'a> {
    /// The day.
    pub day: Date,
    /// Whether the entry is for this day only; otherwise it is valid from this day until the next
    /// entry.
    pub one_day: bool,
    /// The child.
    pub child: &'a str,
    /// The milks of the day; empty for a child that drinks none.
    pub parts: &'a [MilkPart],
}

/// One milk of a day.
#[derive(Debug, Clone)]
pub struct MilkPart {
    /// The milk; its mass counts only where the amount is a mass.
    pub helping: Helping,
    /// Whether the milk is breast milk.
    pub breast: bool,
    /// The amount a day.
    pub amount: MilkAmount,
}

/// The amount of milk that a child has a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MilkAmount {
    /// A measured mass.
    Mass(Mass),
    /// A number of feeds at the breast.
    Feeds(u32),
    /// As much as the child wants, not counted.
    Wanted,
}

impl MilkAmount {
    /// The grams, or the number of feeds.
    fn counted(self) -> (Option<f64>, Option<u32>) {
        match self {
            Self::Mass(mass) => (Some(mass.grams()), None),
            Self::Feeds(feeds) => (None, Some(feeds)),
            Self::Wanted => (None, None),
        }
    }
}

impl Store {
    /// Records what each of some children drinks a day, or nothing; returns the numbers of the
    /// entries.
    ///
    /// Errors: breast milk without an amount beside another milk, of which an estimate by age would
    /// make too much.
    pub fn drink_each(&mut self, each: &[NewMilk<'_>]) -> Result<Vec<i64>, BookError> {
        self.write_each(each, write_milk)
    }

    /// The meals and milks of a child on each day from one to another, both included. Breast milk
    /// without an amount is estimated by age. `unrecorded` is the milk of a day without an entry.
    pub fn days(
        &self,
        child: &Child,
        (from, to): (Date, Date),
        breast: &BreastMilk,
        unrecorded: Option<&Helping>,
    ) -> Result<Vec<Day>, BookError> {
        let mut eaten = self.eaten(&child.name, from, to)?.into_iter().peekable();
        let mut days = self.milk_days(child, (from, to), breast, unrecorded)?;
        for day in &mut days {
            while let Some(eaten) = eaten.next_if(|eaten| eaten.day == day.date) {
                day.meals.push(eaten.meal);
            }
        }
        self.mark_partial(child, (from, to), &mut days)?;
        for dose in self.doses(&child.name, (from, to))? {
            if let Some(day) = days.iter_mut().find(|day| day.date == dose.day) {
                day.supplements.push((dose.nutrient, dose.amount));
            }
        }
        Ok(days)
    }

    /// The days with their milk, without meals.
    pub fn milk_days(
        &self,
        child: &Child,
        (from, to): (Date, Date),
        breast: &BreastMilk,
        unrecorded: Option<&Helping>,
    ) -> Result<Vec<Day>, BookError> {
        let entries = self.read(|connection| entries(connection, &child.name))?;
        let dates = from.series(1.day()).take_while(|date| *date <= to);
        let day = |date: Date| {
            let age = child.age_on(date);
            let milk = match of_day(&entries, date) {
                Some(entry) => self.poured(entry, age, breast)?,
                None => match unrecorded {
                    Some(milk) => wanted(milk, age, breast)?,
                    None => None,
                },
            };
            Ok(Day {
                date,
                age,
                milk,
                meals: Vec::<Meal>::new(),
                partial: false,
                supplements: Vec::new(),
            })
        };
        dates.map(day).collect()
    }

    /// The milk of a day with an entry; `None` where it has no amount, and no average for the age
    /// is known.
    fn poured(
        &self,
        entry: &MilkEntry,
        age: AgeMonths,
        breast: &BreastMilk,
    ) -> Result<Option<Vec<Milk>>, BookError> {
        self.read(|connection| {
            let mut larder = Larder::of(connection);
            let mut milks = Vec::new();
            for part in &entry.parts {
                let Some((mass, estimate)) = mass(part.grams, part.feeds, age, breast) else {
                    return Ok(None);
                };
                milks.push(Milk {
                    serving: larder.serving(part.food, mass.grams(), Source::Milk)?,
                    breast: part.breast,
                    feeds: part.feeds,
                    estimate,
                });
            }
            Ok(Some(milks))
        })
    }
}

/// The milks of a day at an age; `None` where one has no amount, and no average for the age is
/// known.
///
/// Errors: a table cannot be read.
pub fn milks_at_age(
    parts: &[MilkPart],
    age: AgeMonths,
    breast: &BreastMilk,
) -> Result<Option<Vec<Milk>>, data_import::Error> {
    let mut milks = Vec::new();
    for part in parts {
        let (grams, feeds) = part.amount.counted();
        let Some((mass, estimate)) = mass(grams, feeds, age, breast) else {
            return Ok(None);
        };
        let (food, allergens) = (&part.helping.food, part.helping.allergens.clone());
        milks.push(Milk {
            serving: Serving::of_food(Source::Milk, food, mass, allergens)?,
            breast: part.breast,
            feeds,
            estimate,
        });
    }
    Ok(Some(milks))
}

/// Records the milks of a day.
pub(super) fn write_parts(
    transaction: &Transaction<'_>,
    id: i64,
    parts: &[MilkPart],
) -> rusqlite::Result<()> {
    for (position, part) in (0_i64..).zip(parts) {
        let (grams, feeds) = part.amount.counted();
        let food = larder::keep(transaction, &part.helping)?;
        transaction.execute(
            "INSERT INTO milk_part (milk, position, food, breast, grams, feeds) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![id, position, food, part.breast, grams, feeds],
        )?;
    }
    Ok(())
}

/// An entry of a child's milk in the record.
struct MilkEntry {
    entry: i64,
    day: Date,
    one_day: bool,
    parts: Vec<MilkEntryPart>,
}

struct MilkEntryPart {
    food: i64,
    breast: bool,
    grams: Option<f64>,
    feeds: Option<u32>,
}

/// Writes the entry of a milk.
fn write_milk(transaction: &Transaction<'_>, new: &NewMilk<'_>) -> Result<i64, WriteError> {
    let uncounted = |part: &MilkPart| part.amount == MilkAmount::Wanted;
    if new.parts.len() > 1 && new.parts.iter().any(uncounted) {
        let what = "beside another milk, breast milk needs an amount";
        return Err(Problem::new(what)
            .hint("say feeds or millilitres, such as “breast 3 feeds, 300 ml own-formula”")
            .into());
    }
    let columns: [(&str, &dyn ToSql); 2] = [("child", &new.child), ("one_day", &new.one_day)];
    let id = write_entry(transaction, new.day, "milk", &columns)?;
    write_parts(transaction, id, new.parts)?;
    Ok(id)
}

/// All entries of a child's milk, in the order of the record.
fn entries(connection: &Connection, child: &str) -> rusqlite::Result<Vec<MilkEntry>> {
    let heads = "SELECT milk.entry, entry.day, one_day FROM milk \
                 JOIN entry ON entry.id = milk.entry WHERE child = ?1 ORDER BY milk.entry";
    let parts =
        "SELECT food, breast, grams, feeds FROM milk_part WHERE milk = ?1 ORDER BY position";
    let mut all: Vec<MilkEntry> = rows(connection, heads, [child], |row| {
        Ok(MilkEntry {
            entry: row.get(0)?,
            day: parsed(row, 1)?,
            one_day: row.get(2)?,
            parts: Vec::new(),
        })
    })?;
    for entry in &mut all {
        entry.parts = rows(connection, parts, [entry.entry], |row| {
            Ok(MilkEntryPart {
                food: row.get(0)?,
                breast: row.get(1)?,
                grams: row.get(2)?,
                feeds: row.get(3)?,
            })
        })?;
    }
    Ok(all)
}

/// The entry that is valid on a day: the one for that day alone, else the last of those that
/// continue.
fn of_day(entries: &[MilkEntry], date: Date) -> Option<&MilkEntry> {
    let alone = entries
        .iter()
        .filter(|entry| entry.one_day && entry.day == date);
    let lasting = entries
        .iter()
        .filter(|entry| !entry.one_day && entry.day <= date);
    alone
        .max_by_key(|entry| entry.entry)
        .or_else(|| lasting.max_by_key(|entry| (entry.day, entry.entry)))
}

/// The mass of a milk, and the explanation where it is an estimate.
fn mass(
    grams: Option<f64>,
    feeds: Option<u32>,
    age: AgeMonths,
    breast: &BreastMilk,
) -> Option<(Mass, Option<String>)> {
    let estimated = |(mass, source)| (mass, Some(source));
    match (grams, feeds) {
        (Some(grams), _) => Some((Mass::from_grams(grams), None)),
        (None, Some(feeds)) => Some(estimated(BreastMilk::of_feeds(feeds))),
        (None, None) => breast.average(age).map(estimated),
    }
}

/// Breast milk on demand, for a day without an entry.
fn wanted(
    milk: &Helping,
    age: AgeMonths,
    breast: &BreastMilk,
) -> Result<Option<Vec<Milk>>, data_import::Error> {
    let Some((mass, estimate)) = mass(None, None, age, breast) else {
        return Ok(None);
    };
    let allergens = milk.allergens.clone();
    Ok(Some(vec![Milk {
        serving: Serving::of_food(Source::Milk, &milk.food, mass, allergens)?,
        breast: true,
        feeds: None,
        estimate,
    }]))
}
