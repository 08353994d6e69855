//! A request by index: dishes, the lots of cubes in which they come, and the dishes that each child
//! may have on each day.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::{Range, RangeInclusive};

use data_import::FoodId;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::main_meals::main_meals_first;
use super::request::foods_of;
use super::rules::table::DISH_A_DAY;
use super::{CubeOrigin, CubeSize, Eater, FixedMeal, Need, NotOn, Request};
use crate::nutrition::{DietGroup, ServedFood, Serving};
use crate::safety::{WaitAfter, Waiting};

/// The request by indices of `child`, `day`, `dish` and `lot`.
#[derive(Debug)]
pub(crate) struct IndexedRequest<'a> {
    pub(crate) request: &'a Request,
    pub(crate) dishes: Vec<Dish<'a>>,
    pub(crate) lots: Vec<Lot<'a>>,
    /// The days of each child, by child, then by day.
    pub(crate) days: Vec<Vec<ChildDay<'a>>>,
    /// The foods that each child does not know and could be given.
    pub(crate) new_foods: Vec<Vec<NewFood>>,
}

/// Cubes of one recipe with the same foods in them, for the same children.
#[derive(Debug)]
pub(crate) struct Dish<'a> {
    /// Name of the recipe.
    pub(crate) name: &'a str,
    pub(crate) title: &'a str,
    pub(crate) foods: BTreeSet<&'a FoodId>,
    pub(crate) groups: BTreeSet<DietGroup>,
    pub(crate) allergens: BTreeSet<&'a str>,
    pub(crate) barred: &'a BTreeMap<usize, String>,
    pub(crate) not_on: &'a NotOn,
    /// The size of a cube: a meal is of cubes of one size.
    pub(crate) size: CubeSize,
    pub(crate) lots: Vec<usize>,
}

/// Cubes of one cooking: a batch, or one that may be cooked.
#[derive(Debug)]
pub(crate) struct Lot<'a> {
    pub(crate) origin: CubeOrigin,
    pub(crate) dish: usize,
    /// Cubes left, or cubes a tray.
    pub(crate) cubes: u32,
    /// The most trays; `None` for what is cooked already.
    pub(crate) trays: Option<u32>,
    /// The days on which it can be served; may be empty.
    pub(crate) days: Range<usize>,
    pub(crate) use_by: Date,
    pub(crate) cube: &'a Serving,
}

/// A day of a child.
#[derive(Debug)]
pub(crate) struct ChildDay<'a> {
    /// Meals to be filled, by their place among the meals of the day.
    pub(crate) meals: Vec<usize>,
    /// The needs of the day.
    pub(crate) need: &'a Need,
    /// The fixed meals of the day.
    pub(crate) fixed: Vec<&'a FixedMeal>,
    /// The dishes that may be served, first tastes apart.
    pub(crate) dishes: Vec<usize>,
}

/// A food that a child does not know.
#[derive(Debug)]
pub(crate) struct NewFood {
    pub(crate) id: FoodId,
    /// Whether the food brings a major allergen that is new as well.
    pub(crate) allergen: bool,
    /// Whether the household waits after its first taste.
    pub(crate) waited_after: bool,
    /// Days on which its first taste may be.
    pub(crate) days: Vec<usize>,
    /// The day of its first taste, where that is a settled meal.
    pub(crate) settled: Option<usize>,
}

impl Dish<'_> {
    /// Whether nothing bars the dish for a child on a day.
    pub(crate) fn may_be_had(&self, child: usize, day: Date) -> bool {
        !self.barred.contains_key(&child) && !self.not_on.contains_key(&(child, day))
    }
}

impl Lot<'_> {
    /// The largest number of cubes that there can be.
    pub(crate) fn most_cubes(&self) -> u32 {
        self.cubes.saturating_mul(self.trays.unwrap_or(1))
    }
}

impl<'a> ChildDay<'a> {
    /// The number of meals to be filled.
    pub(crate) fn count(&self) -> u32 {
        self.meals.iter().map(|_| 1_u32).sum()
    }

    /// Cubes of a usual meal, of the first tray.
    pub(crate) fn usual(&self) -> u32 {
        self.need.usual
    }

