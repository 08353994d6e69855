//! The lines of a part, recipe by recipe.

use std::collections::VecDeque;
use std::ops::{Deref, Range};
use std::sync::{Arc, Mutex, PoisonError};

use data_import::parquet::{Coded, NOT_GIVEN, Values};

use super::BulkError;
use super::food::PreparedFood;
use super::id::{Ids, RecipeId};
use super::input::Input;
use super::part::{Part, Piece, ranges};
use super::prepared_foods::PreparedFoods;
use super::table_file::TableFile;

/// What the amount of a line counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LineBasis {
    Purchased,
    Edible,
    Unknown,
}

/// Some rows of a row group.
#[derive(Debug)]
pub(super) struct LineChunk<'a> {
    file: &'a TableFile,
    group: usize,
    first_row: usize,
    ids: Ids,
    food: Coded,
    method: Coded,
    basis: Coded,
    bases: Vec<LineBasis>,
    grams: Values<f64>,
    weighed: Option<Values<f64>>,
    own_yield: Option<Values<f64>>,
    /// For each food and method that occurs, what was found.
    foods: Vec<Option<Arc<PreparedFood>>>,
}

/// One line.
#[derive(Debug)]
pub(super) struct RecipeLine<'a> {
    pub(super) food: Option<&'a PreparedFood>,
    pub(super) grams: Option<f64>,
    pub(super) basis: LineBasis,
    pub(super) weighed: Option<f64>,
    pub(super) own_yield: Option<f64>,
}

impl LineChunk<'_> {
    /// One of the lines.
    pub(super) fn line(&self, row: usize) -> RecipeLine<'_> {
        let optional = |column: &Option<Values<f64>>| column.as_ref()?.get(row);
        let basis = self.basis.codes.get(row).copied().unwrap_or(NOT_GIVEN);
        RecipeLine {
            food: self.food(row),
            grams: self.grams.get(row),
            basis: match basis {
                NOT_GIVEN => LineBasis::Purchased,
                code => self
                    .bases
                    .get(code as usize)
                    .copied()
                    .unwrap_or(LineBasis::Unknown),
            },
            weighed: optional(&self.weighed),
            own_yield: optional(&self.own_yield),
        }
    }

    /// The food of a line, as its method cooks it; `None` where it is not known.
    pub(super) fn food(&self, row: usize) -> Option<&PreparedFood> {
        self.foods.get(self.cell(row)?)?.as_deref()
    }

    /// The words of a line, for its rejection.
    pub(super) fn words(&self, row: usize) -> (Option<&str>, Option<&str>) {
        (self.food.get(row), self.method.get(row))
    }

    /// The number of a line, for its rejection.
    pub(super) fn number(&self, row: usize) -> Result<Option<i64>, BulkError> {
        if !self.file.has("line") {
            return Ok(None);
        }
        let at = self.first_row + row;
        Ok(self.file.integers(self.group, "line", at..at + 1)?.get(0))
    }

    /// The place of a line's food and method among all pairs of both.
    fn cell(&self, row: usize) -> Option<usize> {
        let (food, method) = (*self.food.codes.get(row)?, *self.method.codes.get(row)?);
        if food == NOT_GIVEN || method == NOT_GIVEN {
            return None;
        }
        Some(food as usize * self.method.words.len() + method as usize)
    }

    /// Looks up the foods and methods that occur.
    fn prepare(&mut self, foods: &Mutex<PreparedFoods<'_>>) -> Result<(), BulkError> {
        let methods = self.method.words.len();
        let mut occurs = vec![false; self.food.words.len() * methods];
        for row in 0..self.ids.len() {
            if let Some(place) = self.cell(row).and_then(|cell| occurs.get_mut(cell)) {
                *place = true;
            }
        }
        self.foods = vec![None; occurs.len()];
        let mut foods = foods.lock().unwrap_or_else(PoisonError::into_inner);
        foods.look_up(self.food.words.iter().map(Deref::deref))?;
        for (cell, place) in self
            .foods
            .iter_mut()
            .enumerate()
            .filter(|(cell, _)| occurs[*cell])
        {
            let food = self.food.words.get(cell / methods);
            let method = self.method.words.get(cell % methods);
            if let Some((food, method)) = food.zip(method) {
                *place = foods.prepared(food, method)?;
            }
        }
        Ok(())
    }
}

