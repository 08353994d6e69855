//! What a parent types in a hurry: two foods in one phrase, small round fruit, ground nuts, commas
//! in numbers, words for cubes.

use super::household::Household;
use super::one_line::{done, refused, said};

/// All that a command says, whatever it is.
fn shown(home: &Household, args: &[&str]) -> String {
    said(home, args).1
}

#[test]
fn two_foods_in_one_phrase_are_offered_one_at_a_time_and_never_added() {
    let home = Household::new();
    let two = refused(&home, &["buy", "1 kg carrots, 500 g potatoes", "3.00"]);
    assert!(two.contains("“1 kg carrots”, “500 g potatoes”"), "{two}");
    assert!(!two.contains("trayful buy"), "{two}");
    for added in ["1 kg 11124 500 g", "1 kg carrots 500 g"] {
        let told = refused(&home, &["buy", added, "3.00"]);
        assert!(told.contains("more than one amount"), "{told}");
    }
    let bread = refused(&home, &["serve", "20 g mashed avocado on 1 slice of bread"]);
    for one in ["20 g mashed avocado", "1 slice of bread"] {
        assert!(
            bread.contains(&format!("trayful serve \"{one}\"")),
            "{bread}"
        );
        done(&home, &["serve", one]);
    }
    let one = refused(&home, &["serve", "20 g mashed avocado on a slice of bread"]);
    assert!(one.contains("trayful serve \"a slice of bread\""), "{one}");
    // One amount in two units stays one.
    let both = done(&home, &["buy", "1 kg 200 g carrots", "3.00"]);
    assert!(both.contains("Bought 1200 g of Carrots"), "{both}");
}

#[test]
fn small_round_fruit_is_known_by_the_words_for_it() {
    let home = Household::new();
    for typed in [
        "5 grapes",
        "4 cherry tomatoes",
        "30 g cherry tomatoes",
        "30 g baby plum tomatoes",
        "40 g grape tomatoes",
    ] {
        let mixed = shown(&home, &["mix", typed]);
        assert!(mixed.contains("choke whole"), "{typed}: {mixed}");
    }
    for typed in ["1 tomato", "4 quartered cherry tomatoes"] {
        let mixed = shown(&home, &["mix", typed]);
        assert!(!mixed.contains("choke whole"), "{typed}: {mixed}");
    }
    let again = shown(&home, &["mix", "4 cherry tomatoes"]);
    assert!(
        again.contains("trayful serve \"4 cherry tomatoes\""),
        "{again}"
    );
    let served = shown(&home, &["serve", "4 cherry tomatoes"]);
    assert!(served.contains("choke whole"), "{served}");
}

#[test]
fn ground_nuts_are_no_whole_nuts() {
    let home = Household::new();
    for typed in [
        "1 tbsp ground almonds",
        "10 g ground hazelnuts",
        "10 g ground 12061",
        "1 tbsp almond butter",
    ] {
        let mixed = shown(&home, &["mix", typed]);
        assert!(!mixed.contains("No whole nuts"), "{typed}: {mixed}");
    }
    for typed in ["5 almonds", "10 g hazelnuts"] {
        let mixed = shown(&home, &["mix", typed]);
        assert!(mixed.contains("No whole nuts"), "{typed}: {mixed}");
    }
    done(&home, &["serve", "1 tbsp ground almonds"]);
}

#[test]
fn a_food_that_is_known_stays_known_red_or_frozen() {
    let home = Household::new();
    done(&home, &["known", "red lentils, spinach"]);
    let batch = shown(
        &home,
        &[
            "batch",
            "--add",
            "150 g red lentils boiled",
            "--add",
            "200 g frozen spinach boiled",
            "--why",
        ],
    );
    assert!(!batch.contains(": New"), "{batch}");
}

#[test]
fn a_dose_has_a_decimal_comma_and_may_stand_in_the_name() {
    let home = Household::new();
    done(&home, &["supplement", "iron drops", "7,5 mg"]);
    done(&home, &["supplement", "vitamin D 400 IU"]);
    let week = done(&home, &["log"]);
    for one in ["iron drops", "7.5 mg", "vitamin D", "10 µg"] {
        assert!(week.contains(one), "{one}: {week}");
    }
    let none = refused(&home, &["supplement", "vitamin D"]);
    assert!(
        none.contains("trayful supplement \"vitamin D\" \"400 IU\""),
        "{none}"
    );
}

