//! Today, a bowl, and the week: the same as on the command line, and nothing is recorded before it
//! is confirmed.

use std::path::PathBuf;

use super::client::encoded;
use super::running::Running;
use super::support::trayful;

/// The invented household on its own day, and the folder it lies in.
pub(crate) struct Demo {
    around: tempfile::TempDir,
    pub(crate) page: Running,
}

pub(crate) const TODAY: &str = "2026-11-16";

impl Demo {
    pub(crate) fn enter() -> Self {
        let around = tempfile::tempdir().unwrap();
        let page = Running::inside(around.path());
        assert_eq!(page.post("/demo", &[]).status, 303);
        Self { around, page }
    }

    fn folder(&self) -> PathBuf {
        let mut inside = std::fs::read_dir(self.around.path()).unwrap();
        inside.next().unwrap().unwrap().path()
    }

    pub(crate) fn entries(&self) -> i64 {
        let record = rusqlite::Connection::open(self.folder().join("book.sqlite")).unwrap();
        record
            .query_row("SELECT count(*) FROM entry", [], |row| row.get(0))
            .unwrap()
    }

    /// The answer of a command.
    fn command(&self, arguments: &[&str]) -> String {
        trayful(arguments).inside(&self.folder()).answer()
    }

    /// Plans two cubes for lunch.
    fn plan_lunch(&self, on: &str) {
        let meal = [
            ("on", on),
            ("child", "Wren"),
            ("meal", "lunch"),
            ("recipe-salmon-broccoli-millet", "2"),
            ("do", "set"),
        ];
        let sent = self.page.post("/week/meal", &meal);
        assert_eq!(sent.status, 303, "{}", sent.body);
        let after = self.page.get(sent.header("location")).body;
        assert!(
            after.contains("lunch: 2 Salmon, broccoli and millet"),
            "{after}"
        );
    }
}

#[test]
fn a_planned_meal_is_ticked_off_once() {
    let demo = Demo::enter();
    let first = demo.page.get("/").body;
    for words in [
        "Lunch from the freezer",
        "href=\"/week/propose\"",
        "Iron of yesterday",
        "Next new food",
    ] {
        assert!(first.contains(words), "{words}");
    }
    assert!(
        first.contains("Throw away 2 cubes of Egg, oat and apple"),
        "what is past its last day is not offered to be eaten"
    );
    assert!(first.contains("/serve\">1 cube of Red lentil and squash"));
    demo.plan_lunch(TODAY);
    demo.plan_lunch("2026-11-17");
    let first = demo.page.get("/");
    assert!(first.body.contains("2 salmon, broccoli and millet (#48)"));
    assert!(first.body.contains("Thaw tonight"));
    let planned = first.hidden("planned");
    let meal = [
        ("on", TODAY),
        ("child", "Wren"),
        ("meal", "lunch"),
        ("planned", planned.as_str()),
        ("how", "some"),
        ("seen", ""),
    ];
    let sent = demo.page.post("/", &meal);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let after = demo.page.get(sent.header("location")).body;
    assert!(after.contains("Wren, lunch, 16 Nov 2026: as planned, some of it eaten."));
    assert!(after.contains("Some of it eaten."), "it is ticked off");
    let shown = demo.command(&["plan", "show", "--on", TODAY]);
    assert!(shown.contains("x 2 salmon"), "{shown}");
    let before = demo.entries();
    let again = demo.page.post("/", &meal);
    assert_eq!(again.status, 422);
    assert!(again.body.contains("This meal is on record already."));
    assert_eq!(demo.entries(), before, "a second tap records nothing");
}

