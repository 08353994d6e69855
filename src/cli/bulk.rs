//! `trayful bulk`: many recipes at once, from Parquet to Parquet.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use data_import::parquet::Codec;
use indicatif::{ProgressBar, ProgressStyle};
use trayful::bulk::{
    BulkError, BulkRequest, Done, ExportRequest, FloatWidth, Per, export, run as calculate,
    write_template,
};
use trayful::words::{joined, thousands};

use super::failure::Failure;
use super::{Answer, Session};

const EXAMPLES: &str = "\
Examples:
  trayful bulk --template corpus    two small tables to begin with
  trayful bulk corpus figures       iron and 45 more of a serving of each recipe
  trayful bulk corpus figures --per both --nutrients FE,ZN --intervals FE
  trayful bulk --export spark       the same calculation as SQL

The tables lines and recipes lie in the first folder, the figures go into the second. What a run that was stopped had done is
not done again.";

#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct BulkArgs {
    /// Folder with lines/*.parquet and recipes/*.parquet, or lines.parquet and recipes.parquet, or the same as CSV
    #[arg(value_name = "IN", required_unless_present_any = ["template", "export"])]
    input: Option<PathBuf>,
    /// Folder for results/*.parquet, a row for each recipe, and rejects/*.parquet, a row for each thing that is wrong
    #[arg(value_name = "OUT", required_unless_present_any = ["template", "export"])]
    output: Option<PathBuf>,
    /// What the nutrients are told for
    #[arg(long, value_enum, default_value = "serving")]
    per: PerArg,
    /// Nutrients by their tags, such as FE,ZN; all of them if left out
    #[arg(long, value_name = "TAGS", value_delimiter = ',')]
    nutrients: Vec<String>,
    /// Nutrients by their tags whose interval in a serving is told too, as low and high; takes about a tenth of a millisecond for each recipe of ten lines
    #[arg(long, value_name = "TAGS", value_delimiter = ',', conflicts_with_all = ["template", "export"])]
    intervals: Vec<String>,
    /// Bits of a figure: 64, or 32 for half the size and seven digits
    #[arg(long, value_name = "BITS", default_value = "64", value_parser = ["32", "64"])]
    float: String,
    /// How the tables are compressed
    #[arg(long, value_enum, default_value = "zstd")]
    codec: CodecArg,
    /// How many parts are calculated at once; as many as there are cores if left out
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    threads: Option<u16>,
    /// Do all of it anew, also what is done already
    #[arg(long)]
    restart: bool,
    /// Do one part alone, by the name of its file of lines
    #[arg(long, value_name = "PART", conflicts_with = "restart")]
    part: Option<String>,
    /// Write prepared.parquet, results.sql, rejects.sql and export.json into a folder: the same calculation for another engine
    #[arg(long, value_name = "FOLDER", conflicts_with_all = ["input", "output"])]
    export: Option<PathBuf>,
    /// Export only the foods and methods that occur in the tables of this folder
    #[arg(long = "for", value_name = "IN", requires = "export")]
    for_input: Option<PathBuf>,
    /// Write lines.csv and recipes.csv with two invented recipes into a folder, to begin with
    #[arg(long, value_name = "FOLDER", conflicts_with_all = ["input", "output"])]
    template: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum PerArg {
    /// One serving, as served
    Serving,
    /// 100 g of purée, as frozen
    #[value(name = "100g")]
    HundredGrams,
    /// Both
    Both,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum CodecArg {
    /// Zstandard
    Zstd,
    /// LZ4
    Lz4,
    /// Not at all
    None,
}

impl From<PerArg> for Per {
    fn from(per: PerArg) -> Self {
        match per {
            PerArg::Serving => Self::Serving,
            PerArg::HundredGrams => Self::HundredGrams,
            PerArg::Both => Self::Both,
        }
    }
}

impl From<BulkError> for Failure {
    fn from(error: BulkError) -> Self {
        match error {
            BulkError::Problem(problem) => problem.into(),
            BulkError::Data(error) => error.into(),
        }
    }
}

/// Runs the command.
pub(super) fn run(args: &BulkArgs, session: &Session) -> Result<Answer, Failure> {
    if let Some(folder) = &args.template {
        write_template(folder)?;
        let text = format!("Two invented recipes are in {}.\n", folder.display());
        return Ok(Answer::text(text));
    }
    if let Some(folder) = &args.export {
        return exported(args, folder, session);
    }
    let (Some(input), Some(output)) = (&args.input, &args.output) else {
        return Err(Failure::usage("which tables?", &[]));
    };
    let pantry = session.pantry(None)?;
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let kept = cache_folder();
    let request = BulkRequest {
        input,
        output,
        per: args.per.into(),
        nutrients: &args.nutrients,
        intervals: &args.intervals,
        width: if args.float == "32" {
            FloatWidth::Single
        } else {
            FloatWidth::Double
        },
        codec: match args.codec {
            CodecArg::Zstd => Codec::Zstd,
            CodecArg::Lz4 => Codec::Lz4,
            CodecArg::None => Codec::None,
        },
        threads: args.threads.map_or(cores, usize::from),
        restart: args.restart,
        part: args.part.as_deref(),
        foods: &pantry,
        kept: kept.as_deref(),
    };
    // On standard error; it draws itself only on a terminal.
    let bar = ProgressBar::new(0);
    if let Ok(style) = ProgressStyle::with_template("{msg} {bar:32} {percent} %, {eta} left") {
        bar.set_style(style);
    }
    bar.set_message("calculating");
    let done = calculate(&request, &|done, all| {
        bar.set_length(all as u64);
        bar.set_position(done as u64);
    });
    bar.finish_and_clear();
    Ok(told(&done?))
}

/// Where a program keeps what it can make again: the XDG Base Directory Specification, version 0.8.
fn cache_folder() -> Option<PathBuf> {
    let folder = |name| std::env::var_os(name).map(PathBuf::from);
    let absolute = folder("XDG_CACHE_HOME").filter(|folder| folder.is_absolute());
    let base = absolute.or_else(|| folder("HOME").map(|home| home.join(".cache")));
    base.map(|base| base.join("trayful"))
}

/// Exports the calculation.
fn exported(args: &BulkArgs, folder: &Path, session: &Session) -> Result<Answer, Failure> {
    let pantry = session.pantry(None)?;
    let rows = export(&ExportRequest {
        output: folder,
        input: args.for_input.as_deref(),
        per: args.per.into(),
        nutrients: &args.nutrients,
        foods: &pantry,
    })?;
    let count = thousands(rows as u64);
    let text = format!(
        "{count} foods and methods and the statements are in {}.\n",
        folder.display()
    );
    Ok(Answer::text(text))
}

/// What a run came to, for standard error: the figures are in the tables.
fn told(done: &Done) -> Answer {
    let faults = done
        .faults
        .iter()
        .map(|(fault, count)| format!("{} {}", fault.code(), thousands(*count)));
    let faults = match joined(faults, ", ") {
        none if none.is_empty() => none,
        faults => format!(" ({faults})"),
    };
    let before = match done.passed_over {
        0 => String::new(),
        before => format!("; {before} of {} parts were done before", done.parts),
    };
    let recipes = if done.recipes == 1 {
        "recipe"
    } else {
        "recipes"
    };
    let words = format!(
        "{} {recipes}: {} calculated, {} rejected{faults}{before}",
        thousands(done.recipes),
        thousands(done.recipes - done.rejected),
        thousands(done.rejected)
    );
    let not_kept = done.not_kept.as_ref();
    let not_kept =
        not_kept.map(|why| format!("the prepared foods are not kept for the next run: {why}"));
    Answer {
        found: done.rejected == 0,
        understood: [words].into_iter().chain(not_kept).collect(),
        ..Answer::text(String::new())
    }
}
