//! A run: part after part on all cores, each put in its place when it is whole.

use std::collections::BTreeMap;
use std::fs;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use data_import::parquet::{Codec, Layout};
use data_import::{Nutrient, NutrientId, nutrients, reference};
use sha2::{Digest, Sha256};

use super::BulkError;
use super::fault::Fault;
use super::id::RecipeId;
use super::input::Input;
use super::intervals::{Ends, UnsureLine, UnsureRecipe};
use super::journal::{Journal, Made, PartEntry, sources};
use super::lines::{LineChunk, LineStream};
use super::outcome::{BulkRow, Places, outcome};
use super::part::{Part, check_order, parts_of};
use super::prepared_foods::PreparedFoods;
use super::recipes::{Header, RecipeStream};
use super::rejects::{RejectedLine, Rejects};
use super::results::{NutrientColumns, Per, Results, place_of, places_of};
use super::sums::Sums;
use super::table_file::hex;
use crate::food::Pantry;
use crate::problem::Problem;

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
    /// What the nutrients are told for.
    pub per: Per,
    /// Their tagnames; all of them where none is named.
    pub nutrients: &'a [String],
    /// The tagnames of those whose interval in a serving is told too; none where none is named.
    pub intervals: &'a [String],
    /// How their figures are laid out.
    pub width: FloatWidth,
    /// How the tables are compressed.
    pub codec: Codec,
    /// How many parts are calculated at once.
    pub threads: usize,
    /// Whether what is done already is done anew.
    pub restart: bool,
    /// The only part to be done, by the name of its file.
    pub part: Option<&'a str>,
    /// The foods in use.
    pub foods: &'a Pantry,
}

/// What a run came to.
#[derive(Debug, Clone, PartialEq, Eq)]
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
}

/// What every part of a run needs.
struct Job<'a> {
    request: &'a BulkRequest<'a>,
    input: &'a Input,
    foods: Mutex<PreparedFoods<'a>>,
    columns: NutrientColumns,
    /// The nutrients whose intervals are written.
    unsure: Vec<&'static Nutrient>,
    places: Places,
    made: Made,
    journal: Mutex<Journal>,
    done: AtomicUsize,
    lines: usize,
    progress: &'a (dyn Fn(usize, usize) + Sync),
}

/// Calculates all recipes of the input. `progress` is told the lines that are done, and all there are.
///
/// Errors: the tables do not read, are not in order or have unknown columns; the output cannot be written, or is of another run.
pub fn run(
    request: &BulkRequest<'_>,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Result<Done, BulkError> {
    let nutrients = nutrients()?;
    let wanted = places_of(request.nutrients, nutrients)?;
    let unsure = match request.intervals {
        [] => Vec::new(),
        named => places_of(named, nutrients)?,
    };
    let unsure: Vec<&Nutrient> = unsure.iter().filter_map(|at| nutrients.get(*at)).collect();
    let input = Input::open(request.input)?;
    let parts = named_part(parts_of(&input)?, request.part)?;
    let made = made(request, &wanted, nutrients, &unsure);
    fs::create_dir_all(request.output)
        .map_err(|error| BulkError::io("make", request.output, error))?;
    let mut journal = Journal::open(request.output, &made, request.restart)?;
    if request.part.is_none() {
        refuse_strangers(request.output, &parts)?;
        journal.retain(&parts);
    }
    let is_done = |part: &&Part| {
        let known = journal.done(&part.name, &sources(&input, part)).is_some();
        known
            && ["results", "rejects"]
                .iter()
                .all(|table| place(request, table, part).is_file())
    };
    let (done, to_do): (Vec<&Part>, Vec<&Part>) = parts.iter().partition(is_done);
    let passed_over = done.len();
    let source = "published food composition, prepared by trayful";
    let job = Job {
        request,
        foods: Mutex::new(PreparedFoods::new(request.foods, !unsure.is_empty())?),
        columns: NutrientColumns::new(request.per, &wanted, nutrients, request.width, source)
            .with_intervals(&unsure, request.width),
        unsure,
        places: density_places(nutrients)?,
        made,
        journal: Mutex::new(journal),
        done: AtomicUsize::new(0),
        lines: to_do.iter().map(|part| part.line_rows()).sum(),
        input: &input,
        progress,
    };
    on_all_cores(request.threads, &to_do, &|part| {
        check_order(job.input, part)
    })?;
    for table in ["results", "rejects"] {
        let folder = request.output.join(table);
        fs::create_dir_all(&folder).map_err(|error| BulkError::io("make", &folder, error))?;
    }
    on_all_cores(request.threads, &to_do, &|part| job.calculate(part))?;
    let journal = job
        .journal
        .into_inner()
        .unwrap_or_else(PoisonError::into_inner);
    if request.part.is_none() {
        journal.finish()?;
    }
    Ok(summary(&journal, &input, &parts, passed_over))
}

