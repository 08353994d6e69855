//! Recipes are written, tried and frozen; and what must not come of a form.

use super::running::{Running, household};
use super::support::trayful;

/// A recipe as the form sends it.
const SQUASH: [(&str, &str); 8] = [
    ("title", "Squash"),
    ("food-0", "11485"),
    ("amount-0", "600"),
    ("unit-0", "g"),
    ("method-0", "steam"),
    ("collected", "250"),
    ("returned", "200"),
    ("serving", "3"),
];

/// The form with some fields replaced, and others added.
fn but<'a>(more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let kept = SQUASH
        .into_iter()
        .filter(|(name, _)| more.iter().all(|(other, _)| other != name));
    kept.chain(more.iter().copied()).collect()
}

#[test]
fn a_recipe_on_the_page_says_what_the_command_line_says() {
    let folder = household();
    let page = Running::inside(folder.path());
    let list = page.get("/cook").body;
    assert!(list.contains("/cook/recipe/red-lentil-squash") && list.contains("/cook/write"));
    let card = trayful(&[
        "batch",
        "recipes/red-lentil-squash.toml",
        "--trays",
        "2",
        "--on",
        "2026-11-16",
        "--why",
    ])
    .inside(folder.path())
    .with("COLUMNS", "100")
    .answer();
    let shown = page
        .get("/cook/recipe/red-lentil-squash?trays=2")
        .body
        .replace('\u{a0}', " ");
    for words in [
        "32 cubes of 28.6 g",
        "0.80 kcal per g",
        "504 g (1 lb 1.8 oz)",
        "0.35 mg",
        "1.1 mg (0.7 to 1.6)",
        "Choline",
    ] {
        assert!(card.contains(words), "{words} in {card}");
        assert!(shown.contains(words), "{words} in {shown}");
    }
    assert!(shown.contains("Estimated or assumed") && shown.contains("All cautions"));
    // Red lentils bring plant iron with hardly any vitamin C.
    assert!(card.contains("WHAT IT LACKS"), "{card}");
    let lacks = shown
        .split_once("What it lacks, and what brings it")
        .unwrap()
        .1;
    assert!(
        lacks.contains("little vitamin C beside its iron")
            && card.contains("little vitamin C beside its iron")
    );
}

#[test]
fn water_thins_and_figures_come_alone() {
    let folder = household();
    let page = Running::inside(folder.path());
    let of = |returned: &str, added: &str| {
        let fields = [("returned", returned), ("added", added), ("trays", "")];
        let answer = page.post("/cook/recipe/red-lentil-squash/figures", &fields);
        assert_eq!(answer.status, 200, "{}", answer.body);
        assert!(!answer.body.contains("<html"));
        answer.body
    };
    let density = |body: &str| -> f64 {
        let at = body.find("Energy density ").unwrap() + "Energy density ".len();
        let number: String = body[at..].chars().take(4).collect();
        number.parse().unwrap()
    };
    assert!(density(&of("200", "0")) > density(&of("250", "0")));
    assert!(density(&of("200", "0")) > density(&of("200", "150")));
    assert!(density(&of("0", "0")) > density(&of("200", "0")));
    let unpermitted = page.send("/cook/recipe/red-lentil-squash/figures", "returned=0", &[]);
    assert_eq!(unpermitted.status, 403);
}

