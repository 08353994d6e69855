//! Which food the words name.

use std::collections::BTreeSet;

use data_import::{Food, FoodId};

use super::beside::Beside;
use super::food_names::{Cell, FoodNames, Name};
use super::kinds::{RAW_MILK, is_dry, is_dry_pulse, is_heated_milk, is_vegetable, words_of};
use super::lexicon::Lexicon;
use super::matching::{Match, best, names_in};
use super::phrase::{Phrase, SpokenUnit};
use super::spelling::nearest;
use super::stop::Stop;
use super::text::joins;
use super::unclear::Doubt;
use super::{Context, Lookup, Reader};
use crate::nutrition::BreastMilk;

/// The food that is meant, and what the other words say of it.
#[derive(Debug)]
pub(super) struct Chosen {
    pub(super) food: Food,
    /// Named by its id, not by words.
    pub(super) by_id: bool,
    /// As the household once chose for these words.
    pub(super) by_choice: bool,
    /// The words that the food was found by.
    pub(super) words: Vec<String>,
    /// What the words beside it say.
    pub(super) beside: Beside,
    /// Foods that could have been meant instead.
    pub(super) or: Vec<FoodId>,
}

impl Chosen {
    pub(super) fn new(food: Food, words: Vec<String>, beside: Beside, or: &[FoodId]) -> Self {
        Self {
            food,
            by_id: false,
            by_choice: false,
            words,
            beside,
            or: or.iter().take(2).cloned().collect(),
        }
    }
}

/// As it is sold where the dataset has it so, in two spellings.
const DRY: [&str; 2] = ["dry", "dried"];

/// The one of several words for a place that makes the longest name: "cottage chese" is cheese, and
/// not a chest.
fn longest_named<'a>(
    names: &FoodNames,
    phrase: &mut Phrase,
    (at, words): (usize, &[&'a str]),
    context: Context,
) -> Option<&'a str> {
    let mut named: Vec<(usize, &str)> = Vec::new();
    for word in words {
        phrase.mend(at, (*word).to_string());
        let matches = best(names, phrase, context);
        let taking = matches.iter().filter(|matched| matched.takes.contains(&at));
        named.extend(taking.map(|matched| (matched.takes.len(), *word)).next());
    }
    let longest = named.iter().map(|(length, _)| *length).max()?;
    let mut longest = named.iter().filter(|(length, _)| *length == longest);
    let (_, word) = longest.next()?;
    longest.next().is_none().then_some(*word)
}

