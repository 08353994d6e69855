//! What the words beside the name of a food say: how it is cooked, cut, how large it is.

use std::collections::BTreeSet;

use super::lexicon::{Kind, Lexicon};
use super::phrase::Phrase;
use super::text::joins;

/// Pieces that are cut off what is thrown away: the stalk, the cob.
const CUT_OFF: [&str; 3] = ["floret", "floweret", "kernel"];

/// Beginnings of words that say that it is without its peel.
const PEEL: [&str; 2] = ["peel", "skin"];

/// What the words beside a food say.
#[derive(Debug, Default, Clone)]
pub(super) struct Beside {
    pub(super) methods: BTreeSet<String>,
    /// Its ways to cook by all words, those that name the food too: `stewed pears`.
    pub(super) named_methods: BTreeSet<String>,
    pub(super) sizes: Vec<String>,
    pub(super) cuts: Vec<String>,
    pub(super) pieces: Vec<String>,
    pub(super) states: BTreeSet<String>,
    /// Its states by all words: `cooked chicken`.
    pub(super) named_states: BTreeSet<String>,
    pub(super) edible: bool,
    /// Whether that is because it is without its peel.
    pub(super) peeled: bool,
    /// Whether the words say at which time of the day.
    pub(super) daytime: bool,
    /// Words that nothing explains.
    pub(super) unknown: Vec<usize>,
    /// Words about how it is cooked or cut, which stay where another food is put in.
    pub(super) kept: Vec<usize>,
}

impl Beside {
    /// Reads the words that do not name the food; of those that do, what they say of its size and its cut.
    pub(super) fn of(lexicon: &Lexicon, phrase: &Phrase, rest: &[usize]) -> Self {
        let mut beside = Self::read(lexicon, phrase, rest);
        let all = Self::read(lexicon, phrase, &phrase.content);
        beside.named_methods = all.methods;
        beside.named_states = all.states;
        beside.sizes = all.sizes;
        beside.cuts = all.cuts;
        beside.pieces = all.pieces;
        beside.edible = all.edible;
        beside.peeled = all.peeled;
        beside.daytime = all.daytime;
        beside
    }

    fn read(lexicon: &Lexicon, phrase: &Phrase, rest: &[usize]) -> Self {
        let mut beside = Self::default();
        let mut n = 0;
        while n < rest.len() {
            // Words that stood side by side are read together.
            let run = (n..rest.len()).take_while(|at| rest[*at] == rest[n] + (at - n));
            let stems: Vec<&str> = run.filter_map(|at| phrase.stem(rest[at])).collect();
            let Some((word, length)) = lexicon.word_at(&stems) else {
                let joining = stems
                    .first()
                    .is_some_and(|word| joins(word) || *word == "x");
                if !joining {
                    beside.unknown.push(rest[n]);
                }
                n += 1;
                continue;
            };
            let means = || word.means.split('|').map(str::to_string);
            match word.kind {
                Kind::Method => {
                    beside.methods.insert(word.means.clone());
                }
                Kind::Size => beside.sizes.extend(means()),
                Kind::Cut => beside.cuts.extend(means().filter(|cut| !cut.is_empty())),
                Kind::Piece => {
                    beside.edible |= stems.first().is_some_and(|word| CUT_OFF.contains(word));
                    beside.pieces.extend(means());
                }
                Kind::State => {
                    beside.states.insert(word.means.clone());
                }
                Kind::Edible => {
                    beside.edible = true;
                    let of_peel = |stem: &&str| PEEL.iter().any(|one| stem.starts_with(one));
                    beside.peeled |= stems[..length].iter().any(of_peel);
                }
                Kind::Daytime => beside.daytime = true,
                _ => {}
            }
            if !matches!(word.kind, Kind::State | Kind::Filler | Kind::Daytime) {
                beside.kept.extend_from_slice(&rest[n..n + length]);
            }
            n += length;
        }
        beside
    }

    pub(super) fn says(&self, state: &str) -> bool {
        self.states.contains(state)
    }

    /// Whether it is cooked already.
    pub(super) fn is_cooked(&self) -> bool {
        self.named_states.contains("cooked") || self.is_left_over()
    }

    /// Whether it was cooked for another meal, so that a way to cook tells how.
    pub(super) fn is_left_over(&self) -> bool {
        self.named_states.contains("leftover")
    }
}
