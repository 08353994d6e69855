//! More of what parents correct or tell later, each in one command, with what moves and what stays.

use approx::assert_relative_eq;
use serde_json::Value;

use super::household::Household;

/// A batch of 20 cubes of squash.
fn home() -> Household {
    let home = Household::new();
    home.answer_with_warnings(&["freeze", "squash", "--cubes", "20", "--on", "2026-11-05"]);
    home
}

fn number(home: &Household, args: &[&str]) -> String {
    home.answer_with_warnings(args);
    home.texts("SELECT max(id) || '' FROM entry").remove(0)
}

fn left(home: &Household) -> u64 {
    let freezer = home.json(&["freezer", "--on", "2026-11-27", "--json"]);
    freezer["batches"][0]["cubes_left"].as_u64().unwrap()
}

fn iron(home: &Household, day: &str) -> f64 {
    let week = home.json(&["week", "--from", day, "--to", day, "--json"]);
    let iron = &week["days"][0]["nutrients"]["FE"];
    iron["total"]
        .as_f64()
        .or(iron["food"].as_f64())
        .unwrap_or(0.0)
}

fn entries(home: &Household, args: &[&str]) -> Vec<Value> {
    let log = home.json(&[&["log", "--json"], args].concat());
    log["entries"].as_array().unwrap().clone()
}

#[test]
fn a_first_taste_was_a_day_earlier_and_its_waiting_days_with_it() {
    let home = home();
    let egg = number(
        &home,
        &[
            "serve",
            "20 g 01129",
            "--on",
            "2026-11-24",
            "--meal",
            "lunch",
            "--anyway",
        ],
    );
    let next = || home.json(&["tastes", "--on", "2026-11-25", "--json"])["next_new_food"].clone();
    let before = next();
    home.answer_with_warnings(&["change", &egg, "--day", "2026-11-22", "--anyway"]);
    let meal = &entries(&home, &["--kind", "meal"])[0];
    assert_eq!(meal["day"], "2026-11-22");
    assert!(
        meal["words"]
            .as_str()
            .unwrap()
            .starts_with("lunch: 20 g of"),
        "{meal}"
    );
    let tastes = home.json(&["tastes", "--on", "2026-11-27", "--json"]);
    let foods = tastes["foods"].as_array().unwrap();
    let egg = foods.iter().find(|one| one["food"] == "01129").unwrap();
    assert_eq!(egg["first_offered"], "2026-11-22");
    assert_ne!(next(), before, "{tastes}");
}

#[test]
fn two_cubes_fell_on_the_floor_last_night() {
    let home = home();
    home.answer_with_warnings(&["buy", "1 kg 11485", "2.94", "--on", "2026-11-01"]);
    home.answer_with_warnings(&["serve", "2 squash", "--on", "2026-11-24"]);
    let meal = iron(&home, "2026-11-24");
    let thrown = home.json(&[
        "discard",
        "2 squash",
        "--why",
        "fell on the floor",
        "--on",
        "2026-11-26",
        "--json",
    ]);
    assert_eq!(thrown["day"], "2026-11-26");
    assert!(thrown["discarded"][0]["cost"].is_string(), "{thrown}");
    assert_eq!(left(&home), 16);
    assert_relative_eq!(iron(&home, "2026-11-24"), meal);
}

#[test]
fn it_was_bought_at_another_shop() {
    let home = home();
    let bought = number(
        &home,
        &[
            "buy",
            "1 lb 11485",
            "2.94",
            "--at",
            "supermarket",
            "--on",
            "2026-11-01",
        ],
    );
    let cost = || home.json(&["money", "--json"])["batches"][0]["cost"].clone();
    let before = cost();
    home.answer_with_warnings(&["change", &bought, "--shop", "market"]);
    let purchase = &entries(&home, &["--kind", "purchase"])[0];
    let words = purchase["words"].as_str().unwrap();
    assert!(words.ends_with("for 2.94 USD, market"), "{words}");
    assert_eq!(cost(), before);
}

