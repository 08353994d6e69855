//! Meals that stay empty, with the reason and what would fill them.

use std::collections::{BTreeMap, BTreeSet};

use data_import::FoodId;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::proposal::Gap;
use super::verify::week;
use crate::nutrition::DietGroup;
use crate::planning::indexed_request::{IndexedRequest, holds_dish};
use crate::planning::request::{foods_of, iron_of};
use crate::planning::rules::FirstTastes;
use crate::planning::rules::table::{DISH_A_DAY, DISH_A_WEEK};
use crate::planning::{Cookable, Eater, FixedMeal, Request, Schedule};
use crate::words::{counted, joined};

/// The gaps: meals that were to be filled and are empty.
pub(super) fn gaps(index: &IndexedRequest<'_>, plan: &Schedule) -> Vec<Gap> {
    let mut found = Vec::new();
    for child in 0..index.days.len() {
        let empty = empty_meals(index, plan, child);
        if empty.is_empty() {
            continue;
        }
        let mut advice = Advice::new(index, child, plan);
        let closing: Vec<Closing> = empty
            .iter()
            .map(|(day, _)| advice.next(index.request.days[*day]))
            .collect();
        for ((day, meal), closing) in empty.into_iter().zip(closing) {
            found.push(Gap {
                day: index.request.days[day],
                child,
                meal,
                why: why(index, plan, (child, day)),
                close: advice.words(closing),
            });
        }
    }
    found.sort_by_key(|gap| (gap.day, gap.child));
    found
}

fn empty_meals(index: &IndexedRequest<'_>, plan: &Schedule, child: usize) -> Vec<(usize, String)> {
    let mut empty = Vec::new();
    for (day, of) in index.days[child].iter().enumerate() {
        for place in &of.meals {
            let name = &index.request.children[child].meals[*place];
            let of_it = (child, index.request.days[day], name);
            let mut meals = plan.meals.iter();
            if !meals.any(|other| (other.child, other.day, &other.meal) == of_it) {
                empty.push((day, name.clone()));
            }
        }
    }
    empty
}

/// The reason why a dish with cubes left does not fill a gap.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Held {
    /// The dish has come as often as a dish may.
    Often,
    /// The dish holds a food whose meals have a limit in a number of days.
    Limited(String),
    /// The dish was refused, and has a pause.
    Refused,
    /// The dish came for the first time that day.
    NewToday,
    /// One food of the dish is new, and waits for its day.
    New,
    /// Several foods of the dish are new.
    SeveralNew,
}

/// The reason of a gap: cubes are lacking, or rules keep those that are left from that day.
fn why(index: &IndexedRequest<'_>, plan: &Schedule, (child, day): (usize, usize)) -> String {
    let name = &index.request.children[child].name;
    let taken = |lot: usize| -> u32 {
        let parts = plan.meals.iter().flat_map(|meal| &meal.parts);
        let of_lot = parts.filter(|part| part.origin == index.lots[lot].origin);
        of_lot.map(|part| part.cubes).sum()
    };
    let of = &index.days[child][day];
    let is_left = |dish: &usize| {
        let lots = index.lots_on(*dish, day);
        let cooked = lots.filter(|lot| index.lots[*lot].trays.is_none());
        let left: u32 = cooked
            .map(|lot| index.lots[lot].cubes.saturating_sub(taken(lot)))
            .sum();
        let dish = &index.dishes[*dish];
        left >= *of.cubes_of(dish).start() && dish.may_be_had(child, index.request.days[day])
    };
    let week = week(index.request, plan);
    let firsts = week.first_tastes(child);
    let mut held: BTreeMap<Held, Vec<&str>> = BTreeMap::new();
    for dish in (0..index.dishes.len()).filter(is_left) {
        let why = what_holds(index, plan, (child, day), dish, &firsts);
        held.entry(why).or_default().push(index.dishes[dish].title);
    }
    if held.is_empty() {
        let past = past_their_day(index, (child, day));
        return match past {
            _ if index.lots.iter().all(|lot| lot.cubes == 0) => {
                format!("no cubes are left for {name}")
            }
            0 => format!("no cubes are left that {name} may have"),
            past => {
                let are = if past == 1 { "is" } else { "are" };
                let past = counted(past, "cube");
                format!("no cubes are left that {name} may have: {past} {are} past the last day")
            }
        };
    }
    let mut groups = held.iter();
    if let (Some((why, titles)), None) = (groups.next(), groups.next()) {
        let why = why.words(titles.len() == 1, name);
        return match titles.as_slice() {
            [title] => format!("only {title} is left for {name}, which {why}"),
            [_, _] => format!("only {} are left for {name}, which {why}", named(titles)),
            all => {
                let (dishes, titles) = (all.len(), joined(all, "; "));
                format!("the {dishes} dishes left for {name} ({titles}) {why}")
            }
        };
    }
    let why = held.iter().map(|(why, titles)| {
        let why = why.words(titles.len() == 1, name);
        format!("{} {why}", named(titles))
    });
    format!("of what is left for {name}, {}", joined(why, "; "))
}

