//! The page shows the objections to a food before anything is recorded, and a block that is not
//! overridden stops the form.

use std::path::PathBuf;

use super::client::Answer;
use super::running::Running;
use super::support::trayful;

const TODAY: &str = "2026-11-16";
/// Honey, and what the hazard says: CDC, Foods and Drinks to Avoid or Limit (infant botulism),
/// 2020.
const HONEY: &str = "No honey before the first birthday";
const HONEY_CARROTS: &str = "title = \"Honey carrots\"\n\n[[ingredient]]\nfood = \"11124\"\namount = \"500 g\"\nmethod = \"steam\"\n\n\
     [[ingredient]]\nfood = \"19296\"\namount = \"50 g\"\nmethod = \"none\"\n";
const STOPPED: &str = "Stop: nothing was recorded yet";
const ANYWAY: &str = "Record it anyway";

/// The demo household with honey in a recipe, and what else is written into its book.
struct Home {
    around: tempfile::TempDir,
    page: Running,
}

impl Home {
    fn with(more: &str) -> Self {
        let around = tempfile::tempdir().unwrap();
        let page = Running::inside(around.path());
        assert_eq!(page.post("/demo", &[]).status, 303);
        let home = Self { around, page };
        let book = home.folder().join("book.toml");
        let text = std::fs::read_to_string(&book).unwrap() + more;
        std::fs::write(book, text).unwrap();
        let recipe = home.folder().join("recipes/honey-carrots.toml");
        std::fs::write(recipe, HONEY_CARROTS).unwrap();
        home
    }

    fn folder(&self) -> PathBuf {
        let mut inside = std::fs::read_dir(self.around.path()).unwrap();
        inside.next().unwrap().unwrap().path()
    }

    fn entries(&self) -> i64 {
        let record = rusqlite::Connection::open(self.folder().join("book.sqlite")).unwrap();
        record
            .query_row("SELECT count(*) FROM entry", [], |row| row.get(0))
            .unwrap()
    }

    /// Runs a command in the book.
    fn run(&self, arguments: &[&str]) {
        let _ = trayful(arguments).inside(&self.folder()).answer();
    }

    /// Freezes cubes with honey in them, and gives the number of the batch.
    fn honey_in_the_freezer(&self) -> String {
        self.run(&[
            "freeze",
            "honey-carrots",
            "--cubes",
            "6",
            "--on",
            TODAY,
            "--anyway",
        ]);
        let record = rusqlite::Connection::open(self.folder().join("book.sqlite")).unwrap();
        let last: i64 = record
            .query_row("SELECT max(entry) FROM batch", [], |row| row.get(0))
            .unwrap();
        last.to_string()
    }

    /// Sends a form that a block stops, then again as the page of the stop sends it; gives the page
    /// after that.
    fn stopped_then_meant(&self, path: &str, fields: &[(&str, &str)]) -> String {
        let before = self.entries();
        let stop = self.page.post(path, fields);
        assert_eq!(stop.status, 422, "{path}: {}", stop.body);
        for words in [STOPPED, HONEY, ANYWAY, "Leave it"] {
            assert!(stop.body.contains(words), "{path}: {words}: {}", stop.body);
        }
        for (name, value) in fields {
            let kept = format!("name=\"{name}\" value=\"{value}\"");
            assert!(stop.body.contains(&kept), "{path}: {kept}");
        }
        assert_eq!(self.entries(), before, "{path}: nothing is recorded");
        let unread = [fields, &[("anyway", "yes")]].concat();
        assert_eq!(self.page.post(path, &unread).status, 422, "{path}: unread");
        let read = stop.hidden("anyway");
        let meant = [fields, &[("anyway", read.as_str())]].concat();
        let sent = self.page.post(path, &meant);
        assert_eq!(sent.status, 303, "{path}: {}", sent.body);
        assert_eq!(self.entries(), before + 1, "{path}: it is recorded");
        self.page.get(sent.header("location")).body
    }
}

/// Whether words stand in a page, and before a button of its forms.
fn before(answer: &Answer, words: &str, button: &str) -> bool {
    let at = answer.body.find(words);
    let button = answer.body.rfind(button);
    at.is_some_and(|at| button.is_some_and(|button| at < button))
}

#[test]
fn a_supplement_that_names_honey_is_stopped() {
    let home = Home::with("");
    let given = [
        ("child", "Wren"),
        ("product", "vitamin D in honey"),
        ("dose", "400 IU"),
        ("on", TODAY),
        ("lasts", "day"),
    ];
    let recorded = home.stopped_then_meant("/household/supplements", &given);
    assert!(recorded.contains("vitamin D in honey: 10"), "{recorded}");
}

