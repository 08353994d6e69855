//! The status of an import on the page.

use crate::web::PageRequest;
use crate::web::imports::{Failed, ImportedDataset, Stage};

/// The least number of bytes that is shown: a tenth of a megabyte.
const LEAST_SHOWN: u64 = 100_000;

/// The part of a page about imports: the progress, the outcome of the last one, and the form for
/// another.
#[derive(Debug, Default)]
pub(in crate::web::rooms) struct ImportStatus {
    pub(in crate::web::rooms) bar: Option<Bar>,
    pub(in crate::web::rooms) came_in: Vec<ImportedDataset>,
    pub(in crate::web::rooms) dropped: String,
    pub(in crate::web::rooms) failed: Option<Failed>,
    /// The reason why no import can be started here; empty where one can.
    pub(in crate::web::rooms) closed: &'static str,
    /// The status for screen readers.
    pub(in crate::web::rooms) status: String,
    pub(in crate::web::rooms) token: String,
}

/// The progress bar.
#[derive(Debug, PartialEq)]
pub(in crate::web::rooms) struct Bar {
    /// The name of the file.
    pub(in crate::web::rooms) name: String,
    /// The current step.
    pub(in crate::web::rooms) doing: String,
    /// In percent; `None` where the total is not known.
    pub(in crate::web::rooms) percent: Option<u64>,
    /// Whether the browser is still needed.
    pub(in crate::web::rooms) stay: bool,
    /// The amount done and the total.
    pub(in crate::web::rooms) amount: String,
}

impl ImportStatus {
    /// The status for its own page.
    pub(in crate::web::rooms) fn of(request: &PageRequest<'_>) -> Self {
        let last = request.state.imports.last();
        let last = last.filter(|_| !request.place.demo);
        let mut part = Self {
            closed: closed(request),
            token: request.state.token.text().to_string(),
            ..Self::default()
        };
        let Some(last) = last else {
            return part;
        };
        part.status = status_words(&last.stage);
        match last.stage {
            Stage::Done(came_in) => part.came_in = came_in,
            Stage::Dropped(name) => part.dropped = name,
            Stage::Failed(failed) => part.failed = Some(failed),
            stage => part.bar = Some(bar(last.name, &stage)),
        }
        part
    }

    /// The status for another page, which does not repeat the outcome of the last import.
    pub(in crate::web::rooms) fn to_begin(request: &PageRequest<'_>) -> Self {
        let part = Self::of(request);
        Self {
            came_in: Vec::new(),
            dropped: String::new(),
            failed: None,
            status: String::new(),
            ..part
        }
    }
}

/// The reason why no import can be started here; empty where one can.
fn closed(request: &PageRequest<'_>) -> &'static str {
    if request.place.demo {
        "This is an invented household, and what is done here is thrown away. Leave the demo and start a book; a dataset can then be read in here."
    } else if !request.address.is_local {
        "A dataset is read in on the computer itself on which this page was started."
    } else {
        ""
    }
}

fn bar(name: String, stage: &Stage) -> Bar {
    let (done, total) = match stage {
        Stage::Receiving(done, total)
        | Stage::Reading(_, done, total)
        | Stage::Writing(done, total) => (*done, *total),
        _ => (0, 0),
    };
    let amount = match stage {
        Stage::Writing(..) | Stage::Indexing => String::new(),
        _ if total >= LEAST_SHOWN => format!("{} of {} MB", megabytes(done), megabytes(total)),
        _ if done >= LEAST_SHOWN => format!("{} MB", megabytes(done)),
        _ => String::new(),
    };
    Bar {
        name,
        doing: doing(stage),
        percent: percent(done, total),
        stay: matches!(stage, Stage::Receiving(..)),
        amount,
    }
}

fn doing(stage: &Stage) -> String {
    match stage {
        Stage::Receiving(..) => "Receiving the file".into(),
        Stage::Reading(file, ..) => format!("Reading {file}"),
        Stage::Writing(..) => "Writing the foods".into(),
        _ => "Writing the search index".into(),
    }
}

fn percent(done: u64, total: u64) -> Option<u64> {
    (total > 0).then(|| (done.saturating_mul(100) / total).min(100))
}

/// Megabytes with one decimal.
fn megabytes(bytes: u64) -> String {
    format!("{:.1}", bytes as f64 / 1e6)
}

/// A sentence for those who do not see the bar.
fn status_words(stage: &Stage) -> String {
    match stage {
        Stage::Done(all) => {
            let names = all.iter().map(|dataset| dataset.name.as_str());
            format!("Read in: {}.", names.collect::<Vec<_>>().join(", "))
        }
        Stage::Dropped(name) => format!("Dropped: {name}."),
        Stage::Failed(failed) => format!("That did not work. {}", failed.words),
        stage => {
            let bar = bar(String::new(), stage);
            let percent = bar.percent.map(|percent| format!(", {percent} percent"));
            format!("{}{}.", bar.doing, percent.unwrap_or_default())
        }
    }
}
