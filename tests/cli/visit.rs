//! The record for a visit: a page, a table, a JSON object. The household is invented.

use serde_json::Value;
use tempfile::TempDir;

use super::support::{folder, trayful};

const BOOK: &str = "[[child]]\nname = \"<b>&\\\"\"\nborn = \"2026-03-02\"\nweight = \"8.2 kg\"\n\
                    [[tray]]\nname = \"sixteen\"\nwells = 16\nwell = \"30 ml\"\nfill = 0.9\n";
const SQUASH: &str = "title = \"Squash & lentils\"\n\
                      [[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\nmethod = \"steam\"\n\
                      [[ingredient]]\nfood = \"16144\"\namount = \"150 g\"\nmethod = \"boil\"\n";

/// A book with four days on record, milk on the last three of them.
fn book() -> TempDir {
    let book = folder(&[("book.toml", BOOK), ("recipes/squash.toml", SQUASH)]);
    for said in [
        &["freeze", "squash", "--cubes", "20", "--on", "2026-10-04"][..],
        &[
            "serve",
            "2 squash",
            "--meal",
            "lunch",
            "--how",
            "some",
            "--on",
            "2026-10-05",
        ],
        &["milk", "breast 5 feeds", "--from", "2026-10-06"],
        &["serve", "2 squash", "--meal", "lunch", "--on", "2026-10-06"],
        &[
            "serve",
            "30 g 01116",
            "--on",
            "2026-10-06",
            "--reaction",
            "red <cheeks>",
        ],
        &[
            "serve",
            "1 squash",
            "--meal",
            "supper",
            "--how",
            "refused",
            "--on",
            "2026-10-08",
        ],
        &[
            "question",
            "Is <i>iron</i> & \"zinc\" enough?",
            "--on",
            "2026-10-07",
        ],
    ] {
        let said = trayful(said).inside(book.path()).said();
        assert_eq!(said.code, 0, "{}", said.err);
    }
    book
}

fn visit(book: &TempDir, options: &[&str]) -> String {
    let args = [&["visit", "--from", "2026-10-05"], options].concat();
    trayful(&args).inside(book.path()).answer()
}

fn page(book: &TempDir, to: &str) -> String {
    visit(book, &["--to", to, "-"])
}

#[test]
fn the_page_of_a_small_household() {
    insta::assert_snapshot!(page(&book(), "2026-10-08"));
}

#[test]
fn a_page_needs_nothing_beside_it_and_says_what_it_shows() {
    let book = book();
    // Day by day, and week by week.
    for to in ["2026-10-08", "2026-11-30"] {
        let html = page(&book, to);
        assert!(html.starts_with("<!DOCTYPE html>\n<html lang=\"en\">"));
        for lacking in [
            "<script", "http:", "https:", "src=", "href=", "url(", "@import", "<link", " style=",
            "NaN", " inf ",
        ] {
            assert!(!html.contains(lacking), "{lacking}");
        }
        let count = |tag: &str| html.matches(tag).count();
        assert_eq!(count("<h1>"), 1);
        assert_eq!(
            (count("<svg"), count("role=\"img\""), count("<title id=")),
            (10, 10, 10),
            "five drawings, each for a screen and for paper"
        );
        assert_eq!(count("<desc id="), 10);
        assert_eq!(count("<table"), count("<caption>"));
        assert_eq!(count("<tbody>"), 4);
        assert!(count("<th scope=\"col\">") > 12 && count("<th scope=\"row\">") > 12);
        assert!(html.contains("A record for discussion, not a diagnosis."));
        assert_ids_are_unique(&html);
    }
}

#[test]
fn without_a_complete_day_there_is_no_average_and_nothing_to_draw() {
    let book = folder(&[("book.toml", BOOK)]);
    let asked = ["question", "Enough iron?", "--on", "2026-10-07"];
    let said = trayful(&asked).inside(book.path()).said();
    assert_eq!(said.code, 0, "{}", said.err);
    let html = page(&book, "2026-10-08");
    assert!(html.contains("<li>No day is complete, so there is no average.</li>"));
    assert!(!html.contains("averages are over"));
    assert!(html.contains("<strong>Not written down:</strong> length, head"));
    // The calendar of meals alone, for a screen and for paper.
    assert_eq!(html.matches("<svg").count(), 2);
}

/// Every id stands once, and everything that is referred to is there.
fn assert_ids_are_unique(html: &str) {
    let values = |name: &str| -> Vec<String> {
        let name = format!(" {name}=\"");
        let parts = html.split(name.as_str()).skip(1);
        parts
            .map(|part| part.split('"').next().unwrap().to_string())
            .collect()
    };
    let ids = values("id");
    let mut once = ids.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), ids.len());
    for id in values("aria-labelledby")
        .iter()
        .flat_map(|ids| ids.split(' '))
    {
        assert!(ids.iter().any(|one| one == id), "{id}");
    }
}

