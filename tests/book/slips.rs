//! Slips that would be recorded as something else than was meant, and words that name a hazard
//! though the food they are taken for does not.
//!
//! Sources of the checks: EFSA, Acute health risks of amygdalin in apricot kernels, 2016 (kernels
//! of apricots); CDC, Foods and drinks to avoid or limit, 2020 (no honey in the first year); the
//! household's own record (allergies); NASEM, Dietary Reference Intakes (upper levels of vitamin D
//! at 6 to 12 months, 37.5 µg, and of iron, 40 mg).

use super::household::{EGG, Household};
use super::one_line::{done, one_line, refused, said};

#[test]
fn cubes_are_of_a_recipe_and_never_whole_foods() {
    let home = Household::new();
    for typed in [
        "2 cubes of sweet potato",
        "4 cubes carrot",
        "a cube of avocado",
    ] {
        let told = refused(&home, &["serve", typed]);
        assert!(told.contains("cubes are of a recipe"), "{typed}: {told}");
    }
    assert_eq!(home.texts("SELECT kind FROM entry"), Vec::<String>::new());
    home.answer(&["freeze", "lentil"]);
    let out = done(&home, &["serve", "two cubes of lentil and squash"]);
    assert!(out.contains("2 of Lentil and squash"), "{out}");
}

#[test]
fn a_count_that_may_be_cubes_or_a_food_is_asked_about() {
    let home = Household::new();
    home.write("recipes/egg-oats.toml", EGG);
    std::fs::remove_file(home.path().join("recipes/egg.toml")).unwrap();
    home.answer(&["freeze", "egg-oats"]);
    let told = refused(&home, &["mix", "1 egg"]);
    assert!(told.contains("may be cubes of egg-oats"), "{told}");
    assert!(told.contains("trayful mix \"1 egg-oats\""), "{told}");
    assert!(told.contains("trayful mix \"50 g 01129\""), "{told}");
    assert!(done(&home, &["mix", "1 egg-oats"]).contains("#1"));
    assert!(done(&home, &["mix", "1 cube of egg"]).contains("#1"));
}

#[test]
fn cubes_and_a_food_may_stand_in_one_phrase() {
    let home = Household::new();
    home.answer(&["freeze", "squash"]);
    for typed in [
        "2 squash and 1 pear",
        "2 squash + 1 pear",
        "2 cubes of squash with 1 pear",
    ] {
        let out = done(&home, &["mix", typed]);
        assert!(out.contains("2 squash") && out.contains("pears"), "{out}");
    }
}

#[test]
fn kernels_are_no_fruit_and_what_is_boiled_is_not_raw() {
    let home = Household::new();
    for typed in [
        "30 g apricot kernels",
        "30 g peach kernels",
        "20 g cherry kernels",
    ] {
        let (code, out) = said(&home, &["mix", typed]);
        assert_eq!(code, 1, "{out}");
        assert!(
            out.contains("STOP Apricots")
                || out.contains("STOP Peaches")
                || out.contains("STOP Cherries"),
            "{out}"
        );
        assert!(out.contains("cyanide"), "{out}");
    }
    let planned = ["plan", "set", "2026-11-30", "lunch", "30 g apricot kernels"];
    let (code, out) = said(&home, &planned);
    assert!(code == 1 && out.contains("cyanide"), "{out}");
    let (_, stoned) = said(&home, &["mix", "30 g cherries, pits out"]);
    assert!(!stoned.contains("cyanide"), "{stoned}");
    let boiled = done(&home, &["mix", "1 boiled egg yolk"]);
    assert!(!boiled.contains("STOP"), "{boiled}");
    let (code, raw) = said(&home, &["mix", "1 raw egg yolk"]);
    assert!(code == 1 && raw.contains("STOP"), "{raw}");
    let (code, raw) = said(&home, &["mix", "50 g elderberries"]);
    assert!(code == 1 && raw.contains("boiled through"), "{raw}");
    assert!(done(&home, &["mix", "50 g boiled elderberries"]).contains("elderberries"));
    // Oxalates of the leaves: from memory; a day's salt: UK salt guidance for infants and children, 2009.
    let (code, leaves) = said(&home, &["mix", "20 g rhubarb leaves"]);
    assert!(code == 1 && leaves.contains("only the stalks"), "{leaves}");
    let (code, salt) = said(&home, &["mix", "5 g salt"]);
    assert!(code == 1 && salt.contains("can poison a baby"), "{salt}");
    for typed in ["20 g granola", "30 g lychee", "30 g blueberries"] {
        assert!(
            home.said(&["mix", typed]).out.contains("for Wren"),
            "{typed}"
        );
    }
}

