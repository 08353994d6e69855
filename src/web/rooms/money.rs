//! Purchases, and the cost of each batch beside the jar, a year at a time.

use std::collections::BTreeSet;

use askama::Template;

use super::cook::food;
use super::food_search::{OFFERED, found_by};
use super::phrases::{self, Last, SelectOption};
use crate::cost::{Comparison, Money, MoneyError};
use crate::household::{RecipeOutlay, SavedSoFar, outlay};
use crate::notebook::{FrozenBatch, Purchase};
use crate::problem::Problem;
use crate::quantity::{Amount, Mass};
use crate::report::chart::{CostBar, CostBars};
use crate::report::{MoneyWords, kitchen_mass};
use crate::spoken::{Context, FoodReading, Reader, TakenAmount, food_words};
use crate::web::{Fields, Layout, Notice, PageAnswer, PageRequest, PageResult, Reply, Wrong};
use crate::words::day;

/// The longest name of a store, in characters.
const LONGEST: usize = 100;
/// The most batches of a year that are shown at once.
const SHOWN: usize = 40;

#[derive(Template)]
#[template(path = "web/money.html")]
struct MoneyPage<'a> {
    layout: Layout,
    buying: Buying<'a>,
    wrong: Wrong,
    currency: String,
    year: i16,
    /// Batches of the year that are not shown, unless all are asked for.
    earlier: usize,
    years: Vec<i16>,
    in_all: Option<String>,
    /// The purchases that are in no sum, because they were paid in other money.
    left_out: Option<String>,
    dearer: Vec<String>,
    bounds: bool,
    /// A chart of the recipes; the table below has the same figures.
    chart: String,
    recipes: Vec<(String, [String; 5])>,
    rows: Vec<Row>,
    last: Option<Last>,
}

/// A purchase as it is typed.
struct Buying<'a> {
    words: &'a str,
    found: Vec<SelectOption>,
    mass: String,
    unit: String,
    units: &'static [&'static str],
    price: &'a str,
    store: &'a str,
    on: String,
}

/// A batch: its number, its title, its day, and the row beside the jar.
type Row = (i64, String, String, [String; 5]);

/// Shows the money.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default())?)
}

/// Records a purchase.
pub(in crate::web) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    let Some(purchase) = purchase(request, fields, &mut wrong)? else {
        return Reply::wrong(&filled(request, fields, wrong)?);
    };
    let id = request.store()?.buy(&purchase)?;
    let hundred = purchase.per_100_g();
    let currency = &request.book.settings.currency;
    let each = hundred.map(|each| format!("{} {currency} per 100 g.", each.shown()));
    let notice = Notice {
        more: each.into_iter().collect(),
        entry: Some(id),
        ..Notice::of(format!(
            "Bought {} of {} for {} {currency}.",
            kitchen_mass(purchase.mass),
            purchase.name,
            purchase.price.shown()
        ))
    };
    Ok(Reply::Done("/money".into(), notice))
}

/// Reads the fields of a purchase; mistakes are noted.
fn purchase(
    request: &PageRequest<'_>,
    fields: &Fields,
    wrong: &mut Wrong,
) -> PageResult<Option<Purchase>> {
    let food = match fields.text("food") {
        "" => None,
        id => food(&request.state.pantry(&request.place)?, id)?,
    };
    let food = wrong.needed("food", food, "Find the food by its name, and choose it.");
    let mass = mass(fields, wrong);
    let price = price(fields, wrong);
    let store = phrases::short(fields, "store", LONGEST, wrong);
    let on = phrases::on(request, fields, None, wrong);
    let (Some(food), Some(mass), Some(price), Some(store), Some(day)) =
        (food, mass, price, store, on)
    else {
        return Ok(None);
    };
    Ok(Some(Purchase {
        day,
        food: food.id.to_string(),
        name: food.name,
        mass,
        price,
        store: store.to_string(),
    }))
}

/// The mass as bought, in the chosen unit where none is typed; what is wrong is noted.
fn mass(fields: &Fields, wrong: &mut Wrong) -> Option<Mass> {
    let read = match fields.text("mass") {
        "" => Ok(Mass::ZERO),
        typed => phrases::with_unit(typed, fields.text("unit"))
            .parse::<Amount>()
            .and_then(|amount| amount.mass()),
    };
    let read = read.map_err(|error| Problem::new(error.to_string()).hint(error.hint()));
    let mass = wrong.noted("mass", read)?;
    let bought = (mass > Mass::ZERO).then_some(mass);
    wrong.needed("mass", bought, "Say how much was bought.")
}

