//! `trayful demo`: a batch of the invented household.

use std::path::{Path, PathBuf};

use clap::Args;
use jiff::civil::Date;
use trayful::food::{FoodData, Pantry};
use trayful::household;
use trayful::names::{Named, find};
use trayful::notebook::{Book, BookError, Settings};
use trayful::problem::SourceText;
use trayful::recipe::Recipe;
use trayful::report::Page;
use trayful::words::joined;

use super::batch;
use super::batch_options::{ScaleArgs, ShownArgs, TrayArgs};
use super::failure::Failure;
use super::{Answer, Session};

/// The day that counts as today in the demo: the one after the last entries.
pub(super) const DAY: Date = jiff::civil::date(2026, 11, 16);

/// The household's book.
const BOOK: &str = include_str!("../../demo/book.toml");

/// Files of a folder of the demo that end alike: the name of each, and what it holds.
macro_rules! files {
    ($folder:literal, $ending:literal, $key:literal: $($name:literal)*) => {
        &[$((
            concat!($name, $key),
            include_str!(concat!("../../demo/", $folder, "/", $name, $ending)),
        )),*]
    };
}

/// The recipes of the demo household: name and file; the first one is shown when none is named.
const RECIPES: &[(&str, &str)] = files!("recipes", ".toml", "":
    "red-lentil-squash" "butternut" "broccoli-potato"
    "egg-oat-apple" "beef-beetroot-barley" "chicken-liver-white-bean"
    "chickpea-tomato-tahini" "mackerel-potato-fennel" "oat-prune-apricot"
    "salmon-broccoli-millet" "turkey-kale-quinoa"
);

/// Recipes to begin a book with, the simplest first: of the foods that the built-in data has.
pub(super) const FIRST_RECIPES: &[(&str, &str)] = files!("recipes", ".toml", "":
    "butternut" "red-lentil-squash" "broccoli-potato" "beef-beetroot-barley"
);

/// The foods it wrote down from labels.
const OWN_FOODS: &str = include_str!("../../demo/own-foods.csv");

/// The record of the demo household, in the format of an export.
const RECORD: &[(&str, &str)] = files!("record", ".csv", ".csv":
    "entry" "batch" "batch_food" "batch_nutrient" "batch_doubt" "food" "food_nutrient"
    "feeding" "feeding_part" "feeding_food" "discard" "purchase" "milk"
    "milk_part" "planned" "planned_part" "question" "clearance"
);

#[derive(Debug, Args)]
pub(super) struct DemoArgs {
    /// One of the household's recipes
    #[arg(value_name = "RECIPE")]
    recipe: Option<String>,
    /// Write the household's whole book into a new folder, with six weeks of its record
    #[arg(long, value_name = "FOLDER", conflicts_with = "recipe")]
    into: Option<PathBuf>,
    #[command(flatten)]
    tray: TrayArgs,
    #[command(flatten)]
    scale: ScaleArgs,
    #[command(flatten)]
    shown: ShownArgs,
}

/// Runs the command.
pub(super) fn run(args: &DemoArgs, session: &Session) -> Result<Answer, Failure> {
    if let Some(folder) = &args.into {
        return write_book(folder, session);
    }
    let names: Vec<_> = RECIPES.iter().map(|(name, _)| *name).collect();
    let wanted = args.recipe.as_deref().unwrap_or(names[0]);
    let known: Vec<_> = names.iter().copied().map(Named::from).collect();
    let wanted = session.stated(find("recipe", wanted, &known)?);
    let found = RECIPES.iter().find(|(name, _)| *name == wanted);
    let (name, text) = found.unwrap_or(&RECIPES[0]);
    let book = Settings::parse(&SourceText::new("demo/book.toml", BOOK))?;
    let recipe = Recipe::parse(&SourceText::new(format!("demo/recipes/{name}.toml"), *text))?;
    let target = args.scale.target_or_two_trays(session)?;
    let tray = args.tray.resolve(&book)?;
    let pantry = Pantry::new(
        FoodData::in_use(session.common.cache.as_deref(), None).table()?,
        None,
    );
    let computed = household::calculated(&recipe, &target, &tray, &pantry)?;
    let shown = batch::BatchDisplay {
        args: &args.shown,
        age: args
            .shown
            .age
            .unwrap_or_else(|| household::shown_age(&book.children, DAY)),
        tray: &tray,
        target: &target,
        pantry: &pantry,
    };
    let pot = batch::BatchToday {
        batch: &computed,
        tray: &tray,
        day: DAY,
    };
    let mut notes = batch::BookNotes::default();
    notes.objections = pot.judged(&book, None, &pantry, args.shown.age)?;
    let mut answer = shown.answer(&computed, notes, &[], session)?;
    if !args.shown.json {
        let mut page = Page::new(session.look);
        page.line("From the book of an invented household:");
        page.line("");
        answer.text.insert_str(0, &page.finish());
        let others = names.into_iter().filter(|other| other != name);
        let mut page = Page::new(session.look);
        page.line("");
        page.paragraph(&format!(
            "Its other recipes, each shown by its name after trayful demo: {}.",
            joined(others, ", ")
        ));
        page.paragraph("Yours: trayful batch my-recipe.toml, written as in demo/recipes, or:");
        page.line(&format!("trayful {}", batch::WRITTEN));
        answer.text += &page.finish();
    }
    Ok(answer)
}

/// Writes the household's book into a folder that is not a book yet, and returns the number of its entries.
pub(super) fn unpack(folder: &Path) -> Result<u64, BookError> {
    let mut files = vec![("own-foods.csv".to_string(), OWN_FOODS)];
    files.extend(
        RECIPES
            .iter()
            .map(|(name, text)| (format!("recipes/{name}.toml"), *text)),
    );
    Book::unpack(folder, BOOK, &files, RECORD)
}

fn write_book(folder: &Path, session: &Session) -> Result<Answer, Failure> {
    let entries = unpack(folder)?;
    let name = folder.display();
    Ok(session.paragraph(&format!(
        "Wrote the book of an invented household into {name}: {} recipes and {entries} entries of \
         October and November 2026. Look around there:\n\
         \n\
         cd {name}\n\
         trayful freezer --on {DAY}\n\
         trayful tastes --on {DAY}\n\
         trayful money\n\
         trayful cook-next --on {DAY}\n\
         trayful plan propose --from {DAY} --cook 2026-11-18\n\
         trayful week --to 2026-11-15\n\
         trayful visit --from 2026-10-05 --to 2026-11-15 visit.html\n\
         trayful page",
        RECIPES.len()
    )))
}
