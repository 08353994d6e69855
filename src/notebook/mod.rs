//! The household's book: for now its trays, from `book.toml`.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::portion::Tray;
use crate::problem::{Located, Problem, SourceText};
use crate::quantity::{Amount, AmountError, Volume};
use crate::strict_toml::StrictTable;

/// The file that makes a folder a book.
const FILE: &str = "book.toml";

/// A household's book.
#[derive(Debug, Clone, Default)]
pub struct Book {
    /// Its trays, in the order of the file.
    pub trays: Vec<Tray>,
}

impl Book {
    /// The nearest folder above `path` that is a book.
    pub fn folder_of(path: &Path) -> Option<PathBuf> {
        path.ancestors()
            .skip(1)
            .find(|folder| folder.join(FILE).is_file())
            .map(Path::to_path_buf)
    }

    /// Reads the book in `folder`.
    pub fn read(folder: &Path) -> Result<Self, Vec<Problem>> {
        let path = folder.join(FILE);
        let name = path.display().to_string();
        let text = std::fs::read_to_string(&path).map_err(|error| {
            vec![
                Problem::new(format!("cannot read the book `{name}`: {error}"))
                    .hint("a book is a folder with a `book.toml`, saved as UTF-8 text"),
            ]
        })?;
        Self::parse(&SourceText::new(name, text))
    }

    /// Reads a book from a text.
    pub fn parse(source: &Arc<SourceText>) -> Result<Self, Vec<Problem>> {
        let mut document = StrictTable::parse("a book", source).map_err(|problem| vec![problem])?;
        let trays: Option<Vec<_>> = document
            .tables("tray", "a tray")
            .into_iter()
            .map(tray)
            .collect();
        document.finish_document(trays.map(|trays| Self { trays }))
    }

    /// The tray of this name.
    pub fn tray(&self, name: &str) -> Option<&Tray> {
        self.trays.iter().find(|tray| tray.name == name)
    }
}

fn tray(mut table: StrictTable<'_>) -> Option<Tray> {
    let usual = Tray::usual();
    let name = table.required("name", "name the tray, such as name = \"blue\"");
    let wells = table.whole("wells");
    let well = table.parsed("well", |text| {
        let volume = text.parse().and_then(|amount: Amount| amount.volume());
        volume.map_err(|error: AmountError| (error.to_string(), error.hint()))
    });
    let fill = table.number("fill");
    let place = table.place().clone();
    let place = fill
        .as_ref()
        .and_then(|fill| fill.place.clone())
        .unwrap_or(place);
    let value = |volume: &Option<Located<Volume>>| volume.as_ref().map(|volume| volume.value);
    let tray = Tray {
        name: name?.value,
        wells: wells.map_or(usual.wells, |wells| wells.value),
        well: value(&well).unwrap_or(usual.well),
        fill: fill.map_or(usual.fill, |fill| fill.value),
    };
    let checked = tray.checked();
    if let Err(error) = &checked {
        table.report(Problem::at(place, error.to_string()).hint(error.hint()));
    }
    table.finish();
    checked.ok()
}
