//! What was written down, the newest first: each entry can be corrected, taken back, and put back.

mod entry;
mod values;

use std::sync::Arc;

use askama::Template;
use axum::Router;
use jiff::ToSpan as _;
use jiff::civil::Date;

use crate::notebook::Standing;
use crate::report::LogLine;
use crate::web::rooms::phrases::name_planned;
use crate::web::router::{form, form_route, page};
use crate::web::{AppState, Layout, PageAnswer, PageRequest, Reply};
use crate::words::{day, grouped};

/// The address of the room.
pub(super) const HERE: &str = "/history";
/// The days that are shown at once.
const DAYS: i64 = 14;

#[derive(Template)]
#[template(path = "web/history.html")]
struct HistoryPage {
    layout: Layout,
    days: Vec<(String, Vec<ShownEntry>)>,
    /// The days before and after those that are shown.
    earlier: Date,
    later: Option<Date>,
    /// Whether former versions are shown.
    all: bool,
    to: Date,
}

/// An entry, and what can be done with it.
struct ShownEntry {
    line: LogLine,
    can_correct: bool,
    can_take_back: bool,
    can_put_back: bool,
}

/// The routes of the room.
pub(in crate::web) fn routes() -> Router<Arc<AppState>> {
    Router::new()
        .route(HERE, page(show))
        .route("/history/{entry}", form(entry::show, entry::correct))
        .route("/history/{entry}/seen", form_route(entry::seen))
}

/// Shows two weeks of entries: of the child that is seen, and of the household.
fn show(request: &PageRequest<'_>) -> PageAnswer {
    let to = request
        .address
        .query
        .text("to")
        .parse()
        .unwrap_or(request.today);
    let from = to.saturating_sub((DAYS - 1).days());
    let all = !request.address.query.text("all").is_empty();
    // What is planned for days to come is written down as well.
    let last = if to == request.today { Date::MAX } else { to };
    let currency = &request.book.settings.currency;
    let mut entries = request.record()?.log((from, last), all)?;
    name_planned(request, &mut entries)?;
    let seen = entries.iter().filter(|entry| request.is_seen(&entry.child));
    let shown = seen.map(|entry| {
        let line = LogLine::new(entry, currency);
        let in_force = matches!(entry.standing, Standing::First | Standing::Corrected);
        let shown = ShownEntry {
            can_correct: in_force && entry::has_form(entry.kind),
            can_take_back: in_force && entry.kind != "rename",
            can_put_back: matches!(entry.standing, Standing::TookBack(None)),
            line,
        };
        (day(entry.day), shown)
    });
    Reply::page(&HistoryPage {
        days: grouped(shown),
        layout: Layout::of(request, "History", HERE),
        earlier: from.saturating_sub(1.day()),
        later: (to < request.today).then(|| to.saturating_add(DAYS.days()).min(request.today)),
        all,
        to,
    })
}
