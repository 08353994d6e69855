//! The state that all requests share.

use std::fmt;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, TryLockError};

use jiff::civil::{Date, DateTime};
use tempfile::TempDir;
use tokio::sync::Semaphore;

use super::clients::Clients;
use super::imports::Imports;
use super::lock::{DeviceRecord, Hosts, Pairing, Secret, Unguessable};
use super::notice::Kept;
use super::open_foods::OpenFoods;
use super::rooms::{FormerText, WeekDraft};
use super::sent_forms::SentForms;
use super::{Notice, PageError, PageResult};
use crate::food::{FoodData, FoodDataError, Foods, OWN_FOODS_FILE, OwnShelf, Pantry};
use crate::notebook::{Book, BookError, KeptValues};

/// The inputs of the page from outside: it reads neither the clock nor the environment itself.
pub struct Supplies {
    /// The local day and time of the household.
    pub clock: Box<dyn Fn() -> DateTime + Send + Sync>,
    /// The folder of the book, or the one in which a book may be started.
    pub folder: PathBuf,
    /// The food data to use instead of that of the book, or the built-in.
    pub cache: Option<PathBuf>,
    /// The file of own foods, where it does not lie in the book.
    pub own: Option<PathBuf>,
    /// Writes the book of an invented household into a folder.
    pub demo: fn(&std::path::Path) -> Result<u64, BookError>,
    /// The day that is today for the invented household.
    pub demo_day: Date,
    /// Recipes to begin with: the name and the text of each.
    pub recipes: &'static [(&'static str, &'static str)],
    /// Prints details for the person at the terminal that a page must not show.
    pub tell: fn(&str),
}

/// The state of the page.
pub struct AppState {
    supplies: Supplies,
    open: OpenFoods,
    /// The running import, or the last one.
    pub(super) imports: Arc<Imports>,
    demo: Mutex<Option<TempDir>>,
    pub(super) token: Secret,
    pub(super) hosts: Hosts,
    pub(super) pairing: Option<Pairing>,
    pub(super) notices: Kept<Notice>,
    /// Proposals that nobody kept yet.
    pub(super) drafts: Kept<WeekDraft>,
    /// Recipes as they were before they were written over.
    pub(super) former_texts: Kept<FormerText>,
    /// Forms that were recorded already.
    pub(super) sent: SentForms,
    /// Tastes, stock and other values of the whole record that earlier requests read.
    pub(super) kept_values: Arc<KeptValues>,
    proposing: Mutex<()>,
    turns: Semaphore,
    pub(super) clients: Clients,
}

/// The folder in use, and whether it is that of the invented household.
#[derive(Debug, Clone)]
pub(super) struct BookFolder {
    pub(super) folder: PathBuf,
    pub(super) demo: bool,
}

impl BookFolder {
    /// The book in the folder.
    pub(super) fn book(&self) -> PageResult<Book> {
        Ok(Book::open(&self.folder)?)
    }
}

impl AppState {
    /// The state of a page that is served at `port`, and to the home network where there is a
    /// `pairing`.
    ///
    /// Errors: the system has no random numbers for the token.
    pub fn new(
        supplies: Supplies,
        port: u16,
        pairing: Option<Pairing>,
        clients: Clients,
    ) -> Result<Arc<Self>, Unguessable> {
        Ok(Arc::new(Self {
            supplies,
            open: OpenFoods::default(),
            imports: Arc::default(),
            demo: Mutex::default(),
            token: Secret::new()?,
            hosts: Hosts::new(port, pairing.as_ref().map(Pairing::address)),
            pairing,
            notices: Kept::default(),
            drafts: Kept::default(),
            former_texts: Kept::default(),
            sent: SentForms::default(),
            kept_values: Arc::default(),
            proposing: Mutex::default(),
            turns: Semaphore::new(clients.at_the_book),
            clients,
        }))
    }

