//! What the program says to do next is right and does no harm.
//!
//! Sources of the checks: the commands themselves, read back from the record.

use super::household::Household;
use super::one_line::{done, refused};

/// A household with cubes in the freezer.
fn home() -> Household {
    let home = Household::new();
    done(&home, &["freeze", "squash", "--on", "2026-11-20"]);
    home
}

#[test]
fn a_share_says_how_a_meal_went() {
    let home = home();
    done(&home, &["serve", "2 squash", "--on", "2026-11-26"]);
    for (number, share, how, words) in [
        ("2", "25%", "some", "some of it (25 %)"),
        ("3", "0%", "refused", "not eaten (0 %)"),
        ("4", "100%", "taken", "eaten (100 %)"),
    ] {
        let out = done(&home, &["change", number, "--eaten", share]);
        assert!(out.contains(words), "{share}: {out}");
        assert_eq!(home.texts("SELECT how FROM feeding"), [how], "{share}");
    }
    let said = done(&home, &["change", "5", "--how", "some", "--eaten", "25%"]);
    assert!(said.contains("some of it (25 %)"), "{said}");
}

#[test]
fn no_example_stands_for_an_entry_that_is_not_known() {
    let home = home();
    done(&home, &["note", "slept well"]);
    done(&home, &["question", "Is one meat meal a day enough?"]);
    let told = refused(&home, &["undo", "last"]);
    assert!(told.contains("the last one: trayful undo all"), "{told}");
    let told = refused(&home, &["answer", "yes"]);
    assert!(
        told.contains("question 3: trayful answer 3 yes all"),
        "{told}"
    );
    let told = refused(&home, &["answer", "first", "it is enough"]);
    assert!(told.contains("trayful answer 3 \"it is enough\""), "{told}");
    done(&home, &["answer", "3", "it is"]);
    let told = refused(&home, &["answer", "yes"]);
    assert!(!told.contains(": trayful answer "), "{told}");
    let told = refused(&home, &["change", "lunch", "--eaten", "25%"]);
    assert!(!told.contains(": trayful change "), "{told}");
}

#[test]
fn a_meal_that_was_refused_is_not_recorded_as_eaten() {
    let home = home();
    let how = "trayful serve \"2 squash\" --how refused";
    for more in [
        &["--eaten", "refused"][..],
        &["--eaten=Refused"],
        &["--refused"],
    ] {
        let args = [&["serve", "2 squash"][..], more].concat();
        let told = refused(&home, &args);
        assert!(told.contains(how), "{more:?}: {told}");
        assert!(!told.contains("trayful serve \"2 squash\" all"), "{told}");
    }
    for share in ["most", "a bit", "120%"] {
        let told = refused(&home, &["serve", "2 squash", "--eaten", share]);
        assert!(!told.contains(": trayful serve"), "{share}: {told}");
    }
    let told = refused(&home, &["serve", "2 squash", "--eaten", "most"]);
    assert!(told.contains("--how some"), "{told}");
}

#[test]
fn a_puree_on_the_scale_is_calculated_and_held_against_its_ingredients() {
    let home = home();
    let plain = done(&home, &["batch", "squash"]);
    let weighed = done(&home, &["batch", "squash", "--weighed", "650g"]);
    assert_ne!(plain, weighed);
    let typed = ["batch", "--add", "100 g butternut squash steamed"];
    for args in [&["batch", "squash"][..], &typed] {
        let told = refused(&home, &[args, &["--weighed", "9999g"]].concat());
        assert!(told.contains("times what the ingredients make"), "{told}");
    }
}

#[test]
fn a_backup_is_read_back() {
    let home = home();
    done(&home, &["serve", "2 squash", "--on", "2026-11-26"]);
    let before = home.in_force();
    let told = done(&home, &["book", "backup", "copy.sqlite"]);
    assert!(told.contains("`trayful book import copy.sqlite`"), "{told}");
    let told = refused(&home, &["book", "import", "copy.sqlite"]);
    assert!(told.contains("has entries already"), "{told}");
    for name in ["book.sqlite", "book.sqlite-wal", "book.sqlite-shm"] {
        let _ = std::fs::remove_file(home.path().join(name));
    }
    let told = done(&home, &["book", "import", "copy.sqlite"]);
    assert!(told.contains("Read 2 entries from copy.sqlite"), "{told}");
    assert_eq!(home.in_force(), before);
}

#[test]
fn a_jar_and_a_price_that_are_missing_are_asked_for() {
    let home = home();
    let told = done(&home, &["money"]);
    assert!(
        told.contains("`trayful household jar NAME --mass 4oz --price 1.29`"),
        "{told}"
    );
    assert!(told.contains("`trayful buy`"), "{told}");
    let told = refused(&home, &["household", "jar", "veg jar", "1.29", "4oz"]);
    assert!(
        told.contains("trayful household jar \"veg jar\" --price 1.29 --mass 4oz"),
        "{told}"
    );
    let jar = ["household", "jar", "veg jar", "--price", "1.29"];
    done(&home, &[&jar[..], &["--mass", "4oz"]].concat());
    assert!(!done(&home, &["money"]).contains("household jar"));
}

#[test]
fn the_first_word_of_a_note_is_its_topic() {
    let home = home();
    for (typed, words) in [
        ("stool green", "stool: stool green."),
        ("Sleep: two naps", "sleep: two naps."),
        (
            "soft lumps, texture is fine",
            "other: soft lumps, texture is fine.",
        ),
    ] {
        let told = done(&home, &["note", typed]);
        assert!(told.contains(words), "{typed}: {told}");
    }
    let told = done(&home, &["note", "sleep is short", "--topic", "illness"]);
    assert!(told.contains("illness: sleep is short."), "{told}");
}

#[test]
fn the_milk_of_one_day_says_how_it_is_so_from_then_on() {
    let home = home();
    let told = done(&home, &["milk", "breast", "--on", "2026-11-16"]);
    assert!(
        told.contains("`trayful milk breast --from 2026-11-16`"),
        "{told}"
    );
    let told = done(&home, &["milk", "breast", "--from", "2026-11-16"]);
    assert!(!told.contains("this day alone"), "{told}");
}

#[test]
fn a_decimal_comma_is_read_and_trays_are_whole() {
    let home = home();
    let told = refused(&home, &["batch", "squash", "--trays", "1,5"]);
    assert!(told.contains("write whole trays, 1 to 100"), "{told}");
    assert!(told.contains("--cubes"), "{told}");
    let said = home.said(&["combine", "--reach", "1,5 mg iron"]);
    assert!(!said.err.contains("start with a number"), "{}", said.err);
}

/// What stands behind an unknown option is its value, and no word of the entry.
#[test]
fn the_value_of_an_unknown_option_goes_with_it() {
    let home = Household::new();
    let said = home.said(&["reaction", "a red cheek", "--meal", "supper"]);
    assert_eq!(said.code, 2, "{}", said.out);
    assert!(
        said.err.contains("trayful reaction \"a red cheek\"\n"),
        "{}",
        said.err
    );
}
