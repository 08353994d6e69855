//! `trayful bulk`: many recipes at once, from Parquet to Parquet.

use std::io::{IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use clap::Args;
use data_import::parquet::Codec;
use indicatif::{ProgressBar, ProgressStyle};
use trayful::bulk::{
    BulkError, BulkRequest, Done, ExportRequest, FloatWidth, OptionalColumn, Per, Progress, export,
    run as calculate, write_template,
};
use trayful::report::Page;
use trayful::words::{grouped, joined, thousands};

use super::failure::Failure;
use super::option_word::{OptionWord, one_of};
use super::{Answer, Session};

const EXAMPLES: &str = "\
Examples:
  trayful bulk --template corpus    two small tables to begin with
  trayful bulk corpus figures       iron and 45 more of a serving of each recipe
  trayful bulk corpus figures --per both --nutrients FE,ZN --intervals FE
  trayful bulk --export spark       the same calculation as SQL

The tables lines and recipes lie in the first folder, the figures go into the second. \
What is done stays: run a command that was stopped again, and it goes on.";

/// The shortest time between two lines of progress, where no bar can be drawn.
const BETWEEN_LINES: Duration = Duration::from_secs(10);

#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct BulkArgs {
    /// Folder with lines/*.parquet and recipes/*.parquet, or lines.parquet and recipes.parquet, or the same as CSV
    #[arg(value_name = "IN", required_unless_present_any = ["template", "export"])]
    input: Option<PathBuf>,
    /// Folder for results/*.parquet, a row for each recipe, and rejects/*.parquet, a row for each thing that is wrong
    #[arg(value_name = "OUT", required_unless_present_any = ["template", "export"])]
    output: Option<PathBuf>,
    /// The mass or serving that the nutrients are of
    #[arg(long, value_parser = one_of(&PER), default_value = "serving")]
    per: Per,
    /// Nutrients by their tags, such as FE,ZN; all of them if left out
    #[arg(long, value_name = "TAGS", value_delimiter = ',')]
    nutrients: Vec<String>,
    /// Nutrients by their tags whose interval in a serving is written too, as low and high; takes
    /// far longer than the figures alone, and longer with each nutrient
    #[arg(long, value_name = "TAGS", value_delimiter = ',', conflicts_with_all = ["template", "export"])]
    intervals: Vec<String>,
    /// Bits of a figure: 64, or 32 for half the size and seven digits
    #[arg(long, value_name = "BITS", default_value = "64", value_parser = ["32", "64"])]
    float: String,
    /// How the tables are compressed
    #[arg(long, value_parser = one_of(&CODECS), default_value = "zstd")]
    codec: Codec,
    /// How many parts are calculated at once; as many as there are cores if left out
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    threads: Option<u16>,
    /// Calculate everything again, including what is done
    #[arg(long)]
    restart: bool,
    /// Do one part alone, by the name of its file of lines
    #[arg(long, value_name = "PART", conflicts_with = "restart")]
    part: Option<String>,
    /// Write prepared.parquet, results.sql, rejects.sql and export.json into a folder: the same
    /// calculation for another engine
    #[arg(long, value_name = "FOLDER", conflicts_with_all = ["input", "output"])]
    export: Option<PathBuf>,
    /// Export only the foods and methods that occur in the tables of this folder
    #[arg(long = "for", value_name = "IN", requires = "export")]
    for_input: Option<PathBuf>,
    /// Write lines.csv and recipes.csv with two invented recipes into a folder, to begin with
    #[arg(long, value_name = "FOLDER", conflicts_with_all = ["input", "output"])]
    template: Option<PathBuf>,
}

/// The words of `--per`: the amount of purée that the nutrients are given for.
const PER: [OptionWord<Per>; 3] = [
    ("serving", "One serving, as served", Per::Serving),
    ("100g", "100 g of purée, as frozen", Per::HundredGrams),
    ("both", "Both", Per::Both),
];

/// The words of `--codec`: how tables are compressed.
const CODECS: [OptionWord<Codec>; 3] = [
    ("zstd", "Zstandard", Codec::Zstd),
    ("lz4", "LZ4", Codec::Lz4),
    ("none", "Not at all", Codec::None),
];

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
        per: args.per,
        nutrients: &args.nutrients,
        intervals: &args.intervals,
        width: if args.float == "32" {
            FloatWidth::Single
        } else {
            FloatWidth::Double
        },
        codec: args.codec,
        threads: args.threads.map_or(cores, usize::from),
        restart: args.restart,
        part: args.part.as_deref(),
        foods: &pantry,
        kept: kept.as_deref(),
    };
    let shown = Shown::new();
    let done = calculate(&request, &|progress| shown.update(progress));
    shown.bar.finish_and_clear();
    Ok(summary(&done?))
}

/// The progress of a run on standard error: a bar on a terminal, else a line now and then, so that
/// a log shows that the run goes on.
struct Shown {
    bar: ProgressBar,
    /// When a line was written last, or the run began; `None` on a terminal.
    last_line: Option<Mutex<Instant>>,
}

