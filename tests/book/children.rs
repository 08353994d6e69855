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