#[test]
fn the_milk_of_a_day_was_another() {
    let home = home();
    home.answer_with_warnings(&["milk", "500 ml 03857", "--from", "2026-11-20"]);
    home.answer_with_warnings(&["serve", "2 squash", "--on", "2026-11-21"]);
    home.answer_with_warnings(&["serve", "2 squash", "--on", "2026-11-22"]);
    let day = number(&home, &["milk", "200 ml 03857", "--on", "2026-11-21"]);
    let formula = iron(&home, "2026-11-21");
    let other = iron(&home, "2026-11-22");
    let said = home.said(&["change", &day, "--what", "200 ml 01077"]);
    assert!(
        said.out.contains("Breast milk or formula is the drink"),
        "the caution on cow's milk: {}",
        said.out
    );
    home.said(&["change", &day, "--what", "200 ml 01077", "--anyway"]);
    assert!(
        iron(&home, "2026-11-21") < formula,
        "formula has iron, cow's milk nearly none"
    );
    assert_relative_eq!(iron(&home, "2026-11-22"), other);
}

#[test]
fn something_else_was_eaten_than_was_planned() {
    let home = home();
    home.answer_with_warnings(&["freeze", "egg", "--cubes", "10", "--on", "2026-11-06"]);
    home.answer_with_warnings(&["plan", "set", "2026-11-27", "lunch", "2 egg", "--anyway"]);
    home.answer_with_warnings(&["serve", "2 squash", "--meal", "lunch"]);
    let plan = home.json(&[
        "plan",
        "show",
        "--from",
        "2026-11-27",
        "--to",
        "2026-11-27",
        "--json",
    ]);
    let meal = &plan["meals"][0];
    assert!(meal.to_string().contains("otherwise"), "{plan}");
    assert_eq!(meal["parts"][0]["what"], "egg");
    let freezer = home.json(&["freezer", "--json"])["batches"].clone();
    let left: Vec<(String, u64)> = freezer
        .as_array()
        .unwrap()
        .iter()
        .map(|one| {
            (
                one["recipe"].as_str().unwrap().to_string(),
                one["cubes_left"].as_u64().unwrap(),
            )
        })
        .collect();
    assert!(
        left.contains(&("egg".into(), 10)) && left.contains(&("squash".into(), 18)),
        "{left:?}"
    );
}

#[test]
fn a_metric_cup_holds_250_ml_and_what_is_recorded_keeps_its_grams() {
    let home = home();
    let grams = |said: &Value| said["parts"][0]["grams"].as_f64().unwrap();
    let us = home.json(&["serve", "1 cup yogurt", "--on", "2026-11-24", "--json"]);
    home.answer_with_warnings(&["household", "set", "--cup", "metric"]);
    let metric = home.json(&["serve", "1 cup yogurt", "--on", "2026-11-25", "--json"]);
    // The US cup is 236.5882365 ml (NIST Handbook 44, Appendix C), the metric one 250 ml.
    assert_relative_eq!(
        grams(&metric) / grams(&us),
        250.0 / 236.588_236_5,
        max_relative = 1e-6
    );
    assert!(
        metric["taken_as"].to_string().contains("cups of 250 ml"),
        "{metric}"
    );
    let kept: Vec<String> = entries(&home, &["--kind", "meal"])
        .iter()
        .map(|one| one["words"].to_string())
        .collect();
    assert!(
        kept[1].contains(&format!("{:.0} g", grams(&us))),
        "{kept:?}"
    );
    let spoon = home.json(&["serve", "1 tbsp yogurt", "--on", "2026-11-25", "--json"]);
    assert!(!spoon["taken_as"].to_string().contains("250"), "{spoon}");
}

