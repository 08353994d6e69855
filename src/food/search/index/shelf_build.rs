//! Writing the rows, postings, words and trigrams of one shelf.

use std::io::{self, Write};
use std::thread;

use super::super::hash::FastMap;
use super::super::spelling::trigrams;
use super::super::vocabulary::Vocabulary;
use super::build::CountingWriter;
use super::bytes::{put_ascending, put_number};
use super::table::TablePlace;
use super::table_write::TableWriter;
use super::{MAKER, NAME, ROW, ShelfPlace, WORD};

/// The foods of one shelf, as they come.
#[derive(Debug, Default)]
pub(super) struct ShelfBuilder {
    foods: Vec<Food>,
    /// The words of all foods, one food after another, each word of a food once.
    terms: Vec<u32>,
}

#[derive(Debug)]
struct Food {
    order: u64,
    text_at: u64,
    /// Where its words end in `terms`.
    end: usize,
}

/// The rows of every word, one word after another.
struct Postings {
    /// Rows, marked where the word is not in the name.
    rows: Vec<u32>,
    /// By word: where its rows begin; one more for the end.
    starts: Vec<usize>,
    /// By word: foods that have it in the name of their maker.
    makers: Vec<u32>,
}

impl Postings {
    /// The rows of a word, marked.
    fn of(&self, term: u32) -> &[u32] {
        let term = term as usize;
        &self.rows[self.starts[term]..self.starts[term + 1]]
    }
}

impl ShelfBuilder {
    /// Adds a food: where its text is, its place in the order of rows, and its words, marked, each once.
    pub(super) fn push(&mut self, text_at: u64, order: u64, terms: impl Iterator<Item = u32>) {
        self.terms.extend(terms);
        self.foods.push(Food {
            order,
            text_at,
            end: self.terms.len(),
        });
    }

    /// Writes everything but the texts.
    pub(super) fn write<W: Write>(
        self,
        words: &Vocabulary,
        out: &mut CountingWriter<W>,
    ) -> io::Result<ShelfPlace> {
        let count = self.foods.len().max(words.len());
        let fits = u32::try_from(count).is_ok_and(|count| count <= WORD);
        let foods = u32::try_from(self.foods.len()).ok().filter(|_| fits);
        let foods = foods.ok_or_else(|| io::Error::other("more foods than an index holds"))?;
        let mut order: Vec<u32> = (0..foods).collect();
        order.sort_by_key(|&food| self.foods[food as usize].order);
        let rows_at = out.at;
        for &food in &order {
            let at = self.foods[food as usize].text_at.to_le_bytes();
            out.write_all(&at[..ROW])?;
        }
        let postings = self.postings(&order, words.len());
        drop((self, order));
        let (words, trigrams) = write_words(words, &postings, out)?;
        Ok(ShelfPlace {
            foods,
            rows_at,
            words,
            trigrams,
        })
    }

    /// Turns "the words of a food" round into "the rows of a word".
    fn postings(&self, order: &[u32], words: usize) -> Postings {
        let mut starts = vec![0_usize; words + 1];
        let mut makers = vec![0_u32; words];
        for &term in &self.terms {
            let word = (term & WORD) as usize;
            starts[word + 1] += 1;
            makers[word] += u32::from(term & MAKER != 0);
        }
        for word in 0..words {
            starts[word + 1] += starts[word];
        }
        let mut next = starts.clone();
        let mut rows = vec![0_u32; self.terms.len()];
        for (row, &food) in (0..).zip(order) {
            let before = (food as usize).checked_sub(1);
            let from = before.map_or(0, |before| self.foods[before].end);
            for &term in &self.terms[from..self.foods[food as usize].end] {
                let place = &mut next[(term & WORD) as usize];
                rows[*place] = row | (!term & NAME);
                *place += 1;
            }
        }
        Postings {
            rows,
            starts,
            makers,
        }
    }
}

/// Writes postings, words and trigrams.
fn write_words<W: Write>(
    words: &Vocabulary,
    postings: &Postings,
    out: &mut CountingWriter<W>,
) -> io::Result<(TablePlace, TablePlace)> {
    let mut used: Vec<u32> = (0..)
        .take(words.len())
        .filter(|&term| !postings.of(term).is_empty())
        .collect();
    sort_by_word(&mut used, words);
    // What the letters of the words give does not need their rows.
    thread::scope(|scope| {
        let used = &used;
        let trigrams =
            scope.spawn(move || trigram_table(used.iter().map(|&term| words.word(term))));
        let words_place = write_postings(used, words, postings, out)?;
        let failed = |_| io::Error::other("the runs of three letters could not be gathered");
        let trigrams_place = trigrams.join().map_err(failed)?.write(out.at, out)?;
        Ok((words_place, trigrams_place))
    })
}

/// Writes the rows of each word, one after another, and then the table of the words.
fn write_postings<W: Write>(
    used: &[u32],
    words: &Vocabulary,
    postings: &Postings,
    out: &mut CountingWriter<W>,
) -> io::Result<TablePlace> {
    let mut table = TableWriter::default();
    let (mut list, mut value) = (Vec::new(), Vec::new());
    for &term in used {
        let of_term = postings.of(term);
        list.clear();
        let rows = |mark| of_term.iter().filter(move |&row| row & NAME == mark);
        put_ascending(&mut list, rows(0).map(|row| row & WORD));
        let named = list.len();
        put_ascending(&mut list, rows(NAME).map(|row| row & WORD));
        value.clear();
        put_number(&mut value, rows(0).count() as u64);
        put_number(&mut value, of_term.len() as u64);
        put_number(&mut value, u64::from(postings.makers[term as usize]));
        put_number(&mut value, out.at);
        put_number(&mut value, named as u64);
        put_number(&mut value, (list.len() - named) as u64);
        table.add(words.word(term), &value);
        out.write_all(&list)?;
    }
    table.write(out.at, out)
}

/// Sorts words by their letters, most of them by the first eight alone.
fn sort_by_word(terms: &mut [u32], words: &Vocabulary) {
    let start = |term: u32| {
        let mut start = [0; 8];
        let bytes = words.word(term).bytes();
        start
            .iter_mut()
            .zip(bytes)
            .for_each(|(to, byte)| *to = byte);
        u64::from_be_bytes(start)
    };
    let mut keyed: Vec<(u64, u32)> = terms.iter().map(|&term| (start(term), term)).collect();
    keyed.sort_unstable_by(|a, b| {
        let by_word = || words.word(a.1).cmp(words.word(b.1));
        a.0.cmp(&b.0).then_with(by_word)
    });
    terms
        .iter_mut()
        .zip(keyed)
        .for_each(|(term, (_, sorted))| *term = sorted);
}

/// For each run of three letters, the numbers of the words that have it.
fn trigram_table<'a>(words: impl Iterator<Item = &'a str>) -> TableWriter {
    let mut numbers: FastMap<[char; 3], Vec<u32>> = FastMap::default();
    for (number, word) in (0..).zip(words) {
        for run in trigrams(word) {
            let of_run = numbers.entry(run).or_default();
            if of_run.last() != Some(&number) {
                of_run.push(number);
            }
        }
    }
    let mut runs: Vec<_> = numbers.into_iter().collect();
    runs.sort_unstable_by_key(|(run, _)| *run);
    let mut table = TableWriter::default();
    let mut list = Vec::new();
    for (run, numbers) in runs {
        list.clear();
        put_ascending(&mut list, numbers);
        table.add(&String::from_iter(run), &list);
    }
    table
}
