//! The lines of a part, recipe by recipe.

use std::cell::OnceCell;
use std::collections::{BTreeMap, VecDeque};
use std::ops::{Deref, Range};
use std::rc::Rc;
use std::sync::{Mutex, PoisonError};

use data_import::parquet::{Coded, NOT_GIVEN, Values};

use super::BulkError;
use super::food_layout::{FoodLayout, LineFood, MeltedGrams};
use super::food_preparer::method_of;
use super::id::{Ids, RecipeId};
use super::input::Input;
use super::part::{Part, Piece, ranges};
use super::prepared_foods::PreparedFoods;
use super::table_file::TableFile;
use crate::cooking::Method;

/// Lines whose foods are fetched together: as many as fit into the nearest caches.
const FETCHED: usize = 512;

/// Rows whose words are read at once: a row group of a usual size.
const ROWS_OF_WORDS: usize = 1 << 20;

/// Digits of an id of the table of foods.
pub(super) const DIGITS_OF_AN_ID: usize = 5;

/// Of a food and a method that have not occurred.
const UNSEEN: u32 = NOT_GIVEN - 1;

/// What the amount of a line counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LineBasis {
    Purchased,
    Edible,
    Unknown,
}

/// The columns of text of some rows of a row group: food, method and basis. They are read for more
/// rows at once than the numbers, since a page of a text column has more rows, and is decoded whole
/// each time.
#[derive(Debug)]
struct LineWords {
    piece: Piece,
    rows: Range<usize>,
    food: Coded,
    method: Coded,
    /// Empty where the file does not say it.
    basis: Vec<LineBasis>,
    /// For each row the place of its food, as its method cooks it, in the layout; [`NOT_GIVEN`] where there is none.
    places: Vec<u32>,
    /// The words that name no food, by their codes, each with the id that it may stand for.
    unknown: BTreeMap<u32, Option<String>>,
}

/// The id that a word may stand for which has lost the zeros before it, as ids do that were numbers once.
pub(super) fn with_zeros(word: &str) -> Option<String> {
    let is_short = word.chars().count() < DIGITS_OF_AN_ID;
    is_short.then(|| format!("{word:0>DIGITS_OF_AN_ID$}"))
}

/// Whether the food or the method of a line is unknown.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct UnknownWords<'a> {
    pub(super) food: bool,
    pub(super) method: bool,
    /// The id that the food may stand for.
    pub(super) meant: Option<&'a str>,
}

/// Some rows of a row group.
#[derive(Debug)]
pub(super) struct LineChunk<'a> {
    file: &'a TableFile,
    group: usize,
    rows: Range<usize>,
    ids: Ids,
    words: Rc<LineWords>,
    /// The place of the first row among those of the words.
    first: usize,
    grams: Values<f64>,
    /// In these, what is not given is not a number; empty where the file has no such column.
    weighed: Vec<f64>,
    own_yield: Vec<f64>,
    /// The numbers of the lines, read once one of them is rejected.
    numbers: OnceCell<Values<i64>>,
}

/// One line.
#[derive(Debug)]
pub(super) struct RecipeLine<'a> {
    pub(super) food: Option<&'a LineFood>,
    pub(super) melted: MeltedGrams,
    /// In these, what is not given is not a number.
    pub(super) grams: f64,
    pub(super) basis: LineBasis,
    pub(super) weighed: f64,
    pub(super) own_yield: f64,
}

/// A figure that is given.
pub(super) fn given(figure: f64) -> Option<f64> {
    (!figure.is_nan()).then_some(figure)
}

impl LineChunk<'_> {
    /// One of the lines.
    pub(super) fn line<'f>(&self, row: usize, layout: &'f FoodLayout) -> RecipeLine<'f> {
        let figure = |column: &[f64]| column.get(row).copied().unwrap_or(f64::NAN);
        let food = layout.get(self.place(row));
        RecipeLine {
            food,
            melted: food.map_or_else(MeltedGrams::default, |food| layout.melted(food)),
            grams: self.grams(row).unwrap_or(f64::NAN),
            basis: self.basis(row),
            weighed: figure(&self.weighed),
            own_yield: figure(&self.own_yield),
        }
    }

    /// The amount of a line, if it has one.
    pub(super) fn grams(&self, row: usize) -> Option<f64> {
        self.grams.get(row)
    }

    fn basis(&self, row: usize) -> LineBasis {
        let basis = self.words.basis.get(self.first + row);
        basis.copied().unwrap_or(LineBasis::Purchased)
    }

    /// The place of a line's food in the layout.
    fn place(&self, row: usize) -> u32 {
        let place = self.words.places.get(self.first + row);
        place.copied().unwrap_or(NOT_GIVEN)
    }

    /// Brings the foods of some lines near: they lie far apart, and the waits for memory overlap
    /// where many are looked at together.
    fn fetch(&self, rows: Range<usize>, layout: &FoodLayout) {
        let rows = self.first + rows.start..self.first + rows.end;
        let places = self.words.places.get(rows).unwrap_or_default();
        let foods = places.iter().filter_map(|place| layout.get(*place));
        std::hint::black_box(foods.fold(0, |all, food| all | food.missing));
    }

    /// The words of a line, for its rejection.
    pub(super) fn words(&self, row: usize) -> (Option<&str>, Option<&str>) {
        let row = self.first + row;
        (self.words.food.get(row), self.words.method.get(row))
    }

    /// What of a line's food and method is not known, for its rejection.
    pub(super) fn unknown(&self, row: usize) -> UnknownWords<'_> {
        let row = self.first + row;
        let code = self.words.food.codes.get(row).copied();
        let food = code.filter(|code| *code != NOT_GIVEN);
        let found = food.and_then(|code| self.words.unknown.get(&code));
        let method = self.words.method.get(row).and_then(method_of);
        UnknownWords {
            food: food.is_none() || found.is_some(),
            method: method.is_none(),
            meant: found.and_then(Option::as_deref),
        }
    }

    /// The number of a line, for its rejection.
    pub(super) fn number(&self, row: usize) -> Result<Option<i64>, BulkError> {
        if !self.file.has("line") {
            return Ok(None);
        }
        if let Some(numbers) = self.numbers.get() {
            return Ok(numbers.get(row));
        }
        let numbers = self.file.integers(self.group, "line", self.rows.clone())?;
        Ok(self.numbers.get_or_init(|| numbers).get(row))
    }
}

