//! What the rooms say for a very young child and for an older one. The demo's own day is 16
//! November 2026.

use super::running::Running;

/// The demo with Wren born on another day.
fn with_birthday(day: &str) -> (tempfile::TempDir, Running) {
    let around = tempfile::tempdir().unwrap();
    let page = Running::inside(around.path());
    assert_eq!(page.post("/demo", &[]).status, 303);
    let mut inside = std::fs::read_dir(around.path()).unwrap();
    let book = inside.next().unwrap().unwrap().path().join("book.toml");
    let text = std::fs::read_to_string(&book).unwrap();
    let born = text.lines().find(|line| line.starts_with("born")).unwrap();
    let changed = text.replace(born, &format!("born = {day:?}"));
    assert_ne!(changed, text);
    std::fs::write(&book, changed).unwrap();
    (around, page)
}

/// CDC, American Academy of Pediatrics: no solids before four months, and at about six.
#[test]
fn a_young_baby_is_offered_no_new_food_in_any_room() {
    for (day, sentence) in [
        ("2026-10-20", "Milk alone before 4 months: no solids yet."),
        ("2026-07-17", "Milk alone before 4 months: no solids yet."),
        ("2026-07-16", "ask the paediatrician first"),
        ("2026-05-17", "ask the paediatrician first"),
    ] {
        let (_folder, page) = with_birthday(day);
        for room in ["/", "/tastes"] {
            let body = page.get(room).body;
            assert!(body.contains(sentence), "{room}, born {day}");
            assert!(!body.contains("may come"), "{room}, born {day}");
            let due = body.find("Solids start at about 6 months");
            let source = body.find("WHO, Guideline for complementary feeding");
            assert!(due.is_some() && due < source, "{room}, born {day}");
        }
    }
    let (_folder, page) = with_birthday("2026-05-16");
    for room in ["/", "/tastes"] {
        let body = page.get(room).body;
        assert!(
            body.contains("may come") && !body.contains("olids start"),
            "{room}"
        );
    }
}

/// At 27 days and at 3 months every meal is stopped, whatever is in it; the page says so before it
/// is recorded.
#[test]
fn a_meal_of_a_young_baby_is_stopped_in_every_room() {
    for day in ["2026-10-20", "2026-07-17"] {
        let (_folder, page) = with_birthday(day);
        let sentence = "Milk alone before 4 months: no solids yet.";
        for room in ["/freezer/48/serve", "/mix?cubes-48=2"] {
            let shown = page.get(room).body;
            let said = shown.find(sentence);
            assert!(
                said.is_some() && said < shown.find("Record it anyway"),
                "{room}"
            );
        }
        let freezer = page.get("/freezer").body;
        assert_eq!(
            freezer.matches(sentence).count(),
            1,
            "once for all batches: {freezer}"
        );
        let meal = [("cubes", "1"), ("how", "taken"), ("on", "2026-11-16")];
        let stop = page.post("/freezer/48/serve", &meal);
        assert!(
            stop.status == 422 && stop.body.contains(sentence),
            "{}",
            stop.body
        );
        assert!(!page.get("/tastes").body.contains("any day"), "born {day}");
    }
}

#[test]
fn an_older_child_has_no_reference_in_any_room() {
    let (_folder, page) = with_birthday("2022-11-10");
    for room in [
        "/mix?cubes-48=2",
        "/foods/11485",
        "/week/held",
        "/cook/recipe/butternut",
        "/cook/recipe/butternut/card",
    ] {
        let sent = page.get(room);
        assert_eq!(sent.status, 200, "{room}");
        let body = sent.body.to_lowercase();
        assert!(body.contains("no reference here"), "{room}: {body}");
        assert!(!body.contains("of 11 mg"), "{room}");
    }
    // For a child a day younger there is a reference.
    let (_folder, page) = with_birthday("2022-11-17");
    let mix = page.get("/mix?cubes-48=2").body;
    assert!(mix.contains("iron (RDA 7 mg, EAR 3 mg a day)"), "{mix}");
}
