//! How the page is opened, started without a book, and stopped.

use super::client::encoded;
use super::running::{Running, household};
use super::support::trayful;

#[test]
fn it_stops_on_a_signal_and_says_so() {
    let folder = household();
    for signal in ["-INT", "-TERM"] {
        let page = Running::inside(folder.path());
        page.signal(signal);
        let (code, out, err) = page.ended();
        assert_eq!(
            (code, out.as_str(), err.as_str()),
            (Some(0), "The kitchen page is closed.\n", "")
        );
    }
}

#[test]
fn a_port_in_use_is_reported() {
    let folder = household();
    let page = Running::inside(folder.path());
    let port = page.at.port().to_string();
    let refusal = trayful(&["page", "--port", &port])
        .inside(folder.path())
        .refusal();
    assert!(
        refusal.contains("another program is there") && refusal.contains("--port 0"),
        "{refusal}"
    );
}

#[test]
fn a_book_is_started_on_the_page() {
    let folder = tempfile::tempdir().unwrap();
    let page = Running::inside(folder.path());
    assert_eq!(page.get("/freezer").header("location"), "/start");
    let token = page.token();
    let wrong = page.post(
        "/start",
        &[
            ("child", ""),
            ("born", "then"),
            ("wells", "0"),
            ("well", "lots"),
            ("currency", "$"),
        ],
    );
    assert_eq!(wrong.status, 422);
    assert!(wrong.body.contains("5 things do not fit"), "{}", wrong.body);
    assert!(!folder.path().join("book.toml").exists());
    for (born, why) in [
        ("2026-12-24", "is still to come"),
        ("03/02/2026", "could be Tuesday 3 February 2026"),
        ("", "Choose the day."),
    ] {
        let usual = [("wells", "16"), ("well", "30"), ("currency", "eur")];
        let fields = [&[("child", "Ada"), ("born", born)], &usual[..]].concat();
        let refused = page.post("/start", &fields);
        assert_eq!(refused.status, 422);
        assert!(refused.body.contains(why), "{}", refused.body);
    }
    assert!(!folder.path().join("book.toml").exists());
    let fields = [
        ("child", "Ada \"\n[x]"),
        ("born", "2026-03-02"),
        ("wells", "16"),
        ("well", "30"),
        ("currency", "eur"),
    ];
    assert_eq!(
        page.post("/start", &fields).status,
        422,
        "a name is one line"
    );
    let fields = [
        ("child", "Ada \"]"),
        ("born", "2026-03-02"),
        ("wells", "16"),
        ("well", "30"),
        ("currency", "eur"),
    ];
    let started = page.post("/start", &fields);
    assert_eq!(started.status, 303, "{}", started.body);
    assert!(
        page.get(started.header("location"))
            .body
            .contains("Started a book for Ada &#34;].")
    );
    let freezer = trayful(&["tastes"]).inside(folder.path()).answer();
    assert!(freezer.contains("Ada \"]"), "{freezer}");
    let book = std::fs::read_to_string(folder.path().join("book.toml")).unwrap();
    let again = encoded(&[
        ("token", &token),
        ("child", "Eve"),
        ("born", "2026-03-02"),
        ("wells", "9"),
        ("well", "9"),
        ("currency", "EUR"),
    ]);
    assert_eq!(
        page.send("/start", &again, &[]).header("location"),
        "/",
        "a book is not started over another"
    );
    assert_eq!(
        std::fs::read_to_string(folder.path().join("book.toml")).unwrap(),
        book
    );
}

#[test]
fn a_newcomer_ends_on_a_first_recipe_with_its_cubes_and_iron() {
    let folder = tempfile::tempdir().unwrap();
    let page = Running::inside(folder.path());
    let welcome = page.get("/start").body;
    for words in [
        "1. Your child",
        "2. Your tray",
        "3. Your first recipe",
        "cubes, iron in a cube",
    ] {
        assert!(welcome.contains(words), "{words}: {welcome}");
    }
    let usual = [("wells", "12"), ("well", "25"), ("currency", "EUR")];
    let child = [
        ("child", "Ada"),
        ("born", "2026-03-02"),
        ("recipe", "red-lentil-squash"),
    ];
    let sent = page.post("/start", &[&child[..], &usual].concat());
    assert_eq!(sent.status, 303, "{}", sent.body);
    let recipe = page.get(sent.header("location")).body;
    for words in [
        "Started a book for Ada.",
        "Red lentil and squash",
        "Iron in a cube",
        "of 12 wells",
    ] {
        assert!(recipe.contains(words), "{words}: {recipe}");
    }
    let batch = trayful(&["batch", "red-lentil-squash"])
        .inside(folder.path())
        .answer();
    let (_, makes) = batch.split_once("Makes ").unwrap();
    let cubes = makes.split_whitespace().next().unwrap();
    assert!(
        recipe.contains(&format!("{cubes} cubes of ")),
        "{cubes}: {batch}"
    );
}

#[test]
fn a_book_that_is_started_beside_it_is_shown() {
    let folder = tempfile::tempdir().unwrap();
    let page = Running::inside(folder.path());
    assert_eq!(page.get("/freezer").status, 303);
    let _ = trayful(&["start", ".", "--child", "Wren", "--born", "2026-03-02"])
        .inside(folder.path())
        .answer();
    assert!(page.get("/freezer").body.contains("The freezer is empty."));
}

#[test]
fn the_demo_is_looked_at_and_thrown_away() {
    let folder = tempfile::tempdir().unwrap();
    let page = Running::inside(folder.path());
    assert_eq!(page.post("/demo", &[]).status, 303);
    let freezer = page.get("/freezer").body;
    assert!(
        freezer.contains("An invented household")
            && freezer.contains("Nothing is kept")
            && freezer.contains("28 cubes")
    );
    let meal = [("cubes", "1"), ("how", "taken"), ("on", "2026-11-16")];
    assert_eq!(page.post("/freezer/48/serve", &meal).status, 303);
    assert_eq!(page.post("/demo/leave", &[]).status, 303);
    assert_eq!(page.get("/freezer").header("location"), "/start");
    assert_eq!(page.post("/demo", &[]).status, 303);
    assert!(
        page.get("/freezer").body.contains("28 cubes"),
        "the demo starts again from its first state"
    );
    page.signal("-INT");
    assert_eq!(page.ended().0, Some(0));
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().collect();
    assert!(left.is_empty(), "{left:?}");
}