impl LineWords {
    fn load(file: &TableFile, piece: Piece, rows: Range<usize>) -> Result<Self, BulkError> {
        let text = |column: &str| file.text(piece.group, column, rows.clone());
        let basis = if file.has("basis") {
            bases(&text("basis")?)
        } else {
            Vec::new()
        };
        Ok(Self {
            piece,
            food: text("food")?,
            method: text("method")?,
            basis,
            places: Vec::new(),
            unknown: BTreeMap::new(),
            rows,
        })
    }

    fn has(&self, piece: Piece, rows: &Range<usize>) -> bool {
        self.piece == piece && self.rows.start <= rows.start && rows.end <= self.rows.end
    }

    /// Looks up the foods and methods that occur.
    fn prepare(
        &mut self,
        foods: &Mutex<PreparedFoods<'_>>,
        layout: &mut FoodLayout,
    ) -> Result<(), BulkError> {
        let mut foods = foods.lock().unwrap_or_else(PoisonError::into_inner);
        let known = foods.look_up(self.food.words.iter().map(Deref::deref))?;
        let of_words = (0_u32..).zip(known.iter().zip(&self.food.words));
        let lacking = of_words.filter(|(_, (known, _))| known.is_none());
        let lacking: Vec<(u32, Option<String>)> = lacking
            .map(|(code, (_, word))| (code, with_zeros(word)))
            .collect();
        if !lacking.is_empty() {
            let asked = lacking.iter().filter_map(|(_, meant)| meant.as_deref());
            let mut found = foods.look_up(asked)?.into_iter();
            let mut is_food = |_: &String| found.next().flatten().is_some();
            self.unknown = lacking
                .into_iter()
                .map(|(code, meant)| (code, meant.filter(&mut is_food)))
                .collect();
        }
        let methods = self.method.words.iter().map(|word| method_of(word));
        let methods: Vec<Option<Method>> = methods.collect();
        // For each food and method of the chunk its place among the foods of the part, once it has occurred.
        let mut places = vec![UNSEEN; known.len() * methods.len()];
        self.places.reserve(self.food.codes.len());
        layout.reserve(known.len(), places.len().min(self.food.codes.len()));
        for (food, method) in self.food.codes.iter().zip(&self.method.codes) {
            let (food, method) = (*food as usize, *method as usize);
            // A word that is not given lies beyond all cells.
            let cell = places.get_mut(food * methods.len() + method);
            let Some(place) = cell else {
                self.places.push(NOT_GIVEN);
                continue;
            };
            if *place == UNSEEN {
                let pair = known.get(food).zip(methods.get(method));
                *place = match pair {
                    Some((Some(food), Some(by))) => {
                        let in_run = foods.place(*food, *by)?;
                        match layout.known(in_run) {
                            Some(known) => known,
                            None => layout.add(in_run, &foods.get(in_run)?),
                        }
                    }
                    _ => NOT_GIVEN,
                };
            }
            self.places.push(*place);
        }
        Ok(())
    }
}

