//! What is printed on paper: labels for the freezer and the kitchen card.

use std::collections::BTreeMap;

use tempfile::TempDir;
use trayful::report::{LabelSheet, Paper};

use super::support::{folder, trayful};

const BOOK: &str = "[[child]]\nname = \"Wren\"\nborn = \"2025-09-02\"\n\
                    [[tray]]\nname = \"sixteen\"\nwells = 16\nwell = \"30 ml\"\nfill = 0.9\n";
const HUMMUS: &str = "title = \"Chickpea <b>& \\\"sesame\\\"\"\n\
                      [[ingredient]]\nfood = \"16056\"\namount = \"200 g\"\nmethod = \"pressure\"\n\
                      [[ingredient]]\nfood = \"12166\"\namount = \"30 g\"\nmethod = \"none\"\n\
                      [liquid]\ncollected = \"350 ml\"\nreturned = \"200 ml\"\nadded = \"50 ml\"\n";
const SQUASH: &str = "title = \"Squash\"\n\
                      [[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\nmethod = \"steam\"\n";

/// A book with two batches in the freezer.
fn book() -> TempDir {
    let book = folder(&[
        ("book.toml", BOOK),
        ("recipes/hummus.toml", HUMMUS),
        ("recipes/squash.toml", SQUASH),
    ]);
    for recipe in ["hummus", "squash"] {
        let freeze = ["freeze", recipe, "--cubes", "16", "--on", "2026-04-12"];
        trayful(&freeze).inside(book.path()).answer();
    }
    book
}

fn labels(book: &TempDir, options: &[&str]) -> String {
    let args = [&["labels", "--out", "-"], options].concat();
    trayful(&args).inside(book.path()).answer()
}

/// Left, top, width and height of a rule of the style, in millimetres.
fn millimetres(html: &str, rule: &str) -> BTreeMap<String, f64> {
    let start = html.find(&format!("\n{rule} {{")).unwrap();
    let rest = &html[start..];
    let body = rest.split_once('{').unwrap().1.split_once('}').unwrap().0;
    let lengths = body.split(';').filter_map(|one| {
        let (name, length) = one.split_once(':')?;
        let length = length.trim().strip_suffix("mm")?.parse().ok()?;
        Some((name.trim().to_string(), length))
    });
    lengths.collect()
}

/// Positions of the labels, page by page.
fn positions(html: &str) -> Vec<Vec<u32>> {
    let pages = html.split("<section class=\"sheet\">").skip(1);
    let on_page = |page: &str| {
        let labels = page.split("class=\"label at").skip(1);
        labels
            .map(|label| label.split('"').next().unwrap().parse().unwrap())
            .collect()
    };
    pages.map(on_page).collect()
}

#[test]
fn labels_are_one_page_that_needs_nothing_beside_it() {
    let html = labels(&book(), &["--sheet", "a4-2x7", "--start", "2"]);
    insta::assert_snapshot!(html);
    assert_self_contained(&html);
}

#[test]
fn a_test_page_shows_every_sticker() {
    let html = labels(&book(), &["--sheet", "letter-2x5", "--test-page"]);
    let pages: Vec<_> = html.split("<section").collect();
    assert_eq!(pages.len(), 3);
    assert_eq!(pages[1].matches("class=\"label outline").count(), 10);
    assert_eq!(html.matches("aria-label=\"A bar of 100 mm\"").count(), 2);
}

#[test]
fn every_label_lies_on_the_page_and_on_no_other() {
    let book = book();
    for sheet in LabelSheet::builtin().unwrap() {
        for start in 1..=sheet.labels() {
            let copies = sheet.labels().to_string();
            let start_text = start.to_string();
            let options = ["--sheet", &sheet.name, "--start", &start_text];
            let html = labels(&book, &[&options[..], &["1", "--copies", &copies]].concat());
            let pages = positions(&html);
            let whole: Vec<u32> = (start..=sheet.labels()).collect();
            assert_eq!(pages[0], whole, "{} from {start}", sheet.name);
            let rest: Vec<u32> = (1..start).collect();
            assert_eq!(pages.get(1).cloned().unwrap_or_default(), rest);
            for page in &pages {
                assert_apart(&html, page, sheet.page);
            }
        }
    }
}

fn assert_apart(html: &str, page: &[u32], paper: Paper) {
    let size = millimetres(html, ".label");
    let (width, height) = (size["width"], size["height"]);
    let corners: Vec<_> = page
        .iter()
        .map(|at| {
            let corner = millimetres(html, &format!(".at{at}"));
            (corner["left"], corner["top"])
        })
        .collect();
    for (at, (left, top)) in corners.iter().enumerate() {
        assert!(*left >= 0.0 && *top >= 0.0);
        assert!(left + width <= paper.width_mm() && top + height <= paper.height_mm());
        for (other_left, other_top) in &corners[..at] {
            let beside = (left - other_left).abs() >= width - 0.001;
            let under = (top - other_top).abs() >= height - 0.001;
            assert!(beside || under, "two labels at {left}, {top}");
        }
    }
}

