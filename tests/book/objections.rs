//! What speaks against a meal, in every command of the book.
//!
//! Sources of the checks: CDC, Foods and drinks to avoid or limit, 2020 (no honey in the first
//! year); the household's own record (an allergy, a reaction); signs of a severe reaction: NHS,
//! Anaphylaxis. The other hazards are checked case by case in `tests/world/safety.rs`.

use std::collections::BTreeSet;

use proptest::prelude::*;
use serde_json::Value;

use super::household::{EGG, Household};

/// Honey from the table.
const HONEY: &str = "10 g 19296";
const DAY: &str = "2026-11-02";

/// The objections of an answer in JSON: hazard, severity and foods.
fn objections(out: &str) -> BTreeSet<(String, String, String)> {
    assert!(out.contains("\"objections\""), "{out}");
    let answer: Value = serde_json::from_str(out).unwrap();
    let found = answer["objections"].as_array().unwrap();
    let text = |one: &Value| one.to_string();
    found
        .iter()
        .map(|one| {
            let word = |key: &str| one[key].as_str().unwrap().to_string();
            (word("hazard"), word("severity"), text(&one["foods"]))
        })
        .collect()
}

/// The commands that judge a meal, without what is eaten, which is added before their options.
const COMMANDS: [&[&str]; 3] = [
    &["mix", "--on", DAY, "--json"],
    &["serve", "--on", DAY, "--json"],
    &["plan", "set", DAY, "lunch", "--on", DAY, "--json"],
];

/// A command with what is eaten.
fn asked<'a>(command: &[&'a str], what: &'a str) -> Vec<&'a str> {
    let at = command
        .iter()
        .position(|word| word.starts_with("--"))
        .unwrap();
    let mut args = command.to_vec();
    args.insert(at, what);
    args
}

/// An allergy on record stops a food in the list of foods and on its own page.
#[test]
fn a_food_that_is_looked_up_is_stopped_by_the_record_of_the_child() {
    let home = Household::new();
    let show = ["foods", "--show", "01123"];
    let flat = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!flat(home.answer(&show)).contains("allergy of Wren"));
    home.said(&["child", "set", "Wren", "--allergies", "egg"]);
    let page = home.answer(&show);
    assert!(page.starts_with("CAUTIONS\nSTOP  For Wren: "), "{page}");
    assert!(!page.contains("GOOD FOR"), "{page}");
    let page = flat(page);
    assert!(
        page.contains("On record as an allergy of Wren (egg)"),
        "{page}"
    );
    let list = home.answer(&["foods", "egg", "whole", "raw"]);
    assert!(list.starts_with("STOP  "), "{list}");
    assert!(list.contains("\nSTOP  01123  Egg"), "{list}");
}

#[test]
fn honey_is_stopped_in_every_command() {
    let home = Household::new();
    home.write(
        "recipes/honey-oats.toml",
        "title = \"Honey oats\"\n[[ingredient]]\nfood = \"08120\"\namount = \"100 g\"\nmethod = \"boil\"\n\
         [[ingredient]]\nfood = \"19296\"\namount = \"20 g\"\nmethod = \"none\"\n",
    );
    for command in COMMANDS {
        let said = home.said(&asked(command, HONEY));
        assert_eq!(said.code, 1, "{command:?}: {}", said.err);
        let named = objections(&said.out);
        assert!(
            named
                .iter()
                .any(|(hazard, how, _)| hazard == "honey" && how == "block"),
            "{command:?}: {named:?}"
        );
    }
    let batch: [&[&str]; 4] = [
        &["batch", "recipes/honey-oats.toml", "--on", DAY, "--json"],
        &["card", "honey-oats", "--on", DAY, "--json"],
        &["freeze", "honey-oats", "--on", DAY, "--json"],
        &[
            "batch",
            "--add",
            "100 g 08120 boil",
            "--add",
            "20 g 19296 none",
            "--age",
            "8",
            "--json",
        ],
    ];
    for command in batch {
        let said = home.said(command);
        assert_eq!(said.code, 1, "{command:?}: {}", said.err);
        assert!(
            objections(&said.out)
                .iter()
                .any(|(hazard, ..)| hazard == "honey"),
            "{command:?}"
        );
    }
    // Nothing was recorded and nothing planned.
    assert!(home.rows()["entry"].is_empty());
    // What was eaten can always be recorded, and then it says what to watch for.
    let served = home.answer(&["serve", HONEY, "--on", DAY, "--anyway"]);
    assert!(
        served.starts_with("STOP") && served.contains("Floppy"),
        "{served}"
    );
    assert_eq!(home.rows()["entry"].len(), 1);
}

