//! Questions for the doctor, and what the doctor said.

use super::running::{Running, household};
use super::support::trayful;

#[test]
fn an_open_question_is_answered_on_the_page() {
    let folder = household();
    let page = Running::inside(folder.path());
    let room = page.get("/visit").body;
    let (_, door) = room
        .split_once("href=\"/visit/questions/")
        .expect("a question is open");
    let path = format!("/visit/questions/{}", door.split('"').next().unwrap());
    let open = room.matches("/visit/questions/").count();
    let form = page.get(&path);
    let once = form.hidden("once");
    let empty = page.post(&path, &[("words", ""), ("on", "2026-11-20")]);
    assert!(empty.status == 422 && empty.body.contains("id=\"words-fault\""));
    let early = page.post(&path, &[("words", "yes"), ("on", "2027-11-20")]);
    assert_eq!(early.status, 422);
    let fields = [
        ("once", once.as_str()),
        ("words", "one is enough"),
        ("on", "2026-11-20"),
    ];
    for _ in 0..2 {
        let sent = page.post(&path, &fields);
        assert_eq!(sent.status, 303, "{}", sent.body);
        let told = page.get(sent.header("location")).body;
        assert!(
            told.contains("Answer: one is enough.") && told.contains("one is enough (20 Nov 2026)"),
            "{told}"
        );
        assert_eq!(told.matches("/visit/questions/").count(), open - 1);
    }
    let log = trayful(&["log", "--kind", "answer"])
        .inside(folder.path())
        .answer();
    assert_eq!(log.matches("one is enough").count(), 1, "{log}");
    assert_eq!(
        page.get("/visit/questions/48").status,
        404,
        "a batch is no question"
    );
}
