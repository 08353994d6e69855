//! What was written down can be corrected, taken back and put back on the page.

use super::running::{Running, household};
use super::support::trayful;

/// The number of the last meal in the history.
fn meal(page: &Running) -> String {
    let body = page.get("/history").body;
    let lunch = body
        .split("<li")
        .find(|entry| entry.contains("lunch: "))
        .unwrap();
    let number = lunch.split("class=\"number\">").nth(1).unwrap();
    number.split('<').next().unwrap().to_string()
}

#[test]
fn a_meal_is_corrected_and_the_correction_taken_back_and_put_back() {
    let folder = household();
    let page = Running::inside(folder.path());
    let number = meal(&page);
    let form = page.get(&format!("/history/{number}")).body;
    assert!(form.contains("How much was eaten?") && form.contains("Seen later"));
    let day = form
        .split("name=\"on\" type=\"date\" required value=\"")
        .nth(1)
        .unwrap()[..10]
        .to_string();
    let fields = [
        ("number", number.as_str()),
        ("how", "0.25"),
        ("meal", "supper"),
        ("on", day.as_str()),
    ];
    let sent = page.post(&format!("/history/{number}"), &fields);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let after = page.get(sent.header("location"));
    assert!(
        after.body.contains("Corrected: ") && after.body.contains("some of it (25 %)"),
        "{}",
        after.body
    );
    // A form of the former version is refused, so that no correction is lost unseen.
    let other = page.post(&format!("/history/{number}"), &fields);
    assert_eq!(other.status, 422);
    let correction = after.hidden("entry");
    let undone = page.post("/undo", &[("entry", &correction), ("back", "/history")]);
    let told = page.get(undone.header("location"));
    assert!(
        told.body.contains("Took back the correction"),
        "{}",
        told.body
    );
    let all = page.get("/history?all=1").body;
    assert!(all.contains("some of it (25 %)") && all.contains("Put it back"));
    let redone = page.post(
        "/undo",
        &[("entry", &told.hidden("entry")), ("back", "/history")],
    );
    assert!(
        page.get(redone.header("location"))
            .body
            .contains("Put back entry")
    );
}

#[test]
fn a_reaction_is_written_down_later_and_named_at_once() {
    let folder = household();
    let page = Running::inside(folder.path());
    let number = meal(&page);
    let path = format!("/history/{number}/seen");
    let empty = page.post(&path, &[("seen", ""), ("on", "2026-11-16")]);
    assert_eq!(empty.status, 422);
    let sent = page.post(
        &path,
        &[("seen", "wheezing, swollen lips"), ("on", "2026-11-16")],
    );
    assert_eq!(sent.status, 303, "{}", sent.body);
    let told = page.get(sent.header("location")).body;
    assert!(told.contains("Call the emergency number now"), "{told}");
    assert!(page.get("/tastes").body.contains("wheezing, swollen lips"));
}

#[test]
fn an_entry_that_is_not_there_or_has_no_form_is_no_address() {
    let folder = household();
    let page = Running::inside(folder.path());
    for path in ["/history/999999", "/history/lunch"] {
        assert_eq!(page.get(path).status, 404, "{path}");
    }
    for number in ["", "lunch", "99999999999999999999"] {
        let fields = [("number", number), ("how", "taken"), ("on", "2026-11-16")];
        let sent = page.post(&format!("/history/{}", meal(&page)), &fields);
        assert_eq!(sent.status, 404, "the version {number:?} does not parse");
    }
    let tomorrow = [
        ("number", "1"),
        ("how", "taken"),
        ("meal", ""),
        ("on", "2099-01-01"),
    ];
    let sent = page.post(&format!("/history/{}", meal(&page)), &tomorrow);
    assert_eq!(sent.status, 422);
    assert!(sent.body.contains("still to come"));
}

