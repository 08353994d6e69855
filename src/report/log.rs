//! Entries of the record in a parent's words, and for other programs.

use jiff::civil::Date;
use serde::Serialize;

use super::household::dose_words;
use super::meal::how_it_went;
use super::number::{decimals, trimmed};
use super::plan::short_name;
use crate::cost::Money;
use crate::notebook::{
    Corrected, EntryDetail, EntryPart, How, LogEntry, Reversal, Standing, TextureStage, Undone,
};
use crate::quantity::Mass;
use crate::words::{self, counted, joined};

/// The entries of some days.
#[derive(Debug, Clone, Serialize)]
pub struct LogReport {
    /// Version of the keys.
    pub schema: u32,
    /// The entries, the newest first.
    pub entries: Vec<LogLine>,
}

/// An entry, or a former version of one.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LogLine {
    /// The number by which it is corrected or taken back.
    pub number: i64,
    /// The number that the entry had first.
    pub first_number: i64,
    /// The day that the entry is about.
    pub day: Date,
    /// The kind of entry.
    pub kind: &'static str,
    /// The child; `null` where it is about none.
    pub child: Option<String>,
    /// The change that put it out of force; `null` for an entry in force.
    pub superseded_by: Option<i64>,
    /// What was done: `entry`, `correction`, `undo` or `redo`.
    pub act: &'static str,
    /// The entry in a parent's words.
    pub words: String,
}

impl LogReport {
    /// Lists entries.
    pub fn new(entries: &[LogEntry], currency: &str) -> Self {
        Self {
            schema: 1,
            entries: entries
                .iter()
                .map(|one| LogLine::new(one, currency))
                .collect(),
        }
    }
}

impl LogLine {
    /// The line of an entry.
    pub fn new(entry: &LogEntry, currency: &str) -> Self {
        let act = match entry.standing {
            Standing::TookBack(_) => "undo",
            Standing::PutBack => "redo",
            _ if entry.number != entry.target => "correction",
            _ => "entry",
        };
        let words = entry_words(entry, currency);
        Self {
            number: entry.number,
            first_number: entry.target,
            day: entry.day,
            kind: entry.kind,
            child: Some(entry.child.clone()).filter(|child| !child.is_empty()),
            superseded_by: entry.standing.superseded_by(),
            act,
            words: match act {
                "undo" => format!("taken back: {words}"),
                "redo" => format!("put back: {words}"),
                _ => words,
            },
        }
    }

    /// The remark on a line that is not simply in force; empty for one that is.
    pub fn remark(&self) -> String {
        match (self.act, self.superseded_by) {
            ("undo", Some(by)) => format!("put back by {by}"),
            (_, Some(by)) => format!("until {by}"),
            ("correction", None) => format!("corrects {}", self.first_number),
            _ => String::new(),
        }
    }
}

/// What an undo or a redo did, for other programs.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct UndoReport {
    pub schema: u32,
    /// Number of what was taken back or put back; `null` where there was nothing.
    pub entry: Option<i64>,
    /// Number of the change.
    pub change: Option<i64>,
    /// `entry`, `correction` or `redo`.
    pub what: Option<&'static str>,
    pub day: Option<Date>,
    pub kind: Option<&'static str>,
    /// The child, recipe or food that the entry concerns.
    pub about: Option<String>,
    pub words: Option<String>,
    /// The entry as it is now; `null` where it is gone.
    pub now: Option<LogLine>,
    pub cubes_left: u32,
}

impl UndoReport {
    /// Reports what was undone, if there was anything; `cubes_left` is what is in the freezer now.
    pub fn new(undone: Option<&Undone>, currency: &str, cubes_left: u32) -> Self {
        let entry = undone.map(|one| &one.entry);
        Self {
            schema: 1,
            entry: entry.map(|one| one.number),
            change: undone.map(|one| one.change),
            what: undone.map(|one| match one.what {
                Reversal::Entry => "entry",
                Reversal::Correction => "correction",
                Reversal::Redo => "redo",
            }),
            day: entry.map(|one| one.day),
            kind: entry.map(|one| one.kind),
            about: entry.map(about).filter(|about| !about.is_empty()),
            words: entry.map(|one| entry_words(one, currency)),
            now: undone.and_then(|one| one.now.as_ref().map(|now| LogLine::new(now, currency))),
            cubes_left,
        }
    }
}

/// What a correction did, for other programs.
#[derive(Debug, Clone, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct ChangeReport {
    pub schema: u32,
    pub was: LogLine,
    pub now: LogLine,
    /// What else follows, each a sentence.
    pub follows: Vec<String>,
}

