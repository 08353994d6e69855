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
fn an_unknown_id_is_refused() {
    insta::assert_snapshot!(trayful(&["foods", "--show", "99999"]).refusal());
}
