//! Judges a plan that a person made: the rules it breaks, by the same functions that hold a proposal, and what could be better.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::rules::{self, Rule};
use super::{Origin, Plan, Request, RequestError};
use crate::nutrition::DietGroup;

/// Meals a day in which a flavour may come.
const TWICE: usize = 2;

/// Something to say about a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// What it is about.
    pub about: About,
    /// The day, where it is about one.
    pub day: Option<Date>,
    /// Index of the child, where it is about one.
    pub child: Option<usize>,
    /// In words.
    pub words: String,
}

/// What a finding is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum About {
    /// A rule that the plan breaks.
    Broken(Rule),
    /// A flavour in more than two meals of a day.
    Repeats,
    /// Fewer food groups on a day than are wanted.
    Groups,
    /// A refused food that is not offered again.
    OfferAgain,
    /// Cubes that spoil.
    Waste,
}

impl Finding {
    /// Whether a rule is broken; else it is advice.
    pub fn is_broken(&self) -> bool {
        matches!(self.about, About::Broken(_))
    }
}

/// What there is to say about a plan: broken rules first, then advice. Meals of other food than cubes stand in the request as
/// settled. The meals of the plan count as they are; a day without any is not judged as too empty but for its number of meals.
pub fn check(plan: &Plan, request: &Request) -> Result<Vec<Finding>, RequestError> {
    request.validate()?;
    let broken = rules::broken(request, plan).into_iter();
    let mut all: Vec<Finding> = broken
        .map(|one| Finding {
            about: About::Broken(one.rule),
            day: one.day,
            child: one.child,
            words: one.words,
        })
        .collect();
    for child in 0..request.children.len() {
        for (day, date) in request.days.iter().enumerate() {
            all.extend(repeats(request, plan, child, *date));
            all.extend(groups(request, plan, (child, day)));
        }
        all.extend(not_offered(request, plan, child));
    }
    all.extend(waste(request, plan));
    Ok(all)
}

/// Recipe names of each meal of a child on a day.
fn flavours(request: &Request, plan: &Plan, child: usize, day: Date) -> Vec<BTreeSet<String>> {
    let planned = plan
        .meals
        .iter()
        .filter(|meal| meal.child == child && meal.day == day);
    let planned = planned.map(|meal| {
        meal.parts
            .iter()
            .map(|part| part.origin.recipe(request).to_string())
            .collect()
    });
    let settled = request
        .fixed
        .iter()
        .filter(|meal| meal.child == child && meal.day == day);
    let recipe = |batch: usize| request.batches[batch].recipe.clone();
    let settled = settled.map(|meal| {
        meal.parts
            .iter()
            .filter_map(|part| part.cubes)
            .map(|(batch, _)| recipe(batch))
            .collect()
    });
    planned.chain(settled).collect()
}

fn repeats(request: &Request, plan: &Plan, child: usize, day: Date) -> Vec<Finding> {
    let mut count: BTreeMap<String, usize> = BTreeMap::new();
    for flavour in flavours(request, plan, child, day).into_iter().flatten() {
        *count.entry(flavour).or_default() += 1;
    }
    let over = count.into_iter().filter(|(_, meals)| *meals > TWICE);
    let found = over.map(|(flavour, meals)| Finding {
        about: About::Repeats,
        day: Some(day),
        child: Some(child),
        words: format!("`{flavour}` in {meals} meals of one day"),
    });
    found.collect()
}

fn groups_of(request: &Request, origin: Origin) -> BTreeSet<DietGroup> {
    match origin {
        Origin::Batch(batch) => request.batches.get(batch).map(|one| one.groups.clone()),
        Origin::Cooking { recipe, .. } => request.recipes.get(recipe).map(|one| one.groups.clone()),
    }
    .unwrap_or_default()
}

fn groups(request: &Request, plan: &Plan, (child, day): (usize, usize)) -> Option<Finding> {
    let date = request.days[day];
    let planned = plan
        .meals
        .iter()
        .filter(|meal| meal.child == child && meal.day == date);
    let mut had: BTreeSet<DietGroup> = planned
        .flat_map(|meal| &meal.parts)
        .flat_map(|part| groups_of(request, part.origin))
        .collect();
    let settled = request
        .fixed
        .iter()
        .filter(|meal| meal.child == child && meal.day == date);
    had.extend(
        settled
            .flat_map(|meal| &meal.parts)
            .flat_map(|part| part.groups.iter().copied()),
    );
    let wanted = request.children[child].groups_wanted as usize;
    let names: Vec<&str> = had.iter().map(|group| group.name()).collect();
    (had.len() < wanted).then(|| Finding {
        about: About::Groups,
        day: Some(date),
        child: Some(child),
        words: format!(
            "{} of {wanted} food groups beside milk: {}",
            had.len(),
            if names.is_empty() {
                "none".into()
            } else {
                names.join("; ")
            }
        ),
    })
}

