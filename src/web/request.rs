//! A request as the handlers of pages see it, and their answers.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{FromRequestParts, RawPathParams};
use axum::http::header;
use axum::http::request::Parts;
use axum::response::Response;
use jiff::civil::Date;

use super::AppState;
use super::app_state::BookFolder;
use super::error::PageError;
use super::fields::Fields;
use super::lock::Door;
use super::notice::Notice;
use super::seen;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Store};
use crate::spoken::{Ask, Lookup, Unclear};

/// The field of an address that names a notice.
pub(super) const NOTICE: &str = "notice";

/// The field of a form with a key of its own, by which the form is known when it comes again.
const KEY: &str = "key";

/// The address of a request: path parameters and query.
#[derive(Debug, Default)]
pub(super) struct RequestAddress {
    /// The parts of the path that have a name.
    pub(super) parts: BTreeMap<String, String>,
    /// The path as it was asked for.
    pub(super) path: String,
    /// The query string.
    pub(super) query: Fields,
    /// The child that this browser was shown last; empty for all of them.
    pub(super) kept_child: String,
    /// Whether the request comes from this computer.
    pub(super) at_home: bool,
}

/// A request to a household that has a book.
pub(super) struct PageRequest<'a> {
    pub(super) kitchen: &'a AppState,
    pub(super) place: BookFolder,
    pub(super) book: Book,
    pub(super) today: Date,
    /// The hour of the day there, 0 to 23.
    pub(super) hour: i8,
    pub(super) asked: RequestAddress,
    /// The place among the children of the one that is seen; `None` for all of them.
    seen: Option<usize>,
    /// The key of the form that is sent; it comes again where its answer was lost.
    pub(super) key: Option<String>,
    /// The record, once something was read in it.
    record: OnceCell<Store>,
}

/// The answer of a page's handler.
pub(super) enum Reply {
    /// A page.
    Page(String),
    /// The page of a form again, with what is wrong in it.
    Wrong(String),
    /// A page to print, with its style inside, and the page that leads back from it.
    Sheet(String, String),
    /// Plain text, to be read or sent on.
    Text(String),
    /// Success: another page shows the notice.
    Done(String, Notice),
    /// Another page.
    See(String),
}

impl Reply {
    /// A page from its template.
    pub(super) fn page(template: &impl Template) -> Result<Self, PageError> {
        Ok(Self::Page(template.render()?))
    }

    /// A page; the form again with what is wrong in it, unless it is right.
    pub(super) fn checked(template: &impl Template, right: bool) -> Result<Self, PageError> {
        if right {
            Self::page(template)
        } else {
            Self::wrong(template)
        }
    }

    /// A form again from its template.
    pub(super) fn wrong(template: &impl Template) -> Result<Self, PageError> {
        Ok(Self::Wrong(template.render()?))
    }
}

impl<'a> PageRequest<'a> {
    /// Opens the book for a request.
    pub(super) fn new(kitchen: &'a AppState, asked: RequestAddress) -> Result<Self, PageError> {
        Self::opened(kitchen, asked, &Fields::default())
    }

    fn opened(
        kitchen: &'a AppState,
        asked: RequestAddress,
        fields: &Fields,
    ) -> Result<Self, PageError> {
        let place = kitchen.place();
        let (book, now) = (place.book()?, kitchen.now(&place));
        let today = now.date();
        let births = book.settings.check_births(today);
        births.map_err(BookError::from)?;
        Ok(Self {
            kitchen,
            place,
            today,
            hour: now.hour(),
            seen: seen::seen(&book.settings, &asked, fields),
            book,
            asked,
            key: None,
            record: OnceCell::new(),
        })
    }

    /// The request of a form, which may have been answered before.
    pub(super) fn of_form(
        kitchen: &'a AppState,
        asked: RequestAddress,
        fields: &Fields,
    ) -> Result<Self, PageError> {
        let key = Some(fields.text(KEY)).filter(|key| (8..=64).contains(&key.len()));
        Ok(Self {
            key: key.map(String::from),
            ..Self::opened(kitchen, asked, fields)?
        })
    }

