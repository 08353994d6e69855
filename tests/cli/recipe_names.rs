//! A recipe by less than its whole name: what is taken, what is said of it, and what is refused.

use std::path::Path;

use tempfile::TempDir;

use super::support::{Said, folder, trayful};

const BOOK: &str = "[[child]]\nname = \"Wren\"\nborn = \"2025-09-02\"\n";

fn recipe(title: &str) -> String {
    format!(
        "title = \"{title}\"\n[[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\nmethod = \"steam\"\n"
    )
}

/// A book of four recipes, one of them not in order, and cubes of one.
fn book() -> TempDir {
    let (lentil, squash, pear) = (
        recipe("Red lentil and squash"),
        recipe("Plain squash"),
        recipe("Pear, oat"),
    );
    let book = folder(&[
        ("book.toml", BOOK),
        ("recipes/red-lentil-squash.toml", &lentil),
        ("recipes/squash.toml", &squash),
        ("recipes/breakfast.toml", &pear),
        ("recipes/broken.toml", "title = \"Plain\n"),
    ]);
    let freeze = ["freeze", "squash", "--cubes", "8", "--on", "2026-04-12"];
    trayful(&freeze).inside(book.path()).answer();
    book
}

fn said(book: &Path, args: &[&str]) -> Said {
    trayful(args).inside(book).said()
}

/// Standard error and exit code of each command, and the first line of its answer.
fn told(book: &TempDir, commands: &[&[&str]]) -> String {
    let told = commands.iter().map(|args| {
        let Said { code, out, err } = said(book.path(), args);
        let err = err.replace(&book.path().display().to_string(), "FOLDER");
        let first = out.lines().next().unwrap_or_default();
        format!(
            "$ trayful {}\n{err}{first}\n[exit {code}]\n",
            args.join(" ")
        )
    });
    told.collect::<Vec<_>>().join("\n")
}

/// Each command that takes a recipe, with `NAME` in its place; each is a copy of the book's own.
const COMMANDS: [&[&str]; 10] = [
    &["batch", "NAME"],
    &["card", "NAME", "--out", "-"],
    &["freeze", "NAME", "--cubes", "8", "--on", "2026-04-13"],
    &["mix", "1 NAME", "--on", "2026-04-13"],
    &["mix", "30 g 01116", "--add", "1 NAME", "--on", "2026-04-13"],
    &["serve", "1 NAME", "--on", "2026-04-13"],
    &["discard", "1 NAME", "--on", "2026-04-13"],
    &["labels", "NAME", "--out", "-"],
    &["plan", "set", "2026-04-14", "lunch", "1 NAME"],
    &["plan", "set", "2026-04-14", "--cook", "1 NAME"],
];

fn naming<'a>(command: &[&str], name: &str, words: &'a mut Vec<String>) -> Vec<&'a str> {
    *words = command
        .iter()
        .map(|word| word.replace("NAME", name))
        .collect();
    words.iter().map(String::as_str).collect()
}

#[test]
fn every_command_takes_a_name_in_full_in_silence_whatever_its_case_and_hyphens() {
    for name in [
        "squash",
        "squash.toml",
        "Squash",
        "Plain Squash",
        "plain-squash",
    ] {
        let book = book();
        for command in COMMANDS {
            let mut words = Vec::new();
            let args = naming(command, name, &mut words);
            let Said { code, err, .. } = said(book.path(), &args);
            assert_eq!((code, err.as_str()), (0, ""), "{args:?}");
        }
    }
}

#[test]
fn every_command_states_which_recipe_a_part_of_a_name_was_taken_as() {
    let book = book();
    for command in COMMANDS {
        let mut words = Vec::new();
        let args = naming(command, "plain-sq", &mut words);
        let Said { code, err, .. } = said(book.path(), &args);
        let note = "note: “plain-sq” was taken as squash\n";
        assert_eq!((code, err.as_str()), (0, note), "{args:?}");
    }
}

