//! What could be meant where it is not clear: the foods that are offered, and what to type for each.

use data_import::{Food, FoodId};

use super::beside::Beside;
use super::food::Chosen;
use super::kinds::words_of;
use super::lexicon::Lexicon;
use super::phrase::Phrase;
use super::stop::{Stop, if_clear};
use super::text::{joins, stems};
use super::unclear::{Choice, Doubt, KnownParts};
use super::ways::usual_method;
use super::{Context, Lookup, Reader, Unclear};
use crate::food::described;
use crate::food::search::Hit;
use crate::problem::Problem;
use crate::safety::Judge;
use crate::words::{capital, joined};

/// The most foods that are offered where it is not clear which is meant.
const OFFERED: usize = 3;

/// What may be taken by one tap in the place of what was not clear.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// What it is called.
    pub name: String,
    /// What to type for it.
    pub retyped: String,
}

impl Unclear {
    /// What may be taken instead: each food that could be meant, or all the foods that were typed in one.
    pub fn offers(&self) -> Vec<Offer> {
        match self.apart() {
            Some(apart) => vec![Offer {
                name: joined(self.choices.iter().map(|one| &one.name), "; "),
                retyped: apart.join(", "),
            }],
            None => self.choices.iter().map(Choice::offer).collect(),
        }
    }

    /// As [`Unclear::problem`], where the offers stand beside it: no id is to be typed.
    pub fn problem_with_offers(&self) -> Problem {
        const CHOOSE: &str = "choose one of these";
        let choose = match &self.doubt {
            Doubt::Food(_) if self.why.is_empty() => CHOOSE.into(),
            Doubt::Food(_) => format!("{}; {CHOOSE}", self.why),
            Doubt::NoFood(_) if !self.choices.is_empty() => {
                format!("{CHOOSE} that are near, or add it as an own food from its label")
            }
            _ => return Problem::new(self.what()).hint(self.hint()),
        };
        let what = match self.stopped.as_str() {
            "" => self.what(),
            stopped => format!("{stopped} {}", capital(&self.what())),
        };
        Problem::new(what).hint(choose)
    }
}

impl Choice {
    fn offer(&self) -> Offer {
        Offer {
            name: self.name.clone(),
            retyped: self.typed().to_string(),
        }
    }
}