#[test]
fn nothing_is_ticked_off_that_was_not_shown() {
    let demo = Demo::enter();
    demo.plan_lunch(TODAY);
    let before = demo.entries();
    let send = |on: &str, planned: &str, how: &str| {
        let meal = [
            ("on", on),
            ("child", "Wren"),
            ("meal", "lunch"),
            ("planned", planned),
            ("how", how),
        ];
        demo.page.post("/", &meal).status
    };
    let planned = demo.page.get("/").hidden("planned");
    assert_eq!(send(TODAY, "9 beef", "taken"), 422, "another plan");
    assert_eq!(send(TODAY, &planned, "<script>"), 422);
    assert_eq!(send("2026-11-17", &planned, "taken"), 404, "not eaten yet");
    assert_eq!(
        send("0001-01-01", &planned, "taken"),
        404,
        "no span of ages"
    );
    let form = encoded(&[
        ("on", TODAY),
        ("child", "Wren"),
        ("meal", "lunch"),
        ("planned", planned.as_str()),
        ("how", "taken"),
    ]);
    assert_eq!(demo.page.send("/", &form, &[]).status, 403, "no token");
    assert_eq!(demo.entries(), before);
}

#[test]
fn a_bowl_is_looked_at_as_the_command_line_says_it_and_served() {
    let demo = Demo::enter();
    let told = demo.command(&["mix", "2 #48, 1 #63, 30 g 09040", "--on", TODAY]);
    let bowl = "/mix?cubes-48=2&cubes-63=1&other=30+g+09040";
    let before = demo.entries();
    let shown = demo.page.get(bowl);
    assert_eq!(shown.status, 200, "{}", shown.body);
    let body = shown.body.replace("&#62;", ">");
    let figures = told.lines().skip_while(|line| !line.starts_with("iron ("));
    let mut compared = 0;
    for line in figures.take_while(|line| !line.is_empty()) {
        let (name, figure) = line.trim().split_once("  ").unwrap();
        let row = format!(">{name}</th><td class=\"amount\">{}</td>", figure.trim());
        assert!(body.contains(&row), "{row}");
        compared += 1;
    }
    // Beside salmon no vitamin C is looked for.
    assert_eq!(compared, 7, "{told}");
    assert!(
        body.contains("name=\"more\" value=\"48\" data-more=\"cubes-48\""),
        "one more cube is one tap: {body}"
    );
    let more = [
        ("cubes-48", "2"),
        ("cubes-63", "1"),
        ("other", "30 g 09040"),
        ("more", "48"),
    ];
    let more = demo.page.post("/mix", &more);
    assert_eq!(
        more.header("location"),
        "/mix?cubes-48=3&cubes-63=1&other=30+g+09040"
    );
    assert_eq!(demo.entries(), before, "to look records nothing");
    let serve = [
        ("cubes-48", "2"),
        ("cubes-63", "1"),
        ("other", "30 g 09040"),
        ("meal", "lunch"),
        ("how", "taken"),
        ("seen", ""),
        ("on", TODAY),
    ];
    let sent = demo.page.post("/mix", &serve);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let after = demo.page.get(sent.header("location")).body;
    assert!(
        after.contains("Wren, 16 Nov 2026: the bowl, eaten."),
        "{after}"
    );
    assert_eq!(demo.entries(), before + 1);
    let freezer = demo.page.get("/freezer").body;
    assert!(freezer.contains("10</strong> of 32 cubes left"));
}

