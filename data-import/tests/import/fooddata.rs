//! FoodData Central: all four kinds of food, and the oddities of the published files.

use data_import::{Basis, Food, FoodId, FoodTable, NutrientId as N, Origin, Provenance, Serving};

use crate::fooddata_set::{Download, FOOD, VALUES};

fn imported() -> (Download, FoodTable) {
    let place = Download::new();
    place.import().unwrap();
    let table = place.open();
    (place, table)
}

fn food(table: &FoodTable, id: &str) -> Food {
    let id = id.parse::<FoodId>().unwrap();
    table.foods(&[id]).unwrap().remove(0).unwrap()
}

fn provenance(table: &FoodTable, id: &str, nutrient: N) -> Provenance {
    let all = table.provenance(&id.parse().unwrap()).unwrap();
    all.into_iter()
        .find(|one| one.nutrient == nutrient)
        .unwrap()
}

#[test]
fn each_kind_is_a_source_of_its_own_in_order_of_preference() {
    let (_place, table) = imported();
    let sources = table.sources().iter();
    let found = sources.map(|one| (one.id.as_str(), one.foods, one.values));
    let expected = [
        // Six of carrots and what stands in for energy, fibre and sugars; milk's four and IU.
        ("foundation", 2, 5 + 3 + 4 + 1),
        ("sr-legacy", 1, 2),
        ("survey", 1, 2),
        // Vitamin D in both units, selenium; sugars.
        ("branded", 2, 3 + 1),
    ];
    assert_eq!(found.collect::<Vec<_>>(), expected);
    let ids = table.names().unwrap().into_iter();
    let ids = ids.map(|name| name.id.to_string()).collect::<Vec<_>>();
    assert_eq!(ids, ["1101", "1102", "1200", "1300", "1400", "999"]);
    assert_eq!(table.sources()[3].release, "published up to 5 Jan 2023");
}

#[test]
fn samples_and_older_versions_are_left_out_and_told() {
    let (_place, table) = imported();
    let warnings = &table.sources()[0].warnings;
    for told in [
        "1 older version of Foundation Foods was left out",
        "2 rows of food.csv are samples and purchases, not foods",
        "1 row of food_component.csv names no food: its refuse is not known",
        "1 row of food_nutrient.csv has no amount",
        "1 row of food_nutrient.csv is of a food that is not in food.csv",
        "1 value of more than 100 g in 100 g was left out, the first in food_nutrient.csv:21",
        "1 value of nutrients that are not kept was left out: Specific Gravity (1024)",
        "1 household measure has no weight or no name",
    ] {
        assert!(
            warnings.iter().any(|one| one == told),
            "{told}: {warnings:#?}"
        );
    }
    for id in ["1001", "1002", "1100"] {
        assert_eq!(table.foods(&[id.parse().unwrap()]).unwrap(), [None]);
    }
}

#[test]
fn without_the_list_of_current_foods_the_newest_of_a_name_counts() {
    let place = Download::new();
    place.remove("foundation_food.csv");
    place.import().unwrap();
    let ids = place.open().names().unwrap();
    assert_eq!(ids[0].id.as_str(), "1101");
    assert_eq!(ids[1].id.as_str(), "1102");
}

#[test]
fn what_stands_in_is_told() {
    let (_place, table) = imported();
    let carrots = food(&table, "1101").composition;
    for (nutrient, amount, taken) in [
        (N::ENERGY, 37.5, 958),
        (N::FIBRE, 3.1, 293),
        (N::SUGARS, 4.7, 1063),
    ] {
        assert_eq!(carrots.get(nutrient), Some(amount));
        let told = provenance(&table, "1101", nutrient);
        assert_eq!(told.taken_from, Some(N::new(taken)));
    }
    assert_eq!(carrots.get(N::new(957)), Some(40.0));
    let warnings = &table.sources()[0].warnings;
    let told =
        "Energy (208): taken from Energy (Atwater Specific Factors) (958) for 1 food that lacks it";
    assert!(warnings.iter().any(|one| one == told), "{warnings:#?}");

    let milk = food(&table, "1102").composition;
    assert_eq!(
        milk.get(N::ENERGY),
        Some(61.0),
        "its own energy comes first"
    );
    assert_eq!(provenance(&table, "1102", N::ENERGY).taken_from, None);
    // 1 µg of vitamin D is 40 IU: documentation of SR28.
    assert_eq!(milk.get(N::VITAMIN_D_IU), Some(1.1 * 40.0));
    let bar = food(&table, "1400").composition;
    assert_eq!(bar.get(N::VITAMIN_D), Some(2.5));
    // nutrient.csv of this download has selenium in mg.
    assert_eq!(bar.get(N::SELENIUM), Some(5.0));
    assert_eq!(bar.get(N::PROTEIN), None, "250 g in 100 g cannot be");
}

