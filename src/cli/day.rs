//! Days and children as they are typed on the command line.

use clap::Args;
use jiff::civil::Date;
use serde::Serialize;
use trayful::day::{DayReader, DayStyle, DayUse, Period};
use trayful::household::orphaned;
use trayful::names::{self, Found, Named};
use trayful::notebook::{Book, Child, Settings};
use trayful::problem::Problem;
use trayful::words::{joined, long_day, quoted};

use super::Session;
use super::again::command_with;
use super::clock;
use super::failure::Failure;
use super::next_command::with_command;
use super::typed_value::place_of;

// The day an entry is about.
#[derive(Debug, Args)]
pub(super) struct DayArg {
    /// The day it is about, such as yesterday, last friday, 17 Oct or 2026-11-27; today if left out
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
}

impl DayArg {
    /// The day of something that was done, perhaps with these children.
    pub(super) fn done(&self, session: &Session, of: &[&Child]) -> Result<Date, Failure> {
        let born = of.iter().map(|child| child.born).max();
        self.read(session, DayUse::Record, born)
    }

    /// Whether no day was said.
    pub(super) fn is_today(&self) -> bool {
        self.on.is_none()
    }

    /// A day to look ahead from.
    pub(super) fn ahead(&self, session: &Session) -> Result<Date, Failure> {
        self.read(session, DayUse::Ahead, None)
    }

    /// A day to look back from.
    pub(super) fn past(&self, session: &Session) -> Result<Date, Failure> {
        self.read(session, DayUse::Past, None)
    }

    fn read(
        &self,
        session: &Session,
        purpose: DayUse,
        born: Option<Date>,
    ) -> Result<Date, Failure> {
        let today = session.today();
        let reader = DayReader {
            today,
            purpose,
            born,
        };
        let day = self.on.as_deref();
        day.map_or(Ok(today), |typed| session.day("--on", typed, &reader))
    }
}

/// How a day that was typed in words was taken, for JSON.
#[derive(Debug, Clone, Serialize)]
pub(super) struct TakenDay {
    typed: String,
    day: Date,
}

impl Session {
    /// Today, where the parent is.
    pub(super) fn today(&self) -> Date {
        let clock = || clock::now().date();
        self.common.today.unwrap_or_else(clock)
    }

    /// The day that was typed as the value of an option; prints a note where it was not written in full.
    pub(super) fn day(
        &self,
        option: &str,
        typed: &str,
        reader: &DayReader,
    ) -> Result<Date, Failure> {
        let day = reader.read(typed).map_err(|refusal| Problem {
            place: Some(place_of(option, typed)),
            ..refusal.problem(DayStyle::Iso)
        })?;
        let typed = typed.trim();
        if typed != day.to_string() {
            let words = format!("“{typed}” was taken as {}", long_day(day));
            self.output.note(&words);
            let typed = typed.to_string();
            self.days.borrow_mut().push(TakenDay { typed, day });
        }
        Ok(day)
    }

    /// Notes that the record has entries of somebody who is most likely one of these children under a former name.
    pub(super) fn note_orphans(&self, book: &Book, children: &[&Child]) -> Result<(), Failure> {
        if !book.has_record() {
            return Ok(());
        }
        for orphan in orphaned(book, &book.store()?)? {
            let now = orphan.renamed_to.as_deref().or(orphan.likely.as_deref());
            if children.iter().any(|child| Some(&*child.name) == now) {
                self.output.note(&with_command(&orphan.remark()));
            }
        }
        Ok(())
    }

    /// As [`Session::day`], where the option may be left out.
    pub(super) fn day_or(
        &self,
        option: &str,
        typed: Option<&str>,
        reader: &DayReader,
    ) -> Result<Option<Date>, Failure> {
        typed
            .map(|typed| self.day(option, typed, reader))
            .transpose()
    }

    /// The day since which something of these children is so, `from`, or the only one on which it
    /// is, `on`; today where neither is said.
    pub(super) fn on_or_from(
        &self,
        (on, from): (Option<&str>, Option<&str>),
        of: &[&Child],
    ) -> Result<Date, Failure> {
        let reader = DayReader {
            today: self.today(),
            purpose: DayUse::Record,
            born: of.iter().map(|child| child.born).max(),
        };
        let on = self.day_or("--on", on, &reader)?;
        let from = self.day_or("--from", from, &reader)?;
        Ok(on.or(from).unwrap_or(reader.today))
    }

    /// The child that was named, or the only one; prints a note where the name was not written in full.
    pub(super) fn child<'a>(
        &self,
        book: &'a Book,
        named: Option<&str>,
    ) -> Result<&'a Child, Failure> {
        let Some(written) = named else {
            return the_only(&book.settings);
        };
        if written.contains(',') {
            return Err(one_is_meant(book, written).into());
        }
        let named = book.named_child(Some(written));
        if named.is_ok() || book.settings.children.is_empty() {
            return Ok(named?);
        }
        let children = book.settings.children.iter();
        let known: Vec<Named> = children
            .map(|child| Named::from(child.name.as_str()))
            .collect();
        let found: Found = names::find("child", written, &known)?;
        Ok(book.named_child(Some(&self.stated(found)))?)
    }
}