#[test]
fn a_bowl_is_served_to_the_child_and_on_the_day_of_the_form() {
    use std::io::Write as _;
    let demo = Demo::enter();
    let book = demo.folder().join("book.toml");
    let mut book = std::fs::OpenOptions::new().append(true).open(book).unwrap();
    book.write_all(b"\n[[child]]\nname = \"Ada\"\nborn = \"2025-05-01\"\n")
        .unwrap();
    let first = demo.page.get("/mix?cubes-48=2").body;
    assert!(
        first.contains("Mix a bowl for Wren") && first.contains("name=\"child\" value=\"Wren\">")
    );
    let shown = demo.page.get("/mix?cubes-48=2&child=Ada").body;
    assert!(
        shown.contains("Mix a bowl for Ada") && shown.contains("name=\"child\" value=\"Ada\">")
    );
    assert!(shown.contains("name=\"on\" type=\"date\" required value=\"2026-11-16\""));
    // A day needs 11 mg of iron at 6 to 11 months and 7 mg at 1 to 3 years (NASEM, RDA): the same
    // bowl is another share.
    let iron = |body: &str| {
        body.split(">iron (")
            .nth(1)
            .unwrap()
            .split("</tr>")
            .next()
            .unwrap()
            .to_string()
    };
    assert_ne!(iron(&first), iron(&shown));
    let bowl = [
        ("cubes-48", "2"),
        ("child", "Ada"),
        ("meal", "supper"),
        ("how", "some"),
        ("seen", "a rash"),
    ];
    let none = demo.page.post("/mix", &bowl);
    assert!(
        none.status == 422 && none.body.contains("Choose the day."),
        "{}",
        none.body
    );
    let sent = demo
        .page
        .post("/mix", &[&bowl[..], &[("on", "2026-11-15")]].concat());
    assert_eq!(sent.status, 303, "{}", sent.body);
    let after = demo.page.get(sent.header("location")).body;
    assert!(
        after.contains("Ada, 15 Nov 2026: the bowl, some of it eaten."),
        "{after}"
    );
    let record = rusqlite::Connection::open(demo.folder().join("book.sqlite")).unwrap();
    let last: (String, String, String, String) = record
        .query_row(
            "SELECT day, child, meal, reaction FROM feeding JOIN entry ON entry.id = feeding.entry ORDER BY entry.id DESC",
            [],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?)),
        )
        .unwrap();
    assert_eq!(
        last,
        (
            "2026-11-15".into(),
            "Ada".into(),
            "supper".into(),
            "a rash".into()
        )
    );
}

#[test]
fn a_bowl_of_nonsense_is_refused_in_words() {
    let demo = Demo::enter();
    let before = demo.entries();
    for (bowl, words) in [
        ("cubes-48=13", "there are 12 cubes"),
        ("cubes-99=1", "there are 0 cubes"),
        ("cubes-48=-1", "is no number of cubes"),
        (
            "other=%3Cscript%3Ealert(1)%3C/script%3E",
            "no food is called so",
        ),
        ("cubes-48=1&child=%22%3E%3Cscript%3E", "child"),
    ] {
        let shown = demo.page.get(&format!("/mix?{bowl}"));
        assert_eq!(shown.status, 422, "{bowl}");
        let body = shown.body.to_lowercase();
        assert!(body.contains(words), "{bowl}: {body}");
        assert!(!body.contains("<script>"), "{bowl}");
    }
    let lots = "&cubes-48=1".repeat(150);
    let lots = format!("/mix?other=x{lots}");
    assert!((400..500).contains(&demo.page.get(&lots).status));
    for wrong in [
        [("cubes-48", "13"), ("how", "taken")],
        [("cubes-48", "2"), ("how", "perhaps")],
        [("other", ""), ("how", "taken")],
    ] {
        assert_eq!(demo.page.post("/mix", &wrong).status, 422, "{wrong:?}");
    }
    assert_eq!(demo.entries(), before);
}

#[test]
fn a_day_of_cooking_is_planned_by_hand_and_taken_away_again() {
    let demo = Demo::enter();
    let before = demo.entries();
    let week = demo.page.get("/week").body;
    assert!(
        week.contains("href=\"/week/cook?on=2026-11-18\"") && week.contains("<span>free</span>")
    );
    let form = demo.page.get("/week/cook?on=2026-11-18").body;
    assert!(form.contains("name=\"trays-butternut\"") && form.contains("Butternut squash"));
    let day = [
        ("on", "2026-11-18"),
        ("do", "set"),
        ("trays-butternut", "2"),
        ("trays-egg-oat-apple", "0"),
    ];
    let sent = demo.page.post("/week/cook", &day);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let after = demo.page.get(sent.header("location")).body;
    assert!(
        after.contains("Wed 18 Nov, to cook: 2 trays of Butternut squash."),
        "{after}"
    );
    assert!(
        after.contains("2 trays of butternut squash (32 cubes)"),
        "{after}"
    );
    let form = demo.page.get("/week/cook?on=2026-11-18").body;
    assert!(form.contains("name=\"trays-butternut\"") && form.contains("value=\"2\""));
    // The command line plans and shows the same.
    let shown = demo.command(&["plan", "show", "--on", TODAY]);
    assert!(shown.contains("2 trays  Butternut squash"), "{shown}");
    let nothing = [("on", "2026-11-18"), ("do", "empty")];
    let sent = demo.page.post("/week/cook", &nothing);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let after = demo.page.get(sent.header("location")).body;
    assert!(
        after.contains("to cook: nothing (before: 2 trays of Butternut squash)"),
        "{after}"
    );
    assert_eq!(demo.entries(), before + 2);
    for (name, trays) in [
        ("trays-butternut", "x"),
        ("trays-butternut", "-1"),
        ("trays-butternut", "9999"),
        ("trays-<b>", "1"),
        ("trays-butternut", "0"),
    ] {
        let wrong = [("on", "2026-11-18"), ("do", "set"), (name, trays)];
        let refused = demo.page.post("/week/cook", &wrong);
        assert_eq!(refused.status, 422, "{name}: {trays}");
        assert!(!refused.body.contains("<b>"), "{name}");
    }
    assert_eq!(
        demo.page
            .post("/week/cook", &[("on", "0001-01-01"), ("do", "empty")])
            .status,
        404
    );
    assert_eq!(demo.entries(), before + 2);
}