#[test]
fn an_allergy_on_record_stops_and_names_the_child() {
    let home = Household::new();
    home.change(
        "born = \"2026-03-02\"",
        "born = \"2026-03-02\"\nallergies = [\"eggs\"]",
    );
    for command in COMMANDS {
        let said = home.said(&asked(command, "20 g 01129"));
        assert_eq!(said.code, 1, "{command:?}");
        assert!(
            objections(&said.out)
                .iter()
                .any(|(hazard, ..)| hazard == "allergy-record"),
            "{command:?}: {}",
            said.out
        );
    }
    let text = home.said(&["mix", "20 g 01129", "--on", DAY]).out;
    assert!(
        text.contains("for Wren: On record as an allergy of Wren (eggs)"),
        "{text}"
    );
}

/// Households write an allergy in many words, and one that were not understood would stop nothing.
#[test]
fn an_allergy_is_understood_in_the_words_of_households() {
    for (allergies, food) in [
        ("peanut allergy", "8 g 16098"),
        ("cow's milk protein, sesame seeds", "20 g 01077"),
        ("cow's milk protein, sesame seeds", "8 g 12198"),
        ("eggs and milk", "20 g 01129"),
        ("cashews and pistachios", "8 g 12087"),
        ("molluscs", "20 g 15169"),
        ("sulphites", "20 g 09033"),
        ("fish", "20 g 36606"),
    ] {
        let home = Household::new();
        home.answer(&["child", "set", "Wren", "--allergies", allergies]);
        let said = home.said(&["mix", food, "--on", DAY, "--json"]);
        let found = objections(&said.out);
        assert!(
            said.code == 1 && found.iter().any(|(hazard, ..)| hazard == "allergy-record"),
            "{allergies}, {food}: {found:?}"
        );
        assert!(
            !found.iter().any(|(hazard, ..)| hazard == "first-allergen"),
            "{allergies}: a first taste of it is invited: {found:?}"
        );
    }
}

/// A dragon fruit may still be bought, so the words stay; but the household is told that they stop nothing.
#[test]
fn an_allergy_that_is_the_name_of_no_food_is_pointed_out() {
    let home = Household::new();
    let told = home.answer(&[
        "child",
        "set",
        "Wren",
        "--allergies",
        "dragon fruit, egg yolk, kiwi fruit",
    ]);
    assert!(
        told.contains("! Wren: No food is called “dragon fruit”"),
        "{told}"
    );
    assert!(
        !told.contains("called “egg yolk”") && !told.contains("called “kiwi fruit”"),
        "{told}"
    );
    assert!(
        home.answer(&["child"])
            .contains("nothing is stopped for it")
    );
    let words = "bannana, celiac disease (dx at 14 months), badam (almonds), outgrew soya";
    let told = home.answer(&["child", "set", "Wren", "--allergies", words]);
    let flat = told.split_whitespace().collect::<Vec<_>>().join(" ");
    let slip = "No food is called “bannana”, so nothing is stopped for it: name the foods one by one, as they are sold; is “banana";
    assert!(flat.contains(slip), "{told}");
    assert!(
        flat.contains("“outgrew soya” is taken for an allergy like any other"),
        "{told}"
    );
    assert_eq!(flat.matches("No food is called").count(), 1, "{told}");
}

