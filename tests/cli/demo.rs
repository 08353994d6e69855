//! The first thing a newcomer sees.

use super::support::trayful;

#[test]
fn the_demo_prints_a_batch_filled_to_two_trays() {
    insta::assert_snapshot!(trayful(&["demo"]).answer());
}

#[test]
fn every_recipe_of_the_demo_household_makes_two_full_trays() {
    for name in [
        "butternut",
        "broccoli-potato",
        "egg-oat-apple",
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
        assert!(card.contains("\nMakes   32 cubes of "), "{name}: {card}");
        assert!(card.contains("2 full trays of 16 wells"), "{name}: {card}");
    }
}

#[test]
fn the_demo_recipes_are_the_files_of_the_demo_folder() {
    let same = |args: &[&str]| {
        let text = trayful(args).answer();
        let start = text.find("Beef, beetroot and barley").unwrap();
        let end = text.find("\nIts other recipes").unwrap_or(text.len());
        text[start..end].to_string()
    };
    let built_in = same(&["demo", "beef-beetroot-barley"]);
    let file = same(&[
        "batch",
        "demo/recipes/beef-beetroot-barley.toml",
        "--age",
        "8",
        "--trays",
        "2",
    ]);
    assert_eq!(built_in, file);
}

#[test]
fn an_unknown_demo_recipe_is_refused_with_the_known_ones() {
    insta::assert_snapshot!(trayful(&["demo", "banana"]).refusal());
}

#[test]
fn the_demo_household_has_a_book_with_a_story_in_it() {
    let folder = tempfile::tempdir().unwrap();
    let nest = folder.path().join("nest");
    let told = trayful(&["demo", "--into", nest.to_str().unwrap()]).answer();
    assert!(told.contains("11 recipes"), "{told}");
    let inside = |args: &[&str]| trayful(args).inside(&nest).answer();
    assert_eq!(inside(&["book", "check"]), "The book is sound.\n");
    let on = "2026-11-16";
    let tastes = inside(&["tastes", "--on", on]);
    insta::assert_snapshot!(tastes);
    insta::assert_snapshot!(inside(&["money"]));
    insta::assert_snapshot!(inside(&["freezer", "--on", on]));
    insta::assert_snapshot!(inside(&["cook-next", "--on", on]));
    let again = trayful(&["demo", "--into", nest.to_str().unwrap()]).refusal();
    assert!(again.contains("is a book already"), "{again}");
}
