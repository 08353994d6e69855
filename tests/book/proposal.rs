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

/// What the report holds under a key, as one text.
fn under(json: &serde_json::Value, key: &str) -> String {
    let all = json[key].as_array().unwrap().iter();
    all.map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

#[test]
fn what_the_record_stops_is_not_to_be_kept_known() {
    let home = with_cubes();
    home.said(&["freeze", "egg", "--cubes", "12", "--on", "2026-10-06"]);
    home.said(&["serve", "1 egg", "--on", "2026-10-07"]);
    let week = [
        "plan",
        "propose",
        "--from",
        "2026-10-12",
        "--without",
        "egg",
        "--json",
    ];
    let lacking = || {
        let told = home.said(&week).out;
        under(&serde_json::from_str(&told).unwrap(), "lacking")
    };
    let before = lacking();
    assert!(before.contains("not in the week: egg, wheat"), "{before}");
    home.said(&["child", "set", "Wren", "--allergies", "egg"]);
    let after = lacking();
    assert!(after.contains("not in the week: wheat"), "{after}");
}

#[test]
fn no_new_allergen_is_proposed_while_a_reaction_is_open() {
    let home = Household::new();
    let wheat = "title = \"Wheat\"\n[[ingredient]]\nfood = \"20080\"\namount = \"200 g\"\n\
                 method = \"simmer\"\n[liquid]\nadded = \"400 ml\"\n";
    home.write("recipes/wheat.toml", wheat);
    home.answer(&["freeze", "squash", "--cubes", "12", "--on", "2026-10-01"]);
    home.said(&["serve", "1 squash", "--on", "2026-10-01"]);
    home.said(&["freeze", "wheat", "--cubes", "12", "--on", "2026-10-05"]);
    let week = ["plan", "propose", "--from", "2026-10-12", "--json"];
    let json = || -> serde_json::Value { serde_json::from_str(&home.said(&week).out).unwrap() };
    assert!(under(&json(), "meals").contains("wheat"));
    home.said(&["reaction", "hives", "--after", "2", "--on", "2026-10-02"]);
    let after = json();
    assert!(!under(&after, "meals").contains("wheat"), "{after:#}");
    let words = "ask your paediatrician before a new allergen (wheat)";
    assert!(under(&after, "left_out").contains(words), "{after:#}");
    // Planned by hand it fails a check.
    let on = ["--on", "2026-10-12"];
    home.said(&[&["plan", "set", "2026-10-13", "lunch", "1 wheat"][..], &on].concat());
    let check = home.said(&[&["plan", "check"][..], &on].concat());
    assert_eq!(check.code, 1, "{}", check.out);
    let flat = check.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("is not cleared yet"), "{flat}");
}

#[test]
fn before_six_months_it_is_said_when_solids_begin_and_no_gap_is_named() {
    let home = Household::new();
    let days = [
        "plan",
        "propose",
        "--from",
        "2026-08-28",
        "--to",
        "2026-09-03",
    ];
    let said = home.said(&[&days[..], &["--child", "Wren"]].concat()).out;
    let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
    let words = "Wren is six months old on 2 Sep 2026, and no meal of the days before is filled";
    assert!(flat.contains(words), "{said}");
    assert!(flat.contains("Ask your paediatrician before"), "{said}");
    let json = home.said(&[&days[..], &["--child", "Wren", "--json"]].concat());
    let json: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    let gaps = json["gaps"].as_array().unwrap();
    let early = gaps
        .iter()
        .filter(|gap| gap["date"].as_str() < Some("2026-09-02"));
    assert_eq!(early.count(), 0, "{json:#}");
    assert!(!gaps.is_empty(), "{json:#}");
}

/// A plan from a later day on is judged at the age of that day.
#[test]
fn a_later_plan_is_for_the_age_of_its_days() {
    let home = Household::new();
    home.said(&["freeze", "squash", "--cubes", "12", "--on", "2026-08-25"]);
    let days = ["plan", "propose", "--child", "Wren", "--json"];
    let of = |from: &str, to: &str| {
        let span = ["--from", from, "--to", to];
        let said = home.said(&[&days[..], &span].concat());
        let json: serde_json::Value = serde_json::from_str(&said.out).unwrap();
        under(&json, "meals")
    };
    assert_eq!(of("2026-08-26", "2026-08-30"), "");
    let meals = of("2026-08-30", "2026-09-05");
    assert!(
        meals.contains("2026-09-0") && !meals.contains("2026-08"),
        "{meals}"
    );
}

#[test]
fn a_check_fails_on_new_foods_that_come_too_soon_and_names_the_meal() {
    let home = Household::new();
    let on = ["--on", "2026-10-05"];
    for (recipe, day) in [("squash", "2026-10-06"), ("lentil", "2026-10-07")] {
        home.said(&["freeze", recipe, "--on", "2026-10-05"]);
        let cubes = format!("1 {recipe}");
        home.said(&[&["plan", "set", day, "lunch", &cubes][..], &on].concat());
    }
    let check = home.said(&[&["plan", "check", "--json"][..], &on].concat());
    assert_eq!(check.code, 1, "{}", check.out);
    let json: serde_json::Value = serde_json::from_str(&check.out).unwrap();
    let found = json["findings"].as_array().unwrap().iter();
    let new: Vec<_> = found.filter(|one| one["rule"] == "new-foods").collect();
    assert_eq!(new.len(), 1, "{json:#}");
    assert_eq!(
        (&new[0]["day"], &new[0]["meal"]),
        (&"2026-10-07".into(), &"lunch".into())
    );
}