/// What is written down is read back as it was understood: a parent sees what is stopped, and what is not told apart.
#[test]
fn an_allergy_says_what_it_stops() {
    let home = Household::new();
    for (words, told) in [
        (
            "red fruit",
            "“red fruit” stops strawberries, raw; raspberries, raw;",
        ),
        ("egg", "“egg” stops every food known to hold egg."),
        ("fruit", "“fruit” stops the group “Fruits and Fruit Juices”"),
        (
            "milk, soya fine",
            "“milk, soya fine” stops every food known to hold milk.",
        ),
        ("fish but not salmon", "stops fish, salmon,"),
        ("eg", "is “egg” meant?"),
    ] {
        let answer = home.answer(&["child", "set", "Wren", "--allergies", words]);
        let flat = answer.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(told), "{words}: {flat}");
    }
}

/// Which cheese is meant is asked, and that none of raw milk is for a baby is said all the same.
#[test]
fn a_hazard_in_words_that_are_not_clear_is_named() {
    let home = Household::new();
    for food in ["unpasteurised cheddar", "unpasteurised soft cheese"] {
        let asked = home.refusal(&["mix", &format!("40 g {food}")]);
        let words = asked.split_whitespace().filter(|word| *word != "|");
        let told = words.collect::<Vec<_>>().join(" ");
        assert!(told.contains("could be more than one food"), "{told}");
        assert!(told.contains("Only pasteurised milk and cheese"), "{told}");
    }
    let asked = home.refusal(&["mix", "40 g beans"]);
    assert!(!asked.contains("pasteurised milk"), "{asked}");
}

/// Foods that are typed, and a recipe that lies elsewhere, are for the children of the book all the same.
#[test]
fn an_allergy_on_record_stops_what_is_not_from_the_book() {
    let home = Household::new();
    home.change(
        "born = \"2026-03-02\"",
        "born = \"2026-03-02\"\nallergies = [\"eggs\"]",
    );
    let elsewhere = tempfile::tempdir().unwrap();
    let recipe = elsewhere.path().join("egg.toml");
    std::fs::write(&recipe, EGG).unwrap();
    let recipe = recipe.to_str().unwrap();
    let commands: [&[&str]; 3] = [
        &["batch", "--add", "200 g 01123 boil", "--on", DAY, "--json"],
        &["batch", recipe, "--on", DAY, "--json"],
        &["card", recipe, "--on", DAY, "--json"],
    ];
    for command in commands {
        let said = home.said(command);
        assert_eq!(said.code, 1, "{command:?}: {}", said.err);
        let found = objections(&said.out);
        assert!(
            found.iter().any(|(hazard, ..)| hazard == "allergy-record"),
            "{command:?}: {found:?}"
        );
    }
    let book = home.path().to_str().unwrap();
    let named = Household::without_a_book().said(&[
        "batch",
        "--book",
        book,
        "--add",
        "200 g 01123 boil",
        "--on",
        DAY,
    ]);
    assert_eq!(named.code, 1, "{}", named.out);
    assert!(
        named.out.contains("allergy of Wren (eggs)"),
        "{}",
        named.out
    );
}

#[test]
fn a_reaction_is_kept_in_mind_after_a_refused_spoon() {
    let home = Household::new();
    home.answer(&[
        "serve",
        "20 g 11508",
        "--on",
        "2026-10-10",
        "--reaction",
        "rash on the belly",
    ]);
    let again = [
        "serve",
        "20 g 11508",
        "--on",
        "2026-10-20",
        "--how",
        "refused",
        "--anyway",
    ];
    home.answer(&again);
    for command in COMMANDS {
        let said = home.said(&asked(command, "20 g 11508"));
        assert_eq!(said.code, 1, "{command:?}");
        assert!(said.out.contains("rash on the belly"), "{}", said.out);
    }
    home.answer(&["tastes", "--cleared", "11508", "--on", "2026-10-25"]);
    for command in COMMANDS.into_iter().take(1) {
        assert_eq!(home.said(&asked(command, "20 g 11508")).code, 0);
    }
}