impl<L: Lookup> Reader<'_, L> {
    /// The food that is meant, or what is in doubt.
    pub(super) fn chosen(&mut self, phrase: &mut Phrase) -> Result<Chosen, Stop<L::Error>> {
        let lexicon = Self::lexicon()?;
        let plain = lexicon.food_words(phrase);
        let fed = phrase.breast_fed && self.context == Context::Drink;
        if phrase.id.is_none() && plain.is_empty() && fed {
            phrase.id = Some(Self::id(BreastMilk::FOOD)?);
        }
        if let Some(id) = &phrase.id {
            return self.by_id(lexicon, phrase, id);
        }
        let names = Self::food_names()?;
        if plain.is_empty() && best(names, phrase, self.context).is_empty() {
            return Err(Doubt::Nothing.stop());
        }
        let remembered = self.pantry()?.chosen_for(&plain).cloned();
        let remembered = remembered.map(|id| names.in_form(&id, self.context));
        if let Some(id) = remembered
            && let Some(food) = self.food(&id)?
        {
            let beside = Beside::of(lexicon, phrase, &phrase.content);
            return Ok(Chosen {
                by_choice: true,
                ..Chosen::new(food, vec![plain], beside, &[])
            });
        }
        if let Some(food) = self.own_in_full(phrase)? {
            let beside = Beside::of(lexicon, phrase, &[]);
            return Ok(Chosen::new(food, vec![plain], beside, &[]));
        }
        self.mend(names, phrase)?;
        match best(names, phrase, self.context).as_slice() {
            [] => self.searched(lexicon, phrase),
            [matched] => {
                phrase.why = names.row(matched.name).why();
                self.by_row(names, phrase, matched)
            }
            several => self.one_of(names, phrase, several),
        }
    }

    /// The food of an id. Words beside it say the same food, or a measure of it.
    fn by_id(
        &mut self,
        lexicon: &Lexicon,
        phrase: &Phrase,
        id: &FoodId,
    ) -> Result<Chosen, Stop<L::Error>> {
        let Some(food) = self.food(id)? else {
            return Err(Doubt::UnknownId(id.clone()).stop());
        };
        let beside = Beside::of(lexicon, phrase, &phrase.content);
        let mut known = words_of(&food.name);
        known.extend(food.measures.iter().flat_map(|one| words_of(&one.unit)));
        if !beside.unknown.is_empty() {
            let names = Self::food_names()?;
            let cell = |name: &&Name| names.row(name).cell(self.context);
            let same = |name: &&Name| cell(name).is_some_and(|cell| cell.names(&food.id));
            let stems = names.iter().filter(same).flat_map(|name| &name.stems);
            known.extend(stems.map(ToString::to_string));
        }
        let mut unknown = beside.unknown.iter().filter_map(|at| phrase.stem(*at));
        let Some(word) = unknown.find(|word| !known.iter().any(|one| one == word)) else {
            return Ok(Chosen {
                by_id: true,
                ..Chosen::new(food, Vec::new(), beside, &[])
            });
        };
        let amount = phrase.amount.as_ref();
        let counted = amount.is_some_and(|one| one.unit == SpokenUnit::Pieces(None));
        let doubt = if counted {
            Doubt::of_amount(&food, Some(word.to_string()))
        } else {
            Doubt::Word(word.to_string())
        };
        Err(doubt.stop())
    }

    /// Puts the word that is meant in the place of one that is mistyped.
    fn mend(&mut self, names: &FoodNames, phrase: &mut Phrase) -> Result<(), L::Error> {
        for at in phrase.content.clone() {
            let Some(word) = phrase.stem(at).map(str::to_string) else {
                continue;
            };
            if word == DRY[0] {
                // "Dry figs" are dried figs, and not fresh ones.
                let meant = longest_named(names, phrase, (at, &DRY), self.context);
                phrase.mend(at, meant.map_or(word, str::to_string));
                continue;
            }
            let known = joins(&word) || names.knows(&word);
            if known || word.len() < 4 || !word.bytes().all(|byte| byte.is_ascii_lowercase()) {
                continue;
            }
            let hits = self.search(&word, 1)?;
            if hits.iter().any(|hit| words_of(&hit.name).contains(&word)) {
                continue;
            }
            let near = nearest(&word, names.mendable());
            let meant = match near.as_slice() {
                [one] => Some(*one),
                // "Steamd" is steam or steamed, whichever; beside a food "pealed" is peeled, not pearled.
                several => (names.lexicon.one_meaning(several))
                    .or_else(|| longest_named(names, phrase, (at, several), self.context)),
            };
            // A word that changes nothing must not swallow one that may: "bath water" is not "both water".
            let meant = meant.filter(|meant| {
                let alone = (at, std::slice::from_ref(meant));
                !names.lexicon.changes_nothing(meant)
                    || longest_named(names, phrase, alone, self.context).is_some()
            });
            phrase.mend(at, meant.map_or(word, str::to_string));
        }
        Ok(())
    }

    /// The food of a row of the table, where the other words let it stand.
    fn by_row(
        &mut self,
        names: &FoodNames,
        phrase: &Phrase,
        matched: &Match<'_>,
    ) -> Result<Chosen, Stop<L::Error>> {
        let content = phrase.content.iter().copied();
        let rest: Vec<usize> = content.filter(|at| !matched.takes.contains(at)).collect();
        let beside = Beside::of(names.lexicon, phrase, &rest);
        if beside.unknown.is_empty() {
            return self.in_its_form(names, phrase, matched, beside);
        }
        let unknown = beside.unknown.iter().filter_map(|at| phrase.stem(*at));
        if let Some(second) = names_in(names, &unknown.collect::<Vec<_>>()) {
            let rows = [matched.name, second].map(|name| names.row(name));
            let cells = rows.iter().filter_map(|row| row.cell(self.context));
            return Err(Doubt::TwoFoods(cells.cloned().flat_map(Cell::into_ids).collect()).stop());
        }
        self.unsure(phrase, self.likely(names, matched))
    }

    /// The food of a row, raw or cooked or dry as the words beside it and the context say.
    fn in_its_form(
        &mut self,
        names: &FoodNames,
        phrase: &Phrase,
        matched: &Match<'_>,
        mut beside: Beside,
    ) -> Result<Chosen, Stop<L::Error>> {
        let canned = phrase
            .pack
            .as_ref()
            .is_some_and(|pack| pack.state == "canned");
        if canned && !matched.name.stems.iter().any(|word| word == "canned") {
            // A can of what the table knows fresh or dry only.
            return self.unsure(phrase, self.likely(names, matched));
        }
        if beside.says("unpasteurised") && phrase.stems().contains(&"milk") {
            let mut ids = vec![Self::id(RAW_MILK)?];
            ids.extend(self.likely(names, matched));
            return Err(Doubt::Food(ids).stop());
        }
        let plain = |state: &&String| matches!(state.as_str(), "raw" | "cooked" | "leftover");
        let form = beside.states.iter().find(|state| !plain(state));
        let dry = form.is_some_and(|form| form == "dried");
        if form.is_some() && !dry {
            return self.unsure(phrase, self.likely(names, matched));
        }
        let context = self.form_meant(names, phrase, &beside, matched)?;
        if context == Context::Table && self.context == Context::Cook && !phrase.names_bones() {
            // What is cooked already is weighed as it is eaten.
            beside.edible = true;
        }
        let row = names.row(matched.name);
        let Some(cell) = row.cell(context).or_else(|| row.cell(self.context)) else {
            let likely = row.cell(Context::Table).cloned().into_iter();
            return self.unsure(phrase, likely.flat_map(Cell::into_ids).collect());
        };
        let Cell::Take(id) = cell else {
            // A household's own food is meant where the dataset has several, or none.
            let ids = cell.clone().into_ids();
            return match (self.own(names.lexicon, phrase)?, cell) {
                (Some(food), _) => Ok(Chosen::new(food, matched.name.words(), beside, &ids)),
                (None, Cell::Missing(_)) => Err(Doubt::NoFood(ids).stop()),
                (None, _) => Err(Doubt::Food(ids).stop()),
            };
        };
        let Some(food) = self.food(id)? else {
            // Another dataset is in use, which the table does not speak of.
            return self.searched(names.lexicon, phrase);
        };
        if dry && !is_dry(&food) {
            return self.unsure(phrase, vec![food.id]);
        }
        if phrase.says_drained() && is_dry_pulse(&food) {
            return self.out_of_a_can(phrase, matched, row.cell(Context::Table));
        }
        if beside.says("raw") && is_heated_milk(&food) {
            return Err(Doubt::Food(vec![Self::id(RAW_MILK)?, food.id]).stop());
        }
        // The household's own oat cereal may be meant by oat cereal.
        if let Some(own) = self.own_begun(phrase)? {
            return Err(Doubt::Food(vec![own, food.id]).stop());
        }
        let or = self.others(phrase, id)?;
        Ok(Chosen::new(food, matched.name.words(), beside, &or))
    }

    /// In which context the form of the food is the one that is meant: raw as one cooks it, or cooked as one eats it.
    fn form_meant(
        &mut self,
        names: &FoodNames,
        phrase: &Phrase,
        beside: &Beside,
        matched: &Match<'_>,
    ) -> Result<Context, L::Error> {
        Ok(if beside.says("raw") {
            Context::Cook
        } else if beside.is_cooked() && self.context == Context::Cook {
            Context::Table
        } else if self.is_grated_raw(names, phrase, beside, matched)? {
            Context::Cook
        } else {
            self.context
        })
    }

    /// Whether it is a vegetable that is eaten as it is grated: "1 tbsp grated carrot".
    fn is_grated_raw(
        &mut self,
        names: &FoodNames,
        phrase: &Phrase,
        beside: &Beside,
        matched: &Match<'_>,
    ) -> Result<bool, L::Error> {
        let grated = phrase.stems().contains(&"grated");
        let cooked = !beside.named_methods.is_empty() || beside.is_cooked();
        let row = names.row(matched.name);
        let (Some(Cell::Take(raw)), Some(Cell::Take(_))) =
            (row.cell(Context::Cook), row.cell(Context::Table))
        else {
            return Ok(false);
        };
        if self.context != Context::Table || !grated || cooked {
            return Ok(false);
        }
        Ok(self.food(raw)?.is_some_and(|food| is_vegetable(&food)))
    }

    /// The foods of a row in this context.
    fn likely(&self, names: &FoodNames, matched: &Match<'_>) -> Vec<FoodId> {
        let cell = names.row(matched.name).cell(self.context).cloned();
        cell.into_iter().flat_map(Cell::into_ids).collect()
    }

    /// Where names of several rows fit equally well.
    fn one_of(
        &mut self,
        names: &FoodNames,
        phrase: &Phrase,
        several: &[Match<'_>],
    ) -> Result<Chosen, Stop<L::Error>> {
        let rows = several.iter().map(|matched| names.row(matched.name));
        let cells = rows.filter_map(|row| row.cell(self.context));
        let mut seen = BTreeSet::new();
        let mut ids: Vec<FoodId> = cells.cloned().flat_map(Cell::into_ids).collect();
        ids.retain(|id| seen.insert(id.clone()));
        let apart = several.iter().enumerate().any(|(n, matched)| {
            let mut others = several.iter().skip(n + 1);
            others.any(|other| matched.takes.iter().all(|at| !other.takes.contains(at)))
        });
        match several.first().filter(|_| ids.len() == 1) {
            Some(first) => self.by_row(names, phrase, first),
            None if apart => Err(Doubt::TwoFoods(ids).stop()),
            None => Err(Doubt::Food(ids).stop()),
        }
    }
}
