//! What a proposal may know of a book: the freezer, the recipes that may be cooked, what the children know and need,
//! and what is settled; and a proposal as a plan of the book.

use std::collections::{BTreeMap, BTreeSet};

use data_import::{FoodId, NutrientId};
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::calculated;
use super::week::{Table, milk_of};
use crate::food::Pantry;
use crate::notebook::{
    Book, BookError, Child, Pick, Plan, PlannedCooking, PlannedServing, Slot, Stock, Store, Taste,
};
use crate::nutrition::{Day, DietGroup, Grouping, IntakeTable, Serving, TraitTable, Traits};
use crate::planning::propose::Proposal;
use crate::planning::{
    Batch, Cookable, Eater, FixedMeal, FixedPart, Need, Origin, Request, Target,
};
use crate::portion::{self, Tray};
use crate::problem::Problem;
use crate::quantity::Volume;
use crate::safety::CautionTable;

/// What milk and food together are to bring, by the references for the age.
const TARGETS: [NutrientId; 4] = [
    NutrientId::IRON,
    NutrientId::ZINC,
    NutrientId::VITAMIN_A_RAE,
    NutrientId::VITAMIN_C,
];

/// Trays of one recipe that one cooking fills at most.
const MOST_TRAYS: u32 = 3;

/// What is to be planned.
#[derive(Debug)]
pub struct Wish<'a> {
    /// The first day and the last.
    pub days: (Date, Date),
    /// The children.
    pub children: Vec<&'a Child>,
    /// Days on which there is time to cook.
    pub cook_days: BTreeSet<Date>,
    /// Trays that can be filled on one of them; `None` where nothing limits them.
    pub trays_a_day: Option<u32>,
}

/// What a proposal may know of a book. Meals that are planned already, or on record, are settled.
pub fn planning_request(
    book: &Book,
    store: &Store,
    pantry: &Pantry,
    wish: &Wish<'_>,
) -> Result<Request, BookError> {
    let (from, to) = wish.days;
    let mut desk = Desk::set(book, store, pantry, from)?;
    let mut request = Request {
        days: from.series(1.day()).take_while(|day| *day <= to).collect(),
        children: Vec::new(),
        batches: desk.batches()?,
        recipes: desk.recipes(&wish.cook_days)?,
        fixed: Vec::new(),
        waiting_days: book.settings.waiting_days,
        trays_a_day: wish.trays_a_day,
    };
    let plan = store.planned(from, to)?;
    desk.settle_cooking(&plan, &mut request)?;
    for child in &wish.children {
        let eater = desk.eater(child, wish.days, pantry)?;
        request.children.push(eater);
    }
    for (index, child) in wish.children.iter().enumerate() {
        desk.settle_eaten(child, index, &mut request)?;
    }
    desk.settle_planned(&plan, &wish.children, &mut request)?;
    Ok(request)
}

/// A proposal as a plan of the book, for the meals and the days it fills.
pub fn proposed_plan(
    request: &Request,
    proposal: &Proposal,
    store: &Store,
) -> Result<Plan, BookError> {
    let mut plan = Plan::default();
    for meal in &proposal.plan.meals {
        let child = request.children.get(meal.child);
        let slot = Slot {
            day: meal.day,
            child: child.map(|child| child.name.clone()).unwrap_or_default(),
            meal: meal.meal.clone(),
        };
        let parts = meal.parts.iter().map(|part| {
            PlannedServing::Cubes(Pick {
                cubes: part.cubes,
                name: part.origin.recipe(request).to_string(),
            })
        });
        plan.meals.insert(slot, parts.collect());
    }
    let (Some(first), Some(last)) = (request.days.first(), request.days.last()) else {
        return Ok(plan);
    };
    let settled = store.planned(*first, *last)?.cooking;
    for cooking in &proposal.plan.cookings {
        let Some(recipe) = request.recipes.get(cooking.recipe) else {
            continue;
        };
        // What is settled for that day stays.
        let there = settled.get(&cooking.day).cloned().unwrap_or_default();
        let day = plan.cooking.entry(cooking.day).or_insert(there);
        day.push(PlannedCooking {
            recipe: recipe.recipe.clone(),
            trays: cooking.trays,
        });
    }
    Ok(plan)
}

