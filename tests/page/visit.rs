//! Questions for the doctor, and what the doctor said.

use super::running::{Running, household};
use super::support::trayful;

#[test]
fn an_open_question_is_answered_on_the_page() {
    let folder = household();
    let page = Running::inside(folder.path());
    let room = page.get("/visit").body;
    let (_, link) = room
        .split_once("href=\"/visit/questions/")
        .expect("a question is open");
    let path = format!("/visit/questions/{}", link.split('"').next().unwrap());
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

#[test]
fn the_page_of_a_visit_begins_after_the_last_one() {
    let folder = household();
    let page = Running::inside(folder.path());
    let room = page.get("/visit").body;
    assert!(
        room.contains("6 weeks") && !room.contains("Since the visit of"),
        "{room}"
    );
    let two = "/visit?child=Wren&amp;from=2026-11-14&amp;to=2026-11-27";
    let two = room.replace("&#38;", "&amp;").contains(two);
    assert!(two, "two weeks with today: {room}");
    let last = trayful(&["visit", "--done", "--to", "2026-11-10"]);
    let _ = last.inside(folder.path()).answer();
    let room = page.get("/visit").body;
    assert!(
        room.contains("Since the visit of 10 Nov 2026") && room.contains("value=\"2026-11-11\""),
        "{room}"
    );
    for told in [
        "took place: the next page begins after it",
        "is on record already",
    ] {
        let sent = page.post("/visit/done", &[("child", "Wren")]);
        let room = page.get(sent.header("location")).body;
        assert!(room.contains(told), "{told}: {room}");
    }
    let log = trayful(&["log", "--kind", "visit"])
        .inside(folder.path())
        .answer();
    assert_eq!(log.matches("visit at the doctor").count(), 2, "{log}");
    assert_eq!(page.post("/visit/done", &[("child", "Nobody")]).status, 404);
}
