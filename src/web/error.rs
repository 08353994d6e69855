//! The errors of requests, and the page that reports them: never with a path of the disk.

use askama::Template;
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse, Redirect, Response};

use super::fields::by_names;
use super::wording::in_words;
use crate::food::FoodDataError;
use crate::notebook::BookError;
use crate::problem::Problem;
use crate::report::NoCard;
use crate::spoken::Unclear;

/// The reason why a request failed.
#[derive(Debug)]
pub(super) enum PageError {
    /// The request is refused, with the sentence for the page.
    Refused(StatusCode, &'static str),
    /// The form is from an earlier run of the page.
    EarlierRun,
    /// The address has no page.
    NotFound,
    /// No book exists yet: it must be started first.
    NoBook,
    /// Invalid input where there is no form to show the problems in.
    Problems(Vec<Problem>),
    /// Typed food that is not clear, with what could be meant.
    Unclear(Box<Unclear>),
    /// Other requests use the book; this one may be sent again.
    Busy,
    /// The disk is full; the details are for the terminal, not for the page.
    NoRoom(String),
    /// The book may not be written to; the details are for the terminal, not for the page.
    Closed(String),
    /// An internal error or an error of the system; the details are for the terminal, not for the
    /// page.
    Broken(String),
}

/// The result of a step towards a page, or why the request failed.
pub(super) type PageResult<T> = Result<T, PageError>;

#[derive(Template)]
#[template(path = "web/fault.html")]
struct FaultPage<'a> {
    heading: &'a str,
    words: Vec<String>,
    next: &'a str,
}

impl PageError {
    /// An internal error.
    pub(super) fn broken(error: impl std::fmt::Display) -> Self {
        Self::Broken(error.to_string())
    }

    /// The details for the terminal, which the page does not show.
    pub(super) fn detail(&self) -> Option<&str> {
        match self {
            Self::NoRoom(detail) | Self::Closed(detail) | Self::Broken(detail) => Some(detail),
            _ => None,
        }
    }

    fn status(&self) -> StatusCode {
        match self {
            Self::Refused(status, _) => *status,
            Self::EarlierRun => StatusCode::FORBIDDEN,
            Self::NotFound => StatusCode::NOT_FOUND,
            Self::NoBook => StatusCode::SEE_OTHER,
            Self::Problems(_) | Self::Unclear(_) => StatusCode::UNPROCESSABLE_ENTITY,
            Self::Busy => StatusCode::SERVICE_UNAVAILABLE,
            Self::NoRoom(_) => StatusCode::INSUFFICIENT_STORAGE,
            Self::Closed(_) | Self::Broken(_) => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    fn page(&self) -> FaultPage<'_> {
        let said = |heading, words: Vec<String>, next| FaultPage {
            heading,
            words,
            next,
        };
        let unfit = |words| said("That does not fit", words, "Nothing was recorded.");
        let page = |heading, words: &str, next| said(heading, vec![words.into()], next);
        match self {
            Self::Refused(StatusCode::CONFLICT, words) => page("Not now", words, ""),
            Self::Refused(_, words) => page("Not let in", words, ""),
            Self::EarlierRun => page(
                "Opened before the page was started again",
                "This form is from an earlier run of the page, so nothing was recorded.",
                "Go back: what you wrote may still stand there. Reload the page, and send it again.",
            ),
            Self::NotFound => page(
                "No such page",
                "Nothing stands at this address.",
                "Go back to the start.",
            ),
            Self::Problems(problems) => unfit(problems.iter().map(in_words).collect()),
            Self::Unclear(unclear) => unfit(vec![in_words(&by_names(unclear))]),
            Self::Busy => page(
                "One moment",
                "The book is in use by others. Nothing was recorded by this request.",
                "Try again in a few seconds.",
            ),
            Self::NoRoom(_) => page(
                "The disk is full",
                "Nothing was recorded by this request.",
                "Make room on the computer on which the page was started, then try again.",
            ),
            Self::Closed(_) => page(
                "The book can only be read",
                "Its file or folder may not be written to. Nothing was recorded by this request.",
                "The terminal in which the page was started names the file. Allow writing there, then try again.",
            ),
            Self::NoBook | Self::Broken(_) => page(
                "Something went wrong",
                "The terminal in which the page was started says what.",
                "Look at the freezer before you enter anything again: what was confirmed is recorded.",
            ),
        }
    }
}

impl IntoResponse for PageError {
    fn into_response(self) -> Response {
        if matches!(self, Self::NoBook) {
            return Redirect::to("/start").into_response();
        }
        let status = self.status();
        let mut response = match self.page().render() {
            Ok(page) => (status, Html(page)).into_response(),
            Err(_) => status.into_response(),
        };
        if matches!(self, Self::Busy) {
            let seconds = header::HeaderValue::from_static("2");
            response.headers_mut().insert(header::RETRY_AFTER, seconds);
        }
        response
    }
}

impl From<Vec<Problem>> for PageError {
    fn from(problems: Vec<Problem>) -> Self {
        Self::Problems(problems)
    }
}

impl From<Problem> for PageError {
    fn from(problem: Problem) -> Self {
        Self::Problems(vec![problem])
    }
}

impl From<BookError> for PageError {
    fn from(error: BookError) -> Self {
        match error {
            BookError::Problems(problems) => Self::Problems(problems),
            BookError::Missing(_) => Self::NoBook,
            error if error.is_busy() => Self::Busy,
            error if error.lacks_room() => Self::NoRoom(error.to_string()),
            error if error.is_closed() => Self::Closed(error.to_string()),
            error => Self::broken(error),
        }
    }
}

impl From<data_import::Error> for PageError {
    fn from(error: data_import::Error) -> Self {
        Self::broken(error)
    }
}

impl From<FoodDataError> for PageError {
    fn from(error: FoodDataError) -> Self {
        Self::broken(error)
    }
}

impl From<NoCard> for PageError {
    fn from(error: NoCard) -> Self {
        Self::broken(error)
    }
}

impl From<askama::Error> for PageError {
    fn from(error: askama::Error) -> Self {
        Self::broken(error)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_details_of_an_internal_error_stay_out_of_the_page() {
        let fault = PageError::broken("cannot read “/home/wren/book.sqlite”");
        assert!(!fault.page().render().unwrap().contains("wren"));
    }
}