#[test]
fn an_allergy_is_found_in_the_words_that_were_typed() {
    let home = Household::new();
    home.change(
        "born = \"2026-03-02\"",
        "born = \"2026-03-02\"\nallergies = [\"strawberry\", \"cherry\", \"peach\"]",
    );
    for typed in [
        "50 g strawberry yogurt",
        "50 g cherry yogurt",
        "50 g peach yogurt",
        "10 g strawberry jam",
    ] {
        let (code, out) = said(&home, &["mix", typed]);
        assert_eq!(code, 1, "{typed}: {out}");
        assert!(out.contains("On record as an allergy"), "{typed}: {out}");
    }
    assert!(
        !said(&home, &["mix", "50 g raspberry yogurt"])
            .1
            .contains("STOP")
    );
}

#[test]
fn what_a_child_had_before_is_recorded_and_what_is_grave_is_said() {
    let home = Household::new();
    home.change(
        "born = \"2026-03-02\"",
        "born = \"2026-03-02\"\nallergies = [\"peanut\"]",
    );
    let honey = done(&home, &["known", "honey", "--on", "2026-10-01"]);
    assert!(honey.contains("a weak cry or constipation"), "{honey}");
    let peanut = done(&home, &["known", "peanut butter"]);
    assert!(peanut.contains("On record as an allergy"), "{peanut}");
    assert!(peanut.contains("say since when with --on"), "{peanut}");
    let plain = done(&home, &["known", "carrots", "--on", "2026-10-01"]);
    assert!(
        !plain.contains("--on") && !plain.contains("STOP"),
        "{plain}"
    );
}

#[test]
fn a_dose_that_no_child_is_given_is_refused_and_one_above_the_level_is_pointed_out() {
    let home = Household::new();
    let refused = refused(&home, &["supplement", "vitamin D drops", "400 mg"]);
    assert!(refused.contains("is no dose for a child"), "{refused}");
    let much = done(&home, &["supplement", "iron drops", "75 mg"]);
    assert!(
        much.contains("more than the upper level") && much.contains("40 mg"),
        "{much}"
    );
    let usual = done(&home, &["supplement", "vitamin D drops", "400 IU"]);
    assert!(!usual.contains("upper level"), "{usual}");
}

#[test]
fn a_puree_of_many_times_its_ingredients_is_a_slip() {
    let home = Household::new();
    let told = refused(&home, &["freeze", "squash", "--weighed", "5050 g"]);
    assert!(told.contains("times what the ingredients make"), "{told}");
    assert_eq!(home.texts("SELECT kind FROM entry"), Vec::<String>::new());
    done(&home, &["freeze", "squash", "--weighed", "650 g"]);
}

#[test]
fn no_child_eats_kilograms_at_a_meal() {
    let home = Household::new();
    for command in [&["mix", "20 kg banana"][..], &["serve", "20 kg banana"]] {
        let told = refused(&home, command);
        assert!(told.contains("is more than a meal"), "{told}");
    }
}

#[test]
fn cubes_of_a_later_day_are_named_with_their_day() {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--on", "2026-10-10"]);
    let told = refused(&home, &["serve", "1 squash", "--on", "2026-10-09"]);
    assert!(
        told.contains("batch #1 of it was frozen on 10 Oct 2026"),
        "{told}"
    );
}

