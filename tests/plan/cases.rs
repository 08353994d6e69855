//! Invented households, each made from a seed: what is in the freezer, who eats, what may be cooked.

use std::collections::{BTreeMap, BTreeSet};

use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use trayful::cost::Money;
use trayful::nutrition::{AgeMonths, DietGroup, NutrientId, ServedFood, Serving, Source, Total};
use trayful::planning::{Batch, Cookable, Eater, Need, Request, Target};
use trayful::quantity::Mass;

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
        edible: None,
        iron: None,
        allergens: Vec::new(),
        method: None,
    }
}

/// A cube of one to three foods, as strong in this and that as cubes are.
pub(crate) fn cube(dice: &mut Dice, title: &str) -> (Serving, BTreeSet<DietGroup>) {
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
    let serving = Serving {
        source: Source::Puree,
        what: title.into(),
        mass: Mass::from_grams(28.0),
        nutrients: amounts
            .into_iter()
            .map(|(id, amount)| (id, total(amount)))
            .collect(),
        foods: numbers.into_iter().map(food).collect(),
        liquid: None,
    };
    (serving, groups)
}

fn money(cents: u64) -> Money {
    format!("{}.{:02}", cents / 100, cents % 100)
        .parse()
        .unwrap()
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
        let (cube, groups) = cube(&mut dice, &title);
        batches.push(Batch {
            id: number as i64 + 1,
            recipe: format!("recipe-{name}"),
            title,
            cubes: 6 + dice.below(22) as u32,
            from: FIRST.saturating_sub(10.days()),
            use_by: FIRST.saturating_add((dice.below(30) as i64).days()),
            cube,
            groups,
            cost: Some(money(5 + dice.below(35))),
        });
    }
    let recipes = (0..size.recipes).map(|number| {
        let title = format!("Fresh {number}");
        let (cube, groups) = cube(&mut dice, &title);
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
            same_day: number % 2 == 0,
            cube,
            groups,
            tray_cost: Some(money(100 + dice.below(400))),
        }
    });
    let recipes: Vec<Cookable> = recipes.collect();
    let children = (0..size.children)
        .map(|number| child(&mut dice, number, size))
        .collect();
    Request {
        days,
        children,
        batches,
        recipes,
        fixed: Vec::new(),
        waiting_days: 4,
        trays_a_day: Some(3),
    }
}

fn child(dice: &mut Dice, number: usize, size: Size) -> Eater {
    let (months, energy, targets) = if number == 0 {
        (
            8,
            200,
            [(11.0, 0.4), (3.0, 1.2), (500.0, 300.0), (50.0, 25.0)],
        )
    } else {
        (
            14,
            550,
            [(7.0, 0.4), (3.0, 1.0), (300.0, 200.0), (15.0, 15.0)],
        )
    };
    let nutrients = [
        NutrientId::IRON,
        NutrientId::ZINC,
        NutrientId::VITAMIN_A_RAE,
        NutrientId::VITAMIN_C,
    ];
    let new: BTreeSet<u64> = (0..size.new_foods).map(|_| dice.below(FOODS)).collect();
    let excluded = dice.below(FOODS);
    let known = (0..FOODS).filter(|food| !new.contains(food));
    let need = Need {
        age: AgeMonths(months),
        meals: 2..=4,
        cubes: 2..=4,
        energy_kcal: energy,
    };
    Eater {
        name: ["Ash", "Birch", "Cedar"][number % 3].into(),
        meals: ["breakfast", "lunch", "supper", "snack"][..size.meals]
            .iter()
            .map(ToString::to_string)
            .collect(),
        days: vec![need; size.days as usize],
        targets: nutrients
            .into_iter()
            .zip(targets)
            .map(|(id, (per_day, from_milk))| (id, Target { per_day, from_milk }))
            .collect(),
        known: known
            .map(|number| {
                (
                    food(number).id,
                    FIRST.saturating_sub((2 + number as i64).days()),
                )
            })
            .collect(),
        excluded: BTreeMap::from([(food(excluded).id, "a rash".to_string())]),
        offer_again: BTreeSet::from([food(dice.below(FOODS)).id]),
        groups_wanted: 4,
    }
}
