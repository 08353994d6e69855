//! `trayful household` and `trayful rename`: waiting days, meals of the day, trays and jars; another name for a recipe.

use clap::{Args, Subcommand};
use toml_edit::{Array, Value};
use trayful::household::rename_recipe;
use trayful::notebook::{RecipeName, Setting};
use trayful::problem::Problem;
use trayful::report::Page;
use trayful::words::quoted;

use super::failure::Failure;
use super::written::{NewEntries, written_down};
use super::{Answer, Session};

/// Arguments of `trayful household`.
#[derive(Debug, Args)]
pub(super) struct HouseholdArgs {
    #[command(subcommand)]
    action: Option<HouseholdAction>,
}

#[derive(Debug, Subcommand)]
enum HouseholdAction {
    /// Change how the household does things
    Set {
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
        #[arg(long, value_name = "N")]
        servings_a_day: Option<f64>,
        /// The cup that amounts are typed in: metric holds 250 ml, us 236.6 ml
        #[arg(long, value_parser = ["us", "metric"])]
        cup: Option<String>,
        /// Currency of every price
        #[arg(long, value_name = "CODE")]
        currency: Option<String>,
    },
    /// Add a tray, or change the one of this name
    Tray {
        /// The name
        name: String,
        /// Wells, and what one holds, such as 16x30ml
        #[arg(value_name = "WELLSxVOLUME", required_unless_present = "remove")]
        wells: Option<String>,
        /// How full a well is, 0 to 1
        #[arg(long, value_name = "SHARE")]
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

/// Shows or changes the household.
pub(super) fn run(args: &HouseholdArgs, session: &Session) -> Result<Answer, Failure> {
    let mut book = session.book()?;
    match &args.action {
        None => {}
        Some(HouseholdAction::Set {
            freezer_days,
            waiting_days,
            waiting,
            meals,
            servings_a_day,
            cup,
            currency,
        }) => {
            let mut settings: Vec<Setting<'_>> = Vec::new();
            for (key, number) in [
                ("freezer_days", freezer_days),
                ("waiting_days", waiting_days),
            ] {
                settings.extend(number.map(|number| (key, Some(i64::from(number).into()))));
            }
            for (key, word) in [("waiting", waiting), ("cup", cup), ("currency", currency)] {
                settings.extend(
                    word.as_ref()
                        .map(|word| (key, Some(Value::from(word.as_str())))),
                );
            }
            if let Some(meals) = meals {
                let names: Array = meals
                    .split(',')
                    .map(str::trim)
                    .filter(|one| !one.is_empty())
                    .collect();
                settings.push(("meals", Some(Value::Array(names))));
            }
            if let Some(servings) = servings_a_day {
                settings.push((
                    "servings_a_day",
                    Some(Value::from(*servings)).filter(|_| *servings > 0.0),
                ));
            }
            if settings.is_empty() {
                let problem = Problem::new("nothing was named that is to be different");
                return Err(problem.hint("such as --waiting-days 4").into());
            }
            book.set(&settings)?;
        }
        Some(HouseholdAction::Tray {
            name, remove: true, ..
        }) => book.remove("tray", name)?,
        Some(HouseholdAction::Tray {
            name, wells, fill, ..
        }) => {
            let text = wells.as_deref().unwrap_or_default();
            let wrong = || {
                Problem::new(format!("{} is not a tray", quoted(text)))
                    .hint("write wells and volume, such as 16x30ml")
            };
            let (wells, well) = text.split_once(['x', 'X']).ok_or_else(wrong)?;
            let wells: i64 = wells.trim().parse().map_err(|_| wrong())?;
            let mut settings: Vec<Setting<'_>> = vec![
                ("wells", Some(wells.into())),
                ("well", Some(well.trim().into())),
            ];
            let known = book.settings.trays.iter().any(|tray| tray.name == *name);
            let fill = fill.or((!known).then_some(0.9));
            settings.extend(fill.map(|fill| ("fill", Some(fill.into()))));
            put(&mut book, ("tray", known), name, settings)?;
        }
        Some(HouseholdAction::Jar {
            name, remove: true, ..
        }) => book.remove("ready_made", name)?,
        Some(HouseholdAction::Jar {
            name, mass, price, ..
        }) => {
            let mut settings: Vec<Setting<'_>> = Vec::new();
            for (key, text) in [("mass", mass), ("price", price)] {
                settings.extend(
                    text.as_ref()
                        .map(|text| (key, Some(Value::from(text.as_str())))),
                );
            }
            let known = book.settings.ready_made.iter().any(|jar| jar.name == *name);
            put(&mut book, ("ready_made", known), name, settings)?;
        }
    }
    Ok(Answer::text(shown(&book, session)))
}

/// Changes the table of this name in a list, or adds it.
fn put<'a>(
    book: &mut trayful::notebook::Book,
    (list, known): (&str, bool),
    name: &'a str,
    mut settings: Vec<Setting<'a>>,
) -> Result<(), Failure> {
    if known {
        book.set_in(list, name, &settings)?;
    } else {
        settings.insert(0, ("name", Some(name.into())));
        book.add(list, &settings)?;
    }
    Ok(())
}

fn shown(book: &trayful::notebook::Book, session: &Session) -> String {
    let settings = &book.settings;
    let mut page = Page::new(session.look);
    page.paragraph(&format!(
        "Cubes are kept {} days; {} days from one new food to the next. Meals: {}. Prices in {}.",
        settings.freezer_days,
        settings.waiting_days,
        settings.meals.join(", "),
        settings.currency
    ));
    for tray in &settings.trays {
        page.paragraph(&format!(
            "Tray {}: {} wells of {:.0} ml, filled to {:.0} %.",
            quoted(&tray.name),
            tray.wells,
            tray.well.millilitres(),
            tray.fill * 100.0
        ));
    }
    for jar in &settings.ready_made {
        page.paragraph(&format!(
            "Jar {}: {:.0} g for {} {}.",
            quoted(&jar.name),
            jar.mass.grams(),
            jar.price.shown(),
            settings.currency
        ));
    }
    page.line(
        "Change it with `trayful household set`, `tray`, `jar`; children with `trayful child`.",
    );
    page.finish()
}

/// Arguments of `trayful rename`.
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
        .map_err(|error: trayful::notebook::NotAName| Problem::new(error.to_string()))?;
    let mut store = book.store()?;
    let id = rename_recipe(&book, &mut store, (&from, &to), session.today())?;
    let written = NewEntries {
        entries: &[id],
        ..NewEntries::default()
    };
    written_down(&store, &book, written, args.json, session)
}