#[test]
fn nutrients_are_known_by_id_and_by_number() {
    let (_place, table) = imported();
    let pears = food(&table, "1200").composition;
    assert_eq!(
        (pears.get(N::PROTEIN), pears.get(N::IRON)),
        (Some(0.36), Some(0.18))
    );
    let oatmeal = food(&table, "1300").composition;
    assert_eq!(oatmeal.get(N::VITAMIN_A_RAE), Some(0.0));
    assert_eq!(oatmeal.get(N::FOLATE_DFE), Some(17.0));
}

#[test]
fn where_values_come_from() {
    let (_place, table) = imported();
    let iron = provenance(&table, "1101", N::IRON);
    assert_eq!((iron.origin, iron.data_points), (Origin::Measured, Some(8)));
    assert_eq!(iron.derivation, "A");
    let energy = provenance(&table, "1101", N::ENERGY);
    assert_eq!(
        (energy.origin, energy.data_points),
        (Origin::Calculated, None)
    );
    let label = provenance(&table, "1400", N::SELENIUM);
    assert_eq!(
        (label.origin, label.derivation.as_str()),
        (Origin::Label, "LCCS")
    );
    let unknown = provenance(&table, "1300", N::FOLATE_DFE);
    assert_eq!(unknown.origin, Origin::NotKnown);
}

#[test]
fn details_from_all_files_come_together() {
    let (_place, table) = imported();
    let carrots = food(&table, "1101");
    assert_eq!(
        (carrots.name.as_str(), carrots.group.as_str()),
        ("Carrots, raw", "1100")
    );
    assert_eq!(carrots.refuse_percent, Some(11.0));
    assert_eq!(carrots.refuse_description, "Crown and tops, Scrapings");
    let labels = carrots.measures.iter().map(|one| (one.label(), one.grams));
    let expected = [("1 cup, chopped", 128.0), ("0.5 cup, grated", 55.0)];
    assert!(labels.eq(expected.map(|(label, grams)| (label.to_owned(), grams))));
    let milk = food(&table, "1102");
    assert_eq!(milk.name, "Milk, \"whole\",\nfrom the farm");
    assert_eq!(milk.energy_factors.map(|one| one.fat), Some(8.79));
    assert_eq!(milk.nitrogen_factor, Some(6.38));
    assert_eq!(food(&table, "1200").measures[0].label(), "1 pear, medium");
    let oatmeal = food(&table, "1300");
    assert_eq!(oatmeal.common_names, "cooked oats, porridge");
    assert_eq!(
        (oatmeal.group.as_str(), oatmeal.measures.len()),
        ("Oatmeal", 1)
    );
    assert_eq!(oatmeal.measures[0].label(), "1 cup, cooked");
}

#[test]
fn a_label_says_what_its_values_are_per() {
    let (_place, table) = imported();
    let bar = food(&table, "1400");
    assert_eq!(bar.manufacturer, "MORNING (Invented Foods Ltd)");
    assert_eq!(bar.gtin, "00000000000017");
    assert_eq!(
        (bar.basis, bar.group.as_str()),
        (Basis::Grams, "Snack Bars")
    );
    assert_eq!(bar.measures[0].label(), "1 bar");
    assert_eq!(bar.measures[0].grams.to_bits(), 30_f64.to_bits());
    let drink = food(&table, "999");
    assert_eq!(drink.manufacturer, "Invented Foods Ltd");
    let serving = Serving {
        size: 120.0,
        unit: "ml".to_owned(),
    };
    assert_eq!(
        (drink.basis, drink.serving),
        (Basis::Millilitres, Some(serving))
    );
    assert_eq!(drink.measures, [], "a bottle in ml has no weight");
}

