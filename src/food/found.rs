//! Foods found by kitchen words among those of a table and the household's own.

use data_import::{Error, FoodName, reference};

use super::own::OwnShelf;
use super::search::{Entry, FoodIndex, Hit, IndexBuilder, IndexError};

/// Kitchen words and what a table calls them.
pub type Synonyms = Vec<(String, String)>;

/// The kitchen words of the program.
pub fn synonyms() -> Result<Synonyms, Error> {
    let rows: Vec<(String, String, String)> =
        reference::rows("kitchen-words.csv", reference::KITCHEN_WORDS)?;
    Ok(rows
        .into_iter()
        .map(|(word, means, _)| (word, means))
        .collect())
}

/// What the search needs to know of a basic food.
pub fn entry(name: FoodName) -> Entry {
    Entry {
        id: name.id.to_string(),
        name: name.name,
        common_names: name.common_names,
        manufacturer: name.manufacturer,
        group: name.group,
        ..Entry::default()
    }
}

/// Names and ids of own foods.
pub fn own_names(own: Option<&OwnShelf>) -> Vec<FoodName> {
    let foods = own.into_iter().flat_map(|own| own.foods().iter());
    let name = |own: &data_import::own::LabelFood| FoodName {
        id: own.food.id.clone(),
        name: own.food.name.clone(),
        common_names: own.food.common_names.clone(),
        manufacturer: own.food.manufacturer.clone(),
        group: own.food.group.clone(),
    };
    foods.map(name).collect()
}

/// The foods found: own foods that have every word of the query, then those of the table, then the other own ones.
///
/// Errors: a table of the program does not read; or an index does not.
pub fn found(
    table: &FoodIndex,
    own: &[FoodName],
    query: &str,
    limit: usize,
) -> Result<Result<Vec<Hit>, IndexError>, Error> {
    let synonyms = synonyms()?;
    Ok(in_memory(own, &synonyms).and_then(|own| {
        let (mut hits, rest): (Vec<Hit>, Vec<Hit>) = own
            .search(query, limit)?
            .into_iter()
            .partition(|hit| has_every_word(&hit.name, query));
        hits.extend(table.search(query, limit)?);
        hits.extend(rest);
        hits.truncate(limit);
        Ok(hits)
    }))
}

/// An index that is made for one search.
fn in_memory(names: &[FoodName], synonyms: &Synonyms) -> Result<FoodIndex, IndexError> {
    let mut builder = IndexBuilder::new(Vec::new());
    let entries: Vec<Entry> = names.iter().cloned().map(entry).collect();
    builder.push(&entries)?;
    FoodIndex::open(Box::new(builder.finish("")?), synonyms)
}

/// Whether each word of the query begins a word of the name.
fn has_every_word(name: &str, query: &str) -> bool {
    let words = |text: &str| -> Vec<String> {
        let words = text.split(|c: char| !c.is_alphanumeric());
        words
            .filter(|word| !word.is_empty())
            .map(str::to_lowercase)
            .collect()
    };
    let name = words(name);
    words(query)
        .iter()
        .all(|word| name.iter().any(|one| one.starts_with(word.as_str())))
}
