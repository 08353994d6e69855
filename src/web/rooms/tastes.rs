//! First tastes, allergens, and refused foods to offer again.

use askama::Template;

use super::words::{self, Last, day};
use crate::notebook::{Child, Store};
use crate::report::TasteReport;
use crate::web::fault::Fault;
use crate::web::frame::Frame;
use crate::web::plain::plain;
use crate::web::visit::{Answer, Visit};

#[derive(Template)]
#[template(path = "web/tastes.html")]
struct TastesPage {
    frame: Frame,
    children: Vec<OfChild>,
    last: Option<Last>,
}

/// What one child has tasted.
struct OfChild {
    name: String,
    months: u16,
    next: String,
    foods: Vec<Row>,
    again: Vec<String>,
    allergens: Vec<Row>,
    advice: Vec<String>,
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
pub(in crate::web) fn show(visit: &Visit<'_>) -> Result<Answer, Fault> {
    let store = visit.store()?;
    let children = visit.book.settings.children.iter();
    let children = children.map(|child| of_child(visit, &store, child));
    Answer::page(&TastesPage {
        frame: Frame::of(visit, "Tastes", "/tastes"),
        children: children.collect::<Result<_, _>>()?,
        last: words::last(visit)?,
    })
}

fn of_child(visit: &Visit<'_>, store: &Store, child: &Child) -> Result<OfChild, Fault> {
    let record = store.tastes(&child.name, visit.today)?;
    let report = TasteReport::new(
        &record,
        child,
        visit.book.settings.waiting_days,
        visit.today,
    )?;
    let seen = |all: &[(jiff::civil::Date, String)]| {
        all.last().map_or_else(String::new, |(when, words)| {
            format!("{words} ({})", day(*when))
        })
    };
    let foods = record.foods.iter().map(|taste| Row {
        name: taste.name.clone(),
        first: day(taste.first),
        last: day(taste.last),
        meals: format!("{} of {}", taste.accepted, taste.offers),
        seen: seen(&taste.reactions),
    });
    let not_yet = |when: Option<jiff::civil::Date>| when.map_or_else(|| "not yet".into(), day);
    let allergens = report.allergens.iter().map(|taste| Row {
        name: taste.allergen.clone(),
        first: not_yet(taste.first),
        last: not_yet(taste.last),
        meals: taste.recent.to_string(),
        seen: seen(&taste.reactions),
    });
    Ok(OfChild {
        name: child.name.clone(),
        months: child.age_on(visit.today).0,
        foods: foods.collect(),
        allergens: allergens.collect(),
        next: plain(&report.next),
        again: report.again,
        advice: report.advice,
    })
}