impl Shown {
    fn new() -> Self {
        let bar = ProgressBar::new(0);
        if let Ok(style) = ProgressStyle::with_template("{msg} {bar:32} {percent} %, {eta} left") {
            bar.set_style(style);
        }
        bar.set_message("calculating");
        let is_seen = std::io::stderr().is_terminal();
        Self {
            bar,
            last_line: (!is_seen).then(|| Mutex::new(Instant::now())),
        }
    }

    fn update(&self, progress: Progress) {
        self.bar.set_length(progress.all_lines as u64);
        self.bar.set_position(progress.lines as u64);
        let Some(last_line) = &self.last_line else {
            return;
        };
        let mut last_line = last_line.lock().unwrap_or_else(PoisonError::into_inner);
        if last_line.elapsed() < BETWEEN_LINES {
            return;
        }
        *last_line = Instant::now();
        // Without standard error there is nowhere to report the failure.
        let _ = writeln!(std::io::stderr(), "{}", line_of(progress));
    }
}

/// The progress of a run as a line of a log.
fn line_of(progress: Progress) -> String {
    format!(
        "note: {} of {} lines, {} of {} parts are done",
        thousands(progress.lines as u64),
        thousands(progress.all_lines as u64),
        progress.parts,
        progress.all_parts
    )
}

/// The folder for what can be calculated again (XDG Base Directory Specification, version 0.8).
fn cache_folder() -> Option<PathBuf> {
    let folder = |name| std::env::var_os(name).map(PathBuf::from);
    let absolute = folder("XDG_CACHE_HOME").filter(|folder| folder.is_absolute());
    let base = absolute.or_else(|| folder("HOME").map(|home| home.join(".cache")));
    base.map(|base| base.join("trayful"))
}

/// Exports the calculation.
fn exported(args: &BulkArgs, folder: &Path, session: &Session) -> Result<Answer, Failure> {
    let pantry = session.pantry(None)?;
    let done = export(&ExportRequest {
        output: folder,
        input: args.for_input.as_deref(),
        per: args.per,
        nutrients: &args.nutrients,
        foods: &pantry,
    })?;
    let mut page = Page::new(session.look);
    page.paragraph(&format!(
        "{} foods and methods and the statements are in {}.",
        thousands(done.rows as u64),
        folder.display()
    ));
    if !done.filled.is_empty() {
        page.paragraph("The statements take these columns as NULL, which the tables lack:");
        page.list(by_table(&done.filled));
    }
    if !done.must_be_there.is_empty() {
        page.paragraph(
            "The statements read these columns too. Add those that your tables lack, as NULL, or name the folder of the tables with --for:",
        );
        page.list(by_table(&done.must_be_there));
    }
    Ok(Answer::text(page.finish()))
}

/// For each table the names and types of columns.
fn by_table(columns: &[OptionalColumn]) -> Vec<String> {
    let columns = columns.iter().map(|column| {
        let declared = format!("{} {}", column.name, column.sql_type);
        (column.table, declared)
    });
    let tables = grouped(columns).into_iter();
    tables
        .map(|(table, columns)| format!("{table}: {}", joined(columns, ", ")))
        .collect()
}

/// The counts of a run, for standard error: the figures are in the tables.
fn summary(done: &Done) -> Answer {
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
    let again = (!done.made_anew.is_empty()).then(|| {
        format!(
            "done anew, since the files were not as they were written: {}",
            joined(&done.made_anew, ", ")
        )
    });
    let not_kept = done.not_kept.as_ref();
    let not_kept =
        not_kept.map(|why| format!("the prepared foods are not kept for the next run: {why}"));
    Answer {
        found: done.rejected == 0,
        understood: [words].into_iter().chain(again).chain(not_kept).collect(),
        ..Answer::text(String::new())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_log_shows_the_progress_of_a_run() {
        let progress = Progress {
            lines: 250_000,
            all_lines: 1_000_000,
            parts: 2,
            all_parts: 8,
        };
        let line = line_of(progress);
        assert_eq!(
            line,
            "note: 250,000 of 1,000,000 lines, 2 of 8 parts are done"
        );
    }

    #[test]
    fn columns_are_listed_by_their_tables() {
        let column = |table, name, sql_type| OptionalColumn {
            table,
            name,
            sql_type,
        };
        let lines = by_table(&[
            column("lines", "line", "INT"),
            column("lines", "basis", "STRING"),
            column("recipes", "reheat", "BOOLEAN"),
        ]);
        assert_eq!(
            lines,
            ["lines: line INT, basis STRING", "recipes: reheat BOOLEAN"]
        );
    }

    #[test]
    fn a_part_that_is_done_anew_is_named() {
        let done = Done {
            recipes: 2,
            lines: 4,
            rejected: 0,
            faults: Vec::new(),
            passed_over: 1,
            parts: 2,
            made_anew: vec!["p2".to_owned()],
            not_kept: None,
        };
        let notes = summary(&done).understood;
        assert_eq!(
            notes,
            [
                "2 recipes: 2 calculated, 0 rejected; 1 of 2 parts were done before",
                "done anew, since the files were not as they were written: p2"
            ]
        );
    }
}
