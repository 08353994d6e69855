//! The words that the reader knows: two tables of the program.

use std::collections::HashMap;
use std::sync::OnceLock;

use data_import::{Error, FoodId, reference};
use rust_decimal::Decimal;

use super::Context;
use super::phrase::Phrase;
use super::text::{joins, stems};

/// What a word beside a food does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Kind {
    /// How many.
    Number,
    /// A unit of mass.
    Mass,
    /// A unit of volume.
    Volume,
    /// The food is bought so.
    Pack,
    /// Names a household measure.
    Piece,
    /// No amount.
    Vague,
    /// No amount, unless the food has a measure of that name.
    Measure,
    /// How large a piece is.
    Size,
    /// How it is cut, which some measures tell.
    Cut,
    /// Which form of the food is meant.
    State,
    /// The amount is that of the trimmed food.
    Edible,
    /// A way to cook.
    Method,
    /// Changes nothing.
    Filler,
    /// The number before it is no amount.
    Time,
    /// A feed at the breast.
    Feed,
    /// How often, in a word: `twice`.
    Times,
    /// When it is drunk: `before bed`.
    Daytime,
}

/// A word beside a food.
#[derive(Debug)]
pub(super) struct Word {
    pub(super) kind: Kind,
    /// What it stands for, as the table says.
    pub(super) means: String,
    stems: Vec<String>,
}

/// What a row of the table of foods says in one context.
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

/// A row of the table of foods.
#[derive(Debug)]
pub(super) struct LexiconRow {
    /// The first of its names, as it is written.
    called: String,
    /// Why the words are not enough, or what is near.
    pub(super) why: String,
    cook: Option<Cell>,
    table: Option<Cell>,
    drink: Option<Cell>,
}

impl LexiconRow {
    /// What it says in a context; `None` where it says nothing there.
    pub(super) fn cell(&self, context: Context) -> Option<&Cell> {
        match context {
            Context::Cook | Context::Buy => self.cook.as_ref(),
            Context::Table => self.table.as_ref(),
            Context::Drink => self.drink.as_ref(),
        }
    }
}

/// What a parent calls a food.
#[derive(Debug)]
pub(super) struct Name {
    /// Its words, in the singular.
    pub(super) stems: Vec<String>,
    /// Its row.
    pub(super) row: usize,
}

/// Both tables.
#[derive(Debug)]
pub(super) struct Lexicon {
    words: Vec<Word>,
    by_first: HashMap<String, Vec<usize>>,
    /// What foods are called.
    pub(super) names: Vec<Name>,
    /// The foods.
    pub(super) rows: Vec<LexiconRow>,
}

impl Lexicon {
    /// The word that the longest run of these stems is, and how many of them it takes.
    pub(super) fn word_at(&self, stems: &[&str]) -> Option<(&Word, usize)> {
        let first = stems.first()?;
        let fits = |word: &&Word| {
            word.stems.len() <= stems.len()
                && word
                    .stems
                    .iter()
                    .zip(stems)
                    .all(|(known, typed)| known == typed)
        };
        let candidates = self.by_first.get(*first)?.iter();
        // Of words of one length the one that stands first in the table.
        let best = candidates
            .map(|at| &self.words[*at])
            .filter(fits)
            .reduce(|best, word| {
                if word.stems.len() > best.stems.len() {
                    word
                } else {
                    best
                }
            })?;
        Some((best, best.stems.len()))
    }

    /// The words that name the food, as they are remembered: without amounts, cuts and ways to cook.
    pub(super) fn food_words(&self, phrase: &Phrase) -> String {
        let mut words: Vec<&str> = Vec::new();
        for at in &phrase.content {
            let Some(word) = phrase.stem(*at) else {
                continue;
            };
            let known = self.word_at(&[word]).map(|(word, _)| word.kind);
            // "Bottle, 4 times" names milk, if not which.
            let names = known.is_none_or(|kind| matches!(kind, Kind::Piece | Kind::State));
            let beside = !names && word != "bottle";
            if !joins(word) && !beside {
                words.push(word);
            }
        }
        words.join(" ")
    }

    /// A food in the form in which it is meant in a context: squash that was chosen to cook is cooked at the table.
    pub(super) fn in_form(&self, id: &FoodId, context: Context) -> FoodId {
        let is = |cell: &Option<Cell>| matches!(cell, Some(Cell::Take(one)) if one == id);
        let row = self
            .rows
            .iter()
            .find(|row| is(&row.cook) || is(&row.table) || is(&row.drink));
        match row.and_then(|row| row.cell(context)) {
            Some(Cell::Take(form)) => form.clone(),
            _ => id.clone(),
        }
    }

    /// Whether a word is in a table.
    pub(super) fn knows(&self, word: &str) -> bool {
        let others = self.words.iter().flat_map(|known| &known.stems);
        self.words_of_names()
            .chain(others.map(String::as_str))
            .any(|known| known == word)
    }

