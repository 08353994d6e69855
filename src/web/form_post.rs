//! A change: a form that was sent. A handler that changes anything takes a [`Change`], and there is no other way to one
//! than past its checks.

use std::sync::Arc;
use std::time::Duration;

use axum::body::to_bytes;
use axum::extract::{FromRequest, Request};
use axum::http::{HeaderMap, StatusCode, header};
use http_body_util::LengthLimitError;

use super::app_state::AppState;
use super::error::PageError;
use super::fields::Fields;
use super::lock::{Door, from_this_page};

/// A form is no longer than this.
const LONGEST: usize = 64 * 1024;
/// A form is sent within this time.
const PATIENCE: Duration = Duration::from_secs(10);
/// The field that holds the token of the run.
pub(super) const TOKEN: &str = "token";
/// The token is that of an earlier run.
pub(super) const EARLIER: &str = "This form is from an earlier run of the page, so nothing was recorded. Open the page anew and try again.";

/// The fields of a form that this page sent.
pub(super) struct Change(pub(super) Fields);

/// The fields of a form of this page that needs no token: the one that shows the code of the pairing.
pub(super) struct UntokenedForm(pub(super) Fields);

impl FromRequest<Arc<AppState>> for Change {
    type Rejection = PageError;

    async fn from_request(request: Request, kitchen: &Arc<AppState>) -> Result<Self, PageError> {
        let UntokenedForm(fields) = UntokenedForm::from_request(request, kitchen).await?;
        if kitchen.token().is(fields.text(TOKEN)) {
            return Ok(Self(fields));
        }
        Err(PageError::refused(StatusCode::FORBIDDEN, EARLIER))
    }
}

impl FromRequest<Arc<AppState>> for UntokenedForm {
    type Rejection = PageError;

    async fn from_request(request: Request, kitchen: &Arc<AppState>) -> Result<Self, PageError> {
        let refused = |status, words| Err(PageError::refused(status, words));
        is_ours(kitchen, &request)?;
        let kind = kind_of(request.headers());
        if kind.split(';').next().map(str::trim) != Some("application/x-www-form-urlencoded") {
            return Err(no_form());
        }
        match tokio::time::timeout(PATIENCE, to_bytes(request.into_body(), LONGEST)).await {
            Ok(Ok(body)) => Ok(Self(Fields::parse(&body))),
            Ok(Err(error)) if is_too_long(&error) => refused(
                StatusCode::PAYLOAD_TOO_LARGE,
                "The form is longer than any of this page.",
            ),
            Ok(Err(_)) => refused(
                StatusCode::BAD_REQUEST,
                "The form did not arrive whole, so nothing was recorded.",
            ),
            Err(_) => refused(
                StatusCode::REQUEST_TIMEOUT,
                "The form took too long to arrive, so nothing was recorded.",
            ),
        }
    }
}

/// Whether a form was given up because it is too long; else it broke off on its way.
fn is_too_long(error: &axum::Error) -> bool {
    std::error::Error::source(error).is_some_and(<dyn std::error::Error>::is::<LengthLimitError>)
}

/// Admits a form that this page sent, and returns the interface it came through.
pub(super) fn is_ours(kitchen: &AppState, request: &Request) -> Result<Door, PageError> {
    let door = request.extensions().get::<Door>().copied();
    let door = door.unwrap_or(Door::Network);
    if from_this_page(kitchen.hosts(), door, request.headers()) {
        return Ok(door);
    }
    let words = "This form was sent by another site, so nothing was recorded.";
    Err(PageError::refused(StatusCode::FORBIDDEN, words))
}

/// The content type of a request.
pub(super) fn kind_of(headers: &HeaderMap) -> &str {
    let kind = headers.get(header::CONTENT_TYPE);
    kind.and_then(|kind| kind.to_str().ok()).unwrap_or_default()
}

/// The error for a body that is not a form.
pub(super) fn no_form() -> PageError {
    let words = "A form of this page is sent as one.";
    PageError::refused(StatusCode::UNSUPPORTED_MEDIA_TYPE, words)
}
