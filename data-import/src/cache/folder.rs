//! The cache folder on disk: replaced in one step.
//!
//! An import writes new Parquet files beside those in use, and then renames a new manifest over the
//! old one: that rename is the only moment at which the cache changes. Killed before it, the old
//! cache is whole; after it, the new one. What a killed import left behind goes at the next import.

use std::fs::{self, File, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::SystemTime;

use super::shape::{RowGroup, Shape};
use super::writer::{TableWriter, failed};
use crate::error::Error;
use crate::manifest::{Manifest, SCHEMA, SourceInfo, TableFile, Tables};
use crate::search_index;

const MANIFEST: &str = "manifest.json";
const LOCK: &str = "import.lock";
const TEMPORARY: &str = ".import-";
/// What a table may be, and which source it may be of: its name is both, joined by `-`, and `-2`
/// where the first name is in use.
const TABLES: [&str; 3] = ["foods", "measures", "provenance"];
/// The sources, in order of preference: the household's own labels first, then the newest analyses.
pub(crate) const SOURCES: [&str; 6] = [
    "own",
    "foundation",
    "sr28",
    "sr-legacy",
    "survey",
    "branded",
];
/// Names of the tables in the layout before this one.
const FORMER: [&str; 4] = [
    "foods.parquet",
    "measures.parquet",
    "foods-2.parquet",
    "measures-2.parquet",
];

/// The place of a source in the order of preference.
pub(super) fn rank(source: &SourceInfo) -> Option<usize> {
    SOURCES.iter().position(|id| *id == source.id)
}

/// The part of a manifest that every layout has.
#[derive(serde::Deserialize)]
struct Version {
    schema: u32,
}

/// Reads the manifest of a cache folder, and nothing else.
pub fn manifest_of(dir: &Path) -> Result<Manifest, Error> {
    Folder::new(dir).manifest()
}

/// Whether a folder holds a cache, be it a good one or not.
pub fn is_cache(dir: &Path) -> bool {
    dir.join(MANIFEST).try_exists().unwrap_or(true)
}

/// The state of a cache folder, which is another one after each change; `None` where it holds no
/// cache.
pub fn state_of(dir: &Path) -> Option<CacheState> {
    let index = fs::metadata(search_index::path(dir));
    Some(CacheState {
        manifest: fs::read(dir.join(MANIFEST)).ok()?,
        index: index.and_then(|index| index.modified()).ok(),
    })
}

/// See [`state_of`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CacheState {
    manifest: Vec<u8>,
    index: Option<SystemTime>,
}

/// A cache folder, which need not exist yet.
#[derive(Debug, Clone)]
pub(crate) struct Folder(PathBuf);

impl Folder {
    pub(crate) fn new(path: &Path) -> Self {
        Self(path.to_owned())
    }

