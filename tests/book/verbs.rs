//! What parents want to correct or to tell later, each in one command: what it was, what it is then, what stays.

use approx::assert_relative_eq;
use serde_json::Value;

use super::household::Household;

/// Two batches, each of 20 cubes of one food.
fn home() -> Household {
    let home = Household::new();
    home.answer_with_warnings(&["freeze", "squash", "--cubes", "20", "--on", "2026-11-05"]);
    home.answer_with_warnings(&["freeze", "squash", "--cubes", "20", "--on", "2026-11-20"]);
    home
}

impl Household {
    /// Records something; gives the number of its entry.
    fn entry(&self, args: &[&str]) -> String {
        self.answer_with_warnings(args);
        let last = "SELECT max(id) || '' FROM entry";
        self.texts(last).remove(0)
    }

    /// The entries in force, each as day, kind and words.
    fn log(&self) -> Vec<String> {
        let log = self.json(&["log", "--json"]);
        let entries = log["entries"].as_array().unwrap().iter();
        let text = |value: &Value| value.as_str().unwrap().to_string();
        entries
            .map(|one| {
                format!(
                    "{} {} {}",
                    text(&one["day"]),
                    text(&one["kind"]),
                    text(&one["words"])
                )
            })
            .collect()
    }

    fn has(&self, words: &str) {
        assert!(
            self.log().iter().any(|line| line.contains(words)),
            "{words}: {:#?}",
            self.log()
        );
    }

    fn has_not(&self, words: &str) {
        assert!(
            !self.log().iter().any(|line| line.contains(words)),
            "{words}: {:#?}",
            self.log()
        );
    }

    /// Iron of food on a day, mg.
    fn iron(&self, day: &str) -> f64 {
        let week = self.json(&["week", "--from", day, "--to", day, "--json"]);
        week["days"][0]["nutrients"]["FE"]["food"]
            .as_f64()
            .unwrap_or(0.0)
    }

    /// Cubes left of a batch.
    fn left(&self, batch: i64) -> u64 {
        let freezer = self.json(&["freezer", "--on", "2026-11-27", "--json"]);
        let batches = freezer["batches"].as_array().unwrap();
        let of_it = batches.iter().find(|one| one["batch"] == batch);
        of_it.map_or(0, |one| one["cubes_left"].as_u64().unwrap())
    }

    /// The taste of a food, by its id.
    fn taste(&self, food: &str) -> Value {
        let tastes = self.json(&["tastes", "--on", "2026-11-27", "--json"]);
        let foods = tastes["foods"].as_array().unwrap();
        foods
            .iter()
            .find(|one| one["food"] == food)
            .cloned()
            .unwrap_or(Value::Null)
    }
}

#[test]
fn a_meal_was_refused_and_its_cubes_stay_out_of_the_freezer() {
    let home = home();
    let meal = home.entry(&["serve", "2 squash", "--on", "2026-11-24", "--meal", "lunch"]);
    let iron = home.iron("2026-11-24");
    home.answer(&["change", &meal, "--how", "refused"]);
    home.has("2026-11-24 meal lunch: 2 cubes of Squash (#1); not eaten");
    assert!(iron > 0.1);
    assert_relative_eq!(home.iron("2026-11-24"), 0.0);
    assert_eq!(home.left(1), 18);
    let again = home.json(&["tastes", "--on", "2026-11-27", "--json"]);
    assert_eq!(again["offer_again"][0]["food"], "11485");
    assert_eq!(home.taste("11485")["first_offered"], "2026-11-24");
}

#[test]
fn only_half_was_eaten() {
    let home = home();
    let meal = home.entry(&[
        "serve",
        "3 squash",
        "--on",
        "2026-11-24",
        "--meal",
        "supper",
    ]);
    let iron = home.iron("2026-11-24");
    home.answer(&["change", &meal, "--eaten", "50%"]);
    assert_relative_eq!(home.iron("2026-11-24"), iron / 2.0, max_relative = 1e-12);
    assert_eq!(home.left(1), 17);
}

