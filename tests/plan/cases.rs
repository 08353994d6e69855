//! Invented households, each made from a seed: what is in the freezer, who eats, what may be cooked.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use trayful::nutrition::{AgeMonths, DietGroup, NutrientId, ServedFood, Serving, Source, Total};
use trayful::planning::limit::{Counts, DayLimit};
use trayful::planning::{Cookable, CubeBatch, CubeSize, Eater, IronGoal, Need, Request};
use trayful::quantity::Mass;
use trayful::safety::Waiting;
use trayful::uncertainty::{Cause, Doubts, UnsurePortion};

/// How large a household is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Size {
    /// Days of the plan.
    pub(crate) days: u32,
    /// Children.
    pub(crate) children: usize,
    /// Meals a day.
    pub(crate) meals: usize,
    /// Batches in the freezer.
    pub(crate) batches: usize,
    /// Recipes that may be cooked.
    pub(crate) recipes: usize,
    /// Foods that the children do not know.
    pub(crate) new_foods: usize,
}

/// A week of two children with three meals, from fifteen batches.
pub(crate) const WEEK: Size = Size {
    days: 7,
    children: 2,
    meals: 3,
    batches: 15,
    recipes: 3,
    new_foods: 3,
};

/// The first day of every case.
pub(crate) const FIRST: Date = date(2026, 11, 30);

/// A source of numbers that is the same everywhere (xorshift).
pub(crate) struct Dice(u64);

impl Dice {
    /// From a seed.
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// Below a number.
    pub(crate) fn below(&mut self, end: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) % end
    }

    /// From one number to another, by thousandths.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.below(1001) as f64 / 1000.0
    }
}

const FOODS: u64 = 24;
const GROUPS: [DietGroup; 6] = [
    DietGroup::Grains,
    DietGroup::Pulses,
    DietGroup::Flesh,
    DietGroup::Eggs,
    DietGroup::VitaminA,
    DietGroup::Other,
];

fn food(number: u64) -> ServedFood {
    ServedFood {
        id: format!("{:05}", 11_000 + number).parse().unwrap(),
        name: format!("food {number}"),
        edible: Some(Mass::from_grams(14.0)),
        iron: None,
        method: None,
        typed: String::new(),
        // Every sixth food is an egg.
        allergens: if number % 6 == 3 {
            vec!["egg".into()]
        } else {
            Vec::new()
        },
    }
}

/// A cube of one to three foods, as strong in this and that as cubes are.
pub(crate) fn cube(dice: &mut Dice, title: &str) -> Serving {
    let count = 1 + dice.below(3);
    let numbers: BTreeSet<u64> = (0..count).map(|_| dice.below(FOODS)).collect();
    // A food always belongs to the same group.
    let groups = numbers
        .iter()
        .map(|number| GROUPS[(*number % 6) as usize])
        .collect::<BTreeSet<_>>();
    let meat = groups.contains(&DietGroup::Flesh) || groups.contains(&DietGroup::Pulses);
    let orange = groups.contains(&DietGroup::VitaminA);
    let amounts = [
        (
            NutrientId::IRON,
            if meat {
                dice.between(0.25, 0.9)
            } else {
                dice.between(0.05, 0.3)
            },
        ),
        (
            NutrientId::ZINC,
            if meat {
                dice.between(0.2, 0.8)
            } else {
                dice.between(0.04, 0.2)
            },
        ),
        (NutrientId::ENERGY, dice.between(10.0, 35.0)),
        (
            NutrientId::VITAMIN_A_RAE,
            if orange {
                dice.between(80.0, 250.0)
            } else {
                dice.between(0.0, 20.0)
            },
        ),
        (NutrientId::VITAMIN_C, dice.between(0.2, 6.0)),
    ];
    let total = |amount| Total {
        known: Some(amount),
        missing: Vec::new(),
    };
    // The lot of one of its foods differs from others, so that the iron is unsure by a tenth to a half.
    let mut doubts = Doubts::default();
    let lot = Cause::Lot(food(*numbers.first().unwrap()).id, title.into());
    let spread = dice.between(0.1, 0.5);
    doubts.note(NutrientId::IRON, lot, amounts[0].1 * spread);
    Serving {
        source: Source::Puree,
        what: title.into(),
        mass: Mass::from_grams(28.0),
        nutrients: amounts
            .into_iter()
            .map(|(id, amount)| (id, total(amount)))
            .collect(),
        foods: numbers.into_iter().map(food).collect(),
        liquid: None,
        portion: Some(UnsurePortion {
            doubts: Arc::new(doubts),
            times: 1.0,
            cubes: None,
        }),
    }
}