#[test]
fn what_was_done_before_lunch_is_taken_back_and_lunch_stays() {
    let home = home();
    number(&home, &["note", "slept badly"]);
    let before = number(&home, &["discard", "3 squash"]);
    let lunch = number(&home, &["serve", "2 squash", "--meal", "lunch"]);
    home.answer_with_warnings(&["undo", &before]);
    assert_eq!(left(&home), 18);
    let numbers: Vec<String> = entries(&home, &[])
        .iter()
        .map(|one| one["number"].to_string())
        .collect();
    assert!(
        numbers.contains(&lunch) && !numbers.contains(&before),
        "{numbers:?}"
    );
}

#[test]
fn counting_again_is_an_entry_of_its_own_kind() {
    let home = home();
    let count = number(&home, &["change", "1", "--cubes", "18"]);
    let counts = entries(&home, &["--kind", "count"]);
    assert_eq!(counts.len(), 1);
    assert_eq!(counts[0]["number"].to_string(), count);
    assert_eq!(counts[0]["day"], "2026-11-27");
    assert_eq!(
        counts[0]["words"],
        "counted again: 18 cubes of Squash (#1), not 20"
    );
    home.answer_with_warnings(&["undo", &count]);
    assert_eq!(home.said(&["log", "--kind", "count"]).code, 1);
    assert_eq!(left(&home), 20);
}

#[test]
fn nothing_is_moved_to_before_the_birth() {
    let home = home();
    let meal = number(&home, &["serve", "2 squash", "--on", "2026-11-24"]);
    let refused = home.refusal(&["change", &meal, "--day", "2026-03-01"]);
    assert!(
        refused.contains("is before the birth") && refused.contains("--day"),
        "{refused}"
    );
    home.answer_with_warnings(&["change", &meal, "--day", "2026-11-23"]);
}

#[test]
fn the_stage_of_texture_stands_beside_that_of_the_age() {
    let home = home();
    home.answer_with_warnings(&["texture", "smooth", "--on", "2026-09-10"]);
    let lumpy = number(&home, &["texture", "lumpy", "--on", "2026-11-12"]);
    home.answer_with_warnings(&["serve", "2 squash", "--on", "2026-11-24"]);
    let batch = home.json(&["batch", "squash", "--json"]);
    let objections = batch["objections"].as_array().unwrap();
    let texture = objections
        .iter()
        .find(|one| one["hazard"] == "texture")
        .unwrap();
    let text = texture["text"].as_str().unwrap();
    assert!(
        text.ends_with("On record for Wren: lumpy, since 12 Nov 2026."),
        "{text}"
    );
    let span = ["visit", "--from", "2026-11-20", "--to", "2026-11-26"];
    let visit = home.json(&[&span[..], &["--format", "json"]].concat());
    assert_eq!(visit["textures"][1]["stage"], "lumpy");
    home.answer_with_warnings(&[&span[..], &["visit.html"]].concat());
    let page = std::fs::read_to_string(home.path().join("visit.html")).unwrap();
    assert!(page.contains("smooth (10 Sep), lumpy (12 Nov)"), "{page}");
    home.answer_with_warnings(&["child", "rename", "Wren", "Nell"]);
    home.answer_with_warnings(&["change", &lumpy, "--day", "2026-11-13"]);
    let textures = entries(&home, &["--kind", "texture"]);
    assert_eq!(
        (&textures[0]["day"], &textures[0]["child"]),
        (&Value::from("2026-11-13"), &Value::from("Nell"))
    );
    assert_eq!(home.answer(&["book", "check"]), "The book is sound.\n");
}

