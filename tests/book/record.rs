//! The file itself: an older layout, an export that does not add up, many at once on a new book.

use std::fs;

use rusqlite::Connection;

use super::household::{Household, files, rows};

/// A record from before the first layout: marked as ours, with something in it.
fn of_layout_0(home: &Household) {
    fs::remove_file(home.record()).unwrap();
    let old = Connection::open(home.record()).unwrap();
    old.execute_batch(
        "PRAGMA application_id = 0x54524159; CREATE TABLE keepsake (word TEXT);
         INSERT INTO keepsake VALUES ('first spoon');",
    )
    .unwrap();
}

#[test]
fn an_older_layout_is_brought_up_to_date_and_a_copy_kept() {
    let home = Household::new();
    of_layout_0(&home);
    let before = rows(&home.record());
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    let copy = home.path().join("book.layout-0.sqlite");
    assert_eq!(before, rows(&copy));
    let after = home.rows();
    assert_eq!(before["keepsake"], after["keepsake"]);
    assert_eq!(after["purchase"].len(), 1);
    assert_eq!(home.answer(&["book", "check"]), "The book is sound.\n");
    let names: Vec<_> = home.files().into_keys().collect();
    let expected = ["book.layout-0.sqlite", "book.sqlite", "book.toml"];
    assert_eq!(names, expected.map(|name| home.path().join(name)));
}

#[test]
fn a_copy_left_by_a_step_that_was_interrupted_is_no_obstacle() {
    let home = Household::new();
    of_layout_0(&home);
    fs::write(home.path().join("book.layout-0.sqlite"), "half a copy").unwrap();
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    let copy = rows(&home.path().join("book.layout-0.sqlite"));
    assert_eq!(copy["keepsake"].len(), 1);
}

/// Six commands at the same time, each of which must succeed.
fn six_at_once(home: &Household) {
    std::thread::scope(|scope| {
        for _ in 0..6 {
            scope.spawn(|| home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]));
        }
    });
    assert_eq!(home.rows()["purchase"].len(), 6);
    assert_eq!(home.answer(&["book", "check"]), "The book is sound.\n");
}

#[test]
fn the_first_commands_of_a_new_record_and_of_an_old_one_may_come_at_once() {
    for _ in 0..3 {
        let home = Household::new();
        fs::remove_file(home.record()).unwrap();
        six_at_once(&home);
        of_layout_0(&home);
        six_at_once(&home);
    }
}

#[test]
fn a_record_that_was_just_begun_when_the_power_failed_is_begun_again() {
    let home = Household::new();
    fs::write(home.record(), "").unwrap();
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    assert_eq!(home.files().len(), 2, "no copy of nothing");
}

/// An export of a small book in `out`, in which one file was changed; and a new book in `new`.
fn changed(table: &str, from: &str, to: &str) -> Household {
    let home = Household::new();
    for args in [
        &["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"][..],
        &["freeze", "squash", "--cubes", "10", "--on", "2026-10-01"],
        &["serve", "2 squash", "--on", "2026-10-02"],
        &["book", "export", "out"],
        &["start", "new", "--child", "Wren", "--born", "2026-03-02"],
    ] {
        home.answer(args);
    }
    let path = home.path().join("out").join(table);
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.contains(from), "{text}");
    fs::write(path, text.replacen(from, to, 1)).unwrap();
    home
}