#[test]
fn names_are_escaped_everywhere() {
    let book = book();
    let html = labels(&book, &[]);
    let card = trayful(&["card", "hummus", "--out", "-"])
        .inside(book.path())
        .answer();
    for page in [html, card] {
        assert!(page.contains("Chickpea &#60;b&#62;&#38; &#34;sesame&#34;"));
        assert!(!page.contains("Chickpea <b>"));
    }
}

#[test]
fn what_cannot_be_labelled_is_refused() {
    let book = book();
    for options in [
        &["--sheet", "letter-3x11"][..],
        &["--start", "31"],
        &["--start", "0"],
        &["#9", "one"],
        &["--out", "no/such/folder/labels.html"],
    ] {
        let args = [&["labels"], options].concat();
        insta::assert_snapshot!(trayful(&args).inside(book.path()).refusal());
        assert!(!book.path().join("labels.html").exists());
    }
}

#[test]
fn an_empty_freezer_has_nothing_to_label() {
    let book = folder(&[("book.toml", BOOK)]);
    let said = trayful(&["labels"]).inside(book.path()).said();
    assert_eq!((said.code, said.err.as_str()), (1, ""));
    assert_eq!(
        said.out,
        "The freezer is empty: there is nothing to label.\n"
    );
    assert!(!book.path().join("labels.html").exists());
}

#[test]
fn pages_are_written_whole_and_nothing_else_is() {
    let book = book();
    let before = files(&book);
    let said = trayful(&["labels", "#2", "--copies", "31"])
        .inside(book.path())
        .answer();
    insta::assert_snapshot!(said);
    let said = trayful(&["card", "squash"]).inside(book.path()).answer();
    insta::assert_snapshot!(said);
    let mut after = before;
    after.extend(["card.html".to_string(), "labels.html".to_string()]);
    after.sort();
    assert_eq!(files(&book), after);
    for name in ["card.html", "labels.html"] {
        let html = std::fs::read_to_string(book.path().join(name)).unwrap();
        assert!(html.ends_with("</html>"), "{name}");
    }
}

fn files(book: &TempDir) -> Vec<String> {
    let entries = std::fs::read_dir(book.path()).unwrap();
    let name = |entry: std::io::Result<std::fs::DirEntry>| entry.unwrap().file_name();
    let mut names: Vec<_> = entries
        .map(|entry| name(entry).into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn the_kitchen_card_is_one_page_that_needs_nothing_beside_it() {
    let book = book();
    let args = [
        "card",
        "hummus",
        "--trays",
        "2",
        "--on",
        "2026-11-24",
        "--out",
        "-",
    ];
    let html = trayful(&args).inside(book.path()).answer();
    insta::assert_snapshot!(html);
    assert_self_contained(&html);
}

#[test]
fn a_card_takes_a_file_an_age_and_a_paper() {
    let card = |options: &[&str]| {
        let recipe = "demo/recipes/chicken-liver-white-bean.toml";
        trayful(&[&["card", recipe, "--out", "-"], options].concat()).answer()
    };
    let letter = card(&["--age", "14"]);
    assert!(letter.contains("size: letter;") && letter.contains("a child of 14 months"));
    assert!(card(&["--paper", "a4"]).contains("size: A4;"));
    assert!(letter.contains("until 74 C (165 F) in the middle"));
    assert!(letter.contains("not more than once a week"));
    let long = letter.find("Boil, 2 to 2 1/2 h").unwrap();
    assert!(
        long < letter.find("Steam, 15 to 20 min").unwrap(),
        "the longest pot first"
    );
}

#[test]
fn a_card_of_nothing_is_refused() {
    let book = book();
    for recipe in ["squish", "no-such-file.toml"] {
        insta::assert_snapshot!(trayful(&["card", recipe]).inside(book.path()).refusal());
    }
    assert!(!book.path().join("card.html").exists());
}

/// Inline style, no script, and nothing that is fetched.
fn assert_self_contained(html: &str) {
    assert!(html.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
    for lacking in [
        "<script", "http:", "https:", "src=", "url(", "@import", "<link",
    ] {
        assert!(!html.contains(lacking), "{lacking}");
    }
    let title = html.split("<title>").nth(1).unwrap();
    assert!(!title.starts_with('<'));
}
