//! What the book holds of the household beside its meals: children, milk, weight, supplements,
//! texture, notes, known foods; trays, jars, rules, own foods.

mod child;
mod devices;
mod jars;
mod known;
mod milk;
mod notes;
mod overview;
mod own_food;
mod rules;
mod size;
mod supplements;
mod texture;
mod trays;
mod whole_days;

use std::sync::Arc;

use axum::Router;
use jiff::civil::Date;

use crate::notebook::{Child, ChildEntry};
use crate::report::entry_words;
use crate::web::fields::with_query;
use crate::web::rooms::phrases;
use crate::web::router::{form, form_route};
use crate::web::sent_forms::once_key;
use crate::web::{AppState, Fields, Layout, Notice, PageError, PageRequest, PageResult, Wrong};
use crate::words::{capital, day};

/// The address of the room.
const HERE: &str = "/household";
/// The longest name, in characters.
const LONGEST_NAME: usize = 80;
/// The longest text of a note, in characters.
const LONGEST: usize = 500;

/// The routes of the room.
pub(in crate::web) fn routes() -> Router<Arc<AppState>> {
    Router::new()
        .route(HERE, form(overview::show, overview::add))
        .route("/household/child", form(child::show, child::change))
        .route("/household/child/name", form_route(child::rename))
        .route("/household/milk", form(milk::show, milk::record))
        .route("/household/size", form(size::show, size::record))
        .route(
            "/household/supplements",
            form(supplements::show, supplements::record),
        )
        .route(
            "/household/supplements/today",
            form_route(supplements::record_today),
        )
        .route("/household/notes", form(notes::show, notes::record))
        .route("/household/texture", form(texture::show, texture::record))
        .route(
            "/household/days",
            form(whole_days::show, whole_days::record),
        )
        .route("/household/known", form(known::show, known::record))
        .route("/household/trays", form(trays::show, trays::put))
        .route("/household/trays/remove", form_route(trays::remove))
        .route("/household/jars", form(jars::show, jars::put))
        .route("/household/jars/remove", form_route(jars::remove))
        .route("/household/devices", form(devices::show, devices::drop_one))
        .route("/household/rules", form(rules::show, rules::change))
        .route("/household/foods", form(own_food::show, own_food::add))
}

/// The parts that every form about a child has.
struct ChildForm {
    token: String,
    /// A value that differs each time the form is shown, so that one form is recorded once.
    once: String,
    /// The name of the child.
    child: String,
    /// The address of the page, to which undoing an entry leads back.
    here: String,
    /// The entries below the form, the newest first.
    entries: Vec<ListedEntry>,
}

impl ChildForm {
    /// `page` is the last part of the address.
    fn of(request: &PageRequest<'_>, child: &Child, page: &str) -> PageResult<Self> {
        Ok(Self {
            token: request.state.token.text().to_string(),
            once: once_key()?,
            child: child.name.clone(),
            here: address(page, &child.name),
            entries: Vec::new(),
        })
    }

    /// The form with the entries of a kind about the child since a day.
    fn listing(
        request: &PageRequest<'_>,
        child: &Child,
        (page, kind): (&str, ChildEntry),
        from: Date,
    ) -> PageResult<Self> {
        let currency = &request.book.settings.currency;
        let found = request.record()?.entries_about(&child.name, kind, from)?;
        let entries = found.iter().map(|entry| ListedEntry {
            number: entry.number,
            day: day(entry.day),
            words: capital(&entry_words(entry, currency)),
            can_correct: kind != ChildEntry::Known,
        });
        Ok(Self {
            entries: entries.collect(),
            ..Self::of(request, child, page)?
        })
    }
}

/// The layout of a page about a child.
fn layout(request: &PageRequest<'_>, child: &Child, title: &str) -> Layout {
    Layout::of(request, format!("{title}: {}", child.name), HERE)
}

/// The child that an address or a form names, else the child that is seen, else the only child.
fn child<'a>(request: &'a PageRequest<'_>, fields: &Fields) -> PageResult<&'a Child> {
    let name = Some(fields.text("child")).filter(|name| !name.is_empty());
    let name = name.or(request.seen_child().map(|child| child.name.as_str()));
    let child = request.book.settings.child(name);
    child.map_err(|_| PageError::NotFound)
}

/// Notes that a name of a child is too long, or not one line.
fn check_name(name: &str, wrong: &mut Wrong) {
    if name.chars().count() > LONGEST_NAME || name.contains(char::is_control) {
        wrong.say(
            "name",
            format!("A name has at most {LONGEST_NAME} letters."),
        );
    }
}

/// The address of a page about a child.
fn address(page: &str, child: &str) -> String {
    with_query(&format!("{HERE}/{page}"), [("child", child)])
}

/// An entry in the list below a form.
struct ListedEntry {
    number: i64,
    day: String,
    words: String,
    /// Whether it has a form to be corrected by.
    can_correct: bool,
}

/// How long what a form says holds, by its button: `day`, or `from` that day on.
fn lasts(fields: &Fields) -> &'static str {
    match fields.text("lasts") {
        "day" => "day",
        _ => "from",
    }
}

/// A tray or a jar in the list above its form.
struct ListedSetting {
    name: String,
    words: String,
    /// The address at which the form is filled in with it.
    path: String,
}

/// The name of a tray or a jar in a form; that it is missing is noted in these words.
fn name_of<'a>(fields: &'a Fields, missing: &str, wrong: &mut Wrong) -> &'a str {
    let name = phrases::short(fields, "name", LONGEST_NAME, wrong).unwrap_or_default();
    if name.is_empty() || name.contains(char::is_control) {
        wrong.say("name", missing);
    }
    name
}

/// The notice that a tray or a jar was saved, with what it was before.
fn changed(before: Option<String>, now: Option<String>) -> Notice {
    let before = before.map(|words| format!("Before: {words}."));
    Notice {
        more: before.into_iter().collect(),
        ..Notice::of(format!("{}.", now.unwrap_or_default()))
    }
}

/// The notice that a tray or a jar was removed. The form it leads to is filled in with it, so that
/// one tap puts it back.
fn removed(words: &str) -> Notice {
    Notice {
        more: vec!["The form has it still: save it, and it is back.".into()],
        ..Notice::of(format!("Removed. {words}."))
    }
}

/// The values of a list with commas, without empty ones.
fn listed(text: &str) -> Vec<String> {
    let parts = text.split(',').map(str::trim);
    parts
        .filter(|part| !part.is_empty())
        .map(String::from)
        .collect()
}
