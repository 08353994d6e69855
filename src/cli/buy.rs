//! `trayful buy` and `trayful money`: what food costs, and what a batch saves against the jar.

use clap::Args;
use jiff::civil::Date;
use trayful::cost::{Money, MoneyError};
use trayful::day::{DayReader, DayUse};
use trayful::household::{self, Outlay, RecipeOutlay};
use trayful::notebook::Purchase;
use trayful::problem::Problem;
use trayful::report::{MoneyReport, MoneyWords, Page, PurchaseReport};
use trayful::spoken::Context;
use trayful::words;

use super::failure::Failure;
use super::typed_value::place_of;
use super::{Answer, DayArg, PeriodArgs, Session};

#[derive(Debug, Args)]
pub(super) struct BuyArgs {
    /// How much of which food, in your words, such as "2 lb butternut squash"
    #[arg(value_name = "AMOUNT FOOD")]
    what: String,
    /// What was paid, such as 3.49
    price: String,
    /// Where it was bought
    #[arg(long, value_name = "STORE", default_value = "")]
    at: String,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Args)]
pub(super) struct MoneyArgs {
    #[command(flatten)]
    period: PeriodArgs,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// Records a purchase.
pub(super) fn buy(args: &BuyArgs, session: &Session) -> Result<Answer, Failure> {
    let taken = session
        .read_one(&args.what, Context::Buy)
        .map_err(one_at_a_time)?;
    let mass = taken.needed_mass()?;
    let book = session.book()?;
    let price: Money = args.price.parse().map_err(|error: MoneyError| {
        let place = place_of("the price", &args.price);
        let currency = &book.settings.currency;
        let hint = format!("{}; the book counts in {currency}", error.hint());
        Problem::at(place, error.to_string()).hint(hint)
    })?;
    let purchase = Purchase {
        day: args.day.done(session, &[])?,
        food: taken.food.id.to_string(),
        name: taken.food.name.clone(),
        mass,
        price,
        store: args.at.clone(),
    };
    let id = book.store()?.buy(&purchase)?;
    let report = PurchaseReport::new(id, &purchase, &book.settings);
    if args.json {
        return session.json(&report, std::slice::from_ref(&taken));
    }
    let each = purchase.per_100_g();
    let each = each.map_or_else(String::new, |each| format!(", {} per 100 g", each.shown()));
    let mut page = Page::new(session.look);
    page.paragraph(&format!(
        "Bought {:.0} g of {} for {} {}{each} (entry\u{a0}{id}).",
        mass.grams(),
        purchase.name,
        price.shown(),
        report.currency
    ));
    if taken.by_words {
        page.paragraph(&format!("{}.", taken.words()));
    }
    if let Some(months) = &report.season_months {
        let months: Vec<_> = months.iter().map(ToString::to_string).collect();
        page.paragraph(&format!(
            "In season by your notes: months {}.",
            months.join(", ")
        ));
    }
    page.line("Take it back with `trayful undo`.");
    Ok(Answer::text(page.finish()))
}

/// The failure, where several foods were typed with one price: what was paid for each is not known,
/// so no command is offered.
fn one_at_a_time(failure: Failure) -> Failure {
    let Failure::Unclear(all) = &failure else {
        return failure;
    };
    let several = all
        .iter()
        .find_map(|unclear| Some((unclear.what(), unclear.apart()?)));
    match several {
        None => failure,
        Some((what, apart)) => Problem::new(what)
            .hint(format!(
                "write each by itself, with what was paid for it: {}",
                words::joined(apart.into_iter().map(words::quoted), ", ")
            ))
            .into(),
    }
}

/// Shows what every batch cost against the jar.
pub(super) fn money(args: &MoneyArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let mut outlay = household::outlay(&book, &book.store()?)?;
    let reader = DayReader::new(session.today(), DayUse::Past);
    let (from, to) = args.period.bounds(session, &reader)?;
    outlay.keep(from.unwrap_or(Date::MIN), to.unwrap_or(Date::MAX));
    if args.json {
        let answer = Answer::json(&MoneyReport::new(&outlay))?;
        return Ok(answer.found_if(!outlay.batches.is_empty()));
    }
    let mut page = Page::new(session.look);
    if outlay.batches.is_empty() {
        page.line(match (from, to) {
            (None, None) => "No batch is on record yet.",
            _ => "No batch is on record of these days.",
        });
        return Ok(Answer::no(page.finish()));
    }
    if let Some(words) = outlay.in_all() {
        page.paragraph(&words);
    }
    if let Some(words) = outlay.left_out() {
        page.paragraph(&words);
    }
    let dearer = outlay.dearer();
    if !dearer.is_empty() {
        page.paragraph(&format!(
            "Dearer than the jar, buy these: {}.",
            dearer.join("; ")
        ));
    }
    if outlay.lacks_jars() {
        page.paragraph(
            "There is no jar to compare with; write down what one holds and costs: `trayful household jar NAME --mass 4oz --price 1.29`.",
        );
    }
    if !outlay.complete() {
        page.paragraph(
            "A cost with >= lacks a price, so it is a lower bound, and what is saved an upper one. What is not priced yet gets its price from `trayful buy`.",
        );
    }
    add_recipes(&mut page, &outlay);
    add_batches(&mut page, &outlay);
    Ok(Answer::text(page.finish()))
}

/// Adds the table of recipes, each beside the jar.
fn add_recipes(page: &mut Page, outlay: &Outlay) {
    page.heading(&format!("EACH RECIPE, {}", outlay.currency));
    let header = [
        "",
        "batches",
        "100\u{a0}g",
        "an\u{a0}ounce",
        "jar,\u{a0}100\u{a0}g",
        "saved",
    ];
    let recipes = outlay.recipes();
    let row = |recipe: &RecipeOutlay| {
        let row = MoneyWords::SIGNS.recipe_row(recipe);
        std::iter::once(recipe.name.clone()).chain(row)
    };
    page.table(header, recipes.iter().map(row), &[1, 2, 3, 4, 5]);
}

/// Adds the table of batches, each beside the jar.
fn add_batches(page: &mut Page, outlay: &Outlay) {
    page.heading(&format!("EACH BATCH, {}", outlay.currency));
    let header = [
        "",
        "",
        "made",
        "cost",
        "100\u{a0}g",
        "the\u{a0}jar",
        "saved",
        "so\u{a0}far",
    ];
    let rows = outlay.batches.iter().zip(outlay.running());
    let rows = rows.map(|((batch, beside), so_far)| {
        let id = format!("#{}", batch.id);
        let batch = [id, batch.name.clone(), words::day(batch.day)].into_iter();
        batch.chain(MoneyWords::SIGNS.batch_row(beside, so_far))
    });
    page.table(header, rows, &[3, 4, 5, 6, 7]);
}