#[test]
fn an_export_that_does_not_fit_is_refused_whole() {
    let changes = [
        ("entry.csv", "2026-10-01,batch", "1 October,batch"),
        ("entry.csv", "id,day", "id,date"),
        ("entry.csv", "3,2026-10-02,feeding,,,\n", ""),
        ("entry.csv", "feeding", "discard"),
        ("entry.csv", "feeding", "picnic"),
        ("batch.csv", "2026-10-31", "2026-10-32"),
        ("batch.csv", "28.307", "two"),
        ("batch.csv", ",10,", ",1,"),
        ("batch.csv", ",10,", ",ten,"),
        ("feeding_part.csv", "3,2,2,0\n", ""),
        ("feeding_part.csv", "3,2,2,0", "3,2,2,0\n3,2,2,0"),
        ("feeding_part.csv", "3,2,2,0", "3,2,2,0,2"),
        ("purchase.csv", ",4,", ",-4,"),
        ("purchase.csv", "1000", "1e999"),
        ("batch_food.csv", "steam", "smoke"),
    ];
    let mut told = Vec::new();
    for (table, from, to) in changes {
        let home = changed(table, from, to);
        let empty = rows(&home.path().join("new/book.sqlite"));
        let said = home.said(&["book", "import", "out", "--book", "new"]);
        assert_eq!(
            (said.code, said.out.as_str()),
            (2, ""),
            "{table}: {from:?} -> {to:?}"
        );
        assert_eq!(empty, rows(&home.path().join("new/book.sqlite")));
        told.push(format!("{table}: {from:?} -> {to:?}\n{}", said.err));
    }
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn an_export_as_it_is_is_carried_over_to_the_last_digit() {
    let home = changed("entry.csv", "id", "id");
    home.answer(&["book", "import", "out", "--book", "new"]);
    home.answer(&["book", "export", "again", "--book", "new"]);
    let bytes = |name| {
        files(&home.path().join(name))
            .into_values()
            .collect::<Vec<_>>()
    };
    assert_eq!(bytes("out"), bytes("again"));
    assert_eq!(home.rows(), rows(&home.path().join("new/book.sqlite")));
}

#[test]
fn a_copy_is_a_book_of_its_own() {
    let home = changed("entry.csv", "id", "id");
    home.answer(&["book", "backup", "copy.sqlite"]);
    assert_eq!(home.rows(), rows(&home.path().join("copy.sqlite")));
    fs::rename(
        home.path().join("copy.sqlite"),
        home.path().join("new/book.sqlite"),
    )
    .unwrap();
    let show = ["freezer", "--on", "2026-10-02"];
    let copy = home.answer(&[&show[..], &["--book", "new"]].concat());
    assert_eq!(home.answer(&show), copy);
}

/// A record as the first version of the program wrote it.
const LAYOUT_1: &str = include_str!("../data/book-layout-1.sql");
/// A record as the first version with plans and milk wrote it.
const LAYOUT_2: &str = include_str!("../data/book-layout-2.sql");

/// A record as the first version that knew methods and clearances wrote it.
const LAYOUT_3: &str = include_str!("../data/book-layout-3.sql");

/// A record as the first version that could correct an entry wrote it.
const LAYOUT_4: &str = include_str!("../data/book-layout-4.sql");

/// A record as the first version that knew textures, half cubes and doubts wrote it.
const LAYOUT_5: &str = include_str!("../data/book-layout-5.sql");
/// Another of that layout, with a batch whose cubes were counted again.
const LAYOUT_5_BATCH: &str = include_str!("../data/book-layout-5-batch.sql");

/// A record as the last version that kept no words for a food wrote it.
const LAYOUT_8: &str = include_str!("../data/book-layout-8.sql");

/// Puts an older record in the place of the new one.
fn of_layout(home: &Household, sql: &str) {
    fs::remove_file(home.record()).unwrap();
    let old = Connection::open(home.record()).unwrap();
    old.execute_batch(sql).unwrap();
}

/// Opens an older record: every row is still there, and a copy of it as it was.
fn keeps_every_row(home: &Household, layout: &str, sql: &str) {
    of_layout(home, sql);
    let before = rows(&home.record());
    assert_eq!(home.answer(&["book", "check"]), "The book is sound.\n");
    let after = home.rows();
    for (table, old) in &before {
        let new = &after[table];
        assert_eq!(old.len(), new.len(), "{table}");
        for (old, new) in old.iter().zip(new) {
            assert_eq!(old[..], new[..old.len()], "{table}");
        }
    }
    let copy = format!("book.layout-{layout}.sqlite");
    assert_eq!(before, rows(&home.path().join(copy)));
}

#[test]
fn a_record_of_the_first_layout_keeps_every_row() {
    let home = Household::new();
    keeps_every_row(&home, "1", LAYOUT_1);
    insta::assert_snapshot!(home.told(&[
        &["freezer", "--on", "2026-10-06"],
        &[
            "serve",
            "1 lentil, 20 g 09003",
            "--anyway",
            "--on",
            "2026-10-06"
        ],
        &["undo"],
        &["undo"],
    ]));
}

#[test]
fn a_record_of_the_second_layout_keeps_every_row_and_knows_no_method() {
    let home = Household::new();
    keeps_every_row(&home, "2", LAYOUT_2);
    let unknown = "SELECT count(*) || '' FROM batch_food WHERE method IS NULL";
    assert_eq!(home.texts(unknown), ["2"]);
    insta::assert_snapshot!(home.told(&[
        &["tastes", "--cleared", "16144", "--on", "2026-10-06"],
        &["tastes", "--on", "2026-10-06"],
        &["undo"],
    ]));
}

#[test]
fn a_record_of_the_third_layout_keeps_every_row_and_can_be_corrected() {
    let home = Household::new();
    keeps_every_row(&home, "3", LAYOUT_3);
    insta::assert_snapshot!(home.told(&[
        &["log"],
        &["change", "4", "--eaten", "50%"],
        &["money"],
        &["undo"],
    ]));
}

#[test]
fn a_record_of_the_fourth_layout_keeps_every_row_and_its_corrections() {
    let home = Household::new();
    keeps_every_row(&home, "4", LAYOUT_4);
    // The version before a correction was kept when no cube could be halved yet.
    insta::assert_snapshot!(home.told(&[
        &["log", "--all"],
        &["undo", "3"],
        &["serve", "1/2 squash", "--on", "2026-10-07", "--anyway"],
        &[
            "plan",
            "export",
            "-",
            "--from",
            "2026-10-09",
            "--to",
            "2026-10-09"
        ],
        &["freezer", "--on", "2026-10-07"],
    ]));
}

#[test]
fn a_record_of_the_fifth_layout_keeps_every_row() {
    let home = Household::new();
    keeps_every_row(&home, "5", LAYOUT_5);
    insta::assert_snapshot!(home.told(&[&["log"], &["redo"], &["freezer", "--on", "2026-10-07"],]));
}

#[test]
fn a_record_of_the_fifth_layout_keeps_every_row_and_spreads_what_was_frozen() {
    let home = Household::new();
    keeps_every_row(&home, "5", LAYOUT_5_BATCH);
    // What a full cube weighs is not on record, so that all that was frozen is in the cubes.
    let frozen = || home.texts("SELECT round(cubes * cube_g, 6) || '' FROM batch");
    let before = frozen();
    home.answer_with_warnings(&["change", "3", "--cubes", "12"]);
    assert_eq!(frozen(), before);
    home.answer_with_warnings(&["undo"]);
    home.answer_with_warnings(&["undo", "3"]);
    assert_eq!(home.texts("SELECT cubes || '' FROM batch"), ["18"]);
}

#[test]
fn a_record_of_the_eighth_layout_keeps_every_row_and_has_no_words_for_its_foods() {
    let home = Household::new();
    keeps_every_row(&home, "8", LAYOUT_8);
    for table in ["batch_food", "feeding_food", "planned_part"] {
        assert_eq!(home.texts(&format!("SELECT typed FROM {table}")), [""]);
    }
    // Nuts without a word for them may be in pieces.
    let mix = home.answer(&["mix", "1 nuts", "--on", "2026-10-02"]);
    assert!(mix.contains("Nuts and seeds in a purée"), "{mix}");
}

/// The number of an entry that was taken back is never given again, though the table of entries was made again.
#[test]
fn the_numbers_of_entries_go_on_where_they_were() {
    let home = Household::new();
    of_layout(&home, LAYOUT_1);
    home.answer(&["serve", "1 lentil", "--anyway", "--on", "2026-10-06"]);
    assert_eq!(home.texts("SELECT max(id) || '' FROM entry"), ["6"]);
}

/// Takes the later tables out of the export in `out`, and the later columns: what stays is that of an older layout.
fn made_older(home: &Household, later: &[&str], columns: &[(&str, usize)]) {
    let out = home.path().join("out");
    for table in later {
        fs::remove_file(out.join(format!("{table}.csv"))).unwrap();
    }
    for (table, columns) in columns {
        let path = out.join(format!("{table}.csv"));
        let mut old = csv::Writer::from_writer(Vec::new());
        let mut new = csv::ReaderBuilder::new();
        let mut new = new.has_headers(false).from_path(&path).unwrap();
        for row in new.records() {
            old.write_record(row.unwrap().iter().take(*columns))
                .unwrap();
        }
        fs::write(path, old.into_inner().unwrap()).unwrap();
    }
}

#[test]
fn an_export_of_an_older_layout_can_be_imported() {
    let second = [("batch_food", 7)];
    let first = [("batch", 10), ("batch_food", 5), ("feeding", 4)];
    let of_second = ["milk", "milk_part", "food", "food_nutrient", "feeding_food"];
    let of_second = [&of_second[..], &["planned", "planned_part", "question"]].concat();
    an_older_export_is_read(&["clearance"], &second);
    an_older_export_is_read(&[&["clearance"], &of_second[..]].concat(), &first);
}

fn an_older_export_is_read(later: &[&str], columns: &[(&str, usize)]) {
    let home = changed("entry.csv", "id", "id");
    made_older(&home, later, columns);
    home.answer(&["book", "import", "out", "--book", "new"]);
    let freezer = ["freezer", "--on", "2026-10-03"];
    let new = home.answer(&[&freezer[..], &["--book", "new"]].concat());
    assert_eq!(home.answer(&freezer), new);
}

#[test]
fn an_export_has_the_allergies_the_recipes_and_the_own_foods_too() {
    let home = Household::new();
    home.answer_with_warnings(&["child", "set", "Wren", "--allergies", "egg"]);
    home.answer_with_warnings(&["child", "add", "Jonas", "--born", "2026-03-04"]);
    home.write(
        "own-foods.csv",
        "id,name,per,energy\nown-bar,Oat bar,100 g,400 kcal\n",
    );
    home.answer_with_warnings(&["freeze", "squash", "--on", "2026-11-05"]);
    home.answer(&["book", "export", "out"]);
    home.answer(&["start", "new", "--child", "Wren", "--born", "2026-03-02"]);
    let before = fs::read(home.path().join("new/book.toml")).unwrap();
    home.answer_with_warnings(&["book", "import", "out", "--book", "new"]);
    let new = |file: &str| fs::read(home.path().join("new").join(file)).unwrap();
    for file in ["book.toml", "own-foods.csv", "recipes/squash.toml"] {
        assert_eq!(
            new(file),
            fs::read(home.path().join(file)).unwrap(),
            "{file}"
        );
    }
    assert_eq!(new("book.toml.before-import"), before);
    // A recipe that the book no longer has stays in the folder, which is said.
    fs::remove_file(home.path().join("recipes/squash.toml")).unwrap();
    let told = home.answer(&["book", "export", "out"]);
    assert!(told.contains("not in the book"), "{told}");
    assert!(told.contains("out/recipes/squash.toml"), "{told}");
    let egg = home.said(&["mix", "1 boiled egg", "--child", "Wren", "--book", "new"]);
    assert_eq!(egg.code, 1, "{}", egg.out);
    // Another recipe of the same name is not written over, and then nothing is read in.
    home.answer(&["start", "other", "--child", "Wren", "--born", "2026-03-02"]);
    home.write("other/recipes/squash.toml", "name = \"mine\"\n");
    let refused = home.said(&["book", "import", "out", "--book", "other"]);
    assert_eq!(refused.code, 2, "{}", refused.out);
    assert!(
        refused.err.contains("recipes/squash.toml"),
        "{}",
        refused.err
    );
    assert!(rows(&home.path().join("other/book.sqlite"))["entry"].is_empty());
}
