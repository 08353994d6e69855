//! An invented household with a book in a folder of its own, and small recipes of few foods.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use rusqlite::types::Value;

use super::support::{Said, trayful};

/// Butternut squash alone.
pub(crate) const SQUASH: &str = "title = \"Squash\"\n[[ingredient]]\nfood = \"11485\"\n\
                                 amount = \"600 g\"\nmethod = \"steam\"\n";
/// Two foods.
pub(crate) const LENTIL: &str = "title = \"Lentil and squash\"\n\
    [[ingredient]]\nfood = \"16144\"\namount = \"150 g\"\nmethod = \"simmer\"\n\
    [[ingredient]]\nfood = \"11485\"\namount = \"300 g\"\nmethod = \"steam\"\n\
    [liquid]\nadded = \"50 ml\"\n";
/// Two allergens: egg, and wheat.
pub(crate) const EGG: &str = "title = \"Egg and wheat\"\n\
    [[ingredient]]\nfood = \"01123\"\namount = \"200 g\"\nmethod = \"boil\"\n\
    [[ingredient]]\nfood = \"20080\"\namount = \"100 g\"\nmethod = \"simmer\"\n\
    [liquid]\nadded = \"200 ml\"\n";

/// A household with a book.
pub(crate) struct Household {
    folder: tempfile::TempDir,
}

impl Household {
    /// A child called Wren, born 2026-03-02, three recipes, and an empty record.
    #[must_use]
    pub(crate) fn new() -> Self {
        let household = Self::without_a_book();
        household.answer(&["start", ".", "--child", "Wren", "--born", "2026-03-02"]);
        for (name, text) in [("squash", SQUASH), ("lentil", LENTIL), ("egg", EGG)] {
            household.write(&format!("recipes/{name}.toml"), text);
        }
        household
    }

    /// An empty folder.
    #[must_use]
    pub(crate) fn without_a_book() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    pub(crate) fn path(&self) -> &Path {
        self.folder.path()
    }

    pub(crate) fn record(&self) -> PathBuf {
        self.path().join("book.sqlite")
    }

    /// Writes a file into the folder.
    pub(crate) fn write(&self, name: &str, text: &str) {
        let path = self.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    /// Appends to `book.toml`.
    pub(crate) fn say_of_itself(&self, text: &str) {
        let path = self.path().join("book.toml");
        let before = std::fs::read_to_string(&path).unwrap();
        std::fs::write(path, before + text).unwrap();
    }

    /// Changes a line of `book.toml`.
    pub(crate) fn change(&self, from: &str, to: &str) {
        let path = self.path().join("book.toml");
        let before = std::fs::read_to_string(&path).unwrap();
        assert!(before.contains(from), "{before}");
        std::fs::write(path, before.replace(from, to)).unwrap();
    }

    /// What the program says in the folder.
    pub(crate) fn said(&self, args: &[&str]) -> Said {
        trayful(args).inside(self.path()).said()
    }

    /// What the program answers in silence.
    pub(crate) fn answer(&self, args: &[&str]) -> String {
        trayful(args).inside(self.path()).answer()
    }

    /// The JSON that the program answers.
    pub(crate) fn json(&self, args: &[&str]) -> serde_json::Value {
        serde_json::from_str(&self.answer(args)).unwrap()
    }

    /// What the program refuses with.
    pub(crate) fn refusal(&self, args: &[&str]) -> String {
        trayful(args).inside(self.path()).refusal()
    }

    /// Commands one after another with all that they say, as a terminal would show it.
    pub(crate) fn told(&self, commands: &[&[&str]]) -> String {
        let told: Vec<_> = commands.iter().map(|args| self.one_told(args)).collect();
        told.join("\n")
    }

    fn one_told(&self, args: &[&str]) -> String {
        let words: Vec<_> = args.iter().map(|word| quoted(word)).collect();
        let said = self.said(args);
        assert!(!said.err.contains("panicked"), "{}", said.err);
        let ending = match said.code {
            0 => String::new(),
            code => format!("[exit {code}]\n"),
        };
        let text = format!(
            "$ trayful {}\n{}{}{ending}",
            words.join(" "),
            said.out,
            said.err
        );
        text.replace(&self.path().display().to_string(), "HOME")
    }

    /// Every row of every table, so that two records can be compared.
    pub(crate) fn rows(&self) -> BTreeMap<String, Vec<Vec<String>>> {
        rows(&self.record())
    }

    /// The rows in force, without the changes that led to them.
    pub(crate) fn in_force(&self) -> BTreeMap<String, Vec<Vec<String>>> {
        in_force(&self.record())
    }

    /// The first column of the rows of a query.
    pub(crate) fn texts(&self, sql: &str) -> Vec<String> {
        let connection = Connection::open(self.record()).unwrap();
        let mut select = connection.prepare(sql).unwrap();
        let rows = select.query_map([], |row| row.get::<_, String>(0)).unwrap();
        rows.map(Result::unwrap).collect()
    }

    /// The files of the folder and what is in them.
    pub(crate) fn files(&self) -> BTreeMap<PathBuf, Vec<u8>> {
        files(self.path())
    }
}

fn quoted(word: &str) -> String {
    if word.contains([' ', '#']) || word.is_empty() {
        format!("\"{word}\"")
    } else {
        word.to_string()
    }
}

/// The files directly in a folder, and what is in them.
pub(crate) fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    std::fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .filter(|path| path.is_file())
        .map(|path| (path.clone(), std::fs::read(path).unwrap()))
        .collect()
}

/// The CSV files of an export, by name.
pub(crate) fn tables(folder: &Path) -> BTreeMap<String, String> {
    let files = files(folder).into_iter();
    files
        .map(|(path, bytes)| {
            let name = path.file_name().unwrap_or(OsStr::new("")).to_string_lossy();
            (name.into_owned(), String::from_utf8(bytes).unwrap())
        })
        .collect()
}

/// Every row of every table of a record, but for the words of the last command that recorded nothing.
pub(crate) fn rows(record: &Path) -> BTreeMap<String, Vec<Vec<String>>> {
    let connection = Connection::open(record).unwrap();
    let names: Vec<String> = connection
        .prepare(
            "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite%' \
                  AND name <> 'failed_command'",
        )
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    let rows = |name: &String| {
        let sql = format!("SELECT * FROM \"{name}\" ORDER BY 1");
        let mut select = connection.prepare(&sql).unwrap();
        let columns = select.column_count();
        let cells = |row: &rusqlite::Row<'_>| {
            let cell = |at| Ok(format!("{:?}", row.get::<_, Value>(at)?));
            (0..columns).map(cell).collect()
        };
        let rows = select.query_map([], cells).unwrap();
        rows.map(Result::unwrap).collect()
    };
    names
        .iter()
        .map(|name| (name.clone(), rows(name)))
        .collect()
}

/// The rows in force: all but those of the changes that led to them.
pub(crate) fn in_force(record: &Path) -> BTreeMap<String, Vec<Vec<String>>> {
    let mut rows = rows(record);
    rows.remove("change");
    if let Some(entries) = rows.get_mut("entry") {
        entries.retain(|entry| !entry.contains(&"Text(\"change\")".to_string()));
    }
    rows
}
