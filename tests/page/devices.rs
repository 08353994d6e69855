//! Devices of the home network that stay let in, and those that are dropped; as an attacker would
//! try them too.

use std::path::Path;

use jiff::civil::date;

use super::client::{Answer, encoded, raw};
use super::network::Open;
use super::running::household;
use super::support::trayful;

fn get(page: &Open, path: &str, cookie: &str) -> Answer {
    let request = format!(
        "GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n{cookie}\r\n",
        page.at
    );
    raw(page.at, request.as_bytes()).unwrap()
}

fn post(page: &Open, path: &str, (form, head): (&str, &str)) -> Answer {
    let request = format!(
        "POST {path} HTTP/1.1\r\nHost: {at}\r\nConnection: close\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n{head}\r\n{form}",
        form.len(),
        at = page.at,
    );
    raw(page.at, request.as_bytes()).unwrap()
}

/// A form of the page itself, from a device.
fn sent(page: &Open, path: &str, fields: &[(&str, &str)], cookie: &str) -> Answer {
    let token = get(page, "/household", cookie).hidden("token");
    let with_token = [&[("token", token.as_str())], fields].concat();
    let head = format!("Origin: http://{}\r\n{cookie}", page.at);
    post(page, path, (&encoded(&with_token), &head))
}

fn is_let_in(page: &Open, cookie: &str) -> bool {
    let answer = get(page, "/freezer", cookie);
    if answer.status == 200 {
        return true;
    }
    assert_eq!(answer.header("location"), "/pair", "{}", answer.status);
    false
}

fn devices(folder: &Path, today: &str) -> String {
    trayful(&["device", "--today", today])
        .inside(folder)
        .answer()
}

/// The secret of a cookie line.
fn secret(cookie: &str) -> &str {
    cookie.trim().rsplit_once('=').unwrap().1
}

#[test]
fn a_device_stays_let_in_for_its_days_and_no_longer() {
    let folder = household();
    let page = Open::inside(folder.path());
    let cookie = page.paired();
    assert!(is_let_in(&page, &cookie));
    drop(page);
    for (day, stays) in [
        (date(2026, 11, 17), true),
        (date(2026, 12, 16), true),
        (date(2026, 12, 17), false),
    ] {
        let page = Open::on(day, folder.path());
        assert_eq!(is_let_in(&page, &cookie), stays, "{day}");
    }
    let listed = devices(folder.path(), "2026-12-16");
    assert!(listed.contains("until 16 Dec 2026"), "{listed}");
    let listed = devices(folder.path(), "2026-12-17");
    assert!(listed.contains("No device"), "{listed}");
}

#[test]
fn a_device_that_is_dropped_is_refused_at_its_next_request() {
    let folder = household();
    let page = Open::inside(folder.path());
    let (phone, tablet) = (page.paired(), page.paired());
    let list = get(&page, "/household/devices", &phone).body;
    assert_eq!(list.matches(">Drop<").count(), 2, "{list}");
    // By command, while the page runs.
    let said = trayful(&["device", "drop", "1", "--today", "2026-11-16"])
        .inside(folder.path())
        .answer();
    assert!(said.starts_with("Dropped: "), "{said}");
    assert!(!is_let_in(&page, &phone), "the next request is refused");
    assert!(is_let_in(&page, &tablet), "the other stays");
    let again = trayful(&["device", "drop", "1", "--today", "2026-11-16"])
        .inside(folder.path())
        .said();
    assert!(
        again.code == 2 && again.err.contains("no device 1 is let in"),
        "{}",
        again.err
    );
    // By the page; a device may drop itself.
    let dropped = sent(&page, "/household/devices", &[("device", "2")], &tablet);
    assert_eq!(dropped.status, 303, "{}", dropped.body);
    assert!(!is_let_in(&page, &tablet));
    drop(page);
    let later = Open::inside(folder.path());
    assert!(!is_let_in(&later, &phone) && !is_let_in(&later, &tablet));
}