/// Is given rows of a chunk that are lines of one recipe.
type TakeLines<'a> = dyn FnMut(&LineChunk<'_>, Range<usize>) -> Result<(), BulkError> + 'a;

/// The lines of a part, in their order.
pub(super) struct LineStream<'a, 'f> {
    input: &'a Input,
    part: &'a Part,
    foods: &'a Mutex<PreparedFoods<'f>>,
    waiting: VecDeque<(Piece, Range<usize>)>,
    chunk: Option<LineChunk<'a>>,
    row: usize,
    on_chunk: &'a (dyn Fn(usize) + Sync),
}

impl<'a, 'f> LineStream<'a, 'f> {
    /// The lines of a part; `on_chunk` is told how many were gone through.
    pub(super) fn new(
        input: &'a Input,
        part: &'a Part,
        foods: &'a Mutex<PreparedFoods<'f>>,
        on_chunk: &'a (dyn Fn(usize) + Sync),
    ) -> Self {
        let pieces = part.lines.iter();
        let waiting = pieces.flat_map(|piece| ranges(piece.rows).map(|rows| (*piece, rows)));
        Self {
            input,
            part,
            foods,
            waiting: waiting.collect(),
            chunk: None,
            row: 0,
            on_chunk,
        }
    }

    /// The id of the next line; `None` where the part has no more.
    pub(super) fn peek(&mut self) -> Result<Option<RecipeId>, BulkError> {
        loop {
            let id = self
                .chunk
                .as_ref()
                .and_then(|chunk| chunk.ids.get(self.row));
            match id {
                Some(id) if self.part.is_past(&id) => return Ok(None),
                Some(id) if self.part.has(&id) => return Ok(Some(id)),
                Some(_) => self.row = self.chunk.as_ref().map_or(0, |of| of.ids.end_of(self.row)),
                None if !self.load_next()? => return Ok(None),
                None => {}
            }
        }
    }

    /// Hands over the lines of the next recipe, chunk by chunk.
    pub(super) fn take(
        &mut self,
        id: &RecipeId,
        each: &mut TakeLines<'_>,
    ) -> Result<(), BulkError> {
        while self.peek()?.as_ref() == Some(id) {
            let Some(chunk) = &self.chunk else { break };
            let end = chunk.ids.end_of(self.row);
            each(chunk, self.row..end)?;
            self.row = end;
        }
        Ok(())
    }

    fn load_next(&mut self) -> Result<bool, BulkError> {
        if let Some(done) = self.chunk.take() {
            (self.on_chunk)(done.ids.len());
        }
        let next = self.waiting.pop_front();
        let Some((piece, rows)) = next else {
            return Ok(false);
        };
        let Some(file) = self.input.lines.get(piece.file) else {
            return Ok(false);
        };
        let mut chunk = load(file, piece.group, rows)?;
        chunk.prepare(self.foods)?;
        self.chunk = Some(chunk);
        self.row = 0;
        Ok(true)
    }
}

fn load(file: &TableFile, group: usize, rows: Range<usize>) -> Result<LineChunk<'_>, BulkError> {
    let optional = |column: &str| {
        let there = file.has(column);
        there
            .then(|| file.reals(group, column, rows.clone()))
            .transpose()
    };
    let basis = if file.has("basis") {
        file.text(group, "basis", rows.clone())?
    } else {
        Coded {
            words: Vec::new(),
            codes: vec![NOT_GIVEN; rows.len()],
        }
    };
    let bases = basis.words.iter().map(|word| match word.as_str() {
        "purchased" => LineBasis::Purchased,
        "edible" => LineBasis::Edible,
        _ => LineBasis::Unknown,
    });
    Ok(LineChunk {
        file,
        group,
        first_row: rows.start,
        ids: file.ids(group, rows.clone())?,
        food: file.text(group, "food", rows.clone())?,
        method: file.text(group, "method", rows.clone())?,
        bases: bases.collect(),
        basis,
        grams: file.reals(group, "grams", rows.clone())?,
        weighed: optional("weighed_g")?,
        own_yield: optional("yield")?,
        foods: Vec::new(),
    })
}
