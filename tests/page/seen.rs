//! Which child is seen, in a household of two: the address says it, a cookie keeps it, and every
//! room keeps to it.

use std::io::Write as _;

use super::client::Answer;
use super::running::{Running, household};
use super::support::trayful;

/// The household with a second child, who had a meal of its own.
fn of_two() -> (tempfile::TempDir, Running) {
    let folder = household();
    let book = folder.path().join("book.toml");
    let mut book = std::fs::OpenOptions::new().append(true).open(book).unwrap();
    book.write_all(
        b"\n[[child]]\nname = \"Ada \xc3\xa9\"\nborn = \"2026-04-01\"\nmilk = \"breast\"\n",
    )
    .unwrap();
    let say = |words: &[&str]| {
        let _ = trayful(words).inside(folder.path()).answer();
    };
    let ada = ["--child", "Ada é", "--on", "2026-11-15"];
    say(&[&["serve", "1 #63", "--meal", "lunch"], &ada[..]].concat());
    say(&[&["question", "Egg once more?"], &ada[..]].concat());
    say(&[
        "question",
        "Iron drops?",
        "--child",
        "Wren",
        "--on",
        "2026-11-15",
    ]);
    for child in ["Ada é", "Wren"] {
        say(&[
            "plan",
            "set",
            "2026-11-27",
            "lunch",
            "30 g 09040",
            "--child",
            child,
        ]);
    }
    let page = Running::inside(folder.path());
    (folder, page)
}

/// The page without the switch between children and without the last entry, which may be of any
/// child.
fn main_part(answer: &Answer) -> String {
    let body = answer.body.split("<main").nth(1).unwrap();
    let body = body.split("</main>").next().unwrap();
    let (_, body) = body.split_once("</ul>").unwrap();
    body.split("class=\"last\"").next().unwrap().to_string()
}

const OF_ALL: [&str; 7] = [
    "/",
    "/week",
    "/week/held",
    "/tastes",
    "/history",
    "/household",
    "/catch-up",
];

#[test]
fn with_one_child_there_is_nothing_to_choose() {
    let folder = household();
    let page = Running::inside(folder.path());
    for room in OF_ALL.iter().chain(&["/mix", "/visit", "/household/milk"]) {
        let shown = page.get(room);
        assert_eq!(shown.status, 200, "{room}");
        assert!(!shown.body.contains("class=\"whom\""), "{room}");
        assert_eq!(shown.header("set-cookie"), "", "{room}");
    }
    let first = page.get("/").body;
    assert!(
        first.contains("href=\"/household#add\""),
        "a second child is one tap away"
    );
    let add = page.get("/household").body;
    assert!(add.contains("id=\"add\"") && add.contains("name=\"weight\""));
}

#[test]
fn every_room_keeps_to_the_child_that_is_seen() {
    let (_folder, page) = of_two();
    for room in OF_ALL {
        let both = page.get(&format!("{room}?child="));
        assert!(both.body.contains(">Both</a>"), "{room}: {}", both.body);
        let both = main_part(&both);
        assert!(
            both.contains("Wren") && both.contains("Ada é"),
            "{room}: {both}"
        );
        for (one, other) in [("Wren", "Ada é"), ("Ada é", "Wren")] {
            let query = super::client::encoded(&[("child", one)]);
            let shown = page.get(&format!("{room}?{query}"));
            assert_eq!(shown.status, 200, "{room}");
            let current = format!("aria-current=\"true\">{one}</a>");
            assert!(shown.body.contains(&current), "{room}: {}", shown.body);
            let part = main_part(&shown);
            assert!(!part.contains(other), "{room} of {one}: {part}");
        }
    }
    let ada = super::client::encoded(&[("child", "Ada é")]);
    let visit = page.get(&format!("/visit?{ada}")).body;
    assert!(
        visit.contains("Egg once more?") && !visit.contains("Iron drops?"),
        "{visit}"
    );
    let mix = page.get(&format!("/mix?cubes-48=1&{ada}")).body;
    assert!(
        mix.contains("Mix a bowl for Ada é") && !mix.contains(">Both</a>"),
        "{mix}"
    );
    let propose = page.get(&format!("/week/propose?{ada}")).body;
    assert!(propose.contains("For Ada é,"), "{propose}");
}