#[test]
fn json_of_a_meal_holds_which_recipe_was_meant() {
    let book = book();
    let args = ["serve", "1 plain-sq", "--json", "--on", "2026-04-13"];
    let answer: serde_json::Value = serde_json::from_str(&said(book.path(), &args).out).unwrap();
    assert_eq!(answer["taken_as"][0], "“plain-sq” was taken as squash");
}

#[test]
fn no_command_takes_a_misspelling_or_one_of_several_and_none_records_anything() {
    let book = book();
    let export = |to: &str| {
        let folder = book.path().join(to);
        let export = ["book", "export", folder.to_str().unwrap()];
        trayful(&export).inside(book.path()).answer();
        std::fs::read_to_string(folder.join("entry.csv")).unwrap()
    };
    let before = export("before");
    for command in COMMANDS {
        for (name, reason) in [
            ("sqash", "did you mean “squash”?"),
            ("br", "more than one"),
            ("wombat", "choose from"),
        ] {
            let mut words = Vec::new();
            let args = naming(command, name, &mut words);
            let Said { code, out, err } = said(book.path(), &args);
            assert_eq!((code, out.as_str()), (2, ""), "{args:?}");
            assert!(err.contains(reason), "{args:?}: {err}");
        }
    }
    assert_eq!(export("after"), before);
}

#[test]
fn a_refusal_names_the_nearest_and_gives_the_command_to_paste() {
    insta::assert_snapshot!(told(
        &book(),
        &[
            &["batch", "red-lentl", "--trays", "2"],
            &["batch", "pear", "--trays", "2"],
            &["batch", "broken"],
            &["serve", "1 wombat, 2 sqaush", "--on", "2026-04-13"],
            &["serve", "2 sqaush, 30 g 01116", "--on", "2026-04-13"],
            &["batch", "recipes/sqash.toml"],
            &["batch", "elsewhere/sqash.toml"],
            &["serve", "1 red-lentil-squash", "--on", "2026-04-13"],
            &["labels", "red-lentil-squash"],
            &["serve", "2 g"],
            &["serve", "1 squash", "--child", "Wrne", "--on", "2026-04-13"],
        ]
    ));
}

#[test]
fn outside_a_book_a_name_is_no_file() {
    let nowhere = folder(&[("squash.toml", &recipe("Squash"))]);
    insta::assert_snapshot!(told(
        &nowhere,
        &[
            &["batch", "squash"],
            &["card", "lentil"],
            &["freeze", "squash.toml"]
        ]
    ));
}

#[test]
fn without_a_recipe_a_command_says_what_it_takes() {
    let (book, nowhere) = (book(), folder(&[]));
    let bare: [&[&str]; 3] = [&["batch"], &["card"], &["batch", "--trays", "2"]];
    let (inside, outside) = (told(&book, &bare), told(&nowhere, &bare));
    insta::assert_snapshot!(format!("{inside}\n{outside}"));
}

#[test]
fn a_meal_is_known_by_its_beginning_and_supper_by_dinner() {
    let book = book();
    insta::assert_snapshot!(told(
        &book,
        &[
            &[
                "serve",
                "1 squash",
                "--meal",
                "Dinner",
                "--on",
                "2026-04-13"
            ],
            &["serve", "1 squash", "--meal", "br", "--on", "2026-04-13"],
            &["plan", "set", "2026-04-14", "dinner", "1 squash"],
            &["serve", "--meal", "sup", "--on", "2026-04-14"],
            &["serve", "1 squash", "--meal", "tea", "--on", "2026-04-13"],
            &["serve", "1 squash", "--meal", "lnch", "--on", "2026-04-13"],
        ]
    ));
    let meals = format!("meals = [\"lunch\", \"dinner\", \"supper\"]\n{BOOK}");
    std::fs::write(book.path().join("book.toml"), meals).unwrap();
    let dinner = [
        "serve",
        "1 squash",
        "--meal",
        "dinner",
        "--on",
        "2026-04-13",
    ];
    trayful(&dinner).inside(book.path()).answer();
}
