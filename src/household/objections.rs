//! What speaks against foods, asked with what the book knows of its children: every door asks here.

use std::collections::{BTreeMap, BTreeSet};

use data_import::{Composition, Food, FoodId};
use jiff::ToSpan as _;
use jiff::civil::Date;

use crate::cooking::Method;
use crate::food::Pantry;
use crate::notebook::{Book, BookError, Child, Store};
use crate::nutrition::{AgeMonths, Serving, Source};
use crate::portion::Tray;
use crate::recipe::Batch;
use crate::safety::{
    AllergenTable, Case, ChildFacts, Context, Form, Judge, Meal, NotedReaction, Objection, Portion,
    Tasted, Waiting, gravest_first,
};

/// A meal of a child that is to be judged.
#[derive(Debug)]
pub struct Asked<'a> {
    /// The child.
    pub child: &'a Child,
    /// The day.
    pub day: Date,
    /// Where the foods stand.
    pub context: Context,
    /// What was seen afterwards; empty for nothing.
    pub seen: &'a str,
}

/// The judge with a book at hand.
#[derive(Debug)]
pub struct BookJudge<'a> {
    book: &'a Book,
    /// `None` for a book that has no record yet.
    store: Option<&'a Store>,
    pantry: &'a Pantry,
    judge: Judge,
}

impl<'a> BookJudge<'a> {
    /// One that reads this book.
    pub fn new(
        book: &'a Book,
        store: Option<&'a Store>,
        pantry: &'a Pantry,
    ) -> Result<Self, BookError> {
        Ok(Self {
            book,
            store,
            pantry,
            judge: Judge::builtin()?,
        })
    }

    /// The judge itself.
    pub fn judge(&self) -> &Judge {
        &self.judge
    }

    /// What speaks against a meal, with the meals on record around it.
    pub fn meal(
        &self,
        asked: &Asked<'_>,
        servings: &[Serving],
    ) -> Result<Vec<Objection>, BookError> {
        let others = self.eaten_around(asked.child, asked.day)?;
        let facts = self.facts(asked.child, asked.day)?;
        let portions = self.portions(servings)?;
        Ok(self.judge.objections(&Case {
            child: &facts,
            day: asked.day,
            context: asked.context,
            portions: &portions,
            others: &others,
            seen: asked.seen,
        }))
    }

    /// What speaks against a batch, for each child of the book; `age` stands in for that of an only child.
    pub fn batch(
        &self,
        batch: &Batch,
        tray: &Tray,
        day: Date,
        age: Option<AgeMonths>,
    ) -> Result<Vec<Objection>, BookError> {
        let children = &self.book.settings.children;
        if children.is_empty() {
            return Ok(batch_objections(&self.judge, batch, tray, day, age));
        }
        let mut found = Vec::new();
        for child in children {
            let mut facts = self.facts(child, day)?;
            if let Some(age) = age.filter(|_| children.len() == 1) {
                facts.age = Some(age);
            }
            found.extend(of_batch(&self.judge, &facts, batch, tray, day));
        }
        gravest_first(&mut found);
        Ok(found)
    }

    /// What is known of a child on a day.
    pub fn facts(&self, child: &Child, day: Date) -> Result<ChildFacts, BookError> {
        let mut facts = ChildFacts {
            name: child.name.clone(),
            age: Some(child.age_on(day)),
            allergies: child.allergies.clone(),
            severe_eczema: child.eczema,
            weeks_early: 0,
            waiting: Waiting {
                days: self.book.settings.waiting_days,
                ..Waiting::default()
            },
            ..ChildFacts::default()
        };
        let Some(store) = self.store else {
            return Ok(facts);
        };
        let record = store.tastes(&child.name, day)?;
        let reactions = record.foods.iter().filter_map(|taste| {
            let (day, words) = taste.noted_last()?;
            Some(NotedReaction {
                food: taste.food.clone(),
                name: taste.name.clone(),
                day: *day,
                words: words.clone(),
            })
        });
        let allergens = AllergenTable::builtin()?;
        let names: Vec<&str> = allergens.all().collect();
        let first = record.allergens(&names, day).into_iter();
        let tasted = Tasted {
            foods: record
                .foods
                .iter()
                .map(|one| (one.food.clone(), one.first))
                .collect(),
            allergens: first
                .filter_map(|one| Some((one.allergen, one.first?)))
                .collect(),
        };
        facts.reactions = reactions.collect();
        facts.tasted = Some(tasted);
        Ok(facts)
    }

