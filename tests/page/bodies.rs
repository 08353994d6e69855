//! Forms that arrive slowly, in part, in pieces, or with two lengths; and many idle connections.

use std::io::{Read as _, Write as _};
use std::net::{Shutdown, SocketAddr, TcpStream};
use std::thread::sleep;
use std::time::{Duration, Instant};

use trayful::web::Clients;

use super::client::{Answer, encoded, parsed, raw};
use super::network::Open;
use super::running::{Running, household};

/// A page, and the form that records a meal on it.
struct Kitchen {
    folder: tempfile::TempDir,
    page: Running,
    form: String,
}

impl Kitchen {
    fn new() -> Self {
        let folder = household();
        let page = Running::inside(folder.path());
        let form = encoded(&[
            ("token", &page.token()),
            ("cubes", "1"),
            ("how", "taken"),
            ("on", "2026-11-16"),
        ]);
        Self { folder, page, form }
    }

    /// The head of a form for a meal, with these lines about its length.
    fn head(&self, lengths: &str) -> String {
        format!(
            "POST /freezer/48/serve HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\
             Content-Type: application/x-www-form-urlencoded\r\n{lengths}\r\n",
            self.page.at
        )
    }

    fn sent(&self, lengths: &str, body: &str) -> Option<Answer> {
        raw(self.page.at, (self.head(lengths) + body).as_bytes())
    }

    /// The meals of the day on record.
    fn meals(&self) -> u32 {
        let record = rusqlite::Connection::open(self.folder.path().join("book.sqlite")).unwrap();
        let count = "SELECT count(*) FROM entry WHERE day = '2026-11-16' AND kind = 'feeding'";
        record.query_row(count, [], |row| row.get(0)).unwrap()
    }
}

#[test]
fn a_form_that_dribbles_in_is_given_up_and_others_are_served_meanwhile() {
    let kitchen = Kitchen::new();
    let mut slow = TcpStream::connect(kitchen.page.at).unwrap();
    slow.set_read_timeout(Some(Duration::from_millis(250)))
        .unwrap();
    slow.write_all(kitchen.head("Content-Length: 60000\r\n").as_bytes())
        .unwrap();
    let began = Instant::now();
    let mut answer = Vec::new();
    let mut others = 0;
    while began.elapsed() < Duration::from_secs(30) && parsed(&answer).is_none() {
        let _ = slow.write_all(b"a");
        let mut some = [0; 4096];
        if let Ok(count) = slow.read(&mut some) {
            answer.extend_from_slice(&some[..count]);
        }
        others += u32::from(kitchen.page.get("/freezer").status == 200);
    }
    let answer = parsed(&answer).unwrap();
    assert_eq!(answer.status, 408);
    assert!(
        began.elapsed() >= Duration::from_secs(9),
        "{:?}",
        began.elapsed()
    );
    assert!(others > 10, "{others} others were served");
    assert_eq!(kitchen.meals(), 0);
}

#[test]
fn a_form_that_breaks_off_is_not_recorded() {
    let kitchen = Kitchen::new();
    // All fields have arrived, but the stated length is larger.
    let length = format!("Content-Length: {}\r\n", kitchen.form.len() + 10);
    let mut half = TcpStream::connect(kitchen.page.at).unwrap();
    half.set_read_timeout(Some(Duration::from_secs(30)))
        .unwrap();
    half.write_all((kitchen.head(&length) + &kitchen.form).as_bytes())
        .unwrap();
    half.shutdown(Shutdown::Write).unwrap();
    let mut answer = Vec::new();
    let _ = half.read_to_end(&mut answer);
    if let Some(answer) = parsed(&answer) {
        assert_eq!(answer.status, 400, "{}", answer.body);
    }
    assert_eq!(kitchen.meals(), 0);
    // What follows the stated length is not part of the form.
    let length = format!("Content-Length: {}\r\n", kitchen.form.len());
    let more = kitchen.form.clone() + "0&cubes=9";
    assert_eq!(kitchen.sent(&length, &more).unwrap().status, 303);
    assert_eq!(kitchen.meals(), 1);
}

#[test]
fn a_form_in_pieces_is_as_good_and_as_short() {
    let kitchen = Kitchen::new();
    let chunk = |text: &str| format!("{:x}\r\n{text}\r\n", text.len());
    let chunked = "Transfer-Encoding: chunked\r\n";
    let (first, rest) = kitchen.form.split_at(20);
    let whole = chunk(first) + &chunk(rest) + "0\r\n\r\n";
    assert_eq!(kitchen.sent(chunked, &whole).unwrap().status, 303);
    assert_eq!(kitchen.meals(), 1);
    let long = chunk(&(kitchen.form.clone() + "&why=")) + &chunk(&"x".repeat(10_000)).repeat(8);
    let answer = kitchen.sent(chunked, &(long + "0\r\n\r\n")).unwrap();
    assert_eq!(answer.status, 413);
    let endless = chunk(&"x".repeat(10_000)).repeat(20);
    assert_eq!(kitchen.sent(chunked, &endless).unwrap().status, 413);
    for torn in ["zz\r\n", "-1\r\n", "ffffffffffffffffff\r\n", "5\r\nab"] {
        let sent = kitchen.sent(chunked, &(chunk(&kitchen.form) + torn + &kitchen.form));
        assert!(
            sent.as_ref().is_none_or(|answer| answer.status == 400),
            "{torn}: {sent:?}"
        );
    }
    assert_eq!(kitchen.meals(), 1);
}