#[test]
fn the_week_names_drops_weights_and_where_milk_was_counted_in_another_way() {
    let home = home();
    for day in [
        "2026-11-21",
        "2026-11-22",
        "2026-11-23",
        "2026-11-24",
        "2026-11-25",
    ] {
        home.answer_with_warnings(&["serve", "2 squash", "--on", day]);
    }
    home.answer_with_warnings(&["milk", "breast 5 feeds", "--from", "2026-11-01"]);
    home.answer_with_warnings(&["milk", "500 ml 03857", "--from", "2026-11-24"]);
    // One day alone is no other way.
    home.answer_with_warnings(&["milk", "200 ml 03857", "--on", "2026-11-22"]);
    home.answer_with_warnings(&[
        "supplement",
        "vitamin D drops",
        "400 IU",
        "--from",
        "2026-11-20",
    ]);
    home.answer_with_warnings(&["measure", "--weight", "8.4 kg", "--on", "2026-11-23"]);
    let span = ["--from", "2026-11-20", "--to", "2026-11-26"];
    let week = home.json(&[&["week", "--json"], &span[..]].concat());
    let breaks = week["milk_breaks"].as_array().unwrap();
    assert_eq!(breaks.len(), 1, "{breaks:?}");
    assert_eq!(breaks[0]["date"], "2026-11-24");
    assert_eq!(breaks[0]["before"], "breast milk by feeds");
    assert_eq!(breaks[0]["after"], "infant formula measured");
    let told = home.answer(&[&["week"], &span[..]].concat());
    for words in [
        "vitamin D drops: 10 µg a day",
        "weight 8.4 kg (23 Nov 2026)",
        "before that breast milk by feeds",
    ] {
        let flat: Vec<&str> = told.split_whitespace().collect();
        assert!(flat.join(" ").contains(words), "{words}: {told}");
    }
    let visit = home.json(&[&["visit", "--format", "json"], &span[..]].concat());
    assert_eq!(visit["milk_breaks"], week["milk_breaks"]);
}

/// The sheet for a visit over some days, without line breaks.
fn sheet(home: &Household, from: &str, to: &str) -> String {
    let page = home.answer(&["visit", "--from", from, "--to", to, "-"]);
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_sheet_says_how_much_milk_the_child_has_now() {
    let home = home();
    home.answer_with_warnings(&["serve", "2 squash", "--on", "2026-11-24"]);
    home.answer_with_warnings(&["milk", "300 ml 03857", "--from", "2026-11-06"]);
    home.answer_with_warnings(&["milk", "900 ml 03857", "--from", "2026-11-22"]);
    let page = sheet(&home, "2026-11-20", "2026-11-24");
    assert!(page.contains("milk on 24 Nov: infant formula"), "{page}");
    assert!(page.contains(", 900 ml a day"), "{page}");
    let visit = home.json(&[
        "visit",
        "--from",
        "2026-11-20",
        "--to",
        "2026-11-24",
        "--format",
        "json",
    ]);
    let run = &visit["milk"][0];
    let range = &run["grams_range"];
    let [least, most] = [0, 1].map(|end| range[end].as_f64().unwrap());
    assert!((most / least - 3.0).abs() < 1e-9, "{run}");
}

#[test]
fn the_last_days_of_a_sheet_are_not_those_before_a_long_pause() {
    let home = home();
    for day in 1..=9 {
        let day = format!("2026-11-{day:02}");
        for meal in ["breakfast", "lunch", "supper"] {
            home.answer_with_warnings(&["serve", "60 g 09040", "--on", &day, "--meal", meal]);
        }
    }
    assert!(sheet(&home, "2026-11-01", "2026-11-09").contains("last 7 days"));
    let after_a_pause = sheet(&home, "2026-11-01", "2026-11-12");
    assert!(
        after_a_pause.contains("last 7 complete days"),
        "{after_a_pause}"
    );
    assert!(!sheet(&home, "2026-11-01", "2026-11-27").contains("last 7"));
}

#[test]
fn what_to_cook_next_says_of_whom_few_foods_are_known() {
    let home = home();
    home.answer_with_warnings(&["child", "add", "Asa", "--born", "2026-04-02"]);
    home.answer_with_warnings(&["serve", "2 squash", "--on", "2026-11-24", "--child", "Wren"]);
    let told = home.said(&["cook-next"]).out;
    let told: Vec<&str> = told.split_whitespace().collect();
    let told = told.join(" ");
    assert!(
        told.contains("Wren knows 1 food so far") && told.contains("Asa knows 0 foods so far"),
        "{told}"
    );
}

#[test]
fn a_slip_of_two_neighbouring_letters_is_the_nearest() {
    let home = home();
    let refused = home.refusal(&["chnage", "1", "--cubes", "18"]);
    assert!(refused.contains("did you mean “change”?"), "{refused}");
}

/// Two milks that are written down together are the entry of their day.
#[test]
fn two_milks_of_a_day_are_one_entry() {
    let home = Household::new();
    let told = home.answer(&[
        "milk",
        "breast 3 feeds, 200 ml 03803",
        "--from",
        "2026-11-15",
    ]);
    assert!(!told.contains("another entry counts"), "{told}");
}

/// A slip in the count of cubes is looked at once more; cubes that are next to nothing are not recorded.
#[test]
fn far_more_cubes_than_a_batch_fills_are_pointed_out() {
    let home = Household::new();
    let frozen =
        |cubes: &str| home.said(&["freeze", "squash", "--cubes", cubes, "--on", "2026-11-20"]);
    assert!(!frozen("20").out.contains("check the number"));
    let slip = frozen("40");
    assert_eq!(slip.code, 0, "{}", slip.err);
    let flat = slip.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("40 were entered"), "{}", slip.out);
    let before = home.texts("SELECT count(*) || '' FROM entry");
    let dust = frozen("3000");
    assert_eq!(dust.code, 2, "{}", dust.out);
    let flat = dust.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("3000 cubes of this batch would weigh 0.2 g each"),
        "{flat}"
    );
    assert_eq!(home.texts("SELECT count(*) || '' FROM entry"), before);
}