#[test]
fn files_that_may_be_missing_are_told_and_those_that_may_not_are_listed() {
    let place = Download::new();
    for file in ["food_portion.csv", "food_category.csv", "branded_food.csv"] {
        place.remove(file);
    }
    let imported = place.import().unwrap();
    for told in [
        "food_portion.csv is not there: foods have no household measures",
        "food_category.csv is not there: foods have no group",
    ] {
        let warnings = &imported.sources[0].warnings;
        assert!(warnings.iter().any(|one| one == told), "{warnings:#?}");
    }
    let text = Download::spoiled(|place| {
        place.remove("nutrient.csv");
        place.remove(FOOD);
    });
    assert!(
        text.ends_with("FoodData Central (CSV) needs food.csv, food_nutrient.csv and nutrient.csv; food.csv and nutrient.csv are not there"),
        "{text}"
    );
    let header = |file: &'static str, from: &'static str| {
        Download::spoiled(|place| place.replace(file, from, "\"other\""))
    };
    let text = header(VALUES, "\"amount\"");
    assert_eq!(text, "food_nutrient.csv:1: the header lacks amount");
}

#[test]
fn the_order_of_rows_and_the_memory_do_not_matter() {
    let place = Download::new();
    let expected = place.import().unwrap();
    let tables = |imported: &data_import::Imported| {
        let sources = imported.sources.iter();
        let files = sources.flat_map(|one| one.tables.files().map(|table| table.sha256.clone()));
        files.collect::<Vec<_>>()
    };
    let text = Download::text(VALUES).replace("lines,\nand", "lines, and");
    let (header, rows) = text.split_once('\n').unwrap();
    let mut rows = rows.lines().collect::<Vec<_>>();
    for step in [1, 5, 7] {
        let len = rows.len();
        rows = (0..len)
            .map(|place| rows[place * step % len])
            .rev()
            .collect();
        place.write(VALUES, format!("{header}\r\n{}\r\n", rows.join("\r\n")));
        assert_eq!(tables(&place.import().unwrap()), tables(&expected));
    }
    let mut place = place;
    place.memory = 0;
    let imported = place.import().unwrap();
    assert!(imported.spilled > 0);
    assert_eq!(tables(&imported), tables(&expected));
    let left = std::fs::read_dir(place.cache()).unwrap();
    let left = left.map(|file| file.unwrap().file_name().into_string().unwrap());
    assert!(left.into_iter().all(|name| !name.starts_with('.')));
}

#[test]
fn a_value_there_twice() {
    let place = Download::new();
    place.replace(VALUES, "\"13\",\"1200\",\"203\"", "\"13\",\"1200\",\"303\"");
    let imported = place.import().unwrap();
    let warnings = &imported.sources[1].warnings;
    let told = "1 value is there twice with different amounts, so neither is kept; the first is Iron, Fe (303) of food 1200";
    assert!(warnings.iter().any(|one| one == told), "{warnings:#?}");
    assert!(food(&place.open(), "1200").composition.is_empty());
}

#[test]
fn a_source_is_replaced_alone() {
    let (place, _) = imported();
    let before = place.open().manifest().clone();
    for file in [
        "sr_legacy_food.csv",
        "survey_fndds_food.csv",
        "branded_food.csv",
    ] {
        place.remove(file);
    }
    let text = Download::text(FOOD);
    let kept = ["sr_legacy_food", "survey_fndds_food", "branded_food"];
    let rows = text
        .lines()
        .filter(|row| !kept.iter().any(|kind| row.contains(kind)));
    let rows = rows.collect::<Vec<_>>().join("\n");
    place.write(FOOD, rows.replace("Carrots, raw", "Carrots, orange, raw"));
    let after = place.import().unwrap();
    assert_eq!(after.sources.len(), 1);
    assert_eq!(after.manifest.sources.len(), 4);
    assert_eq!(after.manifest.sources[1..], before.sources[1..]);
    assert_eq!(food(&place.open(), "1101").name, "Carrots, orange, raw");
    assert_eq!(food(&place.open(), "1200").name, "Pears, raw");
}
