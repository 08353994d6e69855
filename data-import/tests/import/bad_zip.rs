//! Zips: read without unpacking, and refused when they are not what they should be.

use std::fs::{self, File};
use std::io::Write;

use data_import::Manifest;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use crate::support::{ABBREV, FOOD_DES, Workplace};

/// Writes a zip with these entries.
fn zip(place: &Workplace, entries: &[(&str, &[u8])]) -> std::path::PathBuf {
    let path = place.path("source.zip");
    let mut zip = ZipWriter::new(File::create(&path).unwrap());
    for (name, bytes) in entries {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap();
    path
}

fn published(place: &Workplace) -> [Vec<u8>; 2] {
    [ABBREV, FOOD_DES].map(|file| fs::read(place.source().join(file)).unwrap())
}

/// The error of importing a zip with these entries.
fn refused(entries: &[(&str, &[u8])]) -> String {
    let place = Workplace::new();
    let error = place.import_from(&zip(&place, entries)).unwrap_err();
    assert!(error.hint().is_some());
    assert!(place.open().is_err(), "a refused zip left a cache");
    error.to_string()
}

#[test]
fn a_zip_is_read_like_a_folder() {
    let place = Workplace::new();
    let [abbrev, food_des] = published(&place);
    let path = zip(
        &place,
        &[
            ("sr28/notes.txt", b"not read"),
            ("sr28/abbrev.TXT", &abbrev),
            ("sr28/FOOD_DES.txt", &food_des),
        ],
    );
    let from_zip = place.import_from(&path).unwrap();
    let from_folder = place.import().unwrap();
    let sha256 = |manifest: &Manifest| manifest.sources[0].tables.foods.sha256.clone();
    assert_eq!(sha256(&from_zip), sha256(&from_folder));
    assert_eq!(from_zip.sources[0].files, from_folder.sources[0].files);
}

#[test]
fn what_is_not_a_zip() {
    let place = Workplace::new();
    let path = place.source().join(ABBREV);
    let text = place.import_from(&path).unwrap_err().to_string();
    assert!(text.starts_with("cannot read the zip “"), "{text}");
}

#[test]
fn a_zip_cut_off_or_changed() {
    let place = Workplace::new();
    let [abbrev, food_des] = published(&place);
    let path = zip(&place, &[(ABBREV, &abbrev), (FOOD_DES, &food_des)]);
    let whole = fs::read(&path).unwrap();
    fs::write(&path, &whole[..whole.len() / 2]).unwrap();
    let text = place.import_from(&path).unwrap_err().to_string();
    assert!(text.starts_with("cannot read the zip “"), "{text}");
    for at in (200..whole.len()).step_by(97) {
        let mut changed = whole.clone();
        changed[at] ^= 0x55;
        fs::write(&path, &changed).unwrap();
        if let Err(error) = place.import_from(&path) {
            assert!(error.hint().is_some(), "{error}");
        }
    }
}

#[test]
fn a_zip_without_the_files() {
    let text = refused(&[("README", b"nothing")]);
    assert!(
        text.contains("USDA SR, abbreviated, needs ABBREV.txt and FOOD_DES.txt"),
        "{text}"
    );
}

#[test]
fn a_zip_in_a_zip_is_not_opened() {
    let place = Workplace::new();
    let [abbrev, food_des] = published(&place);
    let inner = fs::read(zip(&place, &[(ABBREV, &abbrev), (FOOD_DES, &food_des)])).unwrap();
    assert!(refused(&[("inner.zip", &inner)]).contains("no dataset was recognised"));
}

#[test]
fn too_many_entries() {
    let names = (0..65).map(|i| format!("{i}.txt")).collect::<Vec<_>>();
    let entries = names
        .iter()
        .map(|name| (name.as_str(), &b""[..]))
        .collect::<Vec<_>>();
    let text = refused(&entries);
    assert!(text.ends_with("it has 65 entries, more than 64"), "{text}");
}

#[test]
fn an_entry_that_points_outside() {
    let text = refused(&[("../ABBREV.txt", b"")]);
    assert!(text.contains("points outside the zip"), "{text}");
}

#[test]
fn a_file_there_twice() {
    let text = refused(&[("a/ABBREV.txt", b""), ("b/ABBREV.txt", b"")]);
    assert!(
        text.ends_with("it holds \"ABBREV.txt\" more than once"),
        "{text}"
    );
}

#[test]
fn an_absolute_path_a_link_or_a_lock() {
    let text = refused(&[("/etc/ABBREV.txt", b"")]);
    assert!(text.ends_with("has an absolute path"), "{text}");
    let place = Workplace::new();
    let path = place.path("source.zip");
    let mut zip = ZipWriter::new(File::create(&path).unwrap());
    let options = SimpleFileOptions::default();
    zip.add_symlink(ABBREV, "/etc/passwd", options).unwrap();
    zip.finish().unwrap();
    let text = place.import_from(&path).unwrap_err().to_string();
    assert!(text.ends_with("is a link"), "{text}");

    let [abbrev, food_des] = published(&place);
    let path = self::zip(&place, &[(ABBREV, &abbrev), (FOOD_DES, &food_des)]);
    // Bit 0 of the general purpose flags says that an entry is encrypted (APPNOTE 4.4.4).
    let mut bytes = fs::read(&path).unwrap();
    for (mark, flags) in [(b"PK\x03\x04", 6), (b"PK\x01\x02", 8)] {
        let at = bytes.windows(4).position(|window| window == mark);
        bytes[at.unwrap() + flags] |= 1;
    }
    fs::write(&path, bytes).unwrap();
    let text = place.import_from(&path).unwrap_err().to_string();
    assert!(text.ends_with("is encrypted"), "{text}");
}

/// The sizes that a zip states are not believed.
#[test]
fn a_bomb_that_lies() {
    let place = Workplace::new();
    let bomb = vec![b'\n'; 40_000_000];
    let path = zip(&place, &[(ABBREV, b""), (FOOD_DES, &bomb)]);
    let mut bytes = fs::read(&path).unwrap();
    let stated = 40_000_000_u32.to_le_bytes();
    while let Some(at) = bytes.windows(4).position(|window| window == stated) {
        bytes[at..at + 4].copy_from_slice(&1000_u32.to_le_bytes());
    }
    fs::write(&path, bytes).unwrap();
    let error = place.import_from(&path).unwrap_err();
    assert!(error.hint().is_some(), "{error}");
    assert!(place.open().is_err());
}

#[test]
fn a_bomb_is_not_opened() {
    let bomb = vec![b'\n'; 70_000_000];
    let text = refused(&[(ABBREV, b""), (FOOD_DES, &bomb)]);
    assert!(text.contains("\"FOOD_DES.txt\" unpacks to"), "{text}");
    assert!(text.ends_with("times its size"), "{text}");
}
