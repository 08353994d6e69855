//! What a child knows, which foods are objected to after a reaction, and what a doctor cleared.

use std::sync::Arc;

use jiff::civil::{Date, date};
use serde_json::Value;
use trayful::cooking::Method;
use trayful::notebook::{Book, How, Store, TasteRecord};
use trayful::nutrition::{BreastMilk, Source};

use super::household::{Household, rows};

const EGG: &str = "01123";
const WHEAT: &str = "20080";
const SQUASH: &str = "11485";

/// Squash and egg in the freezer since the first of October.
fn home() -> Household {
    let home = Household::new();
    for recipe in ["squash", "egg", "lentil"] {
        home.said(&["freeze", recipe, "--cubes", "12", "--on", "2026-10-01"]);
    }
    home
}

fn on(day: i8) -> Date {
    date(2026, 10, day)
}

fn store(home: &Household) -> Store {
    Book::open(home.path()).unwrap().store().unwrap()
}

fn tastes(home: &Household, day: i8) -> Arc<TasteRecord> {
    store(home).tastes("Wren", on(day)).unwrap()
}

/// Serves cubes of a recipe on a day, whatever speaks against them.
fn serve(home: &Household, what: &str, day: i8, more: &[&str]) {
    let day = on(day).to_string();
    let said = home.said(&[&["serve", what, "--anyway", "--on", &day], more].concat());
    assert_eq!(said.code, 0, "{}", said.err);
}

/// The doctor cleared a food on a day.
fn clear(home: &Household, food: &str, day: i8) {
    let day = on(day).to_string();
    home.answer(&["tastes", "--cleared", food, "--on", &day]);
}

/// The foods that are objected to on a day, in the order of their ids.
fn open(home: &Household, day: i8) -> Vec<String> {
    let record = tastes(home, day);
    let open = record.open_reactions().into_iter();
    let mut open: Vec<_> = open.map(|open| open.food.clone()).collect();
    open.sort();
    open
}

#[test]
fn a_reaction_stays_open_whatever_is_eaten_or_refused_since() {
    let home = home();
    serve(&home, "1 egg", 2, &["--reaction", "hives"]);
    assert_eq!(open(&home, 2), [EGG, WHEAT]);
    serve(&home, "1 egg", 5, &["--how", "refused"]);
    assert_eq!(open(&home, 5), [EGG, WHEAT], "a refusal is not an eating");
    serve(&home, "1 egg", 9, &[]);
    assert_eq!(open(&home, 9), [EGG, WHEAT], "eaten since, not cleared");
    let record = tastes(&home, 9);
    let egg = record.foods.iter().find(|taste| taste.food == EGG).unwrap();
    let seen = egg.open_reaction().unwrap();
    assert_eq!((seen.day, seen.words.as_str()), (on(2), "hives"));
    assert_eq!(open(&home, 1), [""; 0], "nothing was seen yet");
}

#[test]
fn a_refused_food_that_is_open_is_not_offered_again() {
    let home = home();
    serve(&home, "1 egg", 2, &["--reaction", "hives"]);
    serve(&home, "1 egg", 5, &["--how", "refused"]);
    serve(&home, "1 squash", 6, &["--how", "refused"]);
    let record = tastes(&home, 6);
    let again: Vec<_> = record.to_offer_again().map(|taste| &taste.food).collect();
    assert_eq!(again, [SQUASH]);
}

#[test]
fn only_what_was_eaten_is_known() {
    let home = home();
    serve(&home, "1 squash", 2, &["--how", "refused"]);
    serve(&home, "1 egg", 3, &["--how", "some"]);
    let record = tastes(&home, 3);
    assert_eq!(
        record.known().into_iter().collect::<Vec<_>>(),
        [(EGG, on(3)), (WHEAT, on(3))]
    );
    assert!(!record.foods[0].eaten());
    assert_eq!(
        record.new_among([(SQUASH, "squash"), (EGG, "egg")]),
        ["squash"]
    );
    assert_eq!(record.last_first(), Some(on(3)));
    serve(&home, "1 squash", 5, &[]);
    serve(&home, "1 egg", 8, &["--how", "refused"]);
    let record = tastes(&home, 8);
    assert_eq!(
        record.known()[SQUASH],
        on(5),
        "the first day it was eaten, not offered"
    );
    let allergens: Vec<_> = record.known_allergens().into_iter().collect();
    assert_eq!(
        allergens,
        [("egg", (on(3), on(3))), ("wheat", (on(3), on(3)))]
    );
}