#[test]
fn decimals_have_a_comma_wherever_a_number_is_typed() {
    let home = Household::new();
    let bought = done(&home, &["buy", "1,2 kg carrots", "1,19"]);
    assert!(bought.contains("1200 g of Carrots"), "{bought}");
    assert!(bought.contains("1.19"), "{bought}");
    let unclear = refused(&home, &["buy", "1 kg carrots", "1,190"]);
    assert!(unclear.contains("“1,190” is not a price"), "{unclear}");
    done(&home, &["freeze", "squash", "--weighed", "0,535 kg"]);
    let thousands = refused(&home, &["freeze", "squash", "--weighed", "1,200 g"]);
    assert!(
        thousands.contains("thousands without a sign"),
        "{thousands}"
    );
    let measured = done(&home, &["measure", "8,35 kg, 66,5 cm"]);
    assert!(measured.contains("8.35 kg"), "{measured}");
    assert!(measured.contains("66.5 cm"), "{measured}");
    done(
        &home,
        &["batch", "squash", "--weight", "8,1 kg", "--fill", "0,9"],
    );
    done(&home, &["serve", "1 squash", "--eaten", "0,5"]);
}

#[test]
fn cubes_are_counted_in_a_parents_words() {
    let home = Household::new();
    done(&home, &["freeze", "squash"]);
    for (typed, cubes) in [
        ("1 cube squash", "1 squash"),
        ("2 cubes squash", "2 squash"),
        ("2x squash", "2 squash"),
        ("2 x squash", "2 squash"),
    ] {
        let mixed = done(&home, &["mix", typed]);
        assert!(mixed.contains(cubes), "{typed}: {mixed}");
    }
    done(&home, &["rename", "squash", "karotte"]);
    let weighed = refused(&home, &["serve", "50 g karotte"]);
    assert!(weighed.contains("its cubes are counted"), "{weighed}");
    assert!(weighed.contains("such as 2 karotte"), "{weighed}");
    done(&home, &["serve", "2x karotte"]);
}

#[test]
fn a_can_of_no_size_is_asked_about_with_a_command_that_runs() {
    let home = Household::new();
    let asked = refused(&home, &["buy", "1 can of tomatoes", "0.65"]);
    assert!(asked.contains("400 g can of tomatoes"), "{asked}");
    assert!(!asked.contains("1 can ="), "{asked}");
    done(&home, &["buy", "400 g can of tomatoes", "0.65"]);
}

#[test]
fn an_entry_with_the_skin_is_said_to_have_it() {
    let home = Household::new();
    let said = |typed: &str| shown(&home, &["batch", "--add", typed]);
    let peeled = said("500 g potatoes boiled without peel");
    assert!(peeled.contains("the table has none without"), "{peeled}");
    let plain = said("500 g potatoes boiled");
    assert!(!plain.contains("the table has none without"), "{plain}");
}

/// The hazards of an answer in JSON.
fn hazards(home: &Household, args: &[&str]) -> Vec<String> {
    let said = home.said(&[args, &["--json"]].concat());
    let answer = serde_json::from_str::<serde_json::Value>(&said.out);
    assert!(answer.is_ok(), "{args:?}: {}", said.err);
    let answer = answer.unwrap();
    let found = answer["objections"].as_array().unwrap().iter();
    let hazard = |one: &serde_json::Value| one["hazard"].as_str().unwrap().to_string();
    found.map(hazard).collect()
}

fn has(home: &Household, args: &[&str], hazard: &str) -> bool {
    hazards(home, args).iter().any(|one| one == hazard)
}

/// A recipe of some foods, 100 g of each, as they are.
fn recipe(home: &Household, name: &str, foods: &[&str]) {
    let ingredient = |food: &&str| {
        format!("[[ingredient]]\nfood = \"{food}\"\namount = \"100 g\"\nmethod = \"none\"\n")
    };
    let ingredients: Vec<String> = foods.iter().map(ingredient).collect();
    let text = format!("title = \"{name}\"\n{}", ingredients.concat());
    home.write(&format!("recipes/{name}.toml"), &text);
}

/// The words of an ingredient name a strawberry that its entry, fruit yogurt, does not.
#[test]
fn cubes_are_judged_by_the_words_of_their_ingredients() {
    let home = Household::new();
    recipe(&home, "pink", &["09040", "strawberry yogurt"]);
    let on = ["--on", "2026-11-02"];
    let freeze = ["freeze", "pink", "--cubes", "6", "--on", "2026-11-01"];
    done(&home, &freeze);
    done(
        &home,
        &["child", "set", "Wren", "--allergies", "strawberry"],
    );
    let typed = "SELECT typed FROM batch_food ORDER BY food DESC";
    assert_eq!(home.texts(typed), ["", "strawberry yogurt"]);
    let plan = ["plan", "set", "2026-11-03", "lunch", "1 pink"];
    let stopped = |home: &Household| {
        for door in [&["mix", "1 pink"][..], &["serve", "1 pink"], &plan] {
            let args = [door, &on].concat();
            assert!(has(home, &args, "allergy-record"), "{args:?}");
        }
    };
    stopped(&home);
    // The recipe as it is now says nothing of the cubes that were made of it.
    recipe(&home, "pink", &["09040"]);
    stopped(&home);
    let batch = home.texts("SELECT entry || '' FROM batch").concat();
    done(&home, &["change", &batch, "--cubes", "8"]);
    stopped(&home);
    done(&home, &["undo", &batch]);
    done(&home, &["redo"]);
    stopped(&home);
    done(&home, &[&plan[..], &on, &["--anyway"]].concat());
    assert!(has(
        &home,
        &[&["plan", "check"], &on[..]].concat(),
        "allergy-record"
    ));
    done(&home, &["book", "export", "out"]);
    done(
        &home,
        &["start", "new", "--child", "Wren", "--born", "2026-03-02"],
    );
    done(&home, &["book", "import", "out", "--book", "new"]);
    let mix = [&["mix", "1 pink", "--book", "new"], &on[..]].concat();
    assert!(has(&home, &mix, "allergy-record"));
}

