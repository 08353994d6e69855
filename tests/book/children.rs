//! One meal, one milk, one question of several children in one command: for each of them, or for none.

use serde_json::Value;

use super::household::Household;

fn of_two() -> Household {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--on", "2026-11-02"]);
    home.answer(&["freeze", "egg", "--on", "2026-11-02"]);
    home.say_of_itself(
        "\n[[child]]\nname = \"Robin\"\nborn = \"2026-04-02\"\nallergies = [\"egg\"]\n",
    );
    home
}

#[test]
fn one_command_records_the_same_for_each_child() {
    let home = of_two();
    insta::assert_snapshot!(home.told(&[
        &[
            "serve",
            "1 squash, 20 g 01116",
            "--child",
            "Wren,Robin",
            "--meal",
            "dinner",
            "--on",
            "2026-11-20"
        ],
        &[
            "milk",
            "breast 5 feeds",
            "--child",
            "wren",
            "--child",
            "robin",
            "--on",
            "2026-11-20"
        ],
        &[
            "question",
            "Is it enough?",
            "--child",
            "Wren, Robin",
            "--on",
            "2026-11-20"
        ],
        &[
            "plan",
            "set",
            "2026-11-28",
            "lunch",
            "1 squash",
            "--child",
            "Wr,Ro"
        ],
    ]));
    let children = |sql: &str| home.texts(sql);
    for table in ["feeding", "milk", "question"] {
        assert_eq!(
            children(&format!("SELECT child FROM {table}")),
            ["Wren", "Robin"],
            "{table}"
        );
    }
    assert_eq!(
        children("SELECT child FROM planned ORDER BY child"),
        ["Robin", "Wren"]
    );
    let json = home.answer(&[
        "serve",
        "1 squash",
        "--child",
        "Robin,Wren,Robin",
        "--on",
        "2026-11-21",
        "--json",
    ]);
    let json: Value = serde_json::from_str(&json).unwrap();
    let named = json["children"].as_array().unwrap().iter();
    let named: Vec<_> = named.map(|one| one["child"].as_str().unwrap()).collect();
    assert_eq!(named, ["Robin", "Wren"]);
}

#[test]
fn the_objections_for_several_children_stand_together_too() {
    let home = of_two();
    let egg = [
        "mix",
        "20 g 01129",
        "--child",
        "Wren,Robin",
        "--on",
        "2026-11-20",
        "--json",
    ];
    let said: Value = serde_json::from_str(&home.said(&egg).out).unwrap();
    let all = said["objections"].as_array().unwrap();
    let of_each = said["children"].as_array().unwrap().iter();
    let of_each = of_each.flat_map(|one| one["objections"].as_array().unwrap());
    let of_each: Vec<_> = of_each.collect();
    assert_eq!(all.len(), of_each.len());
    assert!(of_each.iter().all(|one| all.contains(one)), "{all:?}");
    assert_eq!(all[0]["severity"], "block", "{all:?}");
    assert_eq!(all[0]["child"], "Robin");
}

#[test]
fn what_one_of_them_may_not_have_is_recorded_for_none() {
    let home = of_two();
    let before = home.rows();
    let egg = [
        "serve",
        "1 egg",
        "--child",
        "Wren,Robin",
        "--on",
        "2026-11-20",
    ];
    let said = home.said(&egg);
    assert_eq!(said.code, 1, "{}{}", said.out, said.err);
    assert!(said.out.contains("Robin"), "{}", said.out);
    assert_eq!(home.rows(), before);
    // More cubes than there are for both.
    let left = home.answer(&["freezer", "--on", "2026-11-20", "--json"]);
    let left: Value = serde_json::from_str(&left).unwrap();
    let batches = left["batches"].as_array().unwrap().iter();
    let squash = batches.clone().find(|one| one["recipe"] == "squash");
    let left = squash.unwrap()["cubes_left"].as_u64().unwrap();
    let most = format!("{left} squash");
    let refusal = home.refusal(&[
        "serve",
        &most,
        "--child",
        "Wren,Robin",
        "--on",
        "2026-11-20",
    ]);
    assert!(refusal.contains("squash"), "{refusal}");
    assert_eq!(home.rows(), before);
    home.said(&[&egg[..], &["--anyway"]].concat());
    assert_eq!(home.texts("SELECT child FROM feeding"), ["Wren", "Robin"]);
}

#[test]
fn a_child_is_named_by_its_beginning_and_never_guessed() {
    let home = of_two();
    home.say_of_itself("\n[[child]]\nname = \"Rowan\"\nborn = \"2026-04-02\"\n");
    insta::assert_snapshot!(home.told(&[
        &["serve", "1 squash", "--child", "Ro", "--on", "2026-11-20"],
        &["serve", "1 squash", "--child", "Rob", "--on", "2026-11-20"],
        &[
            "serve",
            "1 squash",
            "--child",
            "Robni",
            "--on",
            "2026-11-20"
        ],
        &["serve", "1 squash", "--on", "2026-11-20"],
    ]));
}