/// What the request is put together from.
struct Desk<'a> {
    book: &'a Book,
    store: &'a Store,
    table: Table<'a>,
    pantry: &'a Pantry,
    stock: Vec<Stock>,
    tray: Tray,
    from: Date,
    traits: TraitTable,
}

impl<'a> Desk<'a> {
    fn set(
        book: &'a Book,
        store: &'a Store,
        pantry: &'a Pantry,
        from: Date,
    ) -> Result<Self, BookError> {
        let trays = book.settings.trays.first();
        Ok(Self {
            book,
            store,
            table: Table::set(book, store, pantry)?,
            pantry,
            stock: store.stock()?,
            tray: trays.cloned().unwrap_or_else(Tray::usual),
            from,
            traits: TraitTable::builtin()?,
        })
    }

    /// What is in the freezer.
    fn batches(&self) -> Result<Vec<Batch>, BookError> {
        let ids: Vec<i64> = self.stock.iter().map(|stock| stock.batch.id).collect();
        let mut cubes = self.store.cubes(&ids)?;
        let mut batches = Vec::new();
        for stock in &self.stock {
            let Some(cube) = cubes.remove(&stock.batch.id) else {
                continue;
            };
            let cost = stock.batch.cost.clone();
            let known = cost.known.filter(|_| cost.unpriced.is_empty());
            batches.push(Batch {
                id: stock.batch.id,
                recipe: stock.batch.name.clone(),
                title: stock.batch.title.clone(),
                cubes: stock.left,
                from: stock.batch.day,
                use_by: stock.batch.use_by,
                groups: self.groups([&cube])?,
                cube,
                cost: known.and_then(|known| known.per(stock.batch.cubes)),
            });
        }
        Ok(batches)
    }

    /// The book's recipes, where there is a day to cook them.
    fn recipes(&self, cook_days: &BTreeSet<Date>) -> Result<Vec<Cookable>, BookError> {
        let names = if cook_days.is_empty() {
            Vec::new()
        } else {
            self.book.recipe_names()?
        };
        let cookable = |name: &String| self.cookable(name, cook_days.clone());
        names.iter().map(cookable).collect()
    }

    fn cookable(&self, name: &str, cook_days: BTreeSet<Date>) -> Result<Cookable, BookError> {
        let recipe = self.book.recipe(name)?;
        let one_tray = portion::Target::Trays(1);
        let batch = calculated(&recipe, &one_tray, &self.tray, self.pantry)?;
        let cautions = CautionTable::builtin()?;
        let cube = batch.cube(self.tray.cube_mass(batch.density), |food| {
            cautions.allergens_of(food).map(String::from).collect()
        });
        let cost = self.store.cost_of(&batch, self.from)?;
        Ok(Cookable {
            recipe: name.to_string(),
            title: recipe.title.clone(),
            cook_days,
            cubes_a_tray: self.tray.wells,
            most_trays: MOST_TRAYS,
            freezer_days: recipe
                .freezer
                .days
                .unwrap_or(self.book.settings.freezer_days),
            same_day: false,
            groups: self.groups([&cube])?,
            cube,
            tray_cost: cost.known.filter(|_| cost.unpriced.is_empty()),
        })
    }

    /// A cooking that is planned already is a batch from the next day on.
    fn settle_cooking(&self, plan: &Plan, request: &mut Request) -> Result<(), BookError> {
        for (day, cooking) in &plan.cooking {
            for one in cooking {
                let made = self.cookable(&one.recipe, BTreeSet::new())?;
                let cost = made.tray_cost.and_then(|cost| cost.per(made.cubes_a_tray));
                request.batches.push(Batch {
                    id: 0,
                    recipe: made.recipe,
                    title: made.title,
                    cubes: made.cubes_a_tray * one.trays,
                    from: day.saturating_add(1.day()),
                    use_by: day.saturating_add(i64::from(made.freezer_days).days()),
                    cube: made.cube,
                    groups: made.groups,
                    cost,
                });
            }
        }
        Ok(())
    }

