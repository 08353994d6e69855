//! `trayful data`: which food data is in use; import another.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use data_import::{ImportRequest, Manifest, Progress, Stage, import};
use indicatif::{ProgressBar, ProgressStyle};
use jiff::civil::Date;
use serde::Serialize;
use trayful::problem::Problem;
use trayful::report::{Page, Sheet};

use super::failure::Failure;
use super::{Answer, Session};

/// Arguments of `trayful data`.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct DataArgs {
    #[command(subcommand)]
    action: Option<Action>,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// Read a published dataset (folder or zip) into the folder named by --cache
    Import {
        /// Folder or zip with the dataset as published: USDA SR28, or FoodData Central in CSV
        path: PathBuf,
        /// The date to write into the cache; today if left out
        #[arg(long, value_name = "YYYY-MM-DD")]
        on: Option<Date>,
    },
}

/// The sources in use, with the keys of the JSON.
#[derive(Debug, Serialize)]
struct InUse<'a> {
    schema: u32,
    cache: Option<String>,
    imported: &'a str,
    sources: &'a [data_import::SourceInfo],
}

/// Runs the command.
pub(super) fn run(args: &DataArgs, session: &Session) -> Result<Answer, Failure> {
    match &args.action {
        Some(Action::Import { path, on }) => run_import(path, *on, session),
        None => in_use(session.foods()?.manifest(), args.json, session),
    }
}

fn run_import(path: &Path, on: Option<Date>, session: &Session) -> Result<Answer, Failure> {
    let Some(cache) = &session.common.cache else {
        return Err(Problem::new("there is no folder to import into")
            .hint("name it with --cache DIR, or in TRAYFUL_CACHE")
            .into());
    };
    let today = || {
        jiff::tz::TimeZone::UTC
            .to_datetime(jiff::Timestamp::now())
            .date()
    };
    let imported = on.unwrap_or_else(today).to_string();
    let bar = progress_bar();
    let request = ImportRequest::new(path, cache, &imported);
    let imported = import(&request, &mut |progress| show(&bar, progress));
    bar.finish_and_clear();
    in_use(&imported?.manifest, false, session)
}

/// A bar on standard error; it draws itself only on a terminal.
fn progress_bar() -> ProgressBar {
    let style = ProgressStyle::with_template("{msg:24} {bar:40} {bytes} of {total_bytes}");
    let bar = ProgressBar::new(0);
    match style {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}

fn show(bar: &ProgressBar, progress: Progress<'_>) {
    let message = match progress.stage {
        Stage::Reading => format!("reading {}", progress.file),
        Stage::Writing => "writing the cache".to_string(),
    };
    if bar.message() != message {
        bar.set_message(message);
    }
    bar.set_length(progress.total);
    bar.set_position(progress.done);
}

fn in_use(manifest: &Manifest, json: bool, session: &Session) -> Result<Answer, Failure> {
    let cache = session
        .common
        .cache
        .as_ref()
        .map(|folder| folder.display().to_string());
    if json {
        let imported = manifest.imported.as_str();
        return Answer::json(&InUse {
            schema: 1,
            cache,
            imported,
            sources: &manifest.sources,
        });
    }
    let mut page = Page::new(session.look);
    let place = cache.unwrap_or_else(|| "built in".into());
    page.heading(&format!("FOOD DATA IN USE: {place}"));
    for source in &manifest.sources {
        let row = |label: &str, words: String| vec![label.to_string(), words];
        let mut rows = vec![
            row("name", source.name.clone()),
            row("release", source.release.clone()),
            row("read from", source.format.clone()),
            row("foods", source.foods.to_string()),
            row("nutrients", source.nutrients.to_string()),
            row("measures", source.measures.to_string()),
            row("imported", source.imported.clone()),
        ];
        rows.extend(source.files.iter().map(|file| {
            row(
                &file.name,
                format!("{} bytes, SHA-256 {}", file.bytes, file.sha256),
            )
        }));
        page.sheet(Sheet {
            rows,
            ..Sheet::default()
        });
    }
    Ok(Answer::text(page.finish()))
}
