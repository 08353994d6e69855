//! The first thing a newcomer sees.

use super::support::trayful;

#[test]
fn the_demo_prints_a_batch_filled_to_two_trays() {
    insta::assert_snapshot!(trayful(&["demo"]).answer());
}

#[test]
fn every_recipe_of_the_demo_household_makes_two_full_trays() {
    for name in [
        "red-lentil-squash",
        "beef-beetroot-barley",
        "chicken-liver-white-bean",
        "chickpea-tomato-tahini",
        "mackerel-potato-fennel",
        "oat-prune-apricot",
        "salmon-broccoli-millet",
        "turkey-kale-quinoa",
    ] {
        let card = trayful(&["demo", name]).answer();
        assert!(card.contains("\n32 cubes of "), "{name}: {card}");
        assert!(card.contains("2 full trays of 16 wells"), "{name}: {card}");
    }
}

#[test]
fn the_demo_recipes_are_the_files_of_the_demo_folder() {
    let same = |args: &[&str]| {
        let text = trayful(args).answer();
        let start = text.find("Beef, beetroot and barley").unwrap();
        text[start..].to_string()
    };
    let built_in = same(&["demo", "beef-beetroot-barley"]);
    let file = same(&[
        "batch",
        "demo/recipes/beef-beetroot-barley.toml",
        "--trays",
        "2",
    ]);
    assert_eq!(built_in, file);
}

#[test]
fn an_unknown_demo_recipe_is_refused_with_the_known_ones() {
    insta::assert_snapshot!(trayful(&["demo", "banana"]).refusal());
}
