//! Objections to foods, considering the record of the book's children. Every interface uses this
//! module.

mod portions;
mod record;

use std::collections::BTreeSet;

use data_import::{Food, FoodId};
use jiff::ToSpan as _;
use jiff::civil::Date;

pub use record::EaterRecord;

use self::portions::batch_portions;
pub(super) use self::portions::{alone, in_puree};
use super::USUAL_SERVING;
use super::drinking::check_milk;
use crate::food::Pantry;
use crate::notebook::{
    Book, BookError, Child, FrozenBatch, MilkAmount, MilkPart, NewMilk, Settings, Store,
};
use crate::nutrition::{AgeMonths, Serving};
use crate::portion::Tray;
use crate::quantity::Mass;
use crate::recipe::Batch;
use crate::safety::{
    BEFORE_SOLIDS, ChildFacts, EatenMeal, FeedingStage, Judge, NotedReaction, Objection, Portion,
    Severity, UNKNOWN_AGE, distinct, gravest_first,
};

/// A meal of a child that is to be judged.
#[derive(Debug)]
pub struct MealToJudge<'a> {
    /// The child.
    pub child: &'a Child,
    /// The day.
    pub day: Date,
    /// Whether the meal is cooked, mixed, served or planned.
    pub context: FeedingStage,
    /// The reaction that was seen afterwards; empty for none.
    pub seen: &'a str,
}

/// The outcome of a request to record something.
#[derive(Debug)]
pub struct Judged<T> {
    /// The objections, the gravest first.
    pub objections: Vec<Objection>,
    /// The entry that was recorded; `None` where an objection blocked it.
    pub recorded: Option<T>,
}

impl<T> Judged<T> {
    /// Records an entry, unless an objection blocks it and `anyway`, called with the objections,
    /// does not override it.
    pub(super) fn unless_stopped(
        objections: Vec<Objection>,
        anyway: impl FnOnce(&[Objection]) -> bool,
        record: impl FnOnce() -> Result<T, BookError>,
    ) -> Result<Self, BookError> {
        let stopped = objections.iter().any(Objection::is_block) && !anyway(&objections);
        let recorded = if stopped { None } else { Some(record()?) };
        Ok(Self {
            objections,
            recorded,
        })
    }
}

/// The judge, with the record of a book.
#[derive(Debug)]
pub struct BookJudge<'a> {
    settings: &'a Settings,
    /// `None` for a book that has no record yet.
    store: Option<&'a Store>,
    pantry: &'a Pantry,
    judge: &'static Judge,
}

impl<'a> BookJudge<'a> {
    /// A judge that uses these settings and the entries on record of their children.
    pub fn new(
        settings: &'a Settings,
        store: Option<&'a Store>,
        pantry: &'a Pantry,
    ) -> Result<Self, BookError> {
        Ok(Self {
            settings,
            store,
            pantry,
            judge: Judge::builtin()?,
        })
    }

    /// The judge.
    pub fn judge(&self) -> &Judge {
        self.judge
    }

    /// The objections to a meal, considering the meals on record around it.
    pub fn meal(
        &self,
        asked: &MealToJudge<'_>,
        servings: &[Serving],
    ) -> Result<Vec<Objection>, BookError> {
        let eater = self.eater(asked.child, asked.day)?;
        self.meal_of(&eater, asked, servings)
    }

    /// The objections to a meal that is on record, as it really was: a reaction that was noted on the meal itself, on that day
    /// and in those words, must not stop its correction.
    pub(super) fn corrected_meal(
        &self,
        asked: &MealToJudge<'_>,
        servings: &[Serving],
        (day, words): (Date, &str),
    ) -> Result<Vec<Objection>, BookError> {
        let mut eater = self.eater(asked.child, asked.day)?;
        let own = |noted: &NotedReaction| noted.day == day && noted.words == words;
        eater.facts.reactions.retain(|noted| !own(noted));
        self.meal_of(&eater, asked, servings)
    }

    fn meal_of(
        &self,
        eater: &EaterRecord,
        asked: &MealToJudge<'_>,
        servings: &[Serving],
    ) -> Result<Vec<Objection>, BookError> {
        let portions = self.portions(servings)?;
        let case = eater.case((asked.context, asked.seen), &portions);
        Ok(self.judge.objections(&case))
    }

    /// The objections to meals that are to be recorded together: each is judged with those on
    /// record and with the new ones before it.
    pub(super) fn meals_in_turn(
        &self,
        child: &Child,
        meals: &[(Date, Vec<Serving>)],
    ) -> Result<Vec<Objection>, BookError> {
        let (mut found, mut before): (_, Vec<EatenMeal>) = (Vec::new(), Vec::new());
        for (day, servings) in meals {
            let mut eater = self.eater(child, *day)?;
            let week = day.saturating_sub(6.days())..=*day;
            let new = before.iter().filter(|meal| week.contains(&meal.day));
            eater.others.extend(new.cloned());
            let portions = self.portions(servings)?;
            found.extend(
                self.judge
                    .objections(&eater.case((FeedingStage::Served, ""), &portions)),
            );
            before.push(EatenMeal {
                day: *day,
                portions,
            });
        }
        let mut found = distinct(&found);
        gravest_first(&mut found);
        Ok(found)
    }

