//! The book as a parent meets it: every command by its whole output.

use super::household::Household;
use super::support::{folder, trayful};

/// One squash batch of 20 cubes, bought and frozen on the first of October.
fn with_squash() -> Household {
    let home = Household::new();
    home.answer(&["buy", "2 lb 11485", "3.49", "--on", "2026-10-01"]);
    home.answer(&["freeze", "squash", "--cubes", "14", "--on", "2026-10-01"]);
    home
}

#[test]
fn a_book_is_started_and_says_what_it_holds() {
    let home = Household::without_a_book();
    let start = [
        "start",
        "book",
        "--child",
        "Wren \"Bee\"",
        "--born",
        "2026-03-02",
        "--weight",
        "8.2 kg",
        "--milk",
        "breast, and a bottle at night",
        "--tray",
        "24x15ml",
        "--currency",
        "EUR",
    ];
    let told = home.told(&[&start, &["freezer", "--book", "book"]]);
    let text = std::fs::read_to_string(home.path().join("book/book.toml")).unwrap();
    insta::assert_snapshot!(format!("{told}\n{text}"));
}

#[test]
fn what_is_missing_without_a_terminal_is_named_with_its_option() {
    let home = Household::without_a_book();
    insta::assert_snapshot!(home.told(&[
        &["start", "book"],
        &["start", "book", "--child", "Wren"],
        &["start", "book", "--child", "Wren", "--born", "10/03/2026"],
        &[
            "start",
            "book",
            "--child",
            "Wren",
            "--born",
            "2026-03-02",
            "--tray",
            "many"
        ],
        &[
            "start",
            "book",
            "--child",
            "Wren",
            "--born",
            "2026-03-02",
            "--tray",
            "16x30oz"
        ],
        &[
            "start",
            "book",
            "--child",
            "Wren",
            "--born",
            "2026-03-02",
            "--weight",
            "heavy"
        ],
    ]));
    assert!(
        !home.path().join("book").exists(),
        "nothing is left of a refused start"
    );
}

#[test]
fn a_book_that_is_there_is_left_alone() {
    let home = with_squash();
    let before = home.files();
    insta::assert_snapshot!(home.told(&[&[
        "start",
        ".",
        "--child",
        "Robin",
        "--born",
        "2025-01-01"
    ],]));
    assert_eq!(before, home.files());
}

#[test]
fn a_book_is_found_by_option_environment_or_folder() {
    let home = with_squash();
    let show = ["freezer", "--on", "2026-10-02"];
    let here = home.answer(&show);
    let book = home.path().display().to_string();
    let elsewhere = folder(&[]);
    let told = |run: super::support::Run| run.inside(elsewhere.path()).answer();
    assert_eq!(
        here,
        told(trayful(&[&show[..], &["--book", &book]].concat()))
    );
    assert_eq!(here, told(trayful(&show).with("TRAYFUL_BOOK", &book)));
    let below = home.path().join("recipes/of/autumn");
    std::fs::create_dir_all(&below).unwrap();
    assert_eq!(here, trayful(&show).inside(&below).answer());
    let none = trayful(&show).inside(elsewhere.path()).refusal();
    insta::assert_snapshot!(none.replace(&elsewhere.path().display().to_string(), "ELSEWHERE"));
}

#[test]
fn what_is_bought_is_told() {
    let home = Household::new();
    insta::assert_snapshot!(home.told(&[
        &[
            "buy",
            "2 lb 11485",
            "3.49",
            "--at",
            "market",
            "--on",
            "2026-10-01"
        ],
        &["buy", "1 kg 16144", "0", "--on", "2026-10-01"],
        &["buy", "2 cup 11485", "3.49"],
        &["buy", "2 lb squash", "3.49"],
        &["buy", "11485", "3.49"],
        &["buy", "0 g 11485", "3.49"],
        &["buy", "2 lb 99999", "3.49"],
        &["buy", "2 lb 11485", "3,49"],
        &["buy", "2 lb 11485", "$3.49"],
        &["buy", "2 lb 11485", "3.49", "--on", "yesterday"],
    ]));
}

