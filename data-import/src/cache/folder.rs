//! The cache folder on disk: read with its digests checked, replaced in one step.
//!
//! An import writes new Parquet files beside those in use, and then renames a new manifest over the
//! old one: that rename is the only moment at which the cache changes. Killed before it, the old
//! cache is whole; after it, the new one. What a killed import left behind goes at the next import.

use std::borrow::Cow;
use std::fs::{self, File, TryLockError};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use polars::prelude::PolarsResult;

use super::encode;
use crate::digest::{Digesting, sha256};
use crate::error::Error;
use crate::food::Food;
use crate::manifest::{FileDigest, Manifest, SCHEMA, SourceInfo};
use crate::nutrient::{Nutrient, nutrients};
use crate::search_index;

const MANIFEST: &str = "manifest.json";
const LOCK: &str = "import.lock";
/// Names of the two tables; while one pair is in use, an import writes the other.
const PAIRS: [[&str; 2]; 2] = [
    ["foods.parquet", "measures.parquet"],
    ["foods-2.parquet", "measures-2.parquet"],
];
const TEMPORARY: &str = ".import-";

/// The part of a manifest that every layout has.
#[derive(serde::Deserialize)]
struct Version {
    schema: u32,
}

/// Reads the manifest of a cache folder, and nothing else.
pub fn manifest_of(dir: &Path) -> Result<Manifest, Error> {
    Folder::new(dir).manifest()
}

/// A cache folder, which need not exist yet.
#[derive(Debug, Clone)]
pub(crate) struct Folder(PathBuf);

impl Folder {
    pub(crate) fn new(path: &Path) -> Self {
        Self(path.to_owned())
    }

    /// Reads the manifest.
    pub(crate) fn manifest(&self) -> Result<Manifest, Error> {
        let path = self.0.join(MANIFEST);
        let text = fs::read(&path).map_err(|source| match source.kind() {
            io::ErrorKind::NotFound => Error::NoCache {
                dir: self.0.clone(),
            },
            _ => Error::io("read", &path, source),
        })?;
        let version: Version =
            serde_json::from_slice(&text).map_err(|source| Error::corrupt(&path, &source))?;
        if version.schema != SCHEMA {
            let (found, expected) = (version.schema, SCHEMA);
            return Err(Error::CacheSchema {
                dir: self.0.clone(),
                found,
                expected,
            });
        }
        serde_json::from_slice(&text).map_err(|source| Error::corrupt(&path, &source))
    }

    /// Reads one table whole, and checks it against its digest before anything decodes it: the
    /// Parquet decoder can abort the process on damaged bytes, which nothing here could catch.
    pub(crate) fn read(&self, file: &FileDigest) -> Result<(PathBuf, Cow<'static, [u8]>), Error> {
        let path = self.0.join(&file.name);
        if !PAIRS.as_flattened().contains(&file.name.as_str()) {
            return Err(Error::corrupt(
                &self.0.join(MANIFEST),
                &"it names a file of another kind",
            ));
        }
        let bytes = fs::read(&path).map_err(|source| Error::io("read", &path, source))?;
        if bytes.len() as u64 != file.bytes {
            let problem = format!("{} bytes where {} were written", bytes.len(), file.bytes);
            return Err(Error::corrupt(&path, &problem));
        }
        if sha256(&bytes) != file.sha256 {
            return Err(Error::corrupt(
                &path,
                &"its SHA-256 is not that of the file written",
            ));
        }
        Ok((path, bytes.into()))
    }

    /// Makes the folder if need be, and keeps other imports out until the lock is dropped.
    /// A folder that holds anything but a cache is refused.
    pub(crate) fn lock(&self) -> Result<File, Error> {
        fs::create_dir_all(&self.0).map_err(|source| Error::io("create", &self.0, source))?;
        if let Some(found) = self.entries()?.into_iter().find(|name| !is_ours(name)) {
            return Err(Error::ForeignFolder {
                dir: self.0.clone(),
                found,
            });
        }
        let path = self.0.join(LOCK);
        let lock = File::create(&path).map_err(|source| Error::io("write", &path, source))?;
        match lock.try_lock() {
            Ok(()) => Ok(lock),
            Err(TryLockError::WouldBlock) => Err(Error::CacheBusy {
                dir: self.0.clone(),
            }),
            Err(TryLockError::Error(source)) => Err(Error::io("lock", &path, source)),
        }
    }

