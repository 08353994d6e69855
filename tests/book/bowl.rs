//! A bowl before it is served, and what to buy for a plan.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use jiff::civil::date;
use proptest::prelude::*;
use rust_decimal::Decimal;
use trayful::cost::Money;
use trayful::food::{Food, FoodTable};
use trayful::notebook::Purchase;
use trayful::planning::shop::{FoodNeed, ShoppingList};
use trayful::quantity::Mass;

use super::household::Household;
use super::plan::{with_a_plan, with_cubes};

fn json(home: &Household, args: &[&str]) -> serde_json::Value {
    serde_json::from_str(&home.answer(args)).unwrap()
}

#[test]
fn a_bowl_says_its_iron_and_what_is_new_in_it() {
    let home = with_cubes();
    home.answer(&["freeze", "lentil", "--on", "2026-10-03"]);
    let on = ["--on", "2026-10-05"];
    let mix = |words: &[&'static str]| [&["mix"][..], words, &on].concat();
    let before = home.rows();
    insta::assert_snapshot!(home.told(&[
        &mix(&["1 squash", "1 lentil", "30 ml plain yogurt"]),
        &mix(&["2 squash"]),
        &mix(&["1 egg", "--add", "20 g 09316"]),
        &mix(&["1 squash", "--json"]),
        &mix(&["9 sqush"]),
        &mix(&["9 #2"]),
        &mix(&["1 squash", "--child", "Robin"]),
        &mix(&["squash"]),
    ]));
    assert_eq!(before, home.rows(), "nothing is recorded");
}

/// What the bowl says is what `serve` says afterwards.
#[test]
fn a_bowl_holds_what_is_then_served() {
    let home = with_cubes();
    let bowl = json(&home, &["mix", "2 squash", "--json", "--on", "2026-10-05"]);
    let iron = bowl["bowl"]["iron_mg"]["amount"].as_f64().unwrap();
    let served = home.answer(&["serve", "2 squash", "--on", "2026-10-05"]);
    assert!(
        served.contains(&format!("iron {iron:.2} mg")),
        "{iron} in {served}"
    );
}

#[test]
fn a_shopping_list_is_told_in_packs_and_shelves() {
    let home = with_a_plan();
    home.say_of_itself("\n[[season]]\nfood = \"11485\"\nmonths = [9, 10]\n");
    home.say_of_itself("\n[[season]]\nfood = \"16144\"\nmonths = [5]\n");
    home.answer(&["buy", "1 lb 11485", "1.80", "--on", "2026-10-01"]);
    home.answer(&["buy", "100 g 16144", "0.95", "--on", "2026-10-01"]);
    let on = ["--on", "2026-10-05"];
    let shop = |words: &[&'static str]| [&["shop"][..], words, &on].concat();
    let first = home.told(&[&shop(&[]), &shop(&["--csv"]), &shop(&["--json"])]);
    home.answer(&["freeze", "lentil", "--on", "2026-10-07"]);
    home.answer(&["serve", "--meal", "lunch", "--on", "2026-10-06"]);
    let then = home.told(&[&["shop", "--on", "2026-10-07"]]);
    insta::assert_snapshot!(format!("{first}\n{then}"));
}

/// Nothing is looked for beside meat, 4 : 1 beside pulses, 2 : 1 beside fruit and vegetables.
#[test]
fn vitamin_c_beside_iron_hangs_on_what_is_in_the_bowl() {
    let home = with_cubes();
    let of = |foods: &[&'static str]| {
        let words = [&["mix"][..], foods, &["--on", "2026-10-05"]].concat();
        let bowl = json(&home, &[&words[..], &["--json"]].concat());
        (
            bowl["vitamin_c_per_iron_wanted"].as_f64(),
            home.said(&words)
                .out
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" "),
        )
    };
    let (wanted, beef) = of(&["30 g 23573"]);
    assert_eq!(wanted, None);
    assert!(
        !beef.contains("vitamin C : iron") && !beef.contains("helps the iron"),
        "{beef}"
    );
    let (wanted, lentils) = of(&["30 g 16070"]);
    assert_eq!(wanted, Some(4.0));
    assert!(
        lentils.contains("4 : 1 by moles is looked for"),
        "{lentils}"
    );
    assert_eq!(of(&["30 g 11486"]).0, Some(2.0));
    assert_eq!(of(&["30 g 16070", "10 g 23573"]).0, None);
}

/// Twice the trays of everything need twice as much, and the total is the sum of its lines.
#[test]
fn a_shopping_list_adds_up() {
    let home = with_cubes();
    home.answer(&["buy", "1 lb 11485", "1.80", "--on", "2026-10-01"]);
    let needs = |trays: &str| -> serde_json::Value {
        for (day, recipe) in [
            ("2026-10-06", "squash"),
            ("2026-10-07", "lentil"),
            ("2026-10-08", "egg"),
        ] {
            let cook = format!("{trays} {recipe}");
            home.answer(&["plan", "set", day, "--cook", &cook, "--on", "2026-10-05"]);
        }
        json(&home, &["shop", "--json", "--on", "2026-10-05"])
    };
    let (one, two) = (needs("1"), needs("2"));
    let items = |list: &serde_json::Value| -> Vec<(String, f64)> {
        let shelves = list["shelves"].as_array().unwrap().iter();
        let items = shelves.flat_map(|shelf| shelf["items"].as_array().unwrap());
        items
            .map(|one| {
                (
                    one["food"].as_str().unwrap().to_string(),
                    one["needed_g"].as_f64().unwrap(),
                )
            })
            .collect()
    };
    let foods: Vec<String> = items(&one).into_iter().map(|(food, _)| food).collect();
    assert_eq!(foods, ["11485", "01123", "20080", "16144"]);
    for ((food, once), (_, twice)) in items(&one).iter().zip(items(&two)) {
        // Rounded up to whole grams, recipe by recipe.
        assert!(
            (twice - 2.0 * once).abs() <= 4.0,
            "{food}: {once} and {twice}"
        );
    }
    let price: Vec<&str> = [&one, &two]
        .iter()
        .map(|list| list["cost"].as_str().unwrap())
        .collect();
    assert_eq!(one["complete"], false);
    let packs = |list: &serde_json::Value| (items(list)[0].1 / 453.592_37).ceil();
    let cost = |list: &serde_json::Value| format!("{:.1}", packs(list) * 1.8);
    assert_eq!(price, [cost(&one), cost(&two)]);
}

static FOODS: LazyLock<Vec<Food>> = LazyLock::new(|| {
    let ids = ["11485", "16144", "01116", "23093", "20080"].map(|id| id.parse().unwrap());
    let foods = FoodTable::builtin().unwrap().foods(&ids).unwrap();
    foods.into_iter().map(Option::unwrap).collect()
});

proptest! {
    /// Enough of everything is bought and no pack too many, each food stands there once, and the
    /// cost is that of the packs.
    #[test]
    fn a_list_buys_enough_and_no_pack_too_many(
        needs in prop::collection::vec((0usize..5, 0.1f64..3000.0), 0..12),
        bought in prop::collection::vec((0usize..5, 1u32..2500, 0i64..3000), 0..5),
    ) {
        let needs: Vec<FoodNeed> = needs
            .iter()
            .map(|(food, grams)| FoodNeed {
                food: FOODS[*food].clone(),
                purchased: Mass::from_grams(*grams),
                used_for: "lunch".into(),
            })
            .collect();
        let last: BTreeMap<_, _> = bought
            .iter()
            .map(|(food, grams, cents)| {
                let food = &FOODS[*food];
                let purchase = Purchase {
                    day: date(2026, 10, 1),
                    food: food.id.to_string(),
                    name: food.name.clone(),
                    mass: Mass::from_grams(f64::from(*grams)),
                    price: Money::new(Decimal::new(*cents, 2)),
                    store: String::new(),
                };
                (food.id.clone(), purchase)
            })
            .collect();
        let list = ShoppingList::of(&needs, &last, &BTreeMap::new());
        let mut sum = Money::ZERO;
        for item in list.items() {
            let of_it = needs.iter().filter(|need| need.food.id == item.food);
            let needed: f64 = of_it.map(|need| need.purchased.grams()).sum();
            prop_assert!((item.needed.grams() - needed).abs() < 1e-6);
            prop_assert!(item.buy.grams() >= needed * (1.0 - 1e-6));
            prop_assert_eq!(item.packs.is_some(), last.contains_key(&item.food));
            if let Some(packs) = &item.packs {
                let one_less = packs.last.mass.grams() * f64::from(packs.count - 1);
                prop_assert!(packs.count == 1 || one_less < needed * (1.0 + 1e-6));
                sum = sum + packs.last.price.times(packs.count);
            }
        }
        let mut ids: Vec<_> = list.items().map(|item| item.food.clone()).collect();
        ids.sort();
        ids.dedup();
        prop_assert_eq!(ids.len(), list.items().count());
        prop_assert_eq!(list.cost().unwrap_or_default(), sum);
    }
}
