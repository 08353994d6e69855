//! Which food the words name.

use data_import::{Food, FoodId};

use super::beside::Beside;
use super::lexicon::{Cell, Kind, Lexicon, Name, lexicon};
use super::matching::{Match, best, names_in};
use super::phrase::{Phrase, SpokenUnit};
use super::spelling::nearest;
use super::text::joins;
use super::unclear::{Choice, Doubt, KnownParts};
use super::ways::usual_method;
use super::{Context, Lookup, Reader, Unclear};
use crate::cooking::CanRow;
use crate::food::described;
use crate::food::search::{Hit, fold, stem};
use crate::nutrition::BreastMilk;

/// So many foods are offered where it is not clear which is meant.
const OFFERED: usize = 3;

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
    fn new(food: Food, words: Vec<String>, beside: Beside, or: &[FoodId]) -> Self {
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

impl<L: Lookup> Reader<'_, L> {
    /// The food that is meant, or what is in doubt.
    pub(super) fn chosen(
        &mut self,
        phrase: &mut Phrase,
    ) -> Result<Result<Chosen, Doubt>, L::Error> {
        let lexicon = lexicon()?;
        if let Some(id) = phrase.id.clone() {
            let Some(food) = self.food(&id)? else {
                return Ok(Err(Doubt::UnknownId(id)));
            };
            let beside = Beside::of(lexicon, phrase, &phrase.content);
            // Words beside an id say the same food, or a measure of it.
            let mut known = words_of(&food.name);
            known.extend(food.measures.iter().flat_map(|one| words_of(&one.unit)));
            let cell = |name: &&Name| lexicon.rows[name.row].cell(self.context);
            let same = |name: &&Name| cell(name).is_some_and(|cell| cell.names(&food.id));
            known.extend(
                lexicon
                    .names
                    .iter()
                    .filter(same)
                    .flat_map(|name| name.stems.clone()),
            );
            let mut unknown = beside.unknown.iter().filter_map(|at| phrase.stem(*at));
            if let Some(word) = unknown.find(|word| !known.iter().any(|one| one == word)) {
                let counted = phrase
                    .amount
                    .as_ref()
                    .is_some_and(|one| one.unit == SpokenUnit::Pieces(None));
                return Ok(Err(if counted {
                    Doubt::of_amount(&food, Some(word.to_string()))
                } else {
                    Doubt::Word(word.to_string())
                }));
            }
            return Ok(Ok(Chosen {
                by_id: true,
                ..Chosen::new(food, Vec::new(), beside, &[])
            }));
        }
        let plain = key(lexicon, phrase);
        if plain.is_empty() && phrase.breast_fed && self.context == Context::Drink {
            phrase.id = Some(BreastMilk::FOOD.parse()?);
            return self.chosen(phrase);
        }
        if plain.is_empty() {
            return Ok(Err(Doubt::Nothing));
        }
        let chosen = self.pantry()?.chosen_for(&plain).cloned();
        let chosen = chosen.map(|id| lexicon.in_form(&id, self.context));
        if let Some(id) = chosen
            && let Some(food) = self.food(&id)?
        {
            let beside = Beside::of(lexicon, phrase, &phrase.content);
            return Ok(Ok(Chosen {
                by_choice: true,
                ..Chosen::new(food, vec![plain], beside, &[])
            }));
        }
        self.mend(lexicon, phrase)?;
        let matches = best(lexicon, phrase, self.context);
        match matches.as_slice() {
            [] => self.searched(lexicon, phrase),
            [one] => {
                phrase.why.clone_from(&lexicon.rows[one.name.row].why);
                self.by_row(lexicon, phrase, one)
            }
            several => self.one_of(lexicon, phrase, several),
        }
    }

    /// Puts the word that is meant in the place of one that is mistyped.
    fn mend(&mut self, lexicon: &Lexicon, phrase: &mut Phrase) -> Result<(), L::Error> {
        for at in phrase.content.clone() {
            let Some(word) = phrase.stem(at).map(str::to_string) else {
                continue;
            };
            let known = joins(&word) || lexicon.knows(&word);
            if known || word.len() < 4 || !word.bytes().all(|byte| byte.is_ascii_lowercase()) {
                continue;
            }
            let hits = self.pantry()?.search(&word, 1)?;
            if hits.iter().any(|hit| words_of(&hit.name).contains(&word)) {
                continue;
            }
            if let Some(meant) = nearest(&word, lexicon.mendable()) {
                phrase.mend(at, meant);
            }
        }
        Ok(())
    }

    /// The food of a row of the table, where the other words let it stand.
    fn by_row(
        &mut self,
        lexicon: &Lexicon,
        phrase: &Phrase,
        one: &Match<'_>,
    ) -> Result<Result<Chosen, Doubt>, L::Error> {
        let rest: Vec<usize> = phrase
            .content
            .iter()
            .copied()
            .filter(|at| !one.takes.contains(at))
            .collect();
        let mut beside = Beside::of(lexicon, phrase, &rest);
        if !beside.unknown.is_empty() {
            let unknown: Vec<&str> = beside
                .unknown
                .iter()
                .filter_map(|at| phrase.stem(*at))
                .collect();
            if let Some(second) = names_in(lexicon, &unknown) {
                let first = lexicon.rows[one.name.row].cell(self.context).cloned();
                let second = lexicon.rows[second.row].cell(self.context).cloned();
                let both = first.into_iter().chain(second).flat_map(Cell::into_ids);
                return Ok(Err(Doubt::TwoFoods(both.collect())));
            }
            return self.unsure(phrase, self.likely(lexicon, one));
        }
        if phrase
            .pack
            .as_ref()
            .is_some_and(|pack| pack.state == "canned")
            && !one.name.stems.iter().any(|word| word == "canned")
        {
            // A can of what the table knows fresh or dry only.
            return self.unsure(phrase, self.likely(lexicon, one));
        }
        let form = beside
            .states
            .iter()
            .find(|state| !matches!(state.as_str(), "raw" | "cooked" | "leftover"));
        if beside.says("unpasteurised") && phrase.stems().contains(&"milk") {
            let mut ids = vec![RAW_MILK.parse()?];
            ids.extend(self.likely(lexicon, one));
            return Ok(Err(Doubt::Food(ids)));
        }
        let dry = form.is_some_and(|form| form == "dried");
        if form.is_some() && !dry {
            return self.unsure(phrase, self.likely(lexicon, one));
        }
        let context = if beside.says("raw") {
            Context::Cook
        } else if beside.is_cooked() && self.context == Context::Cook {
            Context::Table
        } else if self.is_grated_raw(lexicon, phrase, &beside, one)? {
            Context::Cook
        } else {
            self.context
        };
        if context == Context::Table && self.context == Context::Cook && !phrase.names_bones() {
            // What is cooked already is weighed as it is eaten.
            beside.edible = true;
        }
        let row = &lexicon.rows[one.name.row];
        let words = one.name.stems.clone();
        match row.cell(context).or_else(|| row.cell(self.context)) {
            Some(Cell::Take(id)) => match self.food(id)? {
                Some(food) if dry && !is_dry(&food) => self.unsure(phrase, vec![food.id]),
                Some(food) if phrase.says_drained() && is_dry_pulse(&food) => {
                    self.out_of_a_can(phrase, one, row.cell(Context::Table))
                }
                Some(food) if beside.says("raw") && is_heated_milk(&food) => {
                    Ok(Err(Doubt::Food(vec![RAW_MILK.parse()?, food.id])))
                }
                Some(food) => {
                    let or = self.others(phrase, id)?;
                    Ok(Ok(Chosen::new(food, words, beside, &or)))
                }
                // Another dataset is in use, which the table does not speak of.
                None => self.searched(lexicon, phrase),
            },
            // A household's own food is meant where the dataset has several, or none.
            Some(cell) => {
                let ids = cell.clone().into_ids();
                Ok(match (self.own(phrase)?, cell) {
                    (Some(food), _) => Ok(Chosen::new(food, words, beside, &ids)),
                    (None, Cell::Missing(_)) => Err(Doubt::NoFood(ids)),
                    (None, _) => Err(Doubt::Food(ids)),
                })
            }
            None => {
                let likely = row.cell(Context::Table).cloned().into_iter();
                self.unsure(phrase, likely.flat_map(Cell::into_ids).collect())
            }
        }
    }

    /// Whether it is a vegetable that is eaten as it is grated: "1 tbsp grated carrot".
    fn is_grated_raw(
        &mut self,
        lexicon: &Lexicon,
        phrase: &Phrase,
        beside: &Beside,
        one: &Match<'_>,
    ) -> Result<bool, L::Error> {
        let grated = phrase.stems().contains(&"grated");
        let cooked = !beside.named_methods.is_empty() || beside.is_cooked();
        let row = &lexicon.rows[one.name.row];
        let (Some(Cell::Take(raw)), Some(Cell::Take(_))) =
            (row.cell(Context::Cook), row.cell(Context::Table))
        else {
            return Ok(false);
        };
        if self.context != Context::Table || !grated || cooked {
            return Ok(false);
        }
        let food = self.food(raw)?;
        Ok(food.is_some_and(|food| food.group == VEGETABLES))
    }

    /// Of a can that was weighed with all that is in it: the can itself, where what was named is what is left of it.
    pub(super) fn of_can(
        &mut self,
        phrase: &Phrase,
        chosen: &mut Chosen,
    ) -> Result<Option<Doubt>, L::Error> {
        if chosen.by_id || !phrase.is_weight_of_cans() {
            return Ok(None);
        }
        let names_drained = words_of(&chosen.food.name)
            .iter()
            .any(|word| word == "drained");
        let whole = match CanRow::whole(&chosen.food.id)? {
            Some(whole) if matches!(self.context, Context::Cook | Context::Buy) => {
                self.food(&whole)?
            }
            _ => None,
        };
        if let Some(whole) = whole {
            chosen.food = whole;
            chosen.beside.edible = false;
            return Ok(None);
        }
        // How much of it is liquid is not known.
        let amount = phrase
            .amount
            .as_ref()
            .filter(|_| names_drained || phrase.says_drained());
        Ok(amount
            .map(|can| Doubt::of_amount(&chosen.food, Some(format!("a can of {can}, drained")))))
    }

    /// Pulses that are drained are no dry ones: out of a can, or boiled at home.
    fn out_of_a_can(
        &mut self,
        phrase: &Phrase,
        one: &Match<'_>,
        boiled: Option<&Cell>,
    ) -> Result<Result<Chosen, Doubt>, L::Error> {
        let words = format!("{} canned drained", one.name.stems.join(" "));
        let hits = self.pantry()?.search(&words, 1)?;
        let canned = hits.iter().filter_map(|hit| hit.id.parse().ok());
        let boiled = boiled.cloned().into_iter().flat_map(Cell::into_ids);
        let ids: Vec<FoodId> = canned.chain(boiled).collect();
        if ids.is_empty() {
            return self.unsure(phrase, Vec::new());
        }
        Ok(Err(Doubt::Food(ids)))
    }

    /// The foods of a row in this context.
    fn likely(&self, lexicon: &Lexicon, one: &Match<'_>) -> Vec<FoodId> {
        let cell = lexicon.rows[one.name.row].cell(self.context).cloned();
        cell.into_iter().flat_map(Cell::into_ids).collect()
    }

    /// Where names of several rows fit equally well.
    fn one_of(
        &mut self,
        lexicon: &Lexicon,
        phrase: &Phrase,
        several: &[Match<'_>],
    ) -> Result<Result<Chosen, Doubt>, L::Error> {
        let cells = several
            .iter()
            .filter_map(|one| lexicon.rows[one.name.row].cell(self.context));
        let mut ids: Vec<FoodId> = Vec::new();
        for id in cells.cloned().flat_map(Cell::into_ids) {
            if !ids.contains(&id) {
                ids.push(id);
            }
        }
        let apart = several.iter().enumerate().any(|(n, one)| {
            let others = several.iter().skip(n + 1);
            others
                .clone()
                .any(|other| one.takes.iter().all(|at| !other.takes.contains(at)))
        });
        match several.first().filter(|_| ids.len() == 1) {
            Some(first) => self.by_row(lexicon, phrase, first),
            None if apart => Ok(Err(Doubt::TwoFoods(ids))),
            None => Ok(Err(Doubt::Food(ids))),
        }
    }

    /// No name of the table fits: what the search finds is offered, never taken, but a food of the household's own.
    fn searched(
        &mut self,
        lexicon: &Lexicon,
        phrase: &Phrase,
    ) -> Result<Result<Chosen, Doubt>, L::Error> {
        if self.context == Context::Drink && phrase.stems().contains(&"breast") {
            return Ok(Err(Doubt::Feeds));
        }
        if let Some(food) = self.own(phrase)? {
            let beside = Beside::of(lexicon, phrase, &phrase.content);
            return Ok(Ok(Chosen::new(
                food,
                vec![key(lexicon, phrase)],
                beside,
                &[],
            )));
        }
        let words = key(lexicon, phrase);
        let hits = self.pantry()?.search(&words, OFFERED)?;
        let all = |hit: &Hit| {
            let name = words_of(&hit.name);
            words
                .split(' ')
                .all(|word| name.iter().any(|one| one.starts_with(word)))
        };
        let ids = |hits: &[Hit]| hits.iter().filter_map(|hit| hit.id.parse().ok()).collect();
        Ok(Err(if hits.iter().any(all) {
            Doubt::Food(ids(&hits))
        } else {
            Doubt::NoFood(ids(&hits))
        }))
    }

    /// Foods that could be meant, those of the table first.
    fn unsure(
        &mut self,
        phrase: &Phrase,
        mut ids: Vec<FoodId>,
    ) -> Result<Result<Chosen, Doubt>, L::Error> {
        let mut words = phrase.stems().join(" ");
        if let Some(pack) = &phrase.pack {
            words = format!("{words} {}", pack.state);
        }
        let hits = self.pantry()?.search(&words, OFFERED)?;
        let found = hits.iter().filter_map(|hit| hit.id.parse::<FoodId>().ok());
        let mut all: Vec<FoodId> = found.take(2).collect();
        ids.retain(|id| !all.contains(id));
        all.extend(ids);
        all.truncate(OFFERED);
        Ok(Err(Doubt::Food(all)))
    }

    /// The one food of the household's own that has every word.
    fn own(&mut self, phrase: &Phrase) -> Result<Option<Food>, L::Error> {
        let lexicon = lexicon()?;
        let words = key(lexicon, phrase);
        let hits = self.pantry()?.search(&words, OFFERED)?;
        let has = |hit: &&Hit| {
            let name = words_of(&hit.name);
            hit.id.starts_with("own-")
                && words
                    .split(' ')
                    .all(|word| name.iter().any(|one| one == word))
        };
        let own: Vec<&Hit> = hits.iter().filter(has).collect();
        let id = match own.as_slice() {
            [one] => one.id.parse::<FoodId>().ok(),
            _ => None,
        };
        let Some(id) = id else {
            return Ok(None);
        };
        self.food(&id)
    }

    /// Two foods that could have been meant instead.
    fn others(&mut self, phrase: &Phrase, taken: &FoodId) -> Result<Vec<FoodId>, L::Error> {
        let hits = self.pantry()?.search(&phrase.stems().join(" "), OFFERED)?;
        let ids = hits.iter().filter_map(|hit| hit.id.parse().ok());
        Ok(ids.filter(|id| id != taken).take(2).collect())
    }

    /// The doubt, with the foods that could be meant or what an answer is put together with. What is offered was read before.
    pub(super) fn with_choices(
        &mut self,
        phrase: &Phrase,
        chosen: Option<&Chosen>,
        doubt: Doubt,
    ) -> Result<Unclear, L::Error> {
        let mut unclear = Unclear::new(&phrase.typed, doubt);
        unclear.why.clone_from(&phrase.why);
        let lexicon = lexicon()?;
        let kept = match chosen {
            Some(chosen) => chosen.beside.kept.clone(),
            None => Beside::of(lexicon, phrase, &phrase.content).kept,
        };
        let all = unclear.doubt.foods();
        let ids = all[..all.len().min(OFFERED)].to_vec();
        if !ids.is_empty() {
            for food in self.pantry()?.foods(&ids)?.into_iter().flatten() {
                let choice = self.choice(phrase.with_food(&food.id, &kept), food)?;
                unclear.choices.push(choice);
            }
            unclear.words = key(lexicon, phrase);
        }
        if let Some(chosen) = chosen {
            let id = &chosen.food.id;
            let whole = phrase.with_food(id, &kept);
            if let Doubt::Method { usual, .. } = unclear.doubt {
                let texts = [&phrase.typed, &whole].map(|text| format!("{text} {usual}"));
                unclear.suggestion = self.first_read(texts.to_vec(), id)?;
            }
            unclear.known = Some(KnownParts {
                without_amount: phrase.without_amount(id, &kept),
                whole,
            });
        }
        Ok(unclear)
    }

    /// A food that could be meant, with what to type for it: where a way to cook is lacking, with the usual one.
    fn choice(&mut self, retyped: String, food: Food) -> Result<Choice, L::Error> {
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
}

impl Cell {
    fn names(&self, id: &FoodId) -> bool {
        match self {
            Self::Take(one) => one == id,
            Self::Ask(ids) | Self::Missing(ids) => ids.contains(id),
        }
    }

    fn into_ids(self) -> Vec<FoodId> {
        match self {
            Self::Take(id) => vec![id],
            Self::Ask(ids) | Self::Missing(ids) => ids,
        }
    }
}

/// The words that name the food, as they are remembered: without amounts, cuts and ways to cook.
pub(super) fn key(lexicon: &Lexicon, phrase: &Phrase) -> String {
    let mut words: Vec<&str> = Vec::new();
    for at in &phrase.content {
        let Some(word) = phrase.stem(*at) else {
            continue;
        };
        let known = lexicon.word_at(&[word]).map(|(word, _)| word.kind);
        // "Bottle, 4 times" names milk, if not which.
        let names = known.is_none_or(|kind| matches!(kind, Kind::Piece | Kind::State));
        let beside = !names && word != "bottle";
        if !joins(word) && !beside {
            words.push(word);
        }
    }
    words.join(" ")
}

/// The words of a food's name, in the singular.
pub(super) fn words_of(name: &str) -> Vec<String> {
    fold(name).split_whitespace().map(stem).collect()
}

/// Milk that was not heated: SR28 01078, "Milk, producer, fluid, 3.7% milkfat".
const RAW_MILK: &str = "01078";
/// Codes of food groups of SR28: dairy and egg products, pulses, vegetables.
const DAIRY: &str = "0100";
const PULSES: &str = "1600";
const VEGETABLES: &str = "1100";

/// Whether it is milk, or made of it, as it is sold: heated, which raw milk is not.
fn is_heated_milk(food: &Food) -> bool {
    food.group == DAIRY && !food.name.starts_with("Egg") && food.id.as_str() != RAW_MILK
}

/// Whether it is a pulse as it is bought dry.
fn is_dry_pulse(food: &Food) -> bool {
    food.group == PULSES && food.name.ends_with("raw")
}

fn is_dry(food: &Food) -> bool {
    let name = fold(&food.name);
    ["dried", "dry", "raw", "dehydrated", "powder", "ground"]
        .iter()
        .any(|word| name.contains(word))
}
