//! Several at the book at once.

use std::thread;

use super::client::{encoded, raw};
use super::running::{Running, household};
use super::support::trayful;

/// A recipe's batch with room for many meals.
const MEALS: usize = 6;

#[test]
fn the_page_and_the_command_line_write_at_the_same_time_and_nothing_is_lost() {
    let folder = household();
    let page = Running::inside(folder.path());
    let token = page.token();
    thread::scope(|scope| {
        for batch in ["48", "63"] {
            let (page, token) = (&page, &token);
            scope.spawn(move || {
                let form = encoded(&[
                    ("token", token),
                    ("cubes", "1"),
                    ("how", "taken"),
                    ("on", "2026-11-16"),
                ]);
                for _ in 0..MEALS {
                    let sent = page.send(&format!("/freezer/{batch}/serve"), &form, &[]);
                    assert_eq!(sent.status, 303, "{}", sent.body);
                }
            });
        }
        scope.spawn(|| {
            for _ in 0..MEALS {
                let _ = trayful(&["serve", "1 #48", "--on", "2026-11-16"])
                    .inside(folder.path())
                    .answer();
            }
        });
    });
    let left = 28 - 3 * MEALS;
    let freezer = page.get("/freezer").body;
    assert!(freezer.contains(&format!("{left} cubes")), "{freezer}");
    assert_eq!(
        trayful(&["book", "check"]).inside(folder.path()).answer(),
        "The book is sound.\n"
    );
}

#[test]
fn what_was_confirmed_outlives_a_kill() {
    let folder = household();
    let page = Running::inside(folder.path());
    let token = page.token();
    let form = encoded(&[
        ("token", &token),
        ("cubes", "1"),
        ("how", "taken"),
        ("on", "2026-11-16"),
    ]);
    let length = form.len();
    let request = format!(
        "POST /freezer/48/serve HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\n\
         Content-Length: {length}\r\n\r\n{form}",
        page.host()
    );
    let confirmed = thread::scope(|scope| {
        let writing: Vec<_> = (0..4)
            .map(|_| {
                scope.spawn(|| {
                    let sent = (0..3)
                        .map(|_| std::panic::catch_unwind(|| raw(page.at, request.as_bytes())));
                    sent.filter(|sent| matches!(sent, Ok(Some(answer)) if answer.status == 303))
                        .count()
                })
            })
            .collect();
        thread::sleep(std::time::Duration::from_millis(60));
        page.signal("-KILL");
        writing
            .into_iter()
            .map(|one| one.join().unwrap())
            .sum::<usize>()
    });
    let record = rusqlite::Connection::open(folder.path().join("book.sqlite")).unwrap();
    let recorded: u32 = record
        .query_row(
            "SELECT count(*) FROM entry WHERE day = '2026-11-16' AND kind = 'feeding'",
            [],
            |row| row.get(0),
        )
        .unwrap();
    assert!(
        usize::try_from(recorded).unwrap() >= confirmed,
        "{recorded} of {confirmed}"
    );
    assert_eq!(
        trayful(&["book", "check"]).inside(folder.path()).answer(),
        "The book is sound.\n"
    );
}