#[test]
fn a_form_with_two_lengths_is_refused_or_read_by_the_one_that_counts() {
    let kitchen = Kitchen::new();
    let length = kitchen.form.len();
    for lengths in [
        format!(
            "Content-Length: {length}\r\nContent-Length: {}\r\n",
            length - 3
        ),
        format!("Content-Length: {length}, {}\r\n", length - 3),
        format!("Content-Length: +{length}\r\n"),
        format!("Content-Length: -{length}\r\n"),
        "Transfer-Encoding: chunked, identity\r\n".to_string(),
        "Transfer-Encoding: xchunked\r\n".to_string(),
    ] {
        let answer = kitchen.sent(&lengths, &kitchen.form).unwrap();
        assert_eq!(answer.status, 400, "{lengths}");
    }
    assert_eq!(kitchen.meals(), 0);
    // RFC 9112, 6.1: chunks count, or the request is refused; in both cases the connection ends, so
    // that what another reader takes for the next request is none.
    let next = format!("GET /freezer HTTP/1.1\r\nHost: {}\r\n\r\n", kitchen.page.at);
    let body = format!("{length:x}\r\n{}\r\n0\r\n\r\n{next}", kitchen.form);
    let lines = [
        format!("Content-Length: {}\r\n", body.len()),
        "Transfer-Encoding: chunked\r\n".to_string(),
    ];
    for lengths in [lines.concat(), lines.iter().rev().cloned().collect()] {
        let head = kitchen.head(&lengths).replace("Connection: close\r\n", "");
        let before = kitchen.meals();
        let answer = raw(kitchen.page.at, (head + &body).as_bytes()).unwrap();
        let recorded = kitchen.meals() - before;
        assert!(
            matches!((answer.status, recorded), (400, 0) | (303, 1)),
            "{}: {recorded}",
            answer.status
        );
        assert!(!answer.body.contains("HTTP/1.1"), "{}", answer.body);
    }
}

/// Limits under which no idle connection is ever closed because of time.
fn endless() -> Clients {
    let forever = Duration::from_secs(100_000);
    Clients {
        head: forever,
        connection: forever,
        ..Clients::default()
    }
}

#[test]
fn two_hundred_who_hold_the_line_keep_nobody_out() {
    let folder = household();
    let page = Open::with(folder.path(), endless());
    let loopback: SocketAddr = page.loopback.parse().unwrap();
    let ask = || {
        let head =
            format!("GET /freezer HTTP/1.1\r\nHost: {loopback}\r\nConnection: close\r\n\r\n");
        raw(loopback, head.as_bytes()).unwrap()
    };
    // Some connections send nothing, others begin a request, and others were answered before.
    let half = format!("GET /pair HTTP/1.1\r\nHost: {loopback}\r\n");
    let mut idle = Vec::new();
    for (words, answered) in [("", false), (&half, false), (&format!("{half}\r\n"), true)] {
        for _ in 0..200 {
            let mut line = TcpStream::connect(loopback).unwrap();
            line.write_all(words.as_bytes()).unwrap();
            if answered {
                let mut start = [0; 12];
                line.read_exact(&mut start).unwrap();
                assert_eq!(&start, b"HTTP/1.1 200");
            }
            idle.push(line);
        }
        assert_eq!(ask().status, 200, "after {words:?}");
        assert_eq!(ask().status, 200, "and again");
    }
}

#[test]
fn who_is_being_answered_does_not_give_way() {
    let folder = household();
    let page = Open::with(folder.path(), endless());
    let loopback: SocketAddr = page.loopback.parse().unwrap();
    let head = format!(
        "POST /pair HTTP/1.1\r\nHost: {loopback}\r\nConnection: close\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 13\r\n\r\ncode="
    );
    let mut sending = TcpStream::connect(loopback).unwrap();
    sending.write_all(head.as_bytes()).unwrap();
    let asked = format!("GET /freezer HTTP/1.1\r\nHost: {loopback}\r\nConnection: close\r\n\r\n");
    let ask = || raw(loopback, asked.as_bytes()).unwrap().status;
    assert_eq!(ask(), 200);
    let idle: Vec<_> = (0..200)
        .map(|_| TcpStream::connect(loopback).unwrap())
        .collect();
    assert_eq!(ask(), 200);
    sending.write_all(b"AAAAAAAA").unwrap();
    let mut answer = String::new();
    sending.read_to_string(&mut answer).unwrap();
    assert!(answer.contains("That is not the code"), "{answer}");
    drop(idle);
}

#[test]
fn many_who_only_hold_the_line_do_not_keep_others_out_for_long() {
    let kitchen = Kitchen::new();
    let idle: Vec<_> = (0..200)
        .map(|_| TcpStream::connect(kitchen.page.at).unwrap())
        .collect();
    sleep(Duration::from_millis(200));
    let began = Instant::now();
    assert_eq!(kitchen.page.get("/freezer").status, 200);
    assert_eq!(
        kitchen
            .page
            .send("/freezer/48/serve", &kitchen.form, &[])
            .status,
        303
    );
    assert!(
        began.elapsed() < Duration::from_secs(25),
        "it took {:?}",
        began.elapsed()
    );
    assert_eq!(kitchen.meals(), 1);
    drop(idle);
}