#[test]
fn ingredients_are_typed_with_their_amounts() {
    let folder = household();
    let page = Running::inside(folder.path());
    let typed = |words: &str| page.post("/cook/write", &[("words", words), ("find", "yes")]);
    let added = typed("600 g courgette roasted, 150 g red lentils");
    assert_eq!(added.status, 200);
    for field in [
        "name=\"food-0\" value=\"11477\"",
        "name=\"food-1\" value=\"16144\"",
        "value=\"600\"",
        "value=\"150\"",
        "<option value=\"roast\" selected",
        "<option value=\"boil\" selected",
    ] {
        assert!(added.body.contains(field), "{field}: {}", added.body);
    }
    // There are no figures for grilling: the field has the nearest method, not the usual one.
    let grilled = typed("300 g courgette grilled");
    assert!(grilled.body.contains("<option value=\"roast\" selected"));
    let vague = typed("600 g squash roasted");
    assert!(
        vague.body.contains("could be more than one food")
            && vague
                .body
                .contains("name=\"meant-words\" value=\"600 g 11485 ")
            && !vague.body.contains("by its id"),
        "{}",
        vague.body
    );
    // What is chosen keeps its amount.
    let meant = vague.hidden("meant-words");
    let sent = [("words", "600 g squash roasted"), ("meant-words", &meant)];
    let chosen = page.post("/cook/write", &sent).body;
    assert!(
        chosen.contains("name=\"food-0\" value=\"11485\"") && chosen.contains("value=\"600\""),
        "{chosen}"
    );
    // Two amounts without a comma are refused as Mix refuses them, and not searched for.
    let two = typed("600g pumpkin 100g beef").body;
    assert!(
        two.contains("has more than one amount") && !two.contains("aria-label=\"Found\""),
        "{two}"
    );
    let words = typed("sweet potato");
    assert!(!words.body.contains("role=\"alert\""), "{}", words.body);
    assert!(words.body.contains("name=\"take\" value=\"11507\""));
}

#[test]
fn a_recipe_with_foods_in_words_is_opened_by_their_names() {
    let folder = household();
    let text = "title = \"Words\"\n[[ingredient]]\nfood = \"butternut squash\"\namount = \"600 g\"\nmethod = \"steam\"\n";
    std::fs::write(folder.path().join("recipes/words.toml"), text).unwrap();
    let page = Running::inside(folder.path());
    let form = page.get("/cook/recipe/words/change");
    assert_eq!(form.status, 200, "{}", form.body);
    assert!(
        form.body.contains("Squash, winter, butternut, raw")
            && form.body.contains("Iron in a cube"),
        "{}",
        form.body
    );
    assert!(!form.body.contains("a food that is not known"));
}

#[test]
fn a_recipe_is_written_tried_saved_and_frozen() {
    let folder = household();
    let page = Running::inside(folder.path());
    let found = page.post(
        "/cook/write",
        &[("words", "butternut squash"), ("find", "yes")],
    );
    assert!(
        found.body.contains("name=\"take\" value=\"11485\""),
        "{}",
        found.body
    );
    let taken = page.post(
        "/cook/write",
        &[("words", "butternut squash"), ("take", "11485")],
    );
    assert_eq!(taken.status, 200);
    assert!(
        taken.body.contains("name=\"food-0\" value=\"11485\"") && taken.body.contains("autofocus")
    );
    let dropped = page.post("/cook/write", &but(&[("drop", "0")]));
    assert!(dropped.status == 200 && !dropped.body.contains("name=\"food-0\""));
    let tried = page.post("/cook/write", &but(&[("work", "yes")]));
    assert!(
        tried.status == 200 && tried.body.contains("Iron in a cube"),
        "{}",
        tried.body
    );
    let saved = page.post("/cook/write", &but(&[("save", "yes")]));
    assert_eq!(saved.status, 303, "{}", saved.body);
    assert!(
        saved
            .header("location")
            .starts_with("/cook/recipe/squash?tray=")
    );
    let text = std::fs::read_to_string(folder.path().join("recipes/squash.toml")).unwrap();
    let expected = "title = \"Squash\"\n\n# Squash, winter, butternut, raw\n[[ingredient]]\nfood = \"11485\"\n\
                    amount = \"600 g\"\nmethod = \"steam\"\n\n[liquid]\ncollected = \"250 ml\"\nreturned = \"200 ml\"\n\
                    \n[serving]\ncubes = 3\n";
    assert_eq!(text, expected);
    let batch = trayful(&["batch", "recipes/squash.toml", "--on", "2026-11-16"])
        .inside(folder.path())
        .answer();
    assert!(batch.contains("Squash"), "{batch}");
    let form = page.get("/cook/recipe/squash/freeze?trays=1&returned=100&added=0");
    assert!(
        form.body.contains("name=\"cubes\"") && form.body.contains("value=\"16\""),
        "{}",
        form.body
    );
    let fields = [
        ("trays", "1"),
        ("returned", "100"),
        ("added", "0"),
        ("cubes", "16"),
        ("on", "2026-11-16"),
    ];
    let frozen = page.post("/cook/recipe/squash/freeze", &fields);
    assert_eq!(frozen.status, 303, "{}", frozen.body);
    let told = page.get(frozen.header("location")).body;
    assert!(
        told.contains("Froze 16 cubes of Squash as batch #") && told.contains("Take it back"),
        "{told}"
    );
    for weighed in ["430", "0,43 kg", "430g", "15.2 oz"] {
        let fields = [&fields[..], &[("weighed", weighed)]].concat();
        let frozen = page.post("/cook/recipe/squash/freeze", &fields);
        assert_eq!(frozen.status, 303, "{weighed}: {}", frozen.body);
    }
    for (field, said) in [
        ("cubes", "0"),
        ("cubes", "99999999999"),
        ("weighed", "1e400"),
        ("weighed", "1,200"),
        ("weighed", "2 cups"),
        ("weighed", "0"),
        ("returned", "251"),
        ("on", "soon"),
    ] {
        let kept = fields.iter().copied().filter(|(name, _)| *name != field);
        let wrong: Vec<_> = kept.chain([(field, said)]).collect();
        let answer = page.post("/cook/recipe/squash/freeze", &wrong);
        assert_eq!(answer.status, 422, "{field}: {said}");
        assert!(
            answer.body.contains(&format!("href=\"#{field}\"")),
            "{field}: {}",
            answer.body
        );
    }
}

