//! Why a typed day was not taken, as data, and in words.

use jiff::civil::Date;

use crate::next_step::{NextStep, Remark};
use crate::problem::Problem;
use crate::words::{joined, long_day, quoted};

/// A typed day that was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// What was typed.
    pub typed: String,
    /// Why it was not taken.
    pub why: Why,
}

/// Why a typed day was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Why {
    /// The words mean no day.
    Unknown,
    /// A number alone, which could be a day of the month.
    BareNumber(u32),
    /// A word is misspelt; corrected, the words mean this day.
    Misspelt {
        /// The words corrected.
        meant: String,
        /// The day that they mean.
        day: Date,
    },
    /// Two days could be meant.
    Ambiguous(Vec<Date>),
    /// Several days, or about one: the nearest of them.
    Vague(Vec<Date>),
    /// There is no such day.
    Impossible(String),
    /// The day is to come, of something that was done.
    ToCome {
        /// The day.
        day: Date,
        /// The same day of the month or year before, if that could be meant.
        earlier: Option<Date>,
    },
    /// A birth that is to come.
    UnbornYet {
        /// The day.
        day: Date,
    },
    /// The day is over, of something that is to come.
    Over {
        /// The day.
        day: Date,
        /// The same day of the next year, if that could be meant.
        later: Option<Date>,
    },
    /// The day is before the child was born.
    BeforeBirth {
        /// The day.
        day: Date,
        /// The day of birth.
        born: Date,
    },
    /// The day is more than a year ahead.
    TooFar {
        /// The day.
        day: Date,
    },
}

/// The forms of a day that are always understood.
const FORMS: &str = "such as 2026-11-27, yesterday, last friday, 17 Oct, 3 days ago";

impl Refusal {
    /// The days that could be meant, for a door that offers them.
    pub fn candidates(&self) -> Vec<Date> {
        match &self.why {
            Why::Misspelt { day, .. } => vec![*day],
            Why::Ambiguous(days) | Why::Vague(days) => days.clone(),
            Why::ToCome { earlier, .. } => earlier.iter().copied().collect(),
            Why::Over { later, .. } => later.iter().copied().collect(),
            _ => Vec::new(),
        }
    }

    /// The refusal in words, with what to do next.
    pub fn problem(&self) -> Problem {
        let typed = quoted(&self.typed);
        match &self.why {
            Why::Unknown if self.typed.is_empty() => {
                Problem::new("the day is missing").hint(format!("write it {FORMS}"))
            }
            Why::Unknown => {
                Problem::new(format!("{typed} is not a day")).hint(format!("write it {FORMS}"))
            }
            Why::BareNumber(number) => {
                Problem::new(format!("{typed} alone is not a day")).hint(format!(
                    "for a day of the month write “the {}”, or with its month",
                    ordinal(*number)
                ))
            }
            Why::Misspelt { meant, day } => Problem::new(format!("{typed} is not a day"))
                .hint(format!("did you mean “{meant}”, {}?", shown(*day)))
                .meant(&self.typed, meant),
            Why::Ambiguous(days) => Problem::new(format!("{typed} could be {}", any_of(days)))
                .hint("write which, year-month-day"),
            Why::Vague(days) => {
                let problem = Problem::new(format!("{typed} is not one day: which day was meant?"));
                match days.as_slice() {
                    [] => problem.hint(format!("write the day, {FORMS}")),
                    days => problem.hint(format!("write one, such as {}", any_of(days))),
                }
            }
            Why::Impossible(why) => Problem::new(format!("{typed} is no day: {why}"))
                .hint("write a day of the calendar, year-month-day"),
            Why::ToCome { day, earlier } => to_come(*day, *earlier),
            Why::UnbornYet { day } => {
                Problem::new(format!("a birth on {} is still to come", shown(*day)))
                    .hint("write the day of birth, such as 2026-03-02")
            }
            Why::Over { day, later } => {
                let problem = Problem::new(format!("{} is over, in the past", shown(*day)));
                match later {
                    Some(later) => problem.hint(format!("for {} write the year", shown(*later))),
                    None => problem.hint(Remark::with(
                        format!("to plan it all the same, write {day}"),
                        NextStep::RecordMeal,
                    )),
                }
            }
            Why::BeforeBirth { day, born } => {
                let (day, born) = (shown(*day), shown(*born));
                Problem::new(format!("{day} is before the birth, {born}"))
                    .hint("write a later day, or correct the day of birth")
            }
            Why::TooFar { day } => {
                Problem::new(format!("{} is more than a year ahead", shown(*day)))
                    .hint("write a nearer day")
            }
        }
    }
}

fn to_come(day: Date, earlier: Option<Date>) -> Problem {
    let what = format!("{} is still to come", shown(day));
    let words = match earlier {
        Some(earlier) => format!("if {} was meant, write that", shown(earlier)),
        None => "only what was done is recorded".into(),
    };
    Problem::new(what).hint(Remark::with(words, NextStep::PlanAhead))
}

/// `2026-11-21 (Saturday 21 November 2026)`.
fn shown(day: Date) -> String {
    format!("{day} ({})", long_day(day))
}

/// Days to choose from; of more than two the weekday says enough.
fn any_of(days: &[Date]) -> String {
    match days {
        [_] | [_, _] => joined(days.iter().map(|day| shown(*day)), " or "),
        several => joined(
            several
                .iter()
                .map(|day| format!("{day} ({})", day.strftime("%A"))),
            ", ",
        ),
    }
}

/// `1st`, `22nd`, `13th`.
fn ordinal(number: u32) -> String {
    let ending = match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{number}{ending}")
}
