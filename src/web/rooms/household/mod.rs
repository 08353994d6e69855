//! What the book knows of the household beside its meals: children, milk, weight, supplements, texture, notes, known foods; trays,
//! jars, rules, own foods.

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
use form_urlencoded::Serializer;
use jiff::civil::Date;

use crate::notebook::{Child, ChildEntry, Store};
use crate::report::entry_words;
use crate::web::AppState;
use crate::web::error::PageError;
use crate::web::fields::Fields;
use crate::web::layout::Layout;
use crate::web::request::PageRequest;
use crate::web::router::{form, form_route};
use crate::web::sent_forms::once_key;
use crate::words::{capital, day};

/// The address of the room.
const HERE: &str = "/household";
/// A name is no longer than this.
const LONGEST_NAME: usize = 80;
/// Words are no longer than this.
const LONGEST: usize = 500;

/// The addresses of the room.
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

/// What every form about a child has.
struct ChildForm {
    token: String,
    /// Another value each time the form is shown, so that it is recorded once.
    once: String,
    /// The name of the child.
    child: String,
    /// The address of the page, for the way back after something was taken back.
    here: String,
}

impl ChildForm {
    /// `page` is the last part of the address.
    fn of(request: &PageRequest<'_>, child: &Child, page: &str) -> Result<Self, PageError> {
        Ok(Self {
            token: request.state.token().text().to_string(),
            once: once_key()?,
            child: child.name.clone(),
            here: address(page, &child.name),
        })
    }
}

/// The layout of a page about a child.
fn layout(request: &PageRequest<'_>, child: &Child, title: &str) -> Layout {
    Layout::of(request, format!("{title}: {}", child.name), HERE)
}

/// The child that an address or a form names, or the one that is seen, or the only one.
fn child<'a>(request: &'a PageRequest<'_>, fields: &Fields) -> Result<&'a Child, PageError> {
    let name = Some(fields.text("child")).filter(|name| !name.is_empty());
    let name = name.or(request.seen_child().map(|child| child.name.as_str()));
    let child = request.book.settings.child(name);
    child.map_err(|_| PageError::NotFound)
}

/// The address of a page about a child.
fn address(page: &str, child: &str) -> String {
    let mut query = Serializer::new(String::new());
    query.append_pair("child", child);
    format!("{HERE}/{page}?{}", query.finish())
}

/// An entry that is listed below a form.
struct ListedEntry {
    number: i64,
    day: String,
    words: String,
    /// Whether it has a form to be corrected by.
    can_correct: bool,
}

/// The entries of a kind about a child since a day, the newest first.
fn entries(
    request: &PageRequest<'_>,
    store: &Store,
    (child, kind): (&Child, ChildEntry),
    from: Date,
) -> Result<Vec<ListedEntry>, PageError> {
    let currency = &request.book.settings.currency;
    let found = store.entries_about(&child.name, kind, from)?;
    let listed = found.iter().map(|entry| ListedEntry {
        number: entry.number,
        day: day(entry.day),
        words: capital(&entry_words(entry, currency)),
        can_correct: kind != ChildEntry::Known,
    });
    Ok(listed.collect())
}

/// Values with commas between them, none of them empty.
fn listed(text: &str) -> Vec<String> {
    let parts = text.split(',').map(str::trim);
    parts
        .filter(|one| !one.is_empty())
        .map(String::from)
        .collect()
}