#[test]
fn a_share_that_was_eaten_is_some_of_a_meal() {
    let home = home();
    let serve = |eaten: &str, day: &str| -> String {
        let told = home
            .said(&["serve", "1 squash", "--eaten", eaten, "--on", day])
            .out;
        told.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(serve("30%", "2026-11-21").contains("some of it"));
    assert!(serve("0%", "2026-11-22").contains("not eaten"));
    assert!(serve("100%", "2026-11-23").contains(", eaten"));
}

#[test]
fn a_supplement_is_known_in_any_letters_and_none_is_missed_that_was_never_begun() {
    let home = home();
    home.answer_with_warnings(&[
        "supplement",
        "vitamin D drops",
        "400 IU",
        "--from",
        "2026-11-20",
    ]);
    home.answer_with_warnings(&[
        "supplement",
        "Vitamin d Drops",
        "--missed",
        "--on",
        "2026-11-22",
    ]);
    let refused = home.refusal(&["supplement", "vitamin D", "--missed", "--on", "2026-11-23"]);
    assert!(
        refused.contains("was never begun") && refused.contains("vitamin D drops"),
        "{refused}"
    );
    let products = home.texts("SELECT DISTINCT product FROM supplement");
    assert_eq!(products, ["vitamin D drops"]);
}

#[test]
fn a_weight_far_from_the_one_before_is_asked_about() {
    let home = home();
    home.answer(&["measure", "6.9 kg", "--on", "2026-11-20"]);
    let fine = home.answer(&["measure", "7.0 kg", "--on", "2026-11-24"]);
    assert!(!fine.contains("once more"), "{fine}");
    let far = ["measure", "9.6 kg", "--on", "2026-11-24"];
    let asked = home.refusal(&far);
    let flat = asked.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "is the weight really 9.6 kg? On 24 Nov 2026 it was 7 kg",
        "if it is right, say it again with --anyway",
    ] {
        assert!(flat.contains(words), "{words}: {flat}");
    }
    let weights = || home.texts("SELECT value || '' FROM measure ORDER BY entry");
    assert_eq!(weights(), ["6900.0", "7000.0"], "nothing is recorded");
    home.answer(&[&far[..], &["--anyway"]].concat());
    assert_eq!(weights(), ["6900.0", "7000.0", "9600.0"]);
    // What is right is not doubted for the slip beside it.
    let right = home.answer(&["measure", "7.1 kg", "--on", "2026-11-25", "--json"]);
    assert!(!right.contains("once more"), "{right}");
}
