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
