//! A day as people type it: `2026-11-27`, `yesterday`, `last friday`, `17 Oct`, `3 days ago`. Every
//! interface reads days here, in words or in numbers; today comes from outside. What is not one day
//! for certain is a [`Refusal`] with the days that it might be.

mod calendar;
mod grammar;
mod lexicon;
mod numeric;
mod period;
mod refusal;
mod spelling;
mod written;

use jiff::ToSpan as _;
use jiff::civil::Date;

pub use period::Period;
pub use refusal::{DayStyle, Refusal, Why};

/// The days of a week.
pub const DAYS_OF_WEEK: i32 = 7;

/// The longest text that is read as a day, in characters (judgement).
const LONGEST: usize = 60;
/// The furthest that a plan reaches ahead, in days (judgement).
const FURTHEST_PLAN: i32 = 366;

/// The use of a day; it decides which way a weekday or a date without a year points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayUse {
    /// The day on which something was done: not in the future, and not before the child was born.
    Record,
    /// A day of a plan: at most a year ahead, and in the past only where it is written in full, as
    /// when a plan is corrected.
    Plan,
    /// A day of birth: not in the future.
    Birth,
    /// A bound of a time in the past, or a day to look back at.
    Past,
    /// A bound of a time in the future, or a day to look ahead from.
    Ahead,
}

impl DayUse {
    fn looks_back(self) -> bool {
        matches!(self, Self::Record | Self::Birth | Self::Past)
    }
}

/// Reads days that are typed today for one use.
#[derive(Debug, Clone, Copy)]
pub struct DayReader {
    /// Today, where the person is.
    pub today: Date,
    /// The use of the day.
    pub purpose: DayUse,
    /// The child's day of birth, where the day is about a child.
    pub born: Option<Date>,
}

impl DayReader {
    /// A reader for a day that is about no child.
    pub fn new(today: Date, purpose: DayUse) -> Self {
        Self {
            today,
            purpose,
            born: None,
        }
    }

    /// A reader for a day in the life of a child.
    pub fn of_child(today: Date, purpose: DayUse, born: Date) -> Self {
        Self {
            born: Some(born),
            ..Self::new(today, purpose)
        }
    }

    /// The day that is meant.
    ///
    /// Errors: the text does not mean one day for certain, there is no such day, or this use does
    /// not allow it.
    pub fn read(&self, typed: &str) -> Result<Date, Refusal> {
        let text = typed.trim().to_lowercase();
        let refused = |why| Refusal {
            typed: typed.trim().to_string(),
            why,
        };
        if text.chars().count() > LONGEST {
            return Err(refused(Why::Unknown));
        }
        let in_full = |day: Date| day.to_string() == text;
        let day = self.meant(&text).map_err(refused)?;
        match self.checked(day) {
            Err(Why::Over { .. }) if in_full(day) => Ok(day),
            checked => checked.map_err(refused),
        }
    }

    fn meant(&self, text: &str) -> Result<Date, Why> {
        match numeric::read(self, text) {
            Some(read) => read,
            None => grammar::read(self, text),
        }
    }

    /// The day, if this use allows it.
    pub fn checked(&self, day: Date) -> Result<Date, Why> {
        let ahead = day > self.today;
        match (self.purpose, self.born) {
            (DayUse::Birth, _) if ahead => Err(Why::UnbornYet { day }),
            (DayUse::Record, _) if ahead => Err(Why::ToCome { day, earlier: None }),
            (DayUse::Record, Some(born)) if day < born => Err(Why::BeforeBirth { day, born }),
            (DayUse::Plan, _) if day < self.today => Err(Why::Over { day, later: None }),
            (DayUse::Plan, _) if day > self.today.saturating_add(FURTHEST_PLAN.days()) => {
                Err(Why::TooFar { day })
            }
            _ => Ok(day),
        }
    }
}
