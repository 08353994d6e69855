//! `trayful data`: which food data is in use; import another.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use data_import::{ImportRequest, Progress, SourceInfo, Stage, formats, import, remove, verify};
use indicatif::{ProgressBar, ProgressStyle};
use serde::Serialize;
use trayful::day::{DayReader, DayUse};
use trayful::food::FoodData;
use trayful::problem::Problem;
use trayful::report::Page;
use trayful::words::{counted, grouped, joined};

use super::failure::Failure;
use super::{Answer, Session};

/// The unit of --memory.
const MEBIBYTE: u64 = 1 << 20;

#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct DataArgs {
    #[command(subcommand)]
    action: Option<Action>,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
    /// Drop one source from the folder named by --cache, else from that of the book, such as branded
    #[arg(long, value_name = "SOURCE", conflicts_with_all = ["json", "verify"])]
    remove: Option<String>,
    /// Read the folder named by --cache, else that of the book, through and compare it with its digests
    #[arg(long, conflicts_with = "json")]
    verify: bool,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// Read a published dataset into the folder named by --cache, else into that of the book,
    /// beside those that are there
    Import(DataImportArgs),
}

#[derive(Debug, Args)]
struct DataImportArgs {
    /// Folder or zip with the dataset as published: USDA SR28, or FoodData Central in CSV
    path: PathBuf,
    /// The date to write into the cache; today if left out
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    /// The layout, where it is not to be recognised from the files
    #[arg(long, value_name = "FORMAT", value_parser = formats())]
    format: Option<String>,
    /// Memory to stay below, in MiB
    #[arg(long, value_name = "MIB", default_value_t = 1024,
          value_parser = clap::value_parser!(u32).range(64..))]
    memory: u32,
}

/// The sources in use, with the keys of the JSON.
#[derive(Debug, Serialize)]
struct InUse<'a> {
    schema: u32,
    cache: Option<String>,
    imported: &'a str,
    sources: &'a [SourceInfo],
    built_in: Vec<&'a str>,
}

/// Runs the command.
pub(super) fn run(args: &DataArgs, session: &Session) -> Result<Answer, Failure> {
    if let Some(Action::Import(import)) = &args.action {
        return run_import(import, session);
    }
    if let Some(source) = &args.remove {
        let (data, cache) = to_change(session)?;
        remove(&cache, source)?;
        data.write_index()?;
        return in_use(&data, false, session);
    }
    if args.verify {
        return check(session);
    }
    in_use(&session.food_data(None), args.json, session)
}

/// The food data that is changed or checked, and its folder.
fn to_change(session: &Session) -> Result<(FoodData, PathBuf), Failure> {
    let data = session.food_data_to_change();
    let found = data.and_then(|data| Some((data.clone(), data.folder()?.to_path_buf())));
    found.ok_or_else(|| {
        Problem::new("no folder is named, and this is not a book")
            .hint("name a folder with --cache DIR, or in TRAYFUL_CACHE; or go to a folder with a book.toml")
            .into()
    })
}

fn check(session: &Session) -> Result<Answer, Failure> {
    let verified = verify(&to_change(session)?.1)?;
    Ok(session.paragraph(&format!(
        "Sound: {} files, {} bytes, each as it was written; {} foods and {} measures were read.",
        verified.files, verified.bytes, verified.foods, verified.measures
    )))
}

fn run_import(args: &DataImportArgs, session: &Session) -> Result<Answer, Failure> {
    let (data, cache) = to_change(session)?;
    let reader = DayReader::new(session.today(), DayUse::Record);
    let on = session.day_or("--on", args.on.as_deref(), &reader)?;
    let on = on.unwrap_or(reader.today).to_string();
    // On standard error; it draws itself only on a terminal.
    let bar = ProgressBar::new(0);
    let request = ImportRequest {
        format: args.format.as_deref(),
        memory: u64::from(args.memory) * MEBIBYTE,
        ..ImportRequest::new(&args.path, &cache, &on)
    };
    let imported = import(&request, &mut |progress| show(&bar, progress));
    let imported = imported.map_err(Failure::from).and_then(|_| {
        bar.set_style(ProgressStyle::default_spinner());
        bar.set_message("writing the search index");
        bar.tick();
        Ok(data.write_index()?)
    });
    bar.finish_and_clear();
    imported?;
    in_use(&data, false, session)
}

fn show(bar: &ProgressBar, progress: Progress<'_>) {
    let (message, counted) = match progress.stage {
        Stage::Reading => (
            format!("reading {}", progress.file),
            "{bytes} of {total_bytes}",
        ),
        Stage::Writing => (format!("writing {}", progress.file), "{percent} %"),
    };
    if bar.message() != message {
        let template = format!("{{msg:27}} {{bar:32}} {counted}, {{eta}} left");
        if let Ok(style) = ProgressStyle::with_template(&template) {
            bar.set_style(style);
        }
        // The rest is estimated from this file alone.
        bar.reset();
        bar.set_length(progress.total);
        bar.set_message(message);
    }
    bar.set_length(progress.total);
    bar.set_position(progress.done);
}

fn in_use(data: &FoodData, json: bool, session: &Session) -> Result<Answer, Failure> {
    let table = data.table()?;
    let cache = data.folder().map(|folder| folder.display().to_string());
    if json {
        let sources = table.sources();
        let built_in = (0..sources.len()).filter(|at| table.is_builtin(*at));
        return Answer::json(&InUse {
            schema: 1,
            cache,
            imported: &table.manifest().imported,
            sources,
            built_in: built_in.map(|at| sources[at].id.as_str()).collect(),
        });
    }
    let mut page = Page::new(session.look);
    let place = cache.unwrap_or_else(|| "built in".into());
    page.heading(&format!("FOOD DATA IN USE: {place}"));
    let of_book = matches!(data, FoodData::OfBook(_));
    let rows = table.sources().iter().enumerate().map(|(at, source)| {
        let kept = match (of_book, table.is_builtin(at)) {
            (false, _) => "",
            (true, true) => "built in",
            (true, false) => "in the book",
        };
        source_row(source, kept)
    });
    page.rows(rows, &[2]);
    page.list(shared_warnings(table.sources()));
    page.line("");
    page.paragraph("Files, digests and counts: trayful data --json");
    Ok(Answer::text(page.finish()))
}

/// The cells of a source: its name in the cache, the dataset, the number of foods, the day of the
/// import, and where it is kept.
fn source_row(source: &SourceInfo, kept: &str) -> [String; 5] {
    [
        source.id.clone(),
        format!("{}, {}", source.name, source.release),
        counted(source.foods, "food"),
        format!("imported {}", source.imported),
        kept.to_string(),
    ]
}

/// The warnings about what was left out or taken from elsewhere; a warning of several sources is one line.
fn shared_warnings(sources: &[SourceInfo]) -> Vec<String> {
    let all = sources.iter().flat_map(|source| {
        let warnings = source.warnings.iter();
        warnings.map(move |warning| (warning, source.id.as_str()))
    });
    let line = |(warning, ids): (&String, Vec<&str>)| {
        if sources.len() == 1 {
            return warning.clone();
        }
        format!("{}: {warning}", joined(ids, ", "))
    };
    grouped(all).into_iter().map(line).collect()
}