    /// A child, what it knows, and what each day needs.
    fn eater(
        &self,
        child: &Child,
        (from, to): (Date, Date),
        pantry: &Pantry,
    ) -> Result<Eater, BookError> {
        let days = milk_of(self.store, child, (from, to), pantry)?;
        let before = from.saturating_sub(1.day());
        let tastes = self.store.tastes(&child.name, before)?;
        let known = tastes.foods.iter();
        let known = known.filter_map(|taste| Some((taste.food.parse().ok()?, taste.first)));
        let again = tastes.to_offer_again();
        Ok(Eater {
            name: child.name.clone(),
            meals: self.book.settings.meals.clone(),
            days: days.iter().map(|day| self.need(day)).collect(),
            targets: targets(&days)?,
            known: known.collect(),
            excluded: tastes.foods.iter().filter_map(reacted).collect(),
            offer_again: again.filter_map(|taste| taste.food.parse().ok()).collect(),
            groups_wanted: GROUPS_WANTED,
        })
    }

    /// The usual need at that age, in as many meals as the household has.
    fn need(&self, day: &Day) -> Need {
        let cube = Volume::from_millilitres(self.tray.well.millilitres() * self.tray.fill);
        // Where milk is not on record, a breast-fed child is assumed: it needs less from the spoon.
        let breast_fed = day
            .milk
            .as_ref()
            .is_none_or(|milk| milk.iter().any(|one| one.breast));
        let mut need = Need::usual(day.age, breast_fed, cube);
        let meals = u32::try_from(self.book.settings.meals.len()).unwrap_or(u32::MAX);
        need.meals = (*need.meals.start()).min(meals)..=(*need.meals.end()).min(meals);
        need
    }

    /// Meals on record stay as they are; their cubes have left the freezer.
    fn settle_eaten(
        &self,
        child: &Child,
        index: usize,
        request: &mut Request,
    ) -> Result<(), BookError> {
        let (Some(from), Some(to)) = (request.days.first(), request.days.last()) else {
            return Ok(());
        };
        for one in self.store.eaten(&child.name, *from, *to)? {
            if one.meal.name.is_empty() {
                continue;
            }
            let servings = one.meal.servings.iter();
            let mut parts = Vec::new();
            for serving in servings.map(|serving| serving.times(one.meal.share)) {
                parts.push(self.part(None, serving)?);
            }
            settle(request, (one.day, index, &one.meal.name), parts);
        }
        Ok(())
    }

    /// Meals that are planned stay as they are, and hold their cubes, the oldest first.
    fn settle_planned(
        &mut self,
        plan: &Plan,
        children: &[&Child],
        request: &mut Request,
    ) -> Result<(), BookError> {
        let mut left: Vec<u32> = request.batches.iter().map(|batch| batch.cubes).collect();
        for (slot, servings) in &plan.meals {
            let child = children.iter().position(|child| child.name == slot.child);
            let taken = |meal: &FixedMeal| meal.day == slot.day && meal.meal == slot.meal;
            let Some(child) = child.filter(|_| !servings.is_empty()) else {
                continue;
            };
            if request
                .fixed
                .iter()
                .any(|meal| meal.child == child && taken(meal))
            {
                continue;
            }
            let mut parts = Vec::new();
            for serving in servings {
                match serving {
                    PlannedServing::Food(..) => {
                        let serving = self.table.serving(serving)?;
                        parts.push(self.part(None, serving)?);
                    }
                    PlannedServing::Cubes(pick) => {
                        for (batch, cubes) in held(&request.batches, &mut left, slot, pick)? {
                            let of_it = request.batches.get(batch);
                            let serving = of_it.map(|one| one.cube.times(f64::from(cubes)));
                            if let Some(serving) = serving {
                                parts.push(self.part(Some((batch, cubes)), serving)?);
                            }
                        }
                    }
                }
            }
            settle(request, (slot.day, child, &slot.meal), parts);
        }
        Ok(())
    }

    fn part(&self, cubes: Option<(usize, u32)>, serving: Serving) -> Result<FixedPart, BookError> {
        Ok(FixedPart {
            cubes,
            groups: self.groups([&serving])?,
            serving,
        })
    }

