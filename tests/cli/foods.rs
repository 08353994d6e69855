//! Finding a food, and reading one.

use super::support::trayful;

#[test]
fn kitchen_words_find_the_plain_food_first() {
    insta::assert_snapshot!(trayful(&["foods", "sweet", "potato", "--limit", "5"]).answer());
}

#[test]
fn nothing_found_is_the_answer_no() {
    let said = trayful(&["foods", "qqqzzz"]).said();
    assert_eq!(said.code, 1);
    insta::assert_snapshot!(said.out);
}

#[test]
fn one_food_is_shown_in_full() {
    insta::assert_snapshot!(trayful(&["foods", "--show", "11485", "--age", "8"]).answer());
}

#[test]
fn a_food_with_a_caution_shows_it() {
    let page = trayful(&["foods", "--show", "19296", "--age", "8"]).answer();
    assert!(
        page.contains("No honey before the first birthday"),
        "{page}"
    );
    let page = trayful(&["foods", "--show", "19296", "--age", "14"]).answer();
    assert!(
        !page.contains("No honey before the first birthday"),
        "{page}"
    );
}

#[test]
fn a_food_that_is_stopped_says_so_before_all_else_and_is_not_praised() {
    let page = trayful(&["foods", "--show", "19296", "--age", "8"]).answer();
    assert!(
        page.starts_with("CAUTIONS\nSTOP  No honey before the first birthday"),
        "{page}"
    );
    assert!(!page.contains("GOOD FOR"), "{page}");
    let page = trayful(&["foods", "--show", "19296", "--age", "14"]).answer();
    assert!(!page.contains("STOP"), "{page}");
    assert!(page.contains("GOOD FOR"), "{page}");
    // What is only to be cooked through is still good for something.
    let page = trayful(&["foods", "--show", "23093", "--age", "8"]).answer();
    assert!(page.contains("STOP  Cook it right through"), "{page}");
    assert!(page.contains("GOOD FOR"), "{page}");
}

#[test]
fn foods_that_are_stopped_are_marked_in_the_list() {
    let list = trayful(&["foods", "honey"]).answer();
    assert!(list.starts_with("STOP  Honey"), "{list}");
    assert!(list.contains("\nSTOP  19296  Honey"), "{list}");
    let list = trayful(&["foods", "honey", "--age", "14", "--limit", "1"]).answer();
    assert!(!list.contains("STOP"), "{list}");
    let list = trayful(&["foods", "beef", "chuck", "raw"]).answer();
    assert!(!list.contains("STOP"), "{list}");
    let json = trayful(&["foods", "honey", "--json"]).answer();
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["foods"][0]["stops"][0]["hazard"], "honey");
}

/// 21 CFR 101.12 counts 15 g of dry instant cereal for infants at a time.
#[test]
fn of_a_dry_cereal_nobody_eats_two_cubes() {
    let cereal = shown("03189");
    assert_eq!(cereal["eaten"]["words"], "15 g of it, dry");
    let label = "id=own-mush; name=Oat cereal; per=100 g; energy=404 kcal; protein=14 g; \
                 fat=9.5 g; carbohydrate=62 g";
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("book.toml"), "").unwrap();
    let page = trayful(&["foods", "--add", label])
        .inside(folder.path())
        .answer();
    assert!(page.contains("15 g of it, dry: 61 kcal"), "{page}");
}

#[test]
fn an_unknown_id_is_refused() {
    insta::assert_snapshot!(trayful(&["foods", "--show", "99999"]).refusal());
}

/// The food for a household, as JSON.
fn shown(id: &str) -> serde_json::Value {
    serde_json::from_str(&trayful(&["foods", "--show", id, "--json"]).answer()).unwrap()
}

/// USDA SR28: a teaspoon of olive oil weighs 4.5 g and has 40 kcal.
#[test]
fn of_an_oil_a_teaspoon_is_counted_and_not_two_cubes() {
    let oil = shown("04053");
    let eaten = &oil["eaten"];
    assert!(
        (eaten["grams"].as_f64().unwrap() - 4.5).abs() < 0.06,
        "{eaten}"
    );
    assert!(
        (eaten["energy_kcal"].as_f64().unwrap() - 40.0).abs() < 0.6,
        "{eaten}"
    );
    let page = trayful(&["foods", "--show", "04053", "--age", "8"]).answer();
    assert!(page.contains("A teaspoon of it (4.5 g): 40 kcal"), "{page}");
    assert!(!page.contains("wo cubes"), "{page}");
}

#[test]
fn a_dry_pulse_counts_as_cooked_and_in_the_share_it_has() {
    let lentils = shown("16144");
    assert_eq!(lentils["eaten"]["method"], "stew");
    let grams = lentils["eaten"]["grams"].as_f64().unwrap();
    assert!((30.0..40.0).contains(&grams), "60 % of two cubes: {grams}");
    // Of two cubes of dry lentils it would be more than four milligrams.
    let iron = lentils["eaten"]["iron_mg"].as_f64().unwrap();
    assert!((0.6..1.0).contains(&iron), "{iron}");
}

#[test]
fn a_food_is_told_what_it_lacks_and_never_that_a_pair_is_bad() {
    let lacks = |id: &str| -> Vec<String> {
        let food = shown(id);
        let lacks = food["lacks"].as_array().unwrap().iter();
        lacks
            .map(|one| one["lack"].as_str().unwrap().to_string())
            .collect()
    };
    assert_eq!(lacks("16144"), ["vitamin-c", "sulphur"]);
    assert!(lacks("08120").contains(&"lysine".to_string()));
    // Under twenty recipes nothing, or those of its kin.
    assert!(shown("09037")["cooked_together"].is_null());
    assert_eq!(shown("11090")["cooked_together"]["as_for"], "cauliflower");
    for id in ["11090", "15236", "05027", "09003"] {
        let page = trayful(&["foods", "--show", id]).answer();
        // The cautions above and below have sources of their own.
        let page = page.split(&format!("{id}  ")).nth(1).unwrap();
        let page = page.split("MEASURES").next().unwrap();
        for word in [" bad", "avoid", "worst", "never goes"] {
            assert!(!page.contains(word), "{id}: {word}\n{page}");
        }
    }
}
