//! The command line: one file per command, its arguments, its call, its page.

mod again;
mod answer;
mod batch;
mod batch_options;
mod book;
mod bulk;
mod buy;
mod card;
mod catch_up;
mod child;
mod clock;
mod combine;
mod data;
mod day;
mod demo;
mod device;
mod emergency;
mod examples;
mod failure;
mod foods;
mod freezer;
mod history;
mod household;
mod judged;
mod known;
mod labels;
mod large_type;
mod measure;
mod milk;
mod mix;
mod next_command;
mod note;
mod option_word;
mod output;
mod page;
mod page_file;
mod pantry;
mod plan;
mod question;
mod reaction;
mod recipe;
mod save;
mod serve;
mod shell;
mod shop;
mod supplement;
mod tastes;
mod texture;
mod typed_food;
mod typed_value;
mod unrecorded;
mod usage;
mod visit;
mod week;
mod words;
mod written;

use std::cell::RefCell;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand};
use jiff::civil::Date;
use trayful::notebook::Book;
use trayful::nutrition::AgeMonths;
use trayful::report::Look;

use answer::{Answer, take_back};
use day::{ChildArg, ChildrenArg, DayArg, PeriodArgs, TakenDay};
use emergency::emergency_in;
use failure::Failure;
use output::Output;
use unrecorded::note_failure;

const EXAMPLES: &str = "\
Examples:
  trayful demo                    a batch of an invented household
  trayful foods sweet potato      find the id of a food
  trayful batch --add \"600 g butternut squash steamed\" --add \"150 g red lentils boiled\"
  trayful batch red-lentil-squash --trays 2   a recipe of the book, by its name or a part of it

Every figure is an estimate from published tables, a record to talk about, not a diagnosis:
your child's paediatrician and your local guidance come first.

Exit status: 0 done; 1 the answer is no: nothing found, a check failed, or it should not be given; 2 wrong input or usage.";

/// Batch cooking for babies: from a recipe to cubes, trays, energy and nutrients.
#[derive(Debug, Parser)]
#[command(name = "trayful", version, arg_required_else_help = true, after_help = EXAMPLES)]
#[command(max_term_width = 96, help_expected = true)]
struct Cli {
    #[command(flatten)]
    common: Common,
    #[command(subcommand)]
    command: Command,
}

/// The heading of the options that every command has.
const EVERYWHERE: &str = "Options of every command";

// Options of every command.
#[derive(Debug, Args)]
struct Common {
    /// Food data to use instead of that of the book, or the built-in: a folder made by `trayful data import`
    #[arg(long, global = true, value_name = "DIR", env = "TRAYFUL_CACHE", help_heading = EVERYWHERE)]
    cache: Option<PathBuf>,
    /// The book: a folder made by `trayful start`; else the nearest folder upwards that is one
    #[arg(long, global = true, value_name = "FOLDER", env = "TRAYFUL_BOOK", help_heading = EVERYWHERE)]
    book: Option<PathBuf>,
    /// Own foods, from labels; by default own-foods.csv beside the book.toml around the recipe
    #[arg(long, global = true, value_name = "FILE", env = "TRAYFUL_OWN", help_heading = EVERYWHERE)]
    own: Option<PathBuf>,
    /// Plain text: no colour, no bars
    #[arg(long, global = true, help_heading = EVERYWHERE)]
    plain: bool,
    /// The day that counts as today, for tests and for an invented household
    #[arg(
        long,
        global = true,
        hide = true,
        value_name = "YYYY-MM-DD",
        env = "TRAYFUL_TODAY"
    )]
    today: Option<Date>,
}