impl ChangeReport {
    /// Reports a correction.
    pub fn new(corrected: &Corrected, currency: &str, follows: Vec<String>) -> Self {
        let mut was = LogLine::new(&corrected.was, currency);
        was.superseded_by = Some(corrected.now.number);
        Self {
            schema: 1,
            was,
            now: LogLine::new(&corrected.now, currency),
            follows,
        }
    }
}

/// The sentence for an undo or a redo: what was done with which entry, and how it stands now.
pub fn undone_words(undone: &Undone, currency: &str) -> String {
    let entry = &undone.entry;
    let of = |entry: &LogEntry| format!("{}, {}", heading(entry), entry_words(entry, currency));
    let number = entry.number;
    words::sentence(&match (undone.what, &undone.now) {
        (Reversal::Correction, Some(now)) => {
            format!("Took back the correction {number}. Again: {}", of(now))
        }
        (Reversal::Redo, _) => format!("Put back entry {number}: {}", of(entry)),
        _ => format!("Took back entry {number}: {}", of(entry)),
    })
}

/// The child, recipe or food that an entry concerns.
fn about(entry: &LogEntry) -> String {
    match &entry.detail {
        _ if !entry.child.is_empty() => entry.child.clone(),
        EntryDetail::Batch { title: name, .. } | EntryDetail::Purchase { name, .. } => name.clone(),
        EntryDetail::Discard { parts, .. } => match parts.first() {
            Some(EntryPart::Cubes(_, title, _)) => title.clone(),
            _ => String::new(),
        },
        _ => String::new(),
    }
}

/// Day and child of an entry: `26 Nov 2026, Wren`.
pub fn heading(entry: &LogEntry) -> String {
    let day = words::day(entry.day);
    match entry.child.as_str() {
        "" => day,
        child => format!("{day}, {child}"),
    }
}

/// An entry in a parent's words, without its day and its child.
pub fn entry_words(entry: &LogEntry, currency: &str) -> String {
    match &entry.detail {
        EntryDetail::Batch {
            title,
            cubes,
            cube,
            use_by,
            ..
        } => format!(
            "batch #{}: {title}, {} of {} g, use by {}",
            entry.target,
            counted(*cubes, "cube"),
            decimals(cube.grams(), 0),
            words::stored_day(use_by)
        ),
        EntryDetail::Meal {
            meal,
            how,
            share,
            reaction,
            parts,
        } => meal_words(meal, (*how, *share), reaction, parts),
        EntryDetail::Discard { parts, why } => {
            format!("thrown away: {}{}", listed(parts), after(": ", why))
        }
        EntryDetail::Purchase {
            name,
            mass,
            price,
            currency: paid_in,
            store,
            ..
        } => {
            // A price without a currency is in the currency of the book.
            let currency = match paid_in.as_str() {
                "" => currency,
                paid_in => paid_in,
            };
            let price = price.map_or_else(|| "?".to_string(), Money::shown);
            let (store, name) = (after(", ", store), short_name(name));
            format!(
                "bought {} of {name} for {price} {currency}{store}",
                grams(*mass)
            )
        }
        EntryDetail::Milk { one_day, parts } => {
            let when = if *one_day {
                "this day alone"
            } else {
                "from this day on"
            };
            let parts = if parts.is_empty() {
                "none".into()
            } else {
                listed(parts)
            };
            format!("milk, {when}: {parts}")
        }
        EntryDetail::Plan {
            days,
            meals,
            cooking,
            parts,
        } => plan_words(days, (*meals, *cooking), parts),
        other => later_words(other),
    }
}

