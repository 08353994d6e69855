//! The answer comes first, in few lines, and no line is longer than the terminal is wide.

use std::path::Path;

use super::support::{Said, folder, trayful};

/// The day on which the book of the invented household stands.
const DAY: &str = "2026-11-28";

/// A book of the invented household in a folder of its own.
fn nest() -> tempfile::TempDir {
    let nest = tempfile::tempdir().unwrap();
    trayful(&["demo", "--into", "nest"])
        .inside(nest.path())
        .answer();
    nest
}

fn said(nest: &Path, args: &[&str], columns: &str) -> Said {
    trayful(args)
        .inside(&nest.join("nest"))
        .with("COLUMNS", columns)
        .with("TRAYFUL_TODAY", DAY)
        .said()
}

/// The lines of an answer about a batch, without those that stop or warn.
fn counted(text: &str) -> usize {
    let mut grave = false;
    let lines = text.lines().filter(|line| {
        grave =
            line.starts_with("STOP") || line.starts_with('!') || grave && line.starts_with("   ");
        !grave
    });
    lines.count()
}

#[test]
fn a_batch_of_up_to_six_ingredients_is_answered_in_twenty_lines() {
    let nest = nest();
    let recipes = std::fs::read_dir(nest.path().join("nest/recipes")).unwrap();
    let mut looked_at = 0;
    for recipe in recipes {
        let name = recipe.unwrap().file_name().into_string().unwrap();
        let name = name.trim_end_matches(".toml");
        for scale in [&[][..], &["--trays", "2"], &["--servings", "12"]] {
            let answer = said(nest.path(), &[&["batch", name], scale].concat(), "80");
            assert!(
                counted(&answer.out) <= 20,
                "{name} {scale:?}:\n{}",
                answer.out
            );
            looked_at += 1;
        }
    }
    assert!(looked_at > 20);
}

#[test]
fn six_foods_with_long_names_are_answered_in_twenty_lines() {
    let nest = nest();
    let foods = [
        "200 g salmon steamed",
        "150 g 11011 steamed",
        "100 g red lentils boiled",
        "150 g 20137 boiled",
        "200 g sweet potato steamed",
        "10 g 04053",
    ];
    let added: Vec<&str> = foods.iter().flat_map(|food| ["--add", food]).collect();
    for more in [
        &["--age", "7"][..],
        &["--age", "7", "--use-up", "200 g salmon"],
        &["--returned", "100ml/300ml"],
        &["--newer", "--returned", "100ml/300ml"],
    ] {
        let args = [&["batch"], &added[..], more].concat();
        let answer = said(nest.path(), &args, "80");
        assert!(answer.code < 2, "{args:?}: {}", answer.err);
        assert!(counted(&answer.out) <= 20, "{args:?}:\n{}", answer.out);
        assert!(answer.out.lines().any(|line| line.starts_with("Iron ")));
        let iron = answer
            .out
            .lines()
            .skip_while(|line| !line.starts_with("Iron "));
        let iron = iron.take_while(|line| !line.starts_with("Energy ")).count();
        assert!(iron <= 2, "{}", answer.out);
    }
}

#[test]
fn a_week_with_everything_is_answered_in_twenty_five_lines() {
    let nest = nest();
    for told in [
        &["milk", "600 ml 03803", "--from", "2026-11-12"][..],
        &["milk", "breast 5 feeds", "--from", "2026-11-10"],
        &[
            "supplement",
            "vitamin D drops",
            "400 IU",
            "--from",
            "2026-11-01",
        ],
        &["supplement", "iron drops", "7.5 mg", "--from", "2026-11-01"],
        &[
            "measure",
            "--weight",
            "8.4 kg",
            "--length",
            "71 cm",
            "--head",
            "44.5 cm",
            "--on",
            "2026-11-10",
        ],
        &[
            "serve",
            "20 g 11090",
            "--how",
            "refused",
            "--on",
            "2026-11-12",
        ],
        &["question", "Is one meat meal a day enough?"],
    ] {
        let said = said(nest.path(), told, "80");
        assert_eq!(said.code, 0, "{}", said.err);
    }
    for to in ["2026-11-13", "2026-11-15", "2026-11-28"] {
        let answer = said(nest.path(), &["week", "--to", to], "80");
        assert!(answer.out.lines().count() <= 25, "{to}:\n{}", answer.out);
        for kept in ["Record", "Iron", "Supplements", "Unsure"] {
            let there = answer.out.lines().any(|line| line.starts_with(kept));
            assert!(there || to == "2026-11-28", "{kept}: {}", answer.out);
        }
    }
    let visit = said(
        nest.path(),
        &["visit", "--from", "2026-10-05", "--to", "2026-11-15"],
        "80",
    );
    assert!(visit.out.lines().count() <= 36, "{}", visit.out);
}