#[test]
fn a_week_is_proposed_looked_at_and_kept() {
    let demo = Demo::enter();
    let before = demo.entries();
    let asked = [("from", TODAY), ("trays", "2")];
    let sent = demo.page.post("/week/propose", &asked);
    assert_eq!(sent.status, 303, "{}", sent.body);
    let address = sent.header("location").to_string();
    let proposal = demo.page.get(&address).body;
    for words in [
        "Nothing is recorded yet.",
        "What stays empty",
        "For Wren</h2>",
        "2 cubes of ",
        "Another dish here",
        "Not this dish",
        "the day&#39;s meat or fish",
    ] {
        assert!(proposal.contains(words), "{words}: {proposal}");
    }
    for words in ["Weight", "points", "better by"] {
        assert!(!proposal.contains(words), "{words}: {proposal}");
    }
    assert_eq!(demo.entries(), before, "to look records nothing");
    let kept = demo.page.post(&address, &[]);
    assert_eq!(kept.status, 303);
    let week = demo.page.get(kept.header("location")).body;
    assert!(week.contains("This is now the plan."));
    assert_eq!(demo.entries(), before + 1);
    let shown = demo.command(&["plan", "show", "--on", TODAY, "--json"]);
    let shown: serde_json::Value = serde_json::from_str(&shown).unwrap();
    let meals = shown["meals"].as_array().unwrap();
    assert!(!meals.is_empty());
    let cells = week.matches("class=\"cell\"").count();
    assert_eq!(cells, meals.len(), "a cell for each meal of the plan");
    let held = demo.page.get("/week/held?what=planned").body;
    assert!(held.contains("<svg class=\"chart ") && held.contains("of 11 mg (RDA)"));
    assert_eq!(demo.page.get("/week/held").status, 200);
    let again = demo.page.post(&address, &[]);
    let after = demo.page.get(again.header("location")).body;
    assert!(after.contains("Nothing was planned"), "{after}");
    assert_eq!(demo.entries(), before + 1, "it is kept once");
}

#[test]
fn only_a_proposal_that_was_shown_and_still_fits_is_kept() {
    let demo = Demo::enter();
    let asked = [("from", TODAY), ("trays", "2")];
    let address = demo.page.post("/week/propose", &asked);
    let address = address.header("location").to_string();
    demo.plan_lunch(TODAY);
    let before = demo.entries();
    for draft in [
        &address,
        "/week/proposal/0",
        "/week/proposal/..%2f..%2fbook.toml",
    ] {
        let sent = demo.page.post(draft, &[]);
        let after = demo.page.get(sent.header("location")).body;
        assert!(after.contains("Nothing was planned"), "{draft}");
    }
    assert_eq!(demo.page.send(&address, "", &[]).status, 403);
    let set = |fields: &[(&str, &str)]| demo.page.post("/week/meal", fields).status;
    let slot = [("on", TODAY), ("child", "Wren"), ("meal", "lunch")];
    for more in [
        vec![("recipe-nothing", "2"), ("do", "set")],
        vec![("do", "set")],
        vec![("other", "5000 g 01116"), ("do", "set")],
    ] {
        assert_eq!(set(&[&slot[..], &more].concat()), 422, "{more:?}");
    }
    assert_eq!(
        set(&[("on", "9999-12-31"), ("child", "Wren"), ("meal", "lunch")]),
        404
    );
    assert_eq!(
        set(&[("on", TODAY), ("child", "<b>"), ("meal", "lunch")]),
        422
    );
    assert_eq!(demo.page.get("/week?from=0001-01-01").status, 404);
    let wrong = [("from", TODAY), ("trays", "4000000000")];
    assert_eq!(demo.page.post("/week/propose", &wrong).status, 422);
    assert_eq!(demo.entries(), before);
}