fn later_words(detail: &EntryDetail) -> String {
    match detail {
        EntryDetail::Question { words } => format!("question: {words}"),
        EntryDetail::Answer { question, words } => {
            format!("answer to question {question}: {words}")
        }
        EntryDetail::Clearance { name, words } => {
            format!(
                "the doctor cleared {}{}",
                short_name(name),
                after(": ", words)
            )
        }
        EntryDetail::Reaction { meal, words } => format!("seen after meal {meal}: {words}"),
        EntryDetail::Known {
            name,
            reaction,
            words,
            ..
        } => format!(
            "had {} before, amount not known{}{}",
            short_name(name),
            after(": ", words),
            after("; seen: ", reaction)
        ),
        EntryDetail::Measure { what, value } if what == "weight" => {
            format!("weight {} kg", trimmed(value / 1000.0, 3))
        }
        EntryDetail::Measure { what, value } => format!("{what} {} cm", trimmed(*value, 1)),
        EntryDetail::Supplement {
            product,
            nutrient: id,
            amount,
            one_day,
        } => {
            let dose = dose_words(*id, *amount);
            let what = match (*amount == 0.0, one_day) {
                (true, true) => "missed this day".to_string(),
                (true, false) => "no longer, from this day on".to_string(),
                (false, true) => format!("{dose}, this day alone"),
                (false, false) => format!("{dose} a day, from this day on"),
            };
            format!("{product}: {what}")
        }
        EntryDetail::Count {
            title,
            batch,
            was,
            now,
        } => format!(
            "counted again: {} of {title} (#{batch}), not {was}",
            counted(*now, "cube")
        ),
        EntryDetail::Texture { stage } => format!(
            "texture from this day on: {}",
            TextureStage::from_word(stage).in_words()
        ),
        EntryDetail::Note { topic, words } => format!("{topic}: {words}"),
        EntryDetail::WholeDay => "every meal of the day is written down".into(),
        EntryDetail::Rename { former, later } => format!("{former} is called {later}"),
        EntryDetail::Visit { words } => format!("visit at the doctor's{}", after(": ", words)),
        _ => String::new(),
    }
}

fn meal_words(
    meal: &str,
    (how, share): (How, Option<f64>),
    reaction: &str,
    parts: &[EntryPart],
) -> String {
    let meal = if meal.is_empty() { "meal" } else { meal };
    let (went, seen) = (how_it_went(how, share), after("; seen: ", reaction));
    format!("{meal}: {}; {went}{seen}", listed(parts))
}

/// What was eaten at a meal, in few words: `2 Red lentil and squash, 50 % eaten`; `None` for other entries.
pub fn eaten_words(entry: &LogEntry) -> Option<String> {
    let EntryDetail::Meal {
        how,
        share,
        reaction,
        parts,
        ..
    } = &entry.detail
    else {
        return None;
    };
    let short = |part: &EntryPart| match part {
        EntryPart::Cubes(cubes, title, _) => format!("{cubes} {title}"),
        EntryPart::Food { mass, name, .. } => format!("{} {}", grams(*mass), short_name(name)),
        other => listed(std::slice::from_ref(other)),
    };
    let went = match (how, share) {
        (How::Taken, _) => String::new(),
        (_, Some(share)) => format!(", {}\u{a0}% eaten", trimmed(share * 100.0, 0)),
        (how, None) => format!(", {}", how.shown()),
    };
    let seen = after("; seen: ", reaction);
    Some(format!(
        "{}{went}{seen}",
        joined(parts.iter().map(short), ", ")
    ))
}

fn plan_words(days: &[Date], (meals, cooking): (usize, usize), parts: &[EntryPart]) -> String {
    let span = match days {
        [] => String::new(),
        [day] => words::day(*day),
        [first, .., last] => words::days(*first, *last),
    };
    let mut planned = Vec::new();
    if meals > 0 {
        planned.push(counted(meals, "meal"));
    }
    if cooking > 0 {
        planned.push(format!("cooking of {}", counted(cooking, "day")));
    }
    let planned = joined(&planned, " and ");
    match parts {
        [] => format!("plan for {span} cleared: {planned}"),
        few if few.len() <= 3 => format!("plan for {span}: {}", listed(few)),
        _ => format!("plan for {span}: {planned}"),
    }
}

fn listed(parts: &[EntryPart]) -> String {
    let part = |part: &EntryPart| match part {
        EntryPart::Cubes(cubes, title, 0) => format!("{} of {title}", cubes.in_words()),
        EntryPart::Cubes(cubes, title, batch) => {
            format!("{} of {title} (#{batch})", cubes.in_words())
        }
        EntryPart::Food { mass, name, .. } => format!("{} of {}", grams(*mass), short_name(name)),
        EntryPart::Feeds(feeds, _) => format!("{} at the breast", counted(*feeds, "feed")),
        EntryPart::Wanted(name) => format!("{}, as wanted", short_name(name)),
        EntryPart::Trays(trays, name) => format!("cook {} of {name}", counted(*trays, "tray")),
    };
    joined(parts.iter().map(part), ", ")
}

fn grams(mass: Mass) -> String {
    let places = u8::from(mass.grams() < 10.0);
    format!("{} g", trimmed(mass.grams(), places))
}

/// Words after a separator; empty without words.
fn after(separator: &str, words: &str) -> String {
    match words {
        "" => String::new(),
        words => format!("{separator}{words}"),
    }
}
