//! What a household records beside its meals: each form of the page, and what the command line
//! shows afterwards.

use std::path::Path;

use super::client::Answer;
use super::running::{Running, household};
use super::support::trayful;

/// What a command says in the folder of the book, in one line.
fn said(folder: &Path, command: &[&str]) -> String {
    let answer = trayful(command).inside(folder).answer();
    answer.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The page after a form that was recorded.
fn after(page: &Running, sent: &Answer) -> String {
    assert_eq!(sent.status, 303, "{}", sent.body);
    page.get(sent.header("location")).body
}

#[test]
fn a_second_child_and_its_first_weight_are_one_form() {
    let folder = household();
    let page = Running::inside(folder.path());
    let form = page.get("/household");
    let once = form.hidden("once");
    let fields = [
        ("once", once.as_str()),
        ("name", "Ada"),
        ("born", "2026-05-20"),
        ("weight", "6.9"),
    ];
    let told = after(&page, &page.post("/household", &fields));
    assert!(
        told.contains("Added Ada, born 20 May 2026.") && told.contains("6.9 kg"),
        "{told}"
    );
    let again = after(&page, &page.post("/household", &fields));
    assert!(
        again.contains("Added Ada"),
        "the same form again is answered as it was"
    );
    let children = said(folder.path(), &["child"]);
    assert_eq!(children.matches("Ada").count(), 1, "{children}");
    assert!(children.contains("6.90 kg"), "{children}");
    let log = said(folder.path(), &["log", "--child", "Ada"]);
    assert_eq!(log.matches("weight 6.9 kg").count(), 1, "{log}");
}

#[test]
fn a_child_that_cannot_be_is_not_added() {
    let folder = household();
    let page = Running::inside(folder.path());
    for (name, born, weight, field) in [
        ("", "2026-05-20", "", "name"),
        ("Wren", "2026-05-20", "", "name"),
        ("Ada", "2027-05-20", "", "born"),
        ("Ada", "2026-05-20", "6900", "weight"),
        ("Ada", "2026-05-20", "much", "weight"),
    ] {
        let fields = [("name", name), ("born", born), ("weight", weight)];
        let sent = page.post("/household", &fields);
        assert_eq!(sent.status, 422, "{fields:?}");
        assert!(
            sent.body.contains(&format!("id=\"{field}-fault\"")),
            "{fields:?}: {}",
            sent.body
        );
    }
    assert!(!said(folder.path(), &["child"]).contains("Ada"));
}

#[test]
fn what_was_measured_is_a_list_with_its_days_and_can_be_taken_back() {
    let folder = household();
    let page = Running::inside(folder.path());
    let path = "/household/size?child=Wren";
    let fields = [
        ("child", "Wren"),
        ("weight", "8.45"),
        ("length", "71.5"),
        ("head", ""),
        ("on", "2026-11-20"),
    ];
    let told = after(&page, &page.post("/household/size", &fields));
    assert!(told.contains("weight 8.45 kg, length 71.5 cm"), "{told}");
    let _ = after(
        &page,
        &page.post(
            "/household/size",
            &[("child", "Wren"), ("weight", "18 lb"), ("on", "2026-11-10")],
        ),
    );
    let list = page.get(path).body;
    let (newer, older) = (
        list.find("Weight 8.45 kg").unwrap(),
        list.find("Weight 8.165 kg").unwrap(),
    );
    assert!(newer < older, "the newest is on top");
    let log = said(folder.path(), &["log", "--kind", "weight"]);
    assert!(
        log.contains("weight 8.45 kg") && log.contains("weight 8.165 kg"),
        "{log}"
    );
    let undone = page.post(
        "/undo",
        &[("entry", &page.get(path).hidden("entry")), ("back", path)],
    );
    assert!(
        undone.header("location").starts_with(path),
        "{}",
        undone.header("location")
    );
    let nothing = page.post(
        "/household/size",
        &[("child", "Wren"), ("on", "2026-11-20")],
    );
    assert!(nothing.status == 422 && nothing.body.contains("id=\"weight-fault\""));
    let early = [("child", "Wren"), ("weight", "3"), ("on", "2026-01-01")];
    assert_eq!(
        page.post("/household/size", &early).status,
        422,
        "before its birth"
    );
}

#[test]
fn a_weight_that_can_hardly_be_is_asked_about_before_it_is_written_down() {
    let folder = household();
    let page = Running::inside(folder.path());
    let log = ["log", "--kind", "weight"];
    let weights = || trayful(&log).inside(folder.path()).said().out;
    let before = weights();
    // 8 lb 4 oz in the place of 18 lb 4 oz: the book has 8.2 kg.
    let slip = [
        ("child", "Wren"),
        ("weight", "8 lb 4 oz"),
        ("on", "2026-11-20"),
    ];
    let asked = page.post("/household/size", &slip);
    assert_eq!(asked.status, 422, "{}", asked.body);
    for words in [
        "Is the weight really 3.742 kg? The book says that Wren weighs 8.2 kg",
        "It is right: write it down",
    ] {
        assert!(asked.body.contains(words), "{words}: {}", asked.body);
    }
    assert_eq!(weights(), before, "nothing is written down");
    // The confirmation of one number does not cover another.
    let sure = asked.hidden("sure");
    let other = [
        ("child", "Wren"),
        ("weight", "3.1"),
        ("on", "2026-11-20"),
        ("sure", sure.as_str()),
    ];
    assert_eq!(page.post("/household/size", &other).status, 422);
    let meant = [&slip[..], &[("sure", sure.as_str())]].concat();
    let told = after(&page, &page.post("/household/size", &meant));
    assert!(told.contains("weight 3.742 kg"), "{told}");
}

#[test]
fn the_milk_of_a_day_is_what_the_command_line_says() {
    let folder = household();
    let page = Running::inside(folder.path());
    let told = |fields: &[(&str, &str)]| {
        let all = [
            &[("child", "Wren"), ("lasts", "day"), ("on", "2026-11-20")],
            fields,
        ]
        .concat();
        page.post("/household/milk", &all)
    };
    let log = || said(folder.path(), &["log", "--kind", "milk"]);
    let feeds = after(
        &page,
        &told(&[("breast", "feeds"), ("one-side", "1"), ("both-sides", "2")]),
    );
    assert!(
        feeds.contains("Wren, on 20 Nov 2026: breast 5 feeds."),
        "{feeds}"
    );
    assert!(
        feeds.contains("an average feed at 1 to 6 months"),
        "the estimate names its source"
    );
    assert!(log().contains("5 feeds"), "{}", log());
    let both = [
        ("breast", "none"),
        ("expressed", "300"),
        ("formula", "01107"),
        ("amount", "200 ml"),
    ];
    let mixed = after(&page, &told(&both));
    assert!(mixed.contains("breast 300 ml, 200 ml 01107"), "{mixed}");
    let none = after(&page, &told(&[("breast", "no-milk")]));
    assert!(none.contains("on 20 Nov 2026: no milk."), "{none}");
    for (fields, field) in [
        (&[("breast", "feeds"), ("one-side", "many")][..], "one-side"),
        (&[("breast", "feeds")], "one-side"),
        (&[("breast", "none")], "breast"),
        (&[("breast", "no-milk"), ("expressed", "100")], "breast"),
        (&[("breast", "none"), ("expressed", "20000")], "expressed"),
        (&[("breast", "none"), ("amount", "100")], "formula"),
        (&[("breast", "wanted"), ("expressed", "100")], "breast"),
        (&[("breast", "")], "breast"),
    ] {
        let sent = told(fields);
        assert_eq!(sent.status, 422, "{fields:?}");
        let at = sent.body.contains(&format!("href=\"#{field}\""));
        assert!(at, "{fields:?}: {}", sent.body);
    }
    let uncounted = told(&[("breast", "feeds")]).body;
    assert!(
        uncounted.contains("</span> How many feeds a day?</p>"),
        "{uncounted}"
    );
    let many = told(&[("breast", "feeds"), ("one-side", "31")]);
    assert!(
        many.status == 422 && many.body.contains("Write 1 to 30 feeds a day"),
        "{}",
        many.body
    );
}

#[test]
fn a_formula_that_may_be_several_is_chosen_by_a_button() {
    let folder = household();
    let page = Running::inside(folder.path());
    let milk = [
        ("child", "Wren"),
        ("breast", "none"),
        ("formula", "infant formula"),
        ("amount", "200"),
        ("lasts", "day"),
        ("on", "2026-11-20"),
    ];
    let asked = page.post("/household/milk", &milk);
    assert_eq!(asked.status, 422);
    assert!(!asked.body.contains("by its id"), "{}", asked.body);
    let button = asked.body.split("name=\"meant-formula\" value=\"").nth(1);
    let (chosen, label) = button.unwrap().split_once('"').unwrap();
    assert!(
        chosen.len() == 5 && label.contains("Infant formula"),
        "{chosen}, {label}"
    );
    let meant = [&milk[..], &[("meant-formula", chosen)]].concat();
    let told = after(&page, &page.post("/household/milk", &meant));
    assert!(told.contains(&format!("200 ml {chosen}")), "{told}");
}

#[test]
fn a_supplement_is_given_missed_and_stopped_in_one_tap() {
    let folder = household();
    let page = Running::inside(folder.path());
    let path = "/household/supplements?child=Wren";
    let drops = [
        ("child", "Wren"),
        ("product", "vitamin D drops"),
        ("dose", "400 IU"),
        ("lasts", "from"),
        ("on", "2026-11-20"),
    ];
    let told = after(&page, &page.post("/household/supplements", &drops));
    assert!(
        told.contains("10 µg a day from 20 Nov 2026 on") && told.contains("10 µg today"),
        "{told}"
    );
    let tap = |what: &str| {
        let once = page.get(path).hidden("once");
        let fields = [
            ("once", once.as_str()),
            ("child", "Wren"),
            ("product", "vitamin D drops"),
            ("what", what),
        ];
        let first = after(&page, &page.post("/household/supplements/today", &fields));
        let _ = after(&page, &page.post("/household/supplements/today", &fields));
        first
    };
    assert!(tap("missed").contains("missed on 27 Nov 2026"));
    assert!(tap("given").contains("10 µg given on 27 Nov 2026"));
    assert!(tap("stopped").contains("given no longer"));
    let log = said(folder.path(), &["log", "--kind", "supplement"]);
    assert_eq!(
        log.matches("vitamin D drops: ").count(),
        4,
        "two taps on one button are one entry: {log}"
    );
    let drops = [
        ("child", "Wren"),
        ("product", "drops"),
        ("dose", "400 IU"),
        ("on", "2026-11-20"),
    ];
    let unclear = page.post("/household/supplements", &drops);
    assert!(unclear.status == 422 && unclear.body.contains("href=\"#nutrient\""));
    let other = [("child", "Wren"), ("product", "nothing"), ("what", "given")];
    assert_eq!(
        page.post("/household/supplements/today", &other).status,
        404
    );
}

#[test]
fn notes_and_whole_days_are_written_down() {
    let folder = household();
    let page = Running::inside(folder.path());
    let note = [
        ("child", "Wren"),
        ("topic", "stool"),
        ("words", "soft <b>lumps</b>"),
        ("on", "2026-11-20"),
    ];
    let told = after(&page, &page.post("/household/notes", &note));
    assert!(told.contains("stool: soft &#60;b&#62;lumps"), "{told}");
    assert!(said(folder.path(), &["log", "--kind", "note"]).contains("stool: soft <b>lumps</b>"));
    for (topic, words) in [("weather", "rain"), ("stool", "")] {
        let fields = [
            ("child", "Wren"),
            ("topic", topic),
            ("words", words),
            ("on", "2026-11-20"),
        ];
        assert_eq!(page.post("/household/notes", &fields).status, 422);
    }
    let day = [("child", "Wren"), ("on", "2026-11-15")];
    assert!(
        page.get("/household/days?child=Wren")
            .body
            .contains("meals on record")
    );
    for _ in 0..2 {
        let told = after(&page, &page.post("/household/days", &day));
        assert!(
            told.contains("15 Nov 2026: every meal is written down"),
            "{told}"
        );
    }
    let log = || said(folder.path(), &["log", "--kind", "day"]);
    assert_eq!(log().matches("every meal of the day").count(), 1);
    let empty = [("child", "Wren"), ("on", "2026-11-26")];
    let refused = page.post("/household/days", &empty);
    assert!(
        refused.status == 422
            && refused
                .body
                .contains("No meal of 26 Nov 2026 is on record: write the meals down first."),
        "{}",
        refused.body
    );
    assert_eq!(log().matches("every meal of the day").count(), 1);
}

/// The demo household is seen on its own day, 16 November 2026.
#[test]
fn complete_days_are_counted_as_the_week_counts_them() {
    let around = tempfile::tempdir().unwrap();
    let page = Running::inside(around.path());
    assert_eq!(page.post("/demo", &[]).status, 303);
    let folder = std::fs::read_dir(around.path()).unwrap().next().unwrap();
    let days = ["week", "--from", "2026-11-10", "--to", "2026-11-16"];
    let week = said(&folder.unwrap().path(), &days);
    assert!(week.contains("6 of 7 days are complete"), "{week}");
    let room = page.get("/household").body;
    assert!(room.contains("6 of the last 7 days are complete"), "{room}");
}

#[test]
fn foods_of_elsewhere_are_known_in_words() {
    let folder = household();
    let page = Running::inside(folder.path());
    let fields = [
        ("child", "Wren"),
        ("foods", "peanut butter, 09040"),
        ("words", "at grandmother's"),
        ("seen", ""),
        ("on", "2026-10-03"),
    ];
    let told = after(&page, &page.post("/household/known", &fields));
    assert!(
        told.contains("Wren knows peanut butter, smooth style, bananas, raw, since 3 Oct 2026."),
        "{told}"
    );
    let known = said(folder.path(), &["log", "--kind", "known"]);
    for words in [
        "had peanut butter, smooth style before",
        "had bananas, raw before",
        "at grandmother's",
    ] {
        assert!(known.contains(words), "{words}: {known}");
    }
    let tastes = said(folder.path(), &["tastes"]);
    assert!(!tastes.contains("Not yet peanut"), "{tastes}");
    for foods in ["", "xyzzy", "soup of the day with everything"] {
        let sent = page.post(
            "/household/known",
            &[("child", "Wren"), ("foods", foods), ("on", "2026-10-03")],
        );
        assert!(
            sent.status == 422 && sent.body.contains("id=\"foods-fault\""),
            "{foods}"
        );
    }
    let seen = [
        ("child", "Wren"),
        ("foods", "peanut butter"),
        ("seen", "wheezing, swollen lips"),
        ("on", "2026-11-20"),
    ];
    let told = after(&page, &page.post("/household/known", &seen));
    assert!(told.contains("Call the emergency number now"), "{told}");
}

#[test]
fn what_the_book_says_of_a_child_is_corrected_and_renamed() {
    let folder = household();
    let page = Running::inside(folder.path());
    let fields = [
        ("child", "Wren"),
        ("born", "2026-03-03"),
        ("sex", "girl"),
        ("birth-weight", "3.1"),
        ("weeks-early", "5"),
        ("allergies", "egg, peanut"),
        ("eczema", "severe"),
        ("milk", "breast"),
    ];
    let told = after(&page, &page.post("/household/child", &fields));
    assert!(told.contains("Before: born 2 Mar 2026"), "{told}");
    let child = said(folder.path(), &["child"]);
    for words in [
        "born 3 Mar 2026",
        "girl",
        "3.10 kg at birth",
        "5 weeks early",
        "eczema",
        "egg, peanut",
    ] {
        assert!(child.contains(words), "{words}: {child}");
    }
    let book = std::fs::read_to_string(folder.path().join("book.toml")).unwrap();
    assert!(
        book.contains("# An invented household") && book.contains("eczema = \"severe\""),
        "{book}"
    );
    for (name, value, field) in [
        ("born", "2027-01-01", "born"),
        ("birth-weight", "heavy", "birth-weight"),
        ("weeks-early", "30", "weeks-early"),
        ("allergies", "penut", "allergies"),
    ] {
        let mut wrong = fields.to_vec();
        wrong.retain(|(known, _)| *known != name);
        wrong.push((name, value));
        let sent = page.post("/household/child", &wrong);
        assert_eq!(sent.status, 422, "{name}");
        assert!(
            sent.body.contains(&format!("id=\"{field}-fault\"")),
            "{name}: {}",
            sent.body
        );
    }
    let mut unheard = fields.to_vec();
    unheard.retain(|(known, _)| *known != "allergies");
    unheard.push(("allergies", "dragon fruit, peanut allergy"));
    let told = after(&page, &page.post("/household/child", &unheard));
    assert!(
        told.contains("No food is called “dragon fruit”") && !told.contains("called “peanut"),
        "{told}"
    );
    let nobody = page.post(
        "/household/child",
        &[("child", "Nobody"), ("born", "2026-03-03")],
    );
    assert_eq!(nobody.status, 404);
    let taken = page.post("/household/child/name", &[("child", "Wren"), ("name", " ")]);
    assert_eq!(taken.status, 422);
    let renamed = page.post(
        "/household/child/name",
        &[("child", "Wren"), ("name", "Jenny & Wren")],
    );
    assert!(after(&page, &renamed).contains("Wren is called Jenny &#38; Wren"));
    assert!(said(folder.path(), &["log"]).contains("Jenny & Wren"));
}

#[test]
fn trays_and_jars_are_added_changed_removed_and_put_back() {
    let folder = household();
    let page = Running::inside(folder.path());
    let household = || said(folder.path(), &["household"]);
    let tray = [
        ("name", "nine"),
        ("wells", "9"),
        ("well", "60"),
        ("fill", "80"),
    ];
    let _ = after(&page, &page.post("/household/trays", &tray));
    assert!(
        household().contains("Tray “nine”: 9 wells of 60 ml, filled to 80 %."),
        "{}",
        household()
    );
    let small = [("name", "small"), ("wells", "12"), ("well", "22,5")];
    let _ = after(&page, &page.post("/household/trays", &small));
    let room = page.get("/household").body;
    for words in ["nine (9 wells of 60 ml)", "small (12 wells of 22.5 ml)"] {
        assert!(room.contains(words), "{words}: {room}");
    }
    let removed = page.post("/household/trays/remove", &[("name", "nine")]);
    let told = after(&page, &removed);
    assert!(
        told.contains("value=\"nine\"") && told.contains("value=\"60\""),
        "{told}"
    );
    assert!(!household().contains("nine"));
    for (wells, well, fill) in [
        ("x", "60", ""),
        ("9", "1 litre", ""),
        ("9", "60", "full"),
        ("900", "60", ""),
    ] {
        let fields = [
            ("name", "nine"),
            ("wells", wells),
            ("well", well),
            ("fill", fill),
        ];
        assert_eq!(
            page.post("/household/trays", &fields).status,
            422,
            "{fields:?}"
        );
    }
    let jar = [
        ("name", "meat jar"),
        ("mass", "4 oz"),
        ("price", "1.79"),
        ("recipes", "beef-beetroot-barley"),
    ];
    let _ = after(&page, &page.post("/household/jars", &jar));
    assert!(
        household().contains("Jar “meat jar”: 113 g for 1.79 USD."),
        "{}",
        household()
    );
    let removed = page.post("/household/jars/remove", &[("name", "meat jar")]);
    assert!(after(&page, &removed).contains("value=\"beef-beetroot-barley\""));
    assert!(!household().contains("meat jar"));
    let unpriced = page.post(
        "/household/jars",
        &[("name", "jar"), ("mass", "4 oz"), ("price", "dear")],
    );
    assert_eq!(unpriced.status, 422);
}

#[test]
fn the_rules_of_the_household_are_changed() {
    let folder = household();
    let page = Running::inside(folder.path());
    let rules = [
        ("meals", "breakfast, lunch, tea, supper"),
        ("waiting-days", "3"),
        ("waiting", "allergens"),
        ("freezer-days", "60"),
        ("servings", "2.5"),
        ("cup", "metric"),
        ("currency", "eur"),
    ];
    let told = after(&page, &page.post("/household/rules", &rules));
    assert!(told.contains("Before: Cubes are kept 30 days"), "{told}");
    assert!(
        told.contains("Nothing is converted: what was paid in USD stays in USD"),
        "{told}"
    );
    let said = said(folder.path(), &["household"]);
    assert!(
        said.contains("kept 60 days; 3 days")
            && said.contains("breakfast, lunch, tea, supper")
            && said.contains("A cup is a metric one, 250 ml")
            && said.contains("EUR"),
        "{said}"
    );
    for (name, value) in [
        ("meals", ""),
        ("meals", "lunch, lunch"),
        ("waiting-days", "9"),
        ("waiting", "none"),
        ("freezer-days", "0"),
        ("servings", "-1"),
        ("cup", "imperial"),
        ("currency", "euro"),
    ] {
        let mut wrong = rules.to_vec();
        wrong.retain(|(known, _)| *known != name);
        wrong.push((name, value));
        assert_eq!(
            page.post("/household/rules", &wrong).status,
            422,
            "{name} {value}"
        );
    }
}

/// A cup of sliced banana is 150 g (SR28, 09040), and so 158.5 g in a cup of 250 ml, since a US cup
/// holds 236.588 ml (NIST Handbook 44).
#[test]
fn a_cup_that_is_typed_is_that_of_the_household() {
    let folder = household();
    let page = Running::inside(folder.path());
    let form = page.get("/household/rules").body;
    assert!(form.contains("value=\"us\" checked") && !form.contains("value=\"metric\" checked"));
    let mass = || {
        let bowl = page.get("/mix?other=1+cup+sliced+banana").body;
        let mass = bowl.split(">mass</th><td class=\"amount\">").nth(1);
        let mass = mass.unwrap_or_else(|| panic!("{bowl}")).split(" g").next();
        mass.unwrap().parse::<f64>().unwrap()
    };
    assert!((mass() - 150.0).abs() < 0.6, "{}", mass());
    let fields = ["meals", "freezer-days", "servings", "currency"].map(|name| {
        let at = form.find(&format!("name=\"{name}\"")).unwrap();
        let value = form[at..].split("value=\"").nth(1).unwrap();
        (name, value.split('"').next().unwrap().to_string())
    });
    let fields = fields.iter().map(|(name, value)| (*name, value.as_str()));
    let mut fields: Vec<_> = fields.collect();
    fields.extend([("waiting-days", "4"), ("waiting", "all"), ("cup", "metric")]);
    let told = after(&page, &page.post("/household/rules", &fields));
    assert!(told.contains("A cup is a metric one"), "{told}");
    assert!((mass() - 150.0 * 250.0 / 236.588).abs() < 0.6, "{}", mass());
    let book = std::fs::read_to_string(folder.path().join("book.toml")).unwrap();
    assert!(book.contains("cup = \"metric\""), "{book}");
}

#[test]
fn a_stage_of_texture_is_recorded_from_a_day_on() {
    let folder = household();
    let page = Running::inside(folder.path());
    let form = page.get("/household/texture?child=Wren").body;
    assert!(form.contains("What fits the age. Texture:"), "{form}");
    let fields = [("child", "Wren"), ("stage", "lumpy"), ("on", "2026-11-20")];
    let told = after(&page, &page.post("/household/texture", &fields));
    for words in [
        "Wren, from 20 Nov 2026 on: with soft lumps.",
        "From 20 Nov 2026 on: with soft lumps.",
        "Take it back",
        "value=\"lumpy\" checked",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    let room = page.get("/household").body;
    assert!(
        room.contains("From 20 Nov 2026 on: with soft lumps"),
        "{room}"
    );
    let log = said(folder.path(), &["log", "--kind", "texture"]);
    assert!(log.contains("with soft lumps"), "{log}");
    for wrong in [
        [("stage", "soup"), ("on", "2026-11-20")],
        [("stage", "lumpy"), ("on", "2026-12-20")],
        [("stage", "lumpy"), ("on", "")],
    ] {
        let sent = page.post("/household/texture", &wrong);
        assert_eq!(sent.status, 422, "{wrong:?}");
    }
    // The day of a stage can be corrected, as that of a note.
    let entry = page.get("/household/texture?child=Wren").hidden("entry");
    let path = format!("/history/{entry}");
    assert_eq!(page.get(&path).status, 200);
    let moved = page.post(&path, &[("number", &entry), ("on", "2026-11-18")]);
    assert_eq!(moved.status, 303, "{}", moved.body);
    let now = page.get("/household/texture?child=Wren").body;
    assert!(now.contains("From 18 Nov 2026 on"), "{now}");
}

#[test]
fn an_own_food_is_added_from_its_label() {
    let folder = household();
    let page = Running::inside(folder.path());
    let label = [
        ("per", "100 g"),
        ("name", "Millet porridge, for babies (invented)"),
        ("energy", "380 kcal"),
        ("iron", "7.5 mg"),
    ];
    let told = after(&page, &page.post("/household/foods", &label));
    assert!(told.contains("Millet porridge"), "{told}");
    let shown = said(
        folder.path(),
        &[
            "foods",
            "--show",
            "own-millet-porridge-for-babies-invented",
            "--all",
        ],
    );
    assert!(shown.contains("7.5"), "{shown}");
    let with_commas = [
        ("per", "100 g"),
        ("name", "Spelt porridge (invented)"),
        ("energy", "1590,5 kJ"),
        ("iron", "7,5 mg"),
    ];
    let told = after(&page, &page.post("/household/foods", &with_commas));
    assert!(told.contains("Spelt porridge"), "{told}");
    let home = folder.path().to_str().unwrap();
    for (name, value, field) in [
        ("name", "", "name"),
        ("iron", "1,200 mg", "iron"),
        ("iron", "7.5", "iron"),
        ("energy", "much", "energy"),
        ("per", "bowl", "per"),
        ("maker", "a; b", "maker"),
    ] {
        let mut wrong = label.to_vec();
        wrong.retain(|(known, _)| *known != name);
        wrong.push((name, value));
        let sent = page.post("/household/foods", &wrong);
        assert_eq!(sent.status, 422, "{name}");
        assert!(
            sent.body.contains(&format!("href=\"#{field}\"")),
            "{name}: {}",
            sent.body
        );
        assert!(!sent.body.contains(home));
    }
    let twice = page.post("/household/foods", &label);
    assert_eq!(twice.status, 422, "a food is not written over");
}

#[test]
fn every_row_of_the_room_leads_to_a_page() {
    let folder = household();
    let page = Running::inside(folder.path());
    let room = page.get("/household").body;
    let links = room.split("href=\"/household/").skip(1);
    let links: Vec<_> = links
        .map(|link| format!("/household/{}", link.split('"').next().unwrap()))
        .collect();
    assert_eq!(links.len(), 13, "{links:?}");
    for link in links {
        let shown = page.get(&link.replace("&amp;", "&"));
        assert_eq!(shown.status, 200, "{link}");
        assert_eq!(shown.body.matches("<h1").count(), 1, "{link}");
    }
    assert_eq!(page.get("/household/milk?child=Nobody").status, 404);
}

#[test]
fn words_that_tell_of_a_severe_reaction_are_answered_wherever_they_are_written() {
    let folder = household();
    let page = Running::inside(folder.path());
    let words = "lips swollen and wheezing after the egg";
    let note = [
        ("child", "Wren"),
        ("topic", "illness"),
        ("words", words),
        ("on", "2026-11-20"),
    ];
    let question = [("child", "Wren"), ("question", words), ("on", "2026-11-20")];
    for (path, fields) in [("/household/notes", &note[..]), ("/visit", &question[..])] {
        let told = after(&page, &page.post(path, fields));
        let call = told.find("Call the emergency number now").expect(path);
        assert!(call < told.find("Written down").unwrap(), "{path}: {told}");
        assert!(
            told.contains("class=\"notice grave\" role=\"alert\""),
            "{path}: {told}"
        );
        // What cannot be recorded yet is answered as well.
        let unread = fields.iter().map(|(name, value)| match *name {
            "on" => ("on", "2099-01-01"),
            _ => (*name, *value),
        });
        let sent = page.post(path, &unread.collect::<Vec<_>>());
        assert_eq!(sent.status, 422, "{path}");
        assert!(
            sent.body.contains("Call the emergency number now"),
            "{path}"
        );
    }
    let calm = [
        ("child", "Wren"),
        ("question", "More iron?"),
        ("on", "2026-11-20"),
    ];
    let told = after(&page, &page.post("/visit", &calm));
    assert!(!told.contains("emergency number now") && told.contains("class=\"notice\""));
}

#[test]
fn a_form_that_was_opened_earlier_drops_no_allergy_unseen() {
    let folder = household();
    let page = Running::inside(folder.path());
    let path = "/household/child";
    let shown = [
        ("born", "2026-03-02"),
        ("sex", "girl"),
        ("birth-weight", ""),
        ("weeks-early", ""),
        ("allergies", "egg"),
        ("eczema", "none"),
        ("milk", ""),
    ];
    let send = |shown: &[(&str, &str)], typed: &[(&str, &str)]| {
        let hidden = shown
            .iter()
            .map(|(name, value)| (format!("shown-{name}"), *value));
        let hidden: Vec<(String, &str)> = hidden.collect();
        let mut fields = vec![("child", "Wren")];
        for (name, value) in shown {
            let now = typed.iter().find(|(known, _)| known == name);
            fields.push((name, now.map_or(*value, |(_, now)| now)));
        }
        fields.extend(hidden.iter().map(|(name, value)| (name.as_str(), *value)));
        page.post(path, &fields)
    };
    let says = |words: &str| said(folder.path(), &["child"]).contains(words);
    let _ = after(
        &page,
        &page.post(
            path,
            &[
                ("child", "Wren"),
                ("born", "2026-03-02"),
                ("allergies", "egg"),
            ],
        ),
    );
    // Another page adds an allergy; this one, opened before, changes something else.
    let _ = after(&page, &send(&shown, &[("allergies", "egg, peanut")]));
    let _ = after(&page, &send(&shown, &[("eczema", "mild")]));
    assert!(says("egg, peanut") && says("mild eczema"));
    // What both changed is asked about, and what is shown then can be changed.
    let asked = send(&shown, &[("allergies", "egg, milk")]);
    assert_eq!(asked.status, 422, "{}", asked.body);
    assert!(
        asked.body.contains("the book has “egg, peanut” now"),
        "{}",
        asked.body
    );
    assert_eq!(asked.hidden("shown-allergies"), "egg, peanut");
    let newer = shown.map(|(name, value)| match name {
        "allergies" => (name, "egg, peanut"),
        "eczema" => (name, "mild"),
        _ => (name, value),
    });
    let told = after(&page, &send(&newer, &[("allergies", "egg")]));
    assert!(
        told.contains("No longer stopped for Wren: peanut."),
        "{told}"
    );
    let back = told.split("href=\"/household/child?").nth(1).unwrap();
    let back = back
        .split('"')
        .next()
        .unwrap()
        .replace("&#38;", "&")
        .replace("&amp;", "&");
    let form = page.get(&format!("{path}?{back}")).body;
    assert!(form.contains("name=\"allergies\"") && form.contains("value=\"egg, peanut\""));
}

#[test]
fn a_birth_of_long_ago_is_asked_about_and_a_weight_at_birth_is_that_of_a_newborn() {
    let folder = household();
    let page = Running::inside(folder.path());
    let child = [("child", "Wren"), ("born", "2016-03-02")];
    let asked = page.post("/household/child", &child);
    assert_eq!(asked.status, 422, "{}", asked.body);
    assert!(asked.body.contains("was 10 years ago"), "{}", asked.body);
    let sure = asked
        .body
        .split("name=\"sure-born\" value=\"")
        .nth(1)
        .unwrap();
    assert!(sure.starts_with("2016-03-02\""));
    let other = [("name", "Ada"), ("born", "1990-03-01")];
    assert_eq!(page.post("/household", &other).status, 422);
    let meant = [&other[..], &[("sure-born", "1990-03-01")]].concat();
    let _ = after(&page, &page.post("/household", &meant));
    for (typed, at_birth) in [("2100", "2.10 kg at birth"), ("3,1", "3.10 kg at birth")] {
        let fields = [
            ("child", "Wren"),
            ("born", "2026-03-02"),
            ("birth-weight", typed),
        ];
        let _ = after(&page, &page.post("/household/child", &fields));
        let children = said(folder.path(), &["child"]);
        assert!(children.contains(at_birth), "{typed}: {children}");
    }
    let fields = [
        ("child", "Wren"),
        ("born", "2026-03-02"),
        ("birth-weight", "31"),
    ];
    let sent = page.post("/household/child", &fields);
    assert!(sent.status == 422 && sent.body.contains("“31” is no weight at birth"));
}

#[test]
fn advice_leaves_out_what_is_stopped_for_the_child() {
    let folder = household();
    let page = Running::inside(folder.path());
    let advice = "No reason is known to put";
    assert!(page.get("/tastes?child=Wren").body.contains(advice));
    assert!(page.get("/foods/01129").body.contains("Good for, at"));
    let allergic = [
        ("child", "Wren"),
        ("born", "2026-03-02"),
        ("allergies", "egg"),
    ];
    let _ = after(&page, &page.post("/household/child", &allergic));
    let tastes = page.get("/tastes?child=Wren").body;
    assert!(!tastes.contains(advice) && tastes.contains("egg (allergy on record)"));
    let food = page.get("/foods/01129").body;
    assert!(food.contains("On record as an allergy of Wren"), "{food}");
    assert!(!food.contains("the first time a little") && !food.contains("Good for, at"));
}