#[test]
fn none_of_a_meal_eaten_is_not_an_eating() {
    let home = home();
    serve(&home, "1 squash", 2, &["--eaten", "0%"]);
    assert!(tastes(&home, 2).known().is_empty());
}

#[test]
fn waiting_after_allergens_alone_lets_other_foods_come() {
    let home = home();
    serve(&home, "1 squash", 2, &[]);
    let free = |day| {
        let settings = Book::open(home.path()).unwrap().settings;
        tastes(&home, day).next_free(&settings)
    };
    assert_eq!(free(2), Some(on(6)));
    home.change("# waiting = \"allergens\"", "waiting = \"allergens\"");
    assert_eq!(free(2), None);
    serve(&home, "1 egg", 3, &[]);
    assert_eq!(free(3), Some(on(7)));
}

#[test]
fn the_doctor_clears_one_food_of_one_child_from_that_day_on() {
    let home = home();
    home.say_of_itself("\n[[child]]\nname = \"Robin\"\nborn = \"2026-01-01\"\n");
    for child in ["Wren", "Robin"] {
        serve(
            &home,
            "1 egg",
            2,
            &["--child", child, "--reaction", "hives"],
        );
    }
    home.answer(&[
        "tastes",
        "--child",
        "Wren",
        "--cleared",
        EGG,
        "--on",
        "2026-10-04",
    ]);
    assert_eq!(open(&home, 3), [EGG, WHEAT], "not cleared yet");
    assert_eq!(open(&home, 4), [WHEAT]);
    let robin = store(&home).tastes("Robin", on(9)).unwrap();
    assert_eq!(robin.open_reactions().len(), 2);
    serve(
        &home,
        "1 egg",
        5,
        &["--child", "Wren", "--reaction", "hives again"],
    );
    assert_eq!(
        open(&home, 5),
        [EGG, WHEAT],
        "a later reaction opens it again"
    );
    let record = tastes(&home, 5);
    assert_eq!(record.open_reactions()[0].words, "hives again");
}