/// Works through parts on so many threads; stops at the first error.
fn on_all_cores(
    threads: usize,
    parts: &[&Part],
    work: &(dyn Fn(&Part) -> Result<(), BulkError> + Sync),
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
    std::thread::scope(|scope| {
        let workers = (0..threads.clamp(1, parts.len().max(1))).map(|_| scope.spawn(worker));
        let workers: Vec<_> = workers.collect();
        let ended = workers.into_iter().map(|worker| {
            // The decoder of Parquet gives up so on bytes that are not as they ought to be.
            let broken =
                |_| Problem::new("a file of the input is damaged: it could not be decoded");
            worker
                .join()
                .map_err(broken)
                .map_err(BulkError::from)
                .flatten()
        });
        ended.collect::<Vec<_>>().into_iter().collect()
    })
}

impl Job<'_> {
    /// Calculates a part, and puts its files in their places: rejects first, results last, then the line of the journal.
    fn calculate(&self, part: &Part) -> Result<(), BulkError> {
        let request = self.request;
        let unfinished = ["results", "rejects"].map(|table| unfinished(request, table, part));
        let [results_path, rejects_path] = &unfinished;
        let numbered = self.input.numbered;
        let mut results = Results::create(results_path, numbered, &self.columns, request.codec)?;
        let mut rejects = Rejects::create(rejects_path, numbered, request.codec)?;
        let lines = self.all_recipes(part, &mut results, &mut rejects)?;
        let faults = rejects.counts.iter().filter(|(_, count)| *count > 0);
        let faults = faults.map(|(fault, count)| (fault.code().to_owned(), *count));
        let entry = PartEntry {
            part: part.name.clone(),
            input: sources(self.input, part),
            made: self.made.clone(),
            recipes: results.rows,
            lines,
            rejected: rejects.recipes,
            faults: faults.collect::<BTreeMap<_, _>>(),
        };
        results.finish()?;
        rejects.finish()?;
        settle(rejects_path, &place(request, "rejects", part))?;
        settle(results_path, &place(request, "results", part))?;
        let mut journal = self.journal.lock().unwrap_or_else(PoisonError::into_inner);
        journal.note(entry)
    }

    /// Merges the lines and the recipes of a part, which are both in the order of their ids. Gives the count of lines.
    fn all_recipes(
        &self,
        part: &Part,
        results: &mut Results<'_>,
        rejects: &mut Rejects,
    ) -> Result<u64, BulkError> {
        let on_chunk = |lines: usize| {
            let done = self.done.fetch_add(lines, Ordering::Relaxed) + lines;
            (self.progress)(done, self.lines);
        };
        let mut lines = LineStream::new(self.input, part, &self.foods, &on_chunk);
        let mut recipes = RecipeStream::new(self.input, part, &self.foods);
        let mut count = 0;
        loop {
            let (of_lines, of_recipes) = (lines.peek()?, recipes.peek()?);
            let id = match (of_lines, of_recipes) {
                (Some(line), Some(recipe)) => line.min(recipe),
                (Some(id), None) | (None, Some(id)) => id,
                (None, None) => return Ok(count),
            };
            let header = recipes.take(&id)?;
            let mut unsure = Vec::new();
            let sums = self.sum(&id, header.as_ref(), &mut lines, rejects, &mut unsure)?;
            count += sums.lines.cast_unsigned();
            let row = outcome(header.as_ref(), &sums, self.places);
            let intervals = match header.as_ref().filter(|_| row.errors == 0) {
                Some(header) => self.intervals(header, &unsure, &row)?,
                None => Vec::new(),
            };
            rejects.push_recipe(&id, row.errors)?;
            results.push(&id, &row, &sums, &intervals)?;
        }
    }

    /// The intervals of a recipe without faults, where they are asked for.
    fn intervals(
        &self,
        header: &Header,
        lines: &[UnsureLine],
        row: &BulkRow,
    ) -> Result<Vec<Ends>, BulkError> {
        if self.unsure.is_empty() {
            return Ok(Vec::new());
        }
        let gathered = {
            let foods = self.foods.lock().unwrap_or_else(PoisonError::into_inner);
            UnsureRecipe::gather(&foods, header, lines)?
        };
        match gathered {
            Some(recipe) => recipe.intervals(header, row, &self.unsure),
            None => Ok(Vec::new()),
        }
    }

    /// Sums up the lines of a recipe and its water.
    fn sum(
        &self,
        id: &RecipeId,
        header: Option<&Header>,
        lines: &mut LineStream<'_, '_>,
        rejects: &mut Rejects,
        unsure: &mut Vec<UnsureLine>,
    ) -> Result<Sums, BulkError> {
        let share = header.map_or(0.0, Header::returned_share);
        let warm = header.is_none_or(|header| header.reheat);
        let mut sums = Sums::new(self.request.per);
        lines.take(id, &mut |chunk: &LineChunk<'_>, rows: Range<usize>| {
            sums.note_foods(rows.clone().map(|row| chunk.food(row)));
            for row in rows {
                let line = chunk.line(row);
                let faults = sums.add(&line, share, warm);
                if !self.unsure.is_empty() {
                    unsure.extend(UnsureLine::of(&line, chunk.words(row)));
                }
                if faults != 0 {
                    let (food, method) = chunk.words(row);
                    let line = RejectedLine {
                        line: chunk.number(row)?,
                        food,
                        method,
                        grams: line.grams,
                    };
                    rejects.push_line(id, faults, line)?;
                }
            }
            Ok(())
        })?;
        if let Some(header) = header {
            sums.add_water(header.water.as_deref(), header.liquid());
        }
        Ok(sums)
    }
}

