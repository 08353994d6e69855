//! What a query may mean: its words, the kitchen words replaced, typing slips mended.

use super::forms::{self, FoodForm};
use super::lookup::IndexLookup;
use super::phrases;
use super::spelling::Guess;
use super::term::Term;
use super::weights::Weights;
use super::words;

/// What a query's word is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum QueryWordKind {
    /// Names the food; a food without it is a lesser answer.
    Naming,
    /// Names a form.
    FoodForm(FoodForm),
    /// Says little; welcome where it is found.
    Quiet,
}

/// One word of a query.
#[derive(Debug, Clone)]
pub(super) struct QueryWord {
    /// The words of the vocabulary it may stand for.
    pub(super) guesses: Vec<Guess>,
    pub(super) kind: QueryWordKind,
    /// After "in": what the food lies in, not the food ("pineapple in juice").
    pub(super) medium: bool,
    /// It, or what it may stand for, names a maker of branded foods and nothing else.
    pub(super) brand: bool,
}

impl QueryWord {
    /// Whether it surely names a maker.
    pub(super) fn names_brand(&self) -> bool {
        self.brand && self.guesses.iter().any(|guess| guess.1 >= 1.0)
    }
}

/// One way to read a query.
#[derive(Debug, Clone)]
pub(super) struct Reading {
    pub(super) words: Vec<QueryWord>,
    /// Naming words that nothing in the vocabulary resembles.
    pub(super) unknown: usize,
}

impl Reading {
    /// The forms asked for.
    pub(super) fn forms(&self) -> Vec<FoodForm> {
        let form = |word: &QueryWord| match word.kind {
            QueryWordKind::FoodForm(form) => Some(form),
            _ => None,
        };
        self.words.iter().filter_map(form).collect()
    }
}

/// A kitchen word or phrase and what the dataset calls it, both as word stems.
#[derive(Debug)]
pub(super) struct Synonym {
    pub(super) from: Vec<String>,
    pub(super) to: Vec<String>,
}

impl Synonym {
    /// `None` if either side has no word.
    pub(super) fn new(word: &str, means: &str) -> Option<Self> {
        let (from, to) = (phrases::stems(word), phrases::stems(means));
        (!from.is_empty() && !to.is_empty()).then_some(Self { from, to })
    }
}

/// A longer query is cut off after this many letters, then after this many words.
const MOST_LETTERS: usize = 200;
const MOST_WORDS: usize = 12;
/// At most this many readings are tried.
const MOST_READINGS: usize = 10;

/// A stretch of the query that may be read as other words.
struct Rewrite {
    start: usize,
    len: usize,
    words: Vec<QueryWord>,
}

/// Reads queries against the words of a shelf.
pub(super) struct QueryReader<'a> {
    pub(super) lookup: &'a IndexLookup<'a>,
    pub(super) synonyms: &'a [Synonym],
}