#[test]
fn the_address_says_who_is_seen_and_a_cookie_keeps_it() {
    let (_folder, page) = of_two();
    // Back and Reload show what was seen, since no address of these rooms leaves it open.
    let open = page.ask("/week?from=2026-11-09", "");
    assert_eq!(open.status, 303);
    assert_eq!(open.header("location"), "/week?from=2026-11-09&child=");
    let chosen = page.ask("/week?child=Ada+%C3%A9", "");
    let cookie = chosen.header("set-cookie");
    assert!(
        cookie.starts_with("trayful-child=Ada+%C3%A9; Path=/; HttpOnly; SameSite=Strict; Max-Age=")
    );
    let kept = format!("other=1; {}", cookie.split(';').next().unwrap());
    for (room, to) in [
        ("/", "/?child=Ada+%C3%A9"),
        ("/tastes", "/tastes?child=Ada+%C3%A9"),
        ("/visit", "/visit?child=Ada+%C3%A9"),
        ("/mix?cubes-48=2", "/mix?cubes-48=2&child=Ada+%C3%A9"),
        ("/household/milk", "/household/milk?child=Ada+%C3%A9"),
    ] {
        assert_eq!(page.ask(room, &kept).header("location"), to);
    }
    let again = page.ask("/week?child=Ada+%C3%A9", &kept);
    assert_eq!(again.header("set-cookie"), "", "it is kept already");
    // A page about one child moves on where one was seen, and leaves all where all were.
    let moved = page.ask("/mix?child=Wren", &kept);
    assert!(
        moved
            .header("set-cookie")
            .starts_with("trayful-child=Wren;")
    );
    assert_eq!(page.ask("/mix?child=Wren", "").header("set-cookie"), "");
    let all = page.ask("/?child=", &kept);
    assert!(all.header("set-cookie").starts_with("trayful-child=;"));
    // Where the book does not have the kept child, as after a renaming, all are seen.
    let gone = page.ask("/", "trayful-child=Robin");
    assert_eq!(gone.header("location"), "/?child=");
}

#[test]
fn what_an_address_names_never_becomes_a_cookie_of_its_own() {
    let (_folder, page) = of_two();
    for evil in [
        "Robin",
        "%0d%0aSet-Cookie:+x=1",
        "Wren%0d%0aX-Evil:+1",
        "%3Cscript%3E",
    ] {
        for room in ["/", "/week", "/mix", "/household/milk"] {
            let answer = page.ask(&format!("{room}?child={evil}"), "");
            assert_eq!(answer.header("set-cookie"), "", "{room} {evil}");
            assert!(answer.headers.iter().all(|(name, _)| name != "x-evil"));
            assert!(
                answer.status < 500 && !answer.body.contains("<script>"),
                "{room} {evil}"
            );
        }
    }
}

#[test]
fn a_dish_is_served_to_the_child_that_is_seen_or_is_chosen() {
    let (_folder, page) = of_two();
    for (room, checked) in [
        ("/", "type=\"hidden\" name=\"child\" value=\"Wren\""),
        ("/freezer/48/serve", "name=\"child\" value=\"Wren\" checked"),
    ] {
        let of_wren = page
            .ask(&format!("{room}?child=Wren"), "trayful-child=Wren")
            .body;
        assert!(of_wren.contains(checked), "{room}: {of_wren}");
        let of_both = page.ask(&format!("{room}?child="), "").body;
        let forms = of_both.split("/serve\" novalidate>").skip(1);
        for form in forms.map(|form| form.split("</form>").next().unwrap()) {
            assert!(!form.contains(checked), "{room}: {form}");
            assert!(form.contains("value=\"Wren\""), "{room}: {form}");
        }
    }
    let meal = [("cubes", "1"), ("how", "taken"), ("on", "2026-11-16")];
    let nobody = page.post("/freezer/48/serve", &meal);
    assert!(nobody.status == 422 && nobody.body.contains("id=\"child-fault\""));
    // What was typed into a form is not lost by a look at another child.
    let bowl = [("cubes-48", "2"), ("child", "Wren"), ("how", "taken")];
    let again = page.post("/mix", &bowl);
    assert!(
        again.status == 422 && !again.body.contains("class=\"whom\""),
        "{}",
        again.body
    );
}

/// What is on record for every child that is seen is not offered to be written down once more.
#[test]
fn a_meal_that_all_have_had_is_not_offered_again() {
    let (folder, _page) = of_two();
    for child in ["Ada é", "Wren"] {
        for meal in ["breakfast", "lunch", "supper"] {
            let serve = ["serve", "10 g 11485", "--meal", meal, "--child", child];
            let _ = trayful(&serve).inside(folder.path()).said();
        }
    }
    let page = Running::inside(folder.path());
    let today = main_part(&page.get("/"));
    assert!(today.contains("Something more from the freezer"), "{today}");
    for meal in ["breakfast", "lunch", "supper"] {
        assert!(
            !today.contains(&format!("name=\"meal\" value=\"{meal}\" checked")),
            "{meal}"
        );
    }
    assert!(
        today.contains("name=\"meal\" value=\"\" checked"),
        "{today}"
    );
}

/// The page and the command show a batch for the same child: the youngest for whom solids are due.
#[test]
fn a_batch_is_shown_for_the_youngest_who_eats() {
    let folder = household();
    let add = |name: &str, born: &str| {
        let child = ["child", "add", name, "--born", born];
        let _ = trayful(&child).inside(folder.path()).said();
    };
    let shown = |months: u32| {
        let batch = ["batch", "red-lentil-squash", "--json"];
        let json: serde_json::Value =
            serde_json::from_str(&trayful(&batch).inside(folder.path()).said().out).unwrap();
        assert_eq!(json["age_months"], months);
        let page = Running::inside(folder.path());
        let recipe = page.get("/cook/recipe/red-lentil-squash").body;
        let words = format!("for a child of {months} months");
        assert!(recipe.contains(&words), "{recipe}");
    };
    add("Ada", "2025-02-01");
    shown(8);
    add("Robin", "2026-05-10");
    shown(6);
    // Too young for any purée.
    add("Luc", "2026-10-01");
    shown(6);
}
