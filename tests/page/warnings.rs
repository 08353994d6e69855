//! The page has every warning of the command line, whatever the names of foods and recipes.

use std::path::Path;

use super::running::{Running, household};
use super::support::trayful;

/// A day on which much of the demo's plan does not hold any more.
const TODAY: &str = "2026-11-16";
/// A label that cannot be: kilojoules as kcal, more sugars than carbohydrate, and iron by the gram.
const ODD: &str = "own-odd,\"Oats --rolled; salted\",,Breakfast Cereals,100 g,,,1690 kcal,9.5 g,3.4 g,62 g,74 g,7 g,14 g,0.2 g,480 mg,\
                   7.5 g,<1 mg,8 µg\n";
const RECIPE: &str = "title = \"Oats --soft; with `trayful` spoons\"\n\n[[ingredient]]\nfood = \"own-odd\"\namount = \"600 g\"\n\
                      method = \"boil\"\n\n[freezer]\ndays = 300\nsource = \"an invented chart\"\n";

/// The text that a person sees on a page.
fn seen(body: &str) -> String {
    let mut text = String::new();
    for part in body.split('<') {
        text.push_str(part.split_once('>').map_or(part, |(_, words)| words));
    }
    let text = text.replace("&#39;", "'").replace("&quot;", "\"");
    let text = text.replace("&#34;", "\"").replace("&#60;", "<");
    text.replace("&#62;", ">")
        .replace("&gt;", ">")
        .replace("&amp;", "&")
}

/// Checks that the page shows all of the warnings, of which there must be some.
#[track_caller]
fn shows(body: &str, warnings: &[String]) {
    assert!(!warnings.is_empty(), "nothing to look for");
    let text = seen(body).to_lowercase();
    for warning in warnings {
        let words = warning.trim_end_matches('.').to_lowercase();
        assert!(text.contains(&words), "{words}\n\n{text}");
    }
}

/// Texts of a list of an answer in JSON.
fn texts(answer: &str, list: &str) -> Vec<String> {
    let answer: serde_json::Value = serde_json::from_str(answer).unwrap();
    let text = |one: &serde_json::Value| match one {
        serde_json::Value::String(words) => words.clone(),
        other => other["text"].as_str().unwrap().to_string(),
    };
    answer[list].as_array().unwrap().iter().map(text).collect()
}

/// The demo household with that food, and a recipe of it.
fn odd_household() -> tempfile::TempDir {
    let folder = household();
    let own = folder.path().join("own-foods.csv");
    let text = std::fs::read_to_string(&own).unwrap() + ODD;
    std::fs::write(own, text).unwrap();
    std::fs::write(folder.path().join("recipes/oats.toml"), RECIPE).unwrap();
    folder
}

/// The warnings of a label, each what is odd, and what to look at.
fn of_label(folder: &Path) -> Vec<String> {
    let shown = trayful(&["foods", "--show", "own-odd", "--json"])
        .inside(folder)
        .said();
    let shown: serde_json::Value = serde_json::from_str(&shown.out).unwrap();
    let warnings = shown["label"]["warnings"].as_array().unwrap();
    let words = warnings.iter().flat_map(|one| {
        let words = one.as_str().unwrap().splitn(4, ':').nth(3).unwrap().trim();
        let (what, hint) = words.split_once(" (").unwrap_or((words, ""));
        let hint = hint.strip_suffix(')').unwrap_or(hint);
        [what.to_string(), hint.to_string()]
    });
    words.filter(|words| !words.is_empty()).collect()
}

#[test]
fn the_label_of_an_own_food_is_doubted_where_the_food_is_shown_and_where_it_is_cooked() {
    let folder = odd_household();
    let page = Running::inside(folder.path());
    let warnings = of_label(folder.path());
    assert!(warnings.len() >= 4, "{warnings:?}");
    shows(&page.get("/foods/own-odd").body, &warnings);
    shows(&page.get("/cook/recipe/oats").body, &warnings);
}