#[test]
fn it_was_another_meal_another_day_another_amount() {
    let home = home();
    let meal = home.entry(&[
        "serve",
        "30 g 01116",
        "--on",
        "2026-11-26",
        "--meal",
        "lunch",
    ]);
    home.answer(&["change", &meal, "--meal", "breakfast"]);
    home.has("2026-11-26 meal breakfast: 30 g of yogurt");
    home.has_not("lunch");
    home.answer(&["change", &meal, "--day", "2026-11-25"]);
    assert_eq!(home.taste("01116")["first_offered"], "2026-11-25");
    assert_relative_eq!(home.iron("2026-11-26"), 0.0);
    let cubes = home.entry(&["serve", "2 squash", "--on", "2026-11-25", "--meal", "lunch"]);
    let iron = home.iron("2026-11-25");
    home.answer(&["change", &cubes, "--amount", "1"]);
    assert_eq!(home.left(1), 19);
    assert!(home.iron("2026-11-25") < iron);
    let banana = home.entry(&[
        "serve",
        "300 g 09040",
        "--on",
        "2026-11-25",
        "--meal",
        "supper",
    ]);
    home.answer(&["change", &banana, "--amount", "30"]);
    home.has("supper: 30 g of bananas, raw");
}

#[test]
fn it_was_another_food_and_toast_was_forgotten() {
    let home = home();
    let apple = home.entry(&[
        "serve",
        "40 g 09003",
        "--on",
        "2026-11-25",
        "--meal",
        "lunch",
    ]);
    home.answer(&["change", &apple, "--what", "40 g 09252"]);
    assert_eq!(home.taste("09003"), Value::Null);
    assert_eq!(home.taste("09252")["first_offered"], "2026-11-25");
    let porridge = home.entry(&[
        "serve",
        "60 g 20109",
        "--on",
        "2026-11-25",
        "--meal",
        "breakfast",
    ]);
    home.answer(&["change", &porridge, "--add", "25 g 18070"]);
    home.has("breakfast: 60 g of");
    let line = home
        .log()
        .into_iter()
        .find(|line| line.contains("breakfast"))
        .unwrap();
    assert!(
        line.contains("60 g of") && line.contains("25 g of"),
        "{line}"
    );
}

#[test]
fn the_cubes_were_of_the_older_batch() {
    let home = home();
    let meal = home.entry(&["serve", "2 #2", "--on", "2026-11-25"]);
    assert_eq!((home.left(1), home.left(2)), (20, 18));
    home.answer(&["change", &meal, "--what", "2 #1"]);
    assert_eq!((home.left(1), home.left(2)), (18, 20));
}

#[test]
fn an_entry_of_any_age_is_taken_back_alone() {
    let home = home();
    let twice = home.entry(&[
        "serve",
        "2 squash",
        "--on",
        "2026-11-26",
        "--meal",
        "supper",
    ]);
    home.entry(&[
        "serve",
        "2 squash",
        "--on",
        "2026-11-26",
        "--meal",
        "supper",
    ]);
    let figures = home.iron("2026-11-26");
    home.answer(&["undo", &twice]);
    assert_relative_eq!(home.iron("2026-11-26"), figures / 2.0, max_relative = 1e-12);
    assert_eq!(home.left(1), 18);
    let thrown = home.entry(&[
        "discard",
        "5 squash",
        "--why",
        "smelt odd",
        "--on",
        "2026-11-26",
    ]);
    home.entry(&["serve", "30 g 01116", "--on", "2026-11-26"]);
    assert_eq!(home.left(1), 13);
    home.answer(&["undo", &thrown]);
    assert_eq!(home.left(1), 18);
    home.has("30 g of yogurt");
}

#[test]
fn the_bowl_was_the_other_childs() {
    let home = home();
    home.answer(&["child", "add", "Ada", "--born", "2026-03-02"]);
    let wren = ["serve", "2 squash", "--on", "2026-11-25", "--child", "Wren"];
    let meal = home.entry(&wren);
    home.answer(&["change", &meal, "--child", "Ada"]);
    let of = |child: &str| home.json(&["log", "--child", child, "--json"])["entries"].to_string();
    assert!(of("Ada").contains("2 cubes"));
    let nothing = home.said(&["log", "--child", "Wren", "--json"]);
    assert_eq!(nothing.code, 1);
    assert_eq!(home.left(1), 18);
}

