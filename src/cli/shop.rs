//! `trayful shop`: what to buy for the plan.

use clap::Args;
use trayful::household::{plan_facts, shopping_list, shopping_objections};
use trayful::notebook::Plan;
use trayful::report::{ShopPage, ShopReport};

use super::failure::Failure;
use super::page_file::unrendered;
use super::plan::SpanArgs;
use super::{Answer, Session};

#[derive(Debug, Args)]
pub(super) struct ShopArgs {
    #[command(flatten)]
    span: SpanArgs,
    /// Show what each food rests on: how it keeps, its season, usual price and residues
    #[arg(long, conflicts_with_all = ["csv", "json"])]
    why: bool,
    /// Print CSV, a row for each food
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(args: &ShopArgs, session: &Session) -> Result<Answer, Failure> {
    let span = args.span.span(session)?;
    let book = session.book()?;
    let store = book.store()?;
    let facts = plan_facts(&book, &store, session.pantry(None)?, span, Plan::default())?;
    let pantry = session.pantry(None)?;
    let list = shopping_list(&book, &store, &pantry, (&facts, span))?;
    let objections = shopping_objections(&book, &store, &pantry, (&facts, span))?;
    let page = ShopPage {
        objections: &objections,
        list: &list,
        from: span.from,
        to: span.to,
        currency: &book.settings.currency,
        month: u32::from(span.from.month().unsigned_abs()),
        why: args.why,
    };
    let answer = if args.json {
        session.json(&ShopReport::new(&page), &[])?
    } else if args.csv {
        Answer::text(page.csv().map_err(unrendered)?)
    } else {
        Answer::text(page.render(session.look))
    };
    Ok(answer.found_if(!list.shelves.is_empty()))
}
