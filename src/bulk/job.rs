//! What one thread does with a part: reads it, sums it block by block, and writes its results and rejects.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use data_import::Nutrient;
use data_import::parquet::WrittenFile;

use super::BulkError;
use super::block::{BlockSums, RECIPES_OF_A_BLOCK, RecipeBlock};
use super::food_layout::FoodLayout;
use super::id::RecipeId;
use super::input::Input;
use super::intervals::{Ends, UnsureLine, UnsureRecipe};
use super::journal::{Journal, Made, PartEntry, SourceFile, sources};
use super::lines::{LineChunk, LineStream};
use super::nutrient_columns::NutrientColumns;
use super::outcome::{BulkRow, Places, outcome};
use super::output::{TABLES, place, settle, unfinished};
use super::part::Part;
use super::prepared_foods::PreparedFoods;
use super::recipes::{Header, RecipeStream};
use super::rejects::{RejectedLine, Rejects};
use super::results::Results;
use super::run::{BulkRequest, Progress};
use super::sums::Sums;

/// What every part of a run needs.
pub(super) struct Job<'a> {
    pub(super) request: &'a BulkRequest<'a>,
    pub(super) input: &'a Input,
    pub(super) foods: Mutex<PreparedFoods<'a>>,
    /// The foods that threads have met, for those that are between two parts.
    pub(super) layouts: Mutex<Vec<FoodLayout>>,
    pub(super) columns: NutrientColumns,
    /// The nutrients whose intervals are written.
    pub(super) unsure: Vec<&'static Nutrient>,
    pub(super) places: Places,
    pub(super) made: Made,
    pub(super) journal: Mutex<Journal>,
    /// Lines that were gone through, of `lines`.
    pub(super) done: AtomicUsize,
    pub(super) lines: usize,
    /// Parts that are in their places, of `parts`.
    pub(super) parts_done: AtomicUsize,
    pub(super) parts: usize,
    pub(super) progress: &'a (dyn Fn(Progress) + Sync),
}

/// A recipe whose nutrients are still to be summed.
struct PendingRecipe {
    id: RecipeId,
    row: BulkRow,
    /// Its liquid and its lines, where intervals are asked for.
    unsure: Option<Box<(Header, Vec<UnsureLine>)>>,
}

/// A part whose files are written, but not in their places yet.
#[derive(Debug)]
pub(super) struct CalculatedPart<'a> {
    part: &'a Part,
    results: WrittenFile,
    rejects: WrittenFile,
    entry: PartEntry,
}

