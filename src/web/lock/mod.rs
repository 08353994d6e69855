//! Access control. Every request passes [`guard`]; every change passes
//! [`Change`](super::form_post::Change) as well.

mod headers;
mod hosts;
mod pairing;
mod secret;
mod site;

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::{HeaderValue, StatusCode, Version, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Redirect, Response};

use super::app_state::AppState;
use super::error::PageError;
pub(super) use headers::OwnStyle;
pub(super) use hosts::{Hosts, Listener};
pub use pairing::Pairing;
pub(super) use pairing::{DeviceRecord, Paired, PairingError, cookie};
pub(super) use secret::{Secret, Unguessable};
pub(super) use site::from_this_page;

/// The longest address that is answered, in bytes.
const LONGEST_ADDRESS: usize = 2048;
/// The path where a device of the home network enters its code.
pub(super) const PAIR: &str = "/pair";

/// Lets a request in or refuses it, and sets the security headers of every answer.
pub(super) async fn guard(
    State(state): State<Arc<AppState>>,
    request: Request,
    next: Next,
) -> Response {
    let listener = request
        .extensions()
        .get::<Listener>()
        .copied()
        .unwrap_or(Listener::Network);
    let cookies = for_paired(listener, &request);
    let refused = match (refusal(&state, listener, &request), cookies) {
        (None, Some(cookies)) => unpaired(&state, cookies).await,
        (refused, _) => refused,
    };
    let lasting = super::assets::is_asset(request.uri().path());
    let mut response = match refused {
        Some(refused) => refused,
        None => next.run(request).await,
    };
    headers::set(&mut response, listener, lasting);
    response
}

/// The answer to a request that is not let in; `None` for one that is.
fn refusal(state: &AppState, listener: Listener, request: &Request) -> Option<Response> {
    if request.uri().to_string().len() > LONGEST_ADDRESS {
        let words = "The address is longer than any of this page.";
        return Some(PageError::Refused(StatusCode::URI_TOO_LONG, words).into_response());
    }
    if request.version() < Version::HTTP_11 {
        let words = "This page is shown to browsers that speak HTTP/1.1.";
        return Some(
            PageError::Refused(StatusCode::HTTP_VERSION_NOT_SUPPORTED, words).into_response(),
        );
    }
    if let Err(fault) = state.hosts.check(listener, request) {
        return Some(fault.into_response());
    }
    None
}

/// The cookies of a request that only paired devices may send; `None` for one that every device may
/// send.
fn for_paired(listener: Listener, request: &Request) -> Option<Vec<HeaderValue>> {
    let path = request.uri().path();
    if listener == Listener::Loopback || path == PAIR || super::assets::is_asset(path) {
        return None;
    }
    let cookies = request.headers().get_all(header::COOKIE);
    Some(cookies.iter().cloned().collect())
}

/// The redirect of a device that has not entered the code to the page where it does; `None` for a
/// paired device.
async fn unpaired(state: &Arc<AppState>, cookies: Vec<HeaderValue>) -> Option<Response> {
    let (teller, state) = (Arc::clone(state), Arc::clone(state));
    // The record is read on a thread that may wait for the disk.
    let known = tokio::task::spawn_blocking(move || {
        let of = |pairing: &Pairing| pairing.knows(&cookies, state.device_record());
        state.pairing.as_ref().map_or(Ok(false), of)
    });
    match known.await {
        Ok(Ok(true)) => None,
        Ok(Ok(false)) => Some(Redirect::to(PAIR).into_response()),
        // A device that is not let in learns nothing about the book.
        Ok(Err(error)) => Some(unknown(&teller, &error)),
        Err(error) => Some(unknown(&teller, &error)),
    }
}

/// The answer where an error hides whether a device is let in; the terminal says why.
fn unknown(state: &AppState, error: &dyn std::fmt::Display) -> Response {
    state.tell(&error.to_string());
    PageError::broken(error).into_response()
}
