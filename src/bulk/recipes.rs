//! The recipes of a part: their liquid, purée, tray and serving.

use std::collections::VecDeque;
use std::ops::{Deref, Range};
use std::rc::Rc;
use std::sync::{Mutex, PoisonError};

use data_import::parquet::{Coded, Values};

use super::BulkError;
use super::food::PreparedFood;
use super::food_preparer::FoodPlace;
use super::id::{Ids, RecipeId};
use super::input::Input;
use super::part::{Part, Piece, ranges};
use super::prepared_foods::PreparedFoods;
use super::table_file::TableFile;
use crate::cooking::Method;
use crate::recipe::TAP_WATER;

/// A row of the table of recipes, or several of one id, of which the greatest figure of each column is taken.
#[derive(Debug, Clone)]
pub(super) struct Header {
    pub(super) copies: usize,
    pub(super) collected: f64,
    pub(super) returned: f64,
    pub(super) added: f64,
    /// `None` where there is no such food.
    pub(super) water: Option<Rc<PreparedFood>>,
    /// The word for it.
    water_food: Rc<str>,
    pub(super) puree_weighed: Option<f64>,
    pub(super) loss: f64,
    pub(super) well: Option<f64>,
    pub(super) fill: Option<f64>,
    pub(super) cubes: Option<f64>,
    pub(super) reheat: bool,
}

impl Header {
    /// Returned and added water, in g.
    pub(super) fn liquid(&self) -> f64 {
        self.returned + self.added
    }

    /// The word for the food that stands for the water.
    pub(super) fn water_word(&self) -> &str {
        &self.water_food
    }

    /// The share of the collected liquid that is returned, 0 to 1.
    pub(super) fn returned_share(&self) -> f64 {
        if self.collected > 0.0 {
            (self.returned / self.collected).min(1.0)
        } else {
            0.0
        }
    }

    /// Takes in another row of the same id.
    fn join(self, other: Self) -> Self {
        let greater = |a: f64, b: f64| if b.total_cmp(&a).is_gt() { b } else { a };
        let either = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) => Some(greater(a, b)),
            (a, b) => a.or(b),
        };
        let of_other = other.water_food > self.water_food;
        let (water, water_food) = if of_other {
            (other.water, other.water_food)
        } else {
            (self.water, self.water_food)
        };
        Self {
            copies: self.copies + other.copies,
            collected: greater(self.collected, other.collected),
            returned: greater(self.returned, other.returned),
            added: greater(self.added, other.added),
            water,
            water_food,
            puree_weighed: either(self.puree_weighed, other.puree_weighed),
            loss: greater(self.loss, other.loss),
            well: either(self.well, other.well),
            fill: either(self.fill, other.fill),
            cubes: either(self.cubes, other.cubes),
            reheat: self.reheat || other.reheat,
        }
    }
}

/// The word for a food that stands for the water, and the food, where there is one.
type WaterFood = (Rc<str>, Option<Rc<PreparedFood>>);

/// Some rows of a row group.
struct RecipeChunk {
    ids: Ids,
    columns: [Option<Values<f64>>; NUMBERS.len()],
    water: Option<Coded>,
    /// The words of `water`, with what was found.
    waters: Vec<WaterFood>,
    tap: WaterFood,
    reheat: Option<Values<bool>>,
}

/// The columns of numbers.
const NUMBERS: [&str; 8] = [
    "collected_ml",
    "returned_ml",
    "added_ml",
    "puree_weighed_g",
    "loss_g",
    "well_ml",
    "fill",
    "cubes_per_serving",
];

impl RecipeChunk {
    fn load(
        file: &TableFile,
        group: usize,
        rows: &Range<usize>,
        foods: &Mutex<PreparedFoods<'_>>,
    ) -> Result<Self, BulkError> {
        let mut columns = NUMBERS.map(|_| None);
        for (name, place) in NUMBERS.into_iter().zip(&mut columns) {
            if file.has(name) {
                *place = Some(file.reals(group, name, rows.clone())?);
            }
        }
        let there = |name| file.has(name).then(|| rows.clone());
        let water = there("water_food").map(|rows| file.text(group, "water_food", rows));
        let water = water.transpose()?;
        let reheat = there("reheat").map(|rows| file.truths(group, "reheat", rows));
        let words = water.as_ref().map_or(&[][..], |water| &water.words);
        let mut foods = foods.lock().unwrap_or_else(PoisonError::into_inner);
        let known = foods.look_up(
            [TAP_WATER]
                .into_iter()
                .chain(words.iter().map(Deref::deref)),
        )?;
        let mut found = |word: &str, known: Option<FoodPlace>| {
            let food = known.map(|known| foods.prepared(known, Method::None).map(Rc::new));
            Ok::<_, BulkError>((word.into(), food.transpose()?))
        };
        let tap = found(TAP_WATER, known.first().copied().flatten())?;
        let of_words = words.iter().zip(known.into_iter().skip(1));
        Ok(Self {
            ids: file.ids(group, rows.clone())?,
            columns,
            waters: of_words
                .map(|(word, known)| found(word, known))
                .collect::<Result<_, _>>()?,
            tap,
            water,
            reheat: reheat.transpose()?,
        })
    }

