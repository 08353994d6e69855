//! `trayful combine`: what to put into a purée, worked out exactly.

mod bowl;
mod words;

use std::io::Read as _;

use clap::{Args, ValueEnum};
use trayful::combine::{CombineRequest, LEAST_ENERGY, Prefer};
use trayful::household::{Combined, Combining, FromRecipe, calculated, eater};
use trayful::notebook::Settings;
use trayful::nutrition::AgeMonths;
use trayful::portion::Target;
use trayful::problem::{Problem, SourceText};
use trayful::report::{CombinePage, CombineReport, Page, candidate_list, objection_list};
use trayful::safety::Objection;

use super::batch_options::TrayArgs;
use super::failure::Failure;
use super::pantry::record_of;
use super::save::NewRecipe;
use super::{Answer, DayArg, Session, age};

#[derive(Debug, Args)]
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of its own")]
pub(super) struct CombineArgs {
    /// A recipe of the book, or a recipe file, that something is to be added to
    #[arg(value_name = "RECIPE", conflicts_with = "ask")]
    recipe: Option<String>,
    /// The request as JSON: a file, or - for standard input; inside a book, the book fills in the rest
    #[arg(long, value_name = "FILE", conflicts_with_all = [
        "with", "reach", "prefer", "known", "new", "without", "unusual", "under", "most", "energy", "vitamin_c", "together"])]
    ask: Option<String>,
    /// A bowl instead of a purée, such as "2 butternut": which cubes of the freezer and foods of
    /// the cupboard raise its iron most
    #[arg(long, value_name = "N RECIPE", conflicts_with_all = ["recipe", "ask", "with", "reach", "save", "list"])]
    bowl: Vec<String>,
    /// A food that has to be in it, in your words; once for each
    #[arg(long, value_name = "FOOD")]
    with: Vec<String>,
    /// The least that a serving has to bring, such as "1 mg iron"
    #[arg(long, value_name = "AMOUNT NUTRIENT")]
    reach: Option<String>,
    /// The order of suggestions: the most iron, the cheapest, or the fewest new foods
    #[arg(long, value_name = "WHAT")]
    prefer: Option<PreferArg>,
    /// Only foods that the child of the book knows
    #[arg(long)]
    known: bool,
    /// At most so many foods that the child does not know
    #[arg(long, value_name = "N")]
    new: Option<usize>,
    /// An allergen, a kind of food or a food that stays out, such as egg; once for each
    #[arg(long, value_name = "FOOD")]
    without: Vec<String>,
    /// Foods too that are not sold everywhere
    #[arg(long)]
    unusual: bool,
    /// The most that a serving may cost
    #[arg(long, value_name = "MONEY")]
    under: Option<String>,
    /// How many foods are added at most
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(0..=4))]
    most: Option<u8>,
    #[arg(long, value_name = "KCAL", help = format!("Least energy, kcal for a gram; {LEAST_ENERGY} if left out"))]
    energy: Option<f64>,
    /// Least vitamin C for iron, molecule for molecule, such as 2
    #[arg(long, value_name = "RATIO")]
    vitamin_c: Option<f64>,
    /// Only foods that old cookery books have together
    #[arg(long)]
    together: bool,
    /// Cubes of a serving; 2 if left out
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=50))]
    cubes: Option<u32>,
    /// How many suggestions
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=5))]
    answers: Option<u8>,
    /// Trays to fill
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=100))]
    trays: u32,
    #[command(flatten)]
    tray: TrayArgs,
    /// The child's age in completed months; that of the book's child if left out
    #[arg(long, value_name = "MONTHS", value_parser = age)]
    age: Option<AgeMonths>,
    /// The child; may be left out where the book has one
    #[arg(long, value_name = "NAME")]
    of: Option<String>,
    #[command(flatten)]
    day: DayArg,
    /// Write a suggestion into the book as a recipe of this name
    #[arg(long, value_name = "NAME")]
    save: Option<String>,
    /// Which suggestion is written
    #[arg(long, value_name = "N", default_value_t = 1, requires = "save")]
    nth: usize,
    /// Print the foods that purées are put together from, as CSV: what each is, and what a gram of it brings
    #[arg(long)]
    list: bool,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// The order of suggestions on the command line.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum PreferArg {
    // The values have no help of their own: that of the option explains them.
    Most,
    Cheapest,
    FewestNew,
}

impl From<PreferArg> for Prefer {
    fn from(prefer: PreferArg) -> Self {
        match prefer {
            PreferArg::Most => Self::Most,
            PreferArg::Cheapest => Self::Cheapest,
            PreferArg::FewestNew => Self::FewestNew,
        }
    }
}

