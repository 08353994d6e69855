//! Finding a food by the words of a kitchen.
//!
//! A food table calls things by long, inverted names ("Beans, snap, green, raw"); a cook types
//! "green beans". [`FoodIndex`] puts the plain, raw or plainly cooked basic food first, the form a
//! query names ("canned chickpeas") before other forms, and baby-food jars, brands and restaurant
//! dishes after the basic food unless the query asks for them.
//!
//! The words of all foods are in an [index](index) that is written once and of which a query reads
//! only what it needs. Nothing here knows the time; the same foods and query give the same answer.

mod candidates;
mod describe;
mod forms;
mod group_number;
mod index;
mod lookup;
mod merge;
mod phrases;
mod query;
mod rank;
mod segments;
mod spelling;
mod tally;
mod term;
#[cfg(test)]
mod tests;
mod weights;
mod words;

use candidates::{Answers, answers};
use index::OpenIndex;
pub use index::{FOODS_OF_PART, IndexBuilder, IndexError, PartWriter, ReadAt, WrittenPart};
use lookup::IndexLookup;
use query::Synonym;
pub(crate) use words::{fold, singular, stem};

/// What the search needs to know of one food.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Entry {
    /// The food's id in its table.
    pub id: String,
    /// The long description: segments between commas, from the general to the particular.
    pub name: String,
    /// Other names, between commas; may be empty.
    pub common_names: String,
    /// The maker; may be empty.
    pub manufacturer: String,
    /// The four-digit SR28 food group code ("1100"); any other text means no group is known.
    pub group: String,
    /// Of a table of packets: found by the name of its maker too, and listed after the basic foods
    /// unless the query names a maker.
    pub branded: bool,
    /// 0 for the table that is best for a kitchen; of foods alike, those of a lower rank come first.
    pub source_rank: u8,
}

/// An [`Entry`], borrowed.
#[derive(Debug, Clone, Copy, Default)]
#[expect(missing_docs, reason = "the fields are those of `Entry`")]
pub struct EntryRef<'a> {
    pub id: &'a str,
    pub name: &'a str,
    pub common_names: &'a str,
    pub manufacturer: &'a str,
    pub group: &'a str,
    pub branded: bool,
    pub source_rank: u8,
}

impl Entry {
    fn borrowed(&self) -> EntryRef<'_> {
        EntryRef {
            id: &self.id,
            name: &self.name,
            common_names: &self.common_names,
            manufacturer: &self.manufacturer,
            group: &self.group,
            branded: self.branded,
            source_rank: self.source_rank,
        }
    }
}

/// A food found.
#[derive(Debug, Clone, PartialEq)]
pub struct Hit {
    /// The food's id.
    pub id: String,
    /// Its description.
    pub name: String,
    /// Its maker; may be empty.
    pub manufacturer: String,
    /// Its group, as in [`Entry::group`].
    pub group: String,
    /// More is better; comparable only within the answer to one query.
    pub score: f64,
}

/// The words of all foods, ready to be searched.
#[derive(Debug)]
pub struct FoodIndex {
    index: OpenIndex,
    synonyms: Vec<Synonym>,
    /// Words of synonyms and of forms, in order: slips in them are mended too.
    kitchen: Vec<String>,
}

/// The most branded foods with equally many words of a query that are scored: those with the
/// shortest and plainest names, since each costs a reading from the file. Of basic foods, all are.
const BRANDED_SCORED: usize = 150;

/// The least basic foods that are looked at, for three of different names to lead.
const AT_LEAST: usize = 20;

impl FoodIndex {
    /// Indexes the foods in memory. Each synonym is a kitchen word or phrase and what the table
    /// calls it: `("courgette", "zucchini")`.
    pub fn new(entries: &[Entry], synonyms: &[(String, String)]) -> Result<Self, IndexError> {
        let mut builder = IndexBuilder::new(Vec::new());
        builder.push(entries)?;
        Self::open(Box::new(builder.finish("")?), synonyms)
    }

    /// Opens an index written by an [`IndexBuilder`]. A query reads of it what it needs.
    pub fn open(
        reader: Box<dyn ReadAt>,
        synonyms: &[(String, String)],
    ) -> Result<Self, IndexError> {
        let synonyms: Vec<Synonym> = synonyms
            .iter()
            .filter_map(|(word, means)| Synonym::new(word, means))
            .collect();
        let from = synonyms.iter().flat_map(|synonym| synonym.from.clone());
        let forms = forms::WORDS.iter().map(|(word, _)| stem(word));
        let mut kitchen: Vec<String> = from.chain(forms).collect();
        kitchen.sort_unstable();
        kitchen.dedup();
        Ok(Self {
            index: index::open(reader)?,
            synonyms,
            kitchen,
        })
    }

    /// What the index was stamped with when it was written.
    pub fn stamp(&self) -> &str {
        &self.index.stamp
    }

    /// The foods that answer a query, best first, at most `limit`; equal scores in order of id.
    ///
    /// Foods with all the query's words come before those with some of them; where no food has any,
    /// the answer is empty. Three basic foods come before any branded one, unless the query names a
    /// maker. A query of more than 200 letters or 12 words is cut off there.
    pub fn search(&self, query: &str, limit: usize) -> Result<Vec<Hit>, IndexError> {
        if limit == 0 {
            return Ok(Vec::new());
        }
        let OpenIndex { basic, branded, .. } = &self.index;
        let (basic, _) = self.hits(basic, query, limit.max(AT_LEAST), usize::MAX)?;
        let most = BRANDED_SCORED.max(2 * limit);
        let (branded, brand) = self.hits(branded, query, limit, most)?;
        let mut hits = merge::merge(basic, branded, brand);
        hits.truncate(limit);
        Ok(hits)
    }

    /// The best foods of a shelf, and whether the query names a maker.
    fn hits(
        &self,
        on: &index::Shelf,
        query: &str,
        limit: usize,
        most: usize,
    ) -> Result<(Vec<Hit>, bool), IndexError> {
        let lookup = IndexLookup::new(on, &self.index.basic, &self.kitchen);
        let Answers { mut found, brand } = answers(&lookup, &self.synonyms, query, limit, most);
        // Foods as good as the last one wanted stay in: their ids decide.
        found.sort_unstable_by(|a, b| b.1.total_cmp(&a.1));
        if let Some(&(_, last)) = found.get(limit) {
            found.truncate(found.partition_point(|&(_, score)| score >= last));
        }
        let hits = found.into_iter();
        let mut hits: Vec<Hit> = hits.map(|(row, score)| lookup.hit(row, score)).collect();
        merge::sort(&mut hits);
        hits.truncate(limit);
        lookup.failure()?;
        Ok((hits, brand))
    }
}
