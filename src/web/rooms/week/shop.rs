//! The shopping list of the plan: what is bought is ticked off, and the list is printed or sent as
//! text.

use std::fmt::Write as _;

use askama::Template;
use jiff::civil::Date;

use super::{HERE, near, span};
use crate::food::FoodId;
use crate::household::{plan_facts, shopping_days, shopping_list, shopping_objections};
use crate::notebook::Plan;
use crate::planning::facts::Span;
use crate::planning::shop::{Item, ShoppingList};
use crate::report::{CUPBOARD, ObjectionLine, RESIDUES_SAID, ShopPage, objection_lines, short_of};
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::wording::with_room;
use crate::web::{Fields, Layout, PageAnswer, PageError, PageRequest, PageResult, Reply};
use crate::words::{capital, days, joined};

#[derive(Template)]
#[template(path = "web/week-shop.html")]
struct ShopRoom {
    layout: Layout,
    days: String,
    from: Date,
    /// The list as the body of a letter, for a link.
    letter: String,
    /// How many foods are ticked off.
    done: String,
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
    id: String,
    ticked: bool,
    /// The amount that is still to buy, where more is needed than was ticked off.
    short: Option<String>,
    name: String,
    /// Whether it is in season, and its usual price fresh and frozen.
    season: String,
    buy: String,
    needed: String,
    /// Empty where no price is on record.
    cost: String,
    used_for: String,
}

/// The list, and the objections to what is on it.
struct ShoppingOfDays {
    span: Span,
    list: ShoppingList,
    objections: Vec<Objection>,
}

impl ShoppingOfDays {
    fn of(request: &PageRequest<'_>, span: Span) -> PageResult<Self> {
        let (store, pantry) = (request.record()?, request.foods()?);
        let facts = plan_facts(
            &request.book,
            store,
            request.foods()?,
            span,
            Plan::default(),
        )?;
        Ok(Self {
            list: shopping_list(&request.book, store, &pantry, (&facts, span))?,
            objections: shopping_objections(&request.book, store, &pantry, (&facts, span))?,
            span,
        })
    }

    fn page<'a>(&'a self, request: &'a PageRequest<'_>) -> ShopPage<'a> {
        ShopPage {
            objections: &self.objections,
            list: &self.list,
            from: self.span.from,
            to: self.span.to,
            currency: &request.book.settings.currency,
            month: u32::from(self.span.from.month().unsigned_abs()),
            why: true,
        }
    }
}

/// Shows the list.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let listed = ShoppingOfDays::of(request, span(request)?)?;
    let (list, page) = (&listed.list, listed.page(request));
    let shelves = list.shelves.iter().map(|shelf| {
        let lines = shelf.items.iter().map(|item| line(item, &page));
        (shelf.name, lines.collect())
    });
    let (all, ticked) = (
        list.items().count(),
        list.items().filter(|item| item.ticked()).count(),
    );
    Reply::page(&ShopRoom {
        layout: Layout::of(request, "To buy", HERE),
        days: days(page.from, page.to),
        from: page.from,
        letter: encoded(&page.plain()),
        done: format!("{ticked} of {all} ticked off"),
        objections: objection_lines(&listed.objections),
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

/// The list as plain text.
pub(super) fn text(request: &PageRequest<'_>) -> PageAnswer {
    let listed = ShoppingOfDays::of(request, span(request)?)?;
    Ok(Reply::Text(listed.page(request).plain()))
}

/// Ticks a food off, or takes the tick off again.
pub(super) fn tick(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let from = near(request, fields, "from")?;
    let listed = ShoppingOfDays::of(request, super::span_from(request.today, from))?;
    let food: FoodId = fields.parsed("food")?;
    let days = shopping_days(listed.span);
    let mut store = request.store()?;
    match fields.text("bought") {
        "yes" => {
            // A food that is needed no more has nothing to be ticked off.
            if let Some(item) = listed.list.items().find(|item| item.food == food) {
                store.tick(&food, days, (item.buy, request.today))?;
            }
        }
        "no" => store.untick(&food, days)?,
        _ => return Err(PageError::NotFound),
    }
    Ok(Reply::See(format!("/week/shop?from={from}#food-{food}")))
}

fn line(item: &Item, page: &ShopPage<'_>) -> Line {
    let [name, needed, buy, cost, used_for] = ShopPage::cells(item);
    let season = item.in_season(page.month);
    let season = season.map(|now| if now { "in season" } else { "out of season" });
    Line {
        id: item.food.to_string(),
        ticked: item.ticked(),
        short: short_of(item),
        name: capital(&name),
        season: joined(
            [season.map(String::from), ShopPage::fresh_and_frozen(item)]
                .into_iter()
                .flatten(),
            "; ",
        ),
        buy,
        needed,
        cost: item.cost().map_or_else(String::new, |_| cost),
        used_for,
    }
}

/// Text as part of an address, percent-encoded.
fn encoded(text: &str) -> String {
    let mut encoded = String::new();
    for byte in text.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => {
                encoded.push(char::from(byte));
            }
            // Lines of a letter end with CR and LF (RFC 6068, 5).
            b'\n' => encoded.push_str("%0D%0A"),
            _ => {
                let _ = write!(encoded, "%{byte:02X}");
            }
        }
    }
    encoded
}