    /// Cubes of a meal with a dish, least and most.
    pub(crate) fn cubes_of(&self, dish: &Dish<'_>) -> RangeInclusive<u32> {
        self.need.cubes_of_size(dish.size)
    }

    /// Settled meals with a dish.
    pub(crate) fn settled_with(&self, name: &str) -> u32 {
        let with = self.fixed.iter().filter(|meal| holds_dish(meal, name));
        with.map(|_| 1_u32).sum()
    }

    /// The number of meals that may still hold a dish on that day.
    pub(crate) fn room_for(&self, name: &str) -> u32 {
        let room = DISH_A_DAY.saturating_sub(self.settled_with(name));
        room.min(self.count())
    }

    /// Everything settled on that day.
    pub(crate) fn settled(&self) -> impl Iterator<Item = &'a Serving> + use<'a> {
        let fixed = self.fixed.clone().into_iter();
        fixed.flat_map(|meal| meal.parts.iter().map(|part| &part.serving))
    }
}

/// Whether a household waits after the first taste of a food.
pub(crate) fn is_waited_after(waiting: Waiting, food: &ServedFood) -> bool {
    waiting.after == WaitAfter::All || !food.allergens.is_empty()
}

/// Whether a food holds a major allergen that is not among the known and well taken ones.
pub(crate) fn brings_new_allergen(known: &BTreeSet<String>, food: &ServedFood) -> bool {
    !food
        .allergens
        .iter()
        .all(|allergen| known.contains(allergen))
}

/// Whether a settled meal holds a dish.
pub(crate) fn holds_dish(meal: &FixedMeal, name: &str) -> bool {
    let mut parts = meal.parts.iter();
    parts.any(|part| part.recipe.as_deref() == Some(name))
}

impl<'a> IndexedRequest<'a> {
    /// Lays a request out; it must be valid.
    pub(crate) fn new(request: &'a Request) -> Self {
        let mut this = Self {
            request,
            dishes: Vec::new(),
            lots: Vec::new(),
            days: Vec::new(),
            new_foods: Vec::new(),
        };
        this.lay_out_batches();
        this.lay_out_recipes();
        for child in 0..request.children.len() {
            let new = this.new_foods_of(child);
            let days = request.days.iter().enumerate();
            let days = days.filter_map(|(at, day)| this.day_of(child, (at, *day), &new));
            let days: Vec<_> = days.collect();
            this.days.push(days);
            this.new_foods.push(new);
        }
        this
    }

    /// Every child and day.
    pub(crate) fn child_days(&self) -> impl Iterator<Item = (usize, usize, &ChildDay<'a>)> {
        let children = self.days.iter().enumerate();
        children.flat_map(|(child, days)| {
            let days = days.iter().enumerate();
            days.map(move |(day, of)| (child, day, of))
        })
    }

    /// The lots of a dish that can be served on a day.
    pub(crate) fn lots_on(&self, dish: usize, day: usize) -> impl Iterator<Item = usize> {
        let lots = self.dishes[dish].lots.iter().copied();
        lots.filter(move |lot| {
            self.lots[*lot].days.contains(&day) && self.lots[*lot].most_cubes() > 0
        })
    }

