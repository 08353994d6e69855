//! The shopping list of the plan.

use askama::Template;

use super::{HERE, span};
use crate::household::{plan_facts, shopping_list, shopping_objections};
use crate::notebook::Plan;
use crate::planning::shop::Item;
use crate::report::objection_lines;
use crate::report::{CUPBOARD, ObjectionLine, RESIDUES_SAID, ShopPage};
use crate::spoken::Lookup as _;
use crate::web::error::PageError;
use crate::web::layout::Layout;
use crate::web::request::{PageRequest, Reply};
use crate::web::wording::with_room;
use crate::words::{days, joined};

#[derive(Template)]
#[template(path = "web/week-shop.html")]
struct ShopRoom {
    frame: Layout,
    days: String,
    /// The objections to the meals and batches on the list, without those that are notes only.
    objections: Vec<ObjectionLine>,
    currency: String,
    shelves: Vec<(&'static str, Vec<Line>)>,
    in_all: String,
    /// Usual prices, and what is to be cooked first.
    to_mind: Vec<String>,
    /// How each food keeps, its season, usual price and residues.
    facts: Vec<(String, Vec<String>)>,
    /// What residues mean, where any were counted.
    residues_said: Vec<&'static str>,
    cupboard: &'static str,
}

/// A food to buy.
struct Line {
    name: String,
    /// Whether it is in season, and its usual price fresh and frozen.
    season: String,
    buy: String,
    needed: String,
    cost: String,
    used_for: String,
}

/// Shows the list.
pub(super) fn show(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    let span = span(visit)?;
    let store = visit.store()?;
    let new = Plan::default();
    let facts = plan_facts(&visit.book, &store, visit.foods()?, span, new)?;
    let list = shopping_list(&visit.book, &store, &visit.foods()?, (&facts, span))?;
    let found = shopping_objections(&visit.book, &store, &visit.foods()?, (&facts, span))?;
    let page = ShopPage {
        objections: &found,
        list: &list,
        from: span.from,
        to: span.to,
        currency: &visit.book.settings.currency,
        month: u32::from(span.from.month().unsigned_abs()),
        why: true,
    };
    let shelves = list.shelves.iter().map(|shelf| {
        let lines = shelf.items.iter().map(|item| line(item, page.month));
        (shelf.name, lines.collect())
    });
    Reply::page(&ShopRoom {
        frame: Layout::of(visit, "To buy", HERE),
        days: days(span.from, span.to),
        objections: objection_lines(&found),
        currency: page.currency.to_string(),
        shelves: shelves.collect(),
        in_all: with_room(&page.in_all()) + ".",
        to_mind: page.to_mind(),
        facts: page.facts(),
        residues_said: if list.items().any(|item| !item.facts.residues.is_empty()) {
            RESIDUES_SAID.to_vec()
        } else {
            Vec::new()
        },
        cupboard: CUPBOARD,
    })
}

fn line(item: &Item, month: u32) -> Line {
    let [name, needed, buy, cost, used_for] = ShopPage::cells(item);
    let season = item.in_season(month);
    let season = season.map(|now| if now { "in season" } else { "out of season" });
    Line {
        name,
        season: joined(
            [season.map(String::from), ShopPage::fresh_and_frozen(item)]
                .into_iter()
                .flatten(),
            "; ",
        ),
        buy,
        needed,
        cost,
        used_for,
    }
}