#[test]
fn a_recipe_never_replaces_another_without_consent() {
    let folder = household();
    let page = Running::inside(folder.path());
    let file = folder.path().join("recipes/butternut.toml");
    let before = std::fs::read_to_string(&file).unwrap();
    let refused = page.post(
        "/cook/write",
        &but(&[("save", "yes"), ("name", "butternut")]),
    );
    assert!(
        refused.status == 422 && refused.body.contains("id=\"replace\""),
        "{}",
        refused.body
    );
    assert_eq!(std::fs::read_to_string(&file).unwrap(), before);
    let said = [("save", "yes"), ("name", "butternut"), ("replace", "yes")];
    assert_eq!(page.post("/cook/write", &but(&said)).status, 303);
    assert!(std::fs::read_to_string(&file).unwrap().contains("600 g"));
}

#[test]
fn no_name_of_a_recipe_is_a_path() {
    let folder = household();
    let page = Running::inside(folder.path());
    let recipes = folder.path().join("recipes");
    let files = || {
        std::fs::read_dir(&recipes).unwrap().count()
            + std::fs::read_dir(folder.path()).unwrap().count()
    };
    let before = files();
    for name in [
        "../evil",
        "..",
        "/tmp/evil",
        "a/b",
        "a\\b",
        "a.toml",
        "book.toml",
        "con",
        "x\0",
        "é",
        " - ",
        &"a".repeat(61),
    ] {
        let answer = page.post("/cook/write", &but(&[("save", "yes"), ("name", name)]));
        assert_eq!(answer.status, 422, "{name}");
        assert!(answer.body.contains("id=\"name-fault\""), "{name}");
    }
    assert_eq!(files(), before, "nothing was written");
    for address in [
        "..%2fbook",
        "..%2f..%2fetc%2fpasswd",
        "%2fetc%2fpasswd",
        "nothing",
        "red-lentil-squash.toml",
    ] {
        for page_of in ["", "/freeze", "/card"] {
            let answer = page.get(&format!("/cook/recipe/{address}{page_of}"));
            assert_eq!(answer.status, 404, "{address}{page_of}");
        }
    }
}

