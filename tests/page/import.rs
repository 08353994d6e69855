//! A dataset that is imported through the page is in use at once. The foods and figures are
//! invented.

use std::io::{Cursor, Write as _};
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use super::client::{Answer, raw};
use super::running::{Running, household};
use super::support::trayful;

const LINE: &str = "kitchen-paper";

/// A zip of these files.
pub(crate) fn zipped(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// A download in the layout of FoodData Central: so many foods, each with so much iron.
pub(crate) fn download(foods: usize, iron: u32) -> Vec<u8> {
    let mut names = "fdc_id,data_type,description,publication_date\n".to_string();
    let mut values = "id,fdc_id,nutrient_id,amount,derivation_id\n".to_string();
    for id in 1000..1000 + foods {
        let name = format!("{id},foundation_food,\"Moonroot, lot {id}\",2026-11-0{iron}\n");
        names += &name;
        for nutrient in [1089, 1095, 1087, 1090] {
            let value = format!("{id}{nutrient},{id},{nutrient},{iron},70\n");
            values += &value;
        }
    }
    let nutrients = "id,name,unit_name,nutrient_nbr\n1089,Iron,MG,303\n1095,Zinc,MG,309\n\
                     1087,Calcium,MG,301\n1090,Magnesium,MG,304\n";
    zipped(&[
        ("set/food.csv", names.as_bytes()),
        ("set/food_nutrient.csv", values.as_bytes()),
        ("set/nutrient.csv", nutrients.as_bytes()),
    ])
}

/// A form of fields, each with the name of its file where it is one.
pub(crate) fn form(fields: &[(&str, Option<&str>, &[u8])]) -> Vec<u8> {
    let mut body = Vec::new();
    for (name, file, bytes) in fields {
        let file = file.map_or_else(String::new, |file| {
            format!("; filename=\"{file}\"\r\nContent-Type: application/zip")
        });
        let head =
            format!("--{LINE}\r\nContent-Disposition: form-data; name=\"{name}\"{file}\r\n\r\n");
        body.extend(head.into_bytes());
        body.extend(*bytes);
        body.extend(b"\r\n");
    }
    body.extend(format!("--{LINE}--\r\n").into_bytes());
    body
}

/// The head of a request that sends such a form of so many bytes.
pub(crate) fn head(host: &str, length: usize, more: &str) -> Vec<u8> {
    format!(
        "POST /foods/import HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\
         Content-Type: multipart/form-data; boundary={LINE}\r\nContent-Length: {length}\r\n{more}\r\n"
    )
    .into_bytes()
}

/// Sends a file as the form of the page does.
pub(crate) fn send(page: &Running, name: &str, bytes: &[u8]) -> Answer {
    let body = form(&[
        ("token", None, page.token().as_bytes()),
        ("zip", Some(name), bytes),
    ]);
    let own = "Sec-Fetch-Site: same-origin\r\nOrigin: null\r\n";
    raw(
        page.at,
        &[head(&page.host(), body.len(), own), body].concat(),
    )
    .unwrap()
}

/// What the page says once the import is over.
pub(crate) fn over(page: &Running) -> String {
    let began = Instant::now();
    loop {
        let body = page.get("/foods/import").body;
        if !body.contains("data-live") {
            return body;
        }
        assert!(began.elapsed() < Duration::from_secs(60), "{body}");
        thread::sleep(Duration::from_millis(20));
    }
}

/// What a command says of the food data of a book.
pub(crate) fn said(folder: &Path, args: &[&str]) -> String {
    trayful(args).inside(folder).answer()
}

#[test]
fn a_dataset_is_read_in_and_in_use_at_once_on_the_page_and_by_command() {
    let folder = household();
    let page = Running::inside(folder.path());
    let room = page.get("/foods?words=moonroot").body;
    assert!(
        room.contains("Nothing is called") && room.contains("built in"),
        "{room}"
    );
    let batch = || page.get("/cook/recipe/red-lentil-squash").body;
    let before = batch();
    let sent = send(&page, "moon &<b>.zip", &download(3, 2));
    assert_eq!(
        (sent.status, sent.header("location")),
        (303, "/foods/import")
    );
    let told = over(&page);
    assert!(
        told.contains("Foundation Foods") && told.contains(": 3 foods"),
        "{told}"
    );
    assert!(!told.contains(folder.path().to_str().unwrap()));
    let room = page.get("/foods?words=moonroot").body;
    assert!(room.contains("/foods/1001"), "{room}");
    assert!(
        room.contains("in this book") && room.contains("built in"),
        "{room}"
    );
    let (_, shown) = room.split_once("<main").unwrap();
    assert!(!shown.contains("2026-11"), "{room}");
    assert!(page.get("/foods/1001").body.contains("Moonroot, lot 1001"));
    assert_eq!(
        batch(),
        before,
        "the foods of the recipes are still those built in"
    );
    assert!(said(folder.path(), &["foods", "moonroot"]).contains("1001"));
    assert!(said(folder.path(), &["foods", "butternut"]).contains("11485"));
    assert!(said(folder.path(), &["data", "--verify"]).starts_with("Sound: "));
    page.signal("-INT");
    assert_eq!(page.ended().2, "", "nothing went wrong");
}

#[test]
fn how_far_it_is_can_be_seen_and_there_is_one_at_a_time() {
    let folder = household();
    let page = Running::inside(folder.path());
    let body = form(&[
        ("token", None, page.token().as_bytes()),
        ("zip", Some("a&b.zip"), &download(500, 1)),
    ]);
    let mut slow = std::net::TcpStream::connect(page.at).unwrap();
    slow.write_all(&head(&page.host(), body.len(), "")).unwrap();
    let (first, rest) = body.split_at(body.len() / 2);
    slow.write_all(first).unwrap();
    let began = Instant::now();
    let shown = loop {
        let shown = page.get("/foods/import").body;
        if shown.contains("max=\"100\" value=\"4") || began.elapsed() > Duration::from_secs(20) {
            break shown;
        }
    };
    assert!(
        shown.contains("Receiving the file") && shown.contains("<progress"),
        "{shown}"
    );
    assert!(
        shown.contains("a&#38;b.zip") && shown.contains("Look again"),
        "{shown}"
    );
    assert!(
        !shown.contains("type=\"file\""),
        "no form while one is at work"
    );
    let second = send(&page, "b.zip", &download(3, 2));
    assert!(
        second.status == 409 && second.body.contains("Another dataset"),
        "{}",
        second.body
    );
    slow.write_all(rest).unwrap();
    assert!(over(&page).contains(": 500 foods"));
}

#[test]
fn what_a_command_reads_in_is_seen_by_the_page_and_what_it_drops_is_gone() {
    let folder = household();
    let zip = folder.path().join("moon.zip");
    std::fs::write(&zip, download(3, 1)).unwrap();
    let page = Running::inside(folder.path());
    assert!(
        page.get("/foods?words=moonroot")
            .body
            .contains("Nothing is called")
    );
    let import = ["data", "import", "moon.zip"];
    assert!(said(folder.path(), &import).contains("in the book"));
    let found = page.get("/foods?words=moonroot").body;
    assert!(found.contains("/foods/1000"), "{found}");
    std::fs::write(&zip, download(1, 2)).unwrap();
    said(folder.path(), &import);
    assert!(
        !page
            .get("/foods?words=moonroot")
            .body
            .contains("/foods/1002")
    );
    said(folder.path(), &["data", "--remove", "foundation"]);
    assert!(
        page.get("/foods?words=moonroot")
            .body
            .contains("Nothing is called")
    );
    assert_eq!(page.get("/foods/1000").status, 404);
    assert_eq!(page.get("/foods/11485").status, 200);
}

#[test]
fn a_dataset_is_dropped_and_read_in_again() {
    let folder = household();
    let page = Running::inside(folder.path());
    assert_eq!(page.post("/foods/drop", &[("source", "sr28")]).status, 303);
    assert!(over(&page).contains("not in the food data any more"));
    send(&page, "moon.zip", &download(3, 1));
    over(&page);
    assert!(page.get("/foods").body.contains("action=\"/foods/drop\""));
    assert_eq!(
        page.post("/foods/drop", &[("source", "foundation")]).status,
        303
    );
    let told = over(&page);
    assert!(
        told.contains("Dropped: ") && told.contains("read it in again"),
        "{told}"
    );
    let room = page.get("/foods?words=moonroot").body;
    assert!(room.contains("Nothing is called") && !room.contains("action=\"/foods/drop\""));
    assert!(said(folder.path(), &["data"]).contains("built in"));
    send(&page, "moon.zip", &download(3, 1));
    over(&page);
    assert!(
        page.get("/foods?words=moonroot")
            .body
            .contains("/foods/1000")
    );
}

#[test]
fn a_folder_that_was_named_is_the_one_that_is_changed() {
    let folder = household();
    std::fs::write(folder.path().join("moon.zip"), download(3, 1)).unwrap();
    said(
        folder.path(),
        &["data", "import", "moon.zip", "--cache", "mine"],
    );
    let page = Running::with(folder.path(), &["--cache", "mine"]);
    assert!(
        page.get("/foods")
            .body
            .contains("named at the start of the page")
    );
    assert_eq!(
        page.get("/foods/11485").status,
        404,
        "nothing is in use beside it"
    );
    send(&page, "moon.zip", &download(5, 2));
    over(&page);
    assert_eq!(page.get("/foods/1004").status, 200);
    assert!(!folder.path().join("foods").exists());
}

#[test]
fn damaged_food_data_is_reported_and_mended_by_another_import() {
    let folder = household();
    let page = Running::inside(folder.path());
    send(&page, "moon.zip", &download(3, 1));
    over(&page);
    let manifest = folder.path().join("foods/manifest.json");
    std::fs::write(&manifest, "{").unwrap();
    let room = page.get("/foods?words=moonroot");
    assert!(
        room.status == 200 && room.body.contains("does not open"),
        "{}",
        room.body
    );
    assert_eq!(page.get("/foods/1000").status, 500);
    send(&page, "moon.zip", &download(3, 1));
    over(&page);
    assert_eq!(page.get("/foods/1000").status, 200);
}

#[test]
fn a_page_that_is_killed_while_it_reads_leaves_the_old_food_data_whole() {
    let folder = household();
    let page = Running::inside(folder.path());
    send(&page, "old.zip", &download(40, 1));
    over(&page);
    drop(page);
    let new = download(4000, 2);
    let mut killed = 0;
    for round in 0..8 {
        let page = Running::inside(folder.path());
        send(&page, "new.zip", &new);
        thread::sleep(Duration::from_millis(40 * round));
        let at_work = page.get("/foods/import").body.contains("data-live");
        page.signal("-KILL");
        let _ = page.ended();
        killed += u32::from(at_work);
        assert!(said(folder.path(), &["data", "--verify"]).starts_with("Sound: "));
        let data = said(folder.path(), &["data", "--json"]);
        let count = |foods: &str| data.contains(&format!("\"foods\": {foods},"));
        assert!(count("40") || count("4000"), "{data}");
        let lying = std::fs::read_dir(folder.path()).unwrap();
        let names = lying.map(|file| file.unwrap().file_name().into_string().unwrap());
        assert!(!names.into_iter().any(|name| name.starts_with(".tmp")));
    }
    assert!(killed > 2, "{killed} were at work when they were killed");
}

#[test]
fn the_page_answers_while_commands_change_the_food_data() {
    let folder = household();
    let zips = ["odd.zip", "even.zip"];
    std::fs::write(folder.path().join(zips[0]), download(3, 1)).unwrap();
    std::fs::write(folder.path().join(zips[1]), download(5, 2)).unwrap();
    said(folder.path(), &["data", "import", zips[0]]);
    let page = Running::inside(folder.path());
    thread::scope(|scope| {
        let commands = scope.spawn(|| {
            for round in 1..=6 {
                said(folder.path(), &["data", "import", zips[round % 2]]);
            }
        });
        while !commands.is_finished() {
            for path in ["/foods?words=moonroot", "/foods/1000", "/foods/11485"] {
                let answer = page.get(path);
                let found = answer.body.contains("/foods/1000") || path != "/foods?words=moonroot";
                assert!(answer.status == 200 && found, "{path}: {}", answer.body);
            }
        }
    });
    assert!(
        page.get("/foods?words=moonroot")
            .body
            .contains("/foods/1000")
    );
    page.signal("-INT");
    assert_eq!(page.ended().2, "");
}