    /// The words that a mistyped one may be meant for: those of foods and of what is done with them, none that changes an amount.
    pub(super) fn mendable(&self) -> impl Iterator<Item = &str> {
        let kinds = [
            Kind::Method,
            Kind::State,
            Kind::Edible,
            Kind::Cut,
            Kind::Piece,
        ];
        let others = self
            .words
            .iter()
            .filter(move |word| kinds.contains(&word.kind));
        self.words_of_names()
            .chain(others.flat_map(|word| &word.stems).map(String::as_str))
    }

    fn words_of_names(&self) -> impl Iterator<Item = &str> {
        self.names
            .iter()
            .flat_map(|name| &name.stems)
            .map(String::as_str)
    }
}

/// Whether a word stands beside the name of a food, and is none: `roasted`, `peeled`, `g`.
pub(super) fn is_beside(word: &str) -> bool {
    lexicon().is_ok_and(|all| all.word_at(&[word]).is_some())
}

/// Whether a word begins an amount: `half`, `two`, `a`.
pub(super) fn is_number(word: &str) -> bool {
    let known = lexicon().ok().and_then(|all| all.word_at(&[word]));
    matches!(word, "a" | "an") || known.is_some_and(|(word, _)| word.kind == Kind::Number)
}

impl Word {
    /// Whether it speaks of the breast, not of times alone: `feed`, `nursing`.
    pub(super) fn stems_say_breast(&self) -> bool {
        self.kind == Kind::Feed && self.stems != ["time"]
    }

    /// Whether it counts sides of the breast.
    pub(super) fn is_side(&self) -> bool {
        self.kind == Kind::Feed && self.stems == ["side"]
    }

    /// The number that it stands for.
    pub(super) fn number(&self) -> Option<Decimal> {
        self.means
            .parse()
            .ok()
            .filter(|_| self.kind == Kind::Number)
    }
}

/// What a parent calls a food that is to be cooked, in the singular: `butternut squash` for `Squash, winter, butternut, raw`. `None`
/// where the table does not name it.
pub fn plain_name(id: &FoodId) -> Option<&'static str> {
    let is = |cell: &Option<Cell>| matches!(cell, Some(Cell::Take(one)) if one == id);
    let rows = &lexicon().ok()?.rows;
    let row = rows.iter().find(|row| is(&row.cook));
    let row = row.or_else(|| rows.iter().find(|row| is(&row.table)));
    row.map(|row| row.called.as_str())
}

/// Both tables, read once.
///
/// Errors: a table does not read.
pub(super) fn lexicon() -> Result<&'static Lexicon, Error> {
    static LEXICON: OnceLock<Lexicon> = OnceLock::new();
    if let Some(lexicon) = LEXICON.get() {
        return Ok(lexicon);
    }
    let read = read()?;
    Ok(LEXICON.get_or_init(|| read))
}

#[derive(serde::Deserialize)]
struct WordRow {
    word: String,
    kind: Kind,
    means: String,
}

#[derive(serde::Deserialize)]
struct FoodRow {
    words: String,
    cook: String,
    table: String,
    drink: String,
    why: String,
}

fn read() -> Result<Lexicon, Error> {
    let mut words = Vec::new();
    for row in reference::rows::<WordRow>("spoken-words.csv", reference::SPOKEN_WORDS)? {
        words.extend(row.word.split('|').map(|word| Word {
            kind: row.kind,
            means: row.means.clone(),
            stems: stems(word),
        }));
    }
    let mut by_first: HashMap<String, Vec<usize>> = HashMap::new();
    for (at, word) in words.iter().enumerate() {
        if let Some(first) = word.stems.first() {
            by_first.entry(first.clone()).or_default().push(at);
        }
    }
    let (mut names, mut rows) = (Vec::new(), Vec::new());
    for row in reference::rows::<FoodRow>("spoken-foods.csv", reference::SPOKEN_FOODS)? {
        for name in row.words.split('|') {
            let mut stems = stems(name);
            stems.retain(|word| !joins(word));
            let row = rows.len();
            names.push(Name { stems, row });
        }
        let (cook, table) = (cell(&row.cook)?, cell(&row.table)?);
        rows.push(LexiconRow {
            called: row.words.split('|').next().unwrap_or_default().into(),
            drink: cell(&row.drink)?,
            why: row.why,
            cook: cook.clone().or_else(|| table.clone()),
            table: table.or(cook),
        });
    }
    Ok(Lexicon {
        words,
        by_first,
        names,
        rows,
    })
}

/// `11477`, `? 11641 11485` or `- 18259`; empty says nothing.
fn cell(text: &str) -> Result<Option<Cell>, Error> {
    let ids = |text: &str| -> Result<Vec<FoodId>, Error> {
        text.split_whitespace().map(str::parse).collect()
    };
    Ok(match text.trim() {
        "" => None,
        ask if ask.starts_with('?') => Some(Cell::Ask(ids(&ask[1..])?)),
        none if none.starts_with('-') => Some(Cell::Missing(ids(&none[1..])?)),
        id => Some(Cell::Take(id.parse()?)),
    })
}