/// The household of a seed.
pub(crate) fn case(seed: u64, size: Size) -> Request {
    let mut dice = Dice::new(seed);
    let days: Vec<Date> = (0..size.days)
        .map(|day| FIRST.saturating_add(i64::from(day).days()))
        .collect();
    let mut batches = Vec::new();
    for number in 0..size.batches {
        // Now and then two batches are of one recipe.
        let again = number > 0 && dice.below(5) == 0;
        let name = if again { number - 1 } else { number };
        let title = format!("Recipe {name}");
        let cube = cube(&mut dice, &title);
        batches.push(CubeBatch {
            id: number as i64 + 1,
            recipe: format!("recipe-{name}"),
            title,
            cubes: 6 + dice.below(22) as u32,
            from: FIRST.saturating_sub(10.days()),
            use_by: FIRST.saturating_add((dice.below(30) as i64).days()),
            cube,
            size: CubeSize::USUAL,
            barred: BTreeMap::new(),
            not_on: BTreeMap::new(),
        });
    }
    let recipes = (0..size.recipes).map(|number| {
        let title = format!("Fresh {number}");
        let cube = cube(&mut dice, &title);
        Cookable {
            recipe: format!("fresh-{number}"),
            title,
            cook_days: [1, 5]
                .iter()
                .filter_map(|day| days.get(*day))
                .copied()
                .collect(),
            cubes_a_tray: 16,
            most_trays: 2,
            freezer_days: 30,
            cube,
            barred: BTreeMap::new(),
            not_on: BTreeMap::new(),
        }
    });
    let mut recipes: Vec<Cookable> = recipes.collect();
    let mut children = Vec::new();
    for number in 0..size.children {
        let barred = food(dice.below(FOODS)).id;
        let holds = |cube: &Serving| cube.foods.iter().any(|food| food.id == barred);
        for batch in batches.iter_mut().filter(|batch| holds(&batch.cube)) {
            batch.barred.insert(number, "a rash".into());
        }
        for recipe in recipes.iter_mut().filter(|recipe| holds(&recipe.cube)) {
            recipe.barred.insert(number, "a rash".into());
        }
        children.push(child(&mut dice, number, size, &days));
    }
    let groups = (0..FOODS).map(|number| (food(number).id, GROUPS[(number % 6) as usize]));
    Request {
        days,
        children,
        batches,
        recipes,
        fixed: Vec::new(),
        groups: groups.collect(),
        waiting: Waiting::default(),
        trays_a_day: Some(3),
    }
}

fn child(dice: &mut Dice, number: usize, size: Size, days: &[Date]) -> Eater {
    let (months, usual, most, ear, rda) = if number == 0 {
        (8, 3, 4, 6.9, 11.0)
    } else {
        (14, 3, 3, 3.0, 7.0)
    };
    let new: BTreeSet<u64> = (0..size.new_foods).map(|_| dice.below(FOODS)).collect();
    let known = (0..FOODS).filter(|food| !new.contains(food));
    let need = |day: u32| Need {
        age: AgeMonths(months),
        meals: 2..=4,
        usual,
        cubes: usual.div_ceil(2)..=(usual + day / 3).min(most),
        most,
    };
    let refused = food(dice.below(FOODS)).id;
    let (knows_eggs, dislikes) = (dice.below(3) > 0, dice.below(2) > 0);
    let rare = BTreeSet::from([food(dice.below(FOODS)).id, food(dice.below(FOODS)).id]);
    Eater {
        name: ["Ash", "Birch", "Cedar"][number % 3].into(),
        meals: ["breakfast", "lunch", "supper", "snack"][..size.meals]
            .iter()
            .map(ToString::to_string)
            .collect(),
        days: days
            .iter()
            .zip(0..)
            .map(|(day, at)| (*day, need(at)))
            .collect(),
        solids_from: FIRST.saturating_sub(60.days()),
        eaten_lately: Some(f64::from(usual)),
        iron: Some(IronGoal {
            ear,
            rda,
            from_milk: 0.4,
        }),
        known: known.map(|number| food(number).id).collect(),
        new_from: Some(FIRST.saturating_add((2 - dice.below(6) as i64).days())),
        // One child in three does not know eggs, one in two hardly ever ate what it refused.
        allergens: BTreeSet::from_iter(knows_eggs.then(|| "egg".to_string())),
        keep_up: BTreeSet::from_iter(knows_eggs.then(|| "egg".to_string())),
        not_liked_yet: BTreeSet::from_iter(dislikes.then(|| refused.clone())),
        offer_again: BTreeMap::from([(
            refused,
            FIRST.saturating_add((dice.below(3) as i64).days()),
        )]),
        limits: vec![
            DayLimit {
                hazard: "fish".into(),
                days: 7,
                most: 2.0,
                counts: Counts::Meals(rare),
                judged: false,
            },
            DayLimit {
                hazard: "retinol".into(),
                days: 1,
                most: 1500.0,
                counts: Counts::Grams(BTreeMap::from([(food(dice.below(FOODS)).id, 10.0)])),
                judged: false,
            },
        ],
        groups_wanted: 4,
    }
}