#[test]
fn honey_is_stopped_in_every_room_that_takes_food() {
    let home = Home::with("");
    let recipe = home.page.get("/cook/recipe/honey-carrots").body;
    // In full above the form, and in a few words in the bar that stays in sight.
    assert!(recipe.contains(HONEY), "{recipe}");
    assert!(recipe.find(HONEY) < recipe.find("<form method=\"get\""));
    let freeze = "/cook/recipe/honey-carrots/freeze";
    let shown = home.page.get(freeze);
    assert!(before(&shown, HONEY, ANYWAY), "{}", shown.body);
    let batch = [("cubes", "6"), ("on", TODAY)];
    let frozen = home.stopped_then_meant(freeze, &batch);
    assert!(
        frozen.contains("Froze 6 cubes of Honey carrots"),
        "{frozen}"
    );

    let batch = home.honey_in_the_freezer();
    let freezer = home.page.get("/freezer").body;
    let lying = freezer.split("<li class=\"lying\">");
    let marked: Vec<&str> = lying.filter(|one| one.contains(HONEY)).collect();
    assert_eq!(marked.len(), 2, "{freezer}");
    assert!(marked.iter().all(|one| one.contains("Honey carrots")));

    let serve = format!("/freezer/{batch}/serve");
    let shown = home.page.get(&serve);
    assert!(before(&shown, HONEY, ANYWAY), "{}", shown.body);
    let meal = [("cubes", "1"), ("how", "taken"), ("on", TODAY)];
    let served = home.stopped_then_meant(&serve, &meal);
    assert!(
        served.contains("1 cube of Honey carrots, eaten") && served.contains("Watch the child"),
        "{served}"
    );

    let shown = home.page.get("/mix?other=20+g+19296");
    assert!(before(&shown, HONEY, ANYWAY), "{}", shown.body);
    let bowl = [("other", "20 g 19296"), ("how", "taken"), ("on", TODAY)];
    let mixed = home.stopped_then_meant("/mix", &bowl);
    assert!(mixed.contains("the bowl, eaten"), "{mixed}");

    for room in [
        "/cook/recipe/honey-carrots",
        "/cook/recipe/honey-carrots/card",
        "/foods/19296",
    ] {
        assert!(home.page.get(room).body.contains(HONEY), "{room}");
    }
}

#[test]
fn a_plan_that_is_stopped_speaks_of_the_plan_and_leads_back_to_its_form() {
    let home = Home::with("");
    let meal = [
        ("on", "2026-11-18"),
        ("child", "Wren"),
        ("meal", "lunch"),
        ("recipe-butternut", "1"),
        ("other", "20 g 19296"),
        ("do", "set"),
    ];
    let before = home.entries();
    let stop = home.page.post("/week/meal", &meal);
    assert_eq!(stop.status, 422, "{}", stop.body);
    for words in [
        "Stop: nothing was planned yet",
        HONEY,
        "Plan it all the same",
    ] {
        assert!(stop.body.contains(words), "{words}: {}", stop.body);
    }
    for words in [STOPPED, ANYWAY, "recorded", "the record is the truth"] {
        assert!(!stop.body.contains(words), "{words}: {}", stop.body);
    }
    assert_eq!(home.entries(), before);
    let back = stop.body.split("href=\"/week/meal?").nth(1).unwrap();
    let (query, _) = back.split_once('"').unwrap();
    let query = query.replace("&#38;", "&").replace("&amp;", "&");
    let form = home.page.get(&format!("/week/meal?{query}"));
    for words in ["name=\"recipe-butternut\"", "value=\"20 g 19296\""] {
        assert!(form.body.contains(words), "{words}: {}", form.body);
    }
    assert_eq!(form.body.matches("value=\"1\"").count(), 1);
    let read = stop.hidden("anyway");
    let meant = [&meal[..], &[("anyway", read.as_str())]].concat();
    let sent = home.page.post("/week/meal", &meant);
    assert_eq!(sent.status, 303, "{}", sent.body);
    assert_eq!(home.entries(), before + 1);
}