#[test]
fn warnings_on_a_freezing_and_on_a_meal_stand_on_the_page() {
    let folder = odd_household();
    let page = Running::inside(folder.path());
    let fields = [("cubes", "60"), ("on", TODAY), ("trays", "8")];
    let before = page.get("/cook/recipe/oats/freeze?trays=8").body;
    let done = page.post("/cook/recipe/oats/freeze", &fields);
    let notice = page.get(done.header("location")).body;
    let _ = trayful(&["undo"]).inside(folder.path()).answer();
    let freeze = [
        "freeze", "oats", "--cubes", "60", "--trays", "8", "--on", TODAY, "--json",
    ];
    let freeze = trayful(&freeze).inside(folder.path()).said().out;
    shows(&notice, &texts(&freeze, "warnings"));
    let card = ["batch", "recipes/oats.toml", "--trays", "8", "--json"];
    let card = trayful(&card).inside(folder.path()).said().out;
    shows(&before, &texts(&card, "objections"));

    // A year later the cubes are long past their day.
    let late = "2027-11-20";
    let page = Running::with(folder.path(), &["--today", late]);
    let meal = [
        ("cubes", "1"),
        ("on", late),
        ("how", "taken"),
        ("anyway", "x"),
    ];
    let batch = serde_json::from_str::<serde_json::Value>(&freeze).unwrap()["batch"].to_string();
    let offered = page.post(&format!("/freezer/{batch}/serve"), &meal);
    let told = if offered.status == 303 {
        page.get(offered.header("location")).body
    } else {
        offered.body
    };
    let _ = trayful(&["undo"]).inside(folder.path()).said();
    let serve = [
        "serve",
        &format!("1 #{batch}"),
        "--today",
        late,
        "--anyway",
        "--json",
    ];
    let serve = trayful(&serve).inside(folder.path()).said().out;
    shows(&told, &texts(&serve, "warnings"));
}

#[test]
fn what_is_wrong_with_a_plan_stands_above_the_week() {
    let around = tempfile::tempdir().unwrap();
    let page = Running::inside(around.path());
    assert_eq!(page.post("/demo", &[]).status, 303);
    let mut inside = std::fs::read_dir(around.path()).unwrap();
    let folder = inside.next().unwrap().unwrap().path();
    let recipe = RECIPE.replace("own-odd", "20038");
    std::fs::write(folder.join("recipes/oats.toml"), recipe).unwrap();
    for plan in [
        &["plan", "set", "2026-11-18", "lunch", "2 oats"][..],
        &[
            "plan",
            "set",
            "2026-11-18",
            "supper",
            "2 oats",
            "--on",
            TODAY,
        ],
        &[
            "plan",
            "set",
            "2026-11-20",
            "lunch",
            "9 butternut",
            "60 ml 19296",
            "--anyway",
        ],
    ] {
        let said = trayful(plan).inside(&folder).said();
        assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    }
    let check = [
        "plan",
        "check",
        "--from",
        TODAY,
        "--to",
        "2026-11-22",
        "--on",
        TODAY,
    ];
    let check = trayful(&[&check[..], &["--json"]].concat());
    let check = check.inside(&folder).said().out;
    let week = page.get("/week?from=2026-11-16").body;
    let parsed: serde_json::Value = serde_json::from_str(&check).unwrap();
    let findings = parsed["findings"].as_array().unwrap().iter();
    let findings: Vec<String> = findings
        .map(|one| one["words"].as_str().unwrap().to_string())
        .collect();
    shows(&week, &findings);
    shows(&week, &texts(&check, "advice"));
    shows(&week, &texts(&check, "objections"));
    let shop = [
        "shop",
        "--from",
        TODAY,
        "--to",
        "2026-11-22",
        "--on",
        TODAY,
        "--json",
    ];
    let shop = trayful(&shop).inside(&folder).said().out;
    let list = page.get("/week/shop?from=2026-11-16").body;
    shows(&list, &texts(&shop, "objections"));
}