/// Runs the command.
pub(super) fn run(args: &CombineArgs, session: &Session) -> Result<Answer, Failure> {
    if !args.bowl.is_empty() {
        return bowl::run(args, session);
    }
    let mut ask = match &args.ask {
        Some(file) => CombineRequest::read(&written(file)?)?,
        None => words::in_words(args, session)?,
    };
    let (base, book) = match &args.recipe {
        Some(recipe) => {
            let chosen = session.recipe(Some(recipe), "combine")?;
            (Some((chosen.recipe, chosen.pantry)), chosen.book)
        }
        None => (None, session.book_for(None)?),
    };
    let new = args
        .save
        .as_deref()
        .map(|name| NewRecipe::of(name, book.as_ref()))
        .transpose()?;
    let usual = Settings::default();
    let settings = book.as_ref().map_or(&usual, |book| &book.settings);
    let store = record_of(book.as_ref())?;
    let tray = args.tray.resolve(settings)?;
    let (recipe, pantry) = match base {
        Some((recipe, pantry)) => (Some(recipe), pantry),
        None => (None, session.pantry(None)?),
    };
    let combining = Combining {
        settings,
        store: store.as_ref(),
        pantry: &pantry,
        tray: &tray,
        day: args.day.ahead(session)?,
    };
    let base = recipe
        .map(|recipe| from_recipe(recipe, &combining))
        .transpose()?;
    let child = book
        .as_ref()
        .map(|book| eater(book, args.of.as_deref()))
        .transpose()?
        .flatten();
    ask.age = args.age.or(ask.age);
    if let Some(child) = child {
        combining.fill(&mut ask, child)?;
    }
    known_only(args, &mut ask)?;
    if ask.needs_prices_but_has_none() {
        return Err(no_prices().into());
    }
    combining.serving(&mut ask, cubes(args, base.as_ref()));
    combining.bar(&mut ask, child)?;
    if args.list {
        let list = combining.list(&ask, candidate_list)?;
        return Ok(Answer::text(
            list.map_err(std::io::Error::from).map_err(Failure::Print)?,
        ));
    }
    let against = base
        .as_ref()
        .map(|base| combining.against_base((&ask, child), base));
    let against = against.transpose()?.unwrap_or_default();
    let combined = combining.combined((&ask, child), base.as_ref(), args.trays * tray.wells)?;
    let shown_with = (base.as_ref(), settings, against.as_slice());
    let mut answer = shown(args, &ask, &combined, shown_with, session)?;
    if let Some(new) = new {
        save(args, &new, &combined, &combining, &mut answer, session)?;
    }
    Ok(answer)
}

/// The text of an ask.
fn written(file: &str) -> Result<std::sync::Arc<SourceText>, Failure> {
    let mut text = String::new();
    let read = if file == "-" {
        std::io::stdin()
            .lock()
            .read_to_string(&mut text)
            .map(|_| ())
    } else {
        std::fs::read_to_string(file).map(|read| text = read)
    };
    read.map_err(|error| {
        let problem = Problem::new(format!("cannot read the ask {file}: {error}"));
        problem.hint("give the path of a JSON file, or - for standard input")
    })?;
    let name = if file == "-" { "standard input" } else { file };
    Ok(SourceText::new(name, text))
}

fn from_recipe(
    recipe: trayful::recipe::Recipe,
    combining: &Combining<'_>,
) -> Result<FromRecipe, Failure> {
    let batch = calculated(
        &recipe,
        &Target::AsWritten,
        combining.tray,
        combining.pantry,
    )?;
    Ok(FromRecipe { recipe, batch })
}

fn cubes(args: &CombineArgs, base: Option<&FromRecipe>) -> u32 {
    args.cubes
        .or(base.map(|base| base.recipe.serving.cubes))
        .unwrap_or(2)
}

/// `--known`: foods that the child does not know stay out, but for as many as `--new` allows.
fn known_only(args: &CombineArgs, ask: &mut CombineRequest) -> Result<(), Problem> {
    if (args.known || args.new.is_some()) && ask.known.is_none() {
        return Err(Problem::new("it is not known which foods the child knows")
            .hint("use a book with meals on record, or give the known foods in --ask"));
    }
    if args.known && ask.new_at_most.is_none() {
        ask.new_at_most = Some(0);
    }
    Ok(())
}

fn no_prices() -> Problem {
    Problem::new("no price is known")
        .hint("record what foods cost: trayful buy, or give prices in --ask")
}

/// A report, and what speaks against the purée that something is to be added to.
#[derive(serde::Serialize)]
struct WithBaseObjections<'a, T> {
    #[serde(flatten)]
    report: T,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    objections: &'a [Objection],
}

fn shown(
    args: &CombineArgs,
    ask: &CombineRequest,
    combined: &Combined,
    (base, settings, against): (Option<&FromRecipe>, &Settings, &[Objection]),
    session: &Session,
) -> Result<Answer, Failure> {
    let answer = if args.json {
        Answer::json(&WithBaseObjections {
            report: CombineReport::new(ask, combined),
            objections: against,
        })?
    } else {
        let page = CombinePage {
            ask,
            answer: &combined.answer,
            objections: &combined.objections,
            intervals: &combined.intervals,
            base: base.map_or("", |base| base.recipe.title.as_str()),
            currency: if ask.prices.is_some() {
                settings.currency.as_str()
            } else {
                ""
            },
        };
        let mut first = Page::new(session.look);
        objection_list(&mut first, against);
        if !against.is_empty() {
            first.line("");
        }
        Answer::text(first.finish() + &page.render(session.look)?)
    };
    let is_stopped = against.iter().any(Objection::is_block);
    Ok(answer.found_if(!combined.answer.suggestions.is_empty() && !is_stopped))
}

/// Writes a suggestion into the book.
fn save(
    args: &CombineArgs,
    new: &NewRecipe<'_>,
    combined: &Combined,
    combining: &Combining<'_>,
    answer: &mut Answer,
    session: &Session,
) -> Result<(), Failure> {
    let at = args.nth.checked_sub(1);
    let Some(recipe) = at.and_then(|at| combined.recipes.get(at)) else {
        let problem = Problem::new(format!("there is no suggestion {} to save", args.nth));
        return Err(problem
            .hint("see the suggestions without --save first")
            .into());
    };
    let mut recipe = recipe.clone();
    recipe.title.clone_from(&new.title);
    let batch = calculated(
        &recipe,
        &Target::AsWritten,
        combining.tray,
        combining.pantry,
    )?;
    let names = batch.foods().map(|food| food.name.as_str());
    let path = new.save_text(&recipe.written(names)?)?;
    let saved = format!("Saved as {path}. Cook it: trayful batch {}", new.name);
    session.end_with(&saved, args.json, answer);
    Ok(())
}