/// Cubes in the freezer of dishes that a child might have, whose last day is before a day.
fn past_their_day(index: &IndexedRequest<'_>, (child, day): (usize, usize)) -> u32 {
    let date = index.request.days[day];
    let lots = index.lots.iter();
    let past = lots.filter(|lot| {
        lot.trays.is_none() && lot.use_by < date && index.dishes[lot.dish].may_be_had(child, date)
    });
    past.map(|lot| lot.cubes).sum()
}

/// Dishes by their titles, in which commas stand.
fn named(titles: &[&str]) -> String {
    match titles {
        [_, _, _, ..] => format!("{} dishes ({})", titles.len(), joined(titles, "; ")),
        few => joined(few, " and "),
    }
}

impl Held {
    /// The end of a sentence about one dish or several.
    fn words(&self, is_one: bool, child: &str) -> String {
        let (has, is, was, holds) = if is_one {
            ("has", "is", "was", "holds")
        } else {
            ("have", "are", "were", "hold")
        };
        match self {
            Self::Often => format!("{has} come often enough"),
            Self::Limited(limit) => format!(
                "{is} at {has_its} limit of {limit}",
                has_its = if is_one { "its" } else { "their" }
            ),
            Self::Refused => format!("{was} refused, and {has} a pause"),
            Self::NewToday => format!("{is} new that day, and one taste is enough"),
            Self::New => format!(
                "{holds} a food new to {child}: one at a time, days apart (what {child} knows can be written down as known)"
            ),
            Self::SeveralNew => format!(
                "{holds} several foods new to {child}, which cannot come at once: give one of them alone first, or write down what {child} knows already"
            ),
        }
    }
}

