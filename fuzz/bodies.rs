//! What is done with arbitrary bytes: by the fuzzer, and by the property tests with the same
//! bodies. Nothing may panic or hang; an error says what to do next; what was imported can be read.

use std::fs;
use std::path::{Path, PathBuf};

use data_import::{FoodTable, ImportRequest, import, verify};

/// A download in the layout of FoodData Central, with invented foods.
const FOODDATA: [(&str, &str); 5] = [
    (
        "food.csv",
        "\"fdc_id\",\"data_type\",\"description\",\"food_category_id\",\"publication_date\"\n\"7\",\"foundation_food\",\"Peas, \"\"raw\"\"\",\"11\",\"2024-10-31\"\n\"8\",\"branded_food\",\"PEAS\",\"\",\"2024-10-31\"\n",
    ),
    (
        "food_nutrient.csv",
        "\"id\",\"fdc_id\",\"nutrient_id\",\"amount\",\"data_points\",\"derivation_id\"\n\"1\",\"7\",\"1089\",\"1.47\",\"8\",\"1\"\n2,8,1089,0.7,,70\n",
    ),
    (
        "nutrient.csv",
        "\"id\",\"name\",\"unit_name\",\"nutrient_nbr\",\"rank\"\n\"1089\",\"Iron, Fe\",\"MG\",\"303\",\"5400.0\"\n",
    ),
    (
        "branded_food.csv",
        "\"fdc_id\",\"brand_owner\",\"gtin_upc\",\"serving_size\",\"serving_size_unit\",\"household_serving_fulltext\"\n\"8\",\"Invented\",\"00000000000017\",\"30\",\"g\",\"1/4 cup\"\n",
    ),
    (
        "food_portion.csv",
        "\"id\",\"fdc_id\",\"amount\",\"measure_unit_id\",\"modifier\",\"gram_weight\"\n\"1\",\"7\",\"1\",\"\",\"cup\",\"145\"\n",
    ),
];

/// FoodData Central with one file spoilt by `bytes`.
pub(crate) fn fooddata(bytes: &[u8]) {
    let files = FOODDATA.map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec()));
    imported(files.into(), bytes);
}

/// SR28 in full with one file spoilt by `bytes`.
pub(crate) fn sr28(bytes: &[u8]) {
    imported(fixture("sr28-full-cut"), bytes);
}

/// SR28 abbreviated with one file spoilt by `bytes`.
pub(crate) fn abbreviated(bytes: &[u8]) {
    imported(fixture("sr28-cut"), bytes);
}

/// A zip of arbitrary bytes.
pub(crate) fn zip(bytes: &[u8]) {
    let place = tempfile::tempdir().expect("a folder");
    let path = place.path().join("source.zip");
    fs::write(&path, bytes).expect("a file");
    run(&path, &place.path().join("cache"));
}

fn fixture(name: &str) -> Vec<(String, Vec<u8>)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    // The fuzzer's own manifest is a folder deeper.
    let root = root.strip_suffix_folder("fuzz");
    let folder = root.join("data-import/tests/data").join(name);
    let mut files = fs::read_dir(folder)
        .expect("the fixture")
        .map(|file| {
            let file = file.expect("a file");
            let name = file.file_name().to_string_lossy().into_owned();
            (name, fs::read(file.path()).expect("its bytes"))
        })
        .collect::<Vec<_>>();
    files.sort();
    files
}

trait Root {
    fn strip_suffix_folder(&self, name: &str) -> PathBuf;
}

impl Root for Path {
    fn strip_suffix_folder(&self, name: &str) -> PathBuf {
        match (self.file_name(), self.parent()) {
            (Some(last), Some(parent)) if last == name => parent.to_owned(),
            _ => self.to_owned(),
        }
    }
}

/// The first byte says which file, the next two where; the rest goes in there: over what was there
/// if the number of the bytes is even.
fn imported(mut files: Vec<(String, Vec<u8>)>, bytes: &[u8]) {
    let (&[file, high, low], noise) = bytes.split_first_chunk().unwrap_or((&[0, 0, 0], bytes));
    let count = files.len();
    let spoilt = &mut files[usize::from(file) % count].1;
    let at = (usize::from(high) << 8 | usize::from(low)) % (spoilt.len() + 1);
    let end = if noise.len() % 2 == 0 {
        (at + noise.len()).min(spoilt.len())
    } else {
        at
    };
    spoilt.splice(at..end, noise.iter().copied());
    let place = tempfile::tempdir().expect("a folder");
    let source = place.path().join("source");
    fs::create_dir(&source).expect("a folder");
    for (name, bytes) in files {
        fs::write(source.join(name), bytes).expect("a file");
    }
    run(&source, &place.path().join("cache"));
}

fn run(source: &Path, cache: &Path) {
    let request = ImportRequest::new(source, cache, "2026-11-24");
    match import(&request, &mut |_| ()) {
        Ok(_) => {
            verify(cache).expect("what was imported can be read");
            let table = FoodTable::open(cache).expect("and opened");
            table.all().expect("all of it");
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
}
