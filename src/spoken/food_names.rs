//! What parents call foods, and which food of the dataset is meant by each name: a table of the program.

use std::borrow::Cow;
use std::sync::OnceLock;

use data_import::{Error, FoodId, reference};

use super::Context;
use super::lexicon::{Lexicon, lexicon};
use super::text::{borrowed_stems, joins};

/// What a row of the table says in one context.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Cell {
    /// This food is meant.
    Take(FoodId),
    /// One of these, and the program asks which.
    Ask(Vec<FoodId>),
    /// The dataset has no such food; these are near.
    Missing(Vec<FoodId>),
}

impl Cell {
    /// `11477`, `? 11641 11485` or `- 18259`; empty says nothing.
    fn parse(text: &str) -> Result<Option<Self>, Error> {
        let ids = |text: &str| -> Result<Vec<FoodId>, Error> {
            text.split_whitespace().map(str::parse).collect()
        };
        Ok(match text.trim() {
            "" => None,
            ask if ask.starts_with('?') => Some(Self::Ask(ids(&ask[1..])?)),
            none if none.starts_with('-') => Some(Self::Missing(ids(&none[1..])?)),
            id => Some(Self::Take(id.parse()?)),
        })
    }

    /// Whether this food is named in it.
    pub(super) fn names(&self, id: &FoodId) -> bool {
        match self {
            Self::Take(one) => one == id,
            Self::Ask(ids) | Self::Missing(ids) => ids.contains(id),
        }
    }

    /// The foods that are named in it.
    pub(super) fn into_ids(self) -> Vec<FoodId> {
        match self {
            Self::Take(id) => vec![id],
            Self::Ask(ids) | Self::Missing(ids) => ids,
        }
    }
}

/// A row of the table.
#[derive(Debug)]
pub(super) struct FoodRow {
    /// Why the words are not enough, or what is near, as the table has it.
    why: &'static str,
    cook: Option<Cell>,
    table: Option<Cell>,
    drink: Option<Cell>,
}

impl FoodRow {
    /// What it says in a context; `None` where it says nothing there.
    pub(super) fn cell(&self, context: Context) -> Option<&Cell> {
        let (cook, table) = (self.cook.as_ref(), self.table.as_ref());
        match context {
            Context::Cook | Context::Buy => cook.or(table),
            Context::Table => table.or(cook),
            Context::Drink => self.drink.as_ref(),
        }
    }

    /// Why the words are not enough, or what is near.
    pub(super) fn why(&self) -> String {
        reference::unquoted(self.why)
    }

    /// Whether a food is the one that it says in any context.
    fn takes(&self, id: &FoodId) -> bool {
        let cells = [&self.cook, &self.table, &self.drink];
        let takes = |cell: &&Cell| matches!(cell, Cell::Take(one) if one == id);
        cells.into_iter().flatten().any(|cell| takes(&cell))
    }
}

/// What a parent calls a food.
#[derive(Debug)]
pub(super) struct Name {
    /// Its words, in the singular.
    pub(super) stems: Vec<Cow<'static, str>>,
    /// The number of its row.
    row: usize,
}

impl Name {
    /// The number of its row, which other names may share.
    pub(super) fn row_number(&self) -> usize {
        self.row
    }

    /// Its words, as they are kept with the food that they name.
    pub(super) fn words(&self) -> Vec<String> {
        self.stems.iter().map(ToString::to_string).collect()
    }
}

/// The whole table, with the words that may stand beside the names.
#[derive(Debug)]
pub(super) struct FoodNames {
    /// The words that may stand beside a name.
    pub(super) lexicon: &'static Lexicon,
    names: Vec<Name>,
    rows: Vec<FoodRow>,
}

impl FoodNames {
    /// All names.
    pub(super) fn iter(&self) -> impl Iterator<Item = &Name> {
        self.names.iter()
    }

    /// The row of a name.
    pub(super) fn row(&self, name: &Name) -> &FoodRow {
        &self.rows[name.row]
    }

    /// A food in the form in which it is meant in a context: squash that was chosen to cook is cooked at the table.
    pub(super) fn in_form(&self, id: &FoodId, context: Context) -> FoodId {
        let row = self.rows.iter().find(|row| row.takes(id));
        match row.and_then(|row| row.cell(context)) {
            Some(Cell::Take(form)) => form.clone(),
            _ => id.clone(),
        }
    }

    /// Whether a word is in a name, or stands beside one.
    pub(super) fn knows(&self, word: &str) -> bool {
        self.lexicon.knows(word) || self.words().any(|known| known == word)
    }

    /// The words that a mistyped one may be meant for: those of foods and of what is done with
    /// them, none that changes an amount.
    pub(super) fn mendable(&self) -> impl Iterator<Item = &str> {
        self.words().chain(self.lexicon.mendable())
    }

    fn words(&self) -> impl Iterator<Item = &str> {
        let stems = self.names.iter().flat_map(|name| &name.stems);
        stems.map(|stem| &**stem)
    }
}

/// What a parent calls a food that is to be cooked, in the singular: `butternut squash` for
/// `Squash, winter, butternut, raw`. `None` where the table does not name it.
pub fn plain_name(id: &FoodId) -> Option<&'static str> {
    // The cells are compared as they are written, so that nothing else of the long table is read for a name.
    let id = id.as_str();
    let cooked =
        |[_, cook, table, ..]: &NameRow| if cook.is_empty() { *table } else { *cook } == id;
    let row = table().find(cooked);
    let row = row.or_else(|| table().find(|[_, _, table, ..]| *table == id));
    row.map(|[words, ..]| first_name(words))
}

/// Names, and what they mean to cook, at the table and to drink; why words are not enough.
type NameRow = [&'static str; 5];

fn table() -> impl Iterator<Item = NameRow> {
    reference::split_rows(reference::SPOKEN_FOODS)
}

fn first_name(words: &'static str) -> &'static str {
    words.split('|').next().unwrap_or(words)
}

/// The table, read once, and only where words name a food: it is long.
///
/// Errors: it does not read.
pub(super) fn food_names() -> Result<&'static FoodNames, Error> {
    static NAMES: OnceLock<FoodNames> = OnceLock::new();
    if let Some(names) = NAMES.get() {
        return Ok(names);
    }
    let read = read()?;
    Ok(NAMES.get_or_init(|| read))
}

fn read() -> Result<FoodNames, Error> {
    let (mut names, mut rows) = (Vec::new(), Vec::new());
    for [words, cook, at_table, drink, why] in table() {
        for name in words.split('|') {
            let mut stems = borrowed_stems(name);
            stems.retain(|word| !joins(word));
            let row = rows.len();
            names.push(Name { stems, row });
        }
        rows.push(FoodRow {
            why,
            cook: Cell::parse(cook)?,
            table: Cell::parse(at_table)?,
            drink: Cell::parse(drink)?,
        });
    }
    Ok(FoodNames {
        lexicon: lexicon()?,
        names,
        rows,
    })
}