#[test]
fn what_is_cooked_for_one_child_is_judged_for_that_child() {
    let home = Household::new();
    home.answer(&["child", "add", "Theo", "--born", "2025-09-01"]);
    home.answer(&["freeze", "squash", "--on", "2026-11-01"]);
    home.answer(&["serve", "2 squash", "--child", "Wren", "--on", "2026-11-02"]);
    home.said(&["reaction", "rash round the mouth", "--after", "2"]);
    let later = ["2026-11-20", "lunch", "2 squash", "--child", "Theo"];
    home.said(
        &[
            &["plan", "set"],
            &later[..],
            &["--on", "2026-11-10", "--anyway"],
        ]
        .concat(),
    );
    home.said(&[
        "plan",
        "set",
        "2026-11-18",
        "--cook",
        "1 squash",
        "--on",
        "2026-11-10",
        "--anyway",
    ]);
    let shown = home
        .said(&["plan", "show", "2026-11-18", "--on", "2026-11-10"])
        .out;
    assert!(!one_line(&shown).contains("for Wren"), "{shown}");
    let combined = home.said(&[
        "combine",
        "--of",
        "Theo",
        "--with",
        "11485",
        "--reach",
        "1 mg iron",
    ]);
    assert!(
        !one_line(&combined.out).contains("for Wren"),
        "{}",
        combined.out
    );
}

#[test]
fn an_own_food_is_found_by_its_whole_name_first() {
    let home = Household::new();
    home.write(
        "own-foods.csv",
        "id,name,per,energy,iron\nown-oat-cereal,Oat cereal with milk,100 g,400 kcal,7.5 mg\n",
    );
    let out = done(&home, &["mix", "20 g oat cereal with milk"]);
    assert!(
        out.contains("own-oat-cereal") || out.contains("oat cereal with milk"),
        "{out}"
    );
    let begun = refused(&home, &["mix", "20 g oat cereal"]);
    assert!(begun.contains("own-oat-cereal"), "{begun}");
}

#[test]
fn no_jar_is_saved_by_cubes_that_were_thrown_away() {
    let home = Household::new();
    home.answer(&[
        "household",
        "jar",
        "jar",
        "--mass",
        "100 g",
        "--price",
        "2.00",
    ]);
    home.answer(&["buy", "1 kg 11485", "1.00", "--on", "2026-10-01"]);
    home.answer(&["freeze", "squash", "--on", "2026-10-01"]);
    home.answer(&["discard", "5 squash", "--on", "2026-10-02"]);
    let money = home.json(&["money", "--json"]);
    let wasted = &money["thrown_away"];
    assert_eq!(wasted["cubes"], 5);
    let number = |one: &serde_json::Value| one.as_str().unwrap().parse::<f64>().unwrap();
    let all = number(&money["saved"]["amount"]);
    let jars = number(&wasted["ready_made_cost"]);
    // Jars of 100 g at 2.00 for five cubes of the batch.
    let cube = money["batches"][0]["mass_g"].as_f64().unwrap() / 20.0;
    assert!(jars > 0.0 && cube > 0.0);
    assert!((number(&wasted["saved"]) - (all - jars)).abs() < 1e-9);
    assert!(done(&home, &["money"]).contains("5 cubes of them went to waste"));
}

#[test]
fn what_says_nothing_or_nothing_possible_is_not_recorded() {
    let home = Household::new();
    home.answer_with_warnings(&["serve", "50 g pear", "--on", "2026-11-20"]);
    home.answer_with_warnings(&["milk", "breast 5 feeds", "--on", "2026-11-20"]);
    home.answer_with_warnings(&["question", "Is it enough?"]);
    home.answer_with_warnings(&["measure", "8.4 kg", "--on", "2026-11-20"]);
    let before = home.rows();
    for command in [
        &["milk", ""][..],
        &["milk", ","],
        &["milk", "breast 5000 ml"],
        &["known", ""],
        &["measure", ""],
        &["mix", ""],
        &["serve", ""],
        &["change", "1", "--what", ""],
        &["change", "2", "--what", ""],
        &["change", "3", "--words", ""],
        &["change", "4", "--amount", "84 kg"],
        &["change", "4", "--amount", "3.4 kg"],
        &["household", "set", "--currency", ""],
        &["serve", "50 g pear", "--how", "taken", "--eaten", "0%"],
        &["serve", "50 g pear", "--how", "refused", "--eaten", "80%"],
        &["change", "1", "--how", "refused", "--eaten", "80%"],
    ] {
        let refused = home.refusal(command);
        assert!(refused.contains("help"), "{command:?}: {refused}");
        assert_eq!(home.rows(), before, "{command:?}");
    }
    home.answer_with_warnings(&["change", "4", "--amount", "8.3 kg"]);
}

