//! A change: a form that was sent. A handler that changes anything takes a [`Change`], which only a
//! request that passes all checks becomes.

use std::sync::Arc;
use std::time::Duration;

use axum::body::to_bytes;
use axum::extract::{FromRequest, Request};
use axum::http::{HeaderMap, StatusCode, header};
use http_body_util::LengthLimitError;

use super::app_state::AppState;
use super::lock::{Listener, from_this_page};
use super::{Fields, PageError, PageResult};

/// The longest form, in bytes (judgement).
const LONGEST: usize = 64 * 1024;
/// The time within which a form must arrive (judgement).
const PATIENCE: Duration = Duration::from_secs(10);
/// The field that holds the token of the run.
pub(super) const TOKEN: &str = "token";

/// The fields of a form that this page sent.
pub(super) struct Change(pub(super) Fields);

/// The fields of a form of this page that needs no token: the one that shows the code of the
/// pairing.
pub(super) struct UntokenedForm(pub(super) Fields);

impl FromRequest<Arc<AppState>> for Change {
    type Rejection = PageError;

    async fn from_request(request: Request, state: &Arc<AppState>) -> PageResult<Self> {
        let UntokenedForm(fields) = UntokenedForm::from_request(request, state).await?;
        if state.token.is(fields.text(TOKEN)) {
            return Ok(Self(fields));
        }
        Err(PageError::EarlierRun)
    }
}

impl FromRequest<Arc<AppState>> for UntokenedForm {
    type Rejection = PageError;

    async fn from_request(request: Request, state: &Arc<AppState>) -> PageResult<Self> {
        let refused = |status, words| Err(PageError::Refused(status, words));
        is_from_our_page(state, &request)?;
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

/// Whether a form was refused because it is too long; otherwise it was cut off on its way.
fn is_too_long(error: &axum::Error) -> bool {
    std::error::Error::source(error).is_some_and(<dyn std::error::Error>::is::<LengthLimitError>)
}

/// The listener through which a form came.
///
/// Errors: the form was sent by another site.
pub(super) fn is_from_our_page(state: &AppState, request: &Request) -> PageResult<Listener> {
    let listener = request.extensions().get::<Listener>().copied();
    let listener = listener.unwrap_or(Listener::Network);
    if from_this_page(&state.hosts, listener, request.headers()) {
        return Ok(listener);
    }
    let words = "This form was sent by another site, so nothing was recorded.";
    Err(PageError::Refused(StatusCode::FORBIDDEN, words))
}

/// The content type of a request.
pub(super) fn kind_of(headers: &HeaderMap) -> &str {
    let kind = headers.get(header::CONTENT_TYPE);
    kind.and_then(|kind| kind.to_str().ok()).unwrap_or_default()
}

/// The error for a body that is not a form.
pub(super) fn no_form() -> PageError {
    let words = "A form of this page is sent as one.";
    PageError::Refused(StatusCode::UNSUPPORTED_MEDIA_TYPE, words)
}
