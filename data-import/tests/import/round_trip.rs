//! What is published comes back from the cache, and nothing else.

use data_import::{
    Food, FoodTable, ImportRequest, Manifest, Measure, NutrientId, Progress, Stage, import,
};

use crate::support::{Workplace, fixture};

fn food(table: &FoodTable, id: &str) -> Food {
    table
        .foods(&[id.parse().unwrap()])
        .unwrap()
        .remove(0)
        .unwrap()
}

fn imported() -> (Workplace, FoodTable) {
    let place = Workplace::new();
    place.import().unwrap();
    let table = place.open().unwrap();
    (place, table)
}

// Expected values: the rows of tests/data/sr28-cut, read by eye.
#[test]
fn a_food_has_its_published_values() {
    let (_place, table) = imported();
    let squash = food(&table, "11485");
    assert_eq!(squash.name, "Squash, winter, butternut, raw");
    assert_eq!(squash.scientific_name, "Cucurbita moschata");
    assert_eq!(squash.group, "1100");
    assert_eq!(squash.refuse_percent, Some(16.0));
    assert_eq!(squash.refuse_description, "Seeds, rind and trimmings");
    let factors = squash.energy_factors.unwrap();
    assert_eq!(
        (factors.protein, factors.fat, factors.carbohydrate),
        (2.44, 8.37, 3.57)
    );
    assert_eq!(squash.composition.get(NutrientId::WATER), Some(86.41));
    assert_eq!(squash.composition.get(NutrientId::IRON), Some(0.70));
    assert_eq!(squash.composition.get(NutrientId::VITAMIN_C), Some(21.0));
    let cup = Measure {
        amount: 1.0,
        unit: "cup, cubes".to_owned(),
        grams: 140.0,
    };
    assert_eq!(squash.measures, [cup]);
}

#[test]
fn what_is_blank_is_absent_and_what_is_zero_is_zero() {
    let (_place, table) = imported();
    let goji = food(&table, "09110");
    assert_eq!(goji.refuse_percent, None);
    assert_eq!(goji.energy_factors, None);
    assert_eq!(goji.composition.len(), 15);
    assert_eq!(goji.composition.get(NutrientId::ZINC), None);
    assert_eq!(
        food(&table, "08370").composition.get(NutrientId::WATER),
        None
    );
    let lentils = food(&table, "16069");
    assert_eq!(lentils.refuse_percent, Some(0.0));
    assert_eq!(lentils.composition.get(NutrientId::VITAMIN_B12), Some(0.0));
}

#[test]
fn odd_characters_come_through() {
    let (_place, table) = imported();
    assert!(
        food(&table, "13055")
            .name
            .contains("trimmed to 1/8\" fat, select")
    );
    assert_eq!(
        food(&table, "09520").scientific_name,
        "Actinidia chinensis ‘Zesy002’ (Gold3)"
    );
    let entree = Measure {
        amount: 1.0,
        unit: "Entrée".to_owned(),
        grams: 269.0,
    };
    assert_eq!(food(&table, "22996").measures, [entree]);
    assert_eq!(
        food(&table, "01001").measures[0].label(),
        "1 pat, (1\" sq, 1/3\" high)"
    );
    assert_eq!(food(&table, "42063").measures, []);
}

#[test]
fn foods_come_in_the_order_asked_for() {
    let (_place, table) = imported();
    let ids = ["16069", "99999", "01001", "16069", "0", "own-pear"];
    let ids = ids
        .iter()
        .filter_map(|id| id.parse().ok())
        .collect::<Vec<_>>();
    let foods = table.foods(&ids).unwrap();
    let found = foods
        .iter()
        .map(|food| food.as_ref().map(|food| food.id.as_str()));
    let expected = [Some("16069"), None, Some("01001"), Some("16069"), None];
    assert_eq!(found.collect::<Vec<_>>(), expected);
    assert!(table.foods(&[]).unwrap().is_empty());
}

#[test]
fn all_names_and_single_foods_agree() {
    let (_place, table) = imported();
    let all = table.all().unwrap();
    let ids = all.iter().map(|food| food.id.clone()).collect::<Vec<_>>();
    assert!(ids.is_sorted());
    assert_eq!(ids.len(), 12);
    let single = table
        .foods(&ids)
        .unwrap()
        .into_iter()
        .flatten()
        .collect::<Vec<_>>();
    assert_eq!(single, all);
    let names = table.names().unwrap();
    assert!(names.iter().map(|name| &name.id).eq(&ids));
    assert!(
        names
            .iter()
            .map(|name| &name.name)
            .eq(all.iter().map(|food| &food.name))
    );
}

#[test]
fn the_manifest_says_what_was_read() {
    let (_place, table) = imported();
    let manifest = table.manifest();
    assert_eq!(manifest.imported, "2026-11-24");
    let source = &manifest.sources[0];
    assert_eq!(
        (source.foods, source.nutrients, source.measures),
        (12, 46, 17)
    );
    assert_eq!(source.release, "not known", "a cut file is not the release");
    assert_eq!(source.files.len(), 2);
}

#[test]
fn progress_runs_to_the_end_of_each_file() {
    let place = Workplace::new();
    let (path, cache) = (fixture(), place.cache());
    let mut told = Vec::new();
    let request = ImportRequest::new(&path, &cache, "2026-11-24");
    import(&request, &mut |progress: Progress<'_>| {
        told.push((
            progress.stage,
            progress.file.to_owned(),
            progress.done,
            progress.total,
        ));
    })
    .unwrap();
    for file in ["FOOD_DES.txt", "ABBREV.txt"] {
        let length = std::fs::metadata(path.join(file)).unwrap().len();
        assert!(told.contains(&(Stage::Reading, file.to_owned(), length, length)));
    }
    assert!(told.iter().any(|step| step.0 == Stage::Writing));
}

#[test]
fn a_second_import_replaces_the_first() {
    let place = Workplace::new();
    place.import().unwrap();
    for round in 0..3 {
        let before = place.open().unwrap().manifest().clone();
        place.edit_field("ABBREV.txt", 4, 11, &format!("{round}.25"));
        let manifest = place.import().unwrap();
        let name = |manifest: &Manifest| manifest.sources[0].tables.foods.name.clone();
        assert_ne!(name(&manifest), name(&before));
        let iron = food(&place.open().unwrap(), "16069")
            .composition
            .get(NutrientId::IRON);
        assert_eq!(iron, Some(f64::from(round) + 0.25));
        assert_eq!(place.cache_files().len(), 4, "no old file is left");
    }
}
