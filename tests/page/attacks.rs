//! What must not get in.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::time::{Duration, Instant};

use super::client::{Answer, encoded, raw};
use super::running::{Running, household};

/// Every row of every entry of the record.
fn entries(folder: &Path) -> i64 {
    let record = rusqlite::Connection::open(folder.join("book.sqlite")).unwrap();
    record
        .query_row("SELECT count(*) FROM entry", [], |row| row.get(0))
        .unwrap()
}

/// What must stand on every answer.
fn locked(answer: &Answer) {
    let policy = answer.header("content-security-policy");
    assert!(
        policy.contains("default-src 'none'") && policy.contains("frame-ancestors 'none'"),
        "{answer:?}"
    );
    assert!(!policy.contains("unsafe"), "{policy}");
    assert_eq!(answer.header("x-content-type-options"), "nosniff");
    assert_eq!(answer.header("referrer-policy"), "no-referrer");
    assert_eq!(answer.header("access-control-allow-origin"), "");
    assert_eq!(answer.header("server"), "");
}

#[test]
fn foreign_names_are_refused_also_where_nothing_is_changed() {
    let folder = household();
    let page = Running::inside(folder.path());
    let asked = |line: &str, hosts: &[&str]| {
        let hosts = hosts
            .iter()
            .fold(String::new(), |all, host| format!("{all}Host: {host}\r\n"));
        raw(
            page.at,
            format!("{line}\r\n{hosts}Connection: close\r\n\r\n").as_bytes(),
        )
        .unwrap()
    };
    let own = page.host();
    let localhost = format!("localhost:{}", page.at.port());
    assert_eq!(asked("GET /freezer HTTP/1.1", &[&own]).status, 200);
    assert_eq!(asked("GET /freezer HTTP/1.1", &[&localhost]).status, 200);
    let evil = format!("evil.example:{}", page.at.port());
    for host in [
        evil.as_str(),
        "127.0.0.1",
        "127.0.0.1:1",
        "",
        &format!("{own}.evil.example"),
        &format!("{own}@evil"),
    ] {
        let answer = asked("GET /freezer HTTP/1.1", &[host]);
        assert!(
            (400..500).contains(&answer.status),
            "`{host}`: {}",
            answer.status
        );
        assert!(!answer.body.contains("Broccoli"), "`{host}`");
        locked(&answer);
    }
    for (line, hosts) in [
        ("GET /freezer HTTP/1.1", vec![]),
        ("GET /freezer HTTP/1.1", vec![own.as_str(), own.as_str()]),
        ("GET /freezer HTTP/1.1", vec![own.as_str(), evil.as_str()]),
        (
            "GET http://evil.example/freezer HTTP/1.1",
            vec![own.as_str()],
        ),
        ("GET /freezer HTTP/1.0", vec![own.as_str()]),
        ("GET /freezer HTTP/1.0", vec![]),
    ] {
        let answer = asked(line, &hosts);
        assert!(
            answer.status >= 400 && !answer.body.contains("Broccoli"),
            "{line} {hosts:?}: {}",
            answer.status
        );
        locked(&answer);
    }
    assert_eq!(
        asked(&format!("GET http://{own}/freezer HTTP/1.1"), &[&own]).status,
        200
    );
}

