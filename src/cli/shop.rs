//! `trayful shop`: what to buy for the plan.

use std::collections::BTreeMap;

use clap::Args;
use trayful::food::FoodId;
use trayful::notebook::{Book, Purchase, Store};
use trayful::nutrition::BreastMilk;
use trayful::planning::agenda::{Agenda, AgendaPart, Outcome};
use trayful::planning::facts::Facts;
use trayful::planning::shop::{Need, ShoppingList};
use trayful::portion::{Target, Tray};
use trayful::report::{ShopPage, ShopReport};

use super::batch::calculated;
use super::failure::Failure;
use super::page_file::unrendered;
use super::plan::{Span, SpanArgs, facts};
use super::{Answer, Session};

/// Arguments of `trayful shop`.
#[derive(Debug, Args)]
pub(super) struct ShopArgs {
    #[command(flatten)]
    span: SpanArgs,
    /// Print CSV, a row for each food
    #[arg(long, conflicts_with = "json")]
    csv: bool,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(args: &ShopArgs, session: &Session) -> Result<Answer, Failure> {
    let span = args.span.span()?;
    let book = session.book()?;
    let store = book.store()?;
    let facts = facts(session, &book, &store, span)?;
    let needs = needs(session, &book, &facts, span)?;
    let last = last_bought(&store, &needs, span)?;
    let list = ShoppingList::of(&needs, &last, &book.settings.seasons);
    let page = ShopPage {
        list: &list,
        from: span.from,
        to: span.to,
        currency: &book.settings.currency,
        month: u32::from(span.from.month().unsigned_abs()),
    };
    let mut answer = if args.json {
        Answer::json(&ShopReport::new(&page))?
    } else if args.csv {
        Answer::text(page.csv().map_err(unrendered)?)
    } else {
        Answer::text(page.render(session.look))
    };
    answer.found = !list.shelves.is_empty();
    Ok(answer)
}

/// What is needed for what is still to be cooked and to be served.
fn needs(
    session: &Session,
    book: &Book,
    facts: &Facts<'_>,
    span: Span,
) -> Result<Vec<Need>, Failure> {
    let agenda = Agenda::of(facts).between(span.from.max(span.today), span.to);
    let trays = &book.settings.trays;
    let tray = trays.first().cloned().unwrap_or_else(Tray::usual);
    let mut needs = Vec::new();
    for one in agenda.cooking.iter().filter(|one| !one.done) {
        let recipe = book.recipe(&one.recipe)?;
        let pantry = session.pantry(Some(&book.recipe_path(&one.recipe)))?;
        let batch = calculated(&recipe, &Target::Trays(one.trays), &tray, &pantry)?;
        let bought = batch
            .prepared
            .ingredients
            .iter()
            .filter(|one| one.class.0 != "water");
        needs.extend(bought.map(|part| Need {
            food: part.food.clone(),
            purchased: part.purchased(),
            used_for: one.recipe.clone(),
        }));
    }
    for meal in agenda
        .meals
        .iter()
        .filter(|meal| meal.outcome == Outcome::Open)
    {
        let foods = meal.parts.iter().filter_map(|part| match part {
            AgendaPart::Food(id, mass) if id.as_str() != BreastMilk::FOOD => Some((id, mass)),
            _ => None,
        });
        let known = foods.filter_map(|(id, mass)| Some((facts.foods.get(id)?, mass)));
        needs.extend(
            known.map(|((food, _), mass)| {
                Need::of_table(food.clone(), *mass, "the table".to_string())
            }),
        );
    }
    Ok(needs)
}

/// The last purchase of each food up to the first day.
fn last_bought(
    store: &Store,
    needs: &[Need],
    span: Span,
) -> Result<BTreeMap<FoodId, Purchase>, Failure> {
    let mut last = BTreeMap::new();
    for need in needs {
        let id = &need.food.id;
        if !last.contains_key(id)
            && let Some(purchase) = store.price(id.as_str(), span.today)?
        {
            last.insert(id.clone(), purchase);
        }
    }
    Ok(last)
}
