//! What speaks against foods, asked with what the book knows of its children: every door asks here.

use std::collections::{BTreeMap, BTreeSet};

use data_import::{Composition, Food, FoodId};
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::USUAL_SERVING;
use crate::cooking::Method;
use crate::food::Pantry;
use crate::notebook::{
    Book, BookError, Child, EatenFood, Eczema, MilkAmount, MilkPart, NewMilk, Settings, Store,
};
use crate::nutrition::{AgeMonths, BreastMilk, ServedFood, Serving, Source};
use crate::portion::Tray;
use crate::quantity::Mass;
use crate::recipe::Batch;
use crate::safety::{
    Case, ChildFacts, Context, Form, Judge, Meal, NotedReaction, Objection, Portion, Tasted,
    UNKNOWN_AGE, Waiting, gravest_first,
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

/// A child on a day, with the meals on record around it.
#[derive(Debug)]
pub struct Eater {
    facts: ChildFacts,
    day: Date,
    others: Vec<Meal>,
}

impl Eater {
    fn case<'a>(
        &'a self,
        (context, seen): (Context, &'a str),
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

/// What came of something that was to be recorded.
#[derive(Debug)]
pub struct Judged<T> {
    /// What speaks against it, the gravest first.
    pub objections: Vec<Objection>,
    /// What was recorded; `None` where an objection stopped it.
    pub recorded: Option<T>,
}

impl<T> Judged<T> {
    /// Records it, unless an objection stops it and it is not meant all the same: `anyway` is asked with what speaks
    /// against it.
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

/// The judge with a book at hand.
#[derive(Debug)]
pub struct BookJudge<'a> {
    settings: &'a Settings,
    /// `None` for a book that has no record yet.
    store: Option<&'a Store>,
    pantry: &'a Pantry,
    judge: Judge,
}

impl<'a> BookJudge<'a> {
    /// One that knows the children of these settings, and what is on record of them.
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
        let eater = self.eater(asked.child, asked.day)?;
        let portions = self.portions(servings)?;
        let case = eater.case((asked.context, asked.seen), &portions);
        Ok(self.judge.objections(&case))
    }

    /// A child on a day, for several meals that are judged one by one.
    pub fn eater(&self, child: &Child, day: Date) -> Result<Eater, BookError> {
        Ok(Eater {
            facts: self.facts(child, day)?,
            day,
            others: self.eaten_around(child, day)?,
        })
    }

    /// What speaks against each of several meals, whichever of them it will be.
    pub fn each(
        &self,
        eater: &Eater,
        context: Context,
        meals: &[Vec<Portion>],
    ) -> Vec<Vec<Objection>> {
        let judged = meals
            .iter()
            .map(|one| self.judge.objections(&eater.case((context, ""), one)));
        judged.collect()
    }

    /// What may speak against a food, whichever way it is given, and what is on record against it, for each child of the book.
    pub fn food(&self, food: &Food, day: Date) -> Result<Vec<Objection>, BookError> {
        let children = &self.settings.children;
        if children.is_empty() {
            return Ok(self.judge.about(food, UNKNOWN_AGE));
        }
        let portion = Portion::as_it_is(food.clone(), Mass::ZERO);
        let mut found = Vec::new();
        for child in children {
            let eater = self.eater(child, day)?;
            let case = eater.case((Context::Planned, ""), std::slice::from_ref(&portion));
            found.extend(self.judge.on_record(&case));
            let general = self.judge.about(food, child.age_on(day)).into_iter();
            found.extend(general.map(|one| Objection {
                child: child.name.clone(),
                ..one
            }));
        }
        gravest_first(&mut found);
        Ok(found)
    }

    /// What speaks against a batch, for each child of the book; `age` stands in for that of an only child.
    pub fn batch(
        &self,
        batch: &Batch,
        tray: &Tray,
        day: Date,
        age: Option<AgeMonths>,
    ) -> Result<Vec<Objection>, BookError> {
        let children = &self.settings.children;
        if children.is_empty() {
            return Ok(for_an_age(&self.judge, batch, tray, day, age));
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

    /// What speaks against foods that a child was offered before, if it were offered them again.
    pub fn offered(&self, child: &Child, day: Date) -> Result<Vec<Objection>, BookError> {
        let Some(store) = self.store else {
            return Ok(Vec::new());
        };
        let record = store.tastes(&child.name, day)?;
        let again = record.to_offer_again().map(|taste| taste.food.as_str());
        let open = record.open_reactions().into_iter().map(|open| open.food);
        let ids = again
            .chain(open)
            .map(str::parse)
            .collect::<Result<BTreeSet<FoodId>, _>>()?;
        let known = self.known(ids)?;
        let mut found = Vec::new();
        for food in known.into_values() {
            found.extend(self.judge.objections(&Case {
                child: &self.facts(child, day)?,
                day,
                context: Context::Mixed,
                // Offered again in whatever way: cooked through, and in no amount yet.
                portions: &[Portion {
                    food,
                    mass: None,
                    method: None,
                    form: Form::Puree,
                }],
                others: &[],
                seen: "",
            }));
        }
        gravest_first(&mut found);
        Ok(found)
    }

    /// What speaks against a usual serving of a frozen batch, for each child of the book.
    pub fn frozen(&self, cube: &Serving, day: Date) -> Result<Vec<Objection>, BookError> {
        let serving = cube.times(USUAL_SERVING);
        let mut found = Vec::new();
        for child in &self.settings.children {
            let asked = Asked {
                child,
                day,
                context: Context::Mixed,
                seen: "",
            };
            found.extend(self.meal(&asked, std::slice::from_ref(&serving))?);
        }
        gravest_first(&mut found);
        Ok(found)
    }

    /// What speaks against a day's milk; breast milk and formula are no first tastes.
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
        Ok(self.judge.objections(&Case {
            child: &facts,
            day,
            context: Context::Served,
            portions: &portions,
            others: &[],
            seen: "",
        }))
    }

    /// What is known of a child on a day.
    pub fn facts(&self, child: &Child, day: Date) -> Result<ChildFacts, BookError> {
        let mut facts = ChildFacts {
            name: child.name.clone(),
            age: Some(child.age_on(day)),
            allergies: child.allergies.clone(),
            severe_eczema: matches!(child.eczema, Eczema::Severe | Eczema::NotSaid),
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
        let open = record.open_reactions().into_iter();
        let noted = open.map(|open| NotedReaction {
            food: open.food.to_string(),
            name: open.name.to_string(),
            day: open.day,
            words: open.words.to_string(),
        });
        let foods = record.known().into_iter();
        let held = record.known_allergens().into_iter();
        let mut tasted = Tasted {
            foods: foods
                .map(|(food, first)| (food.to_string(), first))
                .collect(),
            allergens: held
                .map(|(one, (first, _))| (one.to_string(), first))
                .collect(),
        };
        tasted.drank(&self.milk_allergens(child, day)?, day);
        facts.reactions = noted.collect();
        facts.tasted = Some(tasted);
        Ok(facts)
    }

    /// What was eaten and drunk on the six days before a day, and on the day itself.
    pub fn eaten_around(&self, child: &Child, day: Date) -> Result<Vec<Meal>, BookError> {
        let eaten = self.eaten(child, day)?;
        let ids = eaten.iter().map(|one| one.food.id.clone());
        let known = self.known(ids.collect())?;
        let mut meals: Vec<(Date, &str, Meal)> = Vec::new();
        for one in eaten
            .iter()
            .filter(|one| one.food.edible != Some(Mass::ZERO))
        {
            let portion = portion(&known, one.source, &one.food);
            let same = |meal: &&mut (Date, &str, Meal)| meal.0 == one.day && meal.1 == one.meal;
            match meals.iter_mut().find(same) {
                Some((_, _, meal)) => meal.portions.push(portion),
                None => meals.push((
                    one.day,
                    &one.meal,
                    Meal {
                        day: one.day,
                        portions: vec![portion],
                    },
                )),
            }
        }
        Ok(meals.into_iter().map(|(_, _, meal)| meal).collect())
    }

    fn eaten(&self, child: &Child, day: Date) -> Result<Vec<EatenFood>, BookError> {
        let Some(store) = self.store else {
            return Ok(Vec::new());
        };
        let days = (day.saturating_sub(6.days()), day);
        store.eaten_foods(child, days, &BreastMilk::builtin()?)
    }

    /// The allergens of the milk that a child drinks, such as the cow's milk that formula is made of.
    fn milk_allergens(&self, child: &Child, day: Date) -> Result<Vec<String>, BookError> {
        let eaten = self.eaten(child, day)?;
        let milk = eaten.iter().filter(|one| one.source == Source::Milk);
        Ok(milk.flat_map(|one| one.food.allergens.clone()).collect())
    }

    /// The foods of servings in one meal, as the judge looks at them.
    pub fn portions(&self, servings: &[Serving]) -> Result<Vec<Portion>, BookError> {
        let each = self.portions_of_each(servings)?;
        Ok(each.into_iter().flatten().collect())
    }

    /// The foods of each serving, as the judge looks at them.
    pub fn portions_of_each(&self, servings: &[Serving]) -> Result<Vec<Vec<Portion>>, BookError> {
        let foods = servings.iter().flat_map(|one| &one.foods);
        let known = self.known(foods.map(|food| food.id.clone()).collect())?;
        let portions = servings.iter().map(|serving| {
            let of_it = |food| portion(&known, serving.source, food);
            serving.foods.iter().map(of_it).collect()
        });
        Ok(portions.collect())
    }

    fn known(&self, ids: BTreeSet<FoodId>) -> Result<BTreeMap<FoodId, Food>, BookError> {
        let ids: Vec<FoodId> = ids.into_iter().collect();
        let found = self.pantry.foods(&ids)?.into_iter().flatten();
        Ok(found.map(|food| (food.id.clone(), food)).collect())
    }
}

/// A food of a serving, with what the table knows of it.
fn portion(known: &BTreeMap<FoodId, Food>, source: Source, served: &ServedFood) -> Portion {
    let puree = source == Source::Puree;
    let food = known.get(&served.id).cloned();
    Portion {
        food: food.unwrap_or_else(|| named(&served.id, &served.name)),
        mass: served.edible,
        method: if puree {
            served.method
        } else {
            Some(Method::None)
        },
        form: if puree { Form::Puree } else { Form::Whole },
    }
}

/// Records what a child drinks, unless an objection stops it and it is not meant all the same.
pub fn drink(
    book: &Book,
    store: &mut Store,
    pantry: &Pantry,
    (child, anyway): (&Child, impl FnOnce(&[Objection]) -> bool),
    new: &NewMilk<'_>,
) -> Result<Judged<()>, BookError> {
    let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
    let objections = judge.milk(child, new.day, new.parts)?;
    Judged::unless_stopped(objections, anyway, || store.drink(new).map(|_| ()))
}

/// What speaks against a batch for a child of whom only the age is known, if that.
fn for_an_age(
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