#[test]
fn a_reaction_is_seen_the_next_morning_and_was_none_after_all() {
    let home = home();
    let egg = home.entry(&[
        "serve",
        "30 g 01129",
        "--on",
        "2026-11-24",
        "--meal",
        "lunch",
    ]);
    let reaction = home.entry(&[
        "reaction",
        "rash on the cheeks",
        "--after",
        &egg,
        "--on",
        "2026-11-25",
    ]);
    let taste = home.taste("01129");
    assert_eq!(taste["reactions"][0]["words"], "rash on the cheeks");
    assert_eq!(taste["reactions"][0]["day"], "2026-11-24");
    assert_eq!(taste["reactions"][0]["seen_on"], "2026-11-25");
    // Offered again, it is objected to at once.
    assert_eq!(
        home.said(&["serve", "30 g 01129", "--on", "2026-11-26"])
            .code,
        1
    );
    home.answer(&["undo", &reaction]);
    assert_eq!(home.taste("01129")["reactions"], serde_json::json!([]));
    let all = home.json(&["log", "--all", "--json"])["entries"].to_string();
    assert!(
        all.contains("rash on the cheeks"),
        "what was written stays readable"
    );
}

#[test]
fn a_severe_reaction_is_answered_at_once() {
    let home = home();
    let egg = home.entry(&["serve", "30 g 01129", "--on", "2026-11-24"]);
    let words = home.answer(&[
        "reaction",
        "wheezing, swollen lips",
        "--after",
        &egg,
        "--on",
        "2026-11-24",
    ]);
    assert!(words.contains("Call the emergency number now"), "{words}");
}

#[test]
fn a_food_was_known_before_and_elsewhere() {
    let home = home();
    home.answer(&[
        "known",
        "16098",
        "--words",
        "at his grandmother's",
        "--on",
        "2026-11-14",
    ]);
    assert_eq!(home.taste("16098")["first_offered"], "2026-11-14");
    assert_relative_eq!(home.iron("2026-11-14"), 0.0);
    // Salmon was not new on the 20th.
    home.entry(&["serve", "20 g 15237", "--on", "2026-11-20", "--anyway"]);
    home.answer(&["known", "15237", "--on", "2026-10-10"]);
    assert_eq!(home.taste("15237")["first_eaten"], "2026-10-10");
    home.has("2026-11-20 meal");
}

#[test]
fn cubes_are_counted_again_and_it_is_no_waste() {
    let home = home();
    home.entry(&["serve", "4 #2", "--on", "2026-11-24"]);
    let per_cube = home.iron("2026-11-24") / 4.0;
    let words = home.answer(&["change", "2", "--cubes", "18"]);
    assert!(
        words.contains("new figures from now on: 4 cubes") && words.contains("14 left"),
        "{words}"
    );
    assert_eq!(home.left(2), 14);
    assert_relative_eq!(
        home.iron("2026-11-24") / 4.0,
        per_cube * 20.0 / 18.0,
        max_relative = 1e-12
    );
    home.has_not("thrown away");
    let refused = home.refusal(&["change", "4", "--cubes", "3"]);
    assert!(
        refused.contains("4 cubes of Squash (#2) were eaten or thrown away already"),
        "{refused}"
    );
}

#[test]
fn what_a_batch_weighed_is_found_later() {
    let home = home();
    let mass = || home.texts("SELECT (cubes * cube_g) || '' FROM batch WHERE entry = 2");
    let before = mass();
    let words = home.answer(&["change", "2", "--weighed", "400 g"]);
    assert!(words.contains("400 g, weighed"), "{words}");
    assert_ne!(before, mass());
    assert_eq!(home.left(2), 20);
    home.answer(&["undo"]);
    assert_eq!(before, mass());
}

