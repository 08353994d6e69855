//! `trayful combine`: what to put into a purée.

use serde_json::Value;

use super::support::{folder, trayful};

const BOOK: &str = "[[child]]\nname = \"Wren\"\nborn = \"2025-09-02\"\nallergies = [\"egg\"]\n";
const DAY: [&str; 2] = ["--on", "2026-04-13"];

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

#[test]
fn the_most_iron_with_broccoli_in_words() {
    let asked = [
        "combine",
        "--with",
        "broccoli",
        "--reach",
        "1 mg iron",
        "--without",
        "egg",
        "--answers",
        "2",
    ];
    insta::assert_snapshot!(trayful(&asked).answer());
}

#[test]
fn what_cannot_be_is_told_limit_by_limit_and_is_exit_1() {
    let ask = r#"{"goal": {"nutrient": "FE", "at_least": 9}, "foods": {"known": ["11124", "11485", "11477"], "new_at_most": 0, "without": ["liver"]}}"#;
    let place = folder(&[("ask.json", ask)]);
    let said = trayful(&["combine", "--ask", "ask.json"])
        .inside(place.path())
        .said();
    assert_eq!(said.code, 1, "{}", said.err);
    insta::assert_snapshot!(said.out);
    let said = trayful(&["combine", "--ask", "ask.json", "--json"])
        .inside(place.path())
        .said();
    let told = json(&said.out);
    assert_eq!((said.code, &told["possible"]), (1, &Value::Bool(false)));
    assert_eq!(told["nearest"][0]["limit"], "target");
}

#[test]
fn an_unknown_key_names_the_nearest() {
    let place = folder(&[("ask.json", "{\n \"limitz\": {}\n}")]);
    let refused = trayful(&["combine", "--ask", "ask.json"])
        .inside(place.path())
        .refusal();
    assert!(
        refused.contains("ask.json:2:2") && refused.contains("did you mean “limits”"),
        "{refused}"
    );
    let refused = trayful(&["combine", "--without", "eg"]).refusal();
    assert!(refused.contains("did you mean “egg”"), "{refused}");
}

/// The figures of a suggestion are those of the full batch, within 0.2 %.
#[test]
fn a_saved_suggestion_makes_the_batch_that_was_promised() {
    let book = folder(&[("book.toml", BOOK)]);
    let ask = [
        "combine",
        "--reach",
        "1 mg iron",
        "--json",
        "--save",
        "more-iron",
    ];
    let said = trayful(&[&ask[..], &DAY].concat())
        .inside(book.path())
        .said();
    assert_eq!(said.code, 0, "{}", said.err);
    let promised = json(&said.out);
    let kitchen = &promised["answers"][0]["kitchen"];
    let batch = trayful(&[&["batch", "more-iron", "--json"], &DAY[..]].concat())
        .inside(book.path())
        .answer();
    let batch = json(&batch);
    let nutrients = batch["nutrients"].as_array().unwrap();
    let iron = nutrients.iter().find(|one| one["id"] == "FE").unwrap();
    let near = |ours: &Value, theirs: &Value| {
        let (ours, theirs) = (ours.as_f64().unwrap(), theirs.as_f64().unwrap());
        assert!((ours / theirs - 1.0).abs() < 2e-3, "{ours} {theirs}");
    };
    near(&kitchen["iron_mg_per_serving"], &iron["per_serving"]);
    near(&kitchen["makes_cubes"], &batch["cubes"]["count"]);
    trayful(&[&["freeze", "more-iron"], &DAY[..]].concat())
        .inside(book.path())
        .answer();
}

