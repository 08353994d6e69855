//! A bowl whose figures follow its amounts while they change, and by a button.

use super::running::{Running, household};
use super::support::trayful;

/// The figures alone, as they are fetched while the form is filled in.
fn figures(page: &Running, fields: &[(&str, &str)]) -> (u16, String) {
    let answer = page.post("/mix/figures", fields);
    (answer.status, answer.body)
}

/// The text between two others.
fn between<'a>(body: &'a str, start: &str, end: &str) -> &'a str {
    assert!(body.contains(start), "{start}: {body}");
    let (_, rest) = body.split_once(start).unwrap();
    rest.split(end).next().unwrap()
}

/// The answer in short that the bar shows.
fn bar(body: &str) -> &str {
    between(body, "<div data-result hidden>", "</div>")
}

#[test]
fn the_answer_follows_the_amounts_and_is_that_of_the_command_line() {
    let folder = household();
    let page = Running::inside(folder.path());
    let mut iron = Vec::new();
    for (cubes, bowl) in [("1", "1 #48, 30 g 09040"), ("3", "3 #48, 30 g 09040")] {
        let (status, body) = figures(&page, &[("cubes-48", cubes), ("other", "30 g 09040")]);
        assert_eq!(status, 200, "{body}");
        let told = trayful(&["mix", bowl]).inside(folder.path()).answer();
        let line = told
            .lines()
            .find(|line| line.starts_with("iron ("))
            .unwrap();
        let figure = line.split("  ").last().unwrap().trim();
        let words = format!("<strong>Iron</strong> {figure} of 11 mg (RDA)");
        assert!(bar(&body).contains(&words), "{words}: {}", bar(&body));
        assert!(
            figure.contains('(') && figure.contains(" to "),
            "with its range: {figure}"
        );
        for words in ["kcal", "All eaten"] {
            assert!(bar(&body).contains(words), "{words}: {}", bar(&body));
        }
        assert!(body.contains("data-said=\"") && !body.contains("<html"));
        iron.push(figure.to_string());
    }
    assert_ne!(iron[0], iron[1]);
    // The whole page has the same answer in its bar, above the places of a phone.
    let whole = page.get("/mix?cubes-48=3&other=30+g+09040").body;
    let shown = between(&whole, "<aside class=\"result\"", "</aside>");
    assert!(shown.contains(&iron[1]), "{shown}");
    assert!(whole.contains("data-figures=\"/mix/figures\"") && whole.contains("data-address"));
}

#[test]
fn what_speaks_against_a_bowl_comes_and_goes_with_its_amounts() {
    let folder = household();
    let page = Running::inside(folder.path());
    let (_, with) = figures(&page, &[("cubes-48", "1"), ("other", "20 g honey")]);
    assert!(
        between(&with, "<div data-objections>", "<div data-result").contains("Stop:"),
        "{with}"
    );
    assert!(
        bar(&with).contains("Stop:") && bar(&with).contains("record it anyway"),
        "{with}"
    );
    // The Stop and its reason come before the figures, as the other rooms show it.
    let stop = bar(&with).find("<li class=\"block\"><strong>Stop:</strong>");
    let reason = bar(&with).find("No honey before the first birthday");
    let figures_at = bar(&with).find("kcal");
    assert!(
        stop.is_some() && stop < reason && reason < figures_at,
        "{with}"
    );
    assert!(with.contains("name=\"anyway\""));
    // A warning is named there too.
    let (_, care) = figures(&page, &[("other", "20 g grapes")]);
    let reason = bar(&care).split("<strong>Take care:</strong>").nth(1);
    let reason = reason.and_then(|rest| rest.split("<a href").next());
    assert!(
        reason.is_some_and(|words| words.contains(": ") && words.trim().ends_with('.')),
        "{}",
        bar(&care)
    );
    let (_, without) = figures(&page, &[("cubes-48", "1")]);
    assert!(
        !without.contains("Stop:") && !without.contains("name=\"anyway\""),
        "{without}"
    );
    // A bowl that was looked at without honey is stopped with it.
    let bowl = [
        ("cubes-48", "1"),
        ("other", "20 g honey"),
        ("how", "taken"),
        ("on", "2026-11-27"),
    ];
    let stopped = page.post("/mix", &bowl);
    assert!(stopped.status == 422 && stopped.body.contains("Stop: nothing was recorded yet"));
}