#[test]
fn a_day_is_understood_in_words_and_never_one_to_come() {
    let demo = Demo::enter();
    let meal = |on: &str| {
        let fields = [("cubes", "1"), ("how", "taken"), ("on", on)];
        demo.page.post("/freezer/48/serve", &fields)
    };
    let sent = meal("last friday");
    let before = demo.entries();
    // The Friday before Monday 16 November, in a week that has ended.
    let done = demo.page.get(sent.header("location")).body;
    assert!(done.contains("Wren, 13 Nov 2026: 1 cube of"), "{done}");
    for (on, why) in [
        ("2027-01-01", "is still to come"),
        ("tomorrow", "is still to come"),
        ("10/03/2026", "could be Tuesday 10 March 2026"),
        ("31 Nov", "November has 30 days"),
        ("at the weekend", "which day was meant"),
        ("2025-11-01", "is before the birth"),
        ("", "Choose the day."),
    ] {
        let refused = meal(on);
        assert_eq!(refused.status, 422, "{on}: {}", refused.body);
        assert!(refused.body.contains(why), "{on}: {}", refused.body);
    }
    let discard = [("cubes", "1"), ("why", ""), ("on", "tomorrow")];
    let refused = demo.page.post("/freezer/48/discard", &discard);
    assert!(refused.body.contains("room Week"), "{}", refused.body);
    let question = [("question", "Is it enough?"), ("on", "in 3 days")];
    assert_eq!(demo.page.post("/visit", &question).status, 422);
    assert_eq!(demo.entries(), before);
    let week = demo.page.get("/week?from=tomorrow").body;
    assert!(week.contains("16 Nov 2026 to 22 Nov 2026"), "{week}");
    assert_eq!(demo.page.get("/week?from=sometimes").status, 404);
}

#[test]
fn the_day_of_an_earlier_meal_is_asked() {
    let demo = Demo::enter();
    let day = |path: &str| {
        let form = demo.page.get(path).body;
        let field = form.split("name=\"on\"").nth(1).unwrap();
        let value = field.split("value=\"").nth(1).unwrap();
        value.split('"').next().unwrap().to_string()
    };
    assert_eq!(day("/freezer/48/serve"), TODAY);
    assert_eq!(day("/freezer/48/serve?when=earlier"), "");
}

#[test]
fn a_form_of_another_day_asks_for_its_day() {
    let demo = Demo::enter();
    let today = demo.page.get("/").body;
    assert!(
        today.contains("name=\"opened\" value=\"2026-11-16\""),
        "{today}"
    );
    let batch = today.split("action=\"/freezer/").nth(1).unwrap();
    let path = format!("/freezer/{}", batch.split('"').next().unwrap());
    let before = demo.entries();
    let fields = [
        ("on", "2026-11-15"),
        ("opened", "2026-11-15"),
        ("cubes", "1"),
        ("how", "taken"),
        ("child", "Wren"),
        ("meal", ""),
    ];
    let asked = demo.page.post(&path, &fields);
    assert_eq!(asked.status, 422, "{}", asked.body);
    assert!(
        asked
            .body
            .contains("The page was opened on 15 Nov 2026, and today is 16 Nov 2026"),
        "{}",
        asked.body
    );
    assert_eq!(demo.entries(), before);
}
