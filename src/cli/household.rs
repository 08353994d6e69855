//! `trayful household` and `trayful rename`: waiting days, meals of the day, trays and jars; another name for a recipe.

use clap::{Args, Subcommand};
use trayful::household::{
    HouseholdChanges, NewJar, NewTray, change_household, put_jar, put_tray, rename_recipe,
    wells_and_volume,
};
use trayful::notebook::{Book, RecipeName};
use trayful::problem::Problem;
use trayful::report::{Page, jar_words, rules_words, tray_words};

use super::batch_options::decimal;
use super::failure::Failure;
use super::written::{NewEntries, written_down};
use super::{Answer, Session};

#[derive(Debug, Args)]
pub(super) struct HouseholdArgs {
    #[command(subcommand)]
    action: Option<HouseholdAction>,
}

#[derive(Debug, Subcommand)]
enum HouseholdAction {
    /// Change how the household does things
    Set(RuleArgs),
    /// Add a tray, or change the one of this name
    Tray {
        /// The name
        name: String,
        /// Wells, and what one holds, such as 16x30ml
        #[arg(value_name = "WELLSxVOLUME", required_unless_present = "remove")]
        wells: Option<String>,
        /// How full a well is, 0 to 1
        #[arg(long, value_name = "SHARE", value_parser = decimal)]
        fill: Option<f64>,
        /// Take it out of the book
        #[arg(long)]
        remove: bool,
    },
    /// Add a jar to compare with, or change the one of this name
    Jar {
        /// The name
        name: String,
        /// What is in it, such as "4 oz"
        #[arg(long, value_name = "MASS")]
        mass: Option<String>,
        /// What it costs
        #[arg(long, value_name = "PRICE")]
        price: Option<String>,
        /// Take it out of the book
        #[arg(long)]
        remove: bool,
    },
}

// Options that change how the household does things, one for each setting.
#[derive(Debug, Args)]
struct RuleArgs {
    /// Days that cubes are kept in the freezer
    #[arg(long, value_name = "DAYS")]
    freezer_days: Option<u32>,
    /// Days from one new food to the next
    #[arg(long, value_name = "DAYS")]
    waiting_days: Option<u32>,
    /// What is waited after: all new foods, or the major allergens alone
    #[arg(long, value_parser = ["all", "allergens"])]
    waiting: Option<String>,
    /// The meals of a day, in their order, with commas between them
    #[arg(long, value_name = "MEALS")]
    meals: Option<String>,
    /// Servings a day, for the time that cubes last; 0 to go by the last two weeks
    #[arg(long, value_name = "N", value_parser = decimal)]
    servings_a_day: Option<f64>,
    /// The cup that amounts are typed in: metric holds 250 ml, us 236.6 ml
    #[arg(long, value_parser = ["us", "metric"])]
    cup: Option<String>,
    /// Currency of every price
    #[arg(long, value_name = "CODE")]
    currency: Option<String>,
}

/// Shows or changes the household.
pub(super) fn run(args: &HouseholdArgs, session: &Session) -> Result<Answer, Failure> {
    let mut book = session.book()?;
    let mut said = Vec::new();
    match &args.action {
        None => {}
        Some(HouseholdAction::Set(args)) => said = set(&mut book, args)?,
        Some(HouseholdAction::Tray {
            name, remove: true, ..
        }) => book.remove("tray", name)?,
        Some(HouseholdAction::Tray {
            name, wells, fill, ..
        }) => {
            let (wells, well) = wells_and_volume(wells.as_deref().unwrap_or_default())?;
            let (name, fill) = (name.as_str(), *fill);
            let tray = NewTray {
                name,
                wells,
                well,
                fill,
            };
            put_tray(&mut book, &tray)?;
        }
        Some(HouseholdAction::Jar {
            name, remove: true, ..
        }) => book.remove("ready_made", name)?,
        Some(HouseholdAction::Jar {
            name, mass, price, ..
        }) => {
            let jar = NewJar {
                name,
                mass: mass.as_deref(),
                price: price.as_deref(),
                recipes: None,
            };
            put_jar(&mut book, &jar)?;
        }
    }
    Ok(Answer::text(shown(&book, &said, session)))
}

/// Changes the rules of the household.
fn set(book: &mut Book, args: &RuleArgs) -> Result<Vec<String>, Failure> {
    let names = |text: &String| {
        let names = text.split(',').map(str::trim);
        names
            .filter(|name| !name.is_empty())
            .map(String::from)
            .collect()
    };
    let changes = HouseholdChanges {
        freezer_days: args.freezer_days,
        waiting_days: args.waiting_days,
        waiting: args.waiting.clone(),
        meals: args.meals.as_ref().map(names),
        servings_a_day: args.servings_a_day,
        cup: args.cup.clone(),
        currency: args.currency.clone(),
    };
    if changes.is_empty() {
        let problem = Problem::new("nothing was named that is to be different");
        return Err(problem.hint("such as --waiting-days 4").into());
    }
    Ok(change_household(book, &changes)?)
}

fn shown(book: &Book, said: &[String], session: &Session) -> String {
    let settings = &book.settings;
    let mut page = Page::new(session.look);
    page.paragraph(&format!("{}.", rules_words(settings)));
    for words in said {
        page.paragraph(words);
    }
    for tray in &settings.trays {
        page.paragraph(&format!("{}.", tray_words(tray)));
    }
    for jar in &settings.ready_made {
        page.paragraph(&format!("{}.", jar_words(jar, &settings.currency)));
    }
    page.line(
        "Change it with `trayful household set`, `tray`, `jar`; children with `trayful child`.",
    );
    page.finish()
}

#[derive(Debug, Args)]
pub(super) struct RenameArgs {
    /// The recipe, by its name so far
    from: String,
    /// The new name
    to: String,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Renames a recipe, with the whole record.
pub(super) fn rename(args: &RenameArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let found =
        trayful::household::find_cubes(&args.from, &trayful::household::known_recipes(&book)?)?;
    let from = session.stated(found);
    let to: RecipeName = args
        .to
        .parse()
        .map_err(|error: trayful::notebook::NotAName| {
            let problem = Problem::new(error.to_string()).hint(error.hint());
            match RecipeName::of_title(&args.to) {
                Ok(name) => problem.meant(&args.to, &name.to_string()),
                Err(_) => problem,
            }
        })?;
    let mut store = book.store()?;
    let id = rename_recipe(&book, &mut store, (&from, &to), session.today())?;
    written_down(&store, &book, NewEntries::of(&[id]), args.json, session)
}
