//! Labels made of published rows: the checks of own foods must hardly ever speak, or nobody listens.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use data_import::own::OwnFoods;
use trayful::food::Food;
use trayful::nutrition::NutrientId as N;

use super::support::foods;

const COLUMNS: [(&str, N, &str); 10] = [
    ("energy", N::ENERGY, "kcal"),
    ("protein", N::PROTEIN, "g"),
    ("fat", N::FAT, "g"),
    ("saturated", N::SATURATED_FAT, "g"),
    ("total-carbohydrate", N::CARBOHYDRATE, "g"),
    ("sugars", N::SUGARS, "g"),
    ("fibre", N::FIBRE, "g"),
    ("sodium", N::SODIUM, "mg"),
    ("iron", N::IRON, "mg"),
    ("vitamin-d", N::VITAMIN_D, "µg"),
];

/// The row of a food as a label would give it, per 100 g, its energy multiplied.
fn row(food: &Food, energy: f64) -> String {
    let mut row = format!("own-{},X,100 g", food.id);
    for (column, nutrient, unit) in COLUMNS {
        let factor = if column == "energy" { energy } else { 1.0 };
        match food.composition.get(nutrient) {
            Some(value) => write!(row, ",{} {unit}", value * factor).unwrap(),
            None => row.push(','),
        }
    }
    row + "\n"
}

/// How many of the labels of these foods are warned of, by the column that the warning is about.
fn warned<'a>(chosen: impl Iterator<Item = &'a Food>, energy: f64) -> BTreeMap<String, usize> {
    let mut text = String::from("id,name,per");
    for (column, ..) in COLUMNS {
        write!(text, ",{column}").unwrap();
    }
    text.push('\n');
    text.extend(chosen.map(|food| row(food, energy)));
    let read = OwnFoods::read("sr28.csv", &text).unwrap().unwrap();
    let mut counts = BTreeMap::new();
    for warning in read.iter().flat_map(|food| &food.warnings) {
        let about = warning.what.split([':', ' ']).next().unwrap();
        *counts.entry(about.to_owned()).or_insert(0) += 1;
    }
    counts
}

// USDA SR28 (2015), 8,789 foods. Its energy is counted with factors of each food, where the check
// counts 4, 9, 4 and 2; alcohol and food acids, which are in no column, are what is left.
#[test]
fn published_foods_are_hardly_ever_warned_of() {
    let all = warned(foods(), 1.0);
    assert!(all.values().sum::<usize>() <= 200, "{all:?}");
    let babies = warned(foods().filter(|food| food.group == "0300"), 1.0);
    assert!(babies.values().sum::<usize>() <= 10, "{babies:?}");
    assert_eq!(babies.get("energy"), None);
}

#[test]
fn kilojoules_in_the_place_of_kcal_are_noticed() {
    let rich = |food: &&Food| {
        food.composition.get(N::FAT).is_some()
            && food
                .composition
                .get(N::ENERGY)
                .is_some_and(|kcal| kcal >= 20.0)
    };
    let count = foods().filter(rich).count();
    let noticed = warned(foods().filter(rich), 4.184)["energy"];
    assert!(noticed * 1000 >= count * 995, "{noticed} of {count}");
}
