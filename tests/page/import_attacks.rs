//! Files that must not get in, and files that are not what they should be.

use std::io::Write as _;
use std::net::TcpStream;
use std::time::Duration;

use super::client::{encoded, raw};
use super::import::{download, form, head, over, said, send, zipped};
use super::running::{Running, household};

/// What lies in the folder of a book.
fn lying(folder: &std::path::Path) -> Vec<String> {
    let files = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<_> = files
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .filter(|name| !name.starts_with("book.sqlite-"))
        .collect();
    names.sort();
    names
}

#[test]
fn a_file_needs_the_token_before_it_and_comes_from_the_page_itself() {
    let folder = household();
    let page = Running::inside(folder.path());
    let before = lying(folder.path());
    let (host, token) = (page.host(), page.token());
    let file = download(3, 1);
    let zip = ("zip", Some("moon.zip"), file.as_slice());
    let token = ("token", None, token.as_bytes());
    let forged = "0".repeat(64);
    let asked = |fields: &[(&str, Option<&str>, &[u8])], more: &str| {
        let body = form(fields);
        let request = [head(&host, body.len(), more), body].concat();
        raw(page.at, &request).unwrap().status
    };
    assert_eq!(asked(&[zip], ""), 403, "no token");
    assert_eq!(asked(&[("token", None, forged.as_bytes()), zip], ""), 403);
    assert_eq!(asked(&[("token", None, b""), zip], ""), 403);
    assert_eq!(asked(&[zip, token], ""), 403, "the token after the file");
    assert_eq!(asked(&[token], ""), 400, "no file");
    assert_eq!(asked(&[("other", None, b"x"), token, zip], ""), 400);
    let long = "x".repeat(100_000);
    assert_eq!(asked(&[("token", None, long.as_bytes()), zip], ""), 400);
    for foreign in [
        "Sec-Fetch-Site: cross-site\r\n",
        "Sec-Fetch-Site: same-site\r\n",
        "Origin: http://evil.example\r\n",
        "Origin: null\r\n",
    ] {
        assert_eq!(asked(&[token, zip], foreign), 403, "{foreign}");
    }
    let plain = encoded(&[("token", &page.token()), ("zip", "PK")]);
    assert_eq!(page.send("/foods/import", &plain, &[]).status, 415);
    let endless = [head(&host, 3_000_000_000, ""), form(&[token, zip])].concat();
    assert_eq!(raw(page.at, &endless).unwrap().status, 413);
    assert_eq!(lying(folder.path()), before);
    assert!(over(&page).contains("type=\"file\""), "nothing was begun");
    assert_eq!(asked(&[token, zip], "Sec-Fetch-Site: same-origin\r\n"), 303);
    assert!(over(&page).contains(": 3 foods"));
}

#[test]
fn files_that_are_not_a_dataset_are_reported_and_the_food_data_stays() {
    let folder = household();
    let page = Running::inside(folder.path());
    send(&page, "moon.zip", &download(3, 1));
    over(&page);
    let before = said(folder.path(), &["data"]);
    let whole = download(2000, 2);
    let mut damaged = whole.clone();
    let middle = damaged.len() / 2;
    damaged[middle..middle + 200].fill(0x55);
    let bomb = vec![b'\n'; 70_000_000];
    let wrong_row = zipped(&[
        (
            "food.csv",
            b"fdc_id,data_type,description\nx,foundation_food,A\n",
        ),
        ("food_nutrient.csv", b"id,fdc_id,nutrient_id,amount\n"),
        (
            "nutrient.csv",
            b"id,name,unit_name,nutrient_nbr\n1089,Iron,MG,303\n",
        ),
    ]);
    for (file, words) in [
        (b"<html>not a zip".to_vec(), "This file is not a zip."),
        (Vec::new(), "No file was chosen"),
        (
            whole[..middle].to_vec(),
            "damaged, or not all of it is there",
        ),
        (damaged, "Download it again"),
        (
            zipped(&[("README", b"nothing")]),
            "needs ABBREV.txt and FOOD_DES.txt",
        ),
        (
            zipped(&[("food.csv", b"x"), ("nutrient.csv", b"x")]),
            "food_nutrient.csv is not there",
        ),
        (zipped(&[("../food.csv", b"x")]), "points outside the zip"),
        (
            zipped(&[
                ("food.csv", &bomb),
                ("food_nutrient.csv", b""),
                ("nutrient.csv", b""),
            ]),
            "unpacks to",
        ),
        (wrong_row, "food.csv:2"),
    ] {
        assert_eq!(
            send(&page, "\u{e9} <script>x</script>.zip", &file).status,
            303
        );
        let told = over(&page);
        assert!(told.contains(words), "{words}: {told}");
        assert!(told.contains("what they were before") && told.contains("type=\"file\""));
        assert!(!told.contains("<script>x") && !told.contains(folder.path().to_str().unwrap()));
        assert_eq!(said(folder.path(), &["data"]), before, "{words}");
    }
    assert!(said(folder.path(), &["data", "--verify"]).starts_with("Sound: "));
}

