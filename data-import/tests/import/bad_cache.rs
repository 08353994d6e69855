//! Damaged caches, interrupted imports and folders that hold something else.

use std::fs::{self, File};

use data_import::{Error, FoodTable, verify};

use crate::support::Workplace;

fn with_cache(damage: impl FnOnce(&Workplace)) -> Error {
    let place = Workplace::new();
    place.import().unwrap();
    damage(&place);
    let opened = place.open().and_then(|table| table.all());
    let error = opened.unwrap_err();
    assert!(error.hint().is_some(), "no hint for: {error}");
    assert!(verify(&place.cache()).is_err());
    error
}

fn change(place: &Workplace, file: &str, change: impl FnOnce(&mut Vec<u8>)) {
    let path = place.cache().join(file);
    let mut bytes = fs::read(&path).unwrap();
    change(&mut bytes);
    fs::write(path, bytes).unwrap();
}

fn replace_in_manifest(place: &Workplace, from: &str, to: &str) {
    change(place, "manifest.json", |bytes| {
        let text = String::from_utf8(bytes.clone()).unwrap();
        assert!(text.contains(from));
        *bytes = text.replace(from, to).into_bytes();
    });
}

#[test]
fn no_cache() {
    let place = Workplace::new();
    let error = FoodTable::open(&place.cache()).unwrap_err();
    assert!(matches!(error, Error::NoCache { .. }), "{error}");
}

#[test]
fn a_table_cut_off_or_changed() {
    for file in ["foods-sr28.parquet", "measures-sr28.parquet"] {
        let error = with_cache(|place| change(place, file, |bytes| bytes.truncate(400)));
        assert!(error.to_string().contains("400 bytes where"), "{error}");
        let error = with_cache(|place| change(place, file, |bytes| bytes[300] ^= 1));
        assert!(error.to_string().contains("its SHA-256 is not"), "{error}");
        let error = with_cache(|place| fs::remove_file(place.cache().join(file)).unwrap());
        assert!(matches!(error, Error::Io { .. }), "{error}");
    }
}

#[test]
fn a_manifest_cut_off() {
    let error = with_cache(|place| change(place, "manifest.json", |bytes| bytes.truncate(99)));
    assert!(matches!(error, Error::CacheCorrupt { .. }), "{error}");
}

#[test]
fn a_manifest_that_names_another_file() {
    let error =
        with_cache(|place| replace_in_manifest(place, "foods-sr28.parquet", "../x.parquet"));
    assert!(
        error.to_string().contains("names a file of another kind"),
        "{error}"
    );
}

#[test]
fn a_cache_of_another_layout() {
    let error = with_cache(|place| replace_in_manifest(place, "\"schema\": 2", "\"schema\": 9"));
    assert!(
        error
            .to_string()
            .ends_with("has layout 9; this program reads layout 2"),
        "{error}"
    );
}

#[test]
fn an_import_mends_a_damaged_cache() {
    let place = Workplace::new();
    place.import().unwrap();
    change(&place, "manifest.json", |bytes| bytes.truncate(99));
    place.import().unwrap();
    assert_eq!(place.open().unwrap().all().unwrap().len(), 12);
}

#[test]
fn an_import_killed_before_its_last_step() {
    let place = Workplace::new();
    place.import().unwrap();
    let before = place.open().unwrap().all().unwrap();
    // What such an import leaves: new tables, a new manifest not yet in its place, half a file.
    fs::write(place.cache().join("foods-sr28-2.parquet"), "new").unwrap();
    fs::write(place.cache().join("measures-sr28-2.parquet"), "new").unwrap();
    fs::write(place.cache().join(".import-manifest.json"), "{").unwrap();
    assert_eq!(place.open().unwrap().all().unwrap(), before);
    place.import().unwrap();
    assert_eq!(place.open().unwrap().all().unwrap(), before);
    assert_eq!(place.cache_files().len(), 4, "what it left is gone");
}

#[test]
fn an_import_that_cannot_write() {
    for file in [
        "foods-sr28-2.parquet",
        "measures-sr28-2.parquet",
        ".import-foods-sr28-2.parquet",
    ] {
        let place = Workplace::new();
        place.import().unwrap();
        let before = place.open().unwrap().all().unwrap();
        // A folder in the place of a file stops the write whoever runs the test.
        fs::create_dir_all(place.cache().join(file).join("in the way")).unwrap();
        let error = place.import().unwrap_err();
        assert!(error.to_string().starts_with("cannot write “"), "{error}");
        assert_eq!(place.open().unwrap().all().unwrap(), before);
    }
}

#[test]
fn a_folder_with_other_files() {
    let place = Workplace::new();
    fs::create_dir(place.cache()).unwrap();
    fs::write(place.cache().join("letter.txt"), "dear").unwrap();
    let error = place.import().unwrap_err();
    assert!(
        error
            .to_string()
            .contains("holds other files, such as “letter.txt”"),
        "{error}"
    );
    assert_eq!(place.cache_files().len(), 1);
}

#[test]
fn two_imports_at_once() {
    let place = Workplace::new();
    place.import().unwrap();
    let lock = File::create(place.cache().join("import.lock")).unwrap();
    lock.lock().unwrap();
    let error = place.import().unwrap_err();
    assert!(matches!(error, Error::CacheBusy { .. }), "{error}");
    drop(lock);
    place.import().unwrap();
}