#[test]
fn a_reaction_stops_every_food_that_may_hold_the_same_until_the_doctor_clears_it() {
    let home = Household::new();
    let egg = [
        "serve",
        "10 g boiled egg",
        "--on",
        "2026-10-10",
        "--reaction",
        "rash on the belly",
    ];
    home.answer(&egg);
    // Raw, as it is bought, and in another dish.
    for what in ["50 g boiled egg", "50 g 01130 none", "50 g 01123 boil"] {
        let said = home.said(&["batch", "--add", what, "--on", DAY, "--json"]);
        assert_eq!(said.code, 1, "{what}: {}{}", said.out, said.err);
        assert!(
            said.out.contains("rash on the belly"),
            "{what}: {}",
            said.out
        );
    }
    for command in COMMANDS {
        let said = home.said(&asked(command, "20 g 01130"));
        assert_eq!(said.code, 1, "{command:?}: {}", said.err);
        assert!(said.out.contains("rash on the belly"), "{}", said.out);
    }
    let other = home.said(&["batch", "--add", "50 g 11124 boil", "--on", DAY, "--json"]);
    assert!(!other.out.contains("rash on the belly"), "{}", other.out);
    home.answer(&["tastes", "--cleared", "egg", "--on", "2026-10-25"]);
    let said = home.said(&["batch", "--add", "50 g boiled egg", "--on", DAY, "--json"]);
    assert_eq!(said.code, 0, "{}", said.out);
}

#[test]
fn the_answer_to_a_reaction_comes_first_and_repeats_the_words() {
    let home = Household::new();
    let severe = home.answer(&[
        "serve",
        "20 g 11508",
        "--on",
        DAY,
        "--reaction",
        "wheezing, swollen lips",
    ]);
    let flat = severe.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.starts_with("! Call the emergency number now (112, 911, 999)."),
        "{severe}"
    );
    assert!(
        flat.contains("You noted: wheezing, swollen lips."),
        "{severe}"
    );
    let home = Household::new();
    let mild = home.answer(&[
        "serve",
        "20 g 11508",
        "--on",
        DAY,
        "--reaction",
        "two red spots on the cheek",
    ]);
    let flat = mild.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.starts_with("- You noted: two red spots on the cheek. Stop"),
        "{mild}"
    );
}

#[test]
fn a_stopped_meal_says_that_what_was_seen_is_not_on_record_yet() {
    let home = Household::new();
    let meal = ["serve", HONEY, "--on", DAY, "--reaction", "hives all over"];
    let said = home.said(&meal);
    let flat = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(said.code, 1, "{flat}");
    assert!(flat.contains("Call the emergency number now"), "{flat}");
    assert!(
        flat.contains("nor what you saw") && flat.contains("--anyway"),
        "{flat}"
    );
    let log = home.answer(&[&meal[..], &["--anyway"]].concat());
    assert!(log.contains("hives all over"), "{log}");
}

#[test]
fn words_of_no_reaction_stop_nothing() {
    let home = Household::new();
    let seen = "no reaction, he is fine";
    let day = ["--on", "2026-10-10", "--reaction", seen];
    let served = home.answer(&[["serve", "20 g 11508"].as_slice(), &day].concat());
    assert!(!served.contains("You noted"), "{served}");
    let logged = home.answer(&["log"]);
    let logged = logged.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(logged.contains(seen), "what was written stays: {logged}");
    for command in COMMANDS {
        let said = home.said(&asked(command, "20 g 11508"));
        assert_eq!(said.code, 0, "{command:?}: {}", said.out);
    }
}

#[test]
fn of_two_children_each_is_judged_and_named() {
    let home = Household::new();
    home.say_of_itself(
        "\n[[child]]\nname = \"Robin\"\nborn = \"2025-01-10\"\nallergies = [\"egg\"]\n",
    );
    let frozen = home.said(&["freeze", "egg", "--on", DAY, "--json"]);
    assert_eq!(frozen.code, 1);
    let answer: Value = serde_json::from_str(&frozen.out).unwrap();
    let stopped: Vec<_> = answer["objections"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|one| one["severity"] == "block")
        .map(|one| {
            (
                one["child"].as_str().unwrap(),
                one["hazard"].as_str().unwrap(),
            )
        })
        .collect();
    assert_eq!(stopped, [("Robin", "allergy-record")]);
}

/// Foods of many kinds, with and without a hazard, some in words that say what their entries do
/// not.
const IN_WORDS: [&str; 16] = [
    "11508",
    "01129",
    "19296",
    "01077",
    "16098",
    "05028",
    "11458",
    "09206",
    "15126",
    "ground almonds",
    "20044",
    "strawberry yogurt",
    "14209",
    "11124",
    "cherry tomatoes",
    "whole hazelnuts",
];

