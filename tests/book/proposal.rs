//! A plan that is proposed: from the freezer alone, with a day to cook, kept, and where there is none.

use super::household::Household;

/// Squash and lentils are known, egg and wheat are not.
fn with_cubes() -> Household {
    let home = Household::new();
    for (recipe, day) in [("squash", "2026-10-01"), ("lentil", "2026-10-05")] {
        home.answer(&["freeze", recipe, "--cubes", "12", "--on", day]);
        home.answer(&["serve", &format!("1 {recipe}"), "--on", day]);
    }
    home.answer(&["milk", "breast", "--from", "2026-10-01"]);
    home
}

const TWO_DAYS: [&str; 6] = [
    "plan",
    "propose",
    "--from",
    "2026-10-12",
    "--to",
    "2026-10-13",
];

#[test]
fn a_plan_is_proposed_kept_and_taken_back() {
    let home = with_cubes();
    let keep = [&TWO_DAYS[..], &["--keep"]].concat();
    insta::assert_snapshot!(home.told(&[
        &TWO_DAYS,
        &keep,
        &[
            "plan",
            "check",
            "--from",
            "2026-10-12",
            "--to",
            "2026-10-13",
            "--on",
            "2026-10-12"
        ],
        &["serve", "--meal", "lunch", "--on", "2026-10-12"],
        &TWO_DAYS,
        &["undo"],
        &["undo"],
        &[
            "plan",
            "show",
            "--from",
            "2026-10-12",
            "--to",
            "2026-10-13",
            "--on",
            "2026-10-12"
        ],
    ]));
}

#[test]
fn what_cannot_be_done_is_said_with_what_would_help() {
    let home = Household::new();
    insta::assert_snapshot!(home.told(&[
        &TWO_DAYS,
        &[
            "plan",
            "propose",
            "--from",
            "2026-10-12",
            "--to",
            "2026-10-10"
        ],
        &[
            "plan",
            "propose",
            "--from",
            "2026-10-12",
            "--to",
            "2026-12-10"
        ],
        &[
            "plan",
            "propose",
            "--child",
            "Robin",
            "--from",
            "2026-10-12"
        ],
        &["plan", "propose", "--from", "2026-01-12"],
    ]));
    assert_eq!(home.texts("SELECT count(*) || '' FROM planned"), ["0"]);
}

#[test]
fn the_json_of_a_proposal_says_what_the_page_says() {
    let home = with_cubes();
    let json = [&TWO_DAYS[..], &["--cook", "2026-10-12", "--json"]].concat();
    let told = home.answer(&json);
    assert_eq!(told, home.answer(&json), "the same plan each time");
    let json: serde_json::Value = serde_json::from_str(&told).unwrap();
    assert_eq!(json["schema"], 1);
    assert_eq!(json["kept"], false);
    assert_eq!(json["from"], "2026-10-12");
    let meals = json["meals"].as_array().unwrap();
    let cubes: u64 = meals.iter().map(|one| one["cubes"].as_u64().unwrap()).sum();
    assert!(cubes > 0 && meals.iter().all(|one| one["child"] == "Wren"));
    assert_eq!(json["objections"].as_array().unwrap().len(), 0);
    let keys = [
        "objective",
        "quality",
        "binding",
        "spoiled",
        "lower_bounds",
        "gaps",
        "because",
    ];
    assert!(keys.iter().all(|key| !json[key].is_null()), "{json}");
    let aim = &json["aims"][0];
    let keys = ["aim", "weight", "short_points", "most_points"];
    assert!(keys.iter().all(|key| !aim[key].is_null()), "{aim}");
}

#[test]
fn a_dish_that_is_not_wanted_is_left_out() {
    let home = with_cubes();
    let dishes = |more: &[&str]| {
        let said = home.said(&[&TWO_DAYS, more, &["--json"]].concat());
        let proposal: serde_json::Value = serde_json::from_str(&said.out).unwrap();
        let meals = proposal["meals"].as_array().unwrap().iter();
        let dishes = meals.map(|meal| meal["recipe"].as_str().unwrap().to_string());
        dishes.collect::<std::collections::BTreeSet<_>>()
    };
    assert!(dishes(&[]).contains("squash"));
    let without = dishes(&["--without", "squash"]);
    assert!(without.contains("lentil") && !without.contains("squash"));
    assert!(dishes(&["--without", "squash", "--without", "lentil"]).is_empty());
    insta::assert_snapshot!(home.told(&[
        &[&TWO_DAYS[..], &["--without", "squsah"]].concat(),
        &[&TWO_DAYS[..], &["--without", "squash", "--without", "lent"]].concat(),
    ]));
}

