//! The page on which a device of the home network enters the pairing code.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse as _, Redirect, Response};
use axum::routing::get;

use crate::web::form_post::UntokenedForm;
use crate::web::lock::{PAIR, Paired, Pairing, PairingError, cookie};
use crate::web::request::RequestAddress;
use crate::web::router::response;
use crate::web::{AppState, Layout, PageError, Wrong};
use crate::words::counted;

/// The longest code that is taken from an address, in characters.
const LONGEST: usize = 20;
/// The longest name of a device, in characters.
const LONGEST_NAME: usize = 40;
/// The name of a device to which nobody gave one.
const UNNAMED: &str = "a device without a name";

#[derive(Template)]
#[template(path = "web/pair.html")]
struct PairPage<'a> {
    layout: Layout,
    code: &'a str,
    /// For how long a device is let in.
    days: String,
    wrong: Wrong,
}

/// The route of the page.
pub(in crate::web) fn routes() -> Router<Arc<AppState>> {
    Router::new().route(PAIR, get(show).post(pair))
}

/// The code may be in the address, as in the QR code; only sending the form pairs the device.
async fn show(State(state): State<Arc<AppState>>, address: RequestAddress) -> Response {
    if state.pairing.is_none() {
        return PageError::NotFound.into_response();
    }
    let code: String = address.query.text("code").chars().take(LONGEST).collect();
    page(&state, StatusCode::OK, &code, Wrong::default())
}

async fn pair(
    State(state): State<Arc<AppState>>,
    UntokenedForm(fields): UntokenedForm,
) -> Response {
    let name: String = fields.text("name").chars().take(LONGEST_NAME).collect();
    let name = if name.is_empty() {
        UNNAMED.into()
    } else {
        name
    };
    let shown = (fields.text("code").to_string(), name);
    let shared = Arc::clone(&state);
    let paired = tokio::task::spawn_blocking(move || {
        let (code, name) = &shown;
        let of = |pairing: &Pairing| pairing.pair((code, name), shared.device_record());
        shared.pairing.as_ref().map(of)
    });
    let paired = match paired.await {
        Ok(Some(paired)) => paired,
        Ok(None) => return PageError::NotFound.into_response(),
        Err(error) => return response(&state, Err(PageError::broken(error))),
    };
    match paired {
        Ok(Paired::Known(device, seconds)) => {
            let mut response = Redirect::to("/").into_response();
            if let Ok(cookie) = HeaderValue::from_str(&cookie(&device, seconds)) {
                response.headers_mut().insert(header::SET_COOKIE, cookie);
            }
            state.tell("a device of the home network was let in");
            response
        }
        Ok(Paired::Wrong) => refused(
            &state,
            "That is not the code. It stands in the terminal in which the page was started.",
        ),
        Ok(Paired::Closed) => refused(&state, "Too many codes were tried. Restart the page."),
        Ok(Paired::Full) => refused(
            &state,
            "As many devices are let in as may be. Drop one under Household, Devices.",
        ),
        Err(PairingError::Book(error)) => response(&state, Err(error.into())),
        Err(error) => response(&state, Err(PageError::broken(error))),
    }
}

/// The form again, with the reason why the device is not let in.
fn refused(state: &AppState, words: &str) -> Response {
    let mut wrong = Wrong::default();
    wrong.say("code", words);
    page(state, StatusCode::FORBIDDEN, "", wrong)
}

fn page(state: &AppState, status: StatusCode, code: &str, wrong: Wrong) -> Response {
    let layout = Layout {
        // A device that has not entered the code gets no token.
        token: String::new(),
        ..Layout::bare(state, "Let this device in", "")
    };
    let days = counted(state.pairing.as_ref().map_or(0, Pairing::days), "day");
    let page = PairPage {
        layout,
        code,
        days,
        wrong,
    };
    match page.render() {
        Ok(page) => (status, Html(page)).into_response(),
        Err(error) => response(state, Err(error.into())),
    }
}
