//! The full tables of SR28, by a cut of them.

use std::fs;
use std::path::{Path, PathBuf};

use data_import::{FoodTable, NutrientId, Origin, Provenance, remove, verify};

use crate::support::{Workplace, fixture};

fn cut() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/sr28-full-cut")
}

/// A place whose source is the cut of the full tables.
fn full() -> Workplace {
    let place = Workplace::new();
    for file in fs::read_dir(place.source()).unwrap() {
        fs::remove_file(file.unwrap().path()).unwrap();
    }
    for file in fs::read_dir(cut()).unwrap() {
        let file = file.unwrap();
        fs::copy(file.path(), place.source().join(file.file_name())).unwrap();
    }
    place
}

fn imported() -> (Workplace, FoodTable) {
    let place = full();
    place.import().unwrap();
    let table = place.open().unwrap();
    (place, table)
}

fn of(all: &[Provenance], nutrient: NutrientId) -> &Provenance {
    all.iter().find(|one| one.nutrient == nutrient).unwrap()
}

#[test]
fn files_of_the_release_that_are_not_used_are_named() {
    let place = full();
    let warnings = || place.import().unwrap().sources[0].warnings.clone();
    assert_eq!(warnings(), Vec::<String>::new());
    fs::write(place.source().join("FOOTNOTE.txt"), "anything").unwrap();
    assert_eq!(warnings(), ["FOOTNOTE.txt is not used"]);
    fs::write(place.source().join("DATA_SRC.txt"), "").unwrap();
    assert_eq!(warnings(), ["FOOTNOTE.txt and DATA_SRC.txt are not used"]);
}

// Expected values: the rows of tests/data/sr28-full-cut, read by eye.
#[test]
fn where_a_value_comes_from_is_kept() {
    let (_place, table) = imported();
    let butter = table.provenance(&"01001".parse().unwrap()).unwrap();
    let iron = of(&butter, NutrientId::IRON);
    assert_eq!(
        (iron.data_points, iron.standard_error, iron.origin),
        (Some(18), Some(0.011), Origin::Measured)
    );
    assert_eq!(
        (iron.derivation.as_str(), iron.source_code.as_str()),
        ("A", "1")
    );
    let fibre = of(&butter, NutrientId::FIBRE);
    assert_eq!(
        (fibre.data_points, fibre.standard_error, fibre.origin),
        (Some(0), None, Origin::Calculated)
    );
    let berries = table.provenance(&"09110".parse().unwrap()).unwrap();
    assert_eq!(of(&berries, NutrientId::IRON).origin, Origin::Label);
    assert_eq!(table.provenance(&"99999".parse().unwrap()).unwrap(), []);
}

#[test]
fn all_measures_and_odd_characters_come_through() {
    let (_place, table) = imported();
    let foods = table.all().unwrap();
    let labels = |food: usize| {
        let measures = foods[food].measures.iter();
        measures
            .map(|one| (one.label(), one.grams))
            .collect::<Vec<_>>()
    };
    let butter = [
        ("1 pat (1\" sq, 1/3\" high)", 5.0),
        ("1 tbsp", 14.2),
        ("1 cup", 227.0),
        ("1 stick", 113.0),
    ];
    assert_eq!(
        labels(0),
        butter.map(|(label, grams)| (label.to_owned(), grams))
    );
    assert_eq!(labels(1), [("5 tbsp".to_owned(), 28.0)]);
    assert_eq!(labels(3), [("1 Entrée".to_owned(), 269.0)]);
    assert_eq!(foods[2].nitrogen_factor, None);
    assert_eq!(foods[0].nitrogen_factor, Some(6.38));
    assert_eq!(foods[0].source, "USDA SR, release not known");
    // 607 is the fatty acid 4:0.
    let butyric = NutrientId::new(607);
    assert_eq!(foods[0].composition.get(butyric), Some(3.226));
}

#[test]
fn a_lone_carriage_return_ends_a_line_or_is_a_blank() {
    let (place, table) = imported();
    let expected = table.all().unwrap();
    for file in ["NUT_DATA.txt", "WEIGHT.txt", "NUTR_DEF.txt", "FOOD_DES.txt"] {
        place.edit(file, |bytes| {
            let text = bytes.split(|b| *b == b'\n').map(<[u8]>::to_vec);
            *bytes = text.collect::<Vec<_>>().concat();
        });
    }
    place.edit("FOOD_DES.txt", |bytes| {
        let at = bytes
            .windows(13)
            .position(|w| w == b"Butter, salte")
            .unwrap();
        bytes[at + 7] = b'\r';
    });
    place.import().unwrap();
    assert!(place.open().unwrap().all().unwrap() == expected);
}

