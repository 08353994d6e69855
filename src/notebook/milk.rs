//! Milk: what a child drinks a day, from a day on or on one day, and the days of a child with it.

use jiff::ToSpan as _;
use jiff::civil::Date;
use rusqlite::{Connection, params};

use super::freezer::parsed;
use super::larder::{self, Helping, Larder};
use super::store::{Store, new_entry};
use super::{BookError, Child};
use crate::nutrition::{AgeMonths, BreastMilk, Day, Meal, Milk, Serving, Source};
use crate::problem::Problem;
use crate::quantity::Mass;

/// What a child drinks a day, as it is about to be recorded.
#[derive(Debug, Clone)]
pub struct NewMilk<'a> {
    /// The day.
    pub day: Date,
    /// Whether it is said of this day only; else of every day from then on, until it is said anew.
    pub one_day: bool,
    /// The child.
    pub child: &'a str,
    /// Every milk; none where the child has none.
    pub parts: &'a [MilkPart],
}

/// One milk of a day.
#[derive(Debug, Clone)]
pub struct MilkPart {
    /// The milk; its mass counts only where the amount is a mass.
    pub helping: Helping,
    /// Whether it is breast milk.
    pub breast: bool,
    /// How much.
    pub amount: MilkAmount,
}

/// How much milk a child has a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MilkAmount {
    /// So much, measured.
    Mass(Mass),
    /// So many feeds at the breast.
    Feeds(u32),
    /// As much as the child wants: nobody counted.
    Wanted,
}

impl Store {
    /// Records what a child drinks a day; gives the number of the entry.
    ///
    /// Errors: breast milk without an amount beside another milk, of which an estimate by age would make too much.
    pub fn drink(&mut self, new: &NewMilk<'_>) -> Result<i64, BookError> {
        let uncounted = |part: &MilkPart| part.amount == MilkAmount::Wanted;
        if new.parts.len() > 1 && new.parts.iter().any(uncounted) {
            let what = "beside another milk, breast milk needs an amount";
            return Err(Problem::new(what)
                .hint("say feeds or millilitres, such as “breast 3 feeds, 300 ml own-formula”")
                .into());
        }
        self.write(|transaction| {
            let id = new_entry(transaction, new.day, "milk")?;
            transaction.execute(
                "INSERT INTO milk (entry, child, one_day) VALUES (?1, ?2, ?3)",
                params![id, new.child, new.one_day],
            )?;
            for (position, part) in new.parts.iter().enumerate() {
                let (grams, feeds) = match part.amount {
                    MilkAmount::Mass(mass) => (Some(mass.grams()), None),
                    MilkAmount::Feeds(feeds) => (None, Some(feeds)),
                    MilkAmount::Wanted => (None, None),
                };
                let position = i64::try_from(position).unwrap_or(i64::MAX);
                let food = larder::keep(transaction, &part.helping)?;
                transaction.execute(
                    "INSERT INTO milk_part (milk, position, food, breast, grams, feeds) \
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                    params![id, position, food, part.breast, grams, feeds],
                )?;
            }
            Ok(id)
        })
    }

    /// What a child had on each day from one to another, both included: every meal and every milk. Breast milk
    /// that nobody counted is estimated by age. `unsaid` is the milk of a day of which the record says nothing.
    pub fn days(
        &self,
        child: &Child,
        (from, to): (Date, Date),
        breast: &BreastMilk,
        unsaid: Option<&Helping>,
    ) -> Result<Vec<Day>, BookError> {
        let mut eaten = self.eaten(&child.name, from, to)?.into_iter().peekable();
        let mut days = self.milk_days(child, (from, to), breast, unsaid)?;
        for day in &mut days {
            while let Some(one) = eaten.next_if(|one| one.day == day.date) {
                day.meals.push(one.meal);
            }
        }
        Ok(days)
    }

    /// Each day with its milk, and no meal yet.
    pub fn milk_days(
        &self,
        child: &Child,
        (from, to): (Date, Date),
        breast: &BreastMilk,
        unsaid: Option<&Helping>,
    ) -> Result<Vec<Day>, BookError> {
        let said = self.read(|connection| said(connection, &child.name))?;
        let dates = from.series(1.day()).take_while(|date| *date <= to);
        let day = |date: Date| {
            let age = child.age_on(date);
            let milk = match of_day(&said, date) {
                Some(said) => self.poured(said, age, breast)?,
                None => match unsaid {
                    Some(milk) => wanted(milk, age, breast)?,
                    None => None,
                },
            };
            Ok(Day {
                date,
                age,
                milk,
                meals: Vec::<Meal>::new(),
            })
        };
        dates.map(day).collect()
    }

    /// The milk of a day, of which the record says what it is; `None` where nobody counted it, and no average is known.
    fn poured(
        &self,
        said: &Said,
        age: AgeMonths,
        breast: &BreastMilk,
    ) -> Result<Option<Vec<Milk>>, BookError> {
        self.read(|connection| {
            let mut larder = Larder::of(connection);
            let mut milks = Vec::new();
            for part in &said.parts {
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

/// What the record says of a child's milk.
struct Said {
    entry: i64,
    day: Date,
    one_day: bool,
    parts: Vec<SaidPart>,
}

struct SaidPart {
    food: i64,
    breast: bool,
    grams: Option<f64>,
    feeds: Option<u32>,
}

/// Everything that was said of a child's milk, in the order of the record.
fn said(connection: &Connection, child: &str) -> rusqlite::Result<Vec<Said>> {
    let mut heads = connection.prepare(
        "SELECT milk.entry, entry.day, one_day FROM milk JOIN entry ON entry.id = milk.entry \
         WHERE child = ?1 ORDER BY milk.entry",
    )?;
    let mut parts = connection.prepare(
        "SELECT food, breast, grams, feeds FROM milk_part WHERE milk = ?1 ORDER BY position",
    )?;
    let mut all = heads
        .query_map([child], |row| {
            Ok(Said {
                entry: row.get(0)?,
                day: parsed(row, 1)?,
                one_day: row.get(2)?,
                parts: Vec::new(),
            })
        })?
        .collect::<Result<Vec<_>, _>>()?;
    for one in &mut all {
        let rows = parts.query_map([one.entry], |row| {
            Ok(SaidPart {
                food: row.get(0)?,
                breast: row.get(1)?,
                grams: row.get(2)?,
                feeds: row.get(3)?,
            })
        })?;
        one.parts = rows.collect::<Result<_, _>>()?;
    }
    Ok(all)
}

/// What counts on a day: what was said of that day alone, else the last that was said of a day and those after it.
fn of_day(said: &[Said], date: Date) -> Option<&Said> {
    let alone = said.iter().filter(|one| one.one_day && one.day == date);
    let lasting = said.iter().filter(|one| !one.one_day && one.day <= date);
    alone
        .max_by_key(|one| one.entry)
        .or_else(|| lasting.max_by_key(|one| (one.day, one.entry)))
}

/// The mass of a milk, and what is to be said of it where it is an estimate.
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

/// Breast milk as it is wanted, of a day of which the record says nothing.
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