    /// The folder itself.
    pub(crate) fn path(&self) -> &Path {
        &self.0
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

    /// The path of a table that a manifest names.
    pub(crate) fn table(&self, table: &TableFile) -> Result<PathBuf, Error> {
        if is_table(&table.name) {
            return Ok(self.0.join(&table.name));
        }
        let problem = "it names a file of another kind";
        Err(Error::corrupt(&self.0.join(MANIFEST), &problem))
    }

    /// Makes the folder if need be, and keeps other imports out until the lock is dropped.
    /// A folder that holds anything but a cache is refused.
    pub(crate) fn lock(&self) -> Result<File, Error> {
        fs::create_dir_all(&self.0).map_err(|source| Error::io("create", &self.0, source))?;
        if let Some(found) = self
            .entries()?
            .into_iter()
            .find(|name| !is_cache_file(name))
        {
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

    /// Where an import may keep what does not fit into memory.
    pub(crate) fn spill(&self) -> PathBuf {
        self.0.join(format!("{TEMPORARY}spill"))
    }

    /// The sources of the cache; none if there is no cache, or a damaged or former one, whose
    /// place an import takes.
    pub(crate) fn sources(&self) -> Vec<SourceInfo> {
        self.manifest()
            .map_or_else(|_| Vec::new(), |manifest| manifest.sources)
    }

    /// Begins a table of a source. The folder is locked.
    pub(crate) fn create(
        &self,
        table: &str,
        source: &str,
        shape: &Shape,
    ) -> Result<NewTable<'_>, Error> {
        let name = self.free_name(table, source);
        let beside = Beside(self.0.join(format!("{TEMPORARY}{name}")));
        let path = self.0.join(&name);
        let failed_at = |source| Error::io("write", &path, source);
        let file = File::create(&beside.0).map_err(failed_at)?;
        let writer = TableWriter::new(file, shape).map_err(|error| failed(&path, None, error))?;
        Ok(NewTable {
            folder: self,
            name,
            beside,
            writer,
        })
    }

    /// Makes sure that the tables of a source are on the disk, and moves them to their places. The
    /// disk is waited for once, not for each.
    pub(crate) fn place(
        &self,
        foods: EndedTable,
        measures: EndedTable,
        provenance: Option<EndedTable>,
    ) -> Result<Tables, Error> {
        let all = || [&foods, &measures].into_iter().chain(&provenance);
        let synced = thread::scope(|scope| {
            let threads = all().map(|one| scope.spawn(|| one.file.sync_all()));
            let threads = threads.collect::<Vec<_>>();
            let joined = threads.into_iter().map(|thread| match thread.join() {
                Ok(synced) => synced,
                Err(panic) => std::panic::resume_unwind(panic),
            });
            joined.collect::<Vec<_>>()
        });
        for (ended, synced) in all().zip(synced) {
            let path = self.0.join(&ended.table.name);
            synced
                .and_then(|()| fs::rename(&ended.beside.0, &path))
                .map_err(|source| Error::io("write", &path, source))?;
        }
        sync_folder(&self.0).map_err(|source| Error::io("write", &self.0, source))?;
        Ok(Tables {
            foods: foods.table,
            measures: measures.table,
            provenance: provenance.map(|one| one.table),
        })
    }

    /// The name of a table that the manifest in use does not name, whatever its layout.
    fn free_name(&self, table: &str, source: &str) -> String {
        let (first, second) = (
            format!("{table}-{source}.parquet"),
            format!("{table}-{source}-2.parquet"),
        );
        match fs::read_to_string(self.0.join(MANIFEST)) {
            Ok(manifest) if manifest.contains(&format!("\"{first}\"")) => second,
            _ => first,
        }
    }

    /// Makes `sources` the contents of the cache, in order of preference; their tables are there.
    /// The folder is locked.
    pub(crate) fn swap(
        &self,
        mut sources: Vec<SourceInfo>,
        imported: &str,
    ) -> Result<Manifest, Error> {
        sources.sort_by_key(rank);
        let manifest = Manifest {
            schema: SCHEMA,
            imported: imported.to_owned(),
            sources,
        };
        let path = self.0.join(MANIFEST);
        let beside = self.0.join(format!("{TEMPORARY}{MANIFEST}"));
        let written = serde_json::to_vec_pretty(&manifest)
            .map_err(io::Error::from)
            .and_then(|text| {
                let mut file = File::create(&beside)?;
                file.write_all(&text)?;
                file.write_all(b"\n")?;
                file.sync_all()
            })
            .and_then(|()| fs::rename(&beside, &path))
            .and_then(|()| sync_folder(&self.0));
        written.map_err(|source| {
            fs::remove_file(&beside).unwrap_or_default();
            Error::io("write", &path, source)
        })?;
        self.tidy(&manifest);
        Ok(manifest)
    }

    /// Removes what the manifest does not name. The cache is good whether or not that succeeds.
    fn tidy(&self, manifest: &Manifest) {
        let tables = manifest.sources.iter().flat_map(|one| one.tables.files());
        let kept = tables.map(|table| table.name.as_str());
        let kept = kept
            .chain([MANIFEST, LOCK, search_index::FILE])
            .collect::<Vec<_>>();
        for name in self.entries().unwrap_or_default() {
            if is_cache_file(&name) && !kept.contains(&name.as_str()) {
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

/// Whether a file of this name belongs to a cache, of this version or a former one.
fn is_cache_file(name: &str) -> bool {
    [MANIFEST, LOCK, search_index::FILE].contains(&name)
        || FORMER.contains(&name)
        || is_table(name)
        || name.starts_with(TEMPORARY)
}

fn is_table(name: &str) -> bool {
    let stem = name.strip_suffix(".parquet").unwrap_or_default();
    let stem = stem.strip_suffix("-2").unwrap_or(stem);
    let source = TABLES
        .iter()
        .find_map(|table| stem.strip_prefix(table)?.strip_prefix('-'));
    source.is_some_and(|source| SOURCES.contains(&source))
}

/// A table that is being written beside its place.
pub(crate) struct NewTable<'f> {
    folder: &'f Folder,
    name: String,
    beside: Beside,
    writer: TableWriter,
}

/// A table that is written to its end, and not yet in its place.
pub(crate) struct EndedTable {
    beside: Beside,
    file: File,
    table: TableFile,
}

/// A file that is removed when this value is dropped, since half a file is of no use. If it cannot
/// be removed, the next import does it. Once it was moved to its place, nothing is left to remove.
struct Beside(PathBuf);

impl Drop for Beside {
    fn drop(&mut self) {
        fs::remove_file(&self.0).unwrap_or_default();
    }
}

impl NewTable<'_> {
    /// Appends a row group.
    pub(crate) fn write(&mut self, group: &RowGroup) -> Result<(), Error> {
        let written = self.writer.write(group);
        let failure = written.as_ref().err();
        let failure = failure.and_then(|_| self.writer.take_failure());
        written.map_err(|error| failed(&self.folder.0.join(&self.name), failure, error))
    }

    /// Writes the end of the table. It is in use once [`Folder::place`] has moved it to its place.
    pub(crate) fn end(self) -> Result<EndedTable, Error> {
        let path = self.folder.0.join(&self.name);
        let ended = self.writer.finish(&self.name);
        let (file, table) = ended.map_err(|(failure, error)| failed(&path, failure, error))?;
        Ok(EndedTable {
            beside: self.beside,
            file,
            table,
        })
    }
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