#[test]
fn a_week_asks_for_the_doctor_until_each_food_is_cleared() {
    let home = home();
    serve(&home, "1 egg", 2, &["--reaction", "hives"]);
    let week = || {
        let week = home.answer(&["week", "--to", "2026-10-04", "--why"]);
        week.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let open = "hives. Ask your paediatrician before it is offered again";
    clear(&home, EGG, 3);
    assert!(week().contains(open), "{}", week());
    clear(&home, WHEAT, 4);
    let cleared = week();
    assert!(!cleared.contains(open) && cleared.contains("hives. The doctor cleared it since"));
}

#[test]
fn on_one_day_the_order_of_the_record_decides() {
    let home = home();
    serve(&home, "1 egg", 2, &["--reaction", "hives"]);
    clear(&home, EGG, 2);
    assert_eq!(open(&home, 2), [WHEAT]);
    serve(&home, "1 egg", 2, &["--reaction", "hives again"]);
    assert_eq!(open(&home, 2), [EGG, WHEAT]);
}

#[test]
fn a_clearance_is_recorded_checked_carried_over_and_taken_back() {
    let home = home();
    serve(&home, "1 egg", 2, &["--reaction", "hives"]);
    insta::assert_snapshot!(home.told(&[
        &["tastes", "--cleared", "01124", "--on", "2026-10-03"],
        &["tastes", "--cleared", "11485", "--on", "2026-10-03"],
        &["tastes", "--cleared", "01123", "--on", "2026-10-01"],
        &["tastes", "--words", "fine", "--on", "2026-10-03"],
        &["tastes", "--on", "2026-10-03"],
        &[
            "tastes",
            "--cleared",
            "01123",
            "--words",
            "a virus; go on",
            "--on",
            "2026-10-03"
        ],
        &["tastes", "--cleared", "01123", "--on", "2026-10-03"],
        &["tastes", "--on", "2026-10-03"],
        &["book", "check"],
    ]));
    home.answer(&["book", "export", "out"]);
    home.answer(&["start", "new", "--child", "Wren", "--born", "2026-03-02"]);
    home.answer(&["book", "import", "out", "--book", "new"]);
    home.answer(&["book", "backup", "copy.sqlite"]);
    assert_eq!(home.rows()["clearance"].len(), 1);
    assert_eq!(home.rows(), rows(&home.path().join("new/book.sqlite")));
    assert_eq!(home.rows(), rows(&home.path().join("copy.sqlite")));
    // The last command was refused, so that a bare `undo` would ask what is meant.
    insta::assert_snapshot!(home.told(&[&["undo", "5"]]));
    assert_eq!(open(&home, 3), [EGG, WHEAT]);
    assert!(home.rows()["clearance"].is_empty());
}

#[test]
fn a_clearance_without_its_row_is_found() {
    let home = home();
    serve(&home, "1 egg", 2, &["--reaction", "hives"]);
    clear(&home, EGG, 3);
    let record = rusqlite::Connection::open(home.record()).unwrap();
    record.execute("DELETE FROM clearance", []).unwrap();
    let said = home.said(&["book", "check"]);
    assert_eq!(
        (said.code, said.out.as_str()),
        (1, "clearance 5 has no row of its own\n")
    );
}

#[test]
fn tastes_are_told_as_json() {
    let home = home();
    serve(&home, "1 egg", 2, &["--reaction", "hives"]);
    serve(&home, "1 squash", 3, &["--how", "refused"]);
    let said = home.answer(&["tastes", "--on", "2026-10-03", "--json"]);
    let json: Value = serde_json::from_str(&said).unwrap();
    assert_eq!(
        (&json["schema"], &json["next_new_food"]),
        (&1.into(), &"2026-10-06".into())
    );
    assert_eq!(json["open_reactions"][0]["words"], "hives");
    assert_eq!(json["foods"][2]["food"], SQUASH);
    assert!(json["foods"][2]["first_eaten"].is_null());
    assert_eq!(json["offer_again"][0]["food"], SQUASH);
    assert_eq!(json["allergens"].as_array().unwrap().len(), 9);
    let cleared = ["tastes", "--cleared", EGG, "--on", "2026-10-03", "--json"];
    let json: Value = serde_json::from_str(&home.answer(&cleared)).unwrap();
    assert_eq!(json["open_reactions"][0]["food"], WHEAT);
}

#[test]
fn what_was_eaten_is_told_food_by_food() {
    let home = home();
    serve(
        &home,
        "2 lentil, 20 g 09003",
        2,
        &["--meal", "lunch", "--how", "some", "--eaten", "40%"],
    );
    serve(&home, "1 squash", 2, &["--how", "refused"]);
    home.answer(&["milk", "breast 300 ml", "--on", "2026-10-02"]);
    let book = Book::open(home.path()).unwrap();
    let child = book.settings.child(None).unwrap();
    let breast = BreastMilk::builtin().unwrap();
    let store = store(&home);
    let eaten = store.eaten_foods(child, (on(1), on(2)), &breast).unwrap();
    let grams = |food: &str| {
        let found = eaten.iter().filter(|eaten| eaten.food.id.as_str() == food);
        found
            .map(|eaten| eaten.food.edible.unwrap().grams())
            .collect::<Vec<_>>()
    };
    // Of one cube of two, as its batch was recorded: 40 % of what two hold.
    let cube = &store.cubes(&[3]).unwrap()[&3];
    let lentil = cube
        .foods
        .iter()
        .find(|food| food.id.as_str() == "16144")
        .unwrap();
    let expected = lentil.edible.unwrap().grams() * 2.0 * 0.4;
    assert!((grams("16144")[0] - expected).abs() < 1e-9 && expected > 1.0);
    assert_eq!(grams("09003"), [8.0]);
    assert_eq!(
        grams(SQUASH).last(),
        Some(&0.0),
        "a refused meal counts no grams"
    );
    let of = |food: &str| {
        eaten
            .iter()
            .find(|eaten| eaten.food.id.as_str() == food)
            .unwrap()
    };
    assert_eq!(of("16144").food.method, Some(Method::Simmer));
    assert_eq!(of("09003").food.method, Some(Method::None));
    assert_eq!(
        (of("16144").meal.as_str(), of("16144").how),
        ("lunch", How::Some)
    );
    let milk = of(BreastMilk::FOOD);
    assert_eq!((milk.source, milk.day), (Source::Milk, on(2)));
    // Household measures of milk are rounded to a tenth of a gram: 300 ml comes back within one.
    assert!((milk.volume.unwrap().millilitres() - 300.0).abs() < 1.0);
    assert_eq!(
        eaten.iter().filter(|eaten| eaten.day == on(1)).count(),
        0,
        "no milk is on record"
    );
}