/// Ground almonds are planned and looked at again as such; the same food without the words is whole.
#[test]
fn a_planned_meal_keeps_the_words_for_its_food_in_its_form() {
    let home = Home::with("");
    let plan = |other: &str| {
        let meal = [
            ("on", "2026-11-18"),
            ("child", "Wren"),
            ("meal", "lunch"),
            ("other", other),
            ("do", "set"),
        ];
        home.page.post("/week/meal", &meal)
    };
    let whole = plan("20 g whole almonds");
    assert_eq!(whole.status, 422, "{}", whole.body);
    assert!(whole.body.contains("No whole nuts"), "{}", whole.body);
    let ground = plan("20 g ground almonds");
    assert_eq!(ground.status, 303, "{}", ground.body);
    let form = "/week/meal?on=2026-11-18&meal=lunch&child=Wren";
    let form = home.page.get(form).body;
    let other = "20 g ground almonds (12061)";
    assert!(form.contains(&format!("value=\"{other}\"")), "{form}");
    assert_eq!(plan(other).status, 303);
}

#[test]
fn a_planned_meal_says_what_speaks_against_it_before_it_is_ticked_off() {
    let home = Home::with("");
    let before_it = home.page.get("/").body;
    assert!(!before_it.contains(HONEY) && !before_it.contains(ANYWAY));
    let _ = home.honey_in_the_freezer();
    plan(&home, "lunch", 1, "honey-carrots");
    plan(&home, "supper", 2, "beef-beetroot-barley");
    let shown = home.page.get("/");
    let lunch = shown.body.split("<li class=\"lying\">").nth(1).unwrap();
    let supper = shown.body.split("<li class=\"lying\">").nth(2).unwrap();
    let (supper, _) = supper.split_once("</ol>").unwrap();
    assert!(lunch.find(HONEY) < lunch.find(ANYWAY) && lunch.contains(ANYWAY));
    assert!(!supper.contains(HONEY) && !supper.contains(ANYWAY));
    let planned = shown.hidden("planned");
    let meal = [
        ("on", TODAY),
        ("child", "Wren"),
        ("meal", "lunch"),
        ("planned", planned.as_str()),
        ("how", "taken"),
    ];
    let after = home.stopped_then_meant("/", &meal);
    assert!(after.contains("as planned, eaten"), "{after}");
}

/// Plans cubes for a meal of Wren in the record itself, whatever speaks against them.
fn plan(home: &Home, meal: &str, cubes: u32, recipe: &str) {
    let record = rusqlite::Connection::open(home.folder().join("book.sqlite")).unwrap();
    let insert = |sql: &str, values: &[&dyn rusqlite::ToSql]| {
        record.execute(sql, values).unwrap();
    };
    insert(
        "INSERT INTO entry (day, kind) VALUES (?1, 'plan')",
        &[&TODAY],
    );
    let entry = record.last_insert_rowid();
    insert(
        "INSERT INTO planned (entry, day, child, meal) VALUES (?1, ?2, 'Wren', ?3)",
        &[&entry, &TODAY, &meal],
    );
    insert(
        "INSERT INTO planned_part (entry, day, child, meal, position, what, cubes) VALUES (?1, ?2, 'Wren', ?3, 0, ?4, ?5)",
        &[&entry, &TODAY, &meal, &recipe, &cubes],
    );
}

#[test]
fn the_answer_to_a_reaction_comes_first_and_repeats_the_words() {
    let home = Home::with("");
    let serve = |batch: u32, seen: &str| {
        let meal = [
            ("cubes", "1"),
            ("how", "taken"),
            ("seen", seen),
            ("on", TODAY),
        ];
        let sent = home.page.post(&format!("/freezer/{batch}/serve"), &meal);
        assert_eq!(sent.status, 303, "{}", sent.body);
        let page = home.page.get(sent.header("location")).body;
        page.split("<section class=\"notice")
            .nth(1)
            .unwrap()
            .to_string()
    };
    // Two parts of the body at once are severe: NHS, Anaphylaxis.
    let severe = serve(63, "hives all over; --vomiting, floppy");
    let emergency = severe
        .find("Call the emergency number now (112, 911, 999)")
        .unwrap();
    let words = severe
        .find("You noted: hives all over; --vomiting, floppy.")
        .unwrap();
    let done = severe
        .find("1 cube of Beef, beetroot and barley, eaten.")
        .unwrap();
    assert!(emergency < words && words < done, "{severe}");
    assert_eq!(
        severe.find("<p>"),
        severe.find("<p>Call the emergency number now")
    );
    let mild = serve(48, "two red spots on the cheek");
    let words = mild.find("You noted: two red spots on the cheek.").unwrap();
    assert!(words < mild.find("1 cube of Salmon").unwrap(), "{mild}");
    assert_eq!(
        mild.find("<p>"),
        mild.find("<p>You noted: two red spots on the cheek.")
    );
    assert!(
        mild.contains("for trouble breathing, swollen lips"),
        "{mild}"
    );
    // From then on the foods are stopped.
    let again = home.page.get("/freezer/48/serve").body;
    assert!(
        again.contains("you noted for Wren: two red spots on the cheek") && again.contains(ANYWAY)
    );
    assert!(
        home.page
            .get("/tastes")
            .body
            .contains("two red spots on the cheek")
    );
}