#[test]
fn a_food_was_not_in_the_batch_this_time() {
    let home = Household::new();
    home.answer_with_warnings(&["freeze", "lentil", "--cubes", "20", "--on", "2026-11-20"]);
    let iron = |home: &Household| -> f64 {
        home.texts("SELECT served || '' FROM batch_nutrient WHERE number = 303")[0]
            .parse()
            .unwrap()
    };
    let before = iron(&home);
    home.answer(&["change", "1", "--without", "lentils"]);
    assert!(iron(&home) < before / 2.0);
    assert_eq!(home.texts("SELECT food FROM batch_food"), ["11485"]);
    assert!(home.path().join("recipes/lentil.toml").exists());
    let refused = home.refusal(&["change", "1", "--without", "barley"]);
    assert!(
        refused.contains("is not one food of the batch"),
        "{refused}"
    );
}

#[test]
fn a_batch_was_frozen_a_day_earlier_and_has_another_name() {
    let home = home();
    home.answer(&[
        "change",
        "2",
        "--day",
        "2026-11-19",
        "--title",
        "Squash, smooth",
    ]);
    home.has("2026-11-19 batch batch #2: Squash, smooth, 20 cubes of 23 g, use by 19 Dec 2026");
    home.answer(&["rename", "squash", "butternut"]);
    assert!(home.path().join("recipes/butternut.toml").exists());
    home.entry(&["serve", "1 butternut", "--on", "2026-11-24"]);
    assert_eq!(home.left(1), 19);
}

#[test]
fn a_purchase_cost_less_weighed_more_and_went_back() {
    let home = Household::new();
    let bought = home.entry(&[
        "buy",
        "1 lb 11485",
        "2.94",
        "--at",
        "market",
        "--on",
        "2026-11-01",
    ]);
    home.answer(&["freeze", "squash", "--cubes", "20", "--on", "2026-11-05"]);
    let cost = || home.json(&["money", "--json"])["batches"][0]["cost"].clone();
    let at_first = cost();
    home.answer(&["change", &bought, "--price", "2.49"]);
    assert_ne!(cost(), at_first);
    home.answer(&[
        "change",
        &bought,
        "--amount",
        "1 kg",
        "--shop",
        "supermarket",
    ]);
    assert_eq!(cost(), "1.494");
    home.has("bought 1000 g of squash, winter, butternut for 2.49 USD, supermarket");
    home.answer(&["undo", &bought]);
    assert_eq!(cost(), Value::Null);
}

#[test]
fn milk_of_a_day_and_from_a_day_on() {
    let home = Household::new();
    home.answer(&["milk", "breast 4 feeds", "--from", "2026-11-01"]);
    let day = home.entry(&["milk", "breast 4 feeds", "--on", "2026-11-19"]);
    home.answer(&["change", &day, "--what", "breast 6 feeds"]);
    home.has("2026-11-19 milk milk, this day alone: 6 feeds");
    home.answer(&["milk", "500 ml 03857", "--from", "2026-11-23", "--anyway"]);
    home.has("2026-11-01 milk milk, from this day on: 4 feeds");
}

#[test]
fn a_planned_meal_is_moved_and_a_week_is_cleared() {
    let home = home();
    home.answer_with_warnings(&["plan", "set", "2026-11-28", "lunch", "2 squash"]);
    home.answer_with_warnings(&["plan", "move", "2026-11-28", "lunch", "2026-11-29"]);
    let planned = |day: &str| home.answer(&["plan", "export", "-", "--from", day, "--to", day]);
    assert!(!planned("2026-11-28").contains("squash"));
    assert!(planned("2026-11-29").contains("squash"));
    home.answer_with_warnings(&["plan", "set", "2026-12-02", "lunch", "1 squash"]);
    home.answer_with_warnings(&["plan", "clear", "2026-11-30", "2026-12-06"]);
    assert!(!planned("2026-12-02").contains("squash"));
    assert!(planned("2026-11-29").contains("squash"));
}