fn not_offered(request: &Request, plan: &Plan, child: usize) -> Vec<Finding> {
    let cubes = plan
        .meals
        .iter()
        .filter(|meal| meal.child == child)
        .flat_map(|meal| &meal.parts)
        .filter_map(|part| part.origin.cube(request));
    let settled = request
        .fixed
        .iter()
        .filter(|meal| meal.child == child)
        .flat_map(|meal| &meal.parts)
        .map(|part| &part.serving);
    let served: BTreeSet<_> = cubes
        .chain(settled)
        .flat_map(|serving| &serving.foods)
        .map(|food| &food.id)
        .collect();
    let eater = &request.children[child];
    let mut found = Vec::new();
    for food in eater
        .offer_again
        .iter()
        .filter(|food| !served.contains(food))
    {
        let there = request
            .batches
            .iter()
            .filter(|batch| batch.cubes > 0)
            .flat_map(|batch| &batch.cube.foods)
            .find(|one| one.id == *food);
        found.extend(there.map(|food| Finding {
            about: About::OfferAgain,
            day: None,
            child: Some(child),
            words: format!(
                "{} was refused, is in the freezer and is not offered again",
                food.name
            ),
        }));
    }
    found
}

fn waste(request: &Request, plan: &Plan) -> Vec<Finding> {
    let mut found = Vec::new();
    for (index, batch) in request
        .batches
        .iter()
        .enumerate()
        .filter(|(_, batch)| request.days.contains(&batch.use_by))
    {
        let planned = plan
            .meals
            .iter()
            .flat_map(|meal| &meal.parts)
            .filter(|part| part.origin == Origin::Batch(index))
            .map(|part| part.cubes);
        let settled = request
            .fixed
            .iter()
            .flat_map(|meal| &meal.parts)
            .filter_map(|part| part.cubes)
            .filter(|(one, _)| *one == index);
        let eaten: u32 = planned.chain(settled.map(|(_, cubes)| cubes)).sum();
        let left = batch.cubes.saturating_sub(eaten);
        if left > 0 {
            let words = format!(
                "{left} cubes of {} are to be used by {} and are not planned",
                batch.title,
                request.day_name(batch.use_by)
            );
            found.push(Finding {
                about: About::Waste,
                day: Some(batch.use_by),
                child: None,
                words,
            });
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::planning::kitchen::{BEEF, EGG, SALMON, SQUASH, batch, cube, day, food, request};
    use crate::planning::{Cooking, Part, PlannedMeal};

    fn meal(after: i64, name: &str, parts: &[(usize, u32)]) -> PlannedMeal {
        let parts = parts.iter().map(|(batch, cubes)| Part {
            origin: Origin::Batch(*batch),
            cubes: *cubes,
        });
        PlannedMeal {
            day: day(after),
            child: 0,
            meal: name.into(),
            parts: parts.collect(),
        }
    }

    #[test]
    fn each_broken_rule_is_told_with_its_place() {
        let mut stale = batch("squash", 9, cube(&[SQUASH], 0.2));
        stale.use_by = day(0);
        let both = batch("egg and salmon", 9, cube(&[EGG, SALMON], 0.5));
        let mut request = request(2, vec![batch("beef", 1, cube(&[BEEF], 0.8)), stale, both]);
        request.children[0]
            .excluded
            .insert(food(BEEF), "a rash".into());
        let plan = Plan {
            meals: vec![
                meal(0, "lunch", &[(0, 2)]),
                meal(1, "lunch", &[(1, 2), (2, 3)]),
                meal(1, "tea", &[(2, 2)]),
            ],
            cookings: vec![Cooking {
                day: day(0),
                recipe: 0,
                trays: 1,
            }],
        };
        let found = check(&plan, &request).unwrap();
        let broken: Vec<&str> = found
            .iter()
            .filter(|one| one.is_broken())
            .map(|one| one.words.as_str())
            .collect();
        assert_eq!(
            broken,
            [
                "cubes of beef: 2 are planned, 1 are there",
                "squash is to be used by Monday",
                "`tea` is not a meal of the day",
                "lunch: 5 cubes, where 2 to 2 are wanted",
                "2 new foods on one day: egg; salmon",
                "beef is in it: a rash",
            ]
        );
    }

    #[test]
    fn advice_is_no_broken_rule() {
        let mut old = batch("squash", 9, cube(&[SQUASH], 0.2));
        old.use_by = day(0);
        let mut request = request(1, vec![old]);
        request.children[0].meals = ["breakfast", "lunch", "supper"].map(String::from).to_vec();
        request.children[0].groups_wanted = 4;
        let names = ["breakfast", "lunch", "supper"];
        let plan = Plan {
            meals: names.map(|name| meal(0, name, &[(0, 2)])).to_vec(),
            cookings: Vec::new(),
        };
        let found = check(&plan, &request).unwrap();
        assert!(found.iter().all(|one| !one.is_broken()));
        let about: Vec<About> = found.iter().map(|one| one.about).collect();
        assert_eq!(about, [About::Repeats, About::Groups, About::Waste]);
    }
}
