//! The errors of a book.

use crate::next_step::{NextStep, Remark};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use rusqlite::ffi::{SQLITE_FULL, SQLITE_IOERR_SHMSIZE};

use crate::food::FoodDataError;
use crate::problem::Problem;

/// An error of a book, with the place where it occurred.
#[derive(Debug, thiserror::Error)]
pub enum BookError {
    /// There is no book where one was expected.
    #[error("there is no book in “{}” or a folder above it", .0.display())]
    Missing(PathBuf),
    /// There is a book where a new one was to be made.
    #[error("“{}” is a book already", .0.display())]
    Exists(PathBuf),
    /// There is a file where a new one was to be written.
    #[error("“{}” is there already", .0.display())]
    InTheWay(PathBuf),
    /// The book has entries where an empty one was expected.
    #[error("“{}” has entries already", .0.display())]
    NotEmpty(PathBuf),
    /// The input is invalid.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Problems(Vec<Problem>),
    /// A table of the program is wrong.
    #[error(transparent)]
    Data(#[from] data_import::Error),
    /// The operating system reported an error.
    #[error("cannot {action} “{}”: {source}", path.display())]
    Io {
        /// The action that failed.
        action: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// The system's answer.
        source: std::io::Error,
    },
    /// SQLite reported an error.
    #[error("cannot {action} the book “{}”: {source}", path.display())]
    Sqlite {
        /// The action that failed.
        action: &'static str,
        /// The file.
        path: PathBuf,
        /// SQLite's answer.
        source: rusqlite::Error,
    },
    /// The file is not a book of this program.
    #[error("“{}” is not a book of this program", .0.display())]
    Foreign(PathBuf),
    /// The book is of a later version.
    #[error("“{}” has layout {found}; this program knows layouts up to {newest}", path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// The version of its layout.
        found: u32,
        /// The newest version that this program knows.
        newest: u32,
    },
    /// The file is damaged, by SQLite's check or the rules of the book.
    #[error("the book “{}” is damaged: {what}", path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// The damage that was found.
        what: String,
    },
    /// The exported tables do not fit each other.
    #[error("the tables in “{}” do not add up: {what}", folder.display())]
    Unfit {
        /// The folder of the export.
        folder: PathBuf,
        /// The damage that was found.
        what: String,
    },
    /// An exported table does not fit.
    #[error("{}:{line}: {what}", file.display())]
    Table {
        /// The CSV file.
        file: PathBuf,
        /// The line.
        line: u64,
        /// The description of the problem.
        what: String,
    },
}

impl From<FoodDataError> for BookError {
    fn from(error: FoodDataError) -> Self {
        match error {
            FoodDataError::Tables(error) => Self::Data(error),
            FoodDataError::Index(path, error) => Self::Io {
                action: "search",
                path,
                source: std::io::Error::other(error),
            },
        }
    }
}

impl BookError {
    /// Whether another command holds the record at this moment.
    pub fn is_busy(&self) -> bool {
        let code = match self {
            Self::Sqlite { source, .. } => source.sqlite_error_code(),
            _ => None,
        };
        matches!(
            code,
            Some(rusqlite::ErrorCode::DatabaseBusy | rusqlite::ErrorCode::DatabaseLocked)
        )
    }

    /// Whether the disk is full.
    pub fn lacks_room(&self) -> bool {
        match self {
            Self::Sqlite { source, .. } => {
                let code = source.sqlite_extended_error_code();
                matches!(code, Some(SQLITE_FULL | SQLITE_IOERR_SHMSIZE))
            }
            Self::Io { source, .. } => {
                matches!(
                    source.kind(),
                    ErrorKind::StorageFull | ErrorKind::QuotaExceeded
                )
            }
            _ => false,
        }
    }

    /// Whether the book lies where it may not be written to.
    pub fn is_closed(&self) -> bool {
        match self {
            Self::Sqlite { source, .. } => matches!(
                source.sqlite_error_code(),
                Some(rusqlite::ErrorCode::ReadOnly | rusqlite::ErrorCode::CannotOpen)
            ),
            Self::Io { source, .. } => matches!(
                source.kind(),
                ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied
            ),
            _ => false,
        }
    }

    /// The next step that remedies the error.
    pub fn hint(&self) -> Option<Remark> {
        let next = match self {
            Self::Missing(_) => Some(NextStep::StartBook),
            Self::Exists(_) => Some(NextStep::UseBook),
            Self::NotEmpty(_) => Some(NextStep::StartEmptyBook),
            _ => None,
        };
        let words = match self {
            Self::Missing(_) => "",
            Self::Exists(_) => "nothing was changed",
            Self::InTheWay(_) => "nothing was changed; name a file that is not there yet",
            Self::NotEmpty(_) => "nothing was imported",
            Self::Problems(_) => return None,
            Self::Data(error) => return error.hint().map(Remark::from),
            Self::Io { .. } => "check that the folder exists, may be written to, and has room",
            Self::Sqlite { .. } if self.is_closed() => {
                "nothing was recorded; a book that may not be written to can be read: allow writing to its file \
                 and folder, then try again"
            }
            Self::Sqlite { .. } => {
                "nothing was recorded; check that the folder may be written to \
                                    and has room, then try again"
            }
            Self::Foreign(_) => "nothing was changed; move the file away, or name another book",
            Self::Newer { .. } => "nothing was changed; use the newer version of the program",
            Self::Damaged { .. } => {
                "nothing was changed; take the latest backup beside it, or \
                                     import the last export into a new book"
            }
            Self::Unfit { .. } => "nothing was imported; export again, or mend the tables",
            Self::Table { .. } => "nothing was imported; export again, or mend that line",
        };
        let words = words.to_string();
        Some(Remark { words, next })
    }

    pub(super) fn io(action: &'static str, path: &Path) -> impl Fn(std::io::Error) -> Self {
        move |source| Self::Io {
            action,
            path: path.to_path_buf(),
            source,
        }
    }
}

impl From<Problem> for BookError {
    fn from(problem: Problem) -> Self {
        Self::Problems(vec![problem])
    }
}

impl From<Vec<Problem>> for BookError {
    fn from(problems: Vec<Problem>) -> Self {
        Self::Problems(problems)
    }
}