/// The reason why a dish is not at a meal of that day.
fn what_holds(
    index: &IndexedRequest<'_>,
    plan: &Schedule,
    (child, day): (usize, usize),
    dish: usize,
    firsts: &BTreeMap<Date, FirstTastes>,
) -> Held {
    let (eater, of) = (&index.request.children[child], &index.dishes[dish]);
    let date = index.request.days[day];
    let tasted = |food: &FoodId, until: Date| {
        let mut days = firsts.range(..until);
        eater.known.contains(food) || days.any(|(_, foods)| foods.contains_key(food))
    };
    let tomorrow = date.tomorrow().unwrap_or(date);
    let new = of.foods.iter().filter(|food| !tasted(food, tomorrow));
    match new.count() {
        0 => {}
        1 => return Held::New,
        _ => return Held::SeveralNew,
    }
    if of.foods.iter().any(|food| !tasted(food, date)) {
        return Held::NewToday;
    }
    let rests = |food: &FoodId| {
        let free = eater.offer_again.get(food);
        free.is_some_and(|free| *free > date) || eater.not_liked_yet.contains(food)
    };
    if of.foods.iter().any(|food| rests(food)) {
        return Held::Refused;
    }
    let cubes = of.lots.iter().map(|lot| index.lots[*lot].cube);
    let limits = eater.limits.iter().filter(|limit| limit.counts_meals());
    for limit in limits.filter(|limit| cubes.clone().any(|cube| limit.amount(cube) > 0.0)) {
        let from = date.saturating_sub((i64::from(limit.days.max(1)) - 1).days());
        let until = date.saturating_add((i64::from(limit.days.max(1)) - 1).days());
        let planned = plan.meals.iter().filter(|meal| meal.child == child);
        let planned = planned.filter(|meal| (from..=until).contains(&meal.day));
        let planned = planned.map(|meal| {
            let parts = meal.parts.iter();
            let cubes = parts.filter_map(|part| part.origin.cube(index.request));
            limit.amount_of_meal(cubes)
        });
        let settled = index.fixed_of(child);
        let settled = settled.filter(|meal| (from..=until).contains(&meal.day));
        let settled =
            settled.map(|meal| limit.amount_of_meal(meal.parts.iter().map(|part| &part.serving)));
        if planned.chain(settled).sum::<f64>() >= limit.most {
            return Held::Limited(limit.in_words());
        }
    }
    Held::Often
}

/// Advice on what to cook for a child's gaps: known foods, protein first, then iron, each recipe
/// for as many meals as a day and a week should have.
struct Advice<'a> {
    recipes: Vec<Advised<'a>>,
    first: Option<Date>,
    eater: &'a Eater,
    /// The day by which something else must be cooked.
    else_by: Option<Date>,
}

/// What would fill a gap.
#[derive(Debug, Clone, Copy)]
enum Closing {
    /// Food from the table: nothing can be cooked in time.
    Table,
    /// The recipe at this place.
    Recipe(usize),
    /// A dish that the book does not have.
    Else,
}

/// A recipe, the days of its meals so far, and the day by which it must be cooked for those that
/// are advised.
struct Advised<'a> {
    recipe: &'a Cookable,
    meals: Vec<Date>,
    cook_by: Option<Date>,
    /// Cubes that the advised meals take.
    cubes: u32,
}

impl<'a> Advice<'a> {
    fn new(index: &IndexedRequest<'a>, child: usize, plan: &Schedule) -> Self {
        let request = index.request;
        let recipes = worth_cooking(request, child, plan).into_iter();
        let planned = |recipe: &Cookable| {
            let meals = plan.meals.iter().filter(|meal| meal.child == child);
            let with_it = meals.filter(|meal| {
                let mut parts = meal.parts.iter();
                parts.any(|part| part.origin.recipe(request) == recipe.recipe)
            });
            let settled = index.fixed_of(child);
            let settled = settled.filter(|meal| holds_dish(meal, &recipe.recipe));
            let days = with_it.map(|meal| meal.day);
            days.chain(settled.map(|meal| meal.day)).collect()
        };
        Self {
            recipes: recipes
                .map(|recipe| Advised {
                    recipe,
                    meals: planned(recipe),
                    cook_by: None,
                    cubes: 0,
                })
                .collect(),
            first: request.days.first().copied(),
            eater: &request.children[child],
            else_by: None,
        }
    }