#[test]
fn whoever_reads_the_record_does_not_come_in_by_it() {
    let folder = household();
    let page = Open::inside(folder.path());
    let cookie = page.paired();
    let secret = secret(&cookie);
    assert_eq!(secret.len(), 64);
    let digests: Vec<String> = {
        let record = rusqlite::Connection::open(folder.path().join("book.sqlite")).unwrap();
        let mut select = record.prepare("SELECT digest FROM pairing").unwrap();
        let rows = select.query_map([], |row| row.get(0)).unwrap();
        rows.map(Result::unwrap).collect()
    };
    assert_eq!(digests.len(), 1);
    for entry in std::fs::read_dir(folder.path()).unwrap() {
        let path = entry.unwrap().path();
        if path.is_file() {
            let bytes = std::fs::read(&path).unwrap();
            let found = bytes.windows(64).any(|part| part == secret.as_bytes());
            assert!(!found, "the secret stands in {}", path.display());
        }
    }
    let by_digest = format!("Cookie: trayful={}\r\n", digests[0]);
    assert!(!is_let_in(&page, &by_digest), "the digest is no secret");
    let out = folder.path().join("out");
    let _ = trayful(&["book", "export", out.to_str().unwrap()])
        .inside(folder.path())
        .answer();
    assert!(!out.join("pairing.csv").exists());
    let exported = std::fs::read_to_string(out.join("device.csv")).unwrap();
    assert!(!exported.contains(&digests[0]) && !exported.contains(secret));
}

#[test]
fn only_this_page_and_those_who_are_let_in_drop_a_device() {
    let folder = household();
    let page = Open::inside(folder.path());
    let cookie = page.paired();
    let token = get(&page, "/household", &cookie).hidden("token");
    let origin = format!("Origin: http://{}\r\n", page.at);
    let drop = "/household/devices";
    let form = encoded(&[("token", &token), ("device", "1")]);
    let stranger = post(&page, drop, (&form, &origin));
    assert_eq!(
        stranger.header("location"),
        "/pair",
        "a token alone does not let in"
    );
    let elsewhere = format!("Origin: http://evil.example\r\n{cookie}");
    assert_eq!(post(&page, drop, (&form, &elsewhere)).status, 403);
    let without_token = encoded(&[("device", "1")]);
    let own = format!("{origin}{cookie}");
    assert_eq!(post(&page, drop, (&without_token, &own)).status, 403);
    assert_eq!(
        get(&page, "/household/devices?device=1", &cookie).status,
        200
    );
    for device in ["", "x", "1 OR 1=1", "9999999999999999999"] {
        let form = encoded(&[("token", &token), ("device", device)]);
        assert_eq!(post(&page, drop, (&form, &own)).status, 404, "{device}");
    }
    assert!(
        is_let_in(&page, &cookie),
        "after all of that it is still let in"
    );
}

#[test]
fn cookies_that_are_none_let_nobody_in() {
    let folder = household();
    let page = Open::inside(folder.path());
    let cookie = page.paired();
    let secret = secret(&cookie);
    let flipped: String = secret.chars().rev().collect();
    for wrong in [
        String::new(),
        "0".repeat(64),
        flipped,
        secret[1..].to_string(),
        secret.to_uppercase(),
        format!("{secret}%00"),
        format!("' OR digest LIKE '%{}", "%".repeat(46)),
    ] {
        let line = format!("Cookie: trayful={wrong}\r\n");
        assert!(!is_let_in(&page, &line), "{wrong}");
    }
    let many = format!("Cookie: {}\r\n", "trayful=0; ".repeat(200));
    assert!(!is_let_in(&page, &many));
}

#[test]
fn a_name_is_only_shown_and_devices_are_counted() {
    let folder = household();
    let page = Open::inside(folder.path());
    let origin = format!("Origin: http://{}\r\n", page.at);
    let pair = |name: &str| {
        let form = encoded(&[("code", &page.code), ("name", name)]);
        post(&page, "/pair", (&form, &origin))
    };
    let first = pair("<script>alert(1)</script>");
    let cookie = first.header("set-cookie").split(';').next().unwrap();
    let cookie = format!("Cookie: {cookie}\r\n");
    for path in ["/household", "/household/devices"] {
        let body = get(&page, path, &cookie).body;
        assert!(
            body.contains("alert(1)") && !body.contains("<script>alert"),
            "{path}"
        );
    }
    for _ in 1..16 {
        assert_eq!(pair("").status, 303);
    }
    let full = pair("");
    assert!(
        full.status == 403 && full.body.contains("Drop one"),
        "{}",
        full.body
    );
    let dropped = sent(&page, "/household/devices", &[("device", "3")], &cookie);
    assert_eq!(dropped.status, 303);
    assert_eq!(pair("").status, 303, "there is room again");
}
