//! Cubes past their last day are thrown away at once, and put back at once.

use super::running::{Running, household};
use super::support::trayful;

/// The hidden fields of the form that throws away what is past its last day.
fn past(freezer: &str) -> Vec<(String, String)> {
    let Some((_, form)) = freezer.split_once("action=\"/freezer/past\"") else {
        return Vec::new();
    };
    let form = form.split("</form>").next().unwrap();
    let fields = form.split("name=\"cubes-").skip(1);
    let field = |text: &str| {
        let mut parts = text.split('"');
        let batch = parts.next().unwrap().to_string();
        (format!("cubes-{batch}"), parts.nth(1).unwrap().to_string())
    };
    fields.map(field).collect()
}

#[test]
fn all_that_is_past_its_last_day_is_thrown_away_at_once_and_put_back_at_once() {
    let folder = household();
    let page = Running::inside(folder.path());
    let left = || {
        trayful(&["freezer", "--json"])
            .inside(folder.path())
            .answer()
    };
    let before = left();
    let freezer = page.get("/freezer").body;
    let fields = past(&freezer);
    assert!(fields.len() > 1, "{fields:?}");
    let fields: Vec<_> = fields
        .iter()
        .map(|(name, cubes)| (name.as_str(), cubes.as_str()))
        .collect();
    let sent = page.post("/freezer/past", &fields);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let told = page.get(sent.header("location"));
    assert_eq!(
        told.body.matches("Threw away ").count(),
        fields.len(),
        "{}",
        told.body
    );
    assert!(!told.body.contains("Past their last day"), "{}", told.body);
    let log = trayful(&["log", "--kind", "discard"])
        .inside(folder.path())
        .answer();
    assert!(log.contains("past the last day"), "{log}");
    let again = page.post("/freezer/past", &fields);
    let again = page.get(again.header("location")).body;
    assert!(
        again.contains("Nothing was thrown away: the freezer is not as it was shown."),
        "{again}"
    );
    let back = [("entry", told.hidden("entry")), ("back", "/freezer".into())];
    let back = back.each_ref().map(|(name, value)| (*name, value.as_str()));
    assert_eq!(page.post("/undo", &back).status, 303);
    assert_eq!(left(), before);
}

#[test]
fn only_what_is_past_its_last_day_goes_that_way() {
    let folder = household();
    let page = Running::inside(folder.path());
    let before = trayful(&["freezer"]).inside(folder.path()).answer();
    let last = trayful(&["freeze", "butternut", "--cubes", "6"])
        .inside(folder.path())
        .answer();
    let (_, number) = last.split_once('#').unwrap();
    let number: String = number.chars().take_while(char::is_ascii_digit).collect();
    let fresh = format!("cubes-{number}");
    for fields in [
        &[(fresh.as_str(), "6")][..],
        &[],
        &[("cubes-9999", "1")],
        &[("cubes-16", "all")],
    ] {
        let sent = page.post("/freezer/past", fields);
        assert!(
            [404, 422].contains(&sent.status),
            "{fields:?}: {}",
            sent.status
        );
    }
    let after = trayful(&["freezer"]).inside(folder.path()).answer();
    assert!(
        !before.contains(&format!("#{number} ")) && after.contains(&format!("#{number} ")),
        "{after}"
    );
}

#[test]
fn half_a_cube_counts_as_taken_and_too_many_are_refused_by_their_title() {
    let folder = household();
    let page = Running::inside(folder.path());
    let serve = |cubes: &str| {
        let meal = [("cubes", cubes), ("how", "taken"), ("on", "2026-11-26")];
        page.post("/freezer/48/serve", &meal)
    };
    let sent = serve("1\u{bd}");
    assert_eq!(sent.status, 303, "{}", sent.body);
    let told = page.get(sent.header("location")).body;
    assert!(
        told.contains("The cube of which half was served counts as taken out"),
        "{told}"
    );
    let none = serve("some");
    assert!(
        none.status == 422 && none.body.contains("such as 2 or 1\u{bd}"),
        "{}",
        none.body
    );
    let discard = [("cubes", "99"), ("on", "2026-11-26")];
    for many in [serve("99"), page.post("/freezer/48/discard", &discard)] {
        assert_eq!(many.status, 422, "{}", many.body);
        assert!(
            many.body
                .contains("There are 10 cubes of Salmon, broccoli and millet, not 99."),
            "{}",
            many.body
        );
    }
}

#[test]
fn cubes_that_are_next_to_nothing_are_not_frozen() {
    let folder = household();
    let page = Running::inside(folder.path());
    let before = trayful(&["freezer"]).inside(folder.path()).answer();
    let fields = [("cubes", "3000"), ("on", "2026-11-26"), ("trays", "1")];
    let sent = page.post("/cook/recipe/butternut/freeze", &fields);
    assert_eq!(sent.status, 422, "{}", sent.body);
    assert!(
        sent.body.contains("3000 cubes of this batch would weigh")
            && sent.body.contains("id=\"cubes-fault\""),
        "{}",
        sent.body
    );
    assert_eq!(trayful(&["freezer"]).inside(folder.path()).answer(), before);
}