/// A food that is in a batch twice: what is said of a part of it holds for that part alone.
#[test]
fn whole_nuts_are_not_ground_by_others_of_their_kind() {
    let home = Household::new();
    recipe(&home, "ground", &["09040", "ground almonds"]);
    recipe(&home, "both", &["09040", "ground almonds", "almonds"]);
    recipe(&home, "either", &["09040", "12061", "ground almonds"]);
    for (name, pieces) in [("ground", false), ("both", true), ("either", true)] {
        let on = ["--on", "2026-11-02"];
        assert_eq!(
            has(&home, &[&["batch", name], &on[..]].concat(), "choke-nuts"),
            pieces
        );
        done(&home, &["freeze", name, "--anyway", "--on", "2026-11-01"]);
        let cubes = format!("1 {name}");
        let mix = [&["mix", &cubes], &on[..]].concat();
        assert_eq!(has(&home, &mix, "choke-nuts"), pieces, "{name}");
    }
}

#[test]
fn a_planned_meal_keeps_the_words_for_its_food() {
    let home = Household::new();
    let on = ["--on", "2026-11-02"];
    let plan = |what: &'static str| {
        [
            "plan",
            "set",
            "2026-11-02",
            "lunch",
            what,
            "--on",
            "2026-11-02",
        ]
    };
    for whole in ["20 g whole almonds", "20 g almonds", "20 g 12061"] {
        assert!(has(&home, &plan(whole), "choke-nuts"), "{whole}");
        let (code, told) = said(&home, &plan(whole));
        assert_eq!(code, 1, "{whole}: {told}");
    }
    done(&home, &plan("20 g ground almonds"));
    assert!(!has(
        &home,
        &[&["plan", "check"], &on[..]].concat(),
        "choke-nuts"
    ));
    // A file has the words too, and one without them plans whole nuts.
    let span = ["--from", "2026-11-02", "--to", "2026-11-02"];
    let file = home.answer(&[&["plan", "export", "-"], &span[..]].concat());
    assert!(
        file.contains("2026-11-02,Wren,lunch,,12061,20,,ground almonds"),
        "{file}"
    );
    let import = [&["plan", "import", "plan.csv"], &on[..]].concat();
    home.write("plan.csv", &file);
    done(&home, &import);
    home.write(
        "plan.csv",
        "day,child,meal,cubes,what,grams,trays\n2026-11-02,Wren,lunch,,12061,20,\n",
    );
    assert!(has(&home, &import, "choke-nuts"));
    // What is planned is served with its words, and stays so when the meal is corrected.
    done(&home, &[&["serve", "--meal", "lunch"], &on[..]].concat());
    assert_eq!(
        home.texts("SELECT typed FROM feeding_food"),
        ["ground almonds"]
    );
    let meal = home.texts("SELECT entry || '' FROM feeding").concat();
    done(&home, &["change", &meal, "--amount", "10"]);
    done(&home, &["change", &meal, "--day", "2026-11-01"]);
    assert_eq!(
        home.texts("SELECT typed FROM feeding_food"),
        ["ground almonds"]
    );
}

#[test]
fn a_recipe_that_is_saved_keeps_the_words_for_its_foods() {
    let home = Household::new();
    let add = [
        "batch",
        "--add",
        "200 g carrots steamed",
        "--add",
        "20 g ground almonds",
    ];
    done(&home, &[&add[..], &["--save", "nutty"]].concat());
    let text = std::fs::read_to_string(home.path().join("recipes/nutty.toml")).unwrap();
    assert_eq!(text.matches("typed = ").count(), 1, "{text}");
    assert!(
        text.contains("food = \"12061\"\ntyped = \"ground almonds\"\n"),
        "{text}"
    );
    assert!(!has(&home, &["batch", "nutty"], "choke-nuts"));
    home.write(
        "recipes/nutty.toml",
        &text.replace("typed = \"ground almonds\"\n", ""),
    );
    assert!(has(&home, &["batch", "nutty"], "choke-nuts"));
}