impl Job<'_> {
    /// Puts the files of a part in their places once they are on the disk: rejects first, results
    /// last, then the line of the journal.
    pub(super) fn settle(&self, done: CalculatedPart<'_>) -> Result<(), BulkError> {
        let mut entry = done.entry;
        for (table, file) in TABLES.into_iter().zip([&done.rejects, &done.results]) {
            file.sync()?;
            let to = place(self.request, table, done.part);
            settle(file.path(), &to)?;
            entry
                .output
                .extend(SourceFile::written(table, done.part, &to));
        }
        let mut journal = self.journal.lock().unwrap_or_else(PoisonError::into_inner);
        journal.note(entry)?;
        let parts = self.parts_done.fetch_add(1, Ordering::Relaxed) + 1;
        self.report(self.done.load(Ordering::Relaxed), parts);
        Ok(())
    }

    /// Reports how far the run is.
    fn report(&self, lines: usize, parts: usize) {
        (self.progress)(Progress {
            lines,
            all_lines: self.lines,
            parts,
            all_parts: self.parts,
        });
    }

    /// Calculates a part, and writes its files.
    pub(super) fn calculate<'p>(&self, part: &'p Part) -> Result<CalculatedPart<'p>, BulkError> {
        let request = self.request;
        let unfinished = ["results", "rejects"].map(|table| unfinished(request, table, part));
        let [results_path, rejects_path] = &unfinished;
        let numbered = self.input.numbered;
        let rows = part.recipes.iter().map(|piece| piece.rows).sum();
        let mut results =
            Results::create(results_path, numbered, &self.columns, request.codec, rows)?;
        let mut rejects = Rejects::create(rejects_path, numbered, request.codec)?;
        let lines = self.all_recipes(part, &mut results, &mut rejects)?;
        let faults = rejects.counts.iter().filter(|(_, count)| *count > 0);
        let faults = faults.map(|(fault, count)| (fault.code().to_owned(), *count));
        let entry = PartEntry {
            part: part.name.clone(),
            input: sources(self.input, part),
            output: Vec::new(),
            made: self.made.clone(),
            recipes: results.rows,
            lines,
            rejected: rejects.recipes,
            faults: faults.collect::<BTreeMap<_, _>>(),
        };
        Ok(CalculatedPart {
            part,
            results: results.finish()?,
            rejects: rejects.finish()?,
            entry,
        })
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
            self.report(done, self.parts_done.load(Ordering::Relaxed));
        };
        let layout = self.layouts().pop().unwrap_or_default();
        let mut lines = LineStream::new(self.input, part, &self.foods, layout, &on_chunk)?;
        let mut recipes = RecipeStream::new(self.input, part, &self.foods)?;
        let mut block = RecipeBlock::default();
        let rows: usize = part.recipes.iter().map(|piece| piece.rows).sum();
        let mut waiting = Vec::with_capacity(rows.min(RECIPES_OF_A_BLOCK));
        let mut count = 0;
        loop {
            let id = match (lines.next(), recipes.next()) {
                (Some(line), Some(recipe)) => line.min(recipe).clone(),
                (Some(id), None) | (None, Some(id)) => id.clone(),
                (None, None) => break,
            };
            let header = recipes.take(&id)?;
            let mut unsure = Vec::new();
            let sums = self.sum(
                &id,
                header.as_ref(),
                &mut lines,
                rejects,
                &mut block,
                &mut unsure,
            )?;
            count += sums.lines.cast_unsigned();
            let row = outcome(header.as_ref(), &sums);
            rejects.push_recipe(&id, row.errors)?;
            let header = header.filter(|_| row.errors == 0 && !self.unsure.is_empty());
            waiting.push(PendingRecipe {
                id,
                row,
                unsure: header.map(|header| Box::new((header, unsure))),
            });
            if block.is_full() {
                self.finish_block(&mut waiting, &mut block, lines.layout(), results)?;
            }
        }
        self.finish_block(&mut waiting, &mut block, lines.layout(), results)?;
        self.layouts().push(lines.into_layout());
        Ok(count)
    }

    fn layouts(&self) -> MutexGuard<'_, Vec<FoodLayout>> {
        self.layouts.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Sums the nutrients of the recipes of a block, and writes them.
    fn finish_block(
        &self,
        waiting: &mut Vec<PendingRecipe>,
        block: &mut RecipeBlock,
        layout: &FoodLayout,
        results: &mut Results<'_>,
    ) -> Result<(), BulkError> {
        let mut sums = BlockSums::new(block, layout);
        let served = self.request.per.is_served();
        sums.keep(&self.places.0, served);
        for (recipe, one) in waiting.iter_mut().enumerate() {
            if one.row.errors == 0 {
                let amount = |nutrient| sums.get(recipe, nutrient, served);
                one.row.fill_cubes(self.places, amount);
            }
            let intervals = match one.unsure.as_deref() {
                Some((header, lines)) => self.intervals(header, lines, &one.row)?,
                None => Vec::new(),
            };
            results.push(&one.id, &one.row, &intervals);
        }
        waiting.clear();
        results.push_nutrients(&sums)?;
        block.clear();
        Ok(())
    }

    /// The intervals of a recipe without faults, where they are asked for.
    fn intervals(
        &self,
        header: &Header,
        lines: &[UnsureLine],
        row: &BulkRow,
    ) -> Result<Vec<Ends>, BulkError> {
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
        block: &mut RecipeBlock,
        unsure: &mut Vec<UnsureLine>,
    ) -> Result<Sums, BulkError> {
        let share = header.map_or(0.0, Header::returned_share);
        let warm = header.is_none_or(|header| header.reheat);
        let mut sums = Sums::new();
        lines.take(id, &mut |chunk: &LineChunk<'_>,
                              rows: Range<usize>,
                              layout: &FoodLayout| {
            for row in rows {
                let line = chunk.line(row, layout);
                let faults = sums.add(&line, share, block);
                if !self.unsure.is_empty() {
                    unsure.extend(UnsureLine::of(&line, chunk.words(row)));
                }
                if faults != 0 {
                    let (food, method) = chunk.words(row);
                    let line = RejectedLine {
                        line: chunk.number(row)?,
                        unknown: chunk.unknown(row),
                        food,
                        method,
                        grams: chunk.grams(row),
                    };
                    rejects.push_line(id, faults, line)?;
                }
            }
            block.fold(layout, share, warm);
            Ok(())
        })?;
        if let Some(header) = header {
            let water = header.water.as_deref();
            sums.add_water(water, header.liquid(), lines.layout(), block);
        }
        block.end_recipe(share, warm);
        Ok(sums)
    }
}