impl<L: Lookup> Reader<'_, L> {
    /// No name of the table fits: what the search finds is offered, never taken, but a food of the household's own.
    pub(super) fn searched(
        &mut self,
        lexicon: &Lexicon,
        phrase: &Phrase,
    ) -> Result<Chosen, Stop<L::Error>> {
        if self.context == Context::Drink && phrase.stems().contains(&"breast") {
            return Err(Doubt::Feeds.stop());
        }
        let words = lexicon.food_words(phrase);
        if let Some(food) = self.own(lexicon, phrase)? {
            let beside = Beside::of(lexicon, phrase, &phrase.content);
            return Ok(Chosen::new(food, vec![words], beside, &[]));
        }
        let hits = self.search(&words, OFFERED)?;
        let ids = hits.iter().filter_map(|hit| hit.id.parse().ok()).collect();
        let begins = |hit: &Hit| has_all(hit, &words, |one, word| one.starts_with(word));
        Err(if hits.iter().any(begins) {
            Doubt::Food(ids).stop()
        } else {
            Doubt::NoFood(ids).stop()
        })
    }

    /// Foods that could be meant: `ids`, then those of the search.
    pub(super) fn unsure(
        &mut self,
        phrase: &Phrase,
        ids: Vec<FoodId>,
    ) -> Result<Chosen, Stop<L::Error>> {
        let mut words = phrase.stems().join(" ");
        if let Some(pack) = &phrase.pack {
            words = format!("{words} {}", pack.state);
        }
        let hits = self.search(&words, OFFERED)?;
        let found = hits.iter().filter_map(|hit| hit.id.parse::<FoodId>().ok());
        // One place is left for the search, which looks at the words that the name does not explain.
        let mut all = ids;
        all.truncate(OFFERED - 1);
        let others: Vec<FoodId> = found.filter(|id| !all.contains(id)).collect();
        all.extend(others);
        all.truncate(OFFERED);
        Err(Doubt::Food(all).stop())
    }

    /// The one food of the household's own that has every word.
    pub(super) fn own(
        &mut self,
        lexicon: &Lexicon,
        phrase: &Phrase,
    ) -> Result<Option<Food>, L::Error> {
        let words = lexicon.food_words(phrase);
        let hits = self.search(&words, OFFERED)?;
        let own = |hit: &&Hit| {
            hit.id.starts_with("own-") && has_all(hit, &words, |one, word| one == word)
        };
        let own: Vec<&Hit> = hits.iter().filter(own).collect();
        match own.as_slice() {
            [one] => one.id.parse().map_or(Ok(None), |id| self.food(&id)),
            _ => Ok(None),
        }
    }

    /// The household's own food whose whole name was typed, whatever else its words may name.
    pub(super) fn own_in_full(&mut self, phrase: &Phrase) -> Result<Option<Food>, L::Error> {
        let typed = naming(&phrase.stems());
        let own = self.pantry()?.own_foods();
        let mut named = own.filter(|food| naming(&stems(&food.name)) == typed);
        let found = named.next().filter(|_| named.next().is_none());
        Ok(found.cloned())
    }

    /// The one food of the household's own whose name begins with what was typed at the table, two words or more.
    pub(super) fn own_begun(&mut self, phrase: &Phrase) -> Result<Option<FoodId>, L::Error> {
        let typed = naming(&phrase.stems());
        if self.context != Context::Table || typed.len() < 2 {
            return Ok(None);
        }
        let own = self.pantry()?.own_foods();
        let mut begun = own.filter(|food| naming(&stems(&food.name)).starts_with(&typed));
        let found = begun.next().filter(|_| begun.next().is_none());
        Ok(found.map(|food| food.id.clone()))
    }

    /// Two foods that could have been meant instead.
    pub(super) fn others(
        &mut self,
        phrase: &Phrase,
        taken: &FoodId,
    ) -> Result<Vec<FoodId>, L::Error> {
        let hits = self.search(&phrase.stems().join(" "), OFFERED)?;
        let ids = hits.iter().filter_map(|hit| hit.id.parse().ok());
        Ok(ids.filter(|id| id != taken).take(2).collect())
    }

    /// The doubt, with the foods that could be meant or what an answer is put together with. What
    /// is offered was read before.
    pub(super) fn with_choices(
        &mut self,
        phrase: &Phrase,
        chosen: Option<&Chosen>,
        doubt: Doubt,
    ) -> Result<Unclear, L::Error> {
        let mut unclear = Unclear::new(&phrase.typed, doubt);
        unclear.why.clone_from(&phrase.why);
        if unclear.is_of_the_food() {
            let stopped = Judge::builtin()?.stopped_by_words(&phrase.typed);
            unclear.stopped = stopped.unwrap_or_default().into();
        }
        let lexicon = Self::lexicon()?;
        let mut several = false;
        let kept = match chosen {
            Some(chosen) => chosen.beside.kept.clone(),
            None => Beside::of(lexicon, phrase, &phrase.content).kept,
        };
        if unclear.is_of_the_food() || unclear.doubt.is_of_several() {
            let parts = Self::apart(&phrase.typed)?;
            // One food beside the amounts of two is neither.
            several = parts.len() > 1 && unclear.doubt.is_of_several();
            let choices = match parts.len() {
                0 | 1 => Vec::new(),
                _ => self.one_at_a_time(parts)?,
            };
            if !choices.is_empty() {
                if !unclear.doubt.is_of_several() {
                    unclear.doubt = Doubt::TwoAmounts;
                }
                unclear.choices = choices;
                return Ok(unclear);
            }
        }
        self.suggest_unit(phrase, &mut unclear)?;
        self.offer_foods(phrase, &kept, several, &mut unclear)?;
        if let Some(chosen) = chosen {
            self.note_known(phrase, chosen, &kept, &mut unclear)?;
        }
        Ok(unclear)
    }

    /// Suggests the unit that is meant in the place of one that is not known, where the text then
    /// reads.
    fn suggest_unit(&mut self, phrase: &Phrase, unclear: &mut Unclear) -> Result<(), L::Error> {
        let Doubt::Unit {
            word,
            meant: Some(meant),
        } = &unclear.doubt
        else {
            return Ok(());
        };
        let text = phrase.typed.replacen(word, meant, 1);
        unclear.suggestion = if_clear(self.attempt_text(&text))?.map(|_| text);
        Ok(())
    }

    /// Offers the foods that are in doubt, each with what to type for it: its id alone where
    /// several foods were typed.
    fn offer_foods(
        &mut self,
        phrase: &Phrase,
        kept: &[usize],
        several: bool,
        unclear: &mut Unclear,
    ) -> Result<(), L::Error> {
        let all = unclear.doubt.foods();
        let ids = all[..all.len().min(OFFERED)].to_vec();
        if ids.is_empty() {
            return Ok(());
        }
        for food in self.pantry()?.foods(&ids)?.into_iter().flatten() {
            let retyped = if several {
                food.id.to_string()
            } else {
                phrase.with_food(&food.id, kept)
            };
            let choice = self.choice(retyped, food)?;
            unclear.choices.push(choice);
        }
        unclear.words = Self::lexicon()?.food_words(phrase);
        Ok(())
    }

    /// Notes what an answer about the amount or the way to cook is put together with, and suggests
    /// the likeliest one.
    fn note_known(
        &mut self,
        phrase: &Phrase,
        chosen: &Chosen,
        kept: &[usize],
        unclear: &mut Unclear,
    ) -> Result<(), L::Error> {
        let id = &chosen.food.id;
        let whole = phrase.with_food(id, kept);
        if let Doubt::Method { usual, .. } = unclear.doubt {
            let texts = [&phrase.typed, &whole].map(|text| format!("{text} {usual}"));
            unclear.suggestion = self.first_read(texts.to_vec(), id)?;
        }
        let without_amount = phrase.without_amount(id, kept);
        if let (Doubt::Ounce(_), Some(amount)) = (&unclear.doubt, &phrase.amount) {
            // Ounces of a drink are most often fluid ounces, so that is the command to offer.
            let text = format!("{} fl oz {without_amount}", amount.number.normalize());
            unclear.suggestion = self.first_read(vec![text], id)?;
        }
        unclear.known = Some(KnownParts {
            whole,
            without_amount,
        });
        Ok(())
    }

    /// A food that could be meant, with what to type for it: where a way to cook is lacking, with the usual one.
    pub(super) fn choice(&mut self, retyped: String, food: Food) -> Result<Choice, L::Error> {
        let usual = usual_method(&food)?;
        let texts = vec![retyped.clone(), format!("{retyped} {usual}")];
        let read = self.first_read(texts, &food.id)?;
        let measures = match read {
            Some(_) => Vec::new(),
            None => food.measures.iter().take(OFFERED).map(described).collect(),
        };
        Ok(Choice {
            runs: read.is_some(),
            retyped: read.unwrap_or(retyped),
            measures,
            name: food.name,
            id: food.id,
        })
    }

    /// The first of these texts that is read as this food.
    fn first_read(
        &mut self,
        texts: Vec<String>,
        food: &FoodId,
    ) -> Result<Option<String>, L::Error> {
        for text in texts {
            let taken = if_clear(self.attempt_text(&text))?;
            if taken.is_some_and(|taken| taken.food.id == *food) {
                return Ok(Some(text));
            }
        }
        Ok(None)
    }
}

/// Whether the name that was found has every one of these words, by a way to compare them.
fn has_all(hit: &Hit, words: &str, is: impl Fn(&str, &str) -> bool) -> bool {
    let name = words_of(&hit.name);
    words
        .split(' ')
        .all(|word| name.iter().any(|one| is(one, word)))
}

/// Words without those that only join others.
fn naming<W: AsRef<str>>(words: &[W]) -> Vec<String> {
    let words = words.iter().map(AsRef::as_ref);
    words
        .filter(|word| !joins(word))
        .map(String::from)
        .collect()
}
