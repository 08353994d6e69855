//! New foods, known allergens and refused foods in the program.

use std::collections::{BTreeMap, BTreeSet};

use super::{Formulation, Terms, of_child};
use crate::planning::Rule;
use crate::planning::indexed_request::{ChildDay, IndexedRequest, NewFood};
use crate::planning::rules::table::{ALLERGEN_DAYS, FIRST_ALLERGEN_CUBES, OFFER_AFTER_DAYS};

impl Formulation {
    /// First tastes: each is served on its day, none within the waiting days of another, and no
    /// dish before its foods are known; on the day itself a dish with a new food comes once.
    pub(super) fn new_foods(&mut self, index: &IndexedRequest<'_>, child: usize) {
        let days = index.days[child].len();
        let mut firsts: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for (number, food) in index.new_foods[child].iter().enumerate() {
            if food.settled.is_some() {
                continue;
            }
            for day in food.days.iter().copied() {
                let meals = self.served_where(child, |at, dish| {
                    at == day && index.dishes[dish].foods.contains(&food.id)
                });
                if !meals.is_empty() {
                    let (rule, points) = worth(food);
                    let late = day as f64 / (2 * days.max(1)) as f64;
                    let first = self.model.whole(1, (rule, -points * late));
                    self.model.no_more_than(first, &meals, 0.0);
                    firsts.insert((number, day), first);
                    if food.allergen {
                        self.small_is_full(index.days[child][day].usual(), first);
                        self.one_meal(&meals, first);
                    }
                }
            }
            let of_food = firsts.range((number, 0)..(number + 1, 0));
            let once: Terms = of_food.map(|(_, first)| (*first, 1.0)).collect();
            self.known_first(index, child, food, &firsts, number);
            self.once(worth(food), &once);
            self.model.at_most(once, 1.0);
        }
        self.wait(index, child, &firsts);
        self.begin_small(index, child, &firsts);
    }

    /// The small first amount of a new allergen counts as a full meal, so that it is not put off
    /// for the points.
    fn small_is_full(&mut self, usual: u32, first: usize) {
        let lacking = f64::from(usual.saturating_sub(FIRST_ALLERGEN_CUBES));
        let full = (Rule::FullMeals, Rule::FullMeals.points());
        let made_up = self.model.part(lacking, full);
        self.model.no_more_than(made_up, &[(first, lacking)], 0.0);
    }

    /// On the day of its first taste a major allergen comes at one of these meals, whatever dishes
    /// hold it.
    fn one_meal(&mut self, meals: &Terms, first: usize) {
        let all = meals.len() as f64;
        let on_first_day = meals.iter().copied().chain([(first, all - 1.0)]);
        self.model.at_most(on_first_day.collect(), all);
    }

    /// The first meal with a major allergen is small; every other meal with it is of the usual
    /// size.
    fn begin_small(
        &mut self,
        index: &IndexedRequest<'_>,
        child: usize,
        firsts: &BTreeMap<(usize, usize), usize>,
    ) {
        let dishes: Vec<(usize, usize)> = of_child(&self.served, child)
            .map(|((_, day, dish), _)| (*day, *dish))
            .filter(|(day, dish)| index.may_begin_with(child, *day, *dish))
            .collect();
        for (day, dish) in dishes {
            let brings = |food: usize| {
                let food = &index.new_foods[child][food];
                food.allergen && index.dishes[dish].foods.contains(&food.id)
            };
            let of_day = firsts.iter().filter(|((_, at), _)| *at == day);
            let of_dish = of_day.filter(|((food, _), _)| brings(*food));
            let firsts: Vec<usize> = of_dish.map(|(_, first)| *first).collect();
            let meals = self.meals_where(child, |on, of| (on, of) == (day, dish));
            let lots = index.lots_on(dish, day);
            let cubes = lots.filter_map(|lot| self.cubes.get(&(child, day, lot)).copied());
            let cubes: Vec<usize> = cubes.collect();
            let sizes = index.days[child][day].cubes_of(&index.dishes[dish]);
            let (least, most) = (f64::from(*sizes.start()), f64::from(*sizes.end()));
            let little = f64::from(FIRST_ALLERGEN_CUBES);
            let served = self.served.get(&(child, day, dish)).copied();
            let of_cubes = |sign: f64| cubes.iter().map(move |variable| (*variable, sign));
            let of_meals = |factor: f64| meals.iter().map(move |(meal, _)| (*meal, factor));
            let less = firsts.iter().map(|first| (*first, little - least));
            let at_least = of_cubes(-1.0).chain(of_meals(least)).chain(less);
            self.model.at_most(at_least.collect(), 0.0);
            // Another dish may bring the allergen first: only where this one is served too, it is
            // small.
            let of_meals = |variable: usize| {
                let is_served = Some(variable) == served;
                (variable, if is_served { -little } else { -most })
            };
            for first in firsts {
                let of_meals = meals.iter().map(|(variable, _)| of_meals(*variable));
                let small = of_meals.chain([(first, most - little)]);
                self.model
                    .at_most(of_cubes(1.0).chain(small).collect(), most - little);
            }
        }
    }

