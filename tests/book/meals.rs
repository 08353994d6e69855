//! Meals with other food than cubes, milk, what is planned, and questions.

use super::household::Household;

fn with_cubes() -> Household {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--cubes", "12", "--on", "2026-10-01"]);
    home.answer(&["freeze", "lentil", "--on", "2026-10-01"]);
    home
}

#[test]
fn a_meal_may_hold_food_from_the_table() {
    let home = with_cubes();
    insta::assert_snapshot!(home.told(&[
        &[
            "serve",
            "2 squash",
            "30 ml plain yogurt whole",
            "--meal",
            "Lunch",
            "--on",
            "2026-10-06"
        ],
        &[
            "serve",
            "1 large 01129",
            "--how",
            "some",
            "--eaten",
            "25%",
            "--on",
            "2026-10-07"
        ],
        &["tastes", "--on", "2026-10-07"],
        &["freezer", "--on", "2026-10-07"],
        &["undo"],
        &["undo"],
        &["tastes", "--on", "2026-10-07"],
    ]));
    assert_eq!(home.answer(&["book", "check"]), "The book is sound.\n");
}

#[test]
fn what_cannot_be_on_the_spoon_is_refused() {
    let home = with_cubes();
    let before = home.rows();
    insta::assert_snapshot!(home.told(&[
        &["serve", "30 g 99999", "--on", "2026-10-06"],
        &["serve", "30 g xyzzyq", "--on", "2026-10-06"],
        &["serve", "0 g 01116", "--on", "2026-10-06"],
        &["serve", "2 bushel 01116", "--on", "2026-10-06"],
        &[
            "serve",
            "2 squash",
            "--meal",
            "elevenses",
            "--on",
            "2026-10-06"
        ],
        &["serve", "2 squash", "--eaten", "120%", "--on", "2026-10-06"],
        &["serve", "--meal", "lunch", "--on", "2026-10-06"],
        &["serve", "30 g 01116, 99 squash", "--on", "2026-10-06"],
    ]));
    assert_eq!(before, home.rows(), "nothing half-written");
}

#[test]
fn milk_is_said_from_a_day_on_or_for_one_day() {
    let home = Household::new();
    insta::assert_snapshot!(home.told(&[
        &["milk", "breast", "--from", "2026-10-01"],
        &[
            "milk",
            "breast",
            "4",
            "feeds,",
            "200",
            "ml",
            "03946",
            "--on",
            "2026-10-03"
        ],
        &["milk", "none", "--from", "2026-10-05"],
        &["undo"],
        &["milk", "breast, 200 ml 03946", "--from", "2026-10-05"],
        &["milk", "breast 90 feeds", "--from", "2026-10-05"],
        &["milk", "2 squash", "--from", "2026-10-05"],
    ]));
    assert_eq!(home.rows()["milk"].len(), 2);
}

#[test]
fn the_composition_of_a_food_is_kept_once_for_all_its_meals() {
    let home = Household::new();
    for day in ["2026-10-01", "2026-10-02", "2026-10-03"] {
        home.answer(&["serve", "30 g 01116, 10 g 01129", "--on", day]);
    }
    assert_eq!(home.rows()["food"].len(), 2);
    assert_eq!(home.rows()["feeding_food"].len(), 6);
}

#[test]
fn a_question_is_written_down() {
    let home = Household::new();
    insta::assert_snapshot!(home.told(&[
        &[
            "question",
            "Is one meat meal a day enough?",
            "--on",
            "2026-10-06"
        ],
        &["question", " ", "--on", "2026-10-06"],
        &["undo"],
    ]));
}

/// A third of the meal is eaten, and a third of its iron.
#[test]
fn of_a_share_it_is_said_what_was_eaten() {
    let home = with_cubes();
    let serve = ["serve", "3 squash", "--meal", "lunch", "--on", "2026-10-06"];
    let flat = |said: String| said.split_whitespace().collect::<Vec<_>>().join(" ");
    let whole = flat(home.answer(&serve));
    let third = flat(home.answer(&[&serve[..], &["--eaten", "1/3"]].concat()));
    let iron = |said: &str| -> f64 {
        let amount = said.split("iron ").nth(1).unwrap();
        amount.split(" mg").next().unwrap().parse().unwrap()
    };
    assert!(third.contains("some of it (33 %)"), "{third}");
    assert!(
        third.contains("Eaten, 33 % of what was served: iron"),
        "{third}"
    );
    approx::assert_relative_eq!(iron(&third) * 3.0, iron(&whole), epsilon = 0.02);
}
