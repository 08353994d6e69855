//! The foods of one shelf that may answer a query, with their scores.

use super::lookup::IndexLookup;
use super::query::{QueryReader, QueryWord, QueryWordKind, Reading, Synonym};
use super::rank;
use super::tally::Tally;
use super::term::Term;

/// What a shelf has to say to a query.
#[derive(Debug, Default)]
pub(super) struct Answers {
    /// Rows with their scores, each once, in order of rows.
    pub(super) found: Vec<(u32, f64)>,
    /// The query names a maker of branded foods.
    pub(super) brand: bool,
}

/// Looks a query up on a shelf. Where more than `most` foods have equally many of its naming words,
/// only that many are scored: those in the form asked for, then those of the plainest names.
pub(super) fn answers(
    lookup: &IndexLookup<'_>,
    synonyms: &[Synonym],
    query: &str,
    limit: usize,
    most: usize,
) -> Answers {
    if lookup.foods() == 0 {
        return Answers::default();
    }
    let readings = QueryReader { lookup, synonyms }.readings(query);
    let mut tally = Tally::new(lookup.foods());
    let mut candidates: Vec<(u32, usize)> = Vec::new();
    for (number, reading) in readings.iter().enumerate() {
        let rows = candidate_rows(lookup, reading, &mut tally, limit, most);
        candidates.extend(rows.into_iter().map(|row| (row, number)));
    }
    candidates.sort_unstable();
    let mut rows: Vec<u32> = candidates.iter().map(|&(row, _)| row).collect();
    rows.dedup();
    lookup.read(&rows);
    let rarity = |term| rarity(lookup, term);
    let best = |same: &[(u32, usize)]| {
        let row = same[0].0;
        let described = lookup.described(row);
        let scores = same
            .iter()
            .map(|&(_, reading)| rank::score(&described, &readings[reading], rarity));
        (row, scores.fold(f64::NEG_INFINITY, f64::max))
    };
    let names_brand = |reading: &Reading| reading.words.iter().any(QueryWord::names_brand);
    Answers {
        found: candidates.chunk_by(|a, b| a.0 == b.0).map(best).collect(),
        brand: readings.iter().any(names_brand),
    }
}

/// The foods that have most of a reading's naming words, and those with fewer until there are
/// enough.
fn candidate_rows(
    lookup: &IndexLookup<'_>,
    reading: &Reading,
    tally: &mut Tally,
    limit: usize,
    most: usize,
) -> Vec<u32> {
    tally.clear();
    for word in reading
        .words
        .iter()
        .filter(|word| word.kind == QueryWordKind::Naming)
    {
        for_each_row(lookup, word, |row| tally.count(row));
    }
    if tally.len() > most {
        for word in reading
            .words
            .iter()
            .filter(|word| matches!(word.kind, QueryWordKind::FoodForm(_)))
        {
            for_each_row(lookup, word, |row| tally.favour(row));
        }
    }
    let mut candidates = Vec::new();
    for level in tally.levels() {
        candidates.append(&mut tally.rows(level, most, || lookup.steps()));
        if candidates.len() >= limit {
            break;
        }
    }
    candidates
}

/// How rare a word is, from 0 (every food has it) to 1.
fn rarity(lookup: &IndexLookup<'_>, term: Term) -> f64 {
    let foods = f64::from(lookup.foods());
    1.0 - (1.0 + f64::from(lookup.count(term))).ln() / (1.0 + foods).ln()
}

/// Visits each row that has a word, or a word it may stand for, once.
fn for_each_row(lookup: &IndexLookup<'_>, word: &QueryWord, visit: impl FnMut(u32)) {
    if let [only] = word.guesses.as_slice() {
        return lookup.for_each_row(only.0, visit);
    }
    let mut rows: Vec<u32> = Vec::new();
    for guess in &word.guesses {
        lookup.for_each_row(guess.0, |row| rows.push(row));
    }
    rows.sort_unstable();
    rows.dedup();
    rows.into_iter().for_each(visit);
}
