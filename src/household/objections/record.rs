//! The input of the judge from the record: the facts about a child, and the food and drink of the
//! days around.

use std::collections::{BTreeMap, BTreeSet};

use data_import::{Food, FoodId};
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::BookJudge;
use super::portions::portion;
use crate::notebook::{BookError, Child, EatenFood, Eczema};
use crate::nutrition::{BreastMilk, Serving};
use crate::quantity::Mass;
use crate::safety::{Case, ChildFacts, EatenMeal, FeedingStage, Portion, Tasted, Waiting};

/// The facts about a child on a day, with the meals on record around that day.
#[derive(Debug)]
pub struct EaterRecord {
    pub(super) facts: ChildFacts,
    pub(super) day: Date,
    pub(super) others: Vec<EatenMeal>,
}

impl EaterRecord {
    pub(super) fn case<'a>(
        &'a self,
        (context, seen): (FeedingStage, &'a str),
        portions: &'a [Portion],
    ) -> Case<'a> {
        Case {
            child: &self.facts,
            day: self.day,
            context,
            portions,
            others: &self.others,
            seen,
        }
    }
}

impl BookJudge<'_> {
    /// The facts about a child on a day.
    pub fn facts(&self, child: &Child, day: Date) -> Result<ChildFacts, BookError> {
        let mut facts = ChildFacts {
            name: child.name.clone(),
            age: Some(child.age_on(day)),
            allergies: child.allergies.clone(),
            severe_eczema: matches!(child.eczema, Eczema::Severe | Eczema::Unspecified),
            weeks_early: child.weeks_early.unwrap_or(0),
            waiting: Waiting {
                days: self.settings.waiting_days,
                after: self.settings.waiting,
            },
            ..ChildFacts::default()
        };
        let Some(store) = self.store else {
            return Ok(facts);
        };
        let record = store.tastes(&child.name, day)?;
        let foods = record.known().into_iter();
        let held = record.known_allergens().into_iter();
        let mut tasted = Tasted {
            foods: foods
                .map(|(food, first)| (food.to_string(), first))
                .collect(),
            names: record.known_by_name(),
            allergens: held
                .map(|(allergen, (first, _))| (allergen.to_string(), first))
                .collect(),
        };
        tasted.drank(&self.milk_allergens(child, day)?, day);
        facts.reactions = record.open_reactions();
        let textures = store.textures(&child.name, day)?;
        let last = textures.last();
        facts.texture = last.map(|since| (since.stage.word().to_string(), since.day));
        facts.tasted = Some(tasted);
        Ok(facts)
    }

    /// The meals and drinks of a day and of the six days before it.
    pub fn eaten_around(&self, child: &Child, day: Date) -> Result<Vec<EatenMeal>, BookError> {
        let eaten = self.eaten(child, day)?;
        let ids = eaten.iter().map(|eaten| eaten.food.id.clone());
        let known = self.known(ids.collect())?;
        let mut meals: Vec<(&EatenFood, EatenMeal)> = Vec::new();
        for food in eaten
            .iter()
            .filter(|eaten| eaten.food.edible != Some(Mass::ZERO))
        {
            let portion = portion(&known, food.source, &food.food);
            let same = |(first, _): &&mut (&EatenFood, EatenMeal)| {
                first.day == food.day && first.meal == food.meal
            };
            match meals.iter_mut().find(same) {
                Some((_, meal)) => meal.portions.push(portion),
                None => meals.push((
                    food,
                    EatenMeal {
                        day: food.day,
                        portions: vec![portion],
                    },
                )),
            }
        }
        Ok(meals.into_iter().map(|(_, meal)| meal).collect())
    }

    fn eaten(&self, child: &Child, day: Date) -> Result<Vec<EatenFood>, BookError> {
        let Some(store) = self.store else {
            return Ok(Vec::new());
        };
        let days = (day.saturating_sub(6.days()), day);
        store.eaten_foods(child, days, &BreastMilk::builtin()?)
    }

    /// The allergens of the milk that a child drinks, such as the cow's milk that formula is made
    /// of.
    pub fn milk_allergens(&self, child: &Child, day: Date) -> Result<Vec<String>, BookError> {
        let Some(store) = self.store else {
            return Ok(Vec::new());
        };
        let span = (day.saturating_sub(6.days()), day);
        let days = store.milk_days(child, span, &BreastMilk::builtin()?, None)?;
        let milks = days.iter().filter_map(|day| day.milk.as_ref()).flatten();
        let foods = milks.flat_map(|milk| &milk.serving.foods);
        Ok(foods.flat_map(|food| food.allergens.clone()).collect())
    }

    /// The foods of servings in one meal, as portions for the judge.
    pub fn portions(&self, servings: &[Serving]) -> Result<Vec<Portion>, BookError> {
        let each = self.portions_of_each(servings)?;
        Ok(each.into_iter().flatten().collect())
    }

    /// The foods of each serving, as portions for the judge.
    pub fn portions_of_each(&self, servings: &[Serving]) -> Result<Vec<Vec<Portion>>, BookError> {
        let foods = servings.iter().flat_map(|serving| &serving.foods);
        let known = self.known(foods.map(|food| food.id.clone()).collect())?;
        let portions = servings.iter().map(|serving| {
            let of_it = |food| portion(&known, serving.source, food);
            serving.foods.iter().map(of_it).collect()
        });
        Ok(portions.collect())
    }

    pub(super) fn known(&self, ids: BTreeSet<FoodId>) -> Result<BTreeMap<FoodId, Food>, BookError> {
        let ids: Vec<FoodId> = ids.into_iter().collect();
        let found = self.pantry.foods(&ids)?.into_iter().flatten();
        Ok(found.map(|food| (food.id.clone(), food)).collect())
    }
}