#[test]
fn weight_supplement_and_milk_are_corrected() {
    let folder = household();
    let page = Running::inside(folder.path());
    let commands: [&[&str]; 3] = [
        &["measure", "--weight", "18 lb", "--on", "2026-11-20"],
        &[
            "supplement",
            "vitamin D drops",
            "400 IU",
            "--on",
            "2026-11-20",
        ],
        &["milk", "breast 5 feeds", "--on", "2026-11-20"],
    ];
    for (command, typed, now) in [
        (commands[0], "8.3 kg", "weight 8.3 kg"),
        (commands[1], "600 IU", "vitamin D drops: 15 µg"),
        (commands[2], "breast 100 ml", "104 g of milk"),
    ] {
        let _ = trayful(command).inside(folder.path()).answer();
        let log = trayful(&["log", "--json"]).inside(folder.path()).answer();
        let (_, number) = log.split_once("\"number\": ").unwrap();
        let number: String = number.chars().take_while(char::is_ascii_digit).collect();
        let path = format!("/history/{number}");
        let form = page.get(&path).body;
        let (_, shown) = form.split_once("id=\"words\"").unwrap();
        let shown = shown
            .split("value=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap();
        let send = |words: &str, on: &str| {
            page.post(
                &path,
                &[("number", number.as_str()), ("words", words), ("on", on)],
            )
        };
        let same = send(shown, "2026-11-20");
        assert!(
            same.status == 422 && same.body.contains("Nothing was named"),
            "{}",
            same.body
        );
        for wrong in ["", "a lot of it", "-3"] {
            let sent = send(wrong, "2026-11-20");
            assert!(
                sent.status == 422 && sent.body.contains("id=\"words-fault\""),
                "{command:?}: {wrong}"
            );
        }
        let sent = send(typed, "2026-11-20");
        let after = page.get(sent.header("location")).body;
        assert!(sent.status == 303 && after.contains(now), "{now}: {after}");
        let log = trayful(&["log"]).inside(folder.path()).answer();
        let log = log.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(log.contains(now), "{now}: {log}");
    }
}

#[test]
fn what_was_seen_after_a_meal_that_was_taken_back_is_kept_in_the_form() {
    let folder = household();
    let page = Running::inside(folder.path());
    let number = meal(&page);
    let undone = page.post("/undo", &[("entry", &number), ("back", "/")]);
    let told = page.get(undone.header("location")).body;
    assert!(told.contains(">Put it back</button>"), "{told}");
    let path = format!("/history/{number}/seen");
    let seen = [("seen", "wheezing, swollen lips"), ("on", "2026-11-16")];
    let sent = page.post(&path, &seen);
    assert_eq!(sent.status, 422, "{}", sent.body);
    for words in [
        "Call the emergency number now",
        "The meal was taken back.",
        "value=\"wheezing, swollen lips\"",
    ] {
        assert!(sent.body.contains(words), "{words}: {}", sent.body);
    }
    assert_eq!(page.post(&path, &[("on", "2026-11-16")]).status, 404);
}

#[test]
fn the_week_shows_what_was_seen_later_and_what_was_not_eaten() {
    let folder = household();
    let page = Running::inside(folder.path());
    let number = meal(&page);
    let form = page.get(&format!("/history/{number}")).body;
    let day = form
        .split("type=\"date\" required value=\"")
        .nth(1)
        .unwrap();
    let day = &day[..10];
    let seen = [("seen", "hives on the cheek"), ("on", day)];
    assert_eq!(
        page.post(&format!("/history/{number}/seen"), &seen).status,
        303
    );
    let week = page.get(&format!("/week?from={day}&child=Wren")).body;
    assert!(
        week.contains("seen later: hives on the cheek") && week.contains("class=\"cell noted\""),
        "{week}"
    );
    let held = page.get(&format!("/week/held?from={day}&child=Wren")).body;
    assert!(held.contains("<strong>Reaction:</strong>"), "{held}");
    let refused = [
        "serve",
        "20 g 09040",
        "--meal",
        "breakfast",
        "--on",
        "2026-11-26",
        "--how",
        "refused",
    ];
    let _ = trayful(&refused).inside(folder.path()).answer();
    let week = page.get("/week?from=2026-11-26&child=Wren").body;
    assert!(week.contains("class=\"cell refused\""), "{week}");
}