#[test]
fn a_child_is_renamed_with_its_history() {
    let home = home();
    home.say_of_itself("# weighed on Mondays\n");
    home.entry(&["serve", "2 squash", "--on", "2026-11-24"]);
    let wrong = home.entry(&["serve", "1 squash", "--on", "2026-11-25"]);
    home.answer(&["undo", &wrong]);
    home.answer(&["child", "rename", "Wren", "Eleanor"]);
    assert_eq!(home.taste("11485")["offers"], 1);
    // The old name is understood, and what was taken back comes back under the new one.
    assert!(
        home.answer(&["tastes", "--child", "wren", "--on", "2026-11-27"])
            .contains("Eleanor")
    );
    home.answer(&["redo"]);
    assert_eq!(home.taste("11485")["offers"], 2);
    let file = std::fs::read_to_string(home.path().join("book.toml")).unwrap();
    assert!(
        file.contains("name = \"Eleanor\"") && file.contains("# weighed on Mondays"),
        "{file}"
    );
    assert_eq!(home.answer(&["book", "check"]), "The book is sound.\n");
    // Whoever renames the child in the file alone is told.
    home.change("Eleanor", "Nell");
    let check = home.said(&["book", "check"]);
    assert_eq!(check.code, 1);
    assert!(
        check.out.contains("Eleanor") && check.out.contains("Nell"),
        "{}",
        check.out
    );
}

#[test]
fn a_birthday_and_a_weight_are_put_right() {
    let home = home();
    home.entry(&["serve", "2 squash", "--on", "2026-11-24"]);
    let shown = home.answer(&["child", "set", "Wren", "--born", "2026-11-25"]);
    assert!(
        shown.contains("1 meal on record before the day of birth"),
        "{shown}"
    );
    home.answer(&["child", "set", "Wren", "--born", "2026-02-12"]);
    home.answer(&["measure", "--weight", "7.9 kg", "--on", "2026-10-10"]);
    home.answer(&[
        "measure",
        "--weight",
        "8.4 kg",
        "--length",
        "71 cm",
        "--on",
        "2026-11-23",
    ]);
    let needed = |day: &str| {
        let week = home.json(&["week", "--from", day, "--to", day, "--json"]);
        week["week"]["ENERC_KCAL"]["reference"]["amount"].as_f64()
    };
    home.entry(&["serve", "2 squash", "--on", "2026-11-22"]);
    // 89 kcal for each kilogram a day (IOM, Dietary Reference Intakes for Energy, 2005, infants 7 to 12 months).
    assert_relative_eq!(
        needed("2026-11-24").unwrap() - needed("2026-11-22").unwrap(),
        89.0 * 0.5,
        max_relative = 1e-6
    );
    home.has("2026-11-23 weight weight 8.4 kg");
    home.answer(&["measure", "8.6kg", "72 cm", "--on", "2026-11-24"]);
    home.has("2026-11-24 weight weight 8.6 kg");
    let refused = home.refusal(&["measure", "84 kg"]);
    assert!(refused.contains("no weight of a child"), "{refused}");
}

#[test]
fn drops_are_given_missed_and_counted_apart() {
    let home = home();
    home.entry(&["serve", "2 squash", "--on", "2026-11-24"]);
    home.answer(&[
        "supplement",
        "vitamin D drops",
        "400 IU",
        "--from",
        "2026-11-20",
    ]);
    home.answer(&[
        "supplement",
        "vitamin D drops",
        "--missed",
        "--on",
        "2026-11-23",
    ]);
    let vitamin_d = |day: &str| {
        let week = home.json(&["week", "--from", day, "--to", day, "--json"]);
        week["days"][0]["nutrients"]["VITD"]["supplement"].clone()
    };
    // 400 IU of vitamin D are 10 micrograms (IOM, Dietary Reference Intakes for Calcium and Vitamin D, 2011).
    assert_eq!(vitamin_d("2026-11-24"), 10.0);
    assert_eq!(vitamin_d("2026-11-23"), Value::Null);
    assert_eq!(home.taste("11485")["offers"], 1, "drops are no meal");
    let visit = home.json(&[
        "visit",
        "--from",
        "2026-11-20",
        "--to",
        "2026-11-26",
        "--format",
        "json",
    ]);
    let drops = &visit["supplements"][0];
    assert_eq!(
        (&drops["days_given"], &drops["days_missed"]),
        (&Value::from(6), &Value::from(1))
    );
}