    /// Settled meals of a child, those before the first day among them.
    pub(crate) fn fixed_of(&self, child: usize) -> impl Iterator<Item = &'a FixedMeal> {
        let fixed = self.request.fixed.iter();
        fixed.filter(move |meal| meal.child == child)
    }

    /// Dishes that a child may choose from on the days of the plan.
    pub(crate) fn choice(&self, child: usize) -> usize {
        let (eater, days) = (&self.request.children[child], &self.request.days);
        let Some(last) = days.last() else { return 0 };
        let open = self.dishes.iter().filter(|dish| {
            let lots = dish.lots.iter().map(|lot| &self.lots[*lot]);
            let is_there = |lot: &Lot<'_>| match lot.origin {
                // Cubes that are held for future meals are dishes of the week too.
                CubeOrigin::Batch(batch) => self.request.batches[batch].cubes > 0,
                CubeOrigin::Cooking { .. } => lot.most_cubes() > 0,
            };
            let mut lots = lots.filter(|lot| !lot.days.is_empty());
            lots.any(is_there)
                && !dish.barred.contains_key(&child)
                && eater.may_choose(dish.foods.iter().copied(), *last)
        });
        open.map(|dish| dish.name).collect::<BTreeSet<_>>().len()
    }

    /// Whether a dish may bring a child a new major allergen on a day.
    pub(crate) fn may_begin_with(&self, child: usize, day: usize, dish: usize) -> bool {
        let mut new = self.new_foods[child].iter();
        new.any(|food| {
            food.allergen && food.days.contains(&day) && self.dishes[dish].foods.contains(&food.id)
        })
    }

    fn lay_out_batches(&mut self) {
        let request = self.request;
        let held = |index: usize| -> u32 {
            let parts = request.fixed.iter().flat_map(|meal| &meal.parts);
            let cubes = parts.filter_map(|part| part.cubes);
            cubes
                .filter(|(batch, _)| *batch == index)
                .map(|(_, cubes)| cubes)
                .sum()
        };
        for (index, batch) in request.batches.iter().enumerate() {
            let names = (batch.recipe.as_str(), batch.title.as_str());
            let barred = (&batch.barred, &batch.not_on);
            let dish = self.dish(names, (&batch.cube, batch.size), barred);
            self.lot(Lot {
                origin: CubeOrigin::Batch(index),
                dish,
                cubes: batch.cubes.saturating_sub(held(index)),
                trays: None,
                days: self.span(batch.from, batch.use_by),
                use_by: batch.use_by,
                cube: &batch.cube,
            });
        }
    }

    fn lay_out_recipes(&mut self) {
        let request = self.request;
        for (index, recipe) in request.recipes.iter().enumerate() {
            for day in recipe
                .cook_days
                .iter()
                .copied()
                .filter(|day| request.days.contains(day))
            {
                let names = (recipe.recipe.as_str(), recipe.title.as_str());
                let barred = (&recipe.barred, &recipe.not_on);
                // What is yet to be cooked is reckoned in cubes of the first tray.
                let dish = self.dish(names, (&recipe.cube, CubeSize::USUAL), barred);
                let use_by = day.saturating_add(i64::from(recipe.freezer_days).days());
                self.lot(Lot {
                    origin: CubeOrigin::Cooking { recipe: index, day },
                    dish,
                    cubes: recipe.cubes_a_tray,
                    trays: Some(recipe.most_trays),
                    days: self.span(super::supply::first_day_of_cooked(day), use_by),
                    use_by,
                    cube: &recipe.cube,
                });
            }
        }
    }

    fn lot(&mut self, lot: Lot<'a>) {
        self.dishes[lot.dish].lots.push(self.lots.len());
        self.lots.push(lot);
    }

    /// Days from one date to another, by index; an empty range where there are none.
    fn span(&self, from: Date, use_by: Date) -> Range<usize> {
        let days = &self.request.days;
        let first = days.iter().position(|day| *day >= from);
        let last = days.iter().rposition(|day| *day <= use_by);
        match (first, last) {
            (Some(first), Some(last)) => first..last + 1,
            _ => 0..0,
        }
    }

    fn dish(
        &mut self,
        (name, title): (&'a str, &'a str),
        (cube, size): (&'a Serving, CubeSize),
        (barred, not_on): (&'a BTreeMap<usize, String>, &'a NotOn),
    ) -> usize {
        let foods = foods_of(cube);
        let same = |dish: &Dish<'_>| {
            dish.name == name
                && dish.foods == foods
                && (dish.barred, dish.not_on) == (barred, not_on)
                && dish.size == size
        };
        if let Some(at) = self.dishes.iter().position(same) {
            return at;
        }
        let allergens = cube.foods.iter().flat_map(|food| &food.allergens);
        self.dishes.push(Dish {
            name,
            title,
            groups: self.request.groups_of(cube),
            allergens: allergens.map(String::as_str).collect(),
            foods,
            barred,
            not_on,
            size,
            lots: Vec::new(),
        });
        self.dishes.len() - 1
    }

    fn day_of(
        &self,
        child: usize,
        (at, day): (usize, Date),
        new: &[NewFood],
    ) -> Option<ChildDay<'a>> {
        let eater = &self.request.children[child];
        let need = eater.days.get(&day)?;
        let fixed: Vec<_> = self
            .fixed_of(child)
            .filter(|meal| meal.day == day)
            .collect();
        let room = (*need.meals.end() as usize).saturating_sub(fixed.len());
        let open = |(_, name): &(usize, &String)| fixed.iter().all(|meal| meal.meal != **name);
        let meals = eater.meals.iter().enumerate().filter(open);
        let room = if day < eater.solids_from { 0 } else { room };
        let meals = main_meals_first(meals, (room, &eater.meals));
        let may = |dish: &usize| self.may_have(child, (at, day), *dish, new);
        Some(ChildDay {
            need,
            fixed,
            dishes: if meals.is_empty() {
                Vec::new()
            } else {
                (0..self.dishes.len()).filter(may).collect()
            },
            meals,
        })
    }

    fn may_have(
        &self,
        child: usize,
        (at, day): (usize, Date),
        dish: usize,
        new: &[NewFood],
    ) -> bool {
        let eater: &Eater = &self.request.children[child];
        let of = &self.dishes[dish];
        let rested = |food: &&FoodId| eater.offer_again.get(*food).is_none_or(|free| *free <= day);
        // A food of a settled first taste is known from the day after it.
        let can_be_known = |food: &NewFood| match food.settled {
            Some(first) => at > first,
            None => food.days.iter().any(|first| *first <= at),
        };
        let mut unknown = new.iter().filter(|food| of.foods.contains(&food.id));
        self.lots_on(dish, at).next().is_some()
            && of.may_be_had(child, day)
            && of.foods.iter().all(rested)
            && unknown.all(can_be_known)
    }

    /// The foods in dishes and settled meals that a child does not know, and when each may first be
    /// tasted.
    fn new_foods_of(&self, child: usize) -> Vec<NewFood> {
        let request = self.request;
        let eater = &request.children[child];
        let mut settled: BTreeMap<&FoodId, Date> = BTreeMap::new();
        let known_until = eater.days.keys().next();
        let mut found: BTreeMap<&FoodId, &ServedFood> = BTreeMap::new();
        for meal in self.fixed_of(child) {
            // What came before these days is on record, as known or not; a meal between today and
            // the plan is not.
            if request.day_index(meal.day).is_none() && Some(&meal.day) < known_until {
                continue;
            }
            for food in meal.parts.iter().flat_map(|part| &part.serving.foods) {
                let first = settled.entry(&food.id).or_insert(meal.day);
                *first = meal.day.min(*first);
                found.insert(&food.id, food);
            }
        }
        for food in self.lots.iter().flat_map(|lot| &lot.cube.foods) {
            found.insert(&food.id, food);
        }
        found.retain(|id, _| !eater.known.contains(*id));
        settled.retain(|id, _| !eater.known.contains(*id));
        let waiting = i64::from(request.waiting.days.max(1)).days();
        let free = eater.new_from;
        let clear = |day: &usize| {
            let day = request.days[*day];
            let far = |first: &Date| {
                day >= first.saturating_add(waiting) || *first >= day.saturating_add(waiting)
            };
            free.is_none_or(|free| day >= free) && settled.values().all(far)
        };
        let begun = request.days.first();
        found.retain(|id, _| settled.get(id).is_none_or(|first| Some(first) >= begun));
        let days: Vec<usize> = (0..request.days.len()).filter(clear).collect();
        let food = |(id, food): (&FoodId, &ServedFood)| NewFood {
            id: id.clone(),
            allergen: brings_new_allergen(&eater.allergens, food),
            waited_after: is_waited_after(request.waiting, food),
            settled: settled.get(id).and_then(|first| request.day_index(*first)),
            days: if settled.contains_key(id) {
                Vec::new()
            } else {
                days.clone()
            },
        };
        found.into_iter().map(food).collect()
    }
}
