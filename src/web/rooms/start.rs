//! Before there is a book: a new one is started in three steps (child, tray, first recipe), or that
//! of an invented household is shown.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::routing::{get, post};
use jiff::civil::Date;

use super::phrases::{self, SelectOption};
use crate::household::{AllergyReading, calculated, read_allergies};
use crate::notebook::{Book, BookError, FirstTray, NewBook, RecipeName};
use crate::portion::{Target, Tray};
use crate::problem::SourceText;
use crate::recipe::Recipe;
use crate::report::{BatchReport, BatchTables, BatchView};
use crate::safety::UNKNOWN_AGE;
use crate::web::form_post::Change;
use crate::web::router::response;
use crate::web::{
    AppState, Fields, Layout, Notice, PageAnswer, PageError, PageResult, Reply, Wrong,
};

/// The longest name of a child, in characters.
const LONGEST: usize = 80;
/// The form as it is first shown: a usual tray, the currency and a recipe.
const USUAL: &[u8] = b"wells=16&well=30&currency=USD&recipe=butternut";

#[derive(Template)]
#[template(path = "web/start.html")]
struct StartPage<'a> {
    layout: Layout,
    fields: &'a Fields,
    /// The day of birth that is asked about; empty where none is.
    sure_born: String,
    recipes: Vec<SelectOption>,
    wrong: Wrong,
}

/// The routes of the pages that need no book.
pub(in crate::web) fn routes() -> Router<Arc<AppState>> {
    Router::new()
        .route("/start", get(show).post(record))
        .route("/demo", post(enter_demo))
        .route("/demo/leave", post(leave_demo))
}

async fn show(State(state): State<Arc<AppState>>) -> axum::response::Response {
    let answer = state.at_the_book(|state| {
        if state.place().book().is_ok() {
            return Ok(Reply::See("/".into()));
        }
        Reply::page(&filled(state, &Fields::parse(USUAL), Wrong::default())?)
    });
    let answer = answer.await;
    response(&state, answer)
}

async fn record(
    State(state): State<Arc<AppState>>,
    Change(fields): Change,
) -> axum::response::Response {
    let answer = state.at_the_book(move |state| start(state, &fields)).await;
    response(&state, answer)
}

async fn enter_demo(State(state): State<Arc<AppState>>, _: Change) -> axum::response::Response {
    let answer = state.at_the_book(|state| {
        if state.place().book().is_err() {
            state.enter_demo()?;
        }
        Ok(Reply::See("/".into()))
    });
    let answer = answer.await;
    response(&state, answer)
}

async fn leave_demo(State(state): State<Arc<AppState>>, _: Change) -> axum::response::Response {
    state.leave_demo();
    response(&state, Ok(Reply::See("/".into())))
}

/// Starts the book that the form describes, with its first recipe.
fn start(state: &AppState, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    if let Some(new) = new_book(fields, state.today(&state.place()), &mut wrong) {
        let started = Book::start(&state.place().folder, &new);
        if matches!(started, Err(BookError::Exists(_))) {
            return Ok(Reply::See("/".into()));
        }
        if let Some(book) = wrong.take("well", started)? {
            let first = keep_first(state, &book, fields.text("recipe"))?;
            let (path, next) = match first {
                Some(name) => (
                    format!("/cook/recipe/{name}"),
                    "This is your first recipe: what it makes stands below. Cook it, then freeze it here.",
                ),
                None => (
                    "/cook".into(),
                    "Write down what you cook; it is frozen from there.",
                ),
            };
            let about = "Eczema, an early birth, milk, weight and allergies found later are entered in Household.";
            let mut more = Vec::new();
            if !new.allergies.is_empty() {
                let pantry = state.pantry(&state.place())?;
                let read = read_allergies(&pantry, &new.allergies)?;
                more.extend(read.into_iter().flat_map(AllergyReading::sentences));
            }
            more.extend([next.into(), about.into()]);
            let notice = Notice {
                more,
                ..Notice::of(format!("Started a book for {}.", new.child))
            };
            return Ok(Reply::Done(path, notice));
        }
    }
    Reply::wrong(&filled(state, fields, wrong)?)
}

/// Puts the chosen recipe into the new book, and gives its name; `None` where no recipe to begin
/// with was chosen.
fn keep_first(state: &AppState, book: &Book, chosen: &str) -> PageResult<Option<RecipeName>> {
    let mut recipes = state.first_recipes().iter();
    let Some((name, text)) = recipes.find(|(name, _)| *name == chosen) else {
        return Ok(None);
    };
    let name: RecipeName = name.parse().map_err(PageError::broken)?;
    book.save_recipe(&name, text, false)?;
    Ok(Some(name))
}

/// Recipes to begin with, each with what it makes.
fn first_recipes(state: &AppState, chosen: &str) -> PageResult<Vec<SelectOption>> {
    let mut recipes = Vec::new();
    for (name, text) in state.first_recipes() {
        let recipe = Recipe::parse(&SourceText::new(*name, *text))?;
        // Food data that does not open is reported where it is used; a book can be started all the
        // same.
        let makes = makes(state, &recipe).inspect_err(|fault| state.tell_of(fault));
        let label = match makes {
            Ok(makes) => format!("{}: {makes}", recipe.title),
            Err(_) => recipe.title,
        };
        recipes.push(SelectOption::of(name, &label, chosen));
    }
    recipes.push(SelectOption::of("", "one of my own, later", chosen));
    Ok(recipes)
}

/// What a recipe makes in the usual tray: cubes, and the iron in one.
fn makes(state: &AppState, recipe: &Recipe) -> PageResult<String> {
    let (tray, pantry) = (Tray::usual(), state.pantry(&state.place())?);
    let batch = calculated(recipe, &Target::AsWritten, &tray, &pantry)?;
    let view = BatchView {
        tray: &tray,
        age: UNKNOWN_AGE,
        energy: None,
        cost: None,
        objections: &[],
        lacks: None,
        tables: &BatchTables::builtin()?,
    };
    let report = BatchReport::new(&batch, &view);
    Ok(format!(
        "{}, iron in a cube {}",
        report.cubes_made(),
        report.iron()
    ))
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
    let born = phrases::birth(fields, today, wrong);
    let allergies = phrases::allergies(fields, wrong);
    let words = "Say how many wells the tray has: a whole number.";
    let wells = phrases::number_in(fields, "wells", 1..=1000_u32);
    let wells = wrong.needed("wells", wells, words);
    let words = "Say how many millilitres a well holds to the brim, such as 30.";
    let well = phrases::number_in(fields, "well", 1.0..=1000.0_f64);
    let well = wrong.needed("well", well, words);
    let currency = fields.text("currency");
    if currency.chars().count() != 3 || !currency.chars().all(|letter| letter.is_ascii_alphabetic())
    {
        wrong.say(
            "currency",
            "Say the currency by its three letters (ISO 4217), such as USD.",
        );
    }
    let tray = FirstTray {
        name: "tray".into(),
        wells: wells?,
        well: format!("{} ml", well?),
    };
    wrong.is_empty().then_some(NewBook {
        child: child.to_string(),
        born: born?,
        weight: None,
        milk: None,
        allergies,
        tray,
        currency: currency.to_ascii_uppercase(),
    })
}

fn filled<'a>(state: &AppState, fields: &'a Fields, wrong: Wrong) -> PageResult<StartPage<'a>> {
    Ok(StartPage {
        layout: Layout::bare(state, "Start a book", ""),
        fields,
        sure_born: phrases::sure_born(fields, state.today(&state.place())),
        recipes: first_recipes(state, fields.text("recipe"))?,
        wrong,
    })
}