/// Several children were named where something is said of one.
fn one_is_meant(book: &Book, written: &str) -> Problem {
    let names: Vec<&str> = written.split(',').map(str::trim).collect();
    let first = names.iter().find(|name| book.child(name).is_some());
    let problem = Problem::new(format!(
        "{} are several, and this is about one child",
        quoted(written)
    ));
    match first {
        Some(first) => problem.hint("once for each of them").meant(written, first),
        None => problem.hint("once for each of them"),
    }
}

/// The only child of a book; of several one must be named, and the error has the command that names the first.
fn the_only(settings: &Settings) -> Result<&Child, Failure> {
    settings
        .child(None)
        .map_err(|problem| match settings.children.as_slice() {
            [first, _, ..] => {
                let names = settings.children.iter().map(|child| &child.name);
                Problem::new(problem.what)
                    .hint(format!(
                        "say which with --child: {}, such as: {}",
                        joined(names, ", "),
                        command_with("--child", &first.name)
                    ))
                    .into()
            }
            _ => problem.into(),
        })
}

// The child that a command is about.
#[derive(Debug, Args)]
pub(super) struct ChildArg {
    /// The child, by name or its beginning; may be left out where the book has one
    #[arg(long = "child", value_name = "CHILD")]
    name: Option<String>,
}

impl ChildArg {
    /// The child that was named, or the only one.
    pub(super) fn one<'a>(&self, session: &Session, book: &'a Book) -> Result<&'a Child, Failure> {
        let child = session.child(book, self.name.as_deref())?;
        session.note_orphans(book, &[child])?;
        Ok(child)
    }

    /// The child that was named; `None` where all are meant.
    pub(super) fn only<'a>(
        &self,
        session: &Session,
        book: &'a Book,
    ) -> Result<Option<&'a Child>, Failure> {
        let name = self.name.as_deref();
        name.map(|name| session.child(book, Some(name))).transpose()
    }
}

// The children of whom something is recorded or shown.
#[derive(Debug, Args)]
pub(super) struct ChildrenArg {
    /// The child, or several with commas between them; may be left out where the book has one
    #[arg(long = "child", value_name = "CHILD", value_delimiter = ',')]
    names: Vec<String>,
}

impl ChildrenArg {
    /// The children that were named, each once, or the only one.
    pub(super) fn all<'a>(
        &self,
        session: &Session,
        book: &'a Book,
    ) -> Result<Vec<&'a Child>, Failure> {
        let children = self.named(session, book)?;
        session.note_orphans(book, &children)?;
        Ok(children)
    }

    fn named<'a>(&self, session: &Session, book: &'a Book) -> Result<Vec<&'a Child>, Failure> {
        if self.names.is_empty() {
            return Ok(vec![the_only(&book.settings)?]);
        }
        let mut children: Vec<&Child> = Vec::new();
        for name in &self.names {
            let child = session.child(book, Some(name.trim()))?;
            if !children.iter().any(|known| known.name == child.name) {
                children.push(child);
            }
        }
        Ok(children)
    }

    /// The children that were named, each once, or every child of the book.
    pub(super) fn or_every<'a>(
        &self,
        session: &Session,
        book: &'a Book,
    ) -> Result<Vec<&'a Child>, Failure> {
        let children = match self.names.as_slice() {
            [] => book.settings.children.iter().collect(),
            _ => self.named(session, book)?,
        };
        session.note_orphans(book, &children)?;
        Ok(children)
    }

    /// Whether children were named.
    pub(super) fn is_named(&self) -> bool {
        !self.names.is_empty()
    }
}

// The first and the last day that are looked at.
#[derive(Debug, Clone, Args)]
pub(super) struct PeriodArgs {
    /// The first day
    #[arg(long, value_name = "DAY")]
    from: Option<String>,
    /// The last day
    #[arg(long, value_name = "DAY")]
    to: Option<String>,
    /// The time up to today, such as 7d, 2w or 1m
    #[arg(long, value_name = "TIME", conflicts_with_all = ["from", "to"])]
    last: Option<Period>,
}

impl PeriodArgs {
    /// The first and the last day, each if it was said, seen from `reader.today`.
    pub(super) fn bounds(
        &self,
        session: &Session,
        reader: &DayReader,
    ) -> Result<(Option<Date>, Option<Date>), Failure> {
        if let Some(last) = self.last {
            let (from, to) = last.until(reader.today);
            return Ok((Some(from), Some(to)));
        }
        Ok((
            session.day_or("--from", self.from.as_deref(), reader)?,
            session.day_or("--to", self.to.as_deref(), reader)?,
        ))
    }
}
