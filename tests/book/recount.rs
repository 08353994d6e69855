//! Cubes that are counted again are as if they had been counted so at once, and each line of the
//! history has a number of its own.

use std::collections::BTreeSet;

use approx::assert_relative_eq;

use super::household::Household;

/// What a book with one batch says of it: the mass of a cube, and an average day's iron with its interval.
fn shown(home: &Household) -> (f64, Vec<f64>) {
    let freezer = home.json(&["freezer", "--on", "2026-11-06", "--json"]);
    let cube = freezer["batches"][0]["cube_g"].as_f64().unwrap();
    home.answer_with_warnings(&["serve", "2 squash", "--on", "2026-11-06", "--anyway"]);
    let week = home.json(&[
        "week",
        "--from",
        "2026-11-06",
        "--to",
        "2026-11-06",
        "--json",
    ]);
    let iron = &week["week"]["FE"];
    let ends = [
        &iron["parts"]["total"],
        &iron["interval"]["low"],
        &iron["interval"]["high"],
    ];
    (cube, ends.iter().filter_map(|one| one.as_f64()).collect())
}

#[test]
fn a_count_that_is_corrected_equals_the_count_told_at_once() {
    // The batch fills about 18 wells: far fewer, somewhat fewer, and more.
    for (first, later) in [
        ("18", "12"),
        ("12", "18"),
        ("18", "17"),
        ("30", "15"),
        ("17", "24"),
    ] {
        let freeze = |cubes: &str| {
            let home = Household::new();
            home.answer_with_warnings(&[
                "freeze",
                "squash",
                "--cubes",
                cubes,
                "--on",
                "2026-11-05",
            ]);
            home
        };
        let told = shown(&freeze(later));
        let corrected = freeze(first);
        corrected.answer_with_warnings(&["change", "1", "--cubes", later]);
        let corrected = shown(&corrected);
        assert_relative_eq!(told.0, corrected.0, max_relative = 1e-9);
        assert!(!told.1.is_empty());
        assert_eq!(told.1.len(), corrected.1.len());
        for (one, other) in told.1.iter().zip(&corrected.1) {
            // The record keeps doubts to four digits.
            assert_relative_eq!(one, other, max_relative = 1e-3);
        }
    }
}

#[test]
fn no_cube_is_far_heavier_than_its_well_holds() {
    let home = Household::new();
    home.answer_with_warnings(&["freeze", "squash", "--cubes", "18", "--on", "2026-11-05"]);
    let answer = home.answer(&["change", "1", "--cubes", "12"]);
    assert!(
        answer.contains("the rest counts as eaten at once"),
        "{answer}"
    );
    let freezer = home.json(&["freezer", "--on", "2026-11-06", "--json"]);
    let cube = freezer["batches"][0]["cube_g"].as_f64().unwrap();
    // A well of 30 ml, filled to nine tenths, of a purée a little denser than water.
    assert!((27.0..30.0).contains(&cube), "{cube}");
}

#[test]
fn every_line_of_the_history_has_a_number_of_its_own() {
    let home = Household::new();
    home.answer_with_warnings(&["freeze", "squash", "--cubes", "18", "--on", "2026-11-05"]);
    home.answer_with_warnings(&["change", "1", "--cubes", "17"]);
    home.answer_with_warnings(&["change", "1", "--title", "Best squash"]);
    home.answer_with_warnings(&["undo"]);
    for options in [
        &[][..],
        &["--all"],
        &["--kind", "count"],
        &["--kind", "batch", "--all"],
    ] {
        let log = home.json(&[&["log", "--json"], options].concat());
        let numbers: Vec<i64> = log["entries"]
            .as_array()
            .unwrap()
            .iter()
            .map(|one| one["number"].as_i64().unwrap())
            .collect();
        let each: BTreeSet<i64> = numbers.iter().copied().collect();
        assert_eq!(each.len(), numbers.len(), "{options:?}: {log}");
        assert!(!numbers.is_empty());
    }
}

