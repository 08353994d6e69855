//! Words that several rooms use.

use jiff::civil::Date;

use crate::notebook::{Entry, FrozenBatch, Pace, Pick};
use crate::nutrition::AgeMonths;
use crate::web::fault::Fault;
use crate::web::fields::{Fields, Wrong};
use crate::web::visit::Visit;

/// The age in months for which a food or a batch is told of, where the book has no child of such an age.
const USUAL_AGE: AgeMonths = AgeMonths(8);
/// The oldest age with a reference.
const OLDEST: u16 = 47;

/// The age for which nutrients are told of: that of the first child who has references.
pub(super) fn age(visit: &Visit<'_>) -> AgeMonths {
    let children = visit.book.settings.children.iter();
    children
        .map(|child| child.age_on(visit.today))
        .find(|age| age.0 <= OLDEST)
        .unwrap_or(USUAL_AGE)
}

/// A day that nobody takes for another: `2 Mar 2026`.
pub(super) fn day(day: Date) -> String {
    day.strftime("%-d %b %Y").to_string()
}

/// `1 cube`, `2 cubes`.
pub(super) fn counted(number: u32, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}

/// How fast the freezer is eaten.
pub(super) fn pace(pace: &Pace) -> String {
    let a_day = format!("{:.1} cubes a day", pace.cubes_a_day);
    match (pace.stated, pace.days) {
        (true, _) => format!("{a_day}, as the book says"),
        (false, 0) => "not known yet: it is counted from the meals that are recorded".into(),
        (false, 1) => format!("{a_day}, counted on one day only"),
        (false, days) => format!("{a_day} over the last {days} days"),
    }
}

/// An entry that can be taken back.
#[derive(Debug)]
pub(super) struct Last {
    pub(super) id: i64,
    pub(super) words: String,
}

/// The last entry of the record.
pub(super) fn last(visit: &Visit<'_>) -> Result<Option<Last>, Fault> {
    let last = visit.store()?.last_entry()?;
    Ok(last.map(|entry| Last {
        id: entry.id,
        words: of_entry(&entry),
    }))
}

/// An entry in words: `the meal of 14 Nov 2026`.
pub(super) fn of_entry(entry: &Entry) -> String {
    let kind = match entry.kind.as_str() {
        "feeding" => "meal",
        "discard" => "throwing away",
        kind => kind,
    };
    let day = entry.day.parse().map_or_else(|_| entry.day.clone(), day);
    format!("the {kind} of {day}")
}

/// A batch of the book by the number in the address.
pub(super) fn batch(visit: &Visit<'_>) -> Result<(FrozenBatch, u32), Fault> {
    let id: i64 = visit.part("batch")?;
    let store = visit.store()?;
    let batch = store.batch(id)?.ok_or(Fault::NotFound)?;
    let left = store
        .stock()?
        .into_iter()
        .find(|stock| stock.batch.id == id);
    Ok((batch, left.map_or(0, |stock| stock.left)))
}

/// So many cubes of a batch, as a form says it.
pub(super) fn pick(batch: &FrozenBatch, cubes: &str, wrong: &mut Wrong) -> Option<Pick> {
    match format!("{cubes} #{}", batch.id).parse() {
        Ok(pick) => Some(pick),
        Err(_) => {
            wrong.say("cubes", "Say how many cubes: a whole number, 1 to 1000.");
            None
        }
    }
}

/// The day that a form is about.
pub(super) fn on(fields: &Fields, wrong: &mut Wrong) -> Option<Date> {
    let day = fields.text("on").parse();
    day.map_err(|_| wrong.say("on", "Say the day as year-month-day, such as 2026-03-02."))
        .ok()
}

/// Words of at most so many letters.
pub(super) fn short<'a>(
    fields: &'a Fields,
    name: &'static str,
    longest: usize,
    wrong: &mut Wrong,
) -> Option<&'a str> {
    let words = fields.text(name);
    if words.chars().count() > longest {
        wrong.say(name, format!("Say it in at most {longest} letters."));
        return None;
    }
    Some(words)
}
