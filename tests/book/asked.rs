//! What is asked on a terminal, and what becomes of each answer.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use super::household::Household;
use super::support::{Said, TODAY, said};

/// Runs the program on a terminal on which a person types these lines, then the keys that say that
/// nothing more is typed; what it says is all that the terminal shows. `script` (util-linux, a part
/// of every Linux system) makes the terminal.
fn on_a_terminal(folder: &Path, args: &[&str], typed: &str) -> Said {
    let quoted = |word: &&str| format!("'{}'", word.replace('\'', "'\\''"));
    let words: Vec<_> = [env!("CARGO_BIN_EXE_trayful")]
        .iter()
        .chain(args)
        .map(quoted)
        .collect();
    let mut running = Command::new("script")
        .args([
            "--quiet",
            "--return",
            "--command",
            &words.join(" "),
            "/dev/null",
        ])
        .current_dir(folder)
        .env_clear()
        .env("TRAYFUL_TODAY", TODAY)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut keys = running.stdin.take().unwrap();
    keys.write_all(typed.as_bytes()).unwrap();
    drop(keys);
    let shown = said(&running.wait_with_output().unwrap());
    Said {
        out: shown.out.replace("\r\n", "\n"),
        ..shown
    }
}

const MEAL: [&str; 6] = ["serve", "2 squash", "--on", "2026-11-26", "--meal", "lunch"];

/// Squash in the freezer, and a lunch of it on record.
fn after_lunch() -> Household {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--cubes", "12", "--on", "2026-11-20"]);
    home.answer(&MEAL);
    home
}

fn at_the_terminal(home: &Household, args: &[&str], typed: &str) -> Said {
    on_a_terminal(home.path(), args, typed)
}

/// The number of rows of a table of the record.
fn rows(home: &Household, table: &str) -> i64 {
    let record = rusqlite::Connection::open(home.record()).unwrap();
    let sql = format!("SELECT count(*) FROM {table}");
    record.query_row(&sql, [], |row| row.get(0)).unwrap()
}

#[test]
fn a_meal_that_is_on_record_is_asked_about_before_it_is_recorded_again() {
    let home = after_lunch();
    for (typed, code, meals) in [("no\n", 1, 1), ("", 1, 1), ("yes\n", 0, 2)] {
        let said = at_the_terminal(&home, &MEAL, typed);
        for words in [
            "is written down already, as entry 2.",
            "Write it down once more?",
        ] {
            assert!(said.out.contains(words), "{typed}: {}", said.out);
        }
        assert_eq!(said.code, code, "{typed}: {}", said.out);
        assert_eq!(
            said.out.contains("Nothing was recorded."),
            code == 1,
            "{}",
            said.out
        );
        assert_eq!(rows(&home, "feeding"), meals, "{typed}: {}", said.out);
    }
}

#[test]
fn a_meal_that_is_not_on_record_is_not_asked_about() {
    let home = after_lunch();
    let supper = [
        "serve",
        "2 squash",
        "--on",
        "2026-11-26",
        "--meal",
        "supper",
    ];
    let said = at_the_terminal(&home, &supper, "no\n");
    assert!(!said.out.contains("once more"), "{}", said.out);
    assert_eq!((said.code, rows(&home, "feeding")), (0, 2));
}

#[test]
fn what_should_not_be_given_is_recorded_only_after_a_yes() {
    let home = Household::new();
    let honey = ["serve", "5 g honey", "--on", "2026-11-26"];
    let question = "Record it anyway? Type yes, or anything else to leave it:";
    for (typed, code, meals) in [("y\n", 1, 0), ("", 1, 0), ("yes\n", 0, 1)] {
        let said = at_the_terminal(&home, &honey, typed);
        let (stop, asked) = (said.out.find("STOP"), said.out.find(question));
        assert!(
            stop.is_some() && stop < asked,
            "the objection comes first: {}",
            said.out
        );
        assert_eq!(
            (said.code, rows(&home, "feeding")),
            (code, meals),
            "{typed}: {}",
            said.out
        );
    }
    let meant = [&honey[..], &["--meal", "lunch", "--anyway"]].concat();
    let said = at_the_terminal(&home, &meant, "");
    assert!(!said.out.contains(question), "{}", said.out);
    assert_eq!((said.code, rows(&home, "feeding")), (0, 2), "{}", said.out);
}

#[test]
fn a_food_that_is_not_clear_is_asked_about_and_the_choice_is_kept() {
    let home = Household::new();
    let squash = ["buy", "300 g squash", "2.00"];
    let left = at_the_terminal(&home, &squash, "\n");
    assert!(left.out.contains("Which number?"), "{}", left.out);
    assert_eq!((left.code, rows(&home, "purchase")), (2, 0), "{}", left.out);
    let chosen = at_the_terminal(&home, &squash, "1\n");
    assert!(chosen.out.contains("Which number?"), "{}", chosen.out);
    assert!(chosen.out.contains("(11485)"), "{}", chosen.out);
    assert_eq!(
        (chosen.code, rows(&home, "purchase")),
        (0, 1),
        "{}",
        chosen.out
    );
    let again = at_the_terminal(&home, &squash, "");
    assert!(!again.out.contains("Which number?"), "{}", again.out);
    assert_eq!(
        (again.code, rows(&home, "purchase")),
        (0, 2),
        "{}",
        again.out
    );
}

#[test]
fn an_undo_names_the_entry_and_takes_a_no() {
    let home = after_lunch();
    for (typed, meals) in [("n\n", 1), ("\n", 0)] {
        let said = at_the_terminal(&home, &["undo"], typed);
        let asked = said.out.contains("entry 2:") && said.out.contains("Enter for yes, n for no:");
        assert!(asked, "{}", said.out);
        let standing = home.json(&["log", "--json"])["entries"]
            .as_array()
            .unwrap()
            .len();
        assert_eq!(standing, 1 + meals, "{typed}: {}", said.out);
    }
}

#[test]
fn a_book_is_started_by_two_answers() {
    let around = tempfile::tempdir().unwrap();
    let said = on_a_terminal(around.path(), &["start", "book"], "Wren\n2026-04-20\n");
    assert_eq!(said.code, 0, "{}", said.out);
    let settings = std::fs::read_to_string(around.path().join("book/book.toml")).unwrap();
    assert!(
        settings.contains("Wren") && settings.contains("2026-04-20"),
        "{settings}"
    );
    let said = on_a_terminal(around.path(), &["start", "other"], "");
    assert_eq!(said.code, 2, "{}", said.out);
    assert!(!around.path().join("other/book.toml").exists());
}