#[test]
fn a_tray_and_the_waiting_rule_are_changed_by_command() {
    let home = home();
    home.answer(&["household", "tray", "tray", "14x30ml"]);
    home.answer(&[
        "household",
        "set",
        "--waiting",
        "allergens",
        "--meals",
        "breakfast, lunch, dinner",
    ]);
    let file = std::fs::read_to_string(home.path().join("book.toml")).unwrap();
    assert!(
        file.contains("wells = 14") && file.contains("waiting = \"allergens\""),
        "{file}"
    );
    assert_eq!((home.left(1), home.left(2)), (20, 20));
    let refused = home.refusal(&["household", "set", "--waiting-days", "99"]);
    assert!(refused.contains("waiting_days"), "{refused}");
}

#[test]
fn what_was_changed_is_seen_and_put_back() {
    let home = home();
    let change = home.entry(&["change", "2", "--cubes", "18"]);
    let all = home.json(&["log", "--all", "--json"]);
    let entries = all["entries"].as_array().unwrap();
    let former = entries.iter().find(|one| one["number"] == 2).unwrap();
    assert_eq!(former["superseded_by"].to_string(), change);
    assert!(former["words"].as_str().unwrap().contains("20 cubes"));
    home.answer(&["undo", &change]);
    assert_eq!(home.left(2), 20);
    let all = home.answer(&["log", "--all"]);
    assert!(
        all.contains("18 cubes") && all.contains("taken back"),
        "{all}"
    );
}

#[test]
fn after_a_command_that_failed_an_undo_does_not_guess() {
    let home = home();
    home.entry(&["serve", "2 squash", "--on", "2026-11-24"]);
    home.refusal(&["serve", "99 squash", "--on", "2026-11-24"]);
    let refused = home.refusal(&["undo"]);
    assert!(
        refused.contains("recorded nothing") && refused.contains("trayful undo 3"),
        "{refused}"
    );
    assert_eq!(home.left(1), 18);
    home.answer(&["undo", "3"]);
    assert_eq!(home.left(1), 20);
}

#[test]
fn an_undo_does_not_guess_after_any_command_that_was_to_record() {
    let home = home();
    let failed: [&[&str]; 4] = [
        &["plan", "set", "2026-11-25", "lunhc", "2 squash"],
        &["--book", ".", "serve", "99 squash", "--on", "2026-11-24"],
        &["--plain", "plan", "clear", "2026-13-45"],
        &["tastes", "--cleared", "nothing-such"],
    ];
    for command in failed {
        home.entry(&["serve", "2 squash", "--on", "2026-11-24"]);
        home.refusal(command);
        let refused = home.refusal(&["undo"]);
        assert!(
            refused.contains("recorded nothing"),
            "{command:?}: {refused}"
        );
    }
}

#[test]
fn a_question_is_answered() {
    let home = home();
    let question = home.entry(&[
        "question",
        "Is one meat meal a day enough?",
        "--on",
        "2026-11-20",
    ]);
    home.answer(&["answer", &question, "one is enough", "--on", "2026-11-25"]);
    let visit = home.json(&[
        "visit",
        "--from",
        "2026-11-14",
        "--to",
        "2026-11-27",
        "--format",
        "json",
    ]);
    assert_eq!(
        visit["questions"][0]["answers"][0]["words"],
        "one is enough"
    );
    let refused = home.refusal(&["undo", &question]);
    assert!(refused.contains("the answer to it"), "{refused}");
}

#[test]
fn the_next_visit_begins_after_the_last_one() {
    let home = home();
    home.entry(&["serve", "2 squash", "--on", "2026-11-24"]);
    let from = |home: &Household| home.json(&["visit", "--format", "json"])["from"].clone();
    assert_eq!(from(&home), "2026-10-17", "six weeks");
    home.answer(&["visit", "--done", "--to", "2026-11-20"]);
    assert_eq!(from(&home), "2026-11-21");
    home.answer(&["undo"]);
    assert_eq!(from(&home), "2026-10-17");
}

