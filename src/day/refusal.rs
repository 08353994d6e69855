//! Why a typed day was not taken, as data, and in words.

use jiff::civil::Date;

use crate::next_step::{NextStep, Remark};
use crate::problem::Problem;
use crate::words::{joined, long_day, quoted};

/// A typed day that was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// The typed text.
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
    /// Several days could be meant, or a day is named only roughly: the nearest of them.
    Vague(Vec<Date>),
    /// There is no such day.
    Impossible(String),
    /// The day is in the future, though it is one on which something was done.
    ToCome {
        /// The day.
        day: Date,
        /// The same day of the month or year before, if that could be meant.
        earlier: Option<Date>,
    },
    /// The day of birth is in the future.
    UnbornYet {
        /// The day.
        day: Date,
    },
    /// The day is in the past, though it is one of a plan.
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

/// The style in which an interface writes days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayStyle {
    /// As they are pasted into a command, with the day in words behind.
    Iso,
    /// In words alone.
    Words,
}

impl DayStyle {
    /// The forms of a day that are always understood.
    fn forms(self) -> &'static str {
        match self {
            Self::Iso => "such as 2026-11-27, yesterday, last friday, 17 Oct, 3 days ago",
            Self::Words => "such as 27 November, yesterday, last friday, 3 days ago",
        }
    }

    /// The unambiguous way to write a day.
    fn plainly(self) -> &'static str {
        match self {
            Self::Iso => "year-month-day",
            Self::Words => "with its month in letters",
        }
    }

    /// `2026-11-21 (Saturday 21 November 2026)`.
    fn shown(self, day: Date) -> String {
        match self {
            Self::Iso => format!("{day} ({})", long_day(day)),
            Self::Words => long_day(day),
        }
    }

    /// The days to choose from; of more than two the weekday is enough.
    fn any_of(self, days: &[Date]) -> String {
        match (self, days) {
            (_, [_] | [_, _]) => joined(days.iter().map(|day| self.shown(*day)), " or "),
            (Self::Words, _) => joined(days.iter().map(|day| long_day(*day)), "; "),
            (Self::Iso, several) => joined(
                several
                    .iter()
                    .map(|day| format!("{day} ({})", day.strftime("%A"))),
                ", ",
            ),
        }
    }
}

impl Refusal {
    /// The days that could be meant, for an interface that offers them.
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
    pub fn problem(&self, style: DayStyle) -> Problem {
        let typed = quoted(&self.typed);
        let (forms, plainly) = (style.forms(), style.plainly());
        let shown = |day: Date| style.shown(day);
        match &self.why {
            Why::Unknown if self.typed.is_empty() => {
                Problem::new("the day is missing").hint(format!("write it {forms}"))
            }
            Why::Unknown => {
                Problem::new(format!("{typed} is not a day")).hint(format!("write it {forms}"))
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
            Why::Ambiguous(days) => {
                Problem::new(format!("{typed} could be {}", style.any_of(days)))
                    .hint(format!("write which, {plainly}"))
            }
            Why::Vague(days) => {
                let problem = Problem::new(format!("{typed} is not one day: which day was meant?"));
                match days.as_slice() {
                    [] => problem.hint(format!("write the day, {forms}")),
                    days => problem.hint(format!("write one, such as {}", style.any_of(days))),
                }
            }
            Why::Impossible(why) => Problem::new(format!("{typed} is no day: {why}"))
                .hint(format!("write a day of the calendar, {plainly}")),
            Why::ToCome { day, earlier } => to_come(&shown(*day), earlier.map(shown)),
            Why::UnbornYet { day } => {
                Problem::new(format!("a birth on {} is still to come", shown(*day)))
                    .hint("write the day on which the child was born")
            }
            Why::Over { day, later } => {
                let problem = Problem::new(format!("{} is over, in the past", shown(*day)));
                match later {
                    Some(later) => problem.hint(format!("for {} write the year", shown(*later))),
                    None => problem.hint(Remark::with(
                        format!("to plan it all the same, write {}", shown(*day)),
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

fn to_come(day: &str, earlier: Option<String>) -> Problem {
    let what = format!("{day} is still to come");
    let words = match earlier {
        Some(earlier) => format!("if {earlier} was meant, write that"),
        None => "only what was done is recorded".into(),
    };
    Problem::new(what).hint(Remark::with(words, NextStep::PlanAhead))
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
