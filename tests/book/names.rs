//! A name that was changed in `book.toml` by hand is found, named by every command, and corrected by the
//! command that is printed; several children are named at once.

use super::household::Household;

/// A child with entries, whose name was changed by hand from Theo to Teo.
fn renamed_by_hand() -> Household {
    let home = Household::new();
    home.change("\"Wren\"", "\"Theo\"");
    home.answer_with_warnings(&["freeze", "squash", "--cubes", "18", "--on", "2026-11-05"]);
    home.answer_with_warnings(&["serve", "2 squash", "--on", "2026-11-20", "--anyway"]);
    home.change("\"Theo\"", "\"Teo\"");
    home
}

const MENDED_BY: &str = "`trayful child rename Theo Teo`";

#[test]
fn a_name_changed_by_hand_is_named_by_every_command_that_shows_the_child() {
    let home = renamed_by_hand();
    for command in [
        &["week", "--child", "Teo"][..],
        &["week"],
        &["log", "--child", "Teo"],
        &["log"],
        &["tastes"],
        &["visit"],
        &["mix", "1 squash"],
        &["plan", "propose"],
        &["catch-up"],
        &["child"],
    ] {
        let said = home.said(command);
        assert!(said.err.contains(MENDED_BY), "{command:?}: {}", said.err);
    }
    let check = home.said(&["book", "check"]);
    assert!(
        check.code == 1 && check.out.contains(MENDED_BY),
        "{}",
        check.out
    );
}

#[test]
fn the_printed_command_joins_the_record_with_the_new_name() {
    let home = renamed_by_hand();
    // Something was written down under the new name since.
    home.answer_with_warnings(&["serve", "1 squash", "--on", "2026-11-21", "--anyway"]);
    home.answer_with_warnings(&["child", "rename", "Theo", "Teo"]);
    assert_eq!(home.answer(&["book", "check"]), "The book is sound.\n");
    let log = home.json(&["log", "--child", "Teo", "--kind", "meal", "--json"]);
    assert_eq!(log["entries"].as_array().unwrap().len(), 2);
    assert_eq!(home.said(&["week"]).err, "");
}

#[test]
fn a_name_that_nobody_has_is_refused() {
    let home = renamed_by_hand();
    let refused = home.refusal(&["child", "rename", "Ada", "Teo"]);
    assert!(refused.contains("Ada"), "{refused}");
    let refused = home.refusal(&["child", "rename", "Theo", "Ada"]);
    assert!(refused.contains("no child called “Ada”"), "{refused}");
}

fn two_children() -> Household {
    let home = Household::new();
    home.answer(&[
        "child",
        "add",
        "Ada",
        "--born",
        "2026-01-10",
        "--eczema",
        "severe",
    ]);
    home
}

#[test]
fn several_children_are_named_at_once() {
    let home = two_children();
    for (args, table) in [
        (&["note", "slept well"][..], "note"),
        (&["texture", "mashed"], "texture"),
        (&["complete", "--on", "2026-11-20"], "whole_day"),
        (&["supplement", "vitamin D drops", "400 IU"], "supplement"),
        (&["known", "11090"], "known"),
        (&["question", "Is it enough?"], "question"),
    ] {
        home.answer_with_warnings(&[args, &["--child", "Wren,Ada"]].concat());
        let children = home.texts(&format!("SELECT child FROM {table} ORDER BY child"));
        assert_eq!(children, ["Ada", "Wren"], "{args:?}");
    }
    home.answer_with_warnings(&["freeze", "squash", "--cubes", "18", "--on", "2026-11-05"]);
    for args in [&["week"][..], &["tastes"], &["mix", "1 squash"]] {
        let args = [args, &["--child", "Wren,Ada"]].concat();
        let text = home.said(&args).out;
        assert!(
            text.contains("Wren") && text.contains("Ada"),
            "{args:?}: {text}"
        );
        let both = home.json(&[&args[..], &["--json"]].concat());
        assert_eq!(
            both["children"].as_array().map(Vec::len),
            Some(2),
            "{args:?}"
        );
    }
    let log = home.answer(&["log", "--child", "Ada"]);
    assert!(!log.contains("Wren"), "{log}");
}

#[test]
fn where_one_child_is_meant_it_is_said() {
    let home = two_children();
    let refused = home.refusal(&["measure", "--weight", "8 kg", "--child", "Wren,Ada"]);
    assert!(refused.contains("this is about one child"), "{refused}");
    assert!(
        refused.contains("trayful measure --weight \"8 kg\" --child Wren"),
        "{refused}"
    );
}

#[test]
fn eczema_is_told_with_its_severity_and_a_weight_in_pounds_is_read() {
    let home = two_children();
    let children = home.answer(&["child"]);
    assert!(children.contains("severe eczema"), "{children}");
    home.answer(&["measure", "--child", "Ada", "--weight", "18 lb 8 oz"]);
    // 18.5 lb of 0.453 592 37 kg (NIST SP 811).
    assert_eq!(
        home.texts("SELECT round(value, 1) || '' FROM measure"),
        ["8391.5"]
    );
    let refused = home.refusal(&["child", "set", "Ada", "--weight", "8 kg"]);
    assert!(
        refused.contains("trayful measure --weight \"8 kg\" --child Ada"),
        "{refused}"
    );
}

#[test]
fn milk_is_confirmed_as_it_was_just_told() {
    let home = Household::new();
    home.answer_with_warnings(&["milk", "breast 1 feed", "--on", "2026-11-27"]);
    let answer = home
        .said(&["milk", "600 ml 03803", "--from", "2026-11-27"])
        .out;
    assert!(answer.contains("619 g a day of Infant formula"), "{answer}");
    assert!(
        answer.contains("another entry counts, of that day alone"),
        "{answer}"
    );
    let feeds = home.said(&["milk", "breast 5 feeds"]).out;
    assert!(
        feeds.contains("Beside it, `trayful milk breast` would be"),
        "{feeds}"
    );
    let wanted = home.said(&["milk", "breast"]).out;
    assert!(
        wanted.contains("`trayful milk breast 5 feeds` would be"),
        "{wanted}"
    );
}
