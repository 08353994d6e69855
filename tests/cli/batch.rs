//! The kitchen card, and scaling it.

use serde_json::Value;

use super::support::{folder, trayful};

/// The evidence above the cautions, which have tests of their own.
fn evidence(args: &[&str]) -> String {
    let card = trayful(&[args, &["--why"]].concat()).answer();
    card.split("\nCAUTIONS").next().unwrap().to_string()
}

fn json(args: &[&str]) -> Value {
    let args = [args, &["--json"]].concat();
    serde_json::from_str(&trayful(&args).answer()).unwrap()
}

#[test]
fn a_batch_from_the_command_line() {
    let args = [
        "batch",
        "--add",
        "600 g 11485 steam",
        "--add",
        "150 g 16144 boil",
        "--returned",
        "100ml/300ml",
    ];
    insta::assert_snapshot!(trayful(&args).answer());
    insta::assert_snapshot!(evidence(&args));
}

#[test]
fn every_nutrient_is_shown_when_asked() {
    let args = [
        "batch",
        "demo/recipes/salmon-broccoli-millet.toml",
        "--age",
        "8",
        "--all",
    ];
    insta::assert_snapshot!(trayful(&args).answer());
    insta::assert_snapshot!(evidence(&args));
}

/// The answer comes in twenty lines of eighty columns, one more for each ingredient above six; what
/// stops or warns is on top of that.
#[test]
fn an_answer_is_short() {
    let recipes = std::fs::read_dir("demo/recipes").unwrap();
    let recipes = recipes.map(|file| file.unwrap().path());
    let recipes: Vec<String> = recipes
        .map(|path| path.to_string_lossy().into_owned())
        .collect();
    let foods = "11124 11485 11090 11352 20005 16144 11282 11529";
    let foods = foods.split(' ').map(|id| format!("100 g {id} boil"));
    let foods: Vec<String> = foods.collect();
    let typed = |count: usize| {
        let foods = foods
            .iter()
            .take(count)
            .flat_map(|food| ["--add", food.as_str()]);
        [
            &["batch", "--returned", "100ml/300ml"][..],
            &foods.collect::<Vec<_>>(),
        ]
        .concat()
    };
    let written = recipes.iter().map(|path| {
        (
            0,
            vec!["batch", path.as_str(), "--trays", "2", "--age", "8"],
        )
    });
    let typed = [1, 6, 7, 8].map(|count| (count, typed(count)));
    for (count, args) in written.chain(typed) {
        let answer = trayful(&args).answer();
        let grave = |line: &&str| line.starts_with("!  ") || line.starts_with("STOP  ");
        // An objection goes on in lines that are indented as far as its sign.
        let lines = answer
            .lines()
            .skip_while(|line| grave(line) || line.starts_with("   "));
        let lines: Vec<&str> = lines.collect();
        assert!(lines.len() <= 20 + count.max(6) - 6, "{count}: {answer}");
        assert!(
            answer.lines().all(|line| line.chars().count() <= 80),
            "{answer}"
        );
    }
}

#[test]
fn words_are_never_broken_and_lines_fit_down_to_44_columns() {
    let words = |text: &str| {
        let words = text.split_whitespace().map(String::from);
        let mut words: Vec<String> = words.collect();
        words.sort();
        words
    };
    let args = [
        "batch",
        "demo/recipes/beef-beetroot-barley.toml",
        "--age",
        "8",
    ];
    let wide = trayful(&args).answer();
    for columns in ["44", "50", "66", "100"] {
        let text = trayful(&args).with("COLUMNS", columns).answer();
        let width: usize = columns.parse().unwrap();
        for line in text.lines() {
            assert!(line.chars().count() <= width, "{columns}: {line}");
        }
        assert_eq!(words(&text), words(&wide), "{columns}");
    }
    let plain = [&args[..], &["--plain"]].concat();
    assert_eq!(trayful(&plain).with("COLUMNS", "44").answer(), wide);
}

#[test]
fn a_weighed_puree_replaces_the_estimates() {
    let file = folder(&[(
        "r.toml",
        "title = \"Weighed\"\n[[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\n\
         method = \"steam\"\n[puree]\nweighed = \"450 g\"\n",
    )]);
    let card = trayful(&["batch", "r.toml", "--why"])
        .inside(file.path())
        .answer();
    assert!(card.contains("450 g of purée"), "{card}");
    assert!(!card.contains("kitchen estimate"), "{card}");
}

#[test]
fn pounds_with_ounces_are_a_weight_in_a_recipe_and_in_an_option() {
    let recipe = "title = \"Weighed\"\n[[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\n\
                  method = \"steam\"\n[puree]\nweighed = \"1 lb 2 oz\"\n";
    let file = folder(&[("r.toml", recipe)]);
    let card = |args: &[&str]| {
        let args = [&["batch", "r.toml", "--why"], args].concat();
        trayful(&args).inside(file.path()).answer()
    };
    // 18 ounces of 28.3495 g (NIST Handbook 44, appendix C).
    assert!(card(&[]).contains("510 g of purée"), "{}", card(&[]));
    let typed = card(&["--weighed", "1 lb 1 oz"]);
    assert!(typed.contains("482 g of purée"), "{typed}");
}

