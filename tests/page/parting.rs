//! The page stops: no connection is accepted any more, and running requests are finished.

use std::io::{Read as _, Write as _};
use std::net::{SocketAddr, TcpStream};
use std::thread::sleep;
use std::time::{Duration, Instant};

use super::client::{Answer, encoded, parsed};
use super::network::Open;
use super::running::household;

fn connected(to: SocketAddr) -> TcpStream {
    let stream = TcpStream::connect(to).unwrap();
    let patience = Some(Duration::from_secs(30));
    stream.set_read_timeout(patience).unwrap();
    stream
}

/// Reads one answer of a connection that stays open.
fn answered(stream: &mut TcpStream) -> Answer {
    let mut bytes = Vec::new();
    loop {
        let mut some = [0; 4096];
        let count = stream.read(&mut some).unwrap();
        assert!(count > 0, "it was closed after {} bytes", bytes.len());
        bytes.extend_from_slice(&some[..count]);
        if let Some(answer) = parsed(&bytes)
            && answer.header("content-length") == answer.body.len().to_string()
        {
            return answer;
        }
    }
}

/// Waits until something holds.
fn soon(holds: impl Fn() -> bool) -> bool {
    let began = Instant::now();
    while began.elapsed() < Duration::from_secs(10) {
        if holds() {
            return true;
        }
        sleep(Duration::from_millis(10));
    }
    false
}

#[test]
fn when_it_stops_both_listeners_close_and_running_requests_are_finished() {
    let folder = household();
    let mut page = Open::inside(folder.path());
    let loopback: SocketAddr = page.loopback.parse().unwrap();
    let get = |host: &SocketAddr, more: &str| {
        format!("GET /freezer HTTP/1.1\r\nHost: {host}\r\n{more}\r\n")
    };
    // At each listener a connection that was served once and is kept open.
    let mut idle = connected(loopback);
    idle.write_all(get(&loopback, "").as_bytes()).unwrap();
    let token = answered(&mut idle).hidden("token");
    let cookie = page.paired();
    let mut device = connected(page.at);
    device.write_all(get(&page.at, &cookie).as_bytes()).unwrap();
    assert_eq!(answered(&mut device).status, 200);
    // And a connection of which half a form has arrived.
    let form = encoded(&[
        ("token", &token),
        ("cubes", "1"),
        ("how", "taken"),
        ("on", "2026-11-16"),
    ]);
    let head = format!(
        "POST /freezer/48/serve HTTP/1.1\r\nHost: {loopback}\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n",
        form.len()
    );
    let mut under_way = connected(loopback);
    under_way.write_all(head.as_bytes()).unwrap();
    under_way.write_all(&form.as_bytes()[..20]).unwrap();
    sleep(Duration::from_millis(200));

    page.stop();
    for (which, stream) in [("this computer", &mut idle), ("the network", &mut device)] {
        let mut rest = Vec::new();
        stream.read_to_end(&mut rest).unwrap();
        assert_eq!(rest, b"", "{which}: the connection is ended");
    }
    for address in [loopback, page.at] {
        assert!(
            soon(|| TcpStream::connect(address).is_err()),
            "{address} is still open"
        );
    }
    assert!(!page.is_over(), "a form is still on its way");
    under_way.write_all(&form.as_bytes()[20..]).unwrap();
    let mut rest = Vec::new();
    under_way.read_to_end(&mut rest).unwrap();
    let answer = parsed(&rest).unwrap();
    assert_eq!(answer.status, 303, "{}", answer.body);
    assert_eq!(answer.header("connection"), "close");
    assert!(soon(|| page.is_over()), "it does not come to its end");
    let record = rusqlite::Connection::open(folder.path().join("book.sqlite")).unwrap();
    let meals: u32 = record
        .query_row(
            "SELECT count(*) FROM entry WHERE day = '2026-11-16' AND kind = 'feeding'",
            [],
            |row| row.get(0),
        )
        .unwrap();
    assert_eq!(meals, 1, "the meal is on record");
}
