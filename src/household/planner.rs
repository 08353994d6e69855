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
    Book, BookError, Child, OpenReaction, Pick, Plan, PlannedCooking, PlannedServing, Slot, Stock,
    Store,
};
use crate::nutrition::{
    Complementary, Day, DietGroup, Grouping, IntakeTable, Serving, TraitTable, Traits,
};
use crate::planning::propose::Proposal;
use crate::planning::{Batch, Cookable, Eater, Need, Request, Target};
use crate::portion::{self, Tray};
use crate::problem::Problem;
use crate::quantity::Volume;
use crate::safety::AllergenTable;

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
    if let Some(child) = wish.children.iter().find(|child| child.born > from) {
        let what = format!("{} is not born yet on {from}", child.name);
        let hint = format!("plan from {} on, or name another child", child.born);
        return Err(Problem::new(what).hint(hint).into());
    }
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
pub(super) struct Desk<'a> {
    book: &'a Book,
    pub(super) store: &'a Store,
    pub(super) table: Table<'a>,
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

    pub(super) fn cookable(
        &self,
        name: &str,
        cook_days: BTreeSet<Date>,
    ) -> Result<Cookable, BookError> {
        let recipe = self.book.recipe(name)?;
        let one_tray = portion::Target::Trays(1);
        let batch = calculated(&recipe, &one_tray, &self.tray, self.pantry)?;
        let allergens = AllergenTable::builtin()?;
        let cube = batch.cube(self.tray.cube_mass(batch.density), |food| {
            allergens.of(food).map(String::from).collect()
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
        let known = tastes.known().into_iter();
        let known = known.filter_map(|(food, first)| Some((food.parse().ok()?, first)));
        let again = tastes.to_offer_again();
        let published = Complementary::builtin()?;
        Ok(Eater {
            name: child.name.clone(),
            meals: self.book.settings.meals.clone(),
            days: days
                .iter()
                .map(|day| self.need(day, &published))
                .collect::<Result<_, _>>()?,
            targets: targets(&days)?,
            known: known.collect(),
            excluded: tastes.open_reactions().iter().filter_map(reacted).collect(),
            offer_again: again.filter_map(|taste| taste.food.parse().ok()).collect(),
            groups_wanted: GROUPS_WANTED,
        })
    }

    /// The usual need at that age, in as many meals as the household has.
    fn need(&self, day: &Day, published: &Complementary) -> Result<Need, BookError> {
        let cube = Volume::from_millilitres(self.tray.well.millilitres() * self.tray.fill);
        // Where milk is not on record, a breast-fed child is assumed: it needs less from the spoon.
        let breast_fed = day
            .milk
            .as_ref()
            .is_none_or(|milk| milk.iter().any(|one| one.breast));
        let need = Need::usual(day.age, breast_fed, cube, published);
        let mut need = need.ok_or_else(|| {
            let what = format!("nothing is published for a child of {} months", day.age.0);
            Problem::new(what).hint("plan its meals with `trayful plan set`")
        })?;
        let meals = u32::try_from(self.book.settings.meals.len()).unwrap_or(u32::MAX);
        need.meals = (*need.meals.start()).min(meals)..=(*need.meals.end()).min(meals);
        Ok(need)
    }

    /// The food groups of dietary diversity that servings count for.
    pub(super) fn groups<'s>(
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

/// A food that is objected to after a reaction, and why.
fn reacted(open: &OpenReaction<'_>) -> Option<(FoodId, String)> {
    let id = open.food.parse().ok()?;
    Some((id, format!("{} on {}", open.words, open.day)))
}
