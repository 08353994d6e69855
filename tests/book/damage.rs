//! A record that is damaged, of somebody else, or of a later version is told and left as it is.

use std::fs;

use rusqlite::Connection;

use super::household::Household;

/// Every command that opens the record.
const COMMANDS: [&[&str]; 9] = [
    &["freezer"],
    &["serve", "1 squash"],
    &["discard", "1 squash"],
    &["buy", "1 kg 11485", "4.00"],
    &["tastes"],
    &["money"],
    &["cook-next"],
    &["undo"],
    &["book", "check"],
];

/// A book of some twenty entries.
fn used() -> Household {
    let home = Household::new();
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    for day in 1..=6 {
        let day = format!("2026-10-0{day}");
        assert_eq!(home.said(&["freeze", "lentil", "--on", &day]).code, 0);
        assert_eq!(home.said(&["freeze", "squash", "--on", &day]).code, 0);
        assert_eq!(home.said(&["serve", "1 squash", "--on", &day]).code, 0);
    }
    home
}

/// Every command is refused, and every file is as it was.
fn refused_and_kept(home: &Household) -> String {
    let before = home.files();
    let mut told = Vec::new();
    for args in COMMANDS {
        told.push(home.refusal(args));
        assert_eq!(before, home.files(), "{args:?}");
    }
    told.dedup();
    assert_eq!(told.len(), 1, "{told:?}");
    told.concat()
        .replace(&home.path().display().to_string(), "HOME")
}

#[test]
fn a_text_file_is_not_taken_for_a_book() {
    let home = Household::new();
    fs::write(home.record(), "bought: one squash\n".repeat(100)).unwrap();
    insta::assert_snapshot!(refused_and_kept(&home));
}

#[test]
fn the_database_of_another_program_is_not_taken_for_a_book() {
    for mode in ["delete", "wal"] {
        let home = Household::new();
        fs::remove_file(home.record()).unwrap();
        let other = Connection::open(home.record()).unwrap();
        other.pragma_update(None, "journal_mode", mode).unwrap();
        other
            .execute_batch("CREATE TABLE entry (id INTEGER PRIMARY KEY, day TEXT)")
            .unwrap();
        drop(other);
        insta::assert_snapshot!("another_program", refused_and_kept(&home));
    }
}

#[test]
fn a_later_layout_is_left_alone() {
    let home = used();
    let later = Connection::open(home.record()).unwrap();
    later.pragma_update(None, "user_version", 99).unwrap();
    drop(later);
    insta::assert_snapshot!(refused_and_kept(&home));
}

#[test]
fn a_later_layout_that_is_in_use_is_left_alone_too() {
    let home = used();
    let later = Connection::open(home.record()).unwrap();
    later.pragma_update(None, "user_version", 99).unwrap();
    // While the other program has it open, the mark may still stand in its log.
    let told = home.refusal(&["freezer"]);
    assert!(told.contains("layout 99"), "{told}");
}

#[test]
fn a_record_cut_short_is_told() {
    let home = used();
    let whole = fs::read(home.record()).unwrap();
    for length in [whole.len() - 4096, whole.len() / 2, 4096, 200] {
        fs::write(home.record(), &whole[..length]).unwrap();
        let told = refused_and_kept(&home);
        assert!(told.contains("damaged"), "{length}: {told}");
    }
    fs::write(home.record(), &whole[..50]).unwrap();
    assert!(refused_and_kept(&home).contains("not a book"));
    fs::write(home.record(), &whole).unwrap();
    assert_eq!(home.answer(&["book", "check"]), "The book is sound.\n");
}

#[test]
fn a_page_of_garbage_is_found() {
    let home = used();
    let whole = fs::read(home.record()).unwrap();
    let pages = whole.len() / 4096;
    assert!(pages > 15, "{pages}");
    for page in 0..pages {
        let mut damaged = whole.clone();
        for byte in &mut damaged[page * 4096..(page + 1) * 4096] {
            *byte ^= 0xa5;
        }
        fs::write(home.record(), &damaged).unwrap();
        for args in [
            &["freezer"][..],
            &["tastes"],
            &["money"],
            &["book", "check"],
        ] {
            let said = home.said(args);
            assert!(!said.err.contains("panicked"), "{}", said.err);
            if said.code == 2 {
                let known = ["damaged", "not a book"]
                    .iter()
                    .any(|word| said.err.contains(word));
                assert!(
                    known && said.out.is_empty(),
                    "page {page}, {args:?}: {}",
                    said.err
                );
            } else {
                let check = args.contains(&"check");
                assert_eq!(
                    said.code,
                    i32::from(check),
                    "page {page}, {args:?}: {}",
                    said.out
                );
            }
        }
        assert!(
            fs::read(home.record()).unwrap() == damaged,
            "page {page} was changed"
        );
    }
}

#[test]
fn a_folder_in_the_place_of_the_record_is_told() {
    let home = Household::new();
    fs::remove_file(home.record()).unwrap();
    fs::create_dir(home.record()).unwrap();
    insta::assert_snapshot!(refused_and_kept(&home));
}
