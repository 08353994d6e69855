//! Before there is a book: one is started, or that of an invented household is looked at.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::routing::{get, post};
use jiff::civil::Date;

use super::phrases;
use crate::day::{DayReader, DayUse};
use crate::notebook::{Book, BookError, NewBook};
use crate::web::AppState;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::form_post::Change;
use crate::web::layout::Layout;
use crate::web::notice::Notice;
use crate::web::request::Reply;
use crate::web::router::response;

/// A name is no longer than this.
const LONGEST: usize = 80;
/// The defaults of the form: a usual tray, and the currency.
const USUAL: &[u8] = b"wells=16&well=30&currency=USD";

#[derive(Template)]
#[template(path = "web/start.html")]
struct StartPage<'a> {
    frame: Layout,
    child: &'a str,
    born: &'a str,
    wells: &'a str,
    well: &'a str,
    currency: &'a str,
    wrong: Wrong,
}

/// The ways in.
pub(in crate::web) fn routes() -> Router<Arc<AppState>> {
    Router::new()
        .route("/start", get(show).post(record))
        .route("/demo", post(enter_demo))
        .route("/demo/leave", post(leave_demo))
}

async fn show(State(kitchen): State<Arc<AppState>>) -> axum::response::Response {
    let answer = kitchen.at_the_book(|kitchen| {
        if kitchen.place().book().is_ok() {
            return Ok(Reply::See("/".into()));
        }
        Reply::page(&filled(kitchen, &Fields::parse(USUAL), Wrong::default()))
    });
    let answer = answer.await;
    response(&kitchen, answer)
}

async fn record(
    State(kitchen): State<Arc<AppState>>,
    Change(fields): Change,
) -> axum::response::Response {
    let answer = kitchen
        .at_the_book(move |kitchen| start(kitchen, &fields))
        .await;
    response(&kitchen, answer)
}

async fn enter_demo(State(kitchen): State<Arc<AppState>>, _: Change) -> axum::response::Response {
    let answer = kitchen.at_the_book(|kitchen| {
        if kitchen.place().book().is_err() {
            kitchen.enter_demo()?;
        }
        Ok(Reply::See("/".into()))
    });
    let answer = answer.await;
    response(&kitchen, answer)
}

async fn leave_demo(State(kitchen): State<Arc<AppState>>, _: Change) -> axum::response::Response {
    kitchen.leave_demo();
    response(&kitchen, Ok(Reply::See("/".into())))
}

fn start(kitchen: &AppState, fields: &Fields) -> Result<Reply, PageError> {
    let mut wrong = Wrong::default();
    if let Some(new) = new_book(fields, kitchen.today(&kitchen.place()), &mut wrong) {
        let started = Book::start(&kitchen.place().folder, &new);
        if matches!(started, Err(BookError::Exists(_))) {
            return Ok(Reply::See("/".into()));
        }
        if wrong.take("well", started)?.is_some() {
            let notice = Notice {
                more: vec![
                    "What it says of the household is in book.toml: read it once, and add to it."
                        .into(),
                ],
                ..Notice::of(format!("Started a book for {}.", new.child))
            };
            return Ok(Reply::Done("/freezer".into(), notice));
        }
    }
    Reply::wrong(&filled(kitchen, fields, wrong))
}

/// Reads the fields of a new book; mistakes are noted.
fn new_book(fields: &Fields, today: Date, wrong: &mut Wrong) -> Option<NewBook> {
    let child = fields.text("child");
    if child.is_empty() || child.chars().count() > LONGEST || child.contains(char::is_control) {
        wrong.say(
            "child",
            format!("Say what the child is called, in 1 to {LONGEST} letters."),
        );
    }
    let born = phrases::day(fields, "born", &DayReader::new(today, DayUse::Birth), wrong);
    let wells: Option<u32> = fields
        .text("wells")
        .parse()
        .ok()
        .filter(|wells| (1..=1000).contains(wells));
    if wells.is_none() {
        wrong.say("wells", "Say how many wells the tray has: a whole number.");
    }
    let well: Option<f64> = fields
        .text("well")
        .parse()
        .ok()
        .filter(|well| (1.0..=1000.0).contains(well));
    if well.is_none() {
        wrong.say(
            "well",
            "Say how many millilitres a well holds to the brim, such as 30.",
        );
    }
    let currency = fields.text("currency");
    if currency.chars().count() != 3 || !currency.chars().all(|letter| letter.is_ascii_alphabetic())
    {
        wrong.say(
            "currency",
            "Say the currency by its three letters (ISO 4217), such as USD.",
        );
    }
    let tray = ("tray".to_string(), wells?, format!("{} ml", well?));
    wrong.is_empty().then_some(NewBook {
        child: child.to_string(),
        born: born?,
        weight: None,
        milk: None,
        tray,
        currency: currency.to_ascii_uppercase(),
    })
}

fn filled<'a>(kitchen: &AppState, fields: &'a Fields, wrong: Wrong) -> StartPage<'a> {
    StartPage {
        frame: Layout::bare(kitchen, "Start a book", ""),
        child: fields.text("child"),
        born: fields.text("born"),
        wells: fields.text("wells"),
        well: fields.text("well"),
        currency: fields.text("currency"),
        wrong,
    }
}