    /// The record with the devices that are let in: that of the household's own book, also while
    /// the demo is shown.
    pub(super) fn device_record(&self) -> DeviceRecord<'_> {
        DeviceRecord {
            folder: &self.supplies.folder,
            today: (self.supplies.clock)().date(),
        }
    }

    /// The lock of the proposal that is worked out; a second request for one is
    /// [`PageError::Busy`], which a browser may send again.
    pub(super) fn proposing(&self) -> PageResult<MutexGuard<'_, ()>> {
        match self.proposing.try_lock() {
            Ok(turn) => Ok(turn),
            Err(TryLockError::Poisoned(turn)) => Ok(turn.into_inner()),
            Err(TryLockError::WouldBlock) => Err(PageError::Busy),
        }
    }

    /// The food data of a household. While a dataset is imported, it is what was in use before.
    pub(super) fn food_data(&self, place: &BookFolder) -> FoodData {
        let before = self.imports.before().filter(|_| !place.demo);
        before.unwrap_or_else(|| {
            let book = (!place.demo).then_some(place.folder.as_path());
            FoodData::in_use(self.supplies.cache.as_deref(), book)
        })
    }

    /// The food data that an import changes; `None` in the demo, which is thrown away.
    pub(super) fn food_data_to_change(&self, place: &BookFolder) -> Option<FoodData> {
        let named = self.supplies.cache.as_deref();
        FoodData::to_change(named, Some(&place.folder)).filter(|_| !place.demo)
    }

    /// Opens the food data of a household, or the copy that is open already.
    pub(super) fn foods(&self, place: &BookFolder) -> Result<Arc<Foods>, FoodDataError> {
        let importing = self.imports.before().is_some() && !place.demo;
        self.open.of(self.food_data(place), importing)
    }

    /// The day and the time for a household; for the invented one it is noon of its day.
    pub(super) fn now(&self, place: &BookFolder) -> DateTime {
        if place.demo {
            self.supplies.demo_day.at(12, 0, 0, 0)
        } else {
            (self.supplies.clock)()
        }
    }

    /// The day for a household.
    pub(super) fn today(&self, place: &BookFolder) -> Date {
        self.now(place).date()
    }

    /// The folder in use.
    pub(super) fn place(&self) -> BookFolder {
        let demo = self.demo.lock().unwrap_or_else(PoisonError::into_inner);
        match demo.as_ref() {
            Some(demo) => BookFolder {
                folder: demo.path().to_path_buf(),
                demo: true,
            },
            None => BookFolder {
                folder: self.supplies.folder.clone(),
                demo: false,
            },
        }
    }

    /// The file of own foods of a household.
    pub(super) fn own_file(&self, place: &BookFolder) -> PathBuf {
        match &self.supplies.own {
            Some(file) if !place.demo => file.clone(),
            _ => place.folder.join(OWN_FOODS_FILE),
        }
    }

    /// The own foods of a household; `None` where it has none.
    pub(super) fn own(&self, place: &BookFolder) -> PageResult<Option<OwnShelf>> {
        let file = self.own_file(place);
        if !file.try_exists().unwrap_or(true) {
            return Ok(None);
        }
        // Messages name the file without its folder: a page never shows a path of the disk.
        let name = file.file_name().map(|name| name.to_string_lossy());
        let bytes = std::fs::read(&file).map_err(PageError::broken)?;
        let shelf = OwnShelf::parse(name.as_deref().unwrap_or(OWN_FOODS_FILE), bytes)??;
        Ok(Some(shelf))
    }

    /// All foods of a household: its data, and its own foods.
    pub(super) fn pantry(&self, place: &BookFolder) -> PageResult<Pantry> {
        // A page that needs the book reports itself that it cannot be read.
        let newer = Book::open(&place.folder).is_ok_and(|book| book.settings.newer_analyses);
        Ok(Pantry::of_foods(self.foods(place)?, self.own(place)?).with_newer(newer))
    }

    /// Recipes to begin with: the name and the text of each.
    pub(super) fn first_recipes(&self) -> &'static [(&'static str, &'static str)] {
        self.supplies.recipes
    }

    /// Opens the book of an invented household, in a folder that is deleted when the page stops.
    pub(super) fn enter_demo(&self) -> PageResult<()> {
        let folder = tempfile::Builder::new()
            .prefix("trayful-demo-")
            .tempdir()
            .map_err(PageError::broken)?;
        (self.supplies.demo)(folder.path())?;
        *self.demo.lock().unwrap_or_else(PoisonError::into_inner) = Some(folder);
        Ok(())
    }

    /// Deletes the book of the invented household.
    pub(super) fn leave_demo(&self) {
        self.demo
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take();
    }

    /// Prints details to the terminal that a page must not show.
    pub(super) fn tell(&self, words: &str) {
        (self.supplies.tell)(words);
    }

    /// Prints the details of an error to the terminal, where it has any.
    pub(super) fn tell_of(&self, fault: &PageError) {
        if let Some(detail) = fault.detail() {
            self.tell(detail);
        }
    }

    /// The function that prints to the terminal, for a thread that outlives a request.
    pub(super) fn teller(&self) -> fn(&str) {
        self.supplies.tell
    }

    /// Runs `work`, which uses the book, on a thread that may wait for the disk, once fewer than
    /// [`Clients::at_the_book`] others run.
    ///
    /// Errors: [`PageError::Busy`] after a wait of [`Clients::turn`].
    pub(super) async fn at_the_book<T: Send + 'static>(
        self: &Arc<Self>,
        work: impl FnOnce(&Self) -> Result<T, PageError> + Send + 'static,
    ) -> PageResult<T> {
        let turn = tokio::time::timeout(self.clients.turn, self.turns.acquire()).await;
        let Ok(Ok(_turn)) = turn else {
            return Err(PageError::Busy);
        };
        let state = Arc::clone(self);
        tokio::task::spawn_blocking(move || work(&state))
            .await
            .map_err(PageError::broken)?
    }
}

impl fmt::Debug for AppState {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("AppState")
            .field("folder", &self.supplies.folder)
            .finish_non_exhaustive()
    }
}

impl fmt::Debug for Supplies {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Supplies")
            .field("folder", &self.folder)
            .finish_non_exhaustive()
    }
}