#[test]
fn the_words_of_the_household_are_escaped() {
    let html = page(&book(), "2026-10-08");
    for raw in ["<b>", "<i>", "<cheeks>", "lentils\" "] {
        assert!(!html.contains(raw), "{raw}");
    }
    assert!(html.contains("<h1>&#60;b&#62;&#38;&#34;</h1>"));
    assert!(html.contains("Is &#60;i&#62;iron&#60;/i&#62; &#38; &#34;zinc&#34; enough?"));
    assert!(html.contains("Meals of &lt;b&gt;&amp;&quot;, day by day"));
}

#[test]
fn the_paper_is_letter_or_a4() {
    let book = book();
    assert!(page(&book, "2026-10-08").contains("size: letter;"));
    let html = visit(&book, &["--to", "2026-10-08", "--paper", "a4", "-"]);
    assert!(html.contains("size: A4;"));
}

#[test]
fn the_table_has_a_row_for_each_day_item_and_nutrient() {
    let csv = visit(&book(), &["--to", "2026-10-08", "--format", "csv"]);
    let kept = |line: &&str| line.starts_with("day,") || line.contains(",FE,");
    let iron: Vec<_> = csv.lines().filter(kept).collect();
    insta::assert_snapshot!(iron.join("\n"));
    assert!(csv.ends_with("\r\n"));
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    for row in reader.records() {
        assert_eq!(&row.unwrap()[1], "<b>&\"");
    }
}

/// What was had of a day is the sum of its items.
#[test]
fn the_items_of_a_day_add_up() {
    let csv = visit(&book(), &["--to", "2026-10-08", "--format", "csv"]);
    let (mut items, mut all) = (0.0, 0.0);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    for row in reader.records().map(Result::unwrap) {
        let known: f64 = row[5].parse().unwrap_or(0.0);
        match (&row[0], &row[3], &row[4]) {
            ("2026-10-06", "FE", "all") => all += known,
            ("2026-10-06", "FE", _) => items += known,
            _ => {}
        }
    }
    assert!(all > 0.5);
    approx::assert_relative_eq!(items, all, epsilon = 1e-9);
}

#[test]
fn the_json_carries_what_the_page_shows() {
    let text = visit(&book(), &["--to", "2026-10-08", "--format", "json"]);
    let json: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(json["schema"], 1);
    assert_eq!(
        json["not_a_diagnosis"],
        "A record for discussion, not a diagnosis"
    );
    assert_eq!(json["child"]["name"], "<b>&\"");
    assert_eq!(
        (&json["from"], &json["to"]),
        (&"2026-10-05".into(), &"2026-10-08".into())
    );
    let record = &json["record"];
    let count = |key: &str| record[key].as_u64().unwrap();
    assert_eq!((count("days"), count("counted"), count("meals")), (4, 3, 4));
    assert_eq!((count("taken"), count("some"), count("refused")), (2, 1, 1));
    assert_eq!(record["without_milk"], serde_json::json!(["2026-10-05"]));
    assert_eq!(record["without_meals"], serde_json::json!(["2026-10-07"]));
    let iron = &json["nutrients"][0];
    assert_eq!((&iron["id"], &iron["unit"]), (&"FE".into(), &"mg".into()));
    assert_eq!(iron["reference"]["kind"], "RDA");
    assert_eq!(
        iron["parts"]["complete"], false,
        "a day has no milk on record"
    );
    let events = json["variety"]["events"].as_array().unwrap();
    let marks: Vec<_> = events
        .iter()
        .map(|event| event["mark"].as_str().unwrap())
        .collect();
    assert_eq!(marks, ["1", "2", "3", "a"]);
    assert_eq!(
        json["questions"][0]["words"],
        "Is <i>iron</i> & \"zinc\" enough?"
    );
    for key in [
        "estimates",
        "sources",
        "datasets",
        "periods",
        "days",
        "dishes",
    ] {
        assert!(!json[key].as_array().unwrap().is_empty(), "{key}");
    }
    for key in [
        "missing",
        "meal_names",
        "iron",
        "energy",
        "defer",
        "program",
    ] {
        assert!(!json[key].is_null(), "{key}");
    }
}

#[test]
fn more_than_a_fortnight_is_told_by_weeks() {
    let text = visit(&book(), &["--to", "2026-10-25", "--format", "json"]);
    let json: Value = serde_json::from_str(&text).unwrap();
    let periods = json["periods"].as_array().unwrap();
    assert_eq!(periods.len(), 3);
    assert_eq!(
        (&periods[0]["to"], &periods[1]["from"]),
        (&"2026-10-11".into(), &"2026-10-12".into())
    );
    assert_eq!(
        periods[0]["counted"], 3,
        "a day of milk alone tells nothing of its food"
    );
    assert_eq!(
        (&periods[1]["counted"], &periods[1]["kcal"]),
        (&0.into(), &Value::Null)
    );
}