#[test]
fn a_correction_that_came_too_late_prints_the_whole_command_again() {
    let home = Household::new();
    home.answer_with_warnings(&["freeze", "squash", "--cubes", "18", "--on", "2026-11-05"]);
    home.answer_with_warnings(&["change", "1", "--cubes", "17"]);
    let refused = home.refusal(&["change", "1", "--weighed", "450 g"]);
    assert!(
        refused.contains("trayful change 2 --weighed \"450 g\""),
        "{refused}"
    );
}

#[test]
fn a_reaction_is_taken_away_though_it_is_on_record() {
    let home = Household::new();
    home.answer_with_warnings(&[
        "serve",
        "20 g 01129",
        "--on",
        "2026-11-20",
        "--reaction",
        "hives all over",
        "--anyway",
    ]);
    home.answer(&["change", "1", "--reaction", ""]);
    let log = home.said(&["log", "--kind", "reaction"]);
    assert_eq!(
        (log.code, log.out.as_str()),
        (1, "Nothing is written down.\n")
    );
}

#[test]
fn the_history_finds_meals_with_a_reaction() {
    let home = Household::new();
    home.answer_with_warnings(&[
        "serve",
        "20 g 01129",
        "--on",
        "2026-11-20",
        "--reaction",
        "a red spot",
        "--anyway",
    ]);
    let log = home.answer(&["log", "--kind", "reaction"]);
    assert!(log.contains("a red spot"), "{log}");
}

#[test]
fn several_entries_are_taken_back_at_once_or_none_of_them() {
    let home = Household::new();
    for day in ["2026-11-20", "2026-11-21", "2026-11-22"] {
        home.answer_with_warnings(&["note", "slept well", "--on", day]);
    }
    let refused = home.refusal(&["undo", "1-3", "9"]);
    assert!(refused.contains("there is no entry 9"), "{refused}");
    assert_eq!(home.texts("SELECT count(*) || '' FROM note"), ["3"]);
    home.answer(&["undo", "1-2"]);
    assert_eq!(home.texts("SELECT count(*) || '' FROM note"), ["1"]);
}

#[test]
fn the_history_finds_every_measure() {
    let home = Household::new();
    home.answer(&["measure", "8.4 kg 66 cm", "--on", "2026-11-20"]);
    let of = |kind: &str| home.answer(&["log", "--kind", kind]);
    let measures = of("measure");
    assert!(measures.contains("weight 8.4 kg"), "{measures}");
    assert!(measures.contains("66 cm"), "{measures}");
    assert!(!of("weight").contains("66 cm"));
}

/// The scale told of more than was frozen: the same figures as if it had been read at once.
#[test]
fn what_a_batch_weighed_tells_the_same_later_as_at_once() {
    let home = Household::new();
    home.answer(&["buy", "1 kg 11485", "7.00", "--on", "2026-10-01"]);
    let on = ["--on", "2026-10-01"];
    let later = home.json(
        &[
            &["freeze", "squash", "--weighed", "450g", "--json"],
            &on[..],
        ]
        .concat(),
    );
    let (number, cubes) = (later["batch"].to_string(), later["cubes"].to_string());
    let changed = home.answer(&["change", &number, "--weighed", "560g"]);
    let at_once = ["freeze", "squash", "--weighed", "560g", "--cubes", &cubes];
    let at_once: serde_json::Value =
        serde_json::from_str(&home.said(&[&at_once[..], &["--json"], &on].concat()).out).unwrap();
    let warning = at_once["warnings"][0].as_str().unwrap();
    assert!(warning.contains("were not frozen"), "{warning}");
    let flat = changed.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains(warning), "{warning}\n{changed}");
    let money = home.json(&["money", "--json"]);
    let cost = |at: usize| {
        money["batches"][at]["cost"]
            .as_str()
            .unwrap()
            .parse::<f64>()
            .unwrap()
    };
    approx::assert_relative_eq!(cost(0), cost(1), max_relative = 1e-6);
}