    /// Replaces the cache by `foods`, which are sorted by id. The folder is locked.
    pub(crate) fn replace(
        &self,
        foods: &[Food],
        sources: Vec<SourceInfo>,
        imported: &str,
    ) -> Result<Manifest, Error> {
        let [foods_name, measures_name] = self.free_pair();
        let nutrients = nutrients_of(foods)?;
        let manifest = Manifest {
            schema: SCHEMA,
            imported: imported.to_owned(),
            sources,
            foods: self.write(foods_name, |sink| encode::foods(sink, foods, &nutrients))?,
            measures: self.write(measures_name, |sink| encode::measures(sink, foods))?,
        };
        self.write(MANIFEST, |sink| {
            serde_json::to_writer_pretty(&mut *sink, &manifest).map_err(io::Error::from)?;
            sink.write_all(b"\n").map_err(Into::into)
        })?;
        self.tidy(&manifest);
        Ok(manifest)
    }

    /// The pair of names that the manifest in use does not name, whatever its layout.
    fn free_pair(&self) -> [&'static str; 2] {
        let [first, second] = PAIRS;
        match fs::read_to_string(self.0.join(MANIFEST)) {
            Ok(manifest) if !manifest.contains(second[0]) => second,
            _ => first,
        }
    }

    /// Writes a file beside its place, makes sure it is on the disk, and moves it there.
    fn write(
        &self,
        name: &str,
        content: impl FnOnce(&mut dyn Write) -> PolarsResult<()>,
    ) -> Result<FileDigest, Error> {
        let (path, beside) = (self.0.join(name), self.0.join(format!("{TEMPORARY}{name}")));
        let written = write_synced(&beside, name, content)
            .and_then(|digest| fs::rename(&beside, &path).map(|()| digest))
            .and_then(|digest| sync_folder(&self.0).map(|()| digest));
        written.map_err(|source| {
            // Half a file is of no use; if it cannot be removed, the next import does it.
            fs::remove_file(&beside).unwrap_or_default();
            Error::io("write", &path, source)
        })
    }

    /// Removes what the manifest does not name. The cache is good whether or not that succeeds.
    fn tidy(&self, manifest: &Manifest) {
        let kept = [
            MANIFEST,
            LOCK,
            search_index::FILE,
            &manifest.foods.name,
            &manifest.measures.name,
        ];
        for name in self.entries().unwrap_or_default() {
            if is_ours(&name) && !kept.contains(&name.as_str()) {
                fs::remove_file(self.0.join(name)).unwrap_or_default();
            }
        }
    }

    fn entries(&self) -> Result<Vec<String>, Error> {
        let failed = |source| Error::io("read", &self.0, source);
        let entries = fs::read_dir(&self.0).map_err(failed)?;
        let names = entries.map(|entry| Ok(entry?.file_name().to_string_lossy().into_owned()));
        names.collect::<io::Result<_>>().map_err(failed)
    }
}

fn is_ours(name: &str) -> bool {
    [MANIFEST, LOCK, search_index::FILE].contains(&name)
        || PAIRS.as_flattened().contains(&name)
        || name.starts_with(TEMPORARY)
}

/// The nutrients with a value in at least one food, in the order of the table of nutrients.
fn nutrients_of(foods: &[Food]) -> Result<Vec<&'static Nutrient>, Error> {
    let measured = |nutrient: &&Nutrient| {
        foods
            .iter()
            .any(|food| food.composition.get(nutrient.id).is_some())
    };
    Ok(nutrients()?.iter().filter(measured).collect())
}

/// Writes a new file, and returns once it is on the disk.
fn write_synced(
    path: &Path,
    name: &str,
    content: impl FnOnce(&mut dyn Write) -> PolarsResult<()>,
) -> io::Result<FileDigest> {
    let file = File::create(path)?;
    let mut sink = Digesting::new(BufWriter::new(&file));
    content(&mut sink).map_err(|error| {
        sink.take_failure()
            .unwrap_or_else(|| io::Error::other(error))
    })?;
    sink.flush()?;
    file.sync_all()?;
    Ok(sink.finish(name))
}

#[cfg(unix)]
fn sync_folder(dir: &Path) -> io::Result<()> {
    File::open(dir)?.sync_all()
}

#[cfg(not(unix))]
#[expect(
    clippy::unnecessary_wraps,
    reason = "folders can be synced on Unix only"
)]
fn sync_folder(_dir: &Path) -> io::Result<()> {
    Ok(())
}