#[test]
fn a_batch_is_frozen() {
    let home = Household::new();
    insta::assert_snapshot!(home.told(&[
        &["freeze", "squash", "--on", "2026-10-01"],
        &[
            "freeze",
            "recipes/squash.toml",
            "--cubes",
            "10",
            "--on",
            "2026-10-01"
        ],
        &["freeze", "squash", "--cubes", "40", "--on", "2026-10-01"],
        &[
            "freeze",
            "squash",
            "--weighed",
            "500g",
            "--on",
            "2026-10-01"
        ],
        &["freeze", "squash", "--trays", "2", "--on", "2026-10-01"],
        &[
            "freeze",
            "squash",
            "--tray",
            "24x15ml",
            "--on",
            "2026-10-01"
        ],
        &["freezer", "--on", "2026-10-01"],
    ]));
}

#[test]
fn a_batch_that_cannot_be_frozen_is_refused() {
    let home = Household::new();
    home.write("recipes/broken.toml", "title = \"Broken\"\n");
    let before = home.rows();
    insta::assert_snapshot!(home.told(&[
        &["freeze", "sqash"],
        &["freeze", "broken"],
        &["freeze", "squash", "--cubes", "0"],
        &["freeze", "squash", "--weighed", "5 cups"],
        &["freeze", "squash", "--tray", "green"],
    ]));
    assert_eq!(before, home.rows());
}

#[test]
fn new_foods_come_one_at_a_time() {
    let home = Household::new();
    insta::assert_snapshot!(home.told(&[
        &["freeze", "lentil", "--on", "2026-10-01"],
        &["freeze", "squash", "--on", "2026-10-01"],
        &["serve", "1 lentil", "--on", "2026-10-02"],
        &["freeze", "lentil", "--on", "2026-10-03"],
        &["freeze", "egg", "--on", "2026-10-03"],
        &["serve", "1 egg", "--on", "2026-10-03"],
    ]));
}

#[test]
fn too_many_for_the_pace_and_kept_too_long_are_warned_of() {
    let home = with_squash();
    home.write(
        "recipes/long.toml",
        &format!(
            "{}[freezer]\ndays = 150\nsource = \"our freezer\"\n",
            super::household::SQUASH
        ),
    );
    home.write(
        "recipes/short.toml",
        &format!(
            "{}[freezer]\ndays = 9\nsource = \"our freezer\"\n",
            super::household::SQUASH
        ),
    );
    insta::assert_snapshot!(home.told(&[
        &["serve", "1 squash", "--on", "2026-10-02"],
        &["freeze", "short", "--on", "2026-10-02"],
        &["freeze", "long", "--on", "2026-10-02"],
        &["freezer", "--on", "2026-10-02"],
        &["freezer", "--on", "2026-11-02"],
    ]));
}

#[test]
fn the_oldest_cubes_are_served_first() {
    let home = with_squash();
    insta::assert_snapshot!(home.told(&[
        &["freeze", "squash", "--cubes", "10", "--on", "2026-10-05"],
        &["serve", "12", "squash", "--on", "2026-10-06"],
        &[
            "serve",
            "5",
            "squash",
            "--how",
            "some",
            "--on",
            "2026-10-07"
        ],
        &[
            "serve",
            "1",
            "#3",
            "--how",
            "refused",
            "--reaction",
            "red cheeks",
            "--on",
            "2026-10-07"
        ],
        &["freezer", "--on", "2026-10-07"],
    ]));
}

#[test]
fn several_recipes_make_a_meal() {
    let home = with_squash();
    insta::assert_snapshot!(home.told(&[
        &["freeze", "lentil", "--on", "2026-10-05"],
        &["serve", "2 squash, 1 lentil", "--on", "2026-10-06"],
        &[
            "serve",
            "2",
            "squash,",
            "1",
            "squash.toml",
            "--on",
            "2026-10-07"
        ],
        &["freezer", "--on", "2026-10-07"],
    ]));
}