    /// The food groups of dietary diversity that servings count for.
    fn groups<'s>(
        &self,
        servings: impl IntoIterator<Item = &'s Serving>,
    ) -> Result<BTreeSet<DietGroup>, BookError> {
        let foods = servings.into_iter().flat_map(|serving| &serving.foods);
        let ids: Vec<FoodId> = foods.map(|food| food.id.clone()).collect();
        let foods = self.pantry.foods(&ids)?;
        let traits: Traits = self.traits.of_all(foods.iter().flatten());
        let groups = traits.values().filter_map(|one| match one.grouping {
            Grouping::Group(group) => Some(group),
            _ => None,
        });
        Ok(groups.collect())
    }
}

/// Food groups a day to aim for beside milk: five of eight are the least for 6 to 23 months, and breast milk or dairy is
/// one of them (WHO and UNICEF, Indicators for assessing infant and young child feeding practices, 2021).
const GROUPS_WANTED: u32 = 4;

/// The reference for each nutrient at the age of the first day, and what milk brings of it on an average day.
fn targets(days: &[Day]) -> Result<BTreeMap<NutrientId, Target>, BookError> {
    let intakes = IntakeTable::builtin()?;
    let Some(first) = days.first() else {
        return Ok(BTreeMap::new());
    };
    let target = |id| {
        let milk = days.iter().filter_map(|day| day.total(id, None).known);
        let from_milk = milk.sum::<f64>() / days.len() as f64;
        let per_day = intakes.intake(id, first.age)?.amount;
        Some((id, Target { per_day, from_milk }))
    };
    Ok(TARGETS.into_iter().filter_map(target).collect())
}

/// A food after which something was seen, unless it was eaten again since, with nothing noted.
fn reacted(taste: &Taste) -> Option<(FoodId, String)> {
    let (day, seen) = taste.reactions.last()?;
    let well_since = taste.last > *day;
    let id = taste.food.parse().ok()?;
    (!well_since).then(|| (id, format!("{seen} on {day}")))
}

/// Which batches the cubes of a planned meal come from, the first to be eaten first.
fn held(
    batches: &[Batch],
    left: &mut [u32],
    slot: &Slot,
    pick: &Pick,
) -> Result<Vec<(usize, u32)>, BookError> {
    let meant = |batch: &Batch| pick.name == batch.recipe || pick.name == format!("#{}", batch.id);
    let on_time = |batch: &Batch| (batch.from..=batch.use_by).contains(&slot.day);
    let mut order: Vec<usize> = (0..batches.len()).collect();
    order.sort_by_key(|at| batches.get(*at).map(|batch| batch.use_by));
    let mut wanted = pick.cubes;
    let mut taken = Vec::new();
    for at in order {
        let fits = batches
            .get(at)
            .is_some_and(|one| meant(one) && on_time(one));
        let Some(there) = left.get_mut(at).filter(|_| fits) else {
            continue;
        };
        let cubes = wanted.min(*there);
        if cubes > 0 {
            *there -= cubes;
            wanted -= cubes;
            taken.push((at, cubes));
        }
    }
    if wanted > 0 {
        let what = format!(
            "the plan has {} of `{}` for {} on {}, {}, and {wanted} of them will not be there",
            pick.cubes, pick.name, slot.child, slot.day, slot.meal
        );
        return Err(Problem::new(what)
            .hint("see `trayful plan check`, and plan that meal anew")
            .into());
    }
    Ok(taken)
}

/// Adds a settled meal, or more to one that is there.
fn settle(request: &mut Request, (day, child, meal): (Date, usize, &str), parts: Vec<FixedPart>) {
    let same = |one: &&mut FixedMeal| one.day == day && one.child == child && one.meal == meal;
    match request.fixed.iter_mut().find(same) {
        Some(there) => there.parts.extend(parts),
        None => request.fixed.push(FixedMeal {
            day,
            child,
            meal: meal.to_string(),
            parts,
        }),
    }
}

/// Whether cubes come from a batch of the record; else they are still to be cooked.
pub fn is_frozen(origin: Origin, request: &Request) -> bool {
    match origin {
        Origin::Batch(at) => request.batches.get(at).is_some_and(|batch| batch.id != 0),
        Origin::Cooking { .. } => false,
    }
}
