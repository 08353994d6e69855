//! Where a dataset's files are: a folder, or a zip that is read without unpacking it.

use std::fs::{self, File};
use std::io::BufReader;
use std::path::{Path, PathBuf};

use zip::ZipArchive;
use zip::result::ZipError;

use super::Watcher;
use super::input::Input;
use crate::error::Error;

/// The most files of a dataset; a published one has about thirty.
const MOST_ENTRIES: usize = 64;
/// No published file is packed to less than a twentieth of its size: ten times that is suspect,
/// once it is more than a little.
const MOST_PACKED: u64 = 200;
const A_LITTLE: u64 = 16_000_000;
/// The most bytes of all files; those of the largest published dataset have about 5 GB.
const MOST_IN_ALL: u64 = 64_000_000_000;

/// The files of a dataset.
pub(super) struct Source {
    path: PathBuf,
    files: Files,
}

enum Files {
    /// The files right inside a folder.
    Folder(Vec<PathBuf>),
    /// A zip, and the file names of its entries without their folders.
    Zip(ZipArchive<BufReader<File>>, Vec<(usize, String)>),
}

impl Source {
    /// Looks at what is there; reads no file yet.
    pub(super) fn open(path: &Path) -> Result<Self, Error> {
        let failed = |source| Error::io("read", path, source);
        if !fs::metadata(path).map_err(failed)?.is_dir() {
            return Self::of_zip(path, &File::open(path).map_err(failed)?);
        }
        let entries = fs::read_dir(path).map_err(failed)?;
        let paths = entries.map(|entry| Ok(entry?.path()));
        Ok(Self {
            path: path.to_owned(),
            files: Files::Folder(paths.collect::<Result<_, _>>().map_err(failed)?),
        })
    }

    /// Looks at a zip that is open already, from its start; `path` is what errors call it.
    pub(super) fn of_zip(path: &Path, zip: &File) -> Result<Self, Error> {
        let file = zip
            .try_clone()
            .map_err(|source| Error::io("read", path, source))?;
        let zip = ZipArchive::new(BufReader::new(file)).map_err(|error| archive(path, &error))?;
        let names = names(path, &zip)?;
        Ok(Self {
            path: path.to_owned(),
            files: Files::Zip(zip, names),
        })
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Whether there is a file of this name, in capital or small letters.
    pub(super) fn has(&self, name: &str) -> bool {
        match &self.files {
            Files::Folder(paths) => paths.iter().any(|path| is_named(path, name)),
            Files::Zip(_, names) => names.iter().any(|entry| entry.1.eq_ignore_ascii_case(name)),
        }
    }

    /// Opens the file of this name, of which at most `limit` bytes will be read.
    pub(super) fn input<'a, 'w>(
        &'a mut self,
        name: &'a str,
        limit: u64,
        watcher: &'a mut Watcher<'w>,
    ) -> Result<Input<'a, 'w>, Error> {
        let absent = || Error::NotRecognised {
            path: self.path.clone(),
            missing: vec![format!("{name} is not there")],
        };
        match &mut self.files {
            Files::Folder(paths) => {
                let path = paths
                    .iter()
                    .find(|path| is_named(path, name))
                    .ok_or_else(absent)?;
                let failed = |source| Error::io("read", path, source);
                let file = File::open(path).map_err(failed)?;
                let total = file.metadata().map_err(failed)?.len();
                Ok(Input::new(name, Box::new(file), total, limit, watcher))
            }
            Files::Zip(zip, names) => {
                let entry = names
                    .iter()
                    .find(|entry| entry.1.eq_ignore_ascii_case(name));
                let place = entry.ok_or_else(absent)?.0;
                let file = zip
                    .by_index(place)
                    .map_err(|error| archive(&self.path, &error))?;
                let total = file.size();
                // The size that is stated may be wrong.
                let likely = A_LITTLE + MOST_PACKED * file.compressed_size();
                Ok(Input::new(
                    name,
                    Box::new(file),
                    total,
                    limit.min(likely),
                    watcher,
                ))
            }
        }
    }
}

fn is_named(path: &Path, name: &str) -> bool {
    path.file_name()
        .is_some_and(|found| found.eq_ignore_ascii_case(name))
}

/// The files of a zip by place and name. A zip that no dataset would be published in is refused.
fn names(path: &Path, zip: &ZipArchive<BufReader<File>>) -> Result<Vec<(usize, String)>, Error> {
    let refused = |problem| Error::Archive {
        path: path.to_owned(),
        problem,
    };
    if zip.len() > MOST_ENTRIES {
        let count = zip.len();
        return Err(refused(format!(
            "it has {count} entries, more than {MOST_ENTRIES}"
        )));
    }
    let mut names: Vec<(usize, String)> = Vec::new();
    let mut in_all = 0_u64;
    for place in 0..zip.len() {
        let entry = zip
            .by_index_data(place)
            .map_err(|error| archive(path, &error))?;
        let shown = String::from_utf8_lossy(entry.name_raw()).into_owned();
        let Some(inside) = entry.enclosed_name() else {
            return Err(refused(format!(
                "its entry {shown:?} points outside the zip"
            )));
        };
        if entry.name_raw().starts_with(b"/") || entry.name_raw().starts_with(b"\\") {
            return Err(refused(format!("its entry {shown:?} has an absolute path")));
        }
        if entry.is_symlink() {
            return Err(refused(format!("its entry {shown:?} is a link")));
        }
        if !entry.is_file() {
            continue;
        }
        if entry.encrypted() {
            return Err(refused(format!("its entry {shown:?} is encrypted")));
        }
        let (size, packed) = (entry.size(), entry.compressed_size().max(1));
        if size > A_LITTLE && size / packed > MOST_PACKED {
            let times = size / packed;
            return Err(refused(format!(
                "its entry {shown:?} unpacks to {times} times its size"
            )));
        }
        in_all = in_all.saturating_add(size);
        if in_all > MOST_IN_ALL {
            let most = MOST_IN_ALL / 1_000_000_000;
            return Err(refused(format!("it unpacks to more than {most} GB")));
        }
        let name = inside
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        if names
            .iter()
            .any(|known| known.1.eq_ignore_ascii_case(&name))
        {
            return Err(refused(format!("it holds {name:?} more than once")));
        }
        names.push((place, name));
    }
    Ok(names)
}

fn archive(path: &Path, error: &ZipError) -> Error {
    Error::Archive {
        path: path.to_owned(),
        problem: error.to_string(),
    }
}