#[test]
fn what_cannot_be_served_is_refused() {
    let home = with_squash();
    let before = home.rows();
    insta::assert_snapshot!(home.told(&[
        &["serve", "2 sqash"],
        &["serve", "15 squash"],
        &["serve", "2 squash, 13 squash"],
        &["serve", "2 lentil"],
        &["serve", "2 #99"],
        &["serve", "squash"],
        &["serve", "-2 squash"],
        &["serve", "0 squash"],
        &["serve", ","],
        &["serve", "1 squash", "--child", "Robin"],
        &["serve", "1 squash", "--how", "gladly"],
        &["discard", "15 squash"],
        &["discard", "1 sqash"],
    ]));
    assert_eq!(before, home.rows());
    let empty = Household::new();
    insta::assert_snapshot!(empty.told(&[&["serve", "2 squash"], &["undo"], &["money"]]));
}

#[test]
fn cubes_past_their_day_are_served_with_a_word() {
    let home = with_squash();
    insta::assert_snapshot!(home.told(&[
        &["serve", "1 squash", "--on", "2026-10-31"],
        &["serve", "1 squash", "--on", "2026-11-01"],
        &["freezer", "--on", "2026-11-01"],
    ]));
}

#[test]
fn waste_is_recorded_with_its_worth() {
    let home = with_squash();
    insta::assert_snapshot!(home.told(&[
        &[
            "discard",
            "3",
            "squash",
            "--why",
            "freezer burn",
            "--on",
            "2026-10-09"
        ],
        &["freeze", "lentil", "--on", "2026-10-09"],
        &["discard", "1 lentil", "--on", "2026-10-09"],
        &["discard", "20 squash", "--on", "2026-10-09"],
        &["discard", "11 squash", "--on", "2026-10-09"],
        &["freezer", "--on", "2026-10-09"],
    ]));
}

