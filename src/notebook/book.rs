//! A book, which is a folder: finding, opening and starting one.

use std::path::{Path, PathBuf};

use jiff::civil::Date;

use super::error::BookError;
use super::recipe_name::RecipeName;
use super::settings::Settings;
use super::store::Store;
use crate::names::{self, Found, Named};
use crate::problem::SourceText;
use crate::recipe::Recipe;
use crate::whole_file;

/// The file that makes a folder a book.
pub(super) const SETTINGS: &str = "book.toml";
/// The file of the record.
const RECORD: &str = "book.sqlite";
/// The folder of the recipes.
pub(super) const RECIPES: &str = "recipes";

/// A household's book.
#[derive(Debug, Clone)]
pub struct Book {
    /// The folder of the book.
    pub folder: PathBuf,
    /// The settings of the household.
    pub settings: Settings,
}

/// The tray that a new book starts with.
#[derive(Debug, Clone)]
pub struct FirstTray {
    /// The name of the tray.
    pub name: String,
    /// The number of wells.
    pub wells: u32,
    /// Volume of a well as it is written, such as `30 ml`.
    pub well: String,
}

/// The data that a new book starts with.
#[derive(Debug, Clone)]
pub struct NewBook {
    /// The child's name.
    pub child: String,
    /// Day of birth.
    pub born: Date,
    /// Weight as it is written, such as `8.2 kg`.
    pub weight: Option<String>,
    /// How milk is fed, in the household's own words.
    pub milk: Option<String>,
    /// Every known allergy.
    pub allergies: Vec<String>,
    /// The tray.
    pub tray: FirstTray,
    /// Currency of every price.
    pub currency: String,
}

impl Book {
    /// The nearest folder from `path` upwards that is a book.
    pub fn folder_above(path: &Path) -> Option<PathBuf> {
        path.ancestors()
            .find(|folder| Self::is_one(folder))
            .map(Path::to_path_buf)
    }

    /// Whether a folder is a book.
    pub fn is_one(folder: &Path) -> bool {
        folder.join(SETTINGS).is_file()
    }

    /// Opens the book in `folder`: its settings; the record is opened when it is needed.
    pub fn open(folder: &Path) -> Result<Self, BookError> {
        let path = folder.join(SETTINGS);
        if !path.is_file() {
            return Err(BookError::Missing(folder.to_path_buf()));
        }
        let text = std::fs::read_to_string(&path).map_err(BookError::io("read", &path))?;
        let settings = Settings::parse(&SourceText::new(path.display().to_string(), text))?;
        Ok(Self {
            folder: folder.to_path_buf(),
            settings,
        })
    }

    /// The path of the settings.
    pub(super) fn settings_path(&self) -> PathBuf {
        self.folder.join(SETTINGS)
    }

    /// Opens the record, and makes it where the book has none yet.
    pub fn store(&self) -> Result<Store, BookError> {
        Store::open(&self.folder.join(RECORD))?.of_currency(&self.settings.currency)
    }

    /// Whether the book has a record yet.
    pub fn has_record(&self) -> bool {
        self.folder.join(RECORD).is_file()
    }

    /// Whether nothing at all is in the place of its record.
    pub fn lacks_record(&self) -> bool {
        !self.folder.join(RECORD).exists()
    }

    /// Starts a new book in `folder`, which may not be one yet.
    pub fn start(folder: &Path, new: &NewBook) -> Result<Self, BookError> {
        let settings = folder.join(SETTINGS);
        for path in [&settings, &folder.join(RECORD)] {
            if path.exists() {
                return Err(BookError::Exists(folder.to_path_buf()));
            }
        }
        let text = new.settings_text();
        Settings::parse(&SourceText::new("what was said", text.as_str()))?;
        let recipes = folder.join(RECIPES);
        std::fs::create_dir_all(&recipes).map_err(BookError::io("make", &recipes))?;
        // The settings make the folder a book, so they come first: a record can be made later.
        write_whole(&settings, &text)?;
        let book = Self::open(folder)?;
        book.store()?;
        Ok(book)
    }

    /// Writes a book that was exported elsewhere: its settings, other files by their path inside
    /// the folder, and the files of an export. Returns the number of entries.
    pub fn unpack(
        folder: &Path,
        settings: &str,
        files: &[(String, &str)],
        record: &[(&str, &str)],
    ) -> Result<u64, BookError> {
        if folder.join(SETTINGS).exists() || folder.join(RECORD).exists() {
            return Err(BookError::Exists(folder.to_path_buf()));
        }
        let recipes = folder.join(RECIPES);
        std::fs::create_dir_all(&recipes).map_err(BookError::io("make", &recipes))?;
        for (path, text) in files {
            write_whole(&folder.join(path), text)?;
        }
        let beside = tempfile::tempdir_in(folder).map_err(BookError::io("write to", folder))?;
        for (name, text) in record {
            write_whole(&beside.path().join(name), text)?;
        }
        let entries = Store::open(&folder.join(RECORD))?.import(beside.path())?;
        write_whole(&folder.join(SETTINGS), settings)?;
        Ok(entries)
    }

    /// The path of a recipe of the book.
    pub fn recipe_path(&self, name: &str) -> PathBuf {
        self.folder.join(RECIPES).join(format!("{name}.toml"))
    }