#[test]
fn nothing_and_nonsense_have_no_figures() {
    let folder = household();
    let page = Running::inside(folder.path());
    let (status, empty) = figures(&page, &[("cubes-48", "0"), ("other", "")]);
    assert!(
        status == 200 && bar(&empty).contains("as soon as something is in the bowl"),
        "{empty}"
    );
    for wrong in [
        ("cubes-48", "many"),
        ("cubes-48", "13"),
        ("other", "20 g no such food"),
    ] {
        let (status, body) = figures(&page, &[wrong]);
        assert_eq!(status, 422, "{wrong:?}");
        assert!(
            bar(&body).contains("No figures yet:") && !bar(&body).contains("kcal"),
            "{body}"
        );
    }
}

/// The names of the tunas are those of SR28.
#[test]
fn food_that_may_be_several_is_chosen_by_a_button() {
    let folder = household();
    let page = Running::inside(folder.path());
    let (status, body) = figures(&page, &[("other", "50g tuna, 20 g banana")]);
    assert_eq!(status, 422);
    let objections = between(&body, "<div data-objections>", "<div data-result");
    for words in [
        "name=\"meant-other\" value=\"50g tuna (15121), 20 g banana\"",
        "Fish, tuna, light, canned in water, drained solids</button>",
    ] {
        assert!(objections.contains(words), "{words}: {objections}");
    }
    assert!(
        bar(&body).contains("choose one of these") && !bar(&body).contains("15121"),
        "{body}"
    );
    // SR28: 2000 and 672 mg of sodium.
    let (_, salty) = figures(&page, &[("other", "20 g smoked salmon")]);
    for figure in [
        "2000 mg sodium in 100 g</button>",
        "672 mg sodium in 100 g</button>",
    ] {
        assert!(salty.contains(figure), "{figure}: {salty}");
    }
    let eaten = [
        ("other", "50g tuna, 20 g banana"),
        ("how", "taken"),
        ("on", "2026-11-26"),
    ];
    let whole = page.post("/mix", &eaten).body;
    assert!(
        whole.contains("name=\"meant-other\"") && !whole.contains("by its id"),
        "{whole}"
    );
    let chosen = [
        ("other", "50g tuna, 20 g banana"),
        ("meant-other", "50g tuna (15121), 20 g banana"),
        ("on", "2026-11-26"),
    ];
    let sent = page.post("/mix", &chosen);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let shown = page.get(sent.header("location")).body;
    assert!(
        shown.contains("value=\"50g tuna (15121), 20 g banana\"") && shown.contains("id=\"bowl\""),
        "{shown}"
    );
    let meal = [
        ("on", "2026-11-28"),
        ("child", "Wren"),
        ("meal", "lunch"),
        ("other", "50 g tuna"),
        ("do", "set"),
    ];
    let asked = page.post("/week/meal", &meal);
    assert!(
        asked.status == 422 && asked.body.contains("value=\"50 g tuna (15121)\""),
        "{}",
        asked.body
    );
    let chosen = [&meal[..4], &[("meant-other", "50 g tuna (15121)")]].concat();
    assert_eq!(page.post("/week/meal", &chosen).status, 303);
}

#[test]
fn a_bowl_is_looked_at_by_a_button_too_and_nothing_of_it_is_lost() {
    let folder = household();
    let page = Running::inside(folder.path());
    let fields = [
        ("cubes-48", "2"),
        ("cubes-63", "0"),
        ("other", "20 g banana"),
        ("meal", "supper"),
        ("on", "2026-11-26"),
        ("seen", "a \"rash\""),
        ("work", "yes"),
    ];
    let sent = page.post("/mix", &fields);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let address = sent.header("location");
    assert!(
        !address.contains("token") && address.starts_with("/mix?cubes-48=2&other="),
        "{address}"
    );
    let shown = page.get(address).body;
    for words in [
        "id=\"bowl\"",
        "value=\"supper\" checked",
        "value=\"2026-11-26\"",
        "value=\"a &#34;rash&#34;\"",
        "value=\"20 g banana\"",
    ] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    // Words that are too long for an address are kept in the page itself.
    let long = "é".repeat(490);
    let sent = page.post(
        "/mix",
        &[&fields[..5], &[("seen", &long), ("work", "yes")]].concat(),
    );
    assert!(
        sent.body.contains(&long) && sent.body.contains("id=\"bowl\""),
        "{}",
        sent.body
    );
    let log = trayful(&["log", "--last", "30d"])
        .inside(folder.path())
        .answer();
    assert!(
        !log.contains("26 Nov 2026"),
        "to look records nothing: {log}"
    );
}
