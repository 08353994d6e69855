//! The form that asks for a proposal of a week: days, time to cook, trays.

use std::collections::BTreeSet;

use askama::Template;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::proposal::{ProposalOptions, worked_out};
use super::{DAYS_OF_WEEK, HERE, near, span};
use crate::report::spoken_day;
use crate::web::rooms::phrases::SelectOption;
use crate::web::{Fields, Layout, PageAnswer, PageError, PageRequest, Reply, Wrong};
use crate::words;

/// The prefix of a field for a day of cooking.
const COOK: &str = "cook-";
/// The largest number of trays a day that is accepted (judgement).
const MOST_TRAYS: u32 = 20;

#[derive(Template)]
#[template(path = "web/week-propose.html")]
struct ProposePage {
    layout: Layout,
    from: Date,
    days: String,
    /// The child that is planned for; empty for all of them.
    child: String,
    /// The days on which there may be time to cook; the value is the name of the field.
    cook: Vec<SelectOption>,
    trays: String,
    wrong: Wrong,
}

/// Shows the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let from = span(request)?.from;
    let first = Fields::parse(b"trays=2");
    Reply::page(&filled(request, from, &first, Wrong::default()))
}

/// Works a proposal out. Nothing is recorded.
pub(super) fn work_out(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let from = near(request, fields, "from")?;
    let to = from.saturating_add((DAYS_OF_WEEK - 1).days());
    let mut wrong = Wrong::default();
    let trays = fields.text("trays").parse().ok();
    let trays = trays.filter(|trays| (1..=MOST_TRAYS).contains(trays));
    if trays.is_none() {
        wrong.say("trays", format!("Say how many trays: 1 to {MOST_TRAYS}."));
        return Reply::wrong(&filled(request, from, fields, wrong));
    }
    let cook = fields.beginning(COOK).map(|(on, _)| on.parse());
    let cook: Result<BTreeSet<Date>, _> = cook.collect();
    let cook_days = cook.map_err(|_| PageError::NotFound)?;
    let child = match fields.text("child") {
        "" => None,
        name => Some(request.book.settings.child(Some(name))?.name.clone()),
    };
    let options = ProposalOptions {
        days: (from, to),
        child,
        cook_days: cook_days
            .into_iter()
            .filter(|on| (from..=to).contains(on))
            .collect(),
        trays,
        without: BTreeSet::new(),
    };
    match wrong.check("from", worked_out(request, options))? {
        Some(address) => Ok(Reply::See(address)),
        None => Reply::wrong(&filled(request, from, fields, wrong)),
    }
}

fn filled(request: &PageRequest<'_>, from: Date, fields: &Fields, wrong: Wrong) -> ProposePage {
    let to = from.saturating_add((DAYS_OF_WEEK - 1).days());
    let days = from.series(1.day()).take_while(|on| *on <= to);
    let cook = days.map(|on| {
        let name = format!("{COOK}{on}");
        let chosen = !fields.text(&name).is_empty();
        SelectOption {
            value: name,
            label: spoken_day(on),
            chosen,
        }
    });
    let seen = request.seen_child().map_or("", |child| &child.name);
    ProposePage {
        layout: Layout::of(request, "Propose a week", HERE),
        from,
        days: words::days(from, to),
        child: fields.value("child").unwrap_or(seen).to_string(),
        cook: cook.collect(),
        trays: fields.text("trays").to_string(),
        wrong,
    }
}