#[test]
fn the_same_meal_twice_on_a_day_is_said() {
    let home = home();
    let lunch = [
        "serve",
        "2 squash",
        "--on",
        "2026-11-26",
        "--meal",
        "lunch",
        "--json",
    ];
    let warnings = |args: &[&str]| home.json(args)["warnings"].to_string();
    assert_eq!(warnings(&lunch), "[]");
    assert!(warnings(&lunch).contains("written down already, as entry 3"));
    let supper = [
        "serve",
        "2 squash",
        "--on",
        "2026-11-26",
        "--meal",
        "supper",
        "--json",
    ];
    assert_eq!(warnings(&supper), "[]", "another meal");
    let less = [
        "serve",
        "1 squash",
        "--on",
        "2026-11-26",
        "--meal",
        "lunch",
        "--json",
    ];
    assert_eq!(warnings(&less), "[]", "another amount");
    assert_eq!(home.left(1), 13, "it is recorded all the same");
}

#[test]
fn a_question_without_an_answer_is_on_the_page_whatever_its_day() {
    let home = home();
    home.entry(&["serve", "2 squash", "--on", "2026-11-24"]);
    let old = home.entry(&["question", "Is her weight all right?", "--on", "2026-10-01"]);
    home.entry(&["question", "And fish?", "--on", "2026-11-27"]);
    let asked = || {
        let days = [
            "visit",
            "--from",
            "2026-11-14",
            "--to",
            "2026-11-26",
            "--format",
            "json",
        ];
        home.json(&days)["questions"].as_array().unwrap().len()
    };
    assert_eq!(asked(), 2);
    home.answer(&["answer", &old, "it is", "--on", "2026-11-10"]);
    assert_eq!(asked(), 1, "answered before these days");
}

#[test]
fn a_hazard_is_named_where_an_entry_is_corrected_into_it() {
    let home = home();
    home.answer(&["child", "add", "Ada", "--born", "2026-03-10"]);
    let hazards = |said: &Value| -> Vec<String> {
        let objections = said["objections"].as_array().unwrap().iter();
        objections
            .map(|one| one["hazard"].as_str().unwrap().to_string())
            .collect()
    };
    let json = |args: &[&str]| -> (i32, Value) {
        let said = home.said(args);
        (said.code, serde_json::from_str(&said.out).unwrap())
    };
    // Honey that was recorded for one child is given to the other.
    let honey = [
        "serve",
        "5 g 19296",
        "--on",
        "2026-11-24",
        "--child",
        "Wren",
        "--anyway",
    ];
    let meal = home.entry(&honey);
    let (code, said) = json(&["change", &meal, "--child", "Ada", "--json"]);
    assert!(
        code == 1 && hazards(&said).contains(&"honey".to_string()),
        "{said}"
    );
    assert_eq!(said["recorded"], false);
    // The milk of a day was cow's milk: what `milk` itself says.
    let day = [
        "milk",
        "600 ml 03857",
        "--on",
        "2026-11-21",
        "--child",
        "Wren",
        "--anyway",
    ];
    let milk = home.entry(&day);
    let cow = [
        "milk",
        "600 ml 01077",
        "--on",
        "2026-11-20",
        "--child",
        "Wren",
        "--json",
    ];
    let (_, told) = json(&cow);
    let (_, said) = json(&["change", &milk, "--what", "600 ml 01077", "--json"]);
    assert!(!hazards(&told).is_empty(), "{told}");
    assert_eq!(hazards(&said), hazards(&told));
    // A severe reaction to a food of before the book.
    let words = home.answer(&[
        "known",
        "16098",
        "--reaction",
        "wheezing, swollen lips",
        "--child",
        "Ada",
    ]);
    assert!(words.contains("Call the emergency number now"), "{words}");
}

#[test]
fn a_planned_food_that_was_never_eaten_is_named_in_the_log() {
    let home = Household::new();
    let plan = ["plan", "set", "2026-11-28", "lunch", "20 g 09037"];
    home.answer_with_warnings(&plan);
    let words = |answer: String| {
        let answer = answer.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(answer.contains("20 g of avocados, raw"), "{answer}");
        assert!(!answer.contains("09037"), "{answer}");
    };
    words(home.answer(&["log"]));
    words(home.json(&["log", "--json"])["entries"].to_string());
    words(home.answer(&["undo"]));
    words(home.answer(&["redo"]));
}
