//! What the rooms show and do.

use super::running::{Running, household};
use super::support::trayful;

#[test]
fn of_many_batches_the_newest_are_shown_and_the_earlier_in_one_step() {
    let folder = household();
    let recipes = ["butternut", "beef-beetroot-barley", "turkey-kale-quinoa"];
    for number in 0..42 {
        let recipe = recipes[number % 3];
        trayful(&["freeze", recipe, "--anyway", "--on", "2026-10-10"])
            .inside(folder.path())
            .answer();
    }
    let page = Running::inside(folder.path());
    let batches = |body: &str| body.matches(r#"<span class="soft">#"#).count();
    let newest = page.get("/money").body;
    assert_eq!(batches(&newest), 40);
    let link = newest.split(r#"href="/money?year=2026&amp;all=1">"#).nth(1);
    let words = link.and_then(|rest| rest.split('<').next()).unwrap();
    let more: usize = words.split(' ').next().unwrap().parse().unwrap();
    let all = page.get("/money?year=2026&all=1").body;
    assert_eq!(batches(&all), 40 + more);
    assert!(more > 2 && !all.contains("all=1"), "{more}");
}

#[test]
fn every_room_says_what_the_command_line_says() {
    let folder = household();
    let page = Running::inside(folder.path());
    let freezer = page.get("/freezer").body;
    for words in [
        "28 cubes",
        "5 batches",
        "Salmon, broccoli and millet",
        "12</strong> of 32 cubes left",
        "26 Nov 2026",
    ] {
        assert!(freezer.contains(words), "{words}");
    }
    let money = trayful(&["money"]).inside(folder.path()).answer();
    let in_all = "Over the 6 batches that can be compared: 26.26 USD saved.";
    assert!(
        money.contains(in_all) && page.get("/money").body.contains(in_all),
        "{money}"
    );
    let tastes = page.get("/tastes").body;
    assert!(tastes.contains("a few red spots round the mouth") && tastes.contains("sesame"));
    assert!(
        page.get("/foods?words=sweet+potato")
            .body
            .contains("/foods/11507")
    );
    let own = page.get("/foods?words=oat+cereal").body;
    let at = own.find("/foods/own-").unwrap();
    let own = page.get(own[at..].split('"').next().unwrap()).body;
    let home = folder.path().to_str().unwrap();
    assert!(
        own.contains("own-foods.csv:") && !own.contains(home),
        "{own}"
    );
    let food = page.get("/foods/11485").body;
    assert!(
        food.contains("Squash, winter, butternut, raw") && food.contains("16 % of what is bought")
    );
    // The page shows what the terminal says of the food.
    let told = trayful(&["foods", "--show", "11485", "--json"]);
    let told = told.inside(folder.path()).answer();
    let told: serde_json::Value = serde_json::from_str(&told).unwrap();
    for lack in told["lacks"].as_array().unwrap() {
        for other in lack["foods"].as_array().unwrap() {
            let link = format!("/foods/{}\"", other["food"].as_str().unwrap());
            assert!(food.contains(&link), "{link}\n{food}");
        }
    }
    assert!(told["recipes"].as_array().is_some_and(|all| all.len() > 1));
    for recipe in told["recipes"].as_array().unwrap() {
        let title = recipe["title"].as_str().unwrap();
        assert!(food.contains(title), "{title}\n{food}");
    }
    for words in [
        "Keeps: cupboard 2 to 6 weeks",
        "In season in the USA: fall, winter; now",
        "US average 2022, not your shop",
        "traces in 3 of 16 samples",
        "Open Government Licence v3.0",
    ] {
        assert!(food.contains(words), "{words}\n{food}");
    }
}

#[test]
fn what_the_doctor_cleared_is_recorded_and_taken_back() {
    let folder = household();
    let page = Running::inside(folder.path());
    let open = "The doctor cleared it";
    let tastes = page.get("/tastes").body;
    assert!(tastes.contains("ask the doctor first") && tastes.contains(open));
    let fields = [("child", "Wren"), ("food", "01116")];
    let sent = page.post("/tastes", &fields);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let told = page.get(sent.header("location")).body;
    for words in [
        "Wren: the doctor cleared Yogurt, plain, whole milk, 8 grams protein per 8 ounce.",
        "This records what your doctor said; Trayful does not judge it.",
        "Take it back",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    assert!(!told.contains(open), "the food is no longer listed");
    let again = page.post("/tastes", &fields);
    assert_eq!(again.status, 422);
    assert!(again.body.contains("href=\"#food\"") && again.body.contains("id=\"food\""));
    let entry = page.get("/tastes").hidden("entry");
    let undone = page.post("/undo", &[("entry", &entry), ("back", "/tastes")]);
    let told = page.get(undone.header("location")).body;
    assert!(
        told.contains("the doctor cleared yogurt") && told.contains(open),
        "{told}"
    );
    assert!(told.contains("Took back entry"));
}

#[test]
fn pages_are_light() {
    let folder = household();
    let page = Running::inside(folder.path());
    let first = page.get("/freezer").body;
    let assets = first.split('"').filter(|part| part.starts_with("/assets/"));
    let mut bytes = first.len();
    for asset in assets {
        let file = page.get(asset);
        assert_eq!(file.status, 200, "{asset}");
        assert!(file.header("cache-control").contains("immutable"));
        bytes += file.body.len();
    }
    assert!(bytes < 100_000, "{bytes} bytes");
}

#[test]
fn a_meal_is_recorded_and_taken_back() {
    let folder = household();
    let page = Running::inside(folder.path());
    let meal = [
        ("cubes", "2"),
        ("meal", "lunch"),
        ("how", "some"),
        ("seen", ""),
        ("on", "2026-11-16"),
    ];
    let sent = page.post("/freezer/48/serve", &meal);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let after = page.get(sent.header("location"));
    assert!(after.body.contains(
        "Wren, lunch, 16 Nov 2026: 2 cubes of Salmon, broccoli and millet, some of it eaten."
    ));
    assert!(after.body.contains("iron") && after.body.contains("10</strong> of 32 cubes left"));
    let entry = after.hidden("entry");
    let undone = page.post("/undo", &[("entry", &entry), ("back", "/freezer")]);
    let after = page.get(undone.header("location"));
    let words =
        "16 Nov 2026, Wren, lunch: 2 cubes of Salmon, broccoli and millet (#48); some of it.";
    assert!(after.body.contains("Took back entry") && after.body.contains(words));
    assert!(after.body.contains("12</strong> of 32 cubes left"));
    let again = page.post("/undo", &[("entry", &entry), ("back", "/freezer")]);
    assert!(
        page.get(again.header("location"))
            .body
            .contains("Nothing was taken back")
    );
}

#[test]
fn what_was_recorded_before_something_else_is_taken_back_alone() {
    let folder = household();
    let page = Running::inside(folder.path());
    let discard = [("cubes", "1"), ("why", "dropped"), ("on", "2026-11-16")];
    let sent = page.post("/freezer/48/discard", &discard);
    let entry = page.get(sent.header("location")).hidden("entry");
    let _ = trayful(&["serve", "1 beef-beetroot-barley", "--on", "2026-11-16"])
        .inside(folder.path())
        .answer();
    let back = [("entry", entry.as_str()), ("back", "/freezer")];
    let undone = page.post("/undo", &back);
    let after = page.get(undone.header("location"));
    let words = "16 Nov 2026, thrown away: 1 cube of Salmon, broccoli and millet (#48): dropped.";
    assert!(after.body.contains(words), "{}", after.body);
    assert!(
        after
            .body
            .contains("The last entry is 16 Nov 2026, Wren, meal: 1 cube of Beef")
    );
    let again = page.get(page.post("/undo", &back).header("location")).body;
    assert!(again.contains("Nothing was taken back") && again.contains("was taken back already"));
    // The taking back can itself be taken back.
    let undo = after.hidden("entry");
    let put_back = page.post("/undo", &[("entry", &undo), ("back", "/freezer")]);
    assert!(
        page.get(put_back.header("location"))
            .body
            .contains("Put back entry")
    );
}

#[test]
fn mistakes_in_a_form_are_shown_at_their_fields_and_kept() {
    let folder = household();
    let page = Running::inside(folder.path());
    let sent = page.post(
        "/freezer/48/serve",
        &[
            ("cubes", "13"),
            ("how", "taken"),
            ("seen", "a \"rash\""),
            ("on", "2026-11-16"),
        ],
    );
    assert_eq!(sent.status, 422);
    let body = sent.body.replace("&#34;", "\"");
    assert!(
        body.contains("One thing does not fit") && body.contains("there are 12 cubes")
            || body.contains("There are 12 cubes"),
        "{body}"
    );
    assert!(
        sent.body.contains("id=\"cubes-fault\"")
            && sent.body.contains("aria-describedby=\"cubes-fault\"")
    );
    assert!(
        sent.body.contains("value=\"13\"") && body.contains("a \"rash\""),
        "what was typed is kept"
    );
    for (cubes, how, on) in [
        ("0", "taken", "2026-11-16"),
        ("x", "taken", "2026-11-16"),
        ("1", "", "2026-11-16"),
        ("1", "taken", "soon"),
    ] {
        assert_eq!(
            page.post(
                "/freezer/48/serve",
                &[("cubes", cubes), ("how", how), ("on", on)]
            )
            .status,
            422
        );
    }
}

#[test]
fn what_is_past_its_last_day_is_not_offered_to_be_eaten() {
    let folder = household();
    let page = Running::inside(folder.path());
    // The last day of batch 16 was 12 November 2026.
    let freezer = page.get("/freezer").body;
    let (first, past) = freezer.split_once("<h2>Past their last day</h2>").unwrap();
    assert!(!first.contains("/freezer/16/serve"), "{first}");
    assert!(
        past.contains("class=\"door danger\" href=\"/freezer/16/discard\"")
            && past.contains(
                "class=\"door quiet\" href=\"/freezer/16/serve?when=earlier\">An earlier meal"
            ),
        "{past}"
    );
}

/// A form whose answer was lost on the way comes again with its key: what it recorded is recorded
/// once.
#[test]
fn a_form_that_comes_again_is_recorded_once() {
    let folder = household();
    let page = Running::inside(folder.path());
    let left = |cubes: &str| {
        let freezer = page.get("/freezer").body;
        freezer.contains(&format!(">{cubes}</strong> of 32 cubes left"))
    };
    let send = |key: &str| {
        let meal = [
            ("cubes", "2"),
            ("how", "taken"),
            ("on", "2026-11-16"),
            ("key", key),
        ];
        let sent = page.post("/freezer/48/serve", &meal);
        assert_eq!(sent.status, 303, "{}", sent.body);
        page.get(sent.header("location")).body
    };
    assert!(!left("10") && !left("8"));
    assert!(send("7-11-13-17").contains("2 cubes of Salmon"));
    assert!(send("7-11-13-17").contains("it was not recorded twice"));
    assert!(left("10") && !left("8"));
    send("7-11-13-19");
    assert!(left("8"));
}

#[test]
fn a_planned_food_that_was_never_eaten_is_named_as_the_last_entry() {
    let folder = household();
    trayful(&["plan", "set", "2026-12-10", "lunch", "20 g 09037"])
        .inside(folder.path())
        .answer();
    let page = Running::inside(folder.path()).get("/").body;
    assert!(page.contains("20 g of avocados, raw"), "{page}");
    assert!(!page.contains("09037"), "{page}");
}

/// A quarter of two cubes is eaten, and a quarter of their iron.
#[test]
fn a_quarter_of_a_meal_has_a_quarter_of_the_iron() {
    let folder = household();
    let page = Running::inside(folder.path());
    let told = |how: &str| {
        let meal = [
            ("cubes", "2"),
            ("meal", "lunch"),
            ("how", how),
            ("seen", ""),
            ("on", "2026-11-16"),
        ];
        let sent = page.post("/freezer/48/serve", &meal);
        page.get(sent.header("location")).body
    };
    let iron = |body: &str| -> f64 {
        let amount = body.split(": iron ").nth(1).unwrap();
        amount.split(" mg").next().unwrap().parse().unwrap()
    };
    let (all, quarter) = (told("taken"), told("0.25"));
    assert!(
        quarter.contains("Eaten, 25 % of what was served: iron"),
        "{quarter}"
    );
    assert!((iron(&quarter) * 4.0 - iron(&all)).abs() < 0.04);
}
