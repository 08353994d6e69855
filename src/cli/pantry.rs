//! The foods in use: the dataset, and the household's own foods where they are found.

use std::path::{Path, PathBuf};

use trayful::food::{FoodData, OWN_FOODS_FILE, OwnShelf, Pantry};
use trayful::notebook::{Book, Store};

use super::Session;
use super::failure::Failure;

impl Session {
    /// The food data in use with a recipe file, or with the current folder: that of --cache, else
    /// of the book around it.
    pub(super) fn food_data(&self, recipe: Option<&Path>) -> FoodData {
        FoodData::in_use(
            self.common.cache.as_deref(),
            self.book_around(recipe).as_deref(),
        )
    }

    /// The food data that an import changes.
    pub(super) fn food_data_to_change(&self) -> Option<FoodData> {
        FoodData::to_change(
            self.common.cache.as_deref(),
            self.book_around(None).as_deref(),
        )
    }

    /// The dataset with the own foods that go with a recipe file, or with the current folder:
    /// those of --own, else of the book around it.
    pub(super) fn pantry(&self, recipe: Option<&Path>) -> Result<Pantry, Failure> {
        let pantry = Pantry::of_data(self.food_data(recipe), self.own(recipe)?)?;
        // A book that cannot be read is reported by the commands that need it.
        let book = self
            .book_around(recipe)
            .and_then(|folder| Book::open(&folder).ok());
        let settings = book.map(|book| book.settings).unwrap_or_default();
        Ok(pantry
            .with_words(settings.words)
            .with_newer(settings.newer_analyses)
            .with_metric_cups(settings.metric_cups))
    }

    fn own(&self, recipe: Option<&Path>) -> Result<Option<OwnShelf>, Failure> {
        let own = match &self.common.own {
            Some(file) => Some(file.clone()),
            None => self
                .own_file_beside(recipe)
                .filter(|file| file.try_exists().unwrap_or(true)),
        };
        let own = own.map(|file| OwnShelf::read(&file)).transpose()?;
        Ok(own.transpose()?)
    }

    /// The file that own foods are added to; `None` where there is neither --own nor a book.
    pub(super) fn own_file(&self) -> Option<PathBuf> {
        self.common
            .own
            .clone()
            .or_else(|| self.own_file_beside(None))
    }

    /// The path of the book's own foods.
    fn own_file_beside(&self, file: Option<&Path>) -> Option<PathBuf> {
        Some(self.book_around(file)?.join(OWN_FOODS_FILE))
    }

    /// The household that a recipe file, or foods typed in the current folder, are for: its
    /// children, its record, its trays.
    pub(super) fn book_for(&self, file: Option<&Path>) -> Result<Option<Book>, Failure> {
        let folder = self.book_around(file);
        Ok(folder.map(|folder| Book::open(&folder)).transpose()?)
    }

    /// The book: the one named by --book, else the one around a file, else the one around the
    /// current folder, so that a recipe from elsewhere is judged for the children at home; as seen
    /// from the current folder if it lies inside.
    fn book_around(&self, file: Option<&Path>) -> Option<PathBuf> {
        let here = std::env::current_dir().ok()?;
        let around = |file: &Path| Book::folder_above(&std::path::absolute(file).ok()?);
        let book = self
            .common
            .book
            .clone()
            .or_else(|| file.and_then(around))
            .or_else(|| Book::folder_above(&here))?;
        Some(book.strip_prefix(here).map_or(book.clone(), Path::to_owned))
    }
}

/// The record of a book that has one.
pub(super) fn record_of(book: Option<&Book>) -> Result<Option<Store>, Failure> {
    let recorded = book.filter(|book| book.has_record());
    Ok(recorded.map(Book::store).transpose()?)
}