/// The price of the whole purchase; what is wrong is noted.
fn price(fields: &Fields, wrong: &mut Wrong) -> Option<Money> {
    let typed = Some(fields.text("price")).filter(|typed| !typed.is_empty());
    let read = wrong.needed("price", typed, "Say what was paid.")?.parse();
    let problem = |error: MoneyError| Problem::new(error.to_string()).hint(error.hint());
    wrong.noted("price", read.map_err(problem))
}

fn filled<'a>(
    request: &PageRequest<'_>,
    fields: &'a Fields,
    wrong: Wrong,
) -> PageResult<MoneyPage<'a>> {
    let all = outlay(&request.book, request.record()?)?;
    let years: BTreeSet<i16> = all
        .batches
        .iter()
        .map(|(batch, _)| batch.day.year())
        .collect();
    let latest = years
        .last()
        .copied()
        .unwrap_or_else(|| request.today.year());
    let chosen = request.address.query.text("year").parse().ok();
    let year = chosen.filter(|year| years.contains(year)).unwrap_or(latest);
    let recipes = all.recipes();
    let batches = all.batches.iter().zip(all.running());
    let of_year: Vec<_> = batches
        .filter(|((batch, _), _)| batch.day.year() == year)
        .collect();
    let shown = match request.address.query.text("all") {
        "" => SHOWN,
        _ => usize::MAX,
    };
    Ok(MoneyPage {
        layout: Layout::of(request, "Money", "/money"),
        buying: Buying::of(request, fields)?,
        wrong,
        year,
        earlier: of_year.len().saturating_sub(shown),
        years: years.into_iter().rev().collect(),
        in_all: all.in_all(),
        left_out: all.left_out(),
        dearer: all.dearer().into_iter().map(String::from).collect(),
        bounds: !all.complete(),
        chart: chart(&recipes, &all.currency),
        recipes: recipes.iter().map(recipe).collect(),
        rows: of_year
            .into_iter()
            .rev()
            .take(shown)
            .map(|((batch, beside), so_far)| row(batch, beside, so_far))
            .collect(),
        last: phrases::last(request)?,
        currency: all.currency,
    })
}

impl<'a> Buying<'a> {
    fn of(request: &PageRequest<'_>, fields: &'a Fields) -> PageResult<Self> {
        let words = fields.text("words");
        let mut chosen = fields.text("food").to_string();
        let mut mass = fields.text("mass").to_string();
        let mut unit = fields.text("unit").to_string();
        // Words such as "2 lb butternut squash" have the mass as well.
        let fresh = chosen.is_empty() && mass.is_empty() && !words.is_empty();
        if fresh
            && let FoodReading::Taken(taken) = Reader::new(request, Context::Buy).read(words)?
        {
            chosen = taken.food.id.to_string();
            if let TakenAmount::Mass(amount, grams) = &taken.portion {
                let written = amount.mass().is_ok();
                let plain = (amount.number_text(), amount.unit().to_string());
                let weighed = || (format!("{:.0}", grams.grams()), "g".to_string());
                (mass, unit) = if written { plain } else { weighed() };
            }
        }
        let mut found = found_by(request, &food_words(words)?, OFFERED)?;
        found.sort_by_key(|hit| hit.id != chosen);
        Ok(Self {
            words,
            found: found
                .into_iter()
                .map(|hit| SelectOption::of(&hit.id, &hit.name, &chosen))
                .collect(),
            mass,
            unit,
            units: &["g", "kg", "oz", "lb"],
            price: fields.text("price"),
            store: fields.text("store"),
            on: phrases::or_today(request, fields),
        })
    }
}

fn row(batch: &FrozenBatch, beside: &Comparison, so_far: Option<SavedSoFar>) -> Row {
    let row = MoneyWords::WORDS.batch_row(beside, so_far);
    (batch.id, batch.title.clone(), day(batch.day), row)
}

fn chart(recipes: &[RecipeOutlay], currency: &str) -> String {
    let bar = |outlay: &RecipeOutlay| CostBar {
        name: outlay.title.clone(),
        home: outlay.beside.per_100_g(),
        complete: outlay.beside.complete(),
        jar: outlay.beside.ready_made_per_100_g(),
    };
    let bars: Vec<_> = recipes.iter().map(bar).collect();
    let title = format!("100 g of each recipe, in {currency}");
    let unit = format!("{currency} per 100 g");
    let chart = CostBars {
        id: "costs",
        title: &title,
        unit: &unit,
        bars: &bars,
    };
    chart.svg()
}

fn recipe(outlay: &RecipeOutlay) -> (String, [String; 5]) {
    (outlay.title.clone(), MoneyWords::WORDS.recipe_row(outlay))
}
