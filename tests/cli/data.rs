//! Which data is in use, and importing another: a bad file never costs a good cache.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::support::{folder, root, said, trayful};

/// Foods cut from the published USDA SR28 abbreviated files.
fn cut() -> PathBuf {
    root().join("data-import/tests/data/sr28-cut")
}

/// A folder with a cache of the cut foods in `cache`.
fn with_cache() -> tempfile::TempDir {
    let folder = folder(&[]);
    let cut = cut().display().to_string();
    trayful(&[
        "data",
        "import",
        &cut,
        "--cache",
        "cache",
        "--on",
        "2026-11-24",
    ])
    .inside(folder.path())
    .answer();
    folder
}

/// A copy of the cut files in which one was changed.
fn changed(name: &str, change: impl Fn(Vec<u8>) -> Vec<u8>) -> tempfile::TempDir {
    let folder = folder(&[]);
    for file in ["ABBREV.txt", "FOOD_DES.txt"] {
        let bytes = fs::read(cut().join(file)).unwrap();
        let bytes = if file == name { change(bytes) } else { bytes };
        fs::write(folder.path().join(file), bytes).unwrap();
    }
    folder
}

/// Imports over a good cache, must be refused, and the cache must be what it was.
fn refused_and_kept(source: &Path) -> String {
    let folder = with_cache();
    let state = || -> Vec<(PathBuf, Vec<u8>)> {
        let mut files: Vec<_> = fs::read_dir(folder.path().join("cache"))
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.is_file())
            .map(|path| (path.clone(), fs::read(path).unwrap()))
            .collect();
        files.sort();
        files
    };
    let before = state();
    let source = source.display().to_string();
    let told = trayful(&["data", "import", &source, "--cache", "cache"])
        .inside(folder.path())
        .refusal();
    assert_eq!(before, state());
    told.replace(&source, "SOURCE")
}

#[test]
fn the_built_in_data_is_named() {
    insta::assert_snapshot!(trayful(&["data"]).answer());
}

#[test]
fn an_imported_cache_is_used() {
    let folder = with_cache();
    let told = trayful(&["data", "--cache", "cache"])
        .inside(folder.path())
        .answer();
    insta::assert_snapshot!(told);
    let by_name = trayful(&["data"])
        .inside(folder.path())
        .with("TRAYFUL_CACHE", "cache")
        .answer();
    assert_eq!(told, by_name);
    let page = trayful(&["foods", "--show", "01001", "--cache", "cache"]).inside(folder.path());
    assert!(page.answer().contains("Butter, salted"));
}

#[test]
fn importing_needs_a_folder() {
    let cut = cut().display().to_string();
    insta::assert_snapshot!(trayful(&["data", "import", &cut]).refusal());
}

#[test]
fn a_truncated_file_is_refused() {
    let source = changed("ABBREV.txt", |bytes| bytes[..bytes.len() - 40].to_vec());
    insta::assert_snapshot!(refused_and_kept(source.path()));
}

#[test]
fn a_file_with_its_columns_in_another_order_is_refused() {
    let source = changed("ABBREV.txt", |bytes| {
        let lines = bytes.split_inclusive(|byte| *byte == b'\n');
        let swapped = lines.map(|line| {
            let mut fields: Vec<_> = line.split(|byte| *byte == b'^').collect();
            fields.swap(2, 3);
            fields.join(&b'^')
        });
        swapped.collect::<Vec<_>>().concat()
    });
    insta::assert_snapshot!(refused_and_kept(source.path()));
}

#[test]
fn a_binary_file_is_refused() {
    let source = changed("FOOD_DES.txt", |_| (0..=255).cycle().take(4096).collect());
    insta::assert_snapshot!(refused_and_kept(source.path()));
}

#[test]
fn a_folder_without_the_files_is_refused() {
    let folder = folder(&[("notes.txt", "nothing")]);
    insta::assert_snapshot!(refused_and_kept(folder.path()));
}

#[test]
fn a_cache_of_another_version_is_refused() {
    let folder = with_cache();
    let manifest = folder.path().join("cache/manifest.json");
    let text = fs::read_to_string(&manifest).unwrap();
    assert!(text.contains("\"schema\": 2"), "{text}");
    fs::write(&manifest, text.replace("\"schema\": 2", "\"schema\": 99")).unwrap();
    let told = trayful(&["foods", "butter", "--cache", "cache"])
        .inside(folder.path())
        .refusal();
    insta::assert_snapshot!(told);
}

#[test]
fn a_damaged_cache_is_refused() {
    let folder = with_cache();
    let foods = folder.path().join("cache/foods-sr28.parquet");
    let mut bytes = fs::read(&foods).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0xff;
    fs::write(&foods, bytes).unwrap();
    let told = trayful(&["foods", "--show", "01001", "--cache", "cache"])
        .inside(folder.path())
        .refusal();
    assert!(told.contains("foods-sr28.parquet"), "{told}");
}

