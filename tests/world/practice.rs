//! Rules of thumb of cooking in cubes.
//!
//! Source: common practice, no source; the table says so beside each.

use trayful::cooking::{FoodClass, Method, PracticeTable};
use trayful::portion::Tray;
use trayful::recipe::RecipeServing;

use crate::support::{batch, class_of, ingredient};

const NO_SOURCE: &str = "common practice, no source";

/// An ice-cube well holds 22 to 30 ml: common practice, no source.
#[test]
fn a_well_is_two_tablespoons_or_less() {
    let tray = Tray::usual().checked().unwrap();
    assert!((22.0..=30.0).contains(&tray.well.millilitres()));
    says("well", &["22 to 30 ml"]);
}

/// Two cubes make about two ounces, 57 g: common practice, no source.
#[test]
fn two_cubes_are_about_two_ounces() {
    assert_eq!(RecipeServing::default().cubes, 2);
    for (food, method) in [
        ("11485", "steam"),
        ("11124", "boil"),
        ("09003", "bake"),
        ("16069", "boil"),
    ] {
        let puree = batch(&ingredient(food, 500.0, method, ""));
        let serving = Tray::usual().cube_mass(puree.density) * 2.0;
        println!("two cubes of {food}: {:.1} g", serving.grams());
        assert!(
            (50.0..=65.0).contains(&serving.grams()),
            "{food}: {serving:?}"
        );
    }
    says("serving", &["two cubes", "two ounces"]);
}

/// Vegetables steam 15 to 20 minutes, the steamer half full: common practice, no source.
#[test]
fn vegetables_steam_a_quarter_of_an_hour() {
    for vegetable in ["11124", "11485", "11090", "11507", "11457"] {
        cooks(
            &class_of(vegetable),
            Method::Steam,
            &["15 to 20 min", "half full"],
        );
    }
}

/// Soft fruit roasts 20 to 25 minutes at 350 degrees Fahrenheit: common practice, no source.
#[test]
fn fruit_roasts_at_350() {
    for fruit in ["09236", "09252", "09279"] {
        for method in [Method::Roast, Method::Bake] {
            cooks(&class_of(fruit), method, &["20 to 25 min", "350 F"]);
        }
    }
}

/// Half of the liquid leaves lumps, all of it makes a thin purée; a month in the freezer: common practice, no source.
#[test]
fn liquid_and_freezer() {
    says(
        "liquid",
        &["half of the cooking liquid", "lumpier", "all of it", "thin"],
    );
    says("life", &["a month"]);
}

fn says(rule: &str, words: &[&str]) {
    let table = PracticeTable::builtin().unwrap();
    let rule = table.rule(rule).unwrap();
    has(&rule.text, words);
    assert_eq!(rule.source, NO_SOURCE);
}

fn cooks(class: &FoodClass, method: Method, words: &[&str]) {
    let table = PracticeTable::builtin().unwrap();
    let practice = table.cooking(class, method).unwrap();
    has(&practice.text, words);
    assert_eq!(practice.source, NO_SOURCE, "{class}");
}

fn has(text: &str, words: &[&str]) {
    let text = text.to_lowercase();
    for word in words {
        assert!(
            text.contains(&word.to_lowercase()),
            "`{text}` does not say `{word}`"
        );
    }
}