#[test]
fn a_stop_is_in_the_list_of_foods() {
    let home = Home::with("");
    let found = home.page.get("/foods?words=honey").body;
    let stop = format!("<strong>Stop:</strong> {HONEY}");
    assert!(found.contains(&stop), "{found}");
    let parsnip = home.page.get("/foods?words=parsnip").body;
    assert!(!parsnip.contains("<strong>Stop"), "{parsnip}");
    let home =
        Home::with("\n[[child]]\nname = \"Ada\"\nborn = \"2025-05-01\"\nmilk = \"breast\"\n");
    let found = home.page.get("/foods?words=honey").body;
    let stop = format!("<strong>Stop for Wren:</strong> {HONEY}");
    assert!(found.contains(&stop), "{found}");
}

#[test]
fn each_child_is_judged_and_named() {
    let home = Home::with(
        "\n[[child]]\nname = \"Ada\"\nborn = \"2025-05-01\"\nmilk = \"breast\"\nallergies = [\"fish\"]\n",
    );
    let serve = "/freezer/48/serve";
    let shown = home.page.get(serve).body;
    assert!(
        shown.contains("for Ada: On record as an allergy of Ada (fish)"),
        "{shown}"
    );
    assert!(
        !shown.contains(ANYWAY) && !shown.contains("name=\"anyway\""),
        "Wren may have it, and nobody is chosen yet"
    );
    let offered = home.page.get("/").body;
    assert!(
        offered.contains("<strong>Stop for Ada</strong>") && !offered.contains("name=\"anyway\""),
        "{offered}"
    );
    let meal = |child| {
        [
            ("child", child),
            ("cubes", "1"),
            ("how", "taken"),
            ("on", TODAY),
        ]
    };
    let stop = home.page.post(serve, &meal("Ada"));
    assert!(
        stop.status == 422 && stop.body.contains(STOPPED),
        "{}",
        stop.body
    );
    let read = stop.hidden("anyway");
    assert_eq!(home.page.post(serve, &meal("Wren")).status, 303);
    let sent = home.page.post(
        serve,
        &[&meal("Ada")[..], &[("anyway", read.as_str())]].concat(),
    );
    assert_eq!(sent.status, 303, "{}", sent.body);
    let freezer = home.page.get("/freezer").body;
    assert!(
        freezer.contains("for Ada: On record as an allergy of Ada (fish)"),
        "{freezer}"
    );
    let fish = home.page.get("/foods/15076").body;
    assert!(
        fish.contains("On record as an allergy of Ada (fish)"),
        "{fish}"
    );
    let mixed = home.page.get("/mix?cubes-48=1&child=Ada").body;
    assert!(
        mixed.contains("On record as an allergy of Ada (fish)"),
        "{mixed}"
    );
}

#[test]
fn a_block_that_was_read_for_one_food_is_not_one_for_another() {
    let home = Home::with("");
    let honey = home.page.get("/mix?other=20+g+19296").hidden("anyway");
    let bowl = [
        ("other", "20 g 19296, 30 g 01116"),
        ("how", "taken"),
        ("on", TODAY),
        ("anyway", honey.as_str()),
    ];
    let before = home.entries();
    let stop = home.page.post("/mix", &bowl);
    assert_eq!(stop.status, 422);
    assert!(
        stop.body.contains(STOPPED) && stop.body.contains("you noted for Wren: a few red spots"),
        "{}",
        stop.body
    );
    assert_eq!(home.entries(), before);
}

#[test]
fn cubes_past_their_day_are_marked_before_they_are_served() {
    let home = Home::with("");
    // The last day of batch 16 was 12 November 2026.
    let past = "The cubes of batch #16 are past their last day, 12 Nov 2026.";
    let shown = home.page.get("/freezer/16/serve");
    assert!(before(&shown, past, "All eaten"), "{}", shown.body);
    let meal = [("cubes", "1"), ("how", "taken"), ("on", TODAY)];
    let sent = home.page.post("/freezer/16/serve", &meal);
    assert!(home.page.get(sent.header("location")).body.contains(past));
    let in_time = home.page.get("/freezer/48/serve").body;
    assert!(!in_time.contains("past their last day"));
}