#[test]
fn a_file_that_is_cut_off_leaves_nothing_and_another_may_be_sent() {
    let folder = household();
    let page = Running::inside(folder.path());
    let before = lying(folder.path());
    let token = page.token();
    let body = form(&[
        ("token", None, token.as_bytes()),
        ("zip", Some("moon.zip"), &download(500, 1)),
    ]);
    let mut gone = TcpStream::connect(page.at).unwrap();
    gone.write_all(&head(&page.host(), body.len(), "")).unwrap();
    gone.write_all(&body[..body.len() / 2]).unwrap();
    std::thread::sleep(Duration::from_millis(200));
    drop(gone);
    let told = over(&page);
    assert!(told.contains("half-way"), "{told}");
    assert_eq!(lying(folder.path()), before);
    send(&page, "moon.zip", &download(3, 1));
    assert!(over(&page).contains(": 3 foods"));
}

#[test]
fn the_name_of_a_file_is_no_path() {
    let folder = household();
    let inside = folder.path().join("a/b");
    std::fs::create_dir_all(inside.parent().unwrap()).unwrap();
    super::support::trayful(&["demo", "--into", inside.to_str().unwrap()]).answer();
    let page = Running::inside(&inside);
    for name in ["../../x", "/tmp/x", "..\\..\\x", ""] {
        send(&page, name, &download(3, 1));
        assert!(over(&page).contains(": 3 foods"), "{name}");
    }
    for away in ["x", "a/x", "a/b/x", "a/b/foods/x"] {
        assert!(!folder.path().join(away).exists(), "{away}");
    }
}

#[test]
fn the_invented_household_reads_nothing_in() {
    let folder = tempfile::tempdir().unwrap();
    let page = Running::inside(folder.path());
    page.post("/demo", &[]);
    let room = page.get("/foods").body;
    assert!(
        !room.contains("type=\"file\"") && room.contains("Leave the demo"),
        "{room}"
    );
    let sent = send(&page, "moon.zip", &download(3, 1));
    assert!(
        sent.status == 409 && sent.body.contains("Leave the demo"),
        "{}",
        sent.body
    );
    assert_eq!(page.post("/foods/drop", &[("source", "sr28")]).status, 409);
    page.post("/demo/leave", &[]);
    let sent = send(&page, "moon.zip", &download(3, 1));
    assert_eq!(sent.header("location"), "/start", "there is no book yet");
    assert!(lying(folder.path()).is_empty());
}

/// Limits that a test can reach, and the listener for the home network.
#[cfg(target_os = "linux")]
#[test]
fn a_file_is_short_comes_in_time_and_comes_from_this_computer() {
    use trayful::web::Clients;

    use super::network::Open;

    let folder = household();
    let clients = Clients {
        dataset: 50_000,
        piece: Duration::from_secs(1),
        ..Clients::default()
    };
    let page = Open::with(folder.path(), clients);
    let home = page.loopback.parse().unwrap();
    let get = |path: &str| {
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
            page.loopback
        );
        raw(home, request.as_bytes()).unwrap()
    };
    let token = get("/freezer").hidden("token");
    let body = |bytes: &[u8]| {
        form(&[
            ("token", None, token.as_bytes()),
            ("zip", Some("moon.zip"), bytes),
        ])
    };
    let long = body(&vec![b'P'; 60_000]);
    let stated = [head(&page.loopback, long.len(), ""), long.clone()].concat();
    assert_eq!(raw(home, &stated).unwrap().status, 413);
    // In one piece of unstated length (RFC 9112, 7.1).
    let unstated = String::from_utf8(head(&page.loopback, 0, "")).unwrap();
    let unstated = unstated.replace("Content-Length: 0", "Transfer-Encoding: chunked");
    let size = format!("{:x}\r\n", long.len());
    let unstated = [
        unstated.as_bytes(),
        size.as_bytes(),
        &long,
        b"\r\n0\r\n\r\n",
    ]
    .concat();
    let _ = raw(home, &unstated);
    let told = get("/foods/import").body;
    assert!(told.contains("longer than"), "{told}");
    let short = body(&download(3, 1));
    let slow = [head(&page.loopback, short.len(), ""), short[..400].to_vec()].concat();
    let _ = raw(home, &slow);
    let told = get("/foods/import").body;
    assert!(told.contains("stopped coming"), "{told}");

    let at = page.at.to_string();
    let pair = encoded(&[("code", &page.code)]);
    let pair_request = format!(
        "POST /pair HTTP/1.1\r\nHost: {at}\r\nConnection: close\r\nOrigin: http://{at}\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{pair}",
        pair.len()
    );
    let let_in = raw(page.at, pair_request.as_bytes()).unwrap();
    let cookie = let_in.header("set-cookie").split(';').next().unwrap();
    let more = format!("Origin: http://{at}\r\nCookie: {cookie}\r\n");
    let sent = raw(
        page.at,
        &[head(&at, short.len(), &more), short.clone()].concat(),
    )
    .unwrap();
    assert!(
        sent.status == 403 && sent.body.contains("on the computer itself"),
        "{}",
        sent.body
    );
    let asked = format!("GET /foods HTTP/1.1\r\nHost: {at}\r\nConnection: close\r\n{more}\r\n");
    let room = raw(page.at, asked.as_bytes()).unwrap().body;
    assert!(room.contains("on the computer itself") && !room.contains("type=\"file\""));
    assert!(!folder.path().join("foods").exists());
}
