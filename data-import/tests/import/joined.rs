//! Foods that are both in SR28 and among the Foundation Foods, joined by their NDB number: two
//! measurements of the same food, years apart. By the zips that `TRAYFUL_SR28ASC` and
//! `TRAYFUL_FOUNDATION` name: SR28 (2015), full, and FoodData Central, Foundation Foods, October 2024.

use std::fs::File;
use std::io::Write;
use std::path::Path;

use data_import::{Food, FoodTable, NutrientId as N, nutrients};
use zip::ZipArchive;

use crate::support::Workplace;
use crate::whole_sr28::zip_named;

/// Amounts that differ by more than this are listed.
const FACTOR: f64 = 3.0;

/// Foundation Foods and SR28 foods with the same NDB number.
fn pairs(zip: &Path, table: &FoodTable) -> Vec<(Food, Food)> {
    let mut zip = ZipArchive::new(File::open(zip).unwrap()).unwrap();
    let names = zip.file_names().map(|name| name.unwrap().into_owned());
    let name = names
        .into_iter()
        .find(|name| name.ends_with("/foundation_food.csv"));
    let file = zip.by_name(&name.unwrap()).unwrap();
    let rows = csv::Reader::from_reader(file)
        .into_records()
        .map(Result::unwrap);
    let ids = rows.filter_map(|row| {
        let ndb = row[1].parse::<u32>().unwrap();
        Some([row[0].parse().ok()?, format!("{ndb:05}").parse().ok()?])
    });
    let found = ids.map(|pair| table.foods(&pair).unwrap());
    let pair = |both: Vec<Option<Food>>| {
        let mut both = both.into_iter();
        Some((both.next()??, both.next()??))
    };
    found.filter_map(pair).collect()
}

/// Whether two names have a word in common: some numbers were given to another food since.
fn alike((new, old): &(Food, Food)) -> bool {
    let words = |food: &Food| {
        let name = food.name.to_lowercase();
        let words = name.split(|c: char| !c.is_alphabetic()).map(str::to_owned);
        let words = words.map(|word| word.trim_end_matches('s').to_owned());
        words
            .filter(|word| word.len() > 2 && word != "cooked" && word != "raw")
            .collect::<Vec<_>>()
    };
    let old = words(old);
    words(new).iter().any(|word| old.contains(word))
}

/// Pearson's correlation of logarithms: amounts span powers of ten.
fn correlation(values: &[(f64, f64)]) -> f64 {
    let logs = values
        .iter()
        .map(|(a, b)| (a.ln(), b.ln()))
        .collect::<Vec<_>>();
    let count = logs.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| logs.iter().map(of).sum::<f64>() / count;
    let (a, b) = (mean(|one| one.0), mean(|one| one.1));
    let sum =
        |of: &dyn Fn(f64, f64) -> f64| logs.iter().map(|one| of(one.0 - a, one.1 - b)).sum::<f64>();
    sum(&|x, y| x * y) / (sum(&|x, _| x * x) * sum(&|_, y| y * y)).sqrt()
}

#[test]
#[ignore = "needs the zips that TRAYFUL_SR28ASC and TRAYFUL_FOUNDATION name: scripts/validate-import"]
#[expect(clippy::format_push_string, reason = "test texts read better so")]
fn two_measurements_of_a_food_agree() {
    let [sr28, foundation] = ["TRAYFUL_SR28ASC", "TRAYFUL_FOUNDATION"].map(zip_named);
    let place = Workplace::new();
    place.import_from(&sr28).unwrap();
    let manifest = place.import_from(&foundation).unwrap();
    let ids = manifest
        .sources
        .iter()
        .map(|one| (one.id.as_str(), one.foods));
    assert!(ids.eq([("foundation", 316), ("sr28", 8789)]));
    let dropped = "71 older versions of Foundation Foods were left out";
    assert!(
        manifest.sources[0]
            .warnings
            .iter()
            .any(|told| told == dropped)
    );

    let pairs = pairs(&foundation, &place.open().unwrap());
    let (pairs, others): (Vec<_>, Vec<_>) = pairs.into_iter().partition(alike);
    let mut told = format!("{} foods are in both\n", pairs.len());
    for (new, old) in &others {
        told += &format!("  {} was {}, now it is {}\n", old.id, old.name, new.name);
    }
    assert!(pairs.len() >= 60, "{told}");
    let (mut outliers, mut weak) = (String::new(), Vec::new());
    for nutrient in nutrients().unwrap() {
        let amounts = |(new, old): &(Food, Food)| {
            let amount = |food: &Food| food.composition.get(nutrient.id).filter(|one| *one > 0.0);
            Some((amount(new)?, amount(old)?))
        };
        for pair in &pairs {
            let Some((new, old)) = amounts(pair) else {
                continue;
            };
            if new / old > FACTOR || old / new > FACTOR {
                let (tag, unit, food) = (&nutrient.tag, &nutrient.unit, &pair.1);
                outliers += &format!(
                    "  {tag} {new} against {old} {unit}: {} {}\n",
                    food.id, food.name
                );
            }
        }
        let both = pairs.iter().filter_map(amounts).collect::<Vec<_>>();
        if both.len() < 20 {
            continue;
        }
        let r = correlation(&both);
        told += &format!("{:10} {:4} foods, r {r:.3}\n", nutrient.tag, both.len());
        // What a food is made of hardly changes; traces do, with soil, feed and method.
        let least = match nutrient.id {
            N::WATER | N::PROTEIN | N::FAT | N::ENERGY => 0.95,
            N::CARBOHYDRATE => 0.9,
            N::POTASSIUM | N::MAGNESIUM | N::PHOSPHORUS | N::CALCIUM => 0.85,
            _ => 0.3,
        };
        if r <= least {
            weak.push(&nutrient.tag);
        }
    }
    let count = outliers.lines().count();
    let told = format!("{told}{count} amounts differ by more than {FACTOR}:\n{outliers}");
    std::io::stderr().write_all(told.as_bytes()).unwrap();
    assert!(weak.is_empty(), "too weak a correlation: {weak:?}");
}
