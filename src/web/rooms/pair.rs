//! The page on which a device of the home network enters the pairing code.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse as _, Redirect, Response};
use axum::routing::get;

use crate::web::AppState;
use crate::web::error::PageError;
use crate::web::fields::Wrong;
use crate::web::form_post::UntokenedForm;
use crate::web::layout::Layout;
use crate::web::lock::{PAIR, Paired, Pairing, PairingError, cookie};
use crate::web::request::RequestAddress;
use crate::web::router::response;
use crate::words::counted;

/// A code in an address is no longer than this.
const LONGEST: usize = 20;
/// The name of a device is no longer than this.
const LONGEST_NAME: usize = 40;
/// The name of a device that was given none.
const UNNAMED: &str = "a device without a name";

#[derive(Template)]
#[template(path = "web/pair.html")]
struct PairPage<'a> {
    frame: Layout,
    code: &'a str,
    /// For how long it is let in.
    days: String,
    wrong: Wrong,
}

/// The way in.
pub(in crate::web) fn routes() -> Router<Arc<AppState>> {
    Router::new().route(PAIR, get(show).post(pair))
}

/// The code may be in the address, as in the QR code; only sending the form pairs the device.
async fn show(State(kitchen): State<Arc<AppState>>, asked: RequestAddress) -> Response {
    if kitchen.pairing().is_none() {
        return PageError::NotFound.into_response();
    }
    let code: String = asked.query.text("code").chars().take(LONGEST).collect();
    page(&kitchen, StatusCode::OK, &code, Wrong::default())
}

async fn pair(
    State(kitchen): State<Arc<AppState>>,
    UntokenedForm(fields): UntokenedForm,
) -> Response {
    let name: String = fields.text("name").chars().take(LONGEST_NAME).collect();
    let name = if name.is_empty() {
        UNNAMED.into()
    } else {
        name
    };
    let shown = (fields.text("code").to_string(), name);
    let asked = Arc::clone(&kitchen);
    let paired = tokio::task::spawn_blocking(move || {
        let (code, name) = &shown;
        let of = |pairing: &Pairing| pairing.pair((code, name), asked.device_record());
        asked.pairing().map(of)
    });
    let paired = match paired.await {
        Ok(Some(paired)) => paired,
        Ok(None) => return PageError::NotFound.into_response(),
        Err(error) => return response(&kitchen, Err(PageError::broken(error))),
    };
    match paired {
        Ok(Paired::Known(device, seconds)) => {
            let mut response = Redirect::to("/").into_response();
            if let Ok(cookie) = HeaderValue::from_str(&cookie(&device, seconds)) {
                response.headers_mut().insert(header::SET_COOKIE, cookie);
            }
            kitchen.tell("a device of the home network was let in");
            response
        }
        Ok(Paired::Wrong) => {
            let mut wrong = Wrong::default();
            wrong.say(
                "code",
                "That is not the code. It stands in the terminal in which the page was started.",
            );
            page(&kitchen, StatusCode::FORBIDDEN, "", wrong)
        }
        Ok(Paired::Closed) => {
            let mut wrong = Wrong::default();
            wrong.say("code", "Too many codes were tried. Start the page anew.");
            page(&kitchen, StatusCode::FORBIDDEN, "", wrong)
        }
        Ok(Paired::Full) => {
            let mut wrong = Wrong::default();
            wrong.say(
                "code",
                "As many devices are let in as may be. Drop one under Household, Devices.",
            );
            page(&kitchen, StatusCode::FORBIDDEN, "", wrong)
        }
        Err(PairingError::Book(error)) => response(&kitchen, Err(error.into())),
        Err(error) => response(&kitchen, Err(PageError::broken(error))),
    }
}

fn page(kitchen: &AppState, status: StatusCode, code: &str, wrong: Wrong) -> Response {
    let frame = Layout {
        // Whoever has not shown the code gets no token.
        token: String::new(),
        ..Layout::bare(kitchen, "Let this device in", "")
    };
    let days = counted(kitchen.pairing().map_or(0, Pairing::days), "day");
    let page = PairPage {
        frame,
        code,
        days,
        wrong,
    };
    match page.render() {
        Ok(page) => (status, Html(page)).into_response(),
        Err(error) => response(kitchen, Err(error.into())),
    }
}
