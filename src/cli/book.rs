//! `trayful start`, `trayful book`: making and keeping a book.

use std::io::{BufRead as _, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use trayful::day::{DayReader, DayUse};
use trayful::household::{AllergyReading, orphans, read_allergies};
use trayful::notebook::{Book, FirstTray, NewBook, SETTINGS_BEFORE, Store};
use trayful::problem::Problem;
use trayful::report::Page;
use trayful::safety::listed_allergies;
use trayful::words::{counted, joined};

use super::again::quoted;
use super::failure::Failure;
use super::next_command::with_command;
use super::{Answer, Session};

#[derive(Debug, Args)]
pub(super) struct StartArgs {
    /// The folder of the new book; it is made where it is not there
    folder: PathBuf,
    /// The child's name
    #[arg(long, value_name = "NAME")]
    child: Option<String>,
    /// The child's day of birth
    #[arg(long, value_name = "DAY")]
    born: Option<String>,
    /// The child's weight, such as "8.2 kg"
    #[arg(long, value_name = "MASS")]
    weight: Option<String>,
    /// How milk is fed, in your own words
    #[arg(long, value_name = "WORDS")]
    milk: Option<String>,
    /// Every known allergy, with commas between them, such as "egg, peanut"
    #[arg(long, value_name = "FOODS")]
    allergies: Option<String>,
    /// Wells of your tray and what one holds, such as 16x30ml
    #[arg(long, value_name = "WELLSxVOLUME", default_value = "16x30ml")]
    tray: String,
    /// Currency of every price
    #[arg(long, value_name = "CODE", default_value = "USD")]
    currency: String,
}

/// Starts a book.
pub(super) fn start(args: &StartArgs, session: &Session) -> Result<Answer, Failure> {
    let child = asked(args.child.clone(), "the child's name", "--child")?;
    let born = asked(args.born.clone(), "the child's day of birth", "--born")?;
    let reader = DayReader::new(session.today(), DayUse::Birth);
    let born = session.day("--born", &born, &reader)?;
    let (wells, well) = args
        .tray
        .split_once(['x', 'X'])
        .unwrap_or((&args.tray, "30ml"));
    let wells = wells.trim().parse().map_err(|_| {
        Problem::new(format!("“{}” is not a tray", args.tray))
            .hint("write wells and volume, such as --tray 16x30ml")
    })?;
    let new = NewBook {
        child,
        born,
        weight: args.weight.clone(),
        milk: args.milk.clone(),
        allergies: args
            .allergies
            .as_deref()
            .map_or_else(Vec::new, listed_allergies),
        tray: FirstTray {
            name: "tray".into(),
            wells,
            well: well.trim().to_string(),
        },
        currency: args.currency.clone(),
    };
    let book = Book::start(&args.folder, &new)?;
    let folder = book.folder.display();
    let allergies = match new.allergies.as_slice() {
        [] => format!(
            "No allergy of {} is on record; one is written down with `trayful child set {} --allergies FOODS` there.",
            new.child,
            quoted(&new.child)
        ),
        all => {
            let read = read_allergies(&session.pantry(None)?, all)?;
            joined(read.into_iter().flat_map(AllergyReading::sentences), "\n")
        }
    };
    Ok(session.paragraph(&format!(
        "Started a book for {} in {folder}.\n\
         {allergies}\n\
         What it says of the household is in {folder}/book.toml: read it once, add to it.\n\
         Next: put recipes into {folder}/recipes, then `trayful freeze RECIPE` there.",
        new.child
    )))
}

/// The value of an option, else the answer on the terminal; without either, an error that names the option.
fn asked(given: Option<String>, question: &str, option: &str) -> Result<String, Failure> {
    if let Some(given) = given {
        return Ok(given);
    }
    let missing =
        || Problem::new(format!("{question} is needed")).hint(format!("say it with {option}"));
    let stdin = std::io::stdin();
    if !stdin.is_terminal() {
        return Err(missing().into());
    }
    let mut line = String::new();
    let read =
        write!(std::io::stderr(), "{question}: ").and_then(|()| stdin.lock().read_line(&mut line));
    match read {
        Ok(_) if !line.trim().is_empty() => Ok(line.trim().to_string()),
        _ => Err(missing().into()),
    }
}

#[derive(Debug, Args)]
pub(super) struct BookArgs {
    #[command(subcommand)]
    action: BookAction,
}

#[derive(Debug, Subcommand)]
enum BookAction {
    /// Write the whole book as plain files into a folder: the record, the settings, recipes and own foods
    Export {
        /// The folder; it is made where it is not there
        folder: PathBuf,
    },
    /// Read an export, or the record of a backup, into a book that has no entries yet; the settings
    /// of an export take the place of those of the book
    Import {
        /// The folder of the export, or the file of the backup
        folder: PathBuf,
    },
    /// Look for damage
    Check,
    /// Copy the record as it is at this moment, for `trayful book import` to read back; settings,
    /// recipes and own foods are files of their own
    Backup {
        /// The file to write; it may not be there yet
        file: PathBuf,
    },
}

/// Keeps a book.
pub(super) fn keep(args: &BookArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    if book.lacks_record() && !matches!(args.action, BookAction::Import { .. }) {
        let what = "this book has no record: nothing was written down yet, or book.sqlite is gone";
        let hint = "if it is gone, put it back, or read a backup or an export in with `trayful book import` before anything is written down";
        return Err(Problem::new(what).hint(hint).into());
    }
    let mut store = book.store()?;
    match &args.action {
        BookAction::Export { folder } => exported(&book, &store, folder, session),
        BookAction::Import { folder: copy } if copy.is_file() => {
            let entries = store.restore(copy)?;
            Ok(session.paragraph(&format!(
                "Read {} from {}. Children, recipes and own foods are those that this book has: `trayful book check` says what is missing.",
                counted(entries, "entry"),
                copy.display()
            )))
        }
        BookAction::Import { folder } => imported(&book, &mut store, folder, session),
        BookAction::Check => checked(&book, &store, session),
        BookAction::Backup { file } => {
            store.backup(file)?;
            Ok(session.paragraph(&format!(
                "Copied the record to {}. Children, recipes and own foods are not in it: `trayful book export FOLDER` has them. In a book without entries `trayful book import {}` reads it back.",
                file.display(),
                quoted(&file.display().to_string())
            )))
        }
    }
}

/// Writes the book into a folder, and names the recipes there that are not in the book.
fn exported(
    book: &Book,
    store: &Store,
    folder: &Path,
    session: &Session,
) -> Result<Answer, Failure> {
    let written = book.export(store, folder)?;
    let files = format!(
        "Wrote {} files into {}.",
        written.files.len(),
        folder.display()
    );
    let others = written.other_recipes.iter();
    let others = others.map(|path| path.display().to_string());
    Ok(match joined(others, ", ").as_str() {
        "" => session.paragraph(&files),
        others => session.paragraph(&format!(
            "{files} The folder has recipes too that are not in the book: {others}. Delete what you do not want: an import takes them in."
        )),
    })
}

/// Reads the export in a folder into the book.
fn imported(
    book: &Book,
    store: &mut Store,
    folder: &Path,
    session: &Session,
) -> Result<Answer, Failure> {
    let read = book.import(store, folder)?;
    let settings = if read.settings {
        format!(
            "Children, allergies, trays and rules are those of the export; where the book had others, these are kept in {SETTINGS_BEFORE}."
        )
    } else {
        "It has no book.toml: write down the children and their allergies with `trayful child`."
            .into()
    };
    Ok(session.paragraph(&format!(
        "Read {} and {} from {}. {settings}",
        counted(read.entries, "entry"),
        counted(read.recipes, "recipe"),
        folder.display()
    )))
}

/// Looks for damage: in the record, in the names of the settings, and in the allergies.
fn checked(book: &Book, store: &Store, session: &Session) -> Result<Answer, Failure> {
    let orphans = orphans(book, store)?;
    let orphans = orphans.iter().map(with_command);
    let mut wrong: Vec<String> = store.check()?.into_iter().chain(orphans).collect();
    for child in &book.settings.children {
        let read = read_allergies(&session.pantry(None)?, &child.allergies)?;
        let doubts = read.iter().flat_map(|reading| &reading.doubts);
        wrong.extend(doubts.map(|doubt| format!("{}: {doubt}", child.name)));
    }
    let mut page = Page::new(session.look);
    for problem in &wrong {
        page.paragraph(problem);
    }
    Ok(match wrong.as_slice() {
        [] => Answer::text("The book is sound.\n".into()),
        _ => Answer::no(page.finish()),
    })
}