#[test]
fn a_change_needs_the_token_and_comes_from_the_page_itself() {
    let folder = household();
    let page = Running::inside(folder.path());
    let before = entries(folder.path());
    let token = page.token();
    let meal = [("cubes", "1"), ("how", "taken"), ("on", "2026-11-16")];
    let form = |token: &str| encoded(&[&[("token", token)][..], &meal].concat());
    let path = "/freezer/48/serve";
    let own = format!("http://{}", page.host());
    let short = token[1..].to_string();
    for wrong in [
        "",
        "0",
        short.as_str(),
        &"0".repeat(64),
        &format!("{token}0"),
    ] {
        let answer = page.send(path, &form(wrong), &[("Sec-Fetch-Site", "same-origin")]);
        assert_eq!(answer.status, 403, "{wrong}");
        locked(&answer);
    }
    for headers in [
        vec![("Sec-Fetch-Site", "cross-site")],
        vec![("Sec-Fetch-Site", "same-site")],
        vec![("Sec-Fetch-Site", "none")],
        vec![("Sec-Fetch-Site", "cross-site"), ("Origin", own.as_str())],
        vec![("Origin", "http://evil.example")],
        vec![("Origin", "null")],
        vec![("Origin", "http://127.0.0.1:1")],
        vec![
            ("Sec-Fetch-Site", "same-origin"),
            ("Origin", "http://evil.example"),
        ],
    ] {
        let answer = page.send(path, &form(&token), &headers);
        assert_eq!(answer.status, 403, "{headers:?}");
        locked(&answer);
    }
    assert_eq!(entries(folder.path()), before, "nothing was recorded");
    let answer = page.send(path, &form(&token), &[("Origin", &own)]);
    assert_eq!(answer.status, 303, "{}", answer.body);
    assert_eq!(entries(folder.path()), before + 1);
}

#[test]
fn a_form_is_sent_as_one_and_is_short() {
    let folder = household();
    let page = Running::inside(folder.path());
    let before = entries(folder.path());
    let long = encoded(&[("token", &page.token()), ("why", &"x".repeat(70_000))]);
    assert_eq!(page.send("/freezer/48/discard", &long, &[]).status, 413);
    let own = page.host();
    let json = format!(
        "POST /undo HTTP/1.1\r\nHost: {own}\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: 2\r\n\r\n{{}}"
    );
    assert_eq!(raw(page.at, json.as_bytes()).unwrap().status, 415);
    let endless = format!(
        "POST /undo HTTP/1.1\r\nHost: {own}\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\n\
         Content-Length: 9999999999\r\n\r\n{}",
        "x".repeat(200_000)
    );
    assert_eq!(raw(page.at, endless.as_bytes()).unwrap().status, 413);
    assert_eq!(entries(folder.path()), before);
}

#[test]
fn heads_that_are_long_or_slow_are_cut_off() {
    let folder = household();
    let page = Running::inside(folder.path());
    let own = page.host();
    let long = format!(
        "GET /freezer HTTP/1.1\r\nHost: {own}\r\nX-Long: {}\r\n\r\n",
        "x".repeat(40_000)
    );
    assert!(raw(page.at, long.as_bytes()).is_none_or(|answer| answer.status == 431));
    let many = (0..200).fold(String::new(), |all, n| format!("{all}X-{n}: 1\r\n"));
    let many = format!("GET /freezer HTTP/1.1\r\nHost: {own}\r\n{many}\r\n");
    assert!(raw(page.at, many.as_bytes()).is_none_or(|answer| answer.status == 431));
    let address = format!(
        "GET /{} HTTP/1.1\r\nHost: {own}\r\nConnection: close\r\n\r\n",
        "x".repeat(5000)
    );
    assert_eq!(raw(page.at, address.as_bytes()).unwrap().status, 414);
    let began = Instant::now();
    let mut slow = TcpStream::connect(page.at).unwrap();
    slow.set_read_timeout(Some(Duration::from_secs(25)))
        .unwrap();
    slow.write_all(b"GET /freezer HTTP/1.1\r\nHost:").unwrap();
    let mut rest = Vec::new();
    let _ = slow.read_to_end(&mut rest);
    assert!(
        began.elapsed() < Duration::from_secs(20),
        "it waited {:?}",
        began.elapsed()
    );
    assert!(!String::from_utf8_lossy(&rest).contains("200 OK"));
    assert_eq!(page.get("/freezer").status, 200, "others are served");
}

