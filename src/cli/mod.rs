//! The command line: one file per command, its arguments, its call, its page.

mod batch;
mod data;
mod demo;
mod failure;
mod foods;
mod output;
mod pantry;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand};
use trayful::food::FoodTable;
use trayful::nutrition::AgeMonths;
use trayful::problem::Problem;
use trayful::report::Look;

use failure::Failure;
use output::Output;

const EXAMPLES: &str = "\
Examples:
  trayful demo                    a batch of an invented household
  trayful foods sweet potato      find the id of a food
  trayful batch --add \"600 g 11485 steam\" --add \"150 g 16144 boil\" --returned 100ml/300ml
  trayful batch demo/recipes/red-lentil-squash.toml --trays 2 --age 9

Every figure is an estimate from published tables, a record to talk about, not a diagnosis:
your child's paediatrician and your local guidance come first.

Exit status: 0 done; 1 nothing found; 2 wrong input or usage.";

/// Batch cooking for babies: from a recipe to cubes, trays, energy and nutrients.
#[derive(Debug, Parser)]
#[command(name = "trayful", version, arg_required_else_help = true, after_help = EXAMPLES)]
#[command(
    max_term_width = 96,
    help_expected = true,
    disable_help_subcommand = true
)]
struct Cli {
    #[command(flatten)]
    common: Common,
    #[command(subcommand)]
    command: Command,
}

/// Options of every command.
#[derive(Debug, Args)]
struct Common {
    /// Food data to use instead of the built-in: a folder made by `trayful data import`
    #[arg(long, global = true, value_name = "DIR", env = "TRAYFUL_CACHE")]
    cache: Option<PathBuf>,
    /// Own foods, from labels; by default own-foods.csv beside the book.toml around the recipe
    #[arg(long, global = true, value_name = "FILE", env = "TRAYFUL_OWN")]
    own: Option<PathBuf>,
    /// Plain text: no colour, no bars
    #[arg(long, global = true)]
    plain: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Calculate a batch: what to weigh out, cubes and trays, energy and nutrients
    Batch(Box<batch::BatchArgs>),
    /// Find a food by kitchen words, show one, or add one of your own
    Foods(foods::FoodsArgs),
    /// Which food data is in use; import another
    Data(data::DataArgs),
    /// A batch of an invented household, filled to two trays
    Demo(demo::DemoArgs),
}

/// What every command works with.
struct Session {
    common: Common,
    look: Look,
}

impl Session {
    /// The food data in use.
    fn foods(&self) -> Result<FoodTable, Failure> {
        Ok(match &self.common.cache {
            Some(folder) => FoodTable::open(folder)?,
            None => FoodTable::builtin()?,
        })
    }
}

/// What a command has to say.
struct Answer {
    text: String,
    found: bool,
    warnings: Vec<Problem>,
}

impl Answer {
    fn text(text: String) -> Self {
        Self {
            text,
            found: true,
            warnings: Vec::new(),
        }
    }

    /// The same answer, with something to look at.
    fn warning_of(self, warnings: Vec<Problem>) -> Self {
        Self { warnings, ..self }
    }

    fn json(value: &impl serde::Serialize) -> Result<Self, Failure> {
        Ok(Self::text(serde_json::to_string_pretty(value)? + "\n"))
    }
}

/// Months of age on the command line.
fn age(text: &str) -> Result<AgeMonths, String> {
    match text.parse() {
        Ok(months @ 0..=47) => Ok(AgeMonths(months)),
        _ => Err("write completed months, 0 to 47, such as 8".into()),
    }
}

/// Runs the command line of this process.
pub(crate) fn main() -> ExitCode {
    let cli = Cli::parse();
    let output = Output::new(cli.common.plain);
    let session = Session {
        common: cli.common,
        look: output.look(),
    };
    let answer = match &cli.command {
        Command::Batch(args) => batch::run(args, &session),
        Command::Foods(args) => foods::run(args, &session),
        Command::Data(args) => data::run(args, &session),
        Command::Demo(args) => demo::run(args, &session),
    };
    let printed = answer.and_then(|answer| {
        output.print(&answer.text)?;
        output.warn(&answer.warnings);
        Ok(answer.found)
    });
    match printed {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(1),
        Err(failure) => {
            output.complain(&failure);
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
