//! Reactions in every command: the call for help comes before all else, and what no doctor cleared stays in sight.

use super::household::Household;

const HELP: &str = "Call the emergency number now";

#[test]
fn the_call_for_help_comes_before_what_is_wrong_with_the_command() {
    let home = Household::new();
    for (meal, day) in [("50 g pear", "2026-11-25"), ("50 g carrots", "2026-11-26")] {
        home.answer_with_warnings(&["serve", meal, "--meal", "lunch", "--on", day]);
    }
    let severe = "could not breathe, lips swollen";
    for command in [
        &["reaction", severe, "--on", "2026-11-26"][..],
        &["reaction", severe, "--aftr", "1"],
        &["reaction", severe, "--after", "99"],
        &["serve", "20 g frobnitz", "--reaction", severe],
        &["known", "frobnitz", "--reaction", severe],
        &["change", "99", "--reaction", severe],
    ] {
        let said = home.said(command);
        assert_eq!(said.code, 2, "{command:?}");
        assert!(said.err.starts_with(HELP), "{command:?}\n{}", said.err);
        let err: String = said.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(err.contains(severe), "{command:?}\n{err}");
    }
    let mild = home.said(&["reaction", "a red cheek", "--on", "2026-11-26"]);
    assert!(!mild.err.contains(HELP), "{}", mild.err);
}

#[test]
fn an_open_reaction_of_long_ago_is_on_the_page_of_the_visit() {
    let home = Household::new();
    home.answer_with_warnings(&[
        "known",
        "16087",
        "--reaction",
        "hives",
        "--on",
        "2026-09-15",
    ]);
    home.answer_with_warnings(&[
        "serve",
        "40 g pear",
        "--meal",
        "lunch",
        "--on",
        "2026-11-25",
    ]);
    let visit = home.answer(&["visit", "--from", "2026-10-17", "--to", "2026-11-27"]);
    assert!(visit.contains("after peanuts, raw: hives"), "{visit}");
    assert!(
        visit.contains("Ask your paediatrician about the reaction"),
        "{visit}"
    );
    home.answer(&[
        "visit",
        "--from",
        "2026-10-17",
        "--to",
        "2026-11-27",
        "visit.html",
    ]);
    let page = std::fs::read_to_string(home.path().join("visit.html")).unwrap();
    assert!(page.contains("hives"));
    // What is not to be offered is not told how to prepare.
    let tastes = home.answer(&["tastes"]);
    assert!(!tastes.contains("ground to powder"), "{tastes}");
    home.answer(&["tastes", "--cleared", "16087"]);
    let visit = home.answer(&["visit", "--from", "2026-10-17", "--to", "2026-11-27"]);
    assert!(!visit.contains("hives"), "{visit}");
}

#[test]
fn severe_reactions_come_first_and_are_never_left_out() {
    let home = Household::new();
    for (food, seen, day) in [
        ("40 g carrots", "red cheeks", "2026-11-10"),
        ("40 g pear", "a few spots", "2026-11-13"),
        ("40 g banana", "a bit of a rash", "2026-11-16"),
        (
            "40 g cod",
            "vomited three times, pale and floppy",
            "2026-11-20",
        ),
    ] {
        let meal = [
            "serve",
            food,
            "--meal",
            "lunch",
            "--on",
            day,
            "--reaction",
            seen,
            "--anyway",
        ];
        home.answer_with_warnings(&meal);
    }
    let visit = home.answer(&["visit", "--to", "2026-11-27"]);
    let (_, row) = visit.split_once("Reaction").unwrap();
    let row: String = row.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(row.starts_with("20 Nov 2026"), "{visit}");
    assert!(visit.contains("the reactions before"), "{visit}");
}

#[test]
fn what_was_seen_after_a_meal_does_not_stop_its_correction() {
    let home = Household::new();
    let meal = [
        "serve",
        "50 g banana",
        "--meal",
        "lunch",
        "--reaction",
        "rash",
    ];
    home.answer_with_warnings(&meal);
    home.answer_with_warnings(&["change", "1", "--amount", "60 g"]);
    assert!(home.answer(&["log"]).contains("60 g of bananas"));
    let again = home.said(&["serve", "50 g banana", "--meal", "supper"]);
    assert_eq!(again.code, 1, "{}", again.out);
}

#[test]
fn words_that_tell_of_no_reaction_are_not_answered_as_one() {
    let home = Household::new();
    home.answer_with_warnings(&["serve", "50 g banana", "--meal", "lunch"]);
    let said = home.answer(&["reaction", "no reaction"]);
    assert!(said.contains("These words tell of no reaction"), "{said}");
    assert!(!said.contains("cleared"), "{said}");
}

#[test]
fn formula_counts_as_milk_by_whatever_name_a_label_has() {
    let home = Household::new();
    home.write(
        "own-foods.csv",
        "id,name,per,energy,iron,density\nown-pre,Pre formula,100 ml,66 kcal,0.6 mg,1.03 g/ml\n",
    );
    home.answer_with_warnings(&[
        "child",
        "add",
        "Oskar",
        "--born",
        "2026-07-15",
        "--allergies",
        "milk",
    ]);
    let stopped = home.said(&["milk", "600 ml own-pre", "--child", "Oskar"]);
    assert_eq!(stopped.code, 1, "{}{}", stopped.out, stopped.err);
    home.answer_with_warnings(&["milk", "600 ml own-pre", "--child", "Wren"]);
    let tastes = home.answer(&["tastes", "--child", "Wren"]);
    assert!(
        tastes.contains("milk in the milk that is drunk"),
        "{tastes}"
    );
}

#[test]
fn severe_signs_in_any_words_call_for_help_before_everything_else() {
    let home = Household::new();
    home.answer_with_warnings(&["serve", "50 g pear", "--on", "2026-11-26"]);
    let severe = "could not breathe, lips swollen";
    for command in [
        &["note", severe][..],
        &["question", severe],
        &["answer", "3", severe],
        &["reaction", "a red cheek", "--after", "1"],
        &["change", "5", "--words", severe],
    ] {
        let text = home.said(command).out;
        if command[0] == "reaction" {
            continue;
        }
        let first = text.lines().find(|line| !line.trim().is_empty());
        assert!(
            first.is_some_and(|line| line.contains("Call the emergency")),
            "{command:?}\n{text}"
        );
    }
    let json = home.json(&["note", severe, "--json"]);
    let text = json["objections"][0]["text"].as_str().unwrap();
    assert!(text.starts_with(HELP), "{text}");
    let json = home.json(&["note", "slept well", "--json"]);
    assert_eq!(json["objections"].as_array().unwrap().len(), 0);
}
