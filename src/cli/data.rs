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

use super::failure::Failure;
use super::{Answer, Session};

/// The unit of --memory.
const MEBIBYTE: u64 = 1 << 20;

/// Arguments of `trayful data`.
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
    /// Read a published dataset into the folder named by --cache, else into that of the book, beside those that are there
    Import(DataImportArgs),
}

/// Arguments of `trayful data import`.
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
        Problem::new("no folder is named, and this is no book")
            .hint("name a folder with --cache DIR, or in TRAYFUL_CACHE; or go to a folder with a book.toml")
            .into()
    })
}

fn check(session: &Session) -> Result<Answer, Failure> {
    let verified = verify(&to_change(session)?.1)?;
    Ok(Answer::text(format!(
        "Sound: {} files, {} bytes, each as it was written; {} foods and {} measures were read.\n",
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
    for (at, source) in table.sources().iter().enumerate() {
        if at > 0 {
            page.line("");
        }
        let mut rows = source_rows(source);
        if matches!(data, FoodData::OfBook(_)) {
            let kept = if table.is_builtin(at) {
                "built in"
            } else {
                "in the book"
            };
            rows.insert(1, vec!["kept".into(), kept.into()]);
        }
        page.rows(rows, &[]);
        page.list(source.warnings.iter().cloned());
    }
    page.line("");
    page.paragraph("Full digests and everything else: trayful data --json");
    Ok(Answer::text(page.finish()))
}

/// The facts about a source, a row each.
fn source_rows(source: &SourceInfo) -> Vec<Vec<String>> {
    let row = |label: &str, words: String| vec![label.to_string(), words];
    let mut rows = vec![
        row("name", format!("{} ({})", source.name, source.id)),
        row("release", source.release.clone()),
        row("read from", source.format.clone()),
        row("foods", source.foods.to_string()),
        row("nutrients", source.nutrients.to_string()),
        row("values", source.values.to_string()),
        row("measures", source.measures.to_string()),
        row("imported", source.imported.clone()),
    ];
    rows.extend(source.files.iter().map(|file| {
        let digest = file.sha256.get(..16).unwrap_or(&file.sha256);
        row(
            &file.name,
            format!("{} bytes, SHA-256 {digest}...", file.bytes),
        )
    }));
    rows
}
