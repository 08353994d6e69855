//! First tastes, allergens, refused foods to offer again, and what the doctor cleared.

use askama::Template;

use super::phrases::{self, Last, day};
use crate::household::{BookJudge, Lookup as _};
use crate::notebook::{Child, Clearance, Store};
use crate::report::{CLEARANCE, ObjectionLine, OpenLine, ReactionLine, TasteLine, TasteReport};
use crate::safety::Objection;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::layout::Layout;
use crate::web::notice::Notice;
use crate::web::objections::page_lines;
use crate::web::request::{Answer, PageRequest};
use crate::web::wording::worded;

/// The address of the room.
const PATH: &str = "/tastes";

#[derive(Template)]
#[template(path = "web/tastes.html")]
struct TastesPage {
    frame: Layout,
    children: Vec<OfChild>,
    wrong: Wrong,
    last: Option<Last>,
}

/// What one child has tasted.
struct OfChild {
    name: String,
    months: u16,
    next: String,
    open: Vec<Open>,
    known: Vec<Row>,
    new: Vec<Row>,
    /// What speaks against foods that were offered, if they were offered again.
    objections: Vec<ObjectionLine>,
    again: Vec<String>,
    allergens: Vec<Row>,
    advice: Vec<String>,
}

/// A food that is objected to after a reaction.
struct Open {
    food: String,
    name: String,
    seen: String,
}

/// A food or an allergen.
struct Row {
    name: String,
    first: String,
    last: String,
    meals: String,
    seen: String,
}

/// Shows what the children know.
pub(in crate::web) fn show(visit: &PageRequest<'_>) -> Result<Answer, PageError> {
    Answer::page(&filled(visit, Wrong::default())?)
}

/// Records that the doctor cleared a food.
pub(in crate::web) fn clear(visit: &PageRequest<'_>, fields: &Fields) -> Result<Answer, PageError> {
    let child = visit.book.settings.child(Some(fields.text("child")))?;
    let clearance = Clearance {
        day: visit.today,
        child: &child.name,
        food: fields.text("food"),
        words: "",
    };
    let mut wrong = Wrong::default();
    let cleared = visit.store()?.clear(&clearance);
    if let Some(cleared) = wrong.take("food", cleared)? {
        let done = format!("{}: the doctor cleared {}.", child.name, cleared.name);
        let notice = Notice {
            more: vec![CLEARANCE.to_string()],
            entry: Some(cleared.entry),
            ..Notice::of(done)
        };
        return Ok(Answer::Done(PATH.into(), notice));
    }
    Answer::wrong(&filled(visit, wrong)?)
}

fn filled(visit: &PageRequest<'_>, wrong: Wrong) -> Result<TastesPage, PageError> {
    let store = visit.store()?;
    let children = visit.book.settings.children.iter();
    let children = children.map(|child| of_child(visit, &store, child));
    Ok(TastesPage {
        frame: Layout::of(visit, "Tastes", PATH),
        children: children.collect::<Result<_, _>>()?,
        wrong,
        last: phrases::last(visit)?,
    })
}

fn of_child(visit: &PageRequest<'_>, store: &Store, child: &Child) -> Result<OfChild, PageError> {
    let record = store.tastes(&child.name, visit.today)?;
    let pantry = visit.foods()?;
    let judge = BookJudge::new(&visit.book.settings, Some(store), &pantry)?;
    let objections = judge.offered(child, visit.today)?;
    let settings = &visit.book.settings;
    let report = TasteReport::new(&record, child, settings, (visit.today, objections))?;
    let (known, new): (Vec<_>, Vec<_>) = report
        .foods
        .iter()
        .partition(|taste| taste.first_eaten.is_some());
    let not_yet = |when: Option<jiff::civil::Date>| when.map_or_else(|| "not yet".into(), day);
    let allergens = report.allergens.iter().map(|taste| Row {
        name: taste.allergen.clone(),
        first: not_yet(taste.first_eaten),
        last: not_yet(taste.last_eaten),
        meals: taste.meals_in_two_weeks.to_string(),
        seen: last_seen(&taste.reactions),
    });
    // What was noted after a meal has a part of its own, with the button that clears it.
    let of_again = report.objections.iter().filter(|one| !one.is_noted());
    let of_again: Vec<Objection> = of_again.cloned().collect();
    Ok(OfChild {
        name: report.child,
        months: report.age_months,
        next: worded(&report.next),
        open: report.open_reactions.iter().map(open).collect(),
        known: known.into_iter().map(row).collect(),
        new: new.into_iter().map(row).collect(),
        objections: page_lines(&of_again),
        again: report
            .offer_again
            .into_iter()
            .map(|again| again.text)
            .collect(),
        allergens: allergens.collect(),
        advice: report.advice,
    })
}

fn open(open: &OpenLine) -> Open {
    Open {
        food: open.food.clone(),
        name: open.name.clone(),
        seen: format!("{} ({})", open.words, day(open.day)),
    }
}

fn row(taste: &TasteLine) -> Row {
    Row {
        name: taste.name.clone(),
        first: day(taste.first_eaten.unwrap_or(taste.first_offered)),
        last: day(taste.last_offered),
        meals: format!("{} of {}", taste.eaten, taste.offers),
        seen: last_seen(&taste.reactions),
    }
}

/// The last reaction, with its day.
fn last_seen(reactions: &[ReactionLine]) -> String {
    let last = reactions.last();
    last.map_or_else(String::new, |seen| {
        format!("{} ({})", seen.words, day(seen.day))
    })
}
