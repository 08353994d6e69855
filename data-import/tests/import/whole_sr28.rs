//! All of SR28, by the zip that the variable `TRAYFUL_SR28ASC` names: the full tables as published
//! in the USDA National Nutrient Database for Standard Reference, Release 28 (2015).

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::Read;
use std::path::PathBuf;

use data_import::{Food, FoodTable, Measure, NutrientId, Origin, nutrients};
use zip::ZipArchive;

use crate::support::{Workplace, lines};

/// The zip that a variable names; it must be set.
pub(crate) fn zip_named(variable: &str) -> PathBuf {
    std::env::var_os(variable).map(PathBuf::from).unwrap()
}

/// The rows of one file of the zip, read here in the plainest way: fields without their `~`.
fn rows(zip: &mut ZipArchive<File>, file: &str) -> Vec<Vec<String>> {
    let mut bytes = Vec::new();
    let names = zip.file_names().map(|name| name.unwrap().into_owned());
    let name = names.into_iter().find(|name| name.ends_with(file)).unwrap();
    zip.by_name(&name).unwrap().read_to_end(&mut bytes).unwrap();
    let field = |bytes: &[u8]| {
        let text = bytes.iter().map(|byte| char::from(*byte));
        text.collect::<String>().trim_matches('~').to_owned()
    };
    let row = |line: &Vec<u8>| line.split(|b| *b == b'^').map(field).collect();
    lines(&bytes).iter().map(row).collect()
}

#[test]
#[ignore = "needs the zip that TRAYFUL_SR28ASC names: scripts/validate-import"]
fn every_value_and_measure_comes_back() {
    let path = zip_named("TRAYFUL_SR28ASC");
    let place = Workplace::new();
    let manifest = place.import_from(&path).unwrap();
    let source = &manifest.sources[0];
    assert_eq!(source.release, "SR28 (2015)");
    assert_eq!((source.values, source.measures), (679_045, 15_438));
    let table = place.open().unwrap();
    let foods = table.all().unwrap();
    let foods = foods
        .iter()
        .map(|food| (food.id.as_str(), food))
        .collect::<BTreeMap<_, _>>();
    let mut zip = ZipArchive::new(File::open(&path).unwrap()).unwrap();
    assert_values(&rows(&mut zip, "NUT_DATA.txt"), &foods, &table);
    assert_measures(&rows(&mut zip, "WEIGHT.txt"), &foods);
    assert_abbreviated(&foods);
}

fn assert_values(rows: &[Vec<String>], foods: &BTreeMap<&str, &Food>, table: &FoodTable) {
    assert_eq!(rows.len(), 679_045);
    let total = foods.values().map(|food| food.composition.len());
    assert_eq!(total.sum::<usize>(), rows.len());
    for row in rows {
        let nutrient = NutrientId::new(row[1].parse().unwrap());
        let found = foods[row[0].as_str()].composition.get(nutrient);
        assert_eq!(found, Some(row[2].parse().unwrap()), "{row:?}");
    }
    // Where the values come from, of one food in fifty: one look-up each.
    let mut origins = BTreeSet::new();
    for food in foods.values().step_by(50) {
        let all = table.provenance(&food.id).unwrap();
        let of_food = rows.iter().filter(|row| row[0] == food.id.as_str());
        let of_food = of_food
            .map(|row| (row[1].parse().unwrap(), row))
            .collect::<BTreeMap<u16, _>>();
        assert_eq!(all.len(), of_food.len());
        for one in all {
            let row = of_food[&one.nutrient.number()];
            assert_eq!(one.data_points, row[3].parse().ok(), "{row:?}");
            assert_eq!(one.standard_error, row[4].parse().ok(), "{row:?}");
            assert_eq!((&one.source_code, &one.derivation), (&row[5], &row[6]));
            origins.insert(one.origin);
        }
    }
    assert!(!origins.contains(&Origin::NotKnown), "{origins:?}");
    assert_eq!(origins.len(), 4, "{origins:?}");
}

fn assert_measures(rows: &[Vec<String>], foods: &BTreeMap<&str, &Food>) {
    assert_eq!(rows.len(), 15_438);
    let mut published = BTreeMap::<&str, Vec<Measure>>::new();
    for row in rows {
        let measure = Measure {
            amount: row[2].parse().unwrap(),
            unit: row[3].clone(),
            grams: row[4].parse().unwrap(),
        };
        published.entry(row[0].as_str()).or_default().push(measure);
    }
    for (id, food) in foods {
        let expected = published.remove(id).unwrap_or_default();
        assert_eq!(food.measures, expected, "food {id}");
    }
    assert!(published.is_empty());
}

/// The abbreviated file, which the program holds, has the same values of its 46 nutrients: all
/// 339,847, without an exception; nor has it less than the full tables.
fn assert_abbreviated(foods: &BTreeMap<&str, &Food>) {
    let builtin = FoodTable::builtin().unwrap().all().unwrap();
    assert_eq!(builtin.len(), foods.len());
    let mut compared = 0;
    for short in &builtin {
        let full = foods[short.id.as_str()];
        for nutrient in nutrients().unwrap() {
            let values = [full, short].map(|food| food.composition.get(nutrient.id));
            assert_eq!(
                values[0], values[1],
                "{} of food {}",
                nutrient.tag, short.id
            );
            compared += usize::from(values[0].is_some());
        }
        assert_eq!(short.refuse_percent, full.refuse_percent);
        assert_eq!((&short.name, &short.group), (&full.name, &full.group));
    }
    assert_eq!(compared, 339_847);
}
