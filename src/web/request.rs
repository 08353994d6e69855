//! A request as the handlers of pages see it, and their answers.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{FromRequestParts, RawPathParams};
use axum::http::header;
use axum::http::request::Parts;
use axum::response::Response;
use jiff::civil::Date;

use super::app_state::BookFolder;
use super::lock::Listener;
use super::seen;
use super::{AppState, Fields, Notice, PageError, PageResult};
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Store};
use crate::spoken::{Ask, Lookup, Unclear};

/// The field of an address that names a notice.
pub(super) const NOTICE: &str = "notice";

/// The field with the key of a form, by which a form that is sent again is recognised.
const KEY: &str = "key";

/// The address of a request, and what else of the request pages depend on.
#[derive(Debug, Default)]
pub(super) struct RequestAddress {
    /// The path parameters by their names.
    pub(super) parts: BTreeMap<String, String>,
    /// The path of the request.
    pub(super) path: String,
    /// The query string.
    pub(super) query: Fields,
    /// The name of the child that this browser was shown last; empty for all of them.
    pub(super) kept_child: String,
    /// Whether the request comes from this computer.
    pub(super) is_local: bool,
}

/// A request to a household that has a book.
pub(super) struct PageRequest<'a> {
    pub(super) state: &'a AppState,
    pub(super) place: BookFolder,
    pub(super) book: Book,
    pub(super) today: Date,
    /// The hour of the day where the household is, 0 to 23.
    pub(super) hour: i8,
    pub(super) address: RequestAddress,
    /// The index of the child that is seen; `None` for all of them.
    seen: Option<usize>,
    /// The key of the form that is sent; a browser sends the form again where the answer was lost.
    pub(super) key: Option<String>,
    /// The record, once it was opened for reading.
    record: OnceCell<Store>,
}

/// The answer of a page's handler.
#[expect(
    clippy::large_enum_variant,
    reason = "one is made for a request, and moved a few times"
)]
pub(super) enum Reply {
    /// A page.
    Page(String),
    /// The page of a form again with its errors (status 422).
    Wrong(String),
    /// A page to print, with its style inside, and the address that its link Back leads to.
    Sheet(String, String),
    /// Plain text, to be read or sent on.
    Text(String),
    /// Success: the address of another page, and the notice that it shows.
    Done(String, Notice),
    /// A redirect to another page.
    See(String),
}

/// The result of a handler: its answer, or why there is none.
pub(super) type PageAnswer = PageResult<Reply>;

impl Reply {
    /// A page from its template.
    pub(super) fn page(template: &impl Template) -> PageResult<Self> {
        Ok(Self::Page(template.render()?))
    }

    /// A page; unless it is valid, it is answered as a form with errors.
    pub(super) fn checked(template: &impl Template, is_valid: bool) -> PageResult<Self> {
        if is_valid {
            Self::page(template)
        } else {
            Self::wrong(template)
        }
    }

    /// A form again with its errors, from its template.
    pub(super) fn wrong(template: &impl Template) -> PageResult<Self> {
        Ok(Self::Wrong(template.render()?))
    }
}

impl<'a> PageRequest<'a> {
    /// Opens the book for a request.
    pub(super) fn new(state: &'a AppState, address: RequestAddress) -> PageResult<Self> {
        Self::opened(state, address, &Fields::default())
    }

    /// Opens the book; `fields` is the form that was sent.
    fn opened(state: &'a AppState, address: RequestAddress, fields: &Fields) -> PageResult<Self> {
        let place = state.place();
        let (book, now) = (place.book()?, state.now(&place));
        let today = now.date();
        let births = book.settings.check_births(today);
        births.map_err(BookError::from)?;
        Ok(Self {
            state,
            place,
            today,
            hour: now.hour(),
            seen: seen::seen(&book.settings, &address, fields),
            book,
            address,
            key: None,
            record: OnceCell::new(),
        })
    }

    /// The request of a form, which may have been answered before.
    pub(super) fn of_form(
        state: &'a AppState,
        address: RequestAddress,
        fields: &Fields,
    ) -> PageResult<Self> {
        let key = Some(fields.text(KEY)).filter(|key| (8..=64).contains(&key.len()));
        Ok(Self {
            key: key.map(String::from),
            ..Self::opened(state, address, fields)?
        })
    }

    /// The children that are seen: the chosen one, or all of the book.
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

    /// The answer to a form that was recorded before: it was sent again because its answer was
    /// lost.
    pub(super) fn recorded_before(&self) -> PageResult<Option<Reply>> {
        let Some(key) = &self.key else {
            return Ok(None);
        };
        let notice = Notice::of("This is on record already; it was not recorded twice.");
        let known = self.book.has_record() && self.record()?.has_key(key)?;
        Ok(known.then(|| Reply::Done("/".into(), notice)))
    }

    /// The record for reading. It is opened at the first call; further calls share it and the
    /// values that were read.
    pub(super) fn record(&self) -> PageResult<&Store> {
        match self.record.get() {
            Some(record) => Ok(record),
            None => {
                let opened = self.book.store()?.sharing(&self.state.kept_values);
                Ok(self.record.get_or_init(|| opened))
            }
        }
    }

    /// The record for writing. It is opened at each call, because another file may have come into
    /// its place; what is written carries the key of the form.
    pub(super) fn store(&self) -> PageResult<Store> {
        let opened = self.book.store()?.sharing(&self.state.kept_values);
        Ok(opened.with_key(self.key.clone()))
    }

    /// A path parameter, parsed. One that does not parse is [`PageError::NotFound`]: no page has
    /// that address.
    pub(super) fn part<T: std::str::FromStr>(&self, name: &str) -> PageResult<T> {
        let part = self
            .address
            .parts
            .get(name)
            .and_then(|part| part.parse().ok());
        part.ok_or(PageError::NotFound)
    }

    /// The notice of the last action, with its entry only while that can be taken back.
    pub(super) fn notice(&self) -> Option<Notice> {
        let mut notice = self.state.notices.named(self.address.query.text(NOTICE))?;
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

    fn foods(&self) -> PageResult<Pantry> {
        let settings = &self.book.settings;
        let pantry = self.state.pantry(&self.place)?;
        Ok(pantry
            .with_words(settings.words.clone())
            .with_metric_cups(settings.metric_cups))
    }
}

impl Ask for PageRequest<'_> {
    /// The page shows the question at the field.
    fn asked(&self, unclear: &Unclear) -> PageResult<Vec<String>> {
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
            is_local: parts.extensions.get() == Some(&Listener::Loopback),
            query: Fields::parse(parts.uri.query().unwrap_or_default().as_bytes()),
        })
    }
}