    /// The children that are seen: the one that was chosen, or all of the book.
    pub(super) fn children(&self) -> &[Child] {
        let all = self.book.settings.children.as_slice();
        self.seen_child().map_or(all, std::slice::from_ref)
    }

    /// The one child that was chosen to be seen; `None` where all are, or the book has one only.
    pub(super) fn seen_child(&self) -> Option<&Child> {
        self.book.settings.children.get(self.seen?)
    }

    /// Whether something is about a child that is seen, or about none.
    pub(super) fn is_seen(&self, child: &str) -> bool {
        child.is_empty() || self.seen_child().is_none_or(|seen| seen.name == child)
    }

    /// The answer to a form that was recorded before: it was sent again because its answer was lost.
    pub(super) fn recorded_before(&self) -> Result<Option<Reply>, PageError> {
        let Some(key) = &self.key else {
            return Ok(None);
        };
        let notice = Notice::of("This is on record already; it was not recorded twice.");
        let known = self.book.has_record() && self.record()?.has_key(key)?;
        Ok(known.then(|| Reply::Done("/".into(), notice)))
    }

    /// The record, to be read: what several parts of a page ask for is read once.
    pub(super) fn record(&self) -> Result<&Store, PageError> {
        match self.record.get() {
            Some(record) => Ok(record),
            None => {
                let opened = self.book.store()?.sharing(self.kitchen.kept_values());
                Ok(self.record.get_or_init(|| opened))
            }
        }
    }

    /// The record, opened for this request: another file may have come into its place since the last. What is written by it belongs to the
    /// form that is sent.
    pub(super) fn store(&self) -> Result<Store, PageError> {
        let opened = self.book.store()?.sharing(self.kitchen.kept_values());
        Ok(opened.with_key(self.key.clone()))
    }

    /// A path parameter, parsed; one that does not parse is an address that does not exist.
    pub(super) fn part<T: std::str::FromStr>(&self, name: &str) -> Result<T, PageError> {
        let part = self
            .asked
            .parts
            .get(name)
            .and_then(|part| part.parse().ok());
        part.ok_or(PageError::NotFound)
    }

    /// The notice of the last action. Its entry is included only while it can be taken back.
    pub(super) fn notice(&self) -> Option<Notice> {
        let mut notice = self
            .kitchen
            .notices()
            .named(self.asked.query.text(NOTICE))?;
        let in_force = |entry| self.record().ok()?.in_force(entry).ok();
        notice.entry = notice
            .entry
            .filter(|entry| in_force(*entry).unwrap_or(false));
        notice.meal = notice.meal.filter(|_| notice.entry.is_some());
        Some(notice)
    }
}

impl Lookup for PageRequest<'_> {
    type Error = PageError;

    fn foods(&self) -> Result<Pantry, PageError> {
        let settings = &self.book.settings;
        let pantry = self.kitchen.pantry(&self.place)?;
        Ok(pantry
            .with_words(settings.words.clone())
            .with_metric_cups(settings.metric_cups))
    }
}

impl Ask for PageRequest<'_> {
    /// The page shows the question at the field.
    fn asked(&self, unclear: &Unclear) -> Result<Vec<String>, PageError> {
        Err(PageError::Unclear(Box::new(unclear.clone())))
    }
}

impl<S: Send + Sync> FromRequestParts<S> for RequestAddress {
    type Rejection = Response;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Response> {
        use axum::response::IntoResponse as _;
        let named = RawPathParams::from_request_parts(parts, state).await;
        let named = named.map_err(|_| PageError::NotFound.into_response())?;
        let named = named
            .iter()
            .map(|(name, part)| (name.to_string(), part.to_string()));
        let cookies = parts.headers.get(header::COOKIE);
        let cookies = cookies
            .and_then(|cookies| cookies.to_str().ok())
            .unwrap_or_default();
        Ok(Self {
            parts: named.collect(),
            path: parts.uri.path().to_string(),
            kept_child: seen::kept(cookies),
            at_home: parts.extensions.get() == Some(&Door::Loopback),
            query: Fields::parse(parts.uri.query().unwrap_or_default().as_bytes()),
        })
    }
}