// The options of a command are put together when it is called: those of all together take longer than a short command. What a command does
// is written here, at its name: a comment on its options would stand in its help instead.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
enum Command {
    /// Calculate a batch: what to weigh out, cubes and trays, energy and nutrients
    Batch(Box<batch::BatchArgs>),
    /// What to put into a purée: the best foods for what you ask, worked out exactly
    Combine(Box<combine::CombineArgs>),
    /// Calculate many recipes at once, from Parquet to Parquet
    ///
    /// Foods as each method cooks them are kept for the next run in the folder trayful of your cache folder (~/.cache by default); it may be deleted at any time.
    Bulk(Box<bulk::BulkArgs>),
    /// Find a food by kitchen words, show one, or add one of your own
    Foods(foods::FoodsArgs),
    /// Which foods you mean by words that could mean several: show, choose, forget
    Words(words::WordsArgs),
    /// Which food data is in use; import another
    Data(data::DataArgs),
    /// A batch of an invented household, filled to two trays
    Demo(demo::DemoArgs),
    /// Start a book: a folder that holds a household's recipes and record
    Start(book::StartArgs),
    /// Record a batch that went into the freezer
    Freeze(freezer::FreezeArgs),
    /// What is in the freezer, first to be eaten on top
    Freezer(freezer::FreezerArgs),
    /// Write labels for the freezer, a page to print on stickers
    Labels(labels::LabelsArgs),
    /// Write a batch as one page for the kitchen: weigh, cook, fill, freeze
    Card(Box<card::CardArgs>),
    /// Record a meal, oldest cubes first, and see its iron and energy
    Serve(serve::ServeArgs),
    /// What a bowl would hold: iron, energy, vitamin C, new foods; nothing is recorded
    Mix(mix::MixArgs),
    /// Record what a child drinks a day: breast milk, formula
    Milk(milk::MilkArgs),
    /// Plan meals and cooking: show, set, check, export, import, calendar
    Plan(plan::PlanArgs),
    /// What to buy for the plan, in packs, with what it costs
    Shop(shop::ShopArgs),
    /// Write down a question for the next visit
    Question(question::QuestionArgs),
    /// Write down what the doctor answered to a question
    Answer(question::AnswerArgs),
    /// Write down what was seen after a meal of the days before
    Reaction(reaction::ReactionArgs),
    /// Foods that a child had away from this book, or before it began
    Known(known::KnownArgs),
    /// Write down weight, length or head size with their day
    Measure(measure::MeasureArgs),
    /// Write down drops and the like: given, missed, stopped
    Supplement(supplement::SupplementArgs),
    /// Write down a note in your words: stool, sleep, texture
    Note(note::NoteArgs),
    /// Write down how coarse the food is from a day on
    Texture(texture::TextureArgs),
    /// Days that were left out, in one step: as planned, as the day before, not known
    CatchUp(catch_up::CatchUpArgs),
    /// Say that every meal of a day is written down
    Complete(note::CompleteArgs),
    /// Write the record of some weeks as a page for the visit at the paediatrician's
    Visit(visit::VisitArgs),
    /// Record cubes thrown away
    Discard(freezer::DiscardArgs),
    /// How much to cook next, so that nothing is thrown away
    CookNext(freezer::FreezerArgs),
    /// First tastes, allergens, and refused foods to offer again
    Tastes(tastes::TastesArgs),
    /// A week of a child: iron, nutrients, energy, beside what is published
    Week(week::WeekArgs),
    /// Record what was bought, and for how much
    Buy(buy::BuyArgs),
    /// What each batch cost against the ready-made jar
    Money(buy::MoneyArgs),
    /// The children: show, add, change, rename with the whole record
    Child(child::ChildArgs),
    /// How the household does things: waiting days, meals, trays, jars
    Household(household::HouseholdArgs),
    /// Give a recipe another name, with the whole record
    Rename(household::RenameArgs),
    /// What was written down, the newest first, with the number of each entry
    Log(history::LogArgs),
    /// Correct an entry: how it went, the day, the meal, the amount, the price
    Change(Box<history::ChangeArgs>),
    /// Take an entry or a correction back
    Undo(history::UndoArgs),
    /// Put back what was taken back
    Redo(history::RedoArgs),
    /// Show the book as a page for the kitchen, in a browser on this computer
    Page(page::PageArgs),
    /// The phones and tablets that the page lets in: show, drop
    Device(device::DeviceArgs),
    /// Export, import, check and back up the record
    Book(book::BookArgs),
    /// Print the script that completes commands and names of the book in a shell
    Completions(shell::CompletionsArgs),
    /// Print the manual page, or write one for each command
    Man(shell::ManArgs),
}

/// The context of a command: common options, layout of pages, output.
struct Session {
    common: Common,
    look: Look,
    output: Output,
    /// The days that were typed in words, in their order.
    days: RefCell<Vec<TakenDay>>,
}

impl Session {
    /// The book in use.
    fn book(&self) -> Result<Book, Failure> {
        let here = std::env::current_dir().unwrap_or_default();
        let folder = self
            .common
            .book
            .clone()
            .or_else(|| Book::folder_above(&here));
        let book = Book::open(&folder.unwrap_or(here))?;
        book.settings.check_births(self.today())?;
        Ok(book)
    }
}

/// Months of age on the command line.
fn age(text: &str) -> Result<AgeMonths, String> {
    match text.parse() {
        Ok(months @ 0..=215) => Ok(AgeMonths(months)),
        _ => Err("write completed months, 0 to 215, such as 8".into()),
    }
}