#[test]
fn words_of_a_recipe_stay_words() {
    let folder = household();
    let page = Running::inside(folder.path());
    let evil = "x\"\nfreezer = { days = 366, source = \"me\" }\n[[ingredient]]\nfood = \"01001\" # <script>alert(1)</script>";
    let saved = page.post(
        "/cook/write",
        &but(&[("save", "yes"), ("title", evil), ("name", "evil")]),
    );
    assert_eq!(saved.status, 422, "the title is too long: {}", saved.body);
    let evil = "x\"\n[freezer]\ndays = 366\n#<script>alert(1)</script>";
    let saved = page.post(
        "/cook/write",
        &but(&[("save", "yes"), ("title", evil), ("name", "evil")]),
    );
    assert_eq!(saved.status, 303, "{}", saved.body);
    let shown = page.get(saved.header("location")).body;
    assert!(!shown.contains("<script>alert"), "{shown}");
    let text = std::fs::read_to_string(folder.path().join("recipes/evil.toml")).unwrap();
    let lines: Vec<_> = text.lines().collect();
    assert!(
        !lines.contains(&"[freezer]") && !lines.contains(&"days = 366"),
        "{text}"
    );
    for (field, said) in [
        ("amount-0", "600\"\nbasis = \"edible"),
        ("unit-0", "g\"\nyield = 9"),
        ("method-0", "steam\"\nyield = 9"),
        ("serving", "3\nreheat = false"),
        ("returned", "1\"\nadded = \"9"),
    ] {
        let answer = page.post(
            "/cook/write",
            &but(&[("save", "yes"), ("name", "evil2"), (field, said)]),
        );
        assert_eq!(answer.status, 422, "{field}");
    }
    assert!(!folder.path().join("recipes/evil2.toml").exists());
}

#[test]
fn numbers_beyond_a_kitchen_are_refused_at_their_field() {
    let folder = household();
    let page = Running::inside(folder.path());
    for (field, said) in [
        ("amount-0", "1e308"),
        ("amount-0", "999999999999999999999999999999999999"),
        ("amount-0", "-1"),
        ("amount-0", ""),
        ("collected", "99999999"),
        ("returned", "251"),
        ("serving", "4294967296"),
        ("serving", "51"),
        ("added", "NaN"),
        ("trays", "101"),
        ("trays", "-1"),
    ] {
        let answer = page.post("/cook/write", &but(&[("work", "yes"), (field, said)]));
        assert_eq!(answer.status, 422, "{field}: {said}");
        let fault = format!("id=\"{field}-fault\"");
        assert!(
            answer.body.contains(&fault),
            "{field}: {said}: {}",
            answer.body
        );
        assert!(answer.body.contains(&format!("href=\"#{field}\"")));
    }
    let none = page.post("/cook/write", &[("title", "x"), ("save", "yes")]);
    assert!(
        none.status == 422 && none.body.contains("id=\"words-fault\""),
        "{}",
        none.body
    );
    let unknown = page.post("/cook/write", &but(&[("food-0", "99999"), ("save", "yes")]));
    assert_eq!(unknown.status, 422);
    assert!(
        unknown.body.contains("id=\"amount-0-fault\""),
        "{}",
        unknown.body
    );
}

#[test]
fn a_batch_that_was_frozen_is_named_before_another_one_is_recorded() {
    let folder = household();
    let page = Running::inside(folder.path());
    let path = "/cook/recipe/butternut/freeze";
    let form = page.get(path);
    assert!(!form.body.contains("On record for today already"));
    let once = form.hidden("once");
    let fields = [
        ("once", once.as_str()),
        ("cubes", "12"),
        ("on", "2026-11-27"),
    ];
    let frozen = page.post(path, &fields);
    let told = page.get(frozen.header("location")).body;
    assert!(
        told.contains("/freezer/labels?batch=") && told.contains("Print labels, A4"),
        "{told}"
    );
    let batches = || page.get("/freezer").body.matches("class=\"lying\"").count();
    let one = batches();
    let _ = page.post(path, &fields);
    assert_eq!(batches(), one, "the same form again is answered as it was");
    let form = page.get(path).body;
    assert!(form.contains("On record for today already: #"), "{form}");
}

#[test]
fn what_stops_a_recipe_stands_in_the_answer_that_stays_in_sight_and_is_said() {
    let folder = household();
    let page = Running::inside(folder.path());
    let child = [
        ("child", "Wren"),
        ("born", "2026-03-02"),
        ("allergies", "squash"),
    ];
    assert_eq!(page.post("/household/child", &child).status, 303);
    let shown = page.get("/cook/recipe/butternut").body;
    let said = shown.split("data-said=\"").nth(1).unwrap();
    let said = said.split('"').next().unwrap();
    assert!(said.contains("Stop: "), "{said}");
    let bar = shown.split("<div id=\"result\">").nth(1).unwrap();
    assert!(
        bar.contains("gravest") && bar.contains("href=\"#objections\""),
        "{bar}"
    );
    assert!(
        bar.contains(" cubes"),
        "the amount that the figures are of: {bar}"
    );
}