    /// No first taste within the days of waiting after another first taste that requires waiting.
    fn wait(
        &mut self,
        index: &IndexedRequest<'_>,
        child: usize,
        firsts: &BTreeMap<(usize, usize), usize>,
    ) {
        let new = &index.new_foods[child];
        let waiting = index.request.waiting.days.max(1);
        for start in 0..index.days[child].len() {
            let window = start..start.saturating_add(waiting as usize);
            let within = firsts.iter().filter(|((_, day), _)| window.contains(day));
            let (after, others): (Vec<_>, Vec<_>) =
                within.partition(|((food, _), _)| new[*food].waited_after);
            let after: Terms = after.into_iter().map(|(_, first)| (*first, 1.0)).collect();
            if after.len() > 1 {
                self.model.at_most(after.clone(), 1.0);
            }
            // A first taste on the first day of the window excludes the others in it.
            let leading = firsts
                .iter()
                .filter(|((food, day), _)| *day == start && new[*food].waited_after);
            let leading: Terms = leading.map(|(_, first)| (*first, 1.0)).collect();
            for (_, other) in others.iter().filter(|_| !leading.is_empty()) {
                let both = leading.iter().copied().chain([(**other, 1.0)]);
                self.model.at_most(both.collect(), 1.0);
            }
        }
    }

    /// No meal with a food before its first taste.
    fn known_first(
        &mut self,
        index: &IndexedRequest<'_>,
        child: usize,
        food: &NewFood,
        firsts: &BTreeMap<(usize, usize), usize>,
        number: usize,
    ) {
        let holds = |dish: usize| index.dishes[dish].foods.contains(&food.id);
        let served = of_child(&self.served, child).map(|served| (served, 1));
        let twice = of_child(&self.twice, child).map(|twice| (twice, 0));
        let with: Vec<(usize, usize)> = served
            .chain(twice)
            .filter(|(((_, _, dish), _), _)| holds(*dish))
            .map(|(((_, day, _), meal), days)| (*day + days, *meal))
            .collect();
        // The dish may be served from the day of the first taste on, and twice from the next day.
        for (until, meal) in with {
            let known = firsts.range((number, 0)..(number, until));
            let known: Terms = known.map(|(_, first)| (*first, 1.0)).collect();
            self.model.no_more_than(meal, &known, 0.0);
        }
    }

    /// Known allergens come again in each week.
    pub(super) fn allergens(&mut self, index: &IndexedRequest<'_>, child: usize) {
        let days = &index.days[child];
        for (week, chunk) in days.chunks(ALLERGEN_DAYS).enumerate() {
            let settled: BTreeSet<&str> = chunk
                .iter()
                .flat_map(ChildDay::settled)
                .flat_map(|serving| &serving.foods)
                .flat_map(|food| food.allergens.iter().map(String::as_str))
                .collect();
            for allergen in &index.request.children[child].keep_up {
                let meals = self.served_where(child, |day, dish| {
                    day / ALLERGEN_DAYS == week
                        && index.dishes[dish].allergens.contains(allergen.as_str())
                });
                if !settled.contains(allergen.as_str()) {
                    self.once(aim(Rule::AllergenWeekly), &meals);
                }
            }
        }
    }

    /// Refused foods are offered again; those that were hardly ever eaten, at one meal in some
    /// days.
    pub(super) fn offers(&mut self, index: &IndexedRequest<'_>, child: usize) {
        let pause = usize::try_from(OFFER_AFTER_DAYS).unwrap_or(usize::MAX);
        for food in &index.request.children[child].not_liked_yet {
            for first in 0..index.days[child].len() {
                let days = first..first.saturating_add(pause);
                let meals = self.meals_where(child, |day, dish| {
                    days.contains(&day) && index.dishes[dish].foods.contains(food)
                });
                if meals.len() > 1 {
                    self.model.at_most(meals, 1.0);
                }
            }
        }
        for food in index.request.children[child].offer_again.keys() {
            let meals = self.served_where(child, |_, dish| index.dishes[dish].foods.contains(food));
            self.once(aim(Rule::OfferAgain), &meals);
        }
    }

    /// An aim that is met by one of these meals.
    fn once(&mut self, aim: (Rule, f64), meals: &Terms) {
        if !meals.is_empty() {
            let met = self.model.part(1.0, aim);
            self.model.no_more_than(met, meals, 0.0);
        }
    }
}

fn aim(rule: Rule) -> (Rule, f64) {
    (rule, rule.points())
}

/// The value of a first taste on the first day; half of it on the last.
fn worth(food: &NewFood) -> (Rule, f64) {
    aim(if food.allergen {
        Rule::NewAllergen
    } else {
        Rule::NewFood
    })
}
