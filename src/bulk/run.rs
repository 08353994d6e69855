//! A run: part after part on all cores, each put in its place when it is whole.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError, mpsc};
use std::thread;

use data_import::parquet::{Codec, Layout};
use data_import::{Nutrient, hex, nutrients, reference};
use sha2::{Digest, Sha256};

use super::BulkError;
use super::fault::Fault;
use super::food_preparer::FoodPreparer;
use super::input::Input;
use super::job::Job;
use super::journal::{Journal, Made, sources};
use super::kept_foods::{KeptFile, KeptFoods};
use super::nutrient_columns::{NutrientColumns, places_of};
use super::outcome::Places;
use super::output::{TABLES, discard, make_folder, refuse_strangers};
use super::part::{Part, parts_of};
use super::prepared_foods::PreparedFoods;
use super::results::Per;
use crate::food::Pantry;
use crate::problem::Problem;

/// The source of the figures, as the metadata of their columns name it.
const SOURCE: &str = "published food composition, prepared by trayful";

/// How the figures of nutrients are laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FloatWidth {
    /// 64 bits.
    Double,
    /// 32 bits, about seven digits.
    Single,
}

impl FloatWidth {
    pub(super) fn layout(self) -> Layout {
        match self {
            Self::Double => Layout::Double,
            Self::Single => Layout::Float,
        }
    }
}

/// What is to be calculated, and how it is written.
#[derive(Debug, Clone)]
pub struct BulkRequest<'a> {
    /// The folder with the tables of lines and recipes.
    pub input: &'a Path,
    /// The folder for the tables of results and rejects.
    pub output: &'a Path,
    /// The amount that the figures of nutrients are for.
    pub per: Per,
    /// Their tagnames; all of them where none is named.
    pub nutrients: &'a [String],
    /// The tagnames of those whose interval in a serving is written too; none where none is named.
    pub intervals: &'a [String],
    /// How their figures are laid out.
    pub width: FloatWidth,
    /// How the tables are compressed.
    pub codec: Codec,
    /// How many parts are calculated at once.
    pub threads: usize,
    /// Whether parts that are done are calculated again.
    pub restart: bool,
    /// The only part to be done, by the name of its file.
    pub part: Option<&'a str>,
    /// The foods in use.
    pub foods: &'a Pantry,
    /// The folder where the prepared foods are kept for the next run; `None` for nowhere.
    pub kept: Option<&'a Path>,
}

/// How far a run is, of what was left to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// Lines that were gone through.
    pub lines: usize,
    /// Lines of all parts that were left to do.
    pub all_lines: usize,
    /// Parts that are done.
    pub parts: usize,
    /// Parts that were left to do.
    pub all_parts: usize,
}

/// What a run came to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Done {
    /// Recipes, those of parts that were done before among them.
    pub recipes: u64,
    /// Lines of them.
    pub lines: u64,
    /// Recipes that could not be calculated.
    pub rejected: u64,
    /// For each fault how many recipes have it, the most frequent first.
    pub faults: Vec<(Fault, u64)>,
    /// Parts that were done before.
    pub passed_over: usize,
    /// Parts in all.
    pub parts: usize,
    /// Parts that had been done, but whose files were not as they were written: they were
    /// calculated again.
    pub made_anew: Vec<String>,
    /// Why the prepared foods could not be kept for the next run, which will take longer.
    pub not_kept: Option<String>,
}

/// Calculates all recipes of the input. `progress` receives how far it is.
///
/// Errors: the tables do not read, are not in order or have unknown columns; the output cannot be
/// written, or is of another run.
pub fn run(
    request: &BulkRequest<'_>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<Done, BulkError> {
    run_parts(request, progress).map_err(BulkError::of_a_run)
}

