//! Days in words at every command that takes one; what was done is not to come.

use serde_json::Value;

use super::household::Household;

/// Wren, born 2026-03-02, with cubes of squash; today is Friday 2026-11-27.
fn with_squash() -> Household {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--on", "2026-11-02"]);
    home
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

#[test]
fn a_day_in_words_is_recorded_and_read_back() {
    let home = with_squash();
    let said = home.said(&["serve", "1 squash", "--on", "last friday"]);
    assert_eq!(said.code, 0, "{}", said.err);
    assert!(said.out.starts_with("Wren, 20 Nov 2026: "), "{}", said.out);
    assert_eq!(
        said.err,
        "note: “last friday” was taken as Friday 20 November 2026\n"
    );
    let said = home.said(&["serve", "1 squash", "--on", "Tues", "--json"]);
    let served = json(&said.out);
    assert_eq!(served["day"], "2026-11-24");
    assert_eq!(
        served["taken"],
        serde_json::json!([{ "typed": "Tues", "day": "2026-11-24" }])
    );
    let said = home.said(&["serve", "1 squash", "--on", "2026-11-26", "--json"]);
    assert!(said.err.is_empty(), "{}", said.err);
    assert_eq!(json(&said.out).get("taken"), None);
}

#[test]
fn every_command_that_takes_a_day_takes_it_in_words() {
    let home = with_squash();
    for args in [
        &["freeze", "lentil", "--on", "yesterday"][..],
        &["freezer", "--on", "monday"],
        &["cook-next", "--on", "next week sunday"],
        &["serve", "1 squash", "--on", "the day before yesterday"],
        &["mix", "1 squash", "--on", "tomorrow"],
        &["milk", "breast", "--from", "17 Oct"],
        &["milk", "breast 5 feeds", "--on", "last night"],
        &["buy", "600 g 11485", "3.49", "--on", "a fortnight ago"],
        &["discard", "1 squash", "--on", "this morning"],
        &["question", "Is it enough?", "--on", "Nov 3rd"],
        &["tastes", "--on", "weds"],
        &["week", "--from", "16 Nov", "--to", "sunday"],
        &["visit", "--from", "2 weeks ago", "-"],
        &[
            "plan",
            "set",
            "in 3 days",
            "lunch",
            "1 squash",
            "--to",
            "3 dec",
        ],
        &["plan", "show", "--from", "monday"],
        &["plan", "check", "--to", "2 weeks from today"],
        &["plan", "export", "-", "--from", "tomorrow"],
        &["shop", "--from", "tomorrow", "--to", "friday week"],
        &["batch", "squash", "--on", "saturday"],
        &["labels", "#1", "--on", "today"],
    ] {
        let said = home.said(args);
        assert_ne!(said.code, 2, "{args:?}: {}", said.err);
        assert!(said.err.contains("was taken as"), "{args:?}: {}", said.err);
    }
    let days = home.texts("SELECT day FROM entry WHERE kind <> 'plan' ORDER BY id");
    assert_eq!(
        days,
        [
            "2026-11-02",
            "2026-11-26",
            "2026-11-25",
            "2026-10-17",
            "2026-11-26",
            "2026-11-13",
            "2026-11-27",
            "2026-11-03"
        ]
    );
    let planned = home.texts("SELECT day FROM planned ORDER BY day");
    assert_eq!(
        planned,
        ["2026-11-30", "2026-12-01", "2026-12-02", "2026-12-03"]
    );
}

#[test]
fn what_was_done_is_not_to_come_and_not_before_the_birth() {
    let home = with_squash();
    home.said(&[
        "serve",
        "1 squash",
        "--reaction",
        "hives",
        "--on",
        "2026-11-03",
    ]);
    let before = home.rows();
    for args in [
        &["serve", "1 squash"][..],
        &["milk", "breast"],
        &["buy", "600 g 11485", "3.49"],
        &["discard", "1 squash"],
        &["freeze", "squash"],
        &["question", "Is it enough?"],
        &["tastes", "--cleared", "11485"],
    ] {
        for day in ["tomorrow", "2026-11-28", "1 Dec"] {
            let refusal = home.refusal(&[args, &["--on", day]].concat());
            assert!(refusal.contains("is still to come"), "{args:?}: {refusal}");
            assert!(
                refusal.contains("`trayful plan set`"),
                "{args:?}: {refusal}"
            );
        }
        let refusal = home.refusal(&[args, &["--on", "10/03/2026"]].concat());
        assert!(
            refusal.contains("2026-03-10 (Tuesday 10 March 2026) or 2026-10-03"),
            "{refusal}"
        );
    }
    for args in [
        &["serve", "1 squash"][..],
        &["milk", "breast"],
        &["question", "Why?"],
    ] {
        let refusal = home.refusal(&[args, &["--on", "2026-01-15"]].concat());
        assert!(refusal.contains("is before the birth"), "{refusal}");
    }
    assert_eq!(home.rows(), before);
}

#[test]
fn a_misspelt_day_comes_with_the_command_to_paste() {
    let home = with_squash();
    insta::assert_snapshot!(home.told(&[
        &["serve", "1 squash", "--on", "yesterdy"],
        &["serve", "1 squash", "--on", "at the weekend"],
        &["serve", "1 squash", "--on", "31 Nov"],
        &["serve", "1 squash", "--on", "whenever"],
        &["plan", "set", "next week", "lunch", "1 squash"],
        &["plan", "set", "yesterday", "lunch", "1 squash"],
        &["week", "--last", "soon"],
    ]));
}

#[test]
fn a_birth_to_come_is_refused_with_its_line() {
    let home = Household::without_a_book();
    let start = ["start", "book", "--child", "Wren", "--born"];
    let refusal = home.refusal(&[&start[..], &["2026-12-24"]].concat());
    assert!(refusal.contains("is still to come"), "{refusal}");
    assert!(!home.path().join("book").exists());
    home.said(&[&start[..], &["2 March 2026"]].concat());
    let text = std::fs::read_to_string(home.path().join("book/book.toml")).unwrap();
    assert!(text.contains("born = \"2026-03-02\""), "{text}");

    let home = with_squash();
    home.change("2026-03-02", "2027-03-02");
    let refusal = home.refusal(&["freezer"]);
    assert!(refusal.contains("is still to come"), "{refusal}");
    let line = std::fs::read_to_string(home.path().join("book.toml")).unwrap();
    let line = line.lines().position(|line| line.contains("2027")).unwrap() + 1;
    assert!(refusal.contains(&format!("book.toml:{line}:")), "{refusal}");
}

#[test]
fn a_time_up_to_today_and_what_is_usual() {
    let home = with_squash();
    home.answer(&["serve", "1 squash", "--on", "2026-11-20"]);
    let span = |args: &[&str]| {
        let week = json(&home.answer(&[args, &["--json"]].concat()));
        (week["from"].clone(), week["to"].clone())
    };
    assert_eq!(span(&["week"]), ("2026-11-21".into(), "2026-11-27".into()));
    assert_eq!(
        span(&["week", "--last", "2w"]),
        ("2026-11-14".into(), "2026-11-27".into())
    );
    assert_eq!(
        span(&["week", "--planned"]),
        ("2026-11-27".into(), "2026-12-03".into())
    );
    assert_eq!(
        span(&["plan", "check", "--last", "7d"]),
        ("2026-11-21".into(), "2026-11-27".into())
    );
    let visit = |args: &[&str]| {
        let visit = json(&home.answer(&[&["visit", "--format", "json"], args].concat()));
        (visit["from"].clone(), visit["to"].clone())
    };
    assert_eq!(visit(&[]), ("2026-10-17".into(), "2026-11-27".into()));
    assert_eq!(
        visit(&["--last", "1m"]),
        ("2026-10-28".into(), "2026-11-27".into())
    );
}