    /// What would fill one more gap.
    fn next(&mut self, day: Date) -> Closing {
        let yesterday = day.yesterday().ok();
        let Some(yesterday) = yesterday.filter(|one| Some(*one) >= self.first) else {
            return Closing::Table;
        };
        let week_before = day.saturating_sub(6.days());
        let fits = |one: &Advised<'_>| {
            let today = one.meals.iter().filter(|meal| **meal == day).count();
            let week = one.meals.iter().filter(|meal| **meal >= week_before);
            today < DISH_A_DAY as usize && week.count() < DISH_A_WEEK as usize
        };
        let Some(at) = self.recipes.iter().position(fits) else {
            self.else_by.get_or_insert(yesterday);
            return Closing::Else;
        };
        let usual = self.eater.days.get(&day).map_or(0, |need| need.usual);
        let advised = &mut self.recipes[at];
        advised.meals.push(day);
        advised.cook_by.get_or_insert(yesterday);
        advised.cubes += usual;
        Closing::Recipe(at)
    }

    /// What would fill a gap, in words: of a recipe as many trays as all gaps need that it fills.
    fn words(&self, closing: Closing) -> String {
        let by = |day: Option<Date>| {
            let day = day.map(|day| day.strftime("%a %-d %b").to_string());
            day.unwrap_or_default()
        };
        match closing {
            Closing::Table => {
                "plan food from the table, for nothing can be cooked and frozen in time".into()
            }
            Closing::Recipe(at) => {
                let Advised {
                    recipe,
                    cook_by,
                    cubes,
                    ..
                } = &self.recipes[at];
                let trays = match cubes.div_ceil(recipe.cubes_a_tray.max(1)) {
                    0 | 1 => "a tray".to_string(),
                    more => format!("{more} trays"),
                };
                format!("cook {trays} of {} by {}", recipe.title, by(*cook_by))
            }
            Closing::Else => {
                let (name, by) = (&self.eater.name, by(self.else_by));
                format!("cook another dish that {name} may have by {by}")
            }
        }
    }
}

/// The recipes of foods that a child knows and did not refuse, and may have more often than it
/// does: protein first, then iron.
pub(super) fn worth_cooking<'a>(
    request: &'a Request,
    child: usize,
    plan: &Schedule,
) -> Vec<&'a Cookable> {
    let eater = &request.children[child];
    let may = |recipe: &&Cookable| {
        let mut foods = foods_of(&recipe.cube).into_iter();
        let liked =
            foods.all(|food| eater.known.contains(food) && !eater.offer_again.contains_key(food));
        let is_barred = recipe.barred.contains_key(&child)
            || recipe.not_on.keys().any(|(barred, _)| *barred == child);
        liked && !is_barred && !spent(request, plan, child, recipe)
    };
    let mut recipes: Vec<&Cookable> = request.recipes.iter().filter(may).collect();
    let protein = |recipe: &Cookable| {
        let groups: BTreeSet<DietGroup> = request.groups_of(&recipe.cube);
        groups.contains(&DietGroup::Flesh) || groups.contains(&DietGroup::Eggs)
    };
    recipes.sort_by(|a, b| {
        let iron = iron_of(&b.cube).total_cmp(&iron_of(&a.cube));
        protein(b).cmp(&protein(a)).then(iron)
    });
    recipes
}

/// Whether a recipe, or a food in it, comes as often already as it should in a week.
fn spent(request: &Request, plan: &Schedule, child: usize, recipe: &Cookable) -> bool {
    let meals = plan.meals.iter().filter(|meal| meal.child == child);
    let parts = meals.filter_map(|meal| meal.parts.first());
    let names = parts.clone().map(|part| part.origin.recipe(request));
    let planned = names.filter(|name| *name == recipe.recipe).count();
    let fixed = request.fixed.iter().filter(|meal| meal.child == child);
    let settled = fixed
        .filter(|meal| holds_dish(meal, &recipe.recipe))
        .count();
    let often = planned + settled;
    let limits = request.children[child].limits.iter();
    let mut counted =
        limits.filter(|limit| limit.counts_meals() && limit.amount(&recipe.cube) > 0.0);
    let fixed = request.fixed.iter().filter(|meal| meal.child == child);
    often >= DISH_A_WEEK as usize
        || counted.any(|limit| {
            let cubes = parts.clone().filter_map(|part| part.origin.cube(request));
            let planned: f64 = cubes.map(|cube| limit.amount(cube)).sum();
            let servings = |meal: &FixedMeal| {
                limit.amount_of_meal(meal.parts.iter().map(|part| &part.serving))
            };
            planned + fixed.clone().map(servings).sum::<f64>() >= limit.most
        })
}