/// Every command, with what it is commonly asked.
const COMMANDS: [&[&str]; 68] = [
    &["batch"],
    &["batch", "turkey-kale-quinoa"],
    &["batch", "oat-prune-apricot", "--why"],
    &["batch", "sqash"],
    &["combine", "--with", "broccoli", "--reach", "1 mg iron"],
    &["combine", "red-lentil-squash", "--known", "--new", "1"],
    &["bulk"],
    &["bulk", "in", "out"],
    &["foods", "sweet potato"],
    &["foods", "--show", "11090"],
    &["foods", "zzzz"],
    &["words"],
    &["words", "zzzz", "--forget"],
    &["data"],
    &["demo"],
    &["demo", "butternot"],
    &["start", "new", "--child", "Ada", "--born", "2026-03-02"],
    &["start", "."],
    &["freeze", "butternut", "--cubes", "12"],
    &["freeze"],
    &["freezer"],
    &["labels", "labels.html"],
    &["card", "turkey-kale-quinoa", "--out", "card.html"],
    &["serve", "2 butternut", "--meal", "lunch"],
    &["serve", "2 butternut", "--meal", "lunch", "--on", "14 nov"],
    &["serve", "honey"],
    &["mix", "1 butternut", "30 ml plain yogurt"],
    &["milk", "600 ml 03803", "--from", "9 nov"],
    &["milk", "breast"],
    &["plan", "show"],
    &["plan", "check"],
    &["plan", "propose"],
    &["plan", "propose", "--why"],
    &["plan", "set", "2026-11-29", "lunch", "2 butternut"],
    &["plan", "export", "plan.csv"],
    &["plan", "calendar", "plan.ics"],
    &["shop"],
    &["shop", "--why"],
    &[
        "question",
        "Is one meat meal a day enough for iron, or ought it to be two of them?",
    ],
    &["answer", "999", "enough"],
    &["reaction", "rash on the cheeks"],
    &["known", "11090"],
    &["measure", "--weight", "18 lb 8 oz"],
    &["measure", "--weight", "18"],
    &["supplement", "vitamin D drops", "400 IU"],
    &["note", "soft lumps, no gagging"],
    &["texture", "mashed"],
    &["catch-up"],
    &["catch-up", "--as-before", "all"],
    &["complete"],
    &["visit"],
    &[
        "visit",
        "a-page-for-the-visit.html",
        "--from",
        "2026-10-05",
        "--to",
        "2026-11-15",
    ],
    &["discard", "1 butternut"],
    &["cook-next"],
    &["tastes"],
    &["tastes", "--all"],
    &["week"],
    &["week", "--why", "--to", "2026-11-15"],
    &["buy", "2 lb butternut squash", "3.49"],
    &["money"],
    &["child"],
    &["household"],
    &["rename", "butternut", "squash-alone"],
    &["log"],
    &["change", "9", "--eaten", "50%"],
    &["undo"],
    &["redo"],
    &["book", "check"],
];

/// What is left whole however long it is: a command to paste, a path or an address, a line of a
/// file that is shown as it is.
fn stays_whole(line: &str) -> bool {
    let words = line.trim_start_matches([' ', '=']);
    let words = words.trim_start_matches("help: ");
    let longest = words.split(' ').map(|word| word.chars().count()).max();
    words.starts_with("trayful ")
        || line.split('`').any(|part| part.starts_with("trayful "))
        || line.trim_start().starts_with("--> ")
        || line.contains(" | ")
        || longest.is_some_and(|longest| longest > 34)
}

#[test]
fn no_line_is_longer_than_the_terminal_is_wide() {
    let nest = nest();
    for columns in [44_usize, 80] {
        for args in COMMANDS {
            let said = said(nest.path(), args, &columns.to_string());
            for line in said.out.lines().chain(said.err.lines()) {
                assert!(
                    line.chars().count() <= columns || stays_whole(line),
                    "{args:?} at {columns}: {line}\n{}{}",
                    said.out,
                    said.err
                );
            }
        }
    }
}

#[test]
fn a_recipe_made_as_often_as_it_says_is_not_said_to_be_scaled() {
    let book = folder(&[(
        "squash.toml",
        "title = \"Squash\"\n[[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\nmethod = \"steam\"\n",
    )]);
    let answer = trayful(&["batch", "squash.toml", "--use-up", "600 g 11485"])
        .inside(book.path())
        .said();
    assert_eq!(answer.code, 0, "{}", answer.err);
    assert!(
        answer.out.starts_with("Squash: weigh out"),
        "{}",
        answer.out
    );
}
