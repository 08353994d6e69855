//! `trayful batch --add ... --save NAME`: what was tried becomes a recipe of the book.

use serde_json::Value;

use super::support::{folder, trayful};

const BOOK: &str = "[[child]]\nname = \"Wren\"\nborn = \"2025-09-02\"\n";
const TRIED: [&str; 13] = [
    "batch",
    "--add",
    "600 g 11485 steam",
    "--add",
    "1/3 cup 16144 boil edible",
    "--returned",
    "100ml/300ml",
    "--added",
    "50ml",
    "--weighed",
    "690g",
    "--on",
    "2026-04-13",
];

fn figures(answer: &str) -> Value {
    let mut figures: Value = serde_json::from_str(answer).unwrap();
    // Where the figures were written stands in them as a note, and only a recipe of the book has a comparison.
    for key in ["recipe", "cost", "notes"] {
        figures.as_object_mut().unwrap().remove(key);
    }
    figures
}

#[test]
fn what_was_tried_is_written_as_a_recipe_and_makes_the_same_batch() {
    let book = folder(&[("book.toml", BOOK)]);
    let save = [&TRIED[..], &["--save", "red-lentil-squash"]].concat();
    let answer = trayful(&save).inside(book.path()).answer();
    let last: Vec<_> = answer.lines().rev().take(1).collect();
    let text = std::fs::read_to_string(book.path().join("recipes/red-lentil-squash.toml")).unwrap();
    insta::assert_snapshot!(format!("{}\n\n{text}", last.join("\n")));

    let tried = [&TRIED[..], &["--json"]].concat();
    let tried = trayful(&tried).inside(book.path()).answer();
    let again = ["batch", "red-lentil-squash", "--json", "--on", "2026-04-13"];
    let again = trayful(&again).inside(book.path()).answer();
    assert_eq!(figures(&again), figures(&tried));
    let freeze = [
        "freeze",
        "red-lentil-squash",
        "--trays",
        "2",
        "--on",
        "2026-04-13",
    ];
    trayful(&freeze).inside(book.path()).answer();
}

/// The scale shows the batch that was cooked, scaled or not: for `batch` as for `freeze`.
#[test]
fn the_scale_shows_the_batch_of_the_size_that_was_cooked() {
    let book = folder(&[("book.toml", BOOK)]);
    let tried = ["batch", "--add", "600 g 11485 steam", "--on", "2026-04-13"];
    trayful(&[&tried[..], &["--save", "b"]].concat())
        .inside(book.path())
        .answer();
    let size = [
        "--trays",
        "2",
        "--weighed",
        "900g",
        "--json",
        "--on",
        "2026-04-13",
    ];
    let typed = [&tried[..3], &size[..]].concat();
    let typed = trayful(&typed).inside(book.path()).said().out;
    let of_book = [&["batch", "b"][..], &size[..]].concat();
    let of_book = trayful(&of_book).inside(book.path()).said().out;
    assert_eq!(figures(&typed), figures(&of_book));
    let save = [&tried[..3], &size[..4], &["--save", "c"]].concat();
    let saved = trayful(&save).inside(book.path()).said().out;
    assert!(
        saved.contains("freeze c --trays 2 --weighed 900g"),
        "{saved}"
    );
}

#[test]
fn a_title_gives_the_file_its_name_and_json_stays_alone_on_standard_output() {
    let book = folder(&[("book.toml", BOOK)]);
    let save = [&TRIED[..3], &["--json", "--save", "Wren's \"gold\""]].concat();
    let said = trayful(&save).inside(book.path()).said();
    let figures: Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!(figures["recipe"], "Wren's \"gold\"");
    assert_eq!(said.code, 0);
    let note = "note: Saved as recipes/wren-s-gold.toml, in the amounts that were typed. Freeze\nit: trayful freeze wren-s-gold\n";
    assert_eq!(said.err, note);
}

#[test]
fn nothing_is_written_over_and_nothing_is_saved_without_a_book_or_a_name() {
    let book = folder(&[("book.toml", BOOK), ("recipes/squash.toml", "mine")]);
    let nowhere = folder(&[]);
    let save = |name: &'static str| [&TRIED[..3], &["--save", name]].concat();
    let told = [
        trayful(&save("squash")).inside(book.path()).refusal(),
        trayful(&save("../squash")).inside(book.path()).refusal(),
        trayful(&save("...")).inside(book.path()).refusal(),
        trayful(&save("squash")).inside(nowhere.path()).refusal(),
        trayful(
            &[
                &TRIED[..1],
                &["--add", "600 g 99999 steam", "--save", "new"],
            ]
            .concat(),
        )
        .inside(book.path())
        .refusal(),
    ];
    insta::assert_snapshot!(told.join("\n"));
    let mine = std::fs::read_to_string(book.path().join("recipes/squash.toml"));
    assert_eq!(mine.unwrap(), "mine");
    assert_eq!(
        std::fs::read_dir(book.path().join("recipes"))
            .unwrap()
            .count(),
        1
    );
    assert_eq!(std::fs::read_dir(nowhere.path()).unwrap().count(), 0);
}

/// Whatever size was calculated, the command that is printed freezes a batch of just that size.
#[test]
fn the_command_to_freeze_makes_what_was_calculated() {
    for (at, size) in [
        &["--tray", "9x20ml", "--cubes", "18"][..],
        &["--tray", "9x20ml", "--fill", "0.8", "--trays", "2"],
        &["--servings", "5"],
        &["--use-up", "1 kg 11485"],
        &[],
    ]
    .iter()
    .enumerate()
    {
        let book = folder(&[("book.toml", BOOK)]);
        let tried = ["batch", "--add", "600 g 11485 steam", "--on", "2026-04-13"];
        let tried = [&tried[..], size].concat();
        let json = trayful(&[&tried[..], &["--json"]].concat()).inside(book.path());
        let json: Value = serde_json::from_str(&json.answer()).unwrap();
        let save = [&tried[..], &["--save", "b"]].concat();
        let said = trayful(&save).inside(book.path()).answer();
        let command = said.split("Freeze it: trayful ").nth(1).unwrap();
        let mut words: Vec<&str> = Vec::new();
        for (odd, part) in command.trim().split('"').enumerate() {
            match odd % 2 {
                0 => words.extend(part.split_whitespace()),
                _ => words.push(part),
            }
        }
        words.extend(["--on", "2026-04-13", "--json"]);
        let frozen = trayful(&words).inside(book.path()).said();
        let frozen: Value = serde_json::from_str(&frozen.out).unwrap();
        assert_eq!(frozen["cubes"], json["cubes"]["whole"], "{at}: {words:?}");
        let each = |value: &Value| value.as_f64().unwrap();
        let (mine, told) = (each(&frozen["cube_g"]), each(&json["cubes"]["cube_g"]));
        assert!((mine - told).abs() < 1e-6, "{at}: {mine} {told}");
    }
}