#[test]
fn the_freezer_opens_although_the_foods_do_not() {
    let home = Home::with("");
    let own = home.folder().join("own-foods.csv");
    std::fs::write(own, "nonsense\n1,2\n").unwrap();
    let freezer = home.page.get("/freezer");
    assert_eq!(freezer.status, 200);
    assert!(
        freezer.body.contains("the foods do not open"),
        "{}",
        freezer.body
    );
}

#[test]
fn what_to_buy_says_what_speaks_against_what_is_cooked() {
    let home = Home::with("");
    // NHS, Vitamin A: liver is very rich in it.
    let liver = "Liver is very rich in vitamin A";
    let recipe = home.folder().join("recipes/liver.toml");
    let text = HONEY_CARROTS
        .replace("19296", "05027")
        .replace("\"none\"", "\"steam\"");
    std::fs::write(recipe, text.replace("Honey carrots", "Liver and carrots")).unwrap();
    assert!(!home.page.get("/week/shop").body.contains(liver));
    let day = [("on", "2026-11-18"), ("do", "set"), ("trays-liver", "1")];
    let sent = home.page.post("/week/cook", &day);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let shop = home.page.get("/week/shop");
    assert!(before(&shop, liver, "to-buy"), "{}", shop.body);
    assert!(shop.body.contains("for Wren: Liver"), "{}", shop.body);
}

#[test]
fn after_a_reaction_its_dish_is_marked_wherever_dishes_are_offered() {
    let home = Home::with("");
    let lists = [
        "/",
        "/cook",
        "/mix",
        "/week/meal?on=2026-11-18&meal=lunch&child=Wren",
    ];
    // With its lunch on record the supper is due, which was beef the day before.
    let lunch = [
        ("cubes", "1"),
        ("how", "taken"),
        ("meal", "lunch"),
        ("on", TODAY),
    ];
    let sent = home.page.post("/freezer/48/serve", &lunch);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let again = "Same as yesterday: 2 Beef, beetroot and barley";
    let open =
        "until the doctor has cleared it: \u{201c}vomited twice, hives\u{201d} on 16 Nov 2026";
    let today = home.page.get("/").body;
    assert!(today.contains(again) && !today.contains(open), "{today}");
    // The mark stands beside the title, in the heading of a row or in a label.
    let is_marked = |body: &str| {
        let mut after = body.split("Beef, beetroot and barley");
        after.any(|rest| {
            let rest = rest.trim_start_matches("</strong>").trim_start();
            let rest = rest.trim_start_matches("<span class=\"state\">");
            let rest = rest.trim_start_matches("<span class=\"number\">");
            rest.starts_with("<strong>Stop</strong>")
        })
    };
    for list in lists {
        assert!(!is_marked(&home.page.get(list).body), "{list}");
    }
    let seen = [
        ("cubes", "1"),
        ("how", "taken"),
        ("seen", "vomited twice, hives"),
        ("on", TODAY),
    ];
    let sent = home.page.post("/freezer/63/serve", &seen);
    assert_eq!(sent.status, 303, "{}", sent.body);
    for list in lists {
        let body = home.page.get(list).body;
        assert!(is_marked(&body), "{list}: {body}");
    }
    let today = home.page.get("/").body;
    assert!(today.contains(open) && !today.contains(again), "{today}");
    // What is not stopped is offered first.
    let beef = today.find("action=\"/freezer/63/serve\"");
    assert!(today.find("action=\"/freezer/48/serve\"") < beef, "{today}");
}

#[test]
fn a_newborn_sibling_hides_no_stop_of_another_child() {
    let home = Home::with("\n[[child]]\nname = \"Ada\"\nborn = \"2026-11-01\"\n");
    let today = home.page.get("/").body;
    assert!(
        today.contains("class=\"dish\"") && !today.contains("Stop for Ada"),
        "{today}"
    );
    let meal = [
        ("child", "Ada"),
        ("cubes", "1"),
        ("how", "taken"),
        ("on", TODAY),
    ];
    let stop = home.page.post("/freezer/48/serve", &meal);
    assert!(
        stop.status == 422 && stop.body.contains("Milk alone before 4 months"),
        "{}",
        stop.body
    );
}