fn run_parts(
    request: &BulkRequest<'_>,
    progress: &(dyn Fn(Progress) + Sync),
) -> Result<Done, BulkError> {
    let nutrients = nutrients()?;
    let wanted = places_of(request.nutrients, nutrients)?;
    let unsure = unsure_nutrients(request, nutrients)?;
    let made = made(request, &wanted, nutrients, &unsure);
    let kept_file = request.kept.filter(|_| unsure.is_empty());
    let kept_file = kept_file.and_then(|kept| KeptFile::of(kept, request.foods, &made.foods));
    let (input, kept_foods) = opened(request, kept_file.as_ref())?;
    let parts = named_part(parts_of(&input)?, request.part)?;
    make_folder(request.output)?;
    let journal = opened_journal(request, &made, &parts)?;
    let left = PartsLeft::of(request, &input, &parts, &journal);
    let foods = match kept_foods {
        Some(kept) => PreparedFoods::Kept(kept),
        None => {
            let preparer = FoodPreparer::new(request.foods, !unsure.is_empty())?;
            PreparedFoods::Fresh(Box::new(preparer))
        }
    };
    let columns = NutrientColumns::new(request.per, &wanted, nutrients, request.width, SOURCE)?
        .with_intervals(&unsure, request.width);
    let job = Job {
        request,
        foods: Mutex::new(foods),
        layouts: Mutex::new(Vec::new()),
        columns,
        unsure,
        places: Places::new(nutrients)?,
        made,
        journal: Mutex::new(journal),
        done: AtomicUsize::new(0),
        lines: left.to_do.iter().map(|part| part.line_rows()).sum(),
        parts_done: AtomicUsize::new(0),
        parts: left.to_do.len(),
        input: &input,
        progress,
    };
    calculate_or_discard(&job, &left.to_do)?;
    let foods = job.foods.into_inner();
    let not_kept = match (foods.unwrap_or_else(PoisonError::into_inner), kept_file) {
        (PreparedFoods::Fresh(mut preparer), Some(file)) if !left.to_do.is_empty() => {
            file.keep(request.foods, &mut preparer).err()
        }
        _ => None,
    };
    let journal = job
        .journal
        .into_inner()
        .unwrap_or_else(PoisonError::into_inner);
    if request.part.is_none() {
        journal.finish()?;
    }
    Ok(Done {
        made_anew: left.made_anew,
        not_kept: not_kept.map(|error| error.to_string()),
        ..summary(&journal, &input, &parts, left.passed_over)
    })
}

/// The nutrients whose intervals are asked for; none where none is named.
fn unsure_nutrients(
    request: &BulkRequest<'_>,
    nutrients: &'static [Nutrient],
) -> Result<Vec<&'static Nutrient>, Problem> {
    if request.intervals.is_empty() {
        return Ok(Vec::new());
    }
    let places = places_of(request.intervals, nutrients)?;
    Ok(places.iter().filter_map(|at| nutrients.get(*at)).collect())
}

/// The input, and the foods that an earlier run kept.
///
/// A thread opens the input while this one reads the foods: they are many small pieces, and the
/// system gives memory to other threads than the first page by page.
fn opened(
    request: &BulkRequest<'_>,
    kept_file: Option<&KeptFile>,
) -> Result<(Input, Option<KeptFoods>), BulkError> {
    let (input, kept_foods) = thread::scope(|scope| {
        let input = scope.spawn(|| Input::open(request.input));
        let kept_foods = kept_file.and_then(KeptFile::open);
        (input.join(), kept_foods)
    });
    Ok((input.map_err(|_| damaged())??, kept_foods))
}

/// The journal of the output, without parts that the input no longer has. A run of one part leaves
/// the others alone.
fn opened_journal(
    request: &BulkRequest<'_>,
    made: &Made,
    parts: &[Part],
) -> Result<Journal, BulkError> {
    let mut journal = Journal::open(request.output, made, request.restart)?;
    if request.part.is_none() {
        refuse_strangers(request.output, parts)?;
        journal.retain(parts);
    }
    Ok(journal)
}

/// The parts that a run still has to calculate.
struct PartsLeft<'p> {
    to_do: Vec<&'p Part>,
    /// Parts that were done before.
    passed_over: usize,
    /// Names of parts to do that were done before, but whose files are not as they were written.
    made_anew: Vec<String>,
}

impl<'p> PartsLeft<'p> {
    fn of(request: &BulkRequest<'_>, input: &Input, parts: &'p [Part], journal: &Journal) -> Self {
        let noted = |part: &Part| journal.done(&part.name, &sources(input, part)).is_some();
        let is_done = |part: &&Part| noted(part) && journal.is_whole(request, part);
        let (done, to_do): (Vec<&Part>, Vec<&Part>) = parts.iter().partition(is_done);
        let made_anew = to_do.iter().filter(|part| noted(part));
        Self {
            passed_over: done.len(),
            made_anew: made_anew.map(|part| part.name.clone()).collect(),
            to_do,
        }
    }
}

/// Calculates parts into their folders; after an error nothing unfinished stays.
fn calculate_or_discard(job: &Job<'_>, parts: &[&Part]) -> Result<(), BulkError> {
    for table in TABLES {
        make_folder(&job.request.output.join(table))?;
    }
    let calculated = calculate_all(job, parts);
    if calculated.is_err() {
        for part in parts {
            discard(job.request, part);
        }
    }
    calculated
}

/// Calculates parts on all cores. A thread of its own waits until they are on the disk.
fn calculate_all(job: &Job<'_>, parts: &[&Part]) -> Result<(), BulkError> {
    let (sender, calculated) = mpsc::sync_channel(job.request.threads);
    let unsettled = || BulkError::from(Problem::new("a part could not be put in its place"));
    thread::scope(|scope| {
        let settling =
            scope.spawn(move || calculated.into_iter().try_for_each(|part| job.settle(part)));
        let done = on_all_cores(job.request.threads, parts, &|part| {
            let calculated = job.calculate(part)?;
            // The receiver is gone after an error, which is reported instead of this one.
            sender.send(calculated).map_err(|_| unsettled())
        });
        drop(sender);
        let settled = settling.join().map_err(|_| unsettled()).flatten();
        settled.and(done)
    })
}