#[test]
fn milks_are_read_in_any_order() {
    let home = Household::new();
    home.answer_with_warnings(&["milk", "600 ml 03936, breast 2 feeds"]);
    let parts = home.texts("SELECT count(*) || '' FROM milk_part");
    assert_eq!(parts, ["2"]);
}

#[test]
fn a_puree_of_the_household_is_counted_and_not_weighed() {
    let home = Household::new();
    let path = home.path().join("recipes");
    std::fs::copy(path.join("lentil.toml"), path.join("lentil-mash.toml")).unwrap();
    home.answer_with_warnings(&["freeze", "lentil-mash", "--on", "2026-11-20", "--anyway"]);
    let refused = home.refusal(&["serve", "60 g lentil-mash"]);
    assert!(refused.contains("counted and not weighed"), "{refused}");
    assert!(refused.contains("2 lentil-mash"), "{refused}");
    home.answer_with_warnings(&["serve", "two lentil-mash", "--anyway"]);
    assert_eq!(home.texts("SELECT cubes || '' FROM feeding_part"), ["2"]);
}

#[test]
fn a_puree_far_from_its_recipe_on_the_scale_is_asked_about() {
    let home = Household::new();
    let asked = |text: &str| {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            text.contains("is it the whole batch, without the bowl?"),
            "{text}"
        );
    };
    asked(&home.said(&["batch", "lentil", "--weighed", "250 g"]).out);
    asked(
        &home
            .said(&[
                "freeze",
                "lentil",
                "--weighed",
                "250 g",
                "--on",
                "2026-11-20",
            ])
            .out,
    );
    asked(&home.said(&["change", "1", "--weighed", "240 g"]).out);
}

#[test]
fn the_freezer_of_a_past_day_is_that_of_the_day() {
    let home = Household::new();
    home.answer_with_warnings(&["freeze", "squash", "--cubes", "18", "--on", "2026-11-10"]);
    home.answer_with_warnings(&["serve", "2 squash", "--on", "2026-11-12", "--anyway"]);
    home.answer_with_warnings(&["freeze", "lentil", "--on", "2026-11-14", "--anyway"]);
    let left = |day: &str| -> Vec<u64> {
        let freezer = home.said(&["freezer", "--on", day, "--json"]).out;
        let freezer: serde_json::Value = serde_json::from_str(&freezer).unwrap();
        let batches = freezer["batches"].as_array().unwrap().iter();
        batches
            .map(|one| one["cubes_left"].as_u64().unwrap())
            .collect()
    };
    assert!(left("2026-11-09").is_empty());
    assert_eq!(left("2026-11-11"), [18]);
    assert_eq!(left("2026-11-12"), [16]);
    assert_eq!(left("2026-11-14").len(), 2);
}

#[test]
fn a_book_whose_record_is_gone_is_not_called_sound() {
    let home = Household::new();
    std::fs::remove_file(home.record()).unwrap();
    let refused = home.refusal(&["book", "check"]);
    assert!(refused.contains("put it back"), "{refused}");
    assert!(!home.record().exists());
}

#[test]
fn a_product_is_judged_by_the_foods_that_it_names() {
    let home = Household::new();
    let in_honey = ["supplement", "vitamin D in honey", "400 IU"];
    let honey = home.said(&in_honey);
    assert_eq!(honey.code, 1, "{}", honey.out);
    assert!(honey.out.contains("STOP") && honey.out.contains("Nothing was recorded"));
    let none = home.said(&[&in_honey[..], &["--json"]].concat());
    assert_eq!(none.code, 1, "{}", none.out);
    assert!(
        none.out.contains("\"entries\": []") || none.out.contains("\"entries\":[]"),
        "{}",
        none.out
    );
    assert!(done(&home, &[&in_honey[..], &["--anyway"]].concat()).contains("STOP"));
    home.answer(&["child", "set", "Wren", "--allergies", "fish"]);
    let oil = [
        "supplement",
        "cod liver oil",
        "400 IU",
        "--nutrient",
        "VITD",
    ];
    assert_eq!(home.said(&oil).code, 1);
    let drops = done(&home, &["supplement", "vitamin D drops", "400 IU"]);
    assert!(!drops.contains("STOP"), "{drops}");
}