    fn header(&self, row: usize) -> Header {
        let [collected, returned, added, puree, loss, well, fill, cubes] = &self.columns;
        let given = |column: &Option<Values<f64>>| column.as_ref()?.get(row);
        let or_none = |column| given(column).unwrap_or(0.0);
        let written = self.water.as_ref().and_then(|water| {
            let code = *water.codes.get(row)?;
            self.waters.get(code as usize)
        });
        let (water_food, water) = written.unwrap_or(&self.tap).clone();
        Header {
            copies: 1,
            collected: or_none(collected),
            returned: or_none(returned),
            added: or_none(added),
            water,
            water_food,
            puree_weighed: given(puree),
            loss: or_none(loss),
            well: given(well),
            fill: given(fill),
            cubes: given(cubes),
            reheat: self.reheat.as_ref().and_then(|reheat| reheat.get(row)) != Some(false),
        }
    }
}

/// The recipes of a part, in their order.
pub(super) struct RecipeStream<'a, 'f> {
    input: &'a Input,
    part: &'a Part,
    foods: &'a Mutex<PreparedFoods<'f>>,
    waiting: VecDeque<(Piece, Range<usize>)>,
    chunk: Option<RecipeChunk>,
    row: usize,
    next: Option<RecipeId>,
    /// The id of the last row that was read.
    last: Option<RecipeId>,
}

impl<'a, 'f> RecipeStream<'a, 'f> {
    /// The recipes of a part, at the first of them.
    pub(super) fn new(
        input: &'a Input,
        part: &'a Part,
        foods: &'a Mutex<PreparedFoods<'f>>,
    ) -> Result<Self, BulkError> {
        let pieces = part.recipes.iter();
        let waiting = pieces.flat_map(|piece| ranges(piece.rows).map(|rows| (*piece, rows)));
        let mut stream = Self {
            input,
            part,
            foods,
            waiting: waiting.collect(),
            chunk: None,
            row: 0,
            next: None,
            last: None,
        };
        stream.advance()?;
        Ok(stream)
    }

    /// The id of the next recipe; `None` where the part has no more.
    pub(super) fn next(&self) -> Option<&RecipeId> {
        self.next.as_ref()
    }

    /// Goes on to the next row of the part.
    fn advance(&mut self) -> Result<(), BulkError> {
        loop {
            match self
                .chunk
                .as_ref()
                .and_then(|chunk| chunk.ids.get(self.row))
            {
                Some(id) if self.part.is_past(&id) => break self.next = None,
                Some(id) if self.part.has(&id) => break self.next = Some(id),
                Some(_) => self.row += 1,
                None if !self.load_next()? => break self.next = None,
                None => {}
            }
        }
        Ok(())
    }

    /// The next recipe, all rows of its id together.
    pub(super) fn take(&mut self, id: &RecipeId) -> Result<Option<Header>, BulkError> {
        let mut taken: Option<Header> = None;
        while self.next.as_ref() == Some(id) {
            let Some(chunk) = &self.chunk else { break };
            let row = chunk.header(self.row);
            taken = Some(match taken {
                Some(before) => before.join(row),
                None => row,
            });
            self.row += 1;
            self.advance()?;
        }
        Ok(taken)
    }

    fn load_next(&mut self) -> Result<bool, BulkError> {
        let Some((piece, rows)) = self.waiting.pop_front() else {
            return Ok(false);
        };
        let Some(file) = self.input.recipes.get(piece.file) else {
            return Ok(false);
        };
        let chunk = RecipeChunk::load(file, piece.group, &rows, self.foods)?;
        self.last = chunk
            .ids
            .check_order(self.last.take(), "recipes", file.path())?;
        self.chunk = Some(chunk);
        self.row = 0;
        Ok(true)
    }
}