#[test]
fn no_address_reaches_the_disk_and_no_answer_tells_of_it() {
    let folder = household();
    let page = Running::inside(folder.path());
    for path in [
        "/../book.toml",
        "/..%2fbook.toml",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/assets/../book.sqlite",
        "/assets/..%5c..%5cbook.sqlite",
        "/assets/style.css",
        "/book.toml",
        "/freezer/..%2f..%2fbook.toml/serve",
        "/freezer/-1/serve",
        "/freezer/99999999999999999999/serve",
        "/freezer/48%00/serve",
        "/foods/..%2f..%2fbook.toml",
        "/foods/own-..%2f..%2fx",
        "/foods/%ff",
        "/nothing",
        "//evil.example/",
        "/%0d%0aX-Evil:%201",
    ] {
        let answer = page.get(path);
        assert!(
            (400..500).contains(&answer.status),
            "{path}: {}",
            answer.status
        );
        let home = folder.path().to_str().unwrap();
        assert!(
            !answer.body.contains(home) && !answer.body.contains("currency"),
            "{path}"
        );
        locked(&answer);
    }
}

#[test]
fn a_broken_book_is_reported_on_the_terminal_and_not_in_the_browser() {
    let folder = household();
    let page = Running::inside(folder.path());
    std::fs::write(
        folder.path().join("book.sqlite"),
        "not a database, and long enough to be read as one",
    )
    .unwrap();
    let answer = page.get("/freezer");
    assert_eq!(answer.status, 500);
    locked(&answer);
    assert!(!answer.body.contains("sqlite"), "{}", answer.body);
    page.signal("-INT");
    let (code, _, err) = page.ended();
    assert_eq!(code, Some(0));
    assert!(err.contains("book.sqlite"), "{err}");
}

#[test]
fn words_of_a_form_stay_words() {
    let folder = household();
    let page = Running::inside(folder.path());
    let evil = "\"><script>alert(1)</script>\r\nSet-Cookie: evil=1";
    let answer = page.post(
        "/freezer/48/discard",
        &[("cubes", "1"), ("why", evil), ("on", evil)],
    );
    assert_eq!(answer.status, 422);
    assert!(!answer.body.contains("<script>alert") && answer.header("set-cookie").is_empty());
    let answer = page.post(
        "/undo",
        &[("entry", "1"), ("back", "//evil.example\r\nX-Evil: 1")],
    );
    assert_eq!(answer.status, 303);
    assert!(
        answer.header("location").starts_with("/?notice="),
        "{}",
        answer.header("location")
    );
    assert!(answer.header("x-evil").is_empty());
    let found = page.get("/foods?words=%3Cscript%3Ealert(1)%3C/script%3E");
    assert!(!found.body.contains("<script>alert"));
    let notice = page.get("/freezer?notice=%3Cscript%3E");
    assert!(notice.status == 200 && !notice.body.contains("class=\"notice\""));
}

#[test]
fn other_methods_are_refused() {
    let folder = household();
    let page = Running::inside(folder.path());
    for method in [
        "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "BREW",
    ] {
        for path in ["/freezer", "/undo", "/start"] {
            let request = format!(
                "{method} {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
                page.host()
            );
            let answer = raw(page.at, request.as_bytes()).unwrap();
            assert!(
                (400..500).contains(&answer.status),
                "{method} {path}: {}",
                answer.status
            );
        }
    }
    for path in ["/undo", "/demo", "/demo/leave"] {
        assert_eq!(page.get(path).status, 405, "{path}");
    }
}

#[test]
fn only_this_computer_is_listened_to() {
    let folder = household();
    let page = Running::inside(folder.path());
    let port = page.at.port();
    let listening = std::fs::read_to_string("/proc/net/tcp").unwrap_or_default();
    let sockets: Vec<_> = listening
        .lines()
        .filter_map(|line| line.split_whitespace().nth(1))
        .filter(|local| local.ends_with(&format!(":{port:04X}")))
        .collect();
    assert!(
        sockets.iter().all(|local| local.starts_with("0100007F:")),
        "{sockets:?}"
    );
    if let Ok(mut six) = TcpStream::connect(("::1", port)) {
        let request =
            format!("GET /freezer HTTP/1.1\r\nHost: [::1]:{port}\r\nConnection: close\r\n\r\n");
        six.write_all(request.as_bytes()).unwrap();
        let mut answer = String::new();
        six.read_to_string(&mut answer).unwrap();
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    }
}