#[test]
fn a_search_index_is_used_if_it_is_that_of_the_foods() {
    let folder = with_cache();
    let index = folder.path().join("cache/search.index");
    let butter = || trayful(&["foods", "butter", "--cache", "cache"]).inside(folder.path());
    let found = butter().answer();
    assert!(found.starts_with("01001  Butter, salted"), "{found}");
    let written = fs::read(&index).unwrap();

    fs::remove_file(&index).unwrap();
    assert_eq!(butter().answer(), found, "made in memory");
    fs::write(&index, b"an index of another version").unwrap();
    assert_eq!(butter().answer(), found, "made in memory");
    // The index of other foods is no answer for these.
    fs::copy(root().join("data-import/builtin/search.index"), &index).unwrap();
    assert_eq!(butter().answer(), found, "made in memory");

    let (head, tail) = written.split_at(written.len() / 2);
    let damaged: Vec<u8> = head
        .iter()
        .map(|_| 0xff)
        .chain(tail.iter().copied())
        .collect();
    fs::write(&index, damaged).unwrap();
    insta::assert_snapshot!(butter().refusal());
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_leaves_the_cache_as_it_was() {
    let folder = with_cache();
    let foods = folder.path().join("cache/foods-sr28.parquet");
    let before = fs::read(&foods).unwrap();
    // A limit on the size of a file stands for a full disk: writing fails half way.
    let script = "trap '' XFSZ; ulimit -f 4; exec \"$0\" data import \"$1\" --cache cache";
    let output = Command::new("bash")
        .args([
            "-c",
            script,
            env!("CARGO_BIN_EXE_trayful"),
            cut().to_str().unwrap(),
        ])
        .current_dir(folder.path())
        .output()
        .unwrap();
    let said = said(&output);
    assert_eq!(said.code, 2, "{}", said.err);
    assert!(said.err.contains("cannot write"), "{}", said.err);
    assert_eq!(before, fs::read(&foods).unwrap());
    trayful(&["data", "--cache", "cache"])
        .inside(folder.path())
        .answer();
}

/// Foods cut from the published USDA SR28 files, in full.
fn full_cut() -> String {
    let cut = root().join("data-import/tests/data/sr28-full-cut");
    cut.display().to_string()
}

#[test]
fn a_dataset_in_full_says_where_its_values_come_from() {
    let folder = folder(&[]);
    let inside = |args: &[&str]| trayful(args).inside(folder.path());
    let import = [
        "data",
        "import",
        &full_cut(),
        "--cache",
        "cache",
        "--on",
        "2026-11-24",
    ];
    insta::assert_snapshot!(inside(&import).answer());
    let page = inside(&[
        "foods", "--show", "01001", "--all", "--cache", "cache", "--age", "8",
    ])
    .answer();
    let values = page.split("PER 100 g EDIBLE").nth(1).unwrap();
    insta::assert_snapshot!(values.lines().take(16).collect::<Vec<_>>().join("\n"));
    let json = inside(&["foods", "--show", "01001", "--cache", "cache", "--json"]).answer();
    assert!(json.contains("\"origin\": \"measured\""), "{json}");
    assert!(json.contains("\"data_points\""), "{json}");
    // IOM (2002/2005), adequate intakes of linoleic and alpha-linolenic acid: two cubes of butter hold a share of both.
    let good_for = page.split("PER 100 g EDIBLE").next().unwrap();
    for share in ["of 4.6 g (AI)", "of 0.5 g (AI)"] {
        assert!(good_for.contains(share), "{page}");
    }
    let built_in = trayful(&["foods", "--show", "01001", "--age", "8"]).answer();
    assert!(!built_in.contains("inoleic acid"), "{built_in}");
    let add = [
        "batch",
        "--add",
        "60 g 01001 none",
        "--added",
        "50 ml",
        "--cache",
        "cache",
        "--age",
        "8",
        "--why",
    ];
    let card = inside(&add).answer();
    assert!(
        card.contains("Of each amount so many percent rest on"),
        "{card}"
    );
    let card = trayful(&["batch", "--add", "600 g 11485 steam", "--age", "8"]).answer();
    assert!(
        !card.contains("Of each amount"),
        "the built-in data does not say: {card}"
    );
}

#[test]
fn a_cache_is_verified_and_a_source_dropped() {
    let folder = with_cache();
    let inside = |args: &[&str]| trayful(args).inside(folder.path());
    let told = inside(&["data", "--verify", "--cache", "cache"]).answer();
    assert!(told.starts_with("Sound: "), "{told}");
    let told = inside(&["data", "--remove", "branded", "--cache", "cache"]).refusal();
    assert!(told.contains("sr28"), "{told}");
    inside(&["data", "--remove", "sr28", "--cache", "cache"]).answer();
    let said = inside(&["foods", "butter", "--cache", "cache"]).said();
    assert_eq!((said.code, said.err.as_str()), (1, ""), "{}", said.out);
    let told = inside(&["data", "--verify"]).refusal();
    assert!(
        told.contains("--cache") && told.contains("book.toml"),
        "{told}"
    );
}

#[test]
fn a_damaged_table_does_not_pass_the_check() {
    let folder = with_cache();
    let measures = folder.path().join("cache/measures-sr28.parquet");
    let mut bytes = fs::read(&measures).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0xff;
    fs::write(&measures, bytes).unwrap();
    let told = trayful(&["data", "--verify", "--cache", "cache"])
        .inside(folder.path())
        .refusal();
    assert!(told.contains("measures-sr28.parquet"), "{told}");
}

#[test]
fn a_layout_that_the_files_are_not_is_refused() {
    let folder = changed("ABBREV.txt", |bytes| bytes);
    // By a short path, so that the lines break alike wherever the tests run.
    let import = [
        "data", "import", ".", "--cache", "cache", "--format", "fooddata",
    ];
    insta::assert_snapshot!(trayful(&import).inside(folder.path()).refusal());
    assert!(!folder.path().join("cache/manifest.json").exists());
}
