//! The dataset in the program.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::Path;

use data_import::{FoodId, FoodTable, NutrientId, all_nutrients, group_name};
use sha2::{Digest, Sha256};

use crate::fooddata_set::Download;
use crate::support::Workplace;

// Source: USDA National Nutrient Database for Standard Reference, Release 28 (2015):
// 8,789 foods, 46 nutrients; the rows of NUT_DATA.txt with these numbers.
#[test]
fn it_stands_beside_a_cache_that_has_no_such_dataset() {
    let download = Download::new();
    download.import().unwrap();
    let table = FoodTable::with_builtin(&download.cache()).unwrap();
    let sources = table.sources().iter().map(|source| source.id.as_str());
    // In order of preference, as in a cache that holds them all.
    assert_eq!(
        sources.collect::<Vec<_>>(),
        ["foundation", "sr28", "sr-legacy", "survey", "branded"]
    );
    let builtin = (0..5).map(|at| table.is_builtin(at)).collect::<Vec<_>>();
    assert_eq!(builtin, [false, true, false, false, false]);
    let found = table.foods(&["1101", "11485", "1400"].map(|id| id.parse().unwrap()));
    assert!(found.unwrap().iter().all(Option::is_some));
    assert_eq!(table.names().unwrap().len(), table.all().unwrap().len());
    let alone = FoodTable::open(&download.cache()).unwrap();
    assert_ne!(table.manifest().stamp(), alone.manifest().stamp());
    assert_eq!(table.manifest().imported, alone.manifest().imported);
}

#[test]
fn it_gives_way_to_a_dataset_of_its_name() {
    let place = Workplace::new();
    let manifest = place.import().unwrap();
    let table = FoodTable::with_builtin(&place.cache()).unwrap();
    assert_eq!(table.manifest(), &manifest);
    assert!(!table.is_builtin(0));
    assert!(FoodTable::with_builtin(&place.path("none")).is_err());
}

#[test]
fn figures_of_the_published_file() {
    let table = FoodTable::builtin().unwrap();
    let source = &table.manifest().sources[0];
    assert_eq!((source.foods, source.nutrients), (8789, 46));
    assert_eq!(source.release, "SR28 (2015)");
    for (id, nutrient, per_100g) in [
        ("11485", NutrientId::IRON, Some(0.70)),
        ("11485", NutrientId::VITAMIN_A_RAE, Some(532.0)),
        ("16069", NutrientId::IRON, Some(6.51)),
        ("16069", NutrientId::PROTEIN, Some(24.63)),
        ("01001", NutrientId::ENERGY, Some(717.0)),
        ("01001", NutrientId::SATURATED_FAT, Some(51.368)),
        ("14411", NutrientId::CALCIUM, Some(3.0)),
        ("09110", NutrientId::ZINC, None),
    ] {
        let food = table
            .foods(&[id.parse().unwrap()])
            .unwrap()
            .remove(0)
            .unwrap();
        assert_eq!(
            food.composition.get(nutrient),
            per_100g,
            "food {id}, nutrient {nutrient}"
        );
        assert_eq!(food.source, "USDA SR28 (2015)");
    }
}

#[test]
fn every_food_is_found_by_its_id() {
    let table = FoodTable::builtin().unwrap();
    let all = table.all().unwrap();
    assert_eq!(all.len(), 8789);
    assert_eq!(table.names().unwrap().len(), 8789);
    let ids = all.iter().map(|food| food.id.clone()).collect::<Vec<_>>();
    for (ids, foods) in ids.chunks(97).zip(all.chunks(97)) {
        let found = table.foods(ids).unwrap();
        assert!(found.into_iter().flatten().eq(foods.iter().cloned()));
    }
    assert!(all.iter().all(|food| group_name(&food.group).is_some()));
}

#[test]
fn nutrients_are_told_apart() {
    let nutrients = all_nutrients().unwrap();
    let ids = nutrients
        .iter()
        .map(|nutrient| nutrient.id)
        .collect::<BTreeSet<_>>();
    let tags = nutrients
        .iter()
        .map(|nutrient| &nutrient.tag)
        .collect::<BTreeSet<_>>();
    assert_eq!((nutrients.len(), ids.len(), tags.len()), (263, 263, 263));
    assert_eq!(data_import::nutrients().unwrap().len(), 46);
}

#[test]
fn the_files_are_those_of_the_manifest() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("builtin");
    let (table, opened) = (
        FoodTable::builtin().unwrap(),
        FoodTable::open(&folder).unwrap(),
    );
    assert_eq!(opened.manifest(), table.manifest());
    assert!(opened.all().unwrap() == table.all().unwrap());
}

// The SHA-256 of the 339,847 values of the abbreviated file of the same release (ABBREV.txt of
// SR28): the full files say the same.
#[test]
fn values_are_those_of_the_abbreviated_file() {
    let table = FoodTable::builtin().unwrap();
    let mut text = String::new();
    for food in table.all().unwrap() {
        for nutrient in data_import::nutrients().unwrap() {
            if let Some(value) = food.composition.get(nutrient.id) {
                writeln!(text, "{} {} {value}", food.id, nutrient.id).unwrap();
            }
        }
    }
    assert_eq!(text.lines().count(), 339_847);
    let digest = Sha256::digest(text);
    let digest = digest.iter().fold(String::new(), |mut hex, byte| {
        write!(hex, "{byte:02x}").unwrap();
        hex
    });
    assert_eq!(
        digest,
        "46fec21c20c1835487452cd335106f4b956c9b23f3655b523936f3cef4d00f3d"
    );
}

// Source: NUT_DATA.txt of SR28 (2015), the rows of these numbers: Num_Data_Pts, Std_Error, Src_Cd, Deriv_Cd.
#[test]
fn each_value_says_where_it_comes_from() {
    let table = FoodTable::builtin().unwrap();
    let facts = |id: &str, nutrient| {
        let id: FoodId = id.parse().unwrap();
        let mut all = table.provenance(&id).unwrap().into_iter();
        let one = all.find(|one| one.nutrient == nutrient).unwrap();
        (
            one.data_points,
            one.standard_error,
            one.source_code,
            one.derivation,
        )
    };
    let text = String::from;
    assert_eq!(
        facts("16144", NutrientId::IRON),
        (Some(12), Some(0.431), text("1"), text("A"))
    );
    assert_eq!(
        facts("11485", NutrientId::ZINC),
        (Some(0), None, text("1"), text(""))
    );
    assert_eq!(
        facts("04053", NutrientId::ENERGY),
        (Some(0), None, text("4"), text("NC"))
    );
    let several = ["11485", "16144", "99999"].map(|id| id.parse().unwrap());
    assert_eq!(table.provenance_of(&several).unwrap().len(), 2);
}