#[test]
fn the_record_of_the_child_decides_what_is_left_out() {
    let book = folder(&[("book.toml", BOOK)]);
    let asked = [&["combine", "--json"], &DAY[..]].concat();
    let told = json(&trayful(&asked).inside(book.path()).answer());
    assert!(told["left_out"]["judged"].as_u64().unwrap() > 0);
    let foods = |told: &Value| -> Vec<String> {
        let answers = told["answers"].as_array().unwrap().clone();
        let parts = answers
            .iter()
            .flat_map(|one| one["parts"].as_array().unwrap().clone());
        parts
            .map(|part| format!("{}{}", part["role"], part["name"]))
            .collect()
    };
    // Egg, for the allergy; liver, for the age of seven months.
    assert!(
        !foods(&told)
            .iter()
            .any(|food| food.contains("egg\"") || food.contains("liver"))
    );
    let bare = json(&trayful(&["combine", "--json"]).answer());
    assert!(foods(&bare).iter().any(|food| food.contains("liver")));
    let of_age = json(&trayful(&["combine", "--json", "--age", "13"]).answer());
    assert!(foods(&of_age).iter().any(|food| food.contains("liver")));
}

#[test]
fn a_recipe_of_the_book_keeps_its_own_cooking() {
    let recipe = "title = \"Squash\"\n[[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\nbasis = \"edible\"\nmethod = \"roast\"\nyield = 0.7\n";
    let book = folder(&[("book.toml", BOOK), ("recipes/squash.toml", recipe)]);
    let asked = [
        &[
            "combine",
            "squash",
            "--json",
            "--most",
            "1",
            "--save",
            "squash-and",
        ],
        &DAY[..],
    ]
    .concat();
    let said = trayful(&asked).inside(book.path()).said();
    assert_eq!(said.code, 0, "{}", said.err);
    let told = json(&said.out);
    let one = &told["answers"][0];
    let base = one["parts"]
        .as_array()
        .unwrap()
        .iter()
        .find(|part| part["food"] == "base")
        .unwrap()
        .clone();
    assert!(base["share"].as_f64().unwrap() >= 0.5);
    let saved = std::fs::read_to_string(book.path().join("recipes/squash-and.toml")).unwrap();
    assert!(
        saved.contains("roast") && saved.contains("yield = 0.7"),
        "{saved}"
    );
    let batch = trayful(&[&["batch", "squash-and", "--json"], &DAY[..]].concat())
        .inside(book.path())
        .answer();
    let batch = json(&batch);
    let nutrients = batch["nutrients"].as_array().unwrap();
    let iron = nutrients.iter().find(|n| n["id"] == "FE").unwrap()["per_serving"]
        .as_f64()
        .unwrap();
    let promised = one["kitchen"]["iron_mg_per_serving"].as_f64().unwrap();
    assert!((iron / promised - 1.0).abs() < 2e-3, "{iron} {promised}");
}

#[test]
fn what_raises_a_bowl_most_comes_from_the_freezer_and_the_cupboard() {
    let nest = tempfile::tempdir().unwrap();
    let book = nest.path().join("nest");
    trayful(&["demo", "--into", book.to_str().unwrap()]).answer();
    let asked = [
        "combine",
        "--bowl",
        "1 red-lentil-squash",
        "--on",
        "2026-11-16",
    ];
    insta::assert_snapshot!(trayful(&asked).inside(&book).answer());
    let told = json(
        &trayful(&[&asked[..], &["--json"]].concat())
            .inside(&book)
            .answer(),
    );
    let answers = told["answers"].as_array().unwrap();
    let added: Vec<f64> = answers
        .iter()
        .map(|one| one["added_iron_mg"].as_f64().unwrap())
        .collect();
    assert!(added.windows(2).all(|two| two[0] >= two[1]), "{added:?}");
    // One more of what `mix` calls the best single cube can be no better than the best set.
    let mixed = trayful(&["mix", "1 red-lentil-squash", "--on", "2026-11-16", "--json"])
        .inside(&book)
        .answer();
    let best = json(&mixed)["more_iron"][0]["iron_mg"]
        .as_f64()
        .unwrap_or(0.0);
    assert!(added[0] >= best);
}