/// Works through parts on a number of threads; stops at the first error.
fn on_all_cores<'p>(
    threads: usize,
    parts: &[&'p Part],
    work: &(dyn Fn(&'p Part) -> Result<(), BulkError> + Sync),
) -> Result<(), BulkError> {
    let (next, stopped) = (AtomicUsize::new(0), AtomicBool::new(false));
    let worker = || {
        while !stopped.load(Ordering::Relaxed) {
            let Some(part) = parts.get(next.fetch_add(1, Ordering::Relaxed)) else {
                return Ok(());
            };
            if let Err(error) = work(part) {
                stopped.store(true, Ordering::Relaxed);
                return Err(error);
            }
        }
        Ok(())
    };
    thread::scope(|scope| {
        let workers = (0..threads.clamp(1, parts.len().max(1))).map(|_| scope.spawn(worker));
        let workers: Vec<_> = workers.collect();
        let ended = workers
            .into_iter()
            .map(|worker| worker.join().map_err(|_| damaged()).flatten());
        ended.collect::<Vec<_>>().into_iter().collect()
    })
}

/// Why a thread ended without an answer: so the decoder of Parquet gives up on bytes that are not as they ought to be.
fn damaged() -> BulkError {
    Problem::new("a file of the input is damaged: it could not be decoded").into()
}

/// The one part that is named, or all.
fn named_part(parts: Vec<Part>, name: Option<&str>) -> Result<Vec<Part>, Problem> {
    let Some(name) = name else { return Ok(parts) };
    let stem = name.trim_end_matches(".parquet");
    let names: Vec<String> = parts.iter().map(|part| part.name.clone()).collect();
    let found = parts.into_iter().find(|part| part.name == stem);
    found.map(|part| vec![part]).ok_or_else(|| {
        Problem::new(format!("there is no part “{name}”"))
            .hint(format!("there are {}", names.join(", ")))
    })
}

/// What besides the input makes the output what it is.
fn made(
    request: &BulkRequest<'_>,
    wanted: &[usize],
    nutrients: &[Nutrient],
    unsure: &[&Nutrient],
) -> Made {
    let tables = [
        reference::RETENTION,
        reference::RETENTION_CHOICE,
        reference::FOOD_CLASSES,
        reference::YIELDS,
        reference::CLASS_YIELDS,
        reference::SOLIDS_KEPT,
        reference::DRAINED_CANS,
    ];
    let mut digest = Sha256::new();
    let stamp = request.foods.stamp();
    for text in [stamp.as_str()].into_iter().chain(tables) {
        digest.update(text.len().to_le_bytes());
        digest.update(text);
    }
    let tags = wanted.iter().filter_map(|at| nutrients.get(*at));
    let tags: Vec<_> = tags.map(|nutrient| nutrient.tag.as_str()).collect();
    let named = if tags.len() == nutrients.len() {
        "all nutrients".to_owned()
    } else {
        tags.join(",")
    };
    let width = match request.width {
        FloatWidth::Double => "float 64",
        FloatWidth::Single => "float 32",
    };
    let codec = match request.codec {
        Codec::Zstd => "zstd",
        Codec::Lz4 => "lz4",
        Codec::None => "not compressed",
    };
    let per = request.per.endings().join(" and ");
    let unsure: Vec<_> = unsure.iter().map(|one| one.tag.as_str()).collect();
    let intervals = match unsure.join(",") {
        none if none.is_empty() => none,
        tags => format!("; intervals of {tags}"),
    };
    Made {
        version: env!("CARGO_PKG_VERSION").to_owned(),
        foods: hex(&digest.finalize()),
        options: format!("per {per}; {named}; {width}; {codec}{intervals}"),
    }
}

/// Adds up the entries of the parts.
fn summary(journal: &Journal, input: &Input, parts: &[Part], passed_over: usize) -> Done {
    let mut done = Done {
        passed_over,
        parts: parts.len(),
        ..Done::default()
    };
    let mut counts: BTreeMap<&str, u64> = BTreeMap::new();
    for part in parts {
        let Some(entry) = journal.done(&part.name, &sources(input, part)) else {
            continue;
        };
        done.recipes += entry.recipes;
        done.lines += entry.lines;
        done.rejected += entry.rejected;
        for (code, count) in &entry.faults {
            *counts.entry(code).or_default() += count;
        }
    }
    let counted = |fault: Fault| Some((fault, *counts.get(fault.code())?));
    done.faults = Fault::all().filter_map(counted).collect();
    done.faults
        .sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    done
}
