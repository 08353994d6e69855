//! What each batch cost beside the jar, a year at a time.

use std::collections::BTreeSet;

use askama::Template;

use super::words::{self, Last, day};
use crate::cost::{Comparison, Money};
use crate::household::{Outlay, outlay};
use crate::notebook::FrozenBatch;
use crate::web::fault::Fault;
use crate::web::frame::Frame;
use crate::web::visit::{Answer, Visit};

#[derive(Template)]
#[template(path = "web/money.html")]
struct MoneyPage {
    frame: Frame,
    currency: String,
    year: i16,
    years: Vec<i16>,
    in_all: Option<String>,
    dearer: Vec<String>,
    bounds: bool,
    rows: Vec<Row>,
    last: Option<Last>,
}

/// A batch.
struct Row {
    id: i64,
    title: String,
    made: String,
    cost: String,
    per_100_g: String,
    jar: String,
    saved: String,
}

/// Shows the money.
pub(in crate::web) fn show(visit: &Visit<'_>) -> Result<Answer, Fault> {
    let Outlay { currency, batches } = outlay(&visit.book, &visit.store()?)?;
    let years: BTreeSet<i16> = batches.iter().map(|(batch, _)| batch.day.year()).collect();
    let latest = years.last().copied().unwrap_or_else(|| visit.today.year());
    let asked = visit.asked.query.text("year").parse().ok();
    let year = asked.filter(|year| years.contains(year)).unwrap_or(latest);
    let all = Outlay { currency, batches };
    let of_year = all
        .batches
        .iter()
        .filter(|(batch, _)| batch.day.year() == year);
    Answer::page(&MoneyPage {
        frame: Frame::of(visit, "Money", "/money"),
        year,
        years: years.into_iter().rev().collect(),
        in_all: all.in_all(),
        dearer: all.dearer().into_iter().map(String::from).collect(),
        bounds: !all.complete(),
        rows: of_year
            .rev()
            .map(|(batch, beside)| row(batch, beside))
            .collect(),
        last: words::last(visit)?,
        currency: all.currency,
    })
}

fn row(batch: &FrozenBatch, beside: &Comparison) -> Row {
    let bound = if beside.complete() { "" } else { "at least " };
    let shown = |money: Option<Money>| {
        money.map_or_else(
            || "not known".into(),
            |money| format!("{bound}{}", money.shown()),
        )
    };
    let plain = |money: Option<Money>| money.map_or_else(|| "-".into(), Money::shown);
    // What is saved on a cost that is at least so much is at most so much.
    let most = if beside.complete() || beside.saving().is_none() {
        ""
    } else {
        "at most "
    };
    Row {
        id: batch.id,
        title: batch.title.clone(),
        made: day(batch.day),
        cost: shown(beside.cost.known),
        per_100_g: shown(beside.per_100_g()),
        jar: plain(beside.ready_made_of(beside.mass)),
        saved: format!("{most}{}", plain(beside.saving())),
    }
}