impl QueryReader<'_> {
    /// Every way to read the query, as typed first; none if it has no word.
    pub(super) fn readings(&self, query: &str) -> Vec<Reading> {
        let start: String = query.chars().take(MOST_LETTERS).collect();
        let folded = words::fold(&start);
        let mut typed = phrases::join(&words::split(&folded));
        typed.truncate(MOST_WORDS);
        let mut words: Vec<QueryWord> = typed.iter().map(|word| self.word(word)).collect();
        for i in 1..typed.len() {
            words[i].medium = typed[i - 1] == "in";
        }
        let mut rewrites = self.replaced(&words);
        rewrites.extend(self.run_together(&typed, &words));
        rewrites.extend(self.taken_apart(&typed, &words));
        let alone = rewrites.iter().map(|rewrite| apply(&words, &[rewrite]));
        let mut readings = vec![words.clone()];
        if rewrites.len() > 1 {
            readings.push(apply(&words, &disjoint(&rewrites)));
        }
        readings.extend(alone);
        readings.truncate(MOST_READINGS);
        readings
            .into_iter()
            .filter_map(|words| self.reading(words))
            .collect()
    }

    /// A word with what it may stand for: itself, or else longer words and near spellings.
    fn word(&self, typed: &str) -> QueryWord {
        let stem = words::stem(typed);
        let mut guesses: Vec<Guess> = match self.lookup.term(&stem) {
            Some(term) => vec![(term, 1.0)],
            None if forms::of_word(typed).is_some() => Vec::new(),
            None => self.lookup.completions(&stem),
        };
        let exact = guesses.first().is_some_and(|guess| guess.1 >= 1.0);
        if !exact && forms::of_word(typed).is_none() {
            guesses.extend(self.lookup.corrections(&stem));
        }
        // A slip in a form word ("dreid") is read as the form.
        let likely = guesses.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let meant = likely.map_or_else(|| typed.to_owned(), |guess| self.lookup.word(guess.0));
        let weight = Weights::get().of(Term::of(typed), Term::of(&stem), &stem);
        let kind = match forms::of_word(typed).or_else(|| forms::of_word(&meant)) {
            Some(form) => QueryWordKind::FoodForm(form),
            None if weight.quiet => QueryWordKind::Quiet,
            None => QueryWordKind::Naming,
        };
        QueryWord {
            brand: guesses.iter().any(|guess| self.lookup.is_brand(guess.0)),
            guesses,
            kind,
            medium: false,
        }
    }

    /// Kitchen words put in the dataset's words.
    fn replaced(&self, words: &[QueryWord]) -> Vec<Rewrite> {
        let mut rewrites = Vec::new();
        for synonym in self.synonyms {
            let len = synonym.from.len();
            for start in 0..(words.len() + 1).saturating_sub(len) {
                let stretch = words[start..start + len].iter().zip(&synonym.from);
                let sureness = stretch.map(|(word, from)| stands_for(word, from));
                let sureness = sureness.fold(1.0, f32::min);
                if sureness > 0.0 {
                    let mut to: Vec<QueryWord> = synonym.to.iter().map(|w| self.word(w)).collect();
                    for guess in to.iter_mut().flat_map(|word| &mut word.guesses) {
                        guess.1 *= sureness;
                    }
                    rewrites.push(Rewrite {
                        start,
                        len,
                        words: to,
                    });
                }
            }
        }
        rewrites.sort_by_key(|rewrite| (rewrite.start, std::cmp::Reverse(rewrite.len)));
        without_parts(rewrites)
    }

    /// Two words written apart that the dataset writes as one: "chick peas".
    fn run_together(&self, typed: &[&str], words: &[QueryWord]) -> Vec<Rewrite> {
        let pairs = typed.windows(2).zip(words.windows(2)).enumerate();
        pairs
            .filter(|(_, (_, words))| words.iter().all(|word| word.kind != QueryWordKind::Quiet))
            .filter_map(|(start, (pair, _))| {
                let whole = words::stem(&pair.concat());
                let term = self
                    .lookup
                    .term(&whole)
                    .filter(|&term| self.is_used(term))?;
                let word = QueryWord {
                    guesses: vec![(term, 1.0)],
                    kind: QueryWordKind::Naming,
                    medium: false,
                    brand: self.lookup.is_brand(term),
                };
                Some(Rewrite {
                    start,
                    len: 2,
                    words: vec![word],
                })
            })
            .collect()
    }

    /// A word the dataset writes as two: "sweetcorn".
    fn taken_apart(&self, typed: &[&str], words: &[QueryWord]) -> Vec<Rewrite> {
        const SHORTEST: usize = 3;
        const APART: f32 = 0.8;
        let used = |part: &str| {
            let term = self.lookup.term(&words::stem(part));
            part.len() >= SHORTEST && term.is_some_and(|term| self.is_used(term))
        };
        let mut rewrites = Vec::new();
        for (start, word) in typed.iter().enumerate() {
            let known = words[start]
                .guesses
                .iter()
                .any(|g| g.1 >= 1.0 && self.is_used(g.0));
            if known || !word.is_ascii() {
                continue;
            }
            for cut in SHORTEST..word.len().saturating_sub(SHORTEST - 1) {
                let (left, right) = word.split_at(cut);
                if used(left) && used(right) {
                    let mut words = vec![self.word(left), self.word(right)];
                    for guess in words.iter_mut().flat_map(|word| &mut word.guesses) {
                        guess.1 *= APART;
                    }
                    rewrites.push(Rewrite {
                        start,
                        len: 1,
                        words,
                    });
                }
            }
        }
        rewrites
    }

    /// Whether any food has this word.
    fn is_used(&self, term: Term) -> bool {
        self.lookup.count(term) > 0
    }

    /// Drops what cannot match; `None` if nothing is left.
    fn reading(&self, mut words: Vec<QueryWord>) -> Option<Reading> {
        for word in &mut words {
            word.guesses.retain(|guess| self.is_used(guess.0));
        }
        let hopeless =
            |word: &QueryWord| word.kind == QueryWordKind::Naming && word.guesses.is_empty();
        let unknown = words.iter().filter(|word| hopeless(word)).count();
        words.retain(|word| !hopeless(word));
        if unknown == 0 && !words.iter().any(|word| word.kind == QueryWordKind::Naming) {
            // "raw", "frozen": with no food named, these words are all there is to go by.
            for word in &mut words {
                word.kind = QueryWordKind::Naming;
            }
            words.retain(|word| !word.guesses.is_empty());
        }
        let names = words.iter().any(|word| word.kind == QueryWordKind::Naming);
        names.then_some(Reading { words, unknown })
    }
}

/// How surely a word stands for a word of a synonym; 0 if not at all.
fn stands_for(word: &QueryWord, other: &str) -> f32 {
    let other = Term::of(other);
    let same = |guess: &&Guess| guess.0 == other;
    let guess = word.guesses.iter().find(same);
    guess.map_or(0.0, |guess| guess.1)
}

/// The rewrites that do not lie within a longer one: "porridge" is not replaced in "porridge oats".
fn without_parts(rewrites: Vec<Rewrite>) -> Vec<Rewrite> {
    let spans: Vec<_> = rewrites
        .iter()
        .map(|r| (r.start, r.start + r.len))
        .collect();
    let is_part = |r: &Rewrite| {
        let wider = |&(start, end): &(usize, usize)| {
            start <= r.start && r.start + r.len <= end && end - start > r.len
        };
        spans.iter().any(wider)
    };
    rewrites
        .into_iter()
        .filter(|rewrite| !is_part(rewrite))
        .collect()
}

/// Rewrites that do not overlap, earlier and longer ones first.
fn disjoint(rewrites: &[Rewrite]) -> Vec<&Rewrite> {
    let mut chosen: Vec<&Rewrite> = Vec::new();
    let overlap = |a: &Rewrite, b: &Rewrite| a.start < b.start + b.len && b.start < a.start + a.len;
    for rewrite in rewrites {
        if !chosen.iter().any(|other| overlap(rewrite, other)) {
            chosen.push(rewrite);
        }
    }
    chosen.sort_by_key(|rewrite| rewrite.start);
    chosen
}

/// The words with these rewrites, in order of their start, put in.
fn apply(words: &[QueryWord], rewrites: &[&Rewrite]) -> Vec<QueryWord> {
    let mut out = Vec::new();
    let mut at = 0;
    for rewrite in rewrites {
        out.extend_from_slice(&words[at..rewrite.start]);
        out.extend_from_slice(&rewrite.words);
        at = rewrite.start + rewrite.len;
    }
    out.extend_from_slice(&words[at..]);
    out
}