/// Prints help, or what is wrong with the command that was typed.
fn refused(error: &clap::Error) -> ExitCode {
    let typed = again::typed();
    let named = std::env::var_os("TRAYFUL_BOOK").map(PathBuf::from);
    let here = std::env::current_dir().ok();
    let folder = named.or_else(|| Book::folder_above(&here?));
    // A book that does not open gives no examples; the command itself reports it.
    let book = folder.and_then(|folder| Book::open(&folder).ok());
    note_failure(&typed, book.as_ref().filter(|_| error.use_stderr()));
    let fixed = std::env::var("TRAYFUL_TODAY").ok();
    let fixed = fixed.and_then(|day| day.parse().ok());
    let today = fixed.unwrap_or_else(|| clock::now().date());
    let known = examples::Known::of(book.as_ref(), today);
    if error.use_stderr() {
        call_for_help(
            &Output::new(typed.iter().any(|word| word == "--plain")),
            &typed,
        );
    }
    let Some(failure) = usage::explained(error, &typed, &known) else {
        // Without an output there is nowhere to report the failure.
        let _ = error.print();
        return ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2));
    };
    Output::new(typed.iter().any(|word| word == "--plain")).complain(&failure);
    ExitCode::from(2)
}

/// Says what to do about a severe reaction, before what is wrong with the command that tells of it.
fn call_for_help(output: &Output, typed: &[String]) {
    if let Some(call) = emergency_in(typed) {
        output.alert(&call);
    }
}

/// Runs the command line of this process.
pub(crate) fn main() -> ExitCode {
    match shell::answered() {
        Ok(false) => {}
        Ok(true) => return ExitCode::SUCCESS,
        Err(error) => {
            // Without standard error there is nowhere to report the failure.
            let _ = error.print();
            return ExitCode::from(2);
        }
    }
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => return refused(&error),
    };
    let output = Output::new(cli.common.plain);
    let session = Session {
        common: cli.common,
        look: output.look(),
        output,
        days: RefCell::default(),
    };
    let answer = match &cli.command {
        Command::Batch(args) => batch::run(args, &session),
        Command::Combine(args) => combine::run(args, &session),
        Command::Bulk(args) => bulk::run(args, &session),
        Command::Foods(args) => foods::run(args, &session),
        Command::Words(args) => words::run(args, &session),
        Command::Data(args) => data::run(args, &session),
        Command::Demo(args) => demo::run(args, &session),
        Command::Start(args) => book::start(args, &session),
        Command::Freeze(args) => freezer::freeze(args, &session),
        Command::Freezer(args) => freezer::freezer(args, &session),
        Command::Labels(args) => labels::run(args, &session),
        Command::Card(args) => card::run(args, &session),
        Command::Serve(args) => serve::run(args, &session),
        Command::Mix(args) => mix::run(args, &session),
        Command::Milk(args) => milk::run(args, &session),
        Command::Plan(args) => plan::run(args, &session),
        Command::Shop(args) => shop::run(args, &session),
        Command::Question(args) => question::run(args, &session),
        Command::Answer(args) => question::answer(args, &session),
        Command::Reaction(args) => reaction::run(args, &session),
        Command::Known(args) => known::run(args, &session),
        Command::Measure(args) => measure::run(args, &session),
        Command::Supplement(args) => supplement::run(args, &session),
        Command::Note(args) => note::run(args, &session),
        Command::Texture(args) => texture::run(args, &session),
        Command::CatchUp(args) => catch_up::run(args, &session),
        Command::Complete(args) => note::complete(args, &session),
        Command::Visit(args) => visit::run(args, &session),
        Command::Discard(args) => freezer::discard(args, &session),
        Command::CookNext(args) => freezer::cook_next(args, &session),
        Command::Tastes(args) => tastes::run(args, &session),
        Command::Week(args) => week::run(args, &session),
        Command::Buy(args) => buy::buy(args, &session),
        Command::Money(args) => buy::money(args, &session),
        Command::Child(args) => child::run(args, &session),
        Command::Household(args) => household::run(args, &session),
        Command::Rename(args) => household::rename(args, &session),
        Command::Log(args) => history::log(args, &session),
        Command::Change(args) => history::change(args, &session),
        Command::Undo(args) => history::undo(args, &session),
        Command::Redo(args) => history::redo(args, &session),
        Command::Device(args) => device::run(args, &session),
        Command::Page(args) => page::run(args, &session, &session.output),
        Command::Book(args) => book::keep(args, &session),
        Command::Completions(args) => shell::completions(args),
        Command::Man(args) => shell::man(args, &session),
    };
    if answer.as_ref().map_or(true, |answer| !answer.found) {
        note_failure(&again::typed(), session.book().ok().as_ref());
    }
    let printed = answer.and_then(|answer| {
        session.output.print(&answer.text)?;
        session.output.warn(&answer.warnings);
        for one in &answer.understood {
            session.output.note(one);
        }
        Ok(answer.found)
    });
    match printed {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(1),
        Err(failure) => {
            call_for_help(&session.output, &again::typed());
            session.output.complain(&failure);
            ExitCode::from(2)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_arguments_are_consistent() {
        use clap::CommandFactory;
        Cli::command().debug_assert();
    }
}
