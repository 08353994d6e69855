//! Which food data is in use, and the search index over its names.

use std::fs::{self, File};
use std::io::{self, BufWriter, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use data_import::{
    CacheState, DurableFile, Error, FoodTable, is_cache, manifest_of, search_index, state_of,
};

use super::found::{Synonyms, synonyms};
use super::index_writing::{IndexWritingError, write_index};
use super::search::{FoodIndex, IndexError};

/// The folder of a book in which it keeps its own food data.
const OF_BOOK: &str = "foods";

/// Where the food data in use lies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FoodData {
    /// In the program.
    BuiltIn,
    /// In a cache folder that a person named, and nowhere else.
    Named(PathBuf),
    /// In the cache folder of a book; what is built in stands in for the dataset of that name where
    /// the folder has none.
    OfBook(PathBuf),
}

/// Food data that is open.
#[derive(Debug)]
pub struct Foods {
    /// The tables.
    pub table: Arc<FoodTable>,
    /// The index over the names in them.
    pub index: FoodIndex,
}

/// Why the food data in use does not open.
#[derive(Debug, thiserror::Error)]
pub enum FoodDataError {
    /// The tables do not read.
    #[error(transparent)]
    Tables(#[from] Error),
    /// The search index at this place does not read, or could not be written.
    #[error("{}: {}", .0.display(), .1)]
    Index(PathBuf, IndexError),
}

/// The tables in the program, opened once.
///
/// Errors: they do not read.
fn builtin_table() -> Result<Arc<FoodTable>, Error> {
    static TABLE: OnceLock<Arc<FoodTable>> = OnceLock::new();
    if let Some(table) = TABLE.get() {
        return Ok(Arc::clone(table));
    }
    let opened = Arc::new(FoodTable::builtin()?);
    Ok(Arc::clone(TABLE.get_or_init(|| opened)))
}

impl FoodData {
    /// Where a dataset goes that is imported: the folder named, else that of the book; `None` where there is neither.
    pub fn to_change(named: Option<&Path>, book: Option<&Path>) -> Option<Self> {
        match (named, book) {
            (Some(folder), _) => Some(Self::Named(folder.to_path_buf())),
            (None, Some(book)) => Some(Self::OfBook(book.join(OF_BOOK))),
            (None, None) => None,
        }
    }

    /// The food data in use: the folder named, else that of the book once anything was imported
    /// into it, else what is built in.
    pub fn in_use(named: Option<&Path>, book: Option<&Path>) -> Self {
        match Self::to_change(named, book) {
            Some(Self::OfBook(folder)) if !is_cache(&folder) => Self::BuiltIn,
            Some(data) => data,
            None => Self::BuiltIn,
        }
    }

    /// The cache folder; `None` for what is built in.
    pub fn folder(&self) -> Option<&Path> {
        match self {
            Self::BuiltIn => None,
            Self::Named(folder) | Self::OfBook(folder) => Some(folder),
        }
    }

    /// The state of the folder, which is another one after each change.
    pub fn state(&self) -> Option<CacheState> {
        self.folder().and_then(state_of)
    }

    /// Opens all of it.
    pub fn open(&self) -> Result<Foods, FoodDataError> {
        Ok(Foods {
            table: self.table()?,
            index: self.index()?,
        })
    }

    /// Opens the tables.
    pub fn table(&self) -> Result<Arc<FoodTable>, Error> {
        match self {
            Self::BuiltIn => builtin_table(),
            Self::Named(folder) => FoodTable::open(folder).map(Arc::new),
            Self::OfBook(folder) => FoodTable::with_builtin(folder).map(Arc::new),
        }
    }

    /// Opens the index. Where the folder has none for the foods in use, one is made in memory.
    pub fn index(&self) -> Result<FoodIndex, FoodDataError> {
        let synonyms = synonyms()?;
        let stamp = match self {
            Self::BuiltIn => {
                let index = FoodIndex::open(Box::new(search_index::builtin()), &synonyms);
                return index.map_err(|error| self.failed(error));
            }
            Self::Named(folder) => manifest_of(folder)?.stamp(),
            Self::OfBook(_) => self.table()?.manifest().stamp(),
        };
        match self.written_index(&synonyms) {
            Ok(Some(index)) if index.stamp() == stamp => Ok(index),
            Ok(_) => self.index_in_memory(&synonyms),
            Err(error) => Err(self.failed(error)),
        }
    }

    /// Writes the index of the folder, in place of the one that is there.
    pub fn write_index(&self) -> Result<(), FoodDataError> {
        let Some(folder) = self.folder() else {
            return Ok(());
        };
        let beside = search_index::beside(folder);
        let failed = |error: io::Error| self.failed(error.into());
        let table = self.table()?;
        let file = DurableFile::new(File::create(&beside).map_err(failed)?);
        let file = write_index(BufWriter::new(file), &table, &table.manifest().stamp())
            .map_err(|error| self.not_written(error))?;
        let file = file
            .into_inner()
            .map_err(|error| failed(error.into_error()))?;
        file.file()
            .sync_all()
            .and_then(|()| fs::rename(&beside, search_index::path(folder)))
            .map_err(failed)
    }

    /// Why the index is of no use.
    pub fn failed(&self, error: IndexError) -> FoodDataError {
        let place = self
            .folder()
            .map_or_else(|| "built-in".into(), search_index::path);
        FoodDataError::Index(place, error)
    }

    fn not_written(&self, error: IndexWritingError) -> FoodDataError {
        match error {
            IndexWritingError::Names(error) => error.into(),
            IndexWritingError::Written(error) => self.failed(error.into()),
        }
    }

    /// `None` if there is no index, or none that this version reads.
    fn written_index(&self, synonyms: &Synonyms) -> Result<Option<FoodIndex>, IndexError> {
        let path = self.folder().map(search_index::path).unwrap_or_default();
        let file = match File::open(path) {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
            file => file?,
        };
        match FoodIndex::open(Box::new(file), synonyms) {
            Err(IndexError::Version) => Ok(None),
            index => index.map(Some),
        }
    }

    fn index_in_memory(&self, synonyms: &Synonyms) -> Result<FoodIndex, FoodDataError> {
        let bytes = write_index(Vec::new(), &*self.table()?, "")
            .map_err(|error| self.not_written(error))?;
        FoodIndex::open(Box::new(bytes), synonyms).map_err(|error| self.failed(error))
    }
}
