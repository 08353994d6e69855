//! What a child's age changes, in every command: the reference intakes, solids, and the upper levels of formula.

use serde_json::Value;

use super::household::Household;

/// Wren, born on the day, with squash in the freezer.
fn born(day: &str) -> Household {
    let home = Household::new();
    home.change("2026-03-02", day);
    home.answer(&[
        "freeze",
        "squash",
        "--cubes",
        "14",
        "--on",
        "2026-08-25",
        "--anyway",
    ]);
    home
}

fn json(home: &Household, args: &[&str]) -> Value {
    serde_json::from_str(&home.answer(args)).unwrap()
}

/// The text without the ends of its lines, as a sentence may run over them.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// NASEM: AI 0.27 mg of iron from birth to 5.9 months, RDA 11 mg and EAR 6.9 mg from 6.0 to 11.9 months.
#[test]
fn iron_is_held_against_eleven_milligrams_from_the_day_of_six_months() {
    let home = born("2026-03-02");
    for (day, kind, amount, ear) in [
        ("2026-09-01", "AI", 0.27, None),
        ("2026-09-02", "RDA", 11.0, Some(6.9)),
    ] {
        let served = home.answer(&["serve", "1 squash", "--meal", "lunch", "--on", day]);
        let expected = format!("of {amount} mg ({kind} at ");
        assert!(flat(&served).contains(&expected), "{served}");
        let mix = json(&home, &["mix", "1 squash", "--on", day, "--json"]);
        let week = json(&home, &["week", "--from", day, "--to", day, "--json"]);
        let visit = json(
            &home,
            &["visit", "--from", day, "--to", day, "--format", "json"],
        );
        let in_visit = visit["nutrients"].as_array().unwrap();
        let in_visit = in_visit.iter().find(|line| line["id"] == "FE").unwrap();
        for reference in [
            &mix["iron_reference"],
            &week["week"]["FE"]["reference"],
            &in_visit["reference"],
            &visit["days"][0]["references"]["FE"],
        ] {
            assert_eq!(reference["kind"], kind);
            assert_eq!(reference["amount"], amount);
            assert_eq!(reference["ear"], ear.map_or(Value::Null, Value::from));
        }
    }
    let week = home.answer(&[
        "week",
        "--from",
        "2026-09-02",
        "--to",
        "2026-09-02",
        "--why",
    ]);
    assert!(week.contains("EAR") && week.contains("6.9"), "{week}");
    assert!(
        flat(&week).contains("EAR: the estimated average requirement"),
        "{week}"
    );
    let page = home.answer(&["visit", "--from", "2026-09-02", "--to", "2026-09-02", "-"]);
    assert!(
        page.contains("<td>11\u{a0}RDA, EAR\u{a0}6.9</td>"),
        "{page}"
    );
    assert!(
        page.contains("EAR: the estimated average requirement"),
        "{page}"
    );
}

#[test]
fn an_older_child_has_no_reference_here_and_every_command_says_so() {
    // Four years old on the second of September.
    let home = born("2022-09-02");
    let days = ["--from", "2026-09-02", "--to", "2026-09-02"];
    let served = home.answer(&["serve", "1 squash", "--meal", "lunch", "--on", "2026-09-02"]);
    let week = home.answer(&[&["week"][..], &days].concat());
    let visit = home.answer(&[&["visit"][..], &days, &["-"]].concat());
    let mix = home.answer(&["mix", "1 squash", "--on", "2026-09-02"]);
    let batch = home.answer(&["batch", "recipes/squash.toml", "--age", "48"]);
    home.answer(&["card", "squash", "--on", "2026-09-02"]);
    let card = std::fs::read_to_string(home.path().join("card.html")).unwrap();
    let food = home.answer(&["foods", "--show", "11485", "--age", "215"]);
    for text in [served, week, visit, mix, batch, card, food] {
        assert!(
            flat(&text).to_lowercase().contains("no reference here"),
            "{text}"
        );
        assert!(!text.contains("RDA)") && !text.contains("AI)"), "{text}");
    }
    let week = json(&home, &[&["week"][..], &days, &["--json"]].concat());
    assert_eq!(week["week"]["FE"]["reference"], Value::Null);
    assert!(week["no_reference"].is_string());
    // The day before there is one.
    let mix = home.answer(&["mix", "1 squash", "--on", "2026-09-01"]);
    assert!(mix.contains("RDA 7 mg, EAR 3 mg"), "{mix}");
    assert!(
        home.refusal(&["batch", "recipes/squash.toml", "--age", "216"])
            .contains("0 to 215")
    );
}

/// CDC, American Academy of Pediatrics: no solids before four months, and at about six.
#[test]
fn a_young_baby_is_not_offered_a_first_food() {
    for (day, said) in [
        ("2026-08-28", "Milk alone before 4 months: no solids yet."),
        ("2026-05-02", "Milk alone before 4 months: no solids yet."),
        ("2026-05-01", "ask the paediatrician first"),
        ("2026-03-02", "ask the paediatrician first"),
        ("2026-03-01", "the first may come any day."),
    ] {
        let home = born(day);
        let tastes = home.answer(&["tastes", "--on", "2026-09-01"]);
        assert!(flat(&tastes).contains(said), "born {day}: {tastes}");
        let due = said.contains("any day");
        assert_eq!(tastes.contains("may come"), due, "born {day}: {tastes}");
        let mix = home.said(&["mix", "1 squash", "--on", "2026-09-01"]);
        assert_eq!(
            mix.code,
            i32::from(said.contains("no solids")),
            "born {day}"
        );
        let mix = mix.out;
        assert_eq!(mix.contains("it may come today"), due, "born {day}: {mix}");
    }
}

/// NASEM: the upper level of zinc is 5 mg at 6 to 11 months. 100 g of the formula 03946 hold 0.54 mg (SR28).
#[test]
fn zinc_of_a_formula_fed_child_is_a_note_and_no_alarm() {
    let home = born("2025-12-02");
    home.answer(&["milk", "1000 ml 03946", "--from", "2026-09-01"]);
    for day in ["2026-09-01", "2026-09-02"] {
        home.answer(&["serve", "2 squash", "--meal", "lunch", "--on", day]);
    }
    let days = ["--from", "2026-09-01", "--to", "2026-09-02"];
    let week = flat(&home.answer(&[&["week", "--why"][..], &days].concat()));
    let note = "Zinc: above the upper level for a day, 5 mg (all sources), on 1 Sep 2026 to 2 Sep 2026, \
                and only with the infant formula, which is made for this: not an alarm.";
    assert!(week.contains(note) && !week.contains("! Zinc"), "{week}");
    let upper = &json(&home, &[&["week"][..], &days, &["--json"]].concat())["week"]["ZN"]["upper"];
    assert_eq!(upper["days_above"], upper["days_above_by_formula"]);
    assert_eq!(upper["days_above"].as_array().unwrap().len(), 2);
    let page = home.answer(&[&["visit"][..], &days, &["-"]].concat());
    assert!(page.contains(note), "{page}");
}
