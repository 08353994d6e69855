//! Several foods in one phrase, each with its amount: split, they can be offered one at a time.

use super::amounts::Amounts;
use super::lexicon::{Kind, lexicon};
use super::stop::Stop;
use super::text::tokens;
use super::unclear::{Choice, Doubt};
use super::{Lookup, Reader};

/// What stands between two foods and belongs to neither.
const BETWEEN: [&str; 6] = ["and", "on", "with", "plus", "in", "or"];

impl Doubt {
    /// Whether more was named than one amount of one food.
    pub(super) fn is_of_several(&self) -> bool {
        matches!(self, Self::TwoFoods(_) | Self::TwoAmounts)
    }
}

impl Amounts<'_> {
    /// The text in parts of one amount each.
    pub(super) fn apart(mut self) -> Vec<String> {
        self.find();
        let mut places: Vec<(usize, usize)> =
            self.found.iter().map(|one| (one.from, one.to)).collect();
        places.extend((0..self.tokens.len()).filter_map(|at| self.one_of_a_unit(at)));
        places.sort_unstable();
        places.dedup_by_key(|(from, _)| *from);
        // "1 kg carrots, 500 g potatoes", or "carrots 1 kg, potatoes 500 g".
        let leads = places.first().is_some_and(|(from, _)| *from == 0);
        let cuts = places.windows(2).filter_map(|pair| {
            if leads {
                self.tokens.get(pair[1].0).map(|token| token.span.start)
            } else {
                let last = self.tokens.get(pair[0].1.checked_sub(1)?)?;
                Some(last.span.end)
            }
        });
        let mut parts = Vec::new();
        let mut from = 0;
        for cut in cuts.chain([self.typed.len()]) {
            parts.extend(self.typed.get(from..cut).map(by_itself));
            from = cut;
        }
        parts
    }

    /// Where `a slice` stands for one of it.
    fn one_of_a_unit(&self, at: usize) -> Option<(usize, usize)> {
        let article = matches!(self.word(at), Some("a" | "an"));
        let (word, length) = self.word_at(at + 1).filter(|_| article)?;
        let unit = matches!(
            word.kind,
            Kind::Volume | Kind::Piece | Kind::Pack | Kind::Measure
        );
        unit.then_some((at, at + 1 + length))
    }
}

/// A part without what joined it to the others.
fn by_itself(part: &str) -> String {
    let mut words: Vec<&str> = part
        .split(|c: char| c.is_whitespace() || matches!(c, ';' | '+' | '&'))
        .map(|word| word.trim_end_matches(','))
        .filter(|word| !word.is_empty())
        .collect();
    let joins = |word: Option<&&str>| word.is_some_and(|word| BETWEEN.contains(word));
    while joins(words.last()) {
        words.pop();
    }
    while joins(words.first()) {
        words.remove(0);
    }
    words.join(" ")
}

impl<L: Lookup> Reader<'_, L> {
    /// What was typed, in parts of one amount each.
    ///
    /// Errors: a table does not read.
    pub(super) fn apart(typed: &str) -> Result<Vec<String>, L::Error> {
        let lexicon = lexicon()?;
        let all = tokens(typed).unwrap_or_default();
        Ok(Amounts::new(lexicon, typed, all).apart())
    }

    /// The parts as foods that can be written one at a time; none where one of them is not read by itself.
    pub(super) fn one_at_a_time(&mut self, parts: Vec<String>) -> Result<Vec<Choice>, L::Error> {
        let mut choices = Vec::new();
        for part in parts {
            match self.attempt_text(&part) {
                Ok(taken) => choices.push(Choice {
                    id: taken.food.id,
                    name: taken.food.name,
                    retyped: part,
                    runs: true,
                    measures: Vec::new(),
                }),
                Err(Stop::InDoubt {
                    chosen: Some(chosen),
                    ..
                }) => match self.choice(part, chosen.food)? {
                    choice if choice.runs => choices.push(choice),
                    _ => return Ok(Vec::new()),
                },
                Err(Stop::InDoubt { .. }) => return Ok(Vec::new()),
                Err(Stop::Failed(error)) => return Err(error),
            }
        }
        Ok(choices)
    }
}
