//! Small invented households for tests.

use std::collections::{BTreeMap, BTreeSet};

use data_import::{FoodId, NutrientId};
use jiff::ToSpan as _;
use jiff::civil::{Date, date};

use super::{Cookable, CubeBatch, CubeSize, Eater, IronGoal, Need, Request};
use crate::nutrition::{AgeMonths, DietGroup, ServedFood, Serving, Source, Total};
use crate::quantity::Mass;
use crate::safety::{WaitAfter, Waiting};

/// A Monday.
pub(crate) const MONDAY: Date = date(2026, 11, 30);

pub(crate) fn day(after: i64) -> Date {
    MONDAY.saturating_add(after.days())
}

pub(crate) fn food(id: &str) -> FoodId {
    id.parse().unwrap()
}

pub(crate) const BEEF: &str = "23093";
pub(crate) const SQUASH: &str = "11485";
pub(crate) const EGG: &str = "01123";
pub(crate) const SALMON: &str = "15076";
pub(crate) const LENTILS: &str = "16144";

/// A cube of some foods, with `iron` in mg and 20 kcal.
pub(crate) fn cube(foods: &[&str], iron: f64) -> Serving {
    let names = BTreeMap::from([
        (BEEF, "beef"),
        (SQUASH, "squash"),
        (EGG, "egg"),
        (SALMON, "salmon"),
        (LENTILS, "lentils"),
    ]);
    let total = |amount| Total {
        known: Some(amount),
        missing: Vec::new(),
    };
    Serving {
        source: Source::Puree,
        what: foods.join(" "),
        mass: Mass::from_grams(28.0),
        nutrients: BTreeMap::from([
            (NutrientId::IRON, total(iron)),
            (NutrientId::ENERGY, total(20.0)),
        ]),
        foods: foods
            .iter()
            .map(|id| ServedFood {
                id: food(id),
                name: names[id].into(),
                edible: Some(Mass::from_grams(28.0)),
                iron: None,
                allergens: Vec::new(),
                method: None,
                typed: String::new(),
            })
            .collect(),
        liquid: None,
        portion: None,
    }
}

/// A batch of a recipe named after its foods, that keeps for long.
pub(crate) fn batch(name: &str, cubes: u32, cube: Serving) -> CubeBatch {
    CubeBatch {
        id: 1,
        recipe: name.into(),
        title: name.into(),
        cubes,
        from: day(-10),
        use_by: day(60),
        cube,
        size: CubeSize::USUAL,
        barred: BTreeMap::new(),
        not_on: BTreeMap::new(),
    }
}

/// A recipe that may be cooked on some days, eight cubes a tray, to be served from the next day.
pub(crate) fn cookable(name: &str, cook_days: &[i64], cube: Serving) -> Cookable {
    Cookable {
        recipe: name.into(),
        title: name.into(),
        cook_days: cook_days.iter().map(|after| day(*after)).collect(),
        cubes_a_tray: 8,
        most_trays: 2,
        freezer_days: 30,
        cube,
        barred: BTreeMap::new(),
        not_on: BTreeMap::new(),
    }
}

/// A request for one child, one meal of two cubes a day, all foods known but salmon and egg.
pub(crate) fn request(days: i64, batches: Vec<CubeBatch>) -> Request {
    let need = Need {
        age: AgeMonths(8),
        meals: 1..=3,
        usual: 2,
        cubes: 2..=2,
        most: 2,
    };
    let days: Vec<Date> = (0..days).map(day).collect();
    Request {
        children: vec![Eater {
            name: "Wren".into(),
            meals: vec!["lunch".into()],
            days: days.iter().map(|day| (*day, need.clone())).collect(),
            solids_from: day(-60),
            eaten_lately: Some(2.0),
            iron: Some(IronGoal {
                ear: 6.9,
                rda: 11.0,
                from_milk: 0.0,
            }),
            known: BTreeSet::from([food(BEEF), food(SQUASH)]),
            new_from: Some(day(-17)),
            allergens: BTreeSet::new(),
            keep_up: BTreeSet::new(),
            offer_again: BTreeMap::new(),
            not_liked_yet: BTreeSet::new(),
            limits: Vec::new(),
            groups_wanted: 1,
        }],
        days,
        batches,
        recipes: Vec::new(),
        fixed: Vec::new(),
        groups: BTreeMap::from([
            (food(BEEF), DietGroup::Flesh),
            (food(SQUASH), DietGroup::VitaminA),
            (food(EGG), DietGroup::Eggs),
            (food(SALMON), DietGroup::Flesh),
        ]),
        waiting: Waiting {
            days: 3,
            after: WaitAfter::All,
        },
        trays_a_day: None,
    }
}