/// The same for the pot, where each takes any way to cook.
const IN_POTS: [&str; 15] = [
    "11508",
    "01129",
    "19296",
    "01077",
    "16098",
    "05028",
    "11458",
    "09206",
    "15126",
    "12061",
    "20044",
    "01116",
    "14209",
    "11124",
    "ground hazelnuts",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    /// For random households and bowls the objections of all commands are equal.
    #[test]
    fn all_commands_have_the_same_objections(
        age in 3_i64..30,
        allergy in prop::option::of(prop::sample::select(vec!["egg", "milk", "fish", "strawberry"])),
        eczema in any::<bool>(),
        before in prop::collection::vec((prop::sample::select(IN_WORDS.to_vec()), 8_i64..27, any::<bool>()), 0..4),
        bowl in prop::collection::btree_set(prop::sample::select(IN_WORDS.to_vec()), 1..4),
        grams in 5_u32..120,
    ) {
        let home = Household::new();
        let day: jiff::civil::Date = DAY.parse().unwrap();
        let born = day.saturating_sub(jiff::Span::new().months(age)).to_string();
        let allergies = allergy.map_or(String::new(), |one| format!("\nallergies = [\"{one}\"]"));
        let eczema = if eczema { "\neczema = \"severe\"" } else { "" };
        home.change("born = \"2026-03-02\"", &format!("born = \"{born}\"{allergies}{eczema}"));
        for (food, on, reacted) in before {
            let (what, on) = (format!("5 g {food}"), format!("2026-10-{on:02}"));
            let mut args = vec!["serve", what.as_str(), "--on", on.as_str(), "--anyway"];
            if reacted {
                args.extend(["--reaction", "rash"]);
            }
            home.answer(&args);
        }
        let what: Vec<String> = bowl.iter().map(|food| format!("{grams} g {food}")).collect();
        let what = what.join(", ");
        let said: Vec<_> = COMMANDS.iter().map(|command| {
            let said = home.said(&asked(command, &what));
            let found = objections(&said.out);
            let stopped = found.iter().any(|(_, how, _)| how == "block");
            assert_eq!(said.code, i32::from(stopped), "{command:?} {what}: {}", said.err);
            if !stopped && command[0] != "mix" {
                home.answer(&["undo"]);
            }
            found
        }).collect();
        prop_assert_eq!(&said[0], &said[1]);
        prop_assert_eq!(&said[0], &said[2]);
    }

    /// A batch is objected to in the pot as its cubes are on the spoon, but for what is said of cooking alone.
    #[test]
    fn a_batch_and_its_cubes_are_judged_alike(
        foods in prop::collection::btree_map(prop::sample::select(IN_POTS.to_vec()), (20_u32..300, prop::sample::select(vec!["steam", "boil", "none"])), 1..4),
        age in 6_i64..30,
    ) {
        let home = Household::new();
        let day: jiff::civil::Date = DAY.parse().unwrap();
        let born = day.saturating_sub(jiff::Span::new().months(age)).to_string();
        home.change("2026-03-02", &born);
        let parts: Vec<String> = foods.iter().map(|(food, (grams, method))| format!(
            "[[ingredient]]\nfood = \"{food}\"\namount = \"{grams} g\"\nbasis = \"edible\"\nmethod = \"{method}\"\n"
        )).collect();
        let parts = parts.concat();
        home.write("recipes/any.toml", &format!("title = \"Any\"\n{parts}[liquid]\nadded = \"100 ml\"\n"));
        let cooked = home.said(&["batch", "recipes/any.toml", "--on", DAY, "--json"]);
        home.answer(&["freeze", "any", "--cubes", "10", "--on", DAY, "--anyway"]);
        let served = home.said(&["mix", "2 any", "--on", DAY, "--json"]);
        let of_cooking = ["texture", "nitrate-store"];
        let mut cooked = objections(&cooked.out);
        cooked.retain(|(hazard, ..)| !of_cooking.contains(&hazard.as_str()));
        let hazards = |found: BTreeSet<(String, String, String)>| {
            found.into_iter().map(|(hazard, how, _)| (hazard, how)).collect::<BTreeSet<_>>()
        };
        prop_assert_eq!(hazards(cooked), hazards(objections(&served.out)));
    }
}

