//! Ways to write the same thing: cubes, the household's own purées by weight, units, a food cooked as it is said.
//!
//! Sources of the checks: the International System of Units (a decilitre is 100 ml).

use super::household::Household;
use super::one_line::{done, refused};

const APPLE: &str = "title = \"Apple\"\n[[ingredient]]\nfood = \"09004\"\namount = \"600 g\"\n\
                     method = \"steam\"\n";
const CARROT_BEEF: &str = "title = \"Carrot & beef\"\n[[ingredient]]\nfood = \"11124\"\n\
    amount = \"500 g\"\nmethod = \"steam\"\n[[ingredient]]\nfood = \"23093\"\namount = \"200 g\"\n\
    method = \"stew\"\n[liquid]\nadded = \"100 ml\"\n";

/// A household with cubes of apple, and of carrot and beef.
fn with_purees() -> Household {
    let home = Household::new();
    home.write("recipes/apple.toml", APPLE);
    home.write("recipes/carrot-beef.toml", CARROT_BEEF);
    done(&home, &["freeze", "apple"]);
    done(&home, &["freeze", "carrot-beef"]);
    home
}

#[test]
fn the_word_for_cubes_means_the_same_behind_the_name() {
    let home = with_purees();
    for typed in [
        "2 cubes apple",
        "2 apple cubes",
        "two apple cubes",
        "apple cubes 2",
    ] {
        let out = done(&home, &["mix", typed]);
        assert!(out.contains("2 apple #1"), "{typed}: {out}");
    }
    let planned = done(
        &home,
        &["plan", "set", "2026-11-30", "lunch", "2 apple cubes"],
    );
    assert!(planned.contains("lunch: 2 Apple"), "{planned}");
    let before = home.texts("SELECT kind FROM entry");
    for typed in [
        "3 banana cubes",
        "banana cubes 3",
        "2 apple cubes, 3 banana cubes",
    ] {
        let told = refused(&home, &["serve", typed]);
        assert!(told.contains("cubes are of a recipe"), "{typed}: {told}");
        assert!(!told.contains("“apple”"), "{typed}: {told}");
    }
    let told = refused(&home, &["serve", "apple cubes"]);
    assert!(told.contains("does not say how many"), "{told}");
    assert_eq!(home.texts("SELECT kind FROM entry"), before);
    // What is weighed or spooned is a food that is cut so.
    let cut = done(&home, &["mix", "50 g banana cubes"]);
    assert!(cut.contains("50 g of Bananas, raw"), "{cut}");
}

#[test]
fn a_puree_by_weight_is_pointed_to_its_cubes() {
    let home = with_purees();
    for typed in [
        "60 g carrot-beef",
        "60g carrot & beef",
        "1 serving carrot-beef",
        "carrot & beef 60 g",
    ] {
        let told = refused(&home, &["mix", typed]);
        assert!(told.contains("cubes are counted"), "{typed}: {told}");
        assert!(told.contains("2 carrot-beef"), "{typed}: {told}");
    }
    let raw = done(&home, &["mix", "50 g apple"]);
    assert!(raw.contains("not your purée apple"), "{raw}");
    assert!(raw.contains("such as “2 apple”"), "{raw}");
    let other = done(&home, &["mix", "50 g banana"]);
    assert!(!other.contains("your purée"), "{other}");
}

#[test]
fn a_unit_is_known_or_said_not_to_be() {
    let home = Household::new();
    for (typed, same) in [
        ("1 dl greek yoghurt", "100 ml greek yoghurt"),
        ("5 cl greek yoghurt", "50 ml greek yoghurt"),
        ("1 tb olive oil", "1 tbsp olive oil"),
        ("2 tblspn greek yoghurt", "2 tbsp greek yoghurt"),
    ] {
        let grams = |typed: &str| {
            let bowl = home.json(&["mix", typed, "--json"]);
            bowl["taken"][0]["grams"].as_f64().unwrap()
        };
        let (one, other) = (grams(typed), grams(same));
        assert!((one - other).abs() < 1e-9, "{typed}: {one}, {other}");
    }
    let told = refused(&home, &["mix", "30 mg peas"]);
    assert!(told.contains("“mg” is not a known unit"), "{told}");
    assert!(told.contains("units are g, kg"), "{told}");
    assert!(!told.contains("trayful mix"), "{told}");
    let told = refused(&home, &["mix", "2 tbssp greek yoghurt"]);
    assert!(told.contains("did you mean tbsp?"), "{told}");
    assert!(
        told.contains("trayful mix \"2 tbsp greek yoghurt\""),
        "{told}"
    );
    let told = refused(&home, &["mix", "1e3 g peas"]);
    assert!(told.contains("“1e3” is not a number"), "{told}");
    assert!(!told.contains("trayful mix"), "{told}");
}

#[test]
fn what_is_cooked_as_it_is_said_and_only_there_raw_is_told() {
    let home = Household::new();
    let boiled = done(&home, &["mix", "1 egg yolk boiled"]);
    assert!(
        boiled.contains("its figures are those of the raw food"),
        "{boiled}"
    );
    let cooked = done(&home, &["mix", "50 g carrots boiled"]);
    assert!(!cooked.contains("raw food"), "{cooked}");
}