#[test]
fn trays_cubes_and_servings_are_filled_exactly_and_rounded_up() {
    let recipe = "demo/recipes/beef-beetroot-barley.toml";
    for (option, count, cubes) in [
        ("--trays", "3", 48),
        ("--cubes", "37", 37),
        ("--servings", "9", 18),
    ] {
        let batch = json(&["batch", recipe, option, count]);
        let serving = batch["serving"]["cubes"].as_u64().unwrap();
        let wanted = if option == "--servings" {
            9 * serving
        } else {
            cubes
        };
        assert_eq!(batch["cubes"]["whole"], wanted, "{option}");
        let leftover = batch["cubes"]["leftover_g"].as_f64().unwrap();
        assert!(
            leftover < 10.0,
            "{option}: {leftover} g left over by rounding"
        );
        for one in batch["ingredients"].as_array().unwrap() {
            let amount = one["purchased_g"].as_f64().unwrap();
            let edible = one["edible_g"].as_f64().unwrap();
            assert!(
                amount.fract() == 0.0 || edible.fract() == 0.0,
                "{amount} g is off the scale"
            );
        }
    }
}

#[test]
fn a_pack_is_used_up() {
    let batch = json(&[
        "batch",
        "--add",
        "600 g 11485 steam",
        "--add",
        "150 g 16144 boil",
        "--use-up",
        "2 lb 11485",
    ]);
    assert_eq!(batch["ingredients"][0]["purchased_g"], 907.0);
    let lentils = batch["ingredients"][1]["purchased_g"].as_f64().unwrap();
    assert_eq!(lentils, (150.0_f64 * 907.184_74 / 600.0).round());
}

#[test]
fn the_tray_may_be_named_described_or_adjusted() {
    let recipe = "demo/recipes/red-lentil-squash.toml";
    let named = json(&["batch", recipe, "--tray", "first spoons"]);
    assert_eq!(named["cubes"]["cube_ml"], 13.5);
    let described = json(&["batch", recipe, "--tray", "12x25ml"]);
    assert_eq!(
        (&described["cubes"]["wells"], &described["cubes"]["cube_ml"]),
        (&Value::from(12), &Value::from(22.5))
    );
    let adjusted = json(&["batch", recipe, "--well", "1 fl oz", "--fill", "1"]);
    assert_eq!(adjusted["cubes"]["cube_ml"], 29.573_529_562_5);
}

#[test]
fn the_age_chooses_the_reference() {
    let iron = |age: &str| {
        let batch = json(&["batch", "--add", "300 g 16144 boil", "--age", age]);
        let nutrients = batch["nutrients"].as_array().unwrap();
        nutrients.iter().find(|one| one["id"] == "FE").unwrap()["reference"]["amount"].clone()
    };
    assert_eq!(iron("5"), 0.27);
    assert_eq!(iron("6"), 11.0);
    assert_eq!(iron("12"), 7.0);
}

#[test]
fn a_weight_gives_energy_a_reference() {
    let batch = json(&[
        "batch",
        "--add",
        "300 g 16144 boil",
        "--age",
        "7",
        "--weight",
        "8kg",
    ]);
    let energy = &batch["nutrients"][1];
    assert_eq!(energy["id"], "ENERC_KCAL");
    assert_eq!(energy["reference"]["kind"], "EER");
    assert_eq!(energy["reference"]["amount"], 634.0);
}

#[test]
fn length_and_sex_choose_the_newer_energy_equation() {
    let who = [
        "--age", "9", "--weight", "9kg", "--length", "72", "--sex", "boy",
    ];
    let batch = json(&[&["batch", "--add", "300 g 16144 boil"], &who[..]].concat());
    let need = batch["nutrients"][1]["reference"]["amount"]
        .as_f64()
        .unwrap();
    approx::assert_abs_diff_eq!(need, 721.38, epsilon = 0.01);
    let told = trayful(&["batch", "--add", "300 g 16144 boil", "--sex", "boy"]).refusal();
    assert!(told.contains("--length"), "{told}");
}

#[test]
fn a_measure_weighs_the_trimmed_food() {
    let batch = json(&["batch", "--add", "2 cup 11485 steam"]);
    assert_eq!(batch["mass"]["edible_g"], 280.0);
    let purchased = batch["mass"]["purchased_g"].as_f64().unwrap();
    approx::assert_relative_eq!(purchased, 280.0 / 0.84, epsilon = 1e-9);
}

#[test]
fn plain_text_has_no_escape_codes_and_styled_text_has() {
    let plain = trayful(&["demo", "--why", "--plain"])
        .with("CLICOLOR_FORCE", "1")
        .answer();
    assert!(!plain.contains('\u{1b}'));
    let styled = trayful(&["demo", "--why"])
        .with("CLICOLOR_FORCE", "1")
        .answer();
    assert!(styled.contains('\u{1b}') && styled.contains('■'));
    let no_colour = trayful(&["demo", "--why"]).with("NO_COLOR", "1").answer();
    assert_eq!(no_colour, plain);
}