#[test]
fn a_meal_that_is_set_already_is_said_to_be() {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--on", "2026-10-01"]);
    home.answer(&["serve", "1 squash", "--on", "2026-10-01"]);
    let on = ["--on", "2026-10-05"];
    home.answer(&[&["plan", "set", "2026-10-06", "lunch", "2 squash"][..], &on].concat());
    let week = [
        "plan",
        "propose",
        "--from",
        "2026-10-05",
        "--to",
        "2026-10-06",
    ];
    let told = home.said(&week).out;
    assert!(told.contains("already set"), "{told}");
    assert_eq!(told.matches("already set").count(), 1, "{told}");
}

#[test]
fn cubes_that_are_planned_for_later_days_are_left_alone() {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--cubes", "6", "--on", "2026-10-01"]);
    home.said(&["serve", "1 squash", "--on", "2026-10-01"]);
    let set = [
        "plan",
        "set",
        "2026-10-09",
        "lunch",
        "4 squash",
        "--on",
        "2026-10-05",
    ];
    home.answer(&set);
    let week = [
        "plan",
        "propose",
        "--from",
        "2026-10-05",
        "--to",
        "2026-10-07",
        "--json",
    ];
    let json: serde_json::Value = serde_json::from_str(&home.said(&week).out).unwrap();
    let cubes = json["meals"].as_array().unwrap().iter();
    let cubes: u64 = cubes.map(|one| one["cubes"].as_u64().unwrap()).sum();
    // Five are left, and four of them are planned two days later.
    assert!(cubes <= 1, "{json}");
}

/// Three children of one household, all on the same five recipes.
fn with_three_children() -> Household {
    let home = Household::without_a_book();
    let on = ["--on", "2026-10-20"];
    home.answer(&["start", ".", "--child", "Mila", "--born", "2026-03-04"]);
    for (name, born) in [("Jonas", "2026-03-04"), ("Oskar", "2026-05-02")] {
        home.answer(&["child", "add", name, "--born", born]);
    }
    let known = "carrots, sweet potato, pear, oats, butternut squash, 16144";
    home.said(&[&["known", known, "--child", "Mila,Jonas,Oskar"], &on[..]].concat());
    for (name, foods) in [
        (
            "kl",
            &["550 g butternut roasted", "150 g red lentils boiled"][..],
        ),
        ("birne", &["500 g pear steamed"]),
        (
            "sp",
            &["1 kg sweet potatoes baked", "250 g frozen spinach boiled"],
        ),
        ("fisch", &["400 g cod steamed", "500 g potatoes boiled"]),
        (
            "mince",
            &["400 g beef mince steamed", "600 g carrots steamed"],
        ),
    ] {
        let adds = foods.iter().flat_map(|food| ["--add", *food]);
        let batch: Vec<&str> = ["batch"].into_iter().chain(adds).collect();
        home.said(&[&batch[..], &["--save", name], &on].concat());
        home.said(&["freeze", name, "--on", "2026-11-02"]);
    }
    home
}

#[test]
fn many_days_of_several_children_are_filled_and_it_is_said_how_well() {
    let home = with_three_children();
    let days = [
        "plan",
        "propose",
        "--from",
        "2026-11-03",
        "--to",
        "2026-11-16",
    ];
    let said = home.said(&[&days[..], &["--json"]].concat());
    let json: serde_json::Value = serde_json::from_str(&said.out).unwrap();
    let filled = json["meals"].as_array().unwrap();
    let of = |child: &str| filled.iter().filter(|meal| meal["child"] == child).count();
    for child in ["Mila", "Jonas", "Oskar"] {
        assert!(of(child) > 7, "{child}: {json:#}");
    }
    let within = json["within_percent"].as_f64().unwrap_or(0.0);
    assert!(within < 100.0, "{}", json["quality_sentence"]);
}

#[test]
fn of_several_children_each_sentence_names_its_own() {
    let home = with_three_children();
    let days = [
        "plan",
        "propose",
        "--from",
        "2026-11-03",
        "--to",
        "2026-11-04",
    ];
    let said = home
        .said(&[&days[..], &["--child", "Mila,Jonas"]].concat())
        .out;
    let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        !flat.contains("of Mila:") && !flat.contains("of Jonas:"),
        "{said}"
    );
    let why = flat.split(" WHY ").nth(1).unwrap();
    assert!(why.contains("Mila: ") && why.contains("Jonas: "), "{said}");
    let alone = home.said(&[&days[..], &["--child", "Mila"]].concat()).out;
    assert!(!alone.contains("Mila: "), "{alone}");
}
