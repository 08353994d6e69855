//! A copy of the fixture to import from, and a cache folder to import into.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use data_import::{Error, FoodTable, ImportRequest, Manifest, import};
use tempfile::TempDir;

pub(crate) const ABBREV: &str = "ABBREV.txt";
pub(crate) const FOOD_DES: &str = "FOOD_DES.txt";

pub(crate) struct Workplace {
    dir: TempDir,
}

impl Workplace {
    pub(crate) fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(dir.path().join("source")).unwrap();
        for file in [ABBREV, FOOD_DES] {
            fs::copy(fixture().join(file), dir.path().join("source").join(file)).unwrap();
        }
        Self { dir }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    pub(crate) fn source(&self) -> PathBuf {
        self.path("source")
    }

    pub(crate) fn cache(&self) -> PathBuf {
        self.path("cache")
    }

    /// Changes the bytes of one file of the source.
    pub(crate) fn edit(&self, file: &str, change: impl FnOnce(&mut Vec<u8>)) {
        let path = self.source().join(file);
        let mut bytes = fs::read(&path).unwrap();
        change(&mut bytes);
        fs::write(path, bytes).unwrap();
    }

    /// Changes the lines of one file of the source, without their ends.
    pub(crate) fn edit_lines(&self, file: &str, change: impl FnOnce(&mut Vec<Vec<u8>>)) {
        self.edit(file, |bytes| {
            let mut lines = lines(bytes);
            change(&mut lines);
            *bytes = lines
                .into_iter()
                .flat_map(|line| [line, b"\r\n".to_vec()].concat())
                .collect();
        });
    }

    /// Changes one field; line and field are counted from 0.
    pub(crate) fn edit_field(&self, file: &str, line: usize, field: usize, to: &str) {
        self.edit_lines(file, |lines| {
            let mut fields = lines[line].split(|b| *b == b'^').collect::<Vec<_>>();
            fields[field] = to.as_bytes();
            lines[line] = fields.join(&b'^');
        });
    }

    pub(crate) fn import(&self) -> Result<Manifest, Error> {
        self.import_from(&self.source())
    }

    pub(crate) fn import_from(&self, path: &Path) -> Result<Manifest, Error> {
        let cache = self.cache();
        let request = ImportRequest::new(path, &cache, "2026-11-24");
        Ok(import(&request, &mut |_| ())?.manifest)
    }

    pub(crate) fn open(&self) -> Result<FoodTable, Error> {
        FoodTable::open(&self.cache())
    }

    /// The files of the cache with their contents.
    pub(crate) fn cache_files(&self) -> BTreeMap<String, Vec<u8>> {
        let entries = fs::read_dir(self.cache()).unwrap().map(Result::unwrap);
        let file = |entry: fs::DirEntry| {
            let name = entry.file_name().into_string().unwrap();
            (name, fs::read(entry.path()).unwrap())
        };
        entries.map(file).collect()
    }

    /// Imports the fixture, spoils the source by `spoil`, imports again, and returns the error of
    /// that, after checking that the first cache is untouched.
    pub(crate) fn spoiled(spoil: impl FnOnce(&Self)) -> Error {
        let place = Self::new();
        place.import().unwrap();
        let before = place.cache_files();
        spoil(&place);
        let error = place.import().unwrap_err();
        assert_eq!(
            place.cache_files(),
            before,
            "the cache was changed by: {error}"
        );
        assert_eq!(place.open().unwrap().names().unwrap().len(), 12);
        assert!(error.hint().is_some(), "no hint for: {error}");
        error
    }
}

pub(crate) fn fixture() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/sr28-cut")
}

/// The lines of a published file, without their ends.
pub(crate) fn lines(bytes: &[u8]) -> Vec<Vec<u8>> {
    let whole = bytes.strip_suffix(b"\r\n").unwrap_or(bytes);
    whole
        .split(|b| *b == b'\n')
        .map(|line| line.trim_ascii_end().to_vec())
        .collect()
}