#[test]
fn two_names_that_differ_in_case_alone_are_never_taken_for_each_other() {
    let home = Household::new();
    home.change("\"Wren\"", "\"sam\"");
    let add = ["child", "add", "Sam", "--born", "2026-01-10"];
    let refused = home.refusal(&add);
    assert!(refused.contains("called “sam” already"), "{refused}");
    // Written into the file by hand.
    home.say_of_itself(
        "\n[[child]]\nname = \"Sam\"\nborn = \"2026-01-10\"\nallergies = [\"egg\"]\n",
    );
    let egg = ["serve", "20 g 01129", "--on", "2026-11-20", "--child"];
    let of_sam = home.said(&[&egg[..], &["Sam"]].concat());
    assert_eq!(of_sam.code, 1, "{}{}", of_sam.out, of_sam.err);
    assert!(of_sam.out.contains("STOP"), "{}", of_sam.out);
    for command in [
        &["serve", "20 g 01129", "--child", "SAM"][..],
        &["child", "rename", "SAM", "Sammy"],
        &["child", "set", "SAM", "--allergies", "milk"],
    ] {
        let refused = home.refusal(command);
        assert!(refused.contains("fits more than one child"), "{refused}");
        assert!(
            refused.contains("Sam, sam") || refused.contains("sam, Sam"),
            "{refused}"
        );
    }
    home.answer(&["child", "rename", "Sam", "Samuel"]);
    // The case of one's own name can be changed.
    home.answer(&["child", "rename", "sam", "Sam"]);
    let refused = home.refusal(&["child", "rename", "Sam", "Sam\nuel"]);
    assert!(refused.contains("a name of one line"), "{refused}");
}

#[test]
fn what_fails_for_one_child_is_recorded_for_none() {
    let home = of_two();
    home.answer_with_warnings(&[
        "known",
        "09040",
        "--reaction",
        "hives",
        "--child",
        "Wren",
        "--on",
        "2026-11-10",
    ]);
    let before = home.rows();
    home.refusal(&["tastes", "--child", "Wren,Robin", "--cleared", "09040"]);
    assert_eq!(home.rows(), before);
    home.answer_with_warnings(&[
        "serve",
        "20 g 09040",
        "--child",
        "Robin",
        "--on",
        "2026-11-24",
    ]);
    let before = home.rows();
    // Of Wren no meal is on record, so that no day of her is missing.
    home.refusal(&[
        "catch-up",
        "--child",
        "Robin,Wren",
        "--not-known",
        "2026-11-25",
    ]);
    assert_eq!(home.rows(), before);
}

#[test]
fn an_allergy_that_goes_is_named_with_the_command_that_puts_it_back() {
    let home = of_two();
    home.answer(&["child", "set", "Robin", "--allergies", "egg, peanut"]);
    for allergies in ["milk", ""] {
        let told = home.answer(&["child", "set", "Robin", "--allergies", allergies]);
        let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            told.contains("no longer stopped for Robin: egg, peanut"),
            "{told}"
        );
        assert!(
            told.contains("`trayful child set Robin --allergies"),
            "{told}"
        );
        home.answer(&["child", "set", "Robin", "--allergies", "egg, peanut"]);
    }
    let told = home.answer(&["child", "set", "Robin", "--allergies", "egg, peanut, milk"]);
    assert!(!told.contains("no longer"), "{told}");
}

#[test]
fn a_reaction_is_written_to_no_other_child_than_the_one_named() {
    let home = of_two();
    home.answer_with_warnings(&[
        "serve",
        "1 squash",
        "--child",
        "Robin",
        "--on",
        "2026-11-26",
    ]);
    let meal = home.texts("SELECT max(entry) || '' FROM feeding").remove(0);
    let before = home.rows();
    let refused = home.refusal(&["reaction", "rash", "--child", "Wren", "--after", &meal]);
    assert!(
        refused.contains("a meal of Robin, not of Wren"),
        "{refused}"
    );
    assert_eq!(home.rows(), before);
}

#[test]
fn what_is_moved_to_another_child_is_judged_for_that_child() {
    let home = of_two();
    home.answer_with_warnings(&["known", "01129", "--child", "Wren", "--on", "2026-11-20"]);
    home.answer(&["child", "set", "Robin", "--allergies", "egg, milk"]);
    home.answer_with_warnings(&["milk", "200 ml 01077", "--child", "Wren", "--anyway"]);
    let before = home.rows();
    for table in ["known", "milk"] {
        let sql = format!("SELECT max(entry) || '' FROM {table}");
        let entry = home.texts(&sql).remove(0);
        let said = home.said(&["change", &entry, "--child", "Robin"]);
        assert_eq!(said.code, 1, "{table}: {}{}", said.out, said.err);
        assert!(said.out.contains("STOP"), "{table}: {}", said.out);
        assert_eq!(home.rows(), before, "{table}");
    }
}

#[test]
fn of_many_changes_of_the_settings_at_once_none_is_lost() {
    let home = Household::new();
    let names: Vec<String> = ('a'..='h')
        .map(|letter| letter.to_string().repeat(3))
        .collect();
    std::thread::scope(|scope| {
        for name in &names {
            let add = ["child", "add", name.as_str(), "--born", "2026-01-10"];
            let home = &home;
            scope.spawn(move || home.answer(&add));
        }
    });
    let settings = std::fs::read_to_string(home.path().join("book.toml")).unwrap();
    for name in &names {
        assert!(settings.contains(name.as_str()), "{name}: {settings}");
    }
}