    /// The record of a child on a day, for several meals that are judged one by one.
    pub fn eater(&self, child: &Child, day: Date) -> Result<EaterRecord, BookError> {
        Ok(EaterRecord {
            facts: self.facts(child, day)?,
            day,
            others: self.eaten_around(child, day)?,
        })
    }

    /// The objections to each of several alternative meals.
    pub fn each(
        &self,
        eater: &EaterRecord,
        context: FeedingStage,
        meals: &[Vec<Portion>],
    ) -> Vec<Vec<Objection>> {
        let judged = meals
            .iter()
            .map(|meal| self.judge.objections(&eater.case((context, ""), meal)));
        judged.collect()
    }

    /// The objections to a food in one form or another, and to what is on record about it, for each
    /// child of the book; `age` replaces the age of an only child, and is that of the eater where
    /// the book has no child.
    pub fn food(
        &self,
        food: &Food,
        day: Date,
        age: Option<AgeMonths>,
    ) -> Result<Vec<Objection>, BookError> {
        let mut found = Vec::new();
        for eater in self.eaters(day, age)? {
            found.extend(self.about(food, &eater));
        }
        gravest_first(&mut found);
        Ok(found)
    }

    /// The objections that stop each food however it is cooked and given, in the order of the foods;
    /// `age` as in [`BookJudge::food`].
    pub fn stops(
        &self,
        foods: &[Food],
        day: Date,
        age: Option<AgeMonths>,
    ) -> Result<Vec<Vec<Objection>>, BookError> {
        let eaters = self.eaters(day, age)?;
        let judged = foods.iter().map(|food| {
            let portions = [in_puree(food.clone(), None)];
            let of_each = eaters.iter().flat_map(|eater| {
                let planned = (day, FeedingStage::Planned);
                alone(self.judge, &eater.facts, planned, &portions)
            });
            of_each.filter(Objection::is_block).collect()
        });
        Ok(judged.collect())
    }

    /// The records of the children of the book; without one, an eater of whom at most the age is
    /// known.
    fn eaters(&self, day: Date, age: Option<AgeMonths>) -> Result<Vec<EaterRecord>, BookError> {
        let children = &self.settings.children;
        if children.is_empty() {
            let facts = ChildFacts {
                age: Some(age.unwrap_or(UNKNOWN_AGE)),
                ..ChildFacts::default()
            };
            let others = Vec::new();
            return Ok(vec![EaterRecord { facts, day, others }]);
        }
        let mut eaters = Vec::with_capacity(children.len());
        for child in children {
            let mut eater = self.eater(child, day)?;
            if let Some(age) = age.filter(|_| children.len() == 1) {
                eater.facts.age = Some(age);
            }
            eaters.push(eater);
        }
        Ok(eaters)
    }

    /// The objections to a food in one form or another for one child.
    fn about(&self, food: &Food, eater: &EaterRecord) -> Vec<Objection> {
        let portion = Portion::as_it_is(food.clone(), Mass::ZERO);
        let case = eater.case((FeedingStage::Planned, ""), std::slice::from_ref(&portion));
        let mut found = self.judge.on_record(&case);
        let age = eater.facts.age.unwrap_or(UNKNOWN_AGE);
        let general = self.judge.about(food, age).into_iter();
        found.extend(general.map(|objection| Objection {
            child: eater.facts.name.clone(),
            ..objection
        }));
        // How to begin with a food is no advice where the food is stopped.
        if found.iter().any(Objection::is_block) {
            found.retain(|one| !one.is_first_time());
        }
        found
    }

    /// The objections to a batch, for each child of the book; `age` replaces the age of an only
    /// child.
    pub fn batch(
        &self,
        batch: &Batch,
        tray: &Tray,
        day: Date,
        age: Option<AgeMonths>,
    ) -> Result<Vec<Objection>, BookError> {
        let children = &self.settings.children;
        let portions = batch_portions(batch, tray);
        let cooked = (day, FeedingStage::Cooked);
        if children.is_empty() {
            let facts = ChildFacts {
                age,
                ..ChildFacts::default()
            };
            return Ok(alone(self.judge, &facts, cooked, &portions));
        }
        let mut found = Vec::new();
        for child in children {
            let mut facts = self.facts(child, day)?;
            if let Some(age) = age.filter(|_| children.len() == 1) {
                facts.age = Some(age);
            }
            found.extend(alone(self.judge, &facts, cooked, &portions));
        }
        gravest_first(&mut found);
        Ok(found)
    }

