//! Access control. Every request passes [`guard`]; every change passes [`Change`](super::form_post::Change) as well.

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
pub(super) use hosts::{Door, Hosts};
pub use pairing::Pairing;
pub(super) use pairing::{DeviceRecord, Paired, PairingError, cookie};
pub(super) use secret::{Secret, Unguessable};
pub(super) use site::from_this_page;

/// The longest address that is answered, in bytes.
const LONGEST_ADDRESS: usize = 2048;
/// The path where a device of the home network enters its code.
pub(super) const PAIR: &str = "/pair";

/// Lets a request in, or refuses it; and puts the locks of the browser on every answer.
pub(super) async fn guard(
    State(kitchen): State<Arc<AppState>>,
    request: Request,
    next: Next,
) -> Response {
    let door = request
        .extensions()
        .get::<Door>()
        .copied()
        .unwrap_or(Door::Network);
    let cookies = for_paired(door, &request);
    let refused = match (refusal(&kitchen, door, &request), cookies) {
        (None, Some(cookies)) => unpaired(&kitchen, cookies).await,
        (refused, _) => refused,
    };
    let lasting = super::assets::is_one(request.uri().path());
    let mut response = match refused {
        Some(refused) => refused,
        None => next.run(request).await,
    };
    headers::put_on(&mut response, door, lasting);
    response
}

/// The answer to a request that is not let in; `None` for one that is.
fn refusal(kitchen: &AppState, door: Door, request: &Request) -> Option<Response> {
    if request.uri().to_string().len() > LONGEST_ADDRESS {
        let words = "The address is longer than any of this page.";
        return Some(PageError::refused(StatusCode::URI_TOO_LONG, words).into_response());
    }
    if request.version() < Version::HTTP_11 {
        let words = "This page is shown to browsers that speak HTTP/1.1.";
        return Some(
            PageError::refused(StatusCode::HTTP_VERSION_NOT_SUPPORTED, words).into_response(),
        );
    }
    if let Err(fault) = kitchen.hosts().check(door, request) {
        return Some(fault.into_response());
    }
    None
}

/// The cookies of a request that is for paired devices alone; `None` for one that is for everybody.
fn for_paired(door: Door, request: &Request) -> Option<Vec<HeaderValue>> {
    let path = request.uri().path();
    if door == Door::Loopback || path == PAIR || super::assets::is_one(path) {
        return None;
    }
    let cookies = request.headers().get_all(header::COOKIE);
    Some(cookies.iter().cloned().collect())
}

/// A device of the home network that has not shown the code is sent to show it.
async fn unpaired(kitchen: &Arc<AppState>, cookies: Vec<HeaderValue>) -> Option<Response> {
    let (teller, kitchen) = (Arc::clone(kitchen), Arc::clone(kitchen));
    // The record is asked on a thread that may wait for the disk.
    let known = tokio::task::spawn_blocking(move || {
        let of = |pairing: &Pairing| pairing.knows(&cookies, kitchen.device_record());
        kitchen.pairing().map_or(Ok(false), of)
    });
    match known.await {
        Ok(Ok(true)) => None,
        Ok(Ok(false)) => Some(Redirect::to(PAIR).into_response()),
        // Whoever is not let in is told nothing of the book.
        Ok(Err(error)) => Some(unknown(&teller, &error)),
        Err(error) => Some(unknown(&teller, &error)),
    }
}

/// The answer where it cannot be told whether a device is let in; the terminal says why.
fn unknown(kitchen: &AppState, error: &dyn std::fmt::Display) -> Response {
    kitchen.tell(&error.to_string());
    PageError::broken(error).into_response()
}