/// What a child knows boiled is no new food where a recipe has it raw, and the other way round.
#[test]
fn a_food_is_known_in_each_of_its_forms() {
    let home = Household::new();
    home.answer(&["known", "carrots", "--on", "2026-11-01"]);
    let new = |words: &str| {
        let told = home.answer(&["mix", words, "--on", "2026-11-20"]);
        told.contains("is new to Wren")
    };
    assert!(!new("30 g 11124") && !new("30 g 11125"), "raw, and boiled");
    assert!(new("30 g 11298"), "parsnips are another food");
    home.answer(&["serve", "30 g 11124", "--on", "2026-11-20"]);
    let week = [
        "week",
        "--from",
        "2026-11-16",
        "--to",
        "2026-11-22",
        "--json",
    ];
    let first = &home.json(&week)["tastes"]["first"];
    assert_eq!(first.as_array().map(Vec::len), Some(0), "{first}");
}

/// A bowl that is stopped says neither that its food may come today nor how to serve it.
#[test]
fn a_stopped_bowl_is_not_recommended() {
    let home = Household::new();
    home.answer(&["child", "set", "Wren", "--allergies", "egg"]);
    let stopped = home.said(&["mix", "50 g boiled egg", "--on", "2026-11-20"]);
    assert_eq!(stopped.code, 1, "{}", stopped.err);
    for words in ["may come today", "trayful serve"] {
        assert!(!stopped.out.contains(words), "{}", stopped.out);
    }
    home.answer(&["child", "add", "Ben", "--born", "2026-03-02"]);
    let told = home.answer(&[
        "mix",
        "50 g boiled egg",
        "--child",
        "Ben",
        "--on",
        "2026-11-20",
    ]);
    assert!(told.contains("--child Ben"), "{told}");
}

/// The page for the doctor says that a doctor has cleared a food.
#[test]
fn a_cleared_reaction_is_cleared_on_the_page_of_the_visit() {
    let home = Household::new();
    home.answer(&[
        "serve",
        "30 g 09037",
        "--on",
        "2026-11-19",
        "--reaction",
        "red spots",
    ]);
    let page = |name: &str| {
        home.answer(&["visit", name, "--from", "2026-11-16", "--to", "2026-11-29"]);
        std::fs::read_to_string(home.path().join(name)).unwrap()
    };
    assert!(!page("open.html").contains("The doctor cleared it since"));
    home.answer(&[
        "tastes",
        "--cleared",
        "09037",
        "--words",
        "fine",
        "--on",
        "2026-11-25",
    ]);
    assert!(page("cleared.html").contains("The doctor cleared it since"));
}

#[test]
fn what_is_planned_to_be_cooked_is_judged_like_what_is_planned_to_be_eaten() {
    let home = Household::new();
    home.change(
        "born = \"2026-03-02\"",
        "born = \"2026-03-02\"\nallergies = [\"eggs\"]",
    );
    home.write(
        "recipes/honey-apple.toml",
        "title = \"Honey apple\"\n[[ingredient]]\nfood = \"09003\"\namount = \"300 g\"\nmethod = \"bake\"\n\
         [[ingredient]]\nfood = \"19296\"\namount = \"20 g\"\nmethod = \"none\"\n",
    );
    let on = ["--on", DAY];
    for (recipe, hazard) in [("honey-apple", "honey"), ("egg", "allergy-record")] {
        let cook = format!("1 {recipe}");
        let set = ["plan", "set", "2026-11-03", "--cook", &cook, "--json"];
        let said = home.said(&[&set[..], &on].concat());
        assert_eq!(said.code, 1, "{recipe}: {}", said.out);
        let named = objections(&said.out);
        assert!(
            named.iter().any(|one| one.0 == hazard && one.1 == "block"),
            "{named:?}"
        );
        home.write(
            "plan.csv",
            &format!("day,child,meal,cubes,what,grams,trays\n2026-11-03,,,,{recipe},,1\n"),
        );
        let import = ["plan", "import", "plan.csv", "--json"];
        let said = home.said(&[&import[..], &on].concat());
        assert_eq!(said.code, 1, "{recipe}: {}{}", said.out, said.err);
        assert!(
            objections(&said.out).iter().any(|one| one.0 == hazard),
            "{}",
            said.out
        );
    }
    assert_eq!(home.said(&[&["plan", "check"], &on[..]].concat()).code, 0);
    // What was planned all the same is found by the check, until it is cooked.
    let meant = ["plan", "set", "2026-11-03", "--cook", "1 egg", "--anyway"];
    home.said(&[&meant[..], &on].concat());
    let check = home.said(&[&["plan", "check", "--json"], &on[..]].concat());
    assert_eq!(check.code, 1, "{}", check.out);
    assert!(
        objections(&check.out)
            .iter()
            .any(|one| one.0 == "allergy-record"),
        "{}",
        check.out
    );
}