    /// The meals on record of the six days before a day, and of the day itself.
    fn eaten_around(&self, child: &Child, day: Date) -> Result<Vec<Meal>, BookError> {
        let Some(store) = self.store else {
            return Ok(Vec::new());
        };
        let eaten = store.eaten(&child.name, day.saturating_sub(6.days()), day)?;
        let eaten = eaten.into_iter().filter(|one| one.meal.share > 0.0);
        let meal = |one: crate::notebook::Eaten| {
            let servings: Vec<_> = one
                .meal
                .servings
                .iter()
                .map(|serving| serving.times(one.meal.share))
                .collect();
            Ok(Meal {
                day: one.day,
                portions: self.portions(&servings)?,
            })
        };
        eaten.map(meal).collect()
    }

    /// The foods of servings, as the judge looks at them.
    pub fn portions(&self, servings: &[Serving]) -> Result<Vec<Portion>, BookError> {
        let ids: BTreeSet<FoodId> = servings
            .iter()
            .flat_map(|one| &one.foods)
            .map(|food| food.id.clone())
            .collect();
        let ids: Vec<FoodId> = ids.into_iter().collect();
        let found = self.pantry.foods(&ids)?.into_iter().flatten();
        let known: BTreeMap<FoodId, Food> = found.map(|food| (food.id.clone(), food)).collect();
        let portions = servings.iter().flat_map(|serving| {
            let puree = serving.source == Source::Puree;
            serving.foods.iter().map(move |served| (puree, served))
        });
        Ok(portions
            .map(|(puree, served)| Portion {
                food: known
                    .get(&served.id)
                    .cloned()
                    .unwrap_or_else(|| named(&served.id, &served.name)),
                mass: served.edible,
                method: (!puree).then_some(Method::None),
                form: if puree { Form::Puree } else { Form::Whole },
            })
            .collect())
    }
}

/// What speaks against a batch for a child of whom only the age is known, if that.
pub fn batch_objections(
    judge: &Judge,
    batch: &Batch,
    tray: &Tray,
    day: Date,
    age: Option<AgeMonths>,
) -> Vec<Objection> {
    let facts = ChildFacts {
        age,
        ..ChildFacts::default()
    };
    of_batch(judge, &facts, batch, tray, day)
}

fn of_batch(
    judge: &Judge,
    child: &ChildFacts,
    batch: &Batch,
    tray: &Tray,
    day: Date,
) -> Vec<Objection> {
    judge.objections(&Case {
        child,
        day,
        context: Context::Cooked,
        portions: &batch_portions(batch, tray),
        others: &[],
        seen: "",
    })
}

/// The foods of one serving of a batch.
fn batch_portions(batch: &Batch, tray: &Tray) -> Vec<Portion> {
    let serving = tray.cube_mass(batch.density) * f64::from(batch.prepared.serving.cubes);
    let share = (serving / batch.masses.puree).min(1.0);
    let portion = |one: &crate::recipe::PreparedIngredient| Portion {
        food: one.food.clone(),
        mass: Some(one.edible() * share),
        method: Some(one.method),
        form: Form::Puree,
    };
    batch.prepared.ingredients.iter().map(portion).collect()
}

/// A food that is in no table any more, by what the record has of it: its name.
fn named(id: &FoodId, name: &str) -> Food {
    Food {
        id: id.clone(),
        name: name.to_string(),
        common_names: String::new(),
        manufacturer: String::new(),
        scientific_name: String::new(),
        group: String::new(),
        refuse_percent: None,
        refuse_description: String::new(),
        energy_factors: None,
        nitrogen_factor: None,
        composition: Composition::new(),
        basis: data_import::Basis::default(),
        serving: None,
        gtin: String::new(),
        measures: Vec::new(),
        source: String::new(),
    }
}
