//! `trayful buy` and `trayful money`: what food costs, and what a batch saves against the jar.

use clap::Args;
use trayful::cost::{Comparison, Money, MoneyError};
use trayful::food::FoodId;
use trayful::household;
use trayful::notebook::{FrozenBatch, Purchase};
use trayful::problem::{Place, Problem, SourceText};
use trayful::quantity::{Amount, Mass};
use trayful::report::{Page, Sheet};

use super::failure::Failure;
use super::{Answer, DayArg, Session};

/// Arguments of `trayful buy`.
#[derive(Debug, Args)]
pub(super) struct BuyArgs {
    /// Mass and food id, such as "2 lb 11485"
    #[arg(value_name = "MASS ID")]
    what: String,
    /// What was paid, such as 3.49
    price: String,
    /// Where it was bought
    #[arg(long, value_name = "STORE", default_value = "")]
    at: String,
    #[command(flatten)]
    day: DayArg,
}

/// Records a purchase.
pub(super) fn buy(args: &BuyArgs, session: &Session) -> Result<Answer, Failure> {
    let source = SourceText::new("what was bought", args.what.as_str());
    let shape = || {
        Problem::at(Place::whole(&source), "a purchase is a mass and a food id")
            .hint("such as: trayful buy \"2 lb 11485\" 3.49")
    };
    let (mass, food) = args.what.trim().rsplit_once(' ').ok_or_else(shape)?;
    let food: FoodId = food.parse().map_err(|_| shape())?;
    let mass: Mass = mass
        .parse::<Amount>()
        .and_then(|amount| amount.mass())
        .map_err(|error| {
            Problem::at(Place::whole(&source), error.to_string()).hint(error.hint())
        })?;
    if mass <= Mass::ZERO {
        return Err(shape().into());
    }
    let price: Money = args.price.parse().map_err(|error: MoneyError| {
        let place = Place::whole(&SourceText::new("the price", args.price.as_str()));
        Problem::at(place, error.to_string()).hint(error.hint())
    })?;
    let known = session
        .pantry(None)?
        .foods(std::slice::from_ref(&food))?
        .pop()
        .flatten();
    let Some(known) = known else {
        return Err(
            Problem::at(Place::whole(&source), format!("no food has the id {food}"))
                .hint("find the id with `trayful foods sweet potato`")
                .into(),
        );
    };
    let book = session.book()?;
    let purchase = Purchase {
        day: args.day.day(),
        food: food.to_string(),
        name: known.name,
        mass,
        price,
        store: args.at.clone(),
    };
    let id = book.store()?.buy(&purchase)?;
    let currency = &book.settings.currency;
    let hundred = price
        .share(Mass::from_grams(100.0), mass)
        .unwrap_or_default();
    let mut page = Page::new(session.look);
    page.paragraph(&format!(
        "Bought {:.0} g of {} for {} {currency}, {} per 100 g (entry {id}).",
        mass.grams(),
        purchase.name,
        price.shown(),
        hundred.shown()
    ));
    if let Some(months) = book.settings.seasons.get(&purchase.food) {
        let months: Vec<_> = months.iter().map(ToString::to_string).collect();
        page.paragraph(&format!(
            "In season by your notes: months {}.",
            months.join(", ")
        ));
    }
    page.line("Take it back with `trayful undo`.");
    Ok(Answer::text(page.finish()))
}

/// Shows what every batch cost against the jar.
pub(super) fn money(session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let outlay = household::outlay(&book, &book.store()?)?;
    let mut page = Page::new(session.look);
    if outlay.batches.is_empty() {
        page.line("No batch is on record yet.");
        return Ok(Answer::no(page.finish()));
    }
    page.heading(&format!("COST AGAINST READY-MADE, {}", outlay.currency));
    let header = [
        "",
        "",
        "made",
        "cost",
        "per 100 g",
        "per oz",
        "ready-made",
        "saved",
    ];
    let rows = outlay.batches.iter();
    page.sheet(Sheet {
        header: header.map(String::from).to_vec(),
        rows: rows.map(|(batch, beside)| row(batch, beside)).collect(),
        right: vec![3, 4, 5, 6, 7],
    });
    page.line("");
    if let Some(words) = outlay.in_all() {
        page.paragraph(&words);
    }
    let dearer = outlay.dearer();
    if !dearer.is_empty() {
        page.paragraph(&format!(
            "Dearer than the jar, buy these: {}.",
            dearer.join("; ")
        ));
    }
    if !outlay.complete() {
        page.paragraph(
            "A cost with >= lacks a price, so it is a lower bound, and what is saved an upper one.",
        );
    }
    Ok(Answer::text(page.finish()))
}

fn row(batch: &FrozenBatch, beside: &Comparison) -> Vec<String> {
    let bound = if beside.complete() { "" } else { ">= " };
    let shown = |money: Option<Money>| {
        money.map_or_else(
            || "not known".into(),
            |money| format!("{bound}{}", money.shown()),
        )
    };
    let plain = |money: Option<Money>| money.map_or_else(|| "-".into(), Money::shown);
    // What is saved on a cost that is at least so much is at most so much.
    let at_most = if beside.complete() || beside.saving().is_none() {
        ""
    } else {
        "<= "
    };
    vec![
        format!("#{}", batch.id),
        batch.name.clone(),
        batch.day.to_string(),
        shown(beside.cost.known),
        shown(beside.per_100_g()),
        shown(beside.per_ounce()),
        plain(beside.ready_made_of(beside.mass)),
        format!("{at_most}{}", plain(beside.saving())),
    ]
}