#[test]
fn a_plan_that_is_shown_marks_what_is_stopped_and_a_new_allergen_names_the_open_reaction() {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--on", "2026-10-30"]);
    home.said(&["serve", "1 squash", "--on", "2026-10-31"]);
    home.answer(&[
        "plan",
        "set",
        "2026-11-03",
        "lunch",
        "2 squash",
        "--on",
        DAY,
    ]);
    let show = ["plan", "show", "--on", DAY];
    assert!(!home.answer(&show).contains("STOP"));
    let noted = home.said(&[
        "reaction",
        "hives all over",
        "--after",
        "2",
        "--on",
        "2026-11-01",
    ]);
    assert!(
        noted.out.contains("emergency"),
        "{}{}",
        noted.out,
        noted.err
    );
    let shown = home.said(&show).out;
    assert!(shown.starts_with("STOP"), "{shown}");
    let flat = shown.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("Do not thaw: "), "{flat}");
    assert!(flat.contains("(stopped)"), "{flat}");
    let json: Value =
        serde_json::from_str(&home.said(&[&show[..], &["--json"]].concat()).out).unwrap();
    assert_eq!(json["objections"][0]["severity"], "block", "{json}");
    home.said(&["plan", "calendar", "plan.ics", "--from", DAY, "--on", DAY]);
    let calendar = std::fs::read_to_string(home.path().join("plan.ics")).unwrap();
    assert!(
        calendar.replace("\r\n ", "").contains("Do not thaw: "),
        "{calendar}"
    );
    // Another allergen, before the doctor was asked.
    let bowl = home.said(&["mix", "5 g 16098", "--on", DAY]).out;
    let flat = bowl.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("is not cleared yet: ask your paediatrician before a new allergen"),
        "{flat}"
    );
}

#[test]
fn a_label_names_the_child_who_may_not_have_the_cubes() {
    let home = Household::new();
    home.answer_with_warnings(&["freeze", "squash", "--on", "2026-11-05"]);
    let label = || {
        home.said(&["labels", "--on", "2026-11-06"]);
        std::fs::read_to_string(home.path().join("labels.html")).unwrap()
    };
    assert!(!label().contains("Not for"));
    home.answer_with_warnings(&["child", "set", "Wren", "--allergies", "butternut squash"]);
    home.answer_with_warnings(&["child", "add", "Jonas", "--born", "2026-03-04"]);
    assert!(label().contains("<b>Not for Wren</b>"));
}

/// Twice in a week is too much, and before the first birthday once is to be asked about: no advice for the week after.
#[test]
fn liver_twice_in_a_week_is_no_advice_to_give_it_again_before_the_first_birthday() {
    let home = Household::new();
    let plan = |day: &str| {
        let set = [
            "plan",
            "set",
            day,
            "lunch",
            "20 g 13325",
            "--on",
            DAY,
            "--anyway",
        ];
        let said = home.said(&set);
        let words = format!("{} {}", said.out, said.err);
        words.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    plan("2026-11-03");
    let told = plan("2026-11-05");
    assert!(told.contains("before 12 months ask before any"), "{told}");
    assert!(!told.contains("a week later"), "{told}");
}