/// Where a file of a part belongs.
fn place(request: &BulkRequest<'_>, table: &str, part: &Part) -> PathBuf {
    let name = format!("{}.parquet", part.name);
    request.output.join(table).join(name)
}

/// Where it is written; engines pass over names that begin with a point.
fn unfinished(request: &BulkRequest<'_>, table: &str, part: &Part) -> PathBuf {
    let name = format!(".{}.unfinished", part.name);
    request.output.join(table).join(name)
}

/// Puts a file that is on the disk in its place, so that it is there after a power cut too.
fn settle(from: &Path, to: &Path) -> Result<(), BulkError> {
    let moved = fs::rename(from, to).and_then(|()| match to.parent() {
        #[cfg(unix)]
        Some(folder) => fs::File::open(folder)?.sync_all(),
        _ => Ok(()),
    });
    moved.map_err(|error| BulkError::io("write", to, error))
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

/// Refuses a folder with results of something else, which would be taken for those of this run.
fn refuse_strangers(out: &Path, parts: &[Part]) -> Result<(), BulkError> {
    for table in ["results", "rejects"] {
        let folder = out.join(table);
        let Ok(entries) = fs::read_dir(&folder) else {
            continue;
        };
        for entry in entries {
            let path = entry
                .map_err(|error| BulkError::io("read", &folder, error))?
                .path();
            let stem = path.file_stem().unwrap_or_default().to_string_lossy();
            let is_ours = stem.starts_with('.') || parts.iter().any(|part| *part.name == *stem);
            if !is_ours {
                let what = format!("{} is of no part of this input", path.display());
                let hint = "write into another folder, or remove what is left of another run";
                return Err(Problem::new(what).hint(hint).into());
            }
        }
    }
    Ok(())
}

fn density_places(nutrients: &[Nutrient]) -> Result<Places, Problem> {
    let place = |id| {
        let lacking = || Problem::new(format!("nutrient {id} is not in the table of nutrients"));
        place_of(id, nutrients).ok_or_else(lacking)
    };
    Ok(Places {
        protein: place(NutrientId::PROTEIN)?,
        fat: place(NutrientId::FAT)?,
        carbohydrate: place(NutrientId::CARBOHYDRATE)?,
        fibre: place(NutrientId::FIBRE)?,
        ash: place(NutrientId::ASH)?,
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
    let told = if tags.len() == nutrients.len() {
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
        options: format!("per {per}; {told}; {width}; {codec}{intervals}"),
    }
}

/// Adds up the entries of the parts.
fn summary(journal: &Journal, input: &Input, parts: &[Part], passed_over: usize) -> Done {
    let mut done = Done {
        recipes: 0,
        lines: 0,
        rejected: 0,
        faults: Vec::new(),
        passed_over,
        parts: parts.len(),
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