#[test]
fn the_full_tables_take_the_place_of_the_abbreviated_file() {
    let place = full();
    place.import_from(&fixture()).unwrap();
    assert_eq!(place.open().unwrap().names().unwrap().len(), 12);
    let manifest = place.import().unwrap();
    assert_eq!(manifest.sources.len(), 1);
    assert_eq!(manifest.sources[0].format, "full");
    let table = place.open().unwrap();
    assert_eq!(table.names().unwrap().len(), 4);
    let butter = "01001".parse().unwrap();
    assert!(!table.provenance(&butter).unwrap().is_empty());

    let verified = verify(&place.cache()).unwrap();
    assert_eq!((verified.files, verified.foods), (3, 4));
    assert_eq!((verified.measures, verified.provenance), (7, 276));
    let error = remove(&place.cache(), "branded").unwrap_err();
    assert!(error.to_string().ends_with("it holds sr28"), "{error}");
    assert!(remove(&place.cache(), "sr28").unwrap().sources.is_empty());
    assert!(place.open().unwrap().names().unwrap().is_empty());
    assert_eq!(place.cache_files().len(), 2, "the manifest and the lock");
}

/// The error after one field of the cut was changed; line and field are counted from 0.
fn spoiled(file: &str, line: usize, field: usize, to: &str) -> String {
    let place = full();
    place.import().unwrap();
    let before = place.cache_files();
    place.edit_field(file, line, field, to);
    let error = place.import().unwrap_err();
    assert_eq!(
        place.cache_files(),
        before,
        "the cache was changed by: {error}"
    );
    assert!(error.hint().is_some(), "{error}");
    error.to_string()
}

#[test]
fn broken_tables() {
    for (file, line, field, to, expected) in [
        (
            "NUT_DATA.txt",
            0,
            2,
            "-1",
            "NUT_DATA.txt:1:15: Protein: “-1” is negative",
        ),
        (
            "NUT_DATA.txt",
            0,
            2,
            "inf",
            "NUT_DATA.txt:1:15: Protein: “inf” is not a number",
        ),
        (
            "NUT_DATA.txt",
            0,
            2,
            "1e308",
            "NUT_DATA.txt:1:15: Protein: “1e308” is not a number",
        ),
        (
            "NUT_DATA.txt",
            0,
            2,
            "",
            "NUT_DATA.txt:1:15: Protein: blank",
        ),
        (
            "NUT_DATA.txt",
            0,
            2,
            "101",
            "NUT_DATA.txt:1:15: Protein: 101 is more than 100 g in 100 g",
        ),
        (
            "NUT_DATA.txt",
            1,
            1,
            "~203~",
            "NUT_DATA.txt:2:9: this food has a value of this nutrient already",
        ),
        (
            "NUT_DATA.txt",
            1,
            1,
            "~999~",
            "NUT_DATA.txt:2:9: nutrient 999 is not in NUTR_DEF.txt",
        ),
        (
            "NUT_DATA.txt",
            1,
            0,
            "~99999~",
            "NUT_DATA.txt:2:1: food 99999 is not in FOOD_DES.txt",
        ),
        (
            "NUT_DATA.txt",
            1,
            3,
            "1.5",
            "NUT_DATA.txt:2:21: 1.5 is not a number of analyses",
        ),
        (
            "NUTR_DEF.txt",
            0,
            1,
            "~mg~",
            "NUTR_DEF.txt:1:7: nutrient 203 is in “mg”, not in “g”",
        ),
        (
            "WEIGHT.txt",
            0,
            4,
            "0",
            "WEIGHT.txt:1:38: the weight of a measure is not there",
        ),
    ] {
        assert_eq!(spoiled(file, line, field, to), expected);
    }
}

#[test]
fn tables_that_end_early() {
    for file in ["NUT_DATA.txt", "WEIGHT.txt", "FOOD_DES.txt", "NUTR_DEF.txt"] {
        let place = full();
        place.import().unwrap();
        let before = place.cache_files();
        place.edit(file, |bytes| bytes.truncate(bytes.len() - 6));
        let error = place.import().unwrap_err().to_string();
        assert_eq!(place.cache_files(), before, "{error}");
        assert!(error.starts_with(&format!("{file}:")), "{error}");
    }
}