#[test]
fn each_kind_of_entry_is_taken_back() {
    let home = Household::new();
    let commands: [&[&str]; 4] = [
        &["buy", "2 lb 11485", "3.49", "--on", "2026-10-01"],
        &["freeze", "squash", "--on", "2026-10-01"],
        &["serve", "2 squash", "--on", "2026-10-02"],
        &["discard", "1 squash", "--on", "2026-10-03"],
    ];
    let mut states = Vec::new();
    for command in commands {
        states.push(home.in_force());
        home.answer_with_warnings(command);
    }
    let mut told = Vec::new();
    while let Some(before) = states.pop() {
        told.push(home.told(&[&["undo"]]));
        assert_eq!(before, home.in_force());
    }
    told.push(home.told(&[&["undo"]]));
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn how_much_to_cook_next() {
    let home = with_squash();
    insta::assert_snapshot!(home.told(&[
        &["cook-next", "--on", "2026-10-02"],
        &["serve", "2 squash", "--on", "2026-10-02"],
        &["serve", "2 squash", "--on", "2026-10-03"],
        &["cook-next", "--on", "2026-10-03"],
    ]));
    home.change("# servings_a_day = 2     ", "servings_a_day = 3 ");
    insta::assert_snapshot!(home.told(&[&["cook-next", "--on", "2026-10-03"]]));
    home.change("servings_a_day = 3", "servings_a_day = -3");
    insta::assert_snapshot!(home.told(&[&["cook-next", "--on", "2026-10-03"]]));
}

#[test]
fn first_tastes_refusals_and_allergens() {
    let home = with_squash();
    home.change("# eczema = ", "eczema = ");
    insta::assert_snapshot!(home.told(&[
        &["tastes", "--on", "2026-10-01"],
        &[
            "serve",
            "1 squash",
            "--how",
            "refused",
            "--on",
            "2026-10-02"
        ],
        &["tastes", "--on", "2026-10-02"],
        &["serve", "1 squash", "--how", "some", "--on", "2026-10-03"],
        &["freeze", "egg", "--on", "2026-10-06"],
        &[
            "serve",
            "1 egg",
            "--reaction",
            "red cheeks",
            "--on",
            "2026-10-07"
        ],
        &["serve", "1 egg", "--on", "2026-10-28"],
        &["tastes", "--on", "2026-10-28"],
    ]));
}

#[test]
fn an_allergy_on_record_is_said_before_the_meal() {
    let home = with_squash();
    home.change("# allergies = [\"egg\"]", "allergies = [\"egg\"]");
    insta::assert_snapshot!(home.told(&[
        &["freeze", "egg", "--on", "2026-10-06"],
        &["serve", "1 egg", "--on", "2026-10-06"],
        &["serve", "1 egg", "--on", "2026-10-12"],
        &["serve", "1 squash", "--on", "2026-10-18"],
    ]));
}

#[test]
fn a_meal_counts_once_for_each_food_in_it() {
    let home = with_squash();
    insta::assert_snapshot!(home.told(&[
        &["freeze", "squash", "--on", "2026-10-02"],
        &["freeze", "lentil", "--on", "2026-10-02"],
        &[
            "serve",
            "15 squash, 1 lentil",
            "--reaction",
            "a rash",
            "--on",
            "2026-10-03"
        ],
        &["tastes", "--on", "2026-10-03"],
    ]));
}

#[test]
fn an_own_food_is_bought_and_frozen() {
    let home = Household::new();
    home.write(
        "own-foods.csv",
        "id,name,per,energy,iron\nown-rusk,Rusk of the corner baker,100 g,400 kcal,2 mg\n",
    );
    home.write(
        "recipes/rusk.toml",
        &super::household::SQUASH
            .replace("11485", "own-rusk")
            .replace("steam", "none"),
    );
    insta::assert_snapshot!(home.told(&[
        &["buy", "1 kg own-rusk", "5.00", "--on", "2026-10-01"],
        &["freeze", "rusk", "--weighed", "900 g", "--on", "2026-10-01"],
        &["serve", "1 rusk", "--on", "2026-10-02"],
        &["cook-next", "--on", "2026-10-02"],
        &["tastes", "--on", "2026-10-02"],
    ]));
}

#[test]
fn a_household_with_two_children_says_which() {
    let home = with_squash();
    home.say_of_itself("[[child]]\nname = \"Robin\"\nborn = \"2025-01-05\"\n");
    insta::assert_snapshot!(home.told(&[
        &["serve", "1 squash", "--on", "2026-10-02"],
        &["tastes", "--on", "2026-10-02"],
        &[
            "serve",
            "1 squash",
            "--child",
            "robin",
            "--on",
            "2026-10-02"
        ],
        &["tastes", "--child", "Robin", "--on", "2026-10-02"],
        &["tastes", "--child", "Wren", "--on", "2026-10-02"],
    ]));
    let lonely = Household::new();
    lonely.change("[[child]]\nname = \"Wren\"\nborn = \"2026-03-02\"\n", "");
    insta::assert_snapshot!(lonely.told(&[&["tastes", "--on", "2026-10-02"]]));
}

#[test]
fn money_against_the_jar() {
    let home = with_squash();
    home.say_of_itself(
        "[[ready_made]]\nname = \"vegetable jar\"\nmass = \"4 oz\"\nprice = \"1.29\"\n\
         [[ready_made]]\nname = \"cheap jar\"\nmass = \"4 oz\"\nprice = \"0.20\"\n\
         recipes = [\"lentil\"]\n",
    );
    insta::assert_snapshot!(home.told(&[
        &["freeze", "lentil", "--on", "2026-10-02"],
        &["freeze", "egg", "--on", "2026-10-02"],
        &["buy", "1 lb 16144", "2.99", "--on", "2026-10-03"],
        &["freeze", "lentil", "--on", "2026-10-03"],
        &["money"],
    ]));
}

#[test]
fn the_record_is_checked_copied_and_carried_over() {
    let home = with_squash();
    home.write("files/notes.txt", "in the way of nobody");
    insta::assert_snapshot!(home.told(&[
        &["book", "check"],
        &["book", "export", "files"],
        &["book", "import", "files"],
        &["book", "backup", "copy.sqlite"],
        &["book", "backup", "copy.sqlite"],
        &["book", "backup", "nowhere/copy.sqlite"],
        &["start", "new", "--child", "Wren", "--born", "2026-03-02"],
        &["book", "import", "nowhere", "--book", "new"],
        &["book", "import", "files", "--book", "new"],
        &["freezer", "--book", "new", "--on", "2026-10-02"],
    ]));
}

impl Household {
    /// Runs a command that may warn, and must succeed.
    pub(crate) fn answer_with_warnings(&self, args: &[&str]) {
        let said = self.said(args);
        assert_eq!(said.code, 0, "{}", said.err);
    }
}