#[test]
fn a_question_alone_is_a_record_and_no_figure_is_zero() {
    let book = book();
    let asked = ["question", "Is it time?", "--on", "2026-09-10"];
    trayful(&asked).inside(book.path()).answer();
    let args = [
        "visit",
        "--from",
        "2026-09-01",
        "--to",
        "2026-09-14",
        "--format",
        "json",
    ];
    let text = trayful(&args).inside(book.path()).answer();
    let json: Value = serde_json::from_str(&text).unwrap();
    for line in json["nutrients"].as_array().unwrap() {
        assert!(
            line["parts"]["total"].is_null() && line["parts"]["complete"] == false,
            "{line}"
        );
    }
    for period in json["periods"].as_array().unwrap() {
        assert!(
            period["kcal"].is_null() && period["iron_mg"]["amount"].is_null(),
            "{period}"
        );
    }
    assert!(json["iron"]["flesh"]["mg"].is_null(), "{}", json["iron"]);
}

#[test]
fn times_that_cannot_be_are_refused() {
    let book = book();
    for (from, to) in [
        ("2026-10-08", "2026-10-05"),
        ("2026-03-01", "2026-04-01"),
        ("2026-04-01", "2026-10-05"),
        ("2026-02-30", "2026-10-05"),
    ] {
        let args = ["visit", "--from", from, "--to", to];
        insta::assert_snapshot!(trayful(&args).inside(book.path()).refusal());
    }
    assert!(!book.path().join("visit.html").exists());
}

#[test]
fn a_time_without_a_record_writes_nothing() {
    let book = book();
    let args = ["visit", "--from", "2026-04-01", "--to", "2026-04-30"];
    let said = trayful(&args).inside(book.path()).said();
    assert_eq!((said.code, said.err.as_str()), (1, ""));
    assert_eq!(
        said.out,
        "Nothing is on record for <b>&\" from 1 Apr 2026 to 30 Apr 2026.\n"
    );
    assert!(!book.path().join("visit.html").exists());
    // What the book says of the child's milk is no record of these days.
    let told = BOOK.replace("weight", "milk = \"breast\"\nweight");
    std::fs::write(book.path().join("book.toml"), told).unwrap();
    assert_eq!(trayful(&args).inside(book.path()).said().code, 1);
}

#[test]
fn a_page_goes_into_a_file_and_figures_are_printed() {
    let book = book();
    let said = visit(&book, &["--to", "2026-10-08", "visit.html"]);
    assert_eq!(
        said,
        "Wrote the record of <b>&\" from 5 Oct 2026 to 8 Oct 2026 into visit.html. Open it\nin a browser to print it.\n"
    );
    let html = std::fs::read_to_string(book.path().join("visit.html")).unwrap();
    assert!(html.ends_with("</html>"));
    assert!(visit(&book, &["--to", "2026-10-08", "--format", "csv"]).starts_with("day,child,"));
}

#[test]
fn without_a_file_the_most_important_is_printed() {
    let book = book();
    insta::assert_snapshot!(visit(&book, &["--to", "2026-10-08"]));
    assert!(!book.path().join("visit.html").exists());
}

#[test]
fn a_pdf_is_not_written_and_it_is_said_how_to_print() {
    let book = book();
    let args = [
        "visit",
        "--from",
        "2026-10-05",
        "--to",
        "2026-10-08",
        "them.pdf",
    ];
    let told = trayful(&args).inside(book.path()).refusal();
    assert!(told.contains("HTML") && told.contains("print"), "{told}");
    assert!(
        told.contains("trayful visit --from 2026-10-05 --to 2026-10-08 them.html"),
        "{told}"
    );
    assert!(!book.path().join("them.pdf").exists());
}

#[test]
fn the_demo_household_has_a_page() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("nest");
    trayful(&["demo", "--into", book.to_str().unwrap()]).answer();
    let args = ["visit", "--from", "2026-10-05", "--to", "2026-11-15", "-"];
    let html = trayful(&args).inside(&book).answer();
    for shown in [
        "<h1>Wren</h1>",
        "42\u{a0}days",
        "Red lentil and squash",
        "no value for",
    ] {
        assert!(html.contains(shown), "{shown}");
    }
}

#[test]
fn names_in_the_table_are_no_formulas() {
    let book = folder(&[
        ("book.toml", &BOOK.replace("<b>&\\\"", "@Ada")),
        (
            "recipes/squash.toml",
            &SQUASH.replace("Squash & lentils", "=1+1"),
        ),
    ]);
    for said in [
        &["freeze", "squash", "--cubes", "20", "--on", "2026-10-04"][..],
        &["serve", "2 squash", "--meal", "lunch", "--on", "2026-10-05"],
    ] {
        let _ = trayful(said).inside(book.path()).answer();
    }
    let csv = visit(&book, &["--to", "2026-10-05", "--format", "csv"]);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
    assert!(rows.iter().all(|row| &row[1] == "'@Ada"), "{csv}");
    assert!(rows.iter().any(|row| row[2].starts_with("'=1+1")), "{csv}");
}
