//! Which food the words name.

use data_import::{Food, FoodId};

use super::beside::Beside;
use super::lexicon::{Cell, Kind, Lexicon, Name, lexicon};
use super::matching::{Match, best, names_in};
use super::phrase::{Phrase, SpokenUnit};
use super::spelling::nearest;
use super::text::joins;
use super::unclear::{Choice, Doubt};
use super::{Context, Lookup, Reader, Unclear};
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
            [one] => self.by_row(lexicon, phrase, one),
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
        let beside = Beside::of(lexicon, phrase, &rest);
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
        if phrase.pack.as_deref() == Some("canned")
            && !one.name.stems.iter().any(|word| word == "canned")
        {
            // A can of what the table knows fresh or dry only.
            return self.unsure(phrase, self.likely(lexicon, one));
        }
        let form = beside
            .states
            .iter()
            .find(|state| !matches!(state.as_str(), "raw" | "cooked"));
        let dry = form.is_some_and(|form| form == "dried");
        if form.is_some() && !dry {
            return self.unsure(phrase, self.likely(lexicon, one));
        }
        let context = if beside.says("raw") {
            Context::Cook
        } else if beside.says("cooked") && self.context == Context::Cook {
            Context::Table
        } else {
            self.context
        };
        let row = &lexicon.rows[one.name.row];
        let words = one.name.stems.clone();
        match row.cell(context).or_else(|| row.cell(self.context)) {
            Some(Cell::Take(id)) => match self.food(id)? {
                Some(food) if dry && !is_dry(&food) => self.unsure(phrase, vec![food.id]),
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
            words = format!("{words} {pack}");
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

    /// The doubt, with the foods or measures that could be meant.
    pub(super) fn with_choices(
        &mut self,
        phrase: &Phrase,
        chosen: Option<&Chosen>,
        doubt: Doubt,
    ) -> Result<Unclear, L::Error> {
        let mut unclear = Unclear::new(&phrase.typed, doubt);
        let all = unclear.doubt.foods();
        let ids = all[..all.len().min(OFFERED)].to_vec();
        if !ids.is_empty() {
            let lexicon = lexicon()?;
            let kept = match chosen {
                Some(chosen) => chosen.beside.kept.clone(),
                None => Beside::of(lexicon, phrase, &phrase.content).kept,
            };
            let key = key(lexicon, phrase);
            for food in self.pantry()?.foods(&ids)?.into_iter().flatten() {
                unclear.choices.push(Choice {
                    retyped: phrase.with_food(&food.id, &kept),
                    name: food.name,
                    id: food.id,
                });
            }
            unclear.words = key;
        }
        Ok(unclear)
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
        let beside = known.is_some_and(|kind| kind != Kind::Piece && kind != Kind::State);
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

fn is_dry(food: &Food) -> bool {
    let name = fold(&food.name);
    ["dried", "dry", "raw", "dehydrated", "powder", "ground"]
        .iter()
        .any(|word| name.contains(word))
}
