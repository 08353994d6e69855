//! Errors of this crate: what is wrong and where; [`Error::hint`] says what to do about it.

use std::fmt::Display;
use std::io;
use std::path::{Path, PathBuf};

use thiserror::Error;

use crate::nutrient::NutrientId;

/// What can go wrong with a dataset, a cache folder or a reference table.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum Error {
    /// The operating system refused.
    #[error("cannot {action} “{}”: {source}", path.display())]
    Io {
        /// What was being done, such as `read`.
        action: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// The system's answer.
        source: io::Error,
    },
    /// No reader knows the files in a folder or zip.
    #[error("no dataset was recognised in “{}”: {}", path.display(), missing.join("; "))]
    NotRecognised {
        /// The folder or zip.
        path: PathBuf,
        /// Per known layout, the files that are not there.
        missing: Vec<String>,
    },
    /// A zip that will not be read.
    #[error("cannot read the zip “{}”: {problem}", path.display())]
    Archive {
        /// The zip.
        path: PathBuf,
        /// What is wrong with it.
        problem: String,
    },
    /// A file of a dataset is broken or is not what its name says.
    #[error("{place}: {problem}")]
    Data {
        /// Where.
        place: Place,
        /// What is wrong there.
        problem: String,
    },
    /// There is no cache in the folder.
    #[error("there is no food data in “{}”", dir.display())]
    NoCache {
        /// The folder.
        dir: PathBuf,
    },
    /// The folder holds something else than a cache.
    #[error("“{}” holds other files, such as “{found}”: it is not used for food data", dir.display())]
    ForeignFolder {
        /// The folder.
        dir: PathBuf,
        /// One of the files in it.
        found: String,
    },
    /// The cache was written by another version of the program.
    #[error("the food data in “{}” has layout {found}; this program reads layout {expected}", dir.display())]
    CacheSchema {
        /// The folder.
        dir: PathBuf,
        /// The version found.
        found: u32,
        /// The version this program reads.
        expected: u32,
    },
    /// A file of the cache is damaged.
    #[error("the food data is damaged: “{}”: {problem}", file.display())]
    CacheCorrupt {
        /// The file.
        file: PathBuf,
        /// What is wrong with it.
        problem: String,
    },
    /// Another import into the same folder is running.
    #[error("another import into “{}” is running", dir.display())]
    CacheBusy {
        /// The folder.
        dir: PathBuf,
    },
    /// An embedded reference table does not read.
    #[error("reference table {table}: {source}")]
    Reference {
        /// File name of the table.
        table: String,
        /// Where and why.
        source: csv::Error,
    },
    /// A nutrient that is not in the table of nutrients.
    #[error("nutrient {id} is in no table of nutrients")]
    Nutrient {
        /// Its number.
        id: NutrientId,
    },
    /// A word that names no origin of a value.
    #[error("“{text}” does not say where a value comes from")]
    Origin {
        /// The word.
        text: String,
    },
    /// A source that the cache does not hold.
    #[error("there is no source “{wanted}” in “{}”; it holds {}", dir.display(), held.join(", "))]
    NoSource {
        /// The folder.
        dir: PathBuf,
        /// The source asked for.
        wanted: String,
        /// The sources there are.
        held: Vec<String>,
    },
    /// A layout that no reader has.
    #[error("there is no format “{wanted}”; known are {}", known.join(", "))]
    NoFormat {
        /// The format asked for.
        wanted: String,
        /// The formats there are.
        known: Vec<&'static str>,
    },
    /// A Parquet file that a person gave does not read.
    #[error("“{}” does not read as Parquet: {problem}", file.display())]
    Table {
        /// The file.
        file: PathBuf,
        /// The fault that the reader of Parquet found.
        problem: String,
    },
    /// Text that does not name a food.
    #[error("“{text}” is not a food id")]
    FoodId {
        /// The text.
        text: String,
    },
}

/// A place in a file of a dataset.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Name of the file.
    pub file: String,
    /// Line, counted from 1; `None` if the whole file is meant.
    pub line: Option<u64>,
    /// Column in bytes, counted from 1; `None` if the whole line is meant.
    pub column: Option<u64>,
}

impl Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.file)?;
        for number in [self.line, self.column].into_iter().flatten() {
            write!(f, ":{number}")?;
        }
        Ok(())
    }
}

impl Error {
    pub(crate) fn io(action: &'static str, path: &Path, source: io::Error) -> Self {
        Self::Io {
            action,
            path: path.to_owned(),
            source,
        }
    }

    /// An error in a file of a dataset, on a line (counted from 1) or in the file as a whole.
    pub(crate) fn in_file(file: &str, line: Option<u64>, problem: impl Into<String>) -> Self {
        Self::Data {
            place: Place {
                file: file.to_owned(),
                line,
                column: None,
            },
            problem: problem.into(),
        }
    }

    pub(crate) fn corrupt(file: &Path, problem: &dyn Display) -> Self {
        Self::CacheCorrupt {
            file: file.to_owned(),
            problem: problem.to_string(),
        }
    }

    pub(crate) fn table(file: &Path, problem: &dyn Display) -> Self {
        Self::Table {
            file: file.to_owned(),
            problem: problem.to_string(),
        }
    }

    /// What to do next; `None` where the message already says it all.
    pub fn hint(&self) -> Option<&'static str> {
        Some(match self {
            Self::Io { source, .. } => return io_hint(source),
            Self::NotRecognised { .. } => {
                "give the folder or zip that holds the files of one dataset as published"
            }
            Self::Archive { .. } => "unpack it yourself and give the folder, or download it again",
            Self::Data { .. } => {
                "download the dataset again; nothing was imported, and the food data in use is unchanged"
            }
            Self::NoCache { .. } => {
                "import a dataset into it, or leave the folder out to use the built-in data"
            }
            Self::ForeignFolder { .. } => "choose a new or an empty folder for the food data",
            Self::CacheSchema { .. } => "import the dataset again with this version of the program",
            Self::CacheCorrupt { .. } => {
                "import the dataset again; until then, use the built-in data"
            }
            Self::Table { .. } => "write the file again, or copy it again",
            Self::NoSource { .. } => "name one of those",
            Self::NoFormat { .. } => "leave the format out, and it is recognised from the files",
            Self::CacheBusy { .. } => "wait for it to finish, then try again",
            Self::Reference { .. } | Self::Nutrient { .. } | Self::Origin { .. } => {
                "this is a fault of the program: please report it"
            }
            Self::FoodId { .. } => {
                "a food is named by five digits (SR28, such as 11485), by an fdc_id of up to nine digits, or by own- and a name in a-z, 0-9 and -"
            }
        })
    }
}

fn io_hint(source: &io::Error) -> Option<&'static str> {
    match source.kind() {
        io::ErrorKind::NotFound => Some("check the path"),
        io::ErrorKind::PermissionDenied => Some("check who may read and write there"),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            Some("make room on the disk; the food data in use is unchanged")
        }
        _ => None,
    }
}