/// Receives rows of a chunk that are lines of one recipe.
type TakeLines<'a> =
    dyn FnMut(&LineChunk<'_>, Range<usize>, &FoodLayout) -> Result<(), BulkError> + 'a;

/// The lines of a part, in their order.
pub(super) struct LineStream<'a, 'f> {
    input: &'a Input,
    part: &'a Part,
    foods: &'a Mutex<PreparedFoods<'f>>,
    layout: FoodLayout,
    waiting: VecDeque<(Piece, Range<usize>)>,
    words: Option<Rc<LineWords>>,
    chunk: Option<LineChunk<'a>>,
    row: usize,
    /// The row up to which the foods were fetched.
    fetched: usize,
    next: Option<RecipeId>,
    /// The id of the last line that was read.
    last: Option<RecipeId>,
    on_chunk: &'a (dyn Fn(usize) + Sync),
}

impl<'a, 'f> LineStream<'a, 'f> {
    /// The lines of a part, at the first of them, with the foods that the thread has met;
    /// `on_chunk` receives how many were gone through.
    pub(super) fn new(
        input: &'a Input,
        part: &'a Part,
        foods: &'a Mutex<PreparedFoods<'f>>,
        layout: FoodLayout,
        on_chunk: &'a (dyn Fn(usize) + Sync),
    ) -> Result<Self, BulkError> {
        let pieces = part.lines.iter();
        let waiting = pieces.flat_map(|piece| ranges(piece.rows).map(|rows| (*piece, rows)));
        let mut stream = Self {
            input,
            part,
            foods,
            layout,
            waiting: waiting.collect(),
            words: None,
            chunk: None,
            row: 0,
            fetched: 0,
            next: None,
            last: None,
            on_chunk,
        };
        stream.advance()?;
        Ok(stream)
    }

    /// The id of the next line; `None` where the part has no more.
    pub(super) fn next(&self) -> Option<&RecipeId> {
        self.next.as_ref()
    }

    /// Goes on to the next line of the part.
    fn advance(&mut self) -> Result<(), BulkError> {
        loop {
            let id = self
                .chunk
                .as_ref()
                .and_then(|chunk| chunk.ids.get(self.row));
            match id {
                Some(id) if self.part.is_past(&id) => break self.next = None,
                Some(id) if self.part.has(&id) => break self.next = Some(id),
                Some(_) => self.row = self.chunk.as_ref().map_or(0, |of| of.ids.end_of(self.row)),
                None if !self.load_next()? => break self.next = None,
                None => {}
            }
        }
        Ok(())
    }

    /// Hands over the lines of the next recipe, chunk by chunk.
    pub(super) fn take(
        &mut self,
        id: &RecipeId,
        each: &mut TakeLines<'_>,
    ) -> Result<(), BulkError> {
        while self.next.as_ref() == Some(id) {
            let Some(chunk) = &self.chunk else { break };
            let end = chunk.ids.end_of(self.row);
            if end > self.fetched {
                let ahead = self.row..end.max(self.row + FETCHED).min(chunk.ids.len());
                self.fetched = ahead.end;
                chunk.fetch(ahead, &self.layout);
            }
            each(chunk, self.row..end, &self.layout)?;
            self.row = end;
            self.advance()?;
        }
        Ok(())
    }

    /// The foods of the lines that were read.
    pub(super) fn layout(&mut self) -> &mut FoodLayout {
        &mut self.layout
    }

    /// The foods of the lines that were read, to go on with another part.
    pub(super) fn into_layout(self) -> FoodLayout {
        self.layout
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
        let known = self.words.take();
        let words = match known.filter(|words| words.has(piece, &rows)) {
            Some(words) => words,
            None => {
                let end = piece.rows.min(rows.start + ROWS_OF_WORDS);
                let mut words = LineWords::load(file, piece, rows.start..end)?;
                words.prepare(self.foods, &mut self.layout)?;
                Rc::new(words)
            }
        };
        self.words = Some(Rc::clone(&words));
        let chunk = load(file, words, rows)?;
        self.last = chunk
            .ids
            .check_order(self.last.take(), "lines", file.path())?;
        self.chunk = Some(chunk);
        self.row = 0;
        self.fetched = 0;
        Ok(true)
    }
}

fn load(
    file: &TableFile,
    words: Rc<LineWords>,
    rows: Range<usize>,
) -> Result<LineChunk<'_>, BulkError> {
    let group = words.piece.group;
    let optional = |column: &str| {
        if !file.has(column) {
            return Ok::<_, BulkError>(Vec::new());
        }
        let mut read = file.reals(group, column, rows.clone())?;
        // A value that is given as "not a number" is a fault of the line; here "not a number" marks
        // a value that is not given.
        for value in &mut read.values {
            if value.is_nan() {
                *value = f64::INFINITY;
            }
        }
        Ok(read.or(f64::NAN))
    };
    Ok(LineChunk {
        file,
        group,
        ids: file.ids(group, rows.clone())?,
        first: rows.start - words.rows.start,
        words,
        grams: file.reals(group, "grams", rows.clone())?,
        weighed: optional("weighed_g")?,
        own_yield: optional("yield")?,
        numbers: OnceCell::new(),
        rows,
    })
}

/// For each line whether its amount is that of the food as bought or of what is eaten.
fn bases(words: &Coded) -> Vec<LineBasis> {
    let of_words = words.words.iter().map(|word| match word.as_str() {
        "purchased" => LineBasis::Purchased,
        "edible" => LineBasis::Edible,
        _ => LineBasis::Unknown,
    });
    let of_words: Vec<LineBasis> = of_words.collect();
    let of_code = |code: &u32| match *code {
        NOT_GIVEN => LineBasis::Purchased,
        code => of_words
            .get(code as usize)
            .copied()
            .unwrap_or(LineBasis::Unknown),
    };
    words.codes.iter().map(of_code).collect()
}