    /// The names of the recipes in the book, in order.
    pub fn recipe_names(&self) -> Result<Vec<String>, BookError> {
        let folder = self.folder.join(RECIPES);
        if !folder.is_dir() {
            return Ok(Vec::new());
        }
        let files = std::fs::read_dir(&folder).map_err(BookError::io("read", &folder))?;
        let mut names = Vec::new();
        for file in files {
            let path = file.map_err(BookError::io("read", &folder))?.path();
            if path
                .extension()
                .is_some_and(|extension| extension == "toml")
            {
                names.extend(
                    path.file_stem()
                        .map(|name| name.to_string_lossy().into_owned()),
                );
            }
        }
        names.sort();
        Ok(names)
    }

    /// The recipes of the book by name and title; the title is empty where the file cannot be read.
    pub fn named_recipes(&self) -> Result<Vec<Named>, BookError> {
        let title = |path: &Path| {
            let text = std::fs::read_to_string(path).ok()?;
            let table: toml::Table = text.parse().ok()?;
            Some(table.get("title")?.as_str()?.to_string())
        };
        let names = self.recipe_names()?.into_iter();
        let named = names.map(|name| Named {
            title: title(&self.recipe_path(&name)).unwrap_or_default(),
            name,
        });
        Ok(named.collect())
    }

    /// The recipe of this name, or of the name that it abbreviates.
    ///
    /// Errors: as of [`names::find`].
    pub fn find_recipe(&self, written: &str) -> Result<Found, BookError> {
        Ok(names::find("recipe", written, &self.named_recipes()?)?)
    }

    /// Reads a recipe of the book, by its name in full.
    pub fn recipe(&self, name: &str) -> Result<Recipe, BookError> {
        let path = self.recipe_path(name);
        if !path.exists() {
            return Err(names::unknown("recipe", name, &self.named_recipes()?).into());
        }
        Ok(Recipe::read(&path)?)
    }

    /// Renames the file of a recipe; nothing happens for a recipe without a file.
    pub fn move_recipe(&self, from: &str, to: &RecipeName) -> Result<(), BookError> {
        let (old, new) = (self.recipe_path(from), self.recipe_path(&to.to_string()));
        if !old.exists() {
            return Ok(());
        }
        std::fs::rename(&old, &new).map_err(BookError::io("rename", &old))
    }

    /// Saves a recipe in the book; an older one of that name is replaced only if `replace` is set.
    ///
    /// Errors: [`BookError::InTheWay`] where the file exists and is not to be replaced; or the file
    /// cannot be written.
    pub fn save_recipe(
        &self,
        name: &RecipeName,
        text: &str,
        replace: bool,
    ) -> Result<(), BookError> {
        let folder = self.folder.join(RECIPES);
        std::fs::create_dir_all(&folder).map_err(BookError::io("make", &folder))?;
        let path = folder.join(format!("{name}.toml"));
        if replace {
            return write_whole(&path, text);
        }
        match whole_file::write_new(&path, text) {
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
                Err(BookError::InTheWay(path))
            }
            written => written.map_err(BookError::io("write", &path)),
        }
    }
}

impl NewBook {
    /// The text of `book.toml`, with the other settings as comments.
    fn settings_text(&self) -> String {
        let quoted = |text: &str| toml::Value::from(text).to_string();
        let weight = self.weight.as_deref().map_or_else(
            || "# weight = \"8.2 kg\"\n".to_string(),
            |weight| format!("weight = {}\n", quoted(weight)),
        );
        let milk = self.milk.as_deref().map_or_else(
            || "# milk = \"breast\"\n".to_string(),
            |milk| format!("milk = {}\n", quoted(milk)),
        );
        let allergies = match self.allergies.as_slice() {
            [] => "# allergies = [\"egg\"]\n".into(),
            all => format!("allergies = {}\n", toml::Value::from(all.to_vec())),
        };
        let FirstTray { name, wells, well } = &self.tray;
        format!(
            "currency     = {currency}\n\
             # country = \"US\"         # whose seasons are told, US or UK; else that of the money\n\
             freezer_days = 30        # cubes keep about a month\n\
             waiting_days = 4         # from one new food to the next, 3 to 7\n\
             # waiting = \"allergens\"  # wait after the major allergens alone\n\
             # meals = [\"breakfast\", \"lunch\", \"supper\"]\n\
             # servings_a_day = 2     # else the pace of the last two weeks tells\n\
             # cup = \"metric\"         # a cup that is typed holds 250 ml; else it is the US cup\n\
             \n\
             [[child]]\n\
             name = {child}\n\
             born = \"{born}\"\n\
             {weight}{milk}\
             # eczema = \"moderate\"    # mild, moderate, severe; true where it is not said\n\
             # weeks_early = 5        # born so many weeks before the due date\n\
             {allergies}\
             \n\
             [[tray]]\n\
             name  = {name}\n\
             wells = {wells}\n\
             well  = {well}\n\
             fill  = 0.9\n\
             \n\
             # [[ready_made]]         # the jar that a batch is compared with\n\
             # name    = \"vegetable jar\"\n\
             # mass    = \"4 oz\"\n\
             # price   = \"1.29\"\n\
             # recipes = [\"red-lentil-squash\"]   # all, where left out\n\
             \n\
             # [[season]]\n\
             # food   = \"11485\"\n\
             # months = [9, 10, 11]\n",
            currency = quoted(&self.currency),
            child = quoted(&self.child),
            born = self.born,
            name = quoted(name),
            well = quoted(well),
        )
    }
}

/// Writes a file so that it is there whole, or not at all.
pub(super) fn write_whole(path: &Path, text: &str) -> Result<(), BookError> {
    whole_file::write(path, text).map_err(BookError::io("write", path))
}