    /// The objections to foods that a child was offered before, if they were offered again.
    pub fn offered(&self, child: &Child, day: Date) -> Result<Vec<Objection>, BookError> {
        let Some(store) = self.store else {
            return Ok(Vec::new());
        };
        let record = store.tastes(&child.name, day)?;
        let again = record.to_offer_again().map(|taste| taste.food.as_str());
        let open = record.open_reactions();
        let ids = again
            .chain(open.iter().map(|open| open.food.as_str()))
            .map(str::parse)
            .collect::<Result<BTreeSet<FoodId>, _>>()?;
        let known = self.known(ids)?;
        let facts = self.facts(child, day)?;
        let mut found: Vec<Objection> = self.judge.before_peanut(&facts).into_iter().collect();
        for food in known.into_values() {
            // Offered again in any way: cooked through, and without an amount.
            let again = [in_puree(food, None)];
            found.extend(alone(
                self.judge,
                &facts,
                (day, FeedingStage::Mixed),
                &again,
            ));
        }
        gravest_first(&mut found);
        Ok(distinct(&found))
    }

    /// The objections to foods that a child had already, in any way, without those that say how to
    /// begin with them: the grave ones, and what to watch for.
    pub fn had_before(
        &self,
        child: &Child,
        day: Date,
        foods: &[Food],
    ) -> Result<Vec<Objection>, BookError> {
        let portions = foods.iter().map(|food| in_puree(food.clone(), None));
        let portions: Vec<Portion> = portions.collect();
        self.grave((child, day), FeedingStage::Served, &portions)
    }

    /// The objections to foods that are more than a remark, whether or not the child knows the
    /// foods.
    fn grave(
        &self,
        (child, day): (&Child, Date),
        context: FeedingStage,
        portions: &[Portion],
    ) -> Result<Vec<Objection>, BookError> {
        let mut facts = self.facts(child, day)?;
        facts.tasted = None;
        let mut found = alone(self.judge, &facts, (day, context), portions);
        found.retain(|objection| objection.severity != Severity::Mind);
        Ok(found)
    }

    /// The objections to a usual serving of a frozen batch, for each child of the book.
    pub fn frozen(&self, cube: &Serving, day: Date) -> Result<Vec<Objection>, BookError> {
        let serving = cube.times(USUAL_SERVING);
        let mut found = Vec::new();
        for child in &self.settings.children {
            let asked = MealToJudge {
                child,
                day,
                context: FeedingStage::Mixed,
                seen: "",
            };
            found.extend(self.meal(&asked, std::slice::from_ref(&serving))?);
        }
        gravest_first(&mut found);
        Ok(found)
    }

    /// The objections to a usual serving of each of some batches, as [`BookJudge::frozen`]; none
    /// for a batch without a cube on record.
    pub fn batches(
        &self,
        store: &Store,
        batches: &[FrozenBatch],
        day: Date,
    ) -> Result<Vec<Vec<Objection>>, BookError> {
        let ids: Vec<i64> = batches.iter().map(|batch| batch.id).collect();
        let cubes = store.cubes(&ids)?;
        let judged = ids.iter().map(|id| match cubes.get(id) {
            Some(cube) => self.frozen(cube, day),
            None => Ok(Vec::new()),
        });
        judged.collect()
    }

    /// The objections to a day's milk; breast milk and formula are no first tastes.
    pub fn milk(
        &self,
        child: &Child,
        day: Date,
        parts: &[MilkPart],
    ) -> Result<Vec<Objection>, BookError> {
        let mut facts = self.facts(child, day)?;
        facts.tasted = None;
        let portion = |part: &MilkPart| match part.amount {
            MilkAmount::Mass(mass) => Some(Portion::as_it_is(part.helping.food.clone(), mass)),
            _ => None,
        };
        let portions: Vec<Portion> = parts.iter().filter_map(portion).collect();
        let mut found = alone(self.judge, &facts, (day, FeedingStage::Served), &portions);
        // Milk that is drunk is not a solid food, whatever its label calls it.
        found.retain(|objection| !BEFORE_SOLIDS.contains(&objection.hazard.as_str()));
        Ok(found)
    }
}

/// Records what each child drinks, or nothing: all is stopped where an objection blocks one of them and the caller, called with
/// all objections, does not override it. The objections are the gravest first.
///
/// Errors: it is more milk than a child drinks in a day.
pub fn drink(
    book: &Book,
    store: &mut Store,
    pantry: &Pantry,
    (children, anyway): (&[&Child], impl FnOnce(&[Objection]) -> bool),
    each: &[NewMilk<'_>],
) -> Result<Judged<Vec<i64>>, BookError> {
    for new in each {
        check_milk(new.parts)?;
    }
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let objections = children.iter().zip(each);
    let objections = objections.map(|(child, new)| judge.milk(child, new.day, new.parts));
    let objections: Vec<Vec<Objection>> = objections.collect::<Result<_, _>>()?;
    let mut objections = objections.concat();
    gravest_first(&mut objections);
    Judged::unless_stopped(objections, anyway, || store.drink_each(each))
}
