//! The shopping list, and what is ticked off of it.

use super::client::Answer;
use super::running::{Running, household};
use super::support::{TODAY, trayful};

/// A household that plans to cook squash on Sunday, and its page.
fn planned() -> (tempfile::TempDir, Running) {
    let folder = household();
    let page = Running::inside(folder.path());
    cook(&page, "2026-11-29", "1");
    (folder, page)
}

fn cook(page: &Running, on: &str, trays: &str) {
    let form = [("on", on), ("do", "set"), ("trays-butternut", trays)];
    assert_eq!(page.post("/week/cook", &form).status, 303);
}

const SQUASH: &str = "11485";

fn tick(page: &Running, bought: &str) -> Answer {
    let form = [("from", TODAY), ("food", SQUASH), ("bought", bought)];
    page.post("/week/shop", &form)
}

/// Whether a food is ticked off, as its button says.
fn is_ticked(page: &Running, address: &str) -> bool {
    let list = page.get(address).body;
    let of_it = list.split(&format!("id=\"food-{SQUASH}\"")).nth(1).unwrap();
    let pressed = of_it.split("aria-pressed=\"").nth(1).unwrap();
    pressed.starts_with("true")
}

#[test]
fn a_tick_stays_and_page_text_and_json_have_it() {
    let (folder, page) = planned();
    assert!(!is_ticked(&page, "/week/shop"));
    let answer = tick(&page, "yes");
    assert_eq!(answer.status, 303, "{}", answer.body);
    let back = answer.header("location");
    assert_eq!(back, format!("/week/shop?from={TODAY}#food-{SQUASH}"));
    drop(page);
    let page = Running::inside(folder.path());
    assert!(is_ticked(&page, "/week/shop"), "it survives a new start");
    assert!(
        is_ticked(&page, "/week/shop?from=2026-11-28"),
        "and the next day's list"
    );
    let text = page.get(&format!("/week/shop/text?from={TODAY}"));
    assert!(text.header("content-type").starts_with("text/plain"));
    assert!(
        text.body.contains("[x] Squash, winter, butternut"),
        "{}",
        text.body
    );
    let shop = |more: &[&str]| {
        let words = ["shop", "--from", TODAY, "--to", "2026-12-03", "--on", TODAY];
        let all = [&words[..], more].concat();
        trayful(&all).inside(folder.path()).said().out
    };
    let said = shop(&[]);
    let mut lines = said.lines();
    let ticked = lines.any(|line| line.starts_with("x ") && line.contains("squash"));
    assert!(ticked && said.contains("x ticked off"), "{said}");
    let json: serde_json::Value = serde_json::from_str(&shop(&["--json"])).unwrap();
    let items = json["shelves"].as_array().unwrap().iter();
    let mut items = items.flat_map(|shelf| shelf["items"].as_array().unwrap());
    let squash = items.find(|item| item["food"] == SQUASH).unwrap();
    assert_eq!(squash["ticked"], true);
    assert_eq!(tick(&page, "no").status, 303);
    assert!(!is_ticked(&page, "/week/shop"));
}

#[test]
fn a_tick_no_longer_covers_a_need_that_has_grown() {
    let (_folder, page) = planned();
    assert_eq!(tick(&page, "yes").status, 303);
    cook(&page, "2026-11-29", "3");
    assert!(!is_ticked(&page, "/week/shop"));
    let list = page.get("/week/shop").body;
    assert!(list.contains("more is needed by now than the"), "{list}");
    cook(&page, "2026-11-29", "1");
    assert!(is_ticked(&page, "/week/shop"), "the need is what it was");
}

#[test]
fn what_was_cooked_since_is_used_up() {
    let (folder, page) = planned();
    assert_eq!(tick(&page, "yes").status, 303);
    let freeze = ["freeze", "butternut", "--trays", "1", "--on", TODAY];
    let said = trayful(&freeze).inside(folder.path()).said();
    assert_eq!(said.code, 0, "{}", said.err);
    cook(&page, "2026-11-30", "1");
    assert!(
        !is_ticked(&page, "/week/shop"),
        "another batch needs another squash"
    );
}

#[test]
fn lists_of_other_days_have_ticks_of_their_own() {
    let (_folder, page) = planned();
    cook(&page, "2026-12-07", "1");
    assert_eq!(tick(&page, "yes").status, 303);
    assert!(!is_ticked(&page, "/week/shop?from=2026-12-05"));
}

#[test]
fn nothing_but_a_food_of_the_list_is_ticked_off() {
    let (_folder, page) = planned();
    for (food, bought, from) in [
        ("", "yes", TODAY),
        ("11485", "perhaps", TODAY),
        ("11485", "yes", "never"),
        ("'; DROP TABLE tick; --", "yes", TODAY),
    ] {
        let form = [("from", from), ("food", food), ("bought", bought)];
        assert_eq!(
            page.post("/week/shop", &form).status,
            404,
            "{food} {bought} {from}"
        );
    }
    // A food that is not on the list: nothing happens.
    let form = [("from", TODAY), ("food", "01123"), ("bought", "yes")];
    assert_eq!(page.post("/week/shop", &form).status, 303);
    assert!(!is_ticked(&page, "/week/shop"));
}

#[test]
fn what_is_bought_for_one_child_is_no_stop_for_another() {
    let folder = household();
    let book = folder.path().join("book.toml");
    let milo = "\n[[child]]\nname = \"Milo\"\nborn = \"2026-01-10\"\nallergies = [\"egg\"]\n";
    let text = std::fs::read_to_string(&book).unwrap() + milo;
    std::fs::write(&book, text).unwrap();
    let page = Running::inside(folder.path());
    let meal = [
        ("on", "2026-11-30"),
        ("child", "Wren"),
        ("meal", "lunch"),
        ("recipe-egg-oat-apple", "2"),
        ("do", "set"),
    ];
    let sent = page.post("/week/meal", &meal);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let cook = [
        ("on", "2026-11-29"),
        ("do", "set"),
        ("trays-egg-oat-apple", "1"),
    ];
    let sent = page.post("/week/cook", &cook);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let list = page.get("/week/shop").body;
    assert!(
        list.contains("for Wren: Keep it from Milo. On record as an allergy of Milo (egg)"),
        "{list}"
    );
    assert!(!list.contains("<strong>Stop:</strong>"), "{list}");
}
