//! Which names of the table the words hold.

use std::collections::BTreeSet;

use super::Context;
use super::food_names::{FoodNames, Name};
use super::lexicon::{Kind, Lexicon};
use super::phrase::Phrase;
use super::text::joins;

/// A name of the table that the words hold, with the words that it takes.
pub(super) struct Match<'a> {
    pub(super) name: &'a Name,
    pub(super) takes: Vec<usize>,
    in_order: bool,
}

/// The names that hold the most of the words; several where they hold equally many.
pub(super) fn best<'a>(names: &'a FoodNames, phrase: &Phrase, context: Context) -> Vec<Match<'a>> {
    let lexicon = names.lexicon;
    let canned = phrase.pack.as_ref().map(|pack| pack.state.as_str());
    let fits = |name: &'a Name| matched(name, phrase, canned);
    let mut all: Vec<Match<'a>> = names.iter().filter_map(fits).collect();
    // "No salt" names no salt.
    let phrases = phrases_beside(lexicon, phrase);
    all.retain(|one| {
        phrases.iter().all(|run| {
            // Names are without the words that only join: "skin on" is taken with its skin.
            let of_run = run
                .iter()
                .filter(|at| !phrase.stem(**at).is_some_and(joins));
            let (taken, left): (Vec<&usize>, Vec<&usize>) =
                of_run.partition(|at| one.takes.contains(at));
            taken.is_empty() || left.is_empty()
        })
    });
    let prepared = |one: &Match<'_>| {
        let row = names.row(one.name);
        let stems: Vec<&str> = one.name.stems.iter().map(|stem| &**stem).collect();
        // "Stewing beef" is a cut, not a dish.
        let method = |at: usize| {
            let word = lexicon.word_at(&stems[at..]);
            !stems[at].ends_with("ing") && word.is_some_and(|(word, _)| word.kind == Kind::Method)
        };
        let cooked = |at: usize| {
            let word = lexicon.word_at(&stems[at..]);
            word.is_some_and(|(word, _)| word.kind == Kind::State && word.means == "cooked")
        };
        let to_cook = matches!(context, Context::Cook | Context::Buy);
        // "Tomatoes, stew" is not a stew.
        if to_cook && (0..stems.len()).all(method) {
            return true;
        }
        (0..stems.len()).any(|at| to_cook && method(at) || cooked(at))
            && row.cell(Context::Cook) != row.cell(Context::Table)
    };
    // "Roast chicken" to cook is chicken that is going to be roasted.
    let (cooked, plain): (Vec<_>, Vec<_>) = all.into_iter().partition(prepared);
    let mut matches = if plain.is_empty() { cooked } else { plain };
    let most = matches
        .iter()
        .map(|one| one.name.stems.len())
        .max()
        .unwrap_or(0);
    matches.retain(|one| one.name.stems.len() == most);
    if matches.iter().any(|one| one.in_order) {
        matches.retain(|one| one.in_order);
    }
    let mut rows = BTreeSet::new();
    matches.retain(|one| rows.insert(one.name.row_number()));
    matches
}

/// Runs of two words and more that say one thing beside a food: `no salt`, `without skin`, `cook in water`.
fn phrases_beside(lexicon: &Lexicon, phrase: &Phrase) -> Vec<Vec<usize>> {
    let content = &phrase.content;
    let run_at = |n: usize| {
        let run = (n..content.len()).take_while(|at| content[*at] == content[n] + (at - n));
        let run: Vec<usize> = run.map(|at| content[at]).collect();
        let stems: Vec<&str> = run.iter().filter_map(|at| phrase.stem(*at)).collect();
        let (word, length) = lexicon.word_at(&stems)?;
        let beside = length > 1 && matches!(word.kind, Kind::Filler | Kind::Edible | Kind::Method);
        beside.then(|| run[..length].to_vec())
    };
    (0..content.len()).filter_map(run_at).collect()
}

/// The words that a name takes, where all of its own are there.
fn matched<'a>(name: &'a Name, phrase: &Phrase, canned: Option<&str>) -> Option<Match<'a>> {
    let mut takes = Vec::new();
    for word in &name.stems {
        let free = |at: &&usize| phrase.stem(**at) == Some(&**word) && !takes.contains(*at);
        match phrase.content.iter().find(free) {
            Some(at) => takes.push(*at),
            // "1 can chickpeas" is canned chickpeas.
            None if canned == Some(&**word) => {}
            None => return None,
        }
    }
    let in_order = takes.windows(2).all(|pair| {
        pair[0] < pair[1] && {
            let between = pair[0] + 1..pair[1];
            between.clone().all(|at| phrase.stem(at).is_none_or(joins))
        }
    });
    (!takes.is_empty()).then_some(Match {
        name,
        takes,
        in_order,
    })
}

/// A name that these words hold whole.
pub(super) fn names_in<'a>(names: &'a FoodNames, words: &[&str]) -> Option<&'a Name> {
    let within = |name: &&Name| name.stems.iter().all(|word| words.contains(&&**word));
    names
        .iter()
        .filter(|name| !name.stems.is_empty())
        .find(within)
}
