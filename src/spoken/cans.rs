//! Food out of a can: weighed with all that is in it, or drained.

use data_import::FoodId;

use super::food::Chosen;
use super::food_names::Cell;
use super::kinds::words_of;
use super::matching::Match;
use super::phrase::Phrase;
use super::stop::Stop;
use super::unclear::Doubt;
use super::{Context, Lookup, Reader};
use crate::cooking::CanRow;

impl<L: Lookup> Reader<'_, L> {
    /// Of a can that was weighed with all that is in it: the can itself, where what was named is what is left of it.
    pub(super) fn of_can(
        &mut self,
        phrase: &Phrase,
        mut chosen: Chosen,
    ) -> Result<Chosen, Stop<L::Error>> {
        if chosen.by_id || !phrase.is_weight_of_cans() {
            return Ok(chosen);
        }
        let words = words_of(&chosen.food.name);
        let names_drained = words.iter().any(|word| word == "drained");
        let to_cook = matches!(self.context, Context::Cook | Context::Buy);
        let whole = CanRow::whole(&chosen.food.id).map_err(L::Error::from)?;
        if let Some(whole) = whole.filter(|_| to_cook)
            && let Some(whole) = self.food(&whole)?
        {
            chosen.food = whole;
            chosen.beside.edible = false;
            return Ok(chosen);
        }
        match &phrase.amount {
            // How much of it is liquid is not known.
            Some(can) if names_drained || phrase.says_drained() => {
                let vague = Some(format!("a can of {can}, drained"));
                let doubt = Doubt::of_amount(&chosen.food, vague);
                Err(doubt.stop().with_food(chosen))
            }
            _ => Ok(chosen),
        }
    }

    /// Pulses that are drained are not dry: out of a can, or boiled at home.
    pub(super) fn out_of_a_can(
        &mut self,
        phrase: &Phrase,
        matched: &Match<'_>,
        boiled: Option<&Cell>,
    ) -> Result<Chosen, Stop<L::Error>> {
        let words = format!("{} canned drained", matched.name.stems.join(" "));
        let hits = self.search(&words, 1)?;
        let canned = hits.iter().filter_map(|hit| hit.id.parse().ok());
        let boiled = boiled.cloned().into_iter().flat_map(Cell::into_ids);
        let ids: Vec<FoodId> = canned.chain(boiled).collect();
        if ids.is_empty() {
            return self.unsure(phrase, Vec::new());
        }
        Err(Doubt::Food(ids).stop())
    }
}
