//! Every form that a template has is refused when another site sends it.

use std::collections::BTreeSet;
use std::path::Path;

use super::client::encoded;
use super::running::{Running, household};
use super::support::root;

/// The addresses to which a form of a template is sent, with what they name put in.
pub(crate) fn addresses() -> BTreeSet<String> {
    let folder = root().join("templates/web");
    let mut addresses = BTreeSet::new();
    let files = std::fs::read_dir(folder).unwrap();
    let files = files.map(|file| file.unwrap().path());
    for file in files.filter(|file| file.extension().is_some_and(|end| end == "html")) {
        let text = std::fs::read_to_string(file).unwrap();
        for form in text.split("<form").skip(1) {
            let form = form.split("</form>").next().unwrap();
            let (head, _) = form.split_once('>').unwrap();
            if head.contains("method=\"post\"") {
                addresses.extend(named(head, " action=\""));
                addresses.extend(named(head, "data-figures=\""));
                let buttons = form.split("<button").skip(1);
                addresses.extend(buttons.filter_map(|button| named(button, "formaction=\"")));
            }
        }
    }
    addresses
}

fn named(text: &str, start: &str) -> Option<String> {
    let address = text.split_once(start)?.1.split('"').next()?;
    let address = address
        .replace("{{ batch.id }}", "48")
        .replace("{{ one.batch }}", "48")
        .replace("{{ name }}", "butternut")
        .replace("{{ draft }}", "0123456789abcdef")
        .replace("{{ number }}", "48")
        // A form that was stopped is sent where it came from.
        .replace("{{ action }}", "/mix");
    assert!(
        !address.contains('{'),
        "say here what `{address}` stands for"
    );
    Some(address)
}

/// Every file of a household's folder with what is in it, but for SQLite's own beside the record.
fn everything(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.display().to_string();
        if path.is_dir() {
            files.extend(everything(&path));
        } else if !name.ends_with("-shm") && !name.ends_with("-wal") {
            files.push((name, std::fs::read(&path).unwrap()));
        }
    }
    files.sort();
    files
}

#[test]
fn no_form_is_taken_without_its_token_or_from_elsewhere() {
    let folder = household();
    let page = Running::inside(folder.path());
    let addresses = addresses();
    for known in ["/", "/undo", "/start", "/demo/leave", "/cook/write/figures"] {
        assert!(addresses.contains(known), "{addresses:?}");
    }
    assert!(addresses.len() >= 16, "{addresses:?}");
    let token = page.token();
    let before = everything(folder.path());
    let without = encoded(&[("cubes", "1"), ("how", "taken"), ("on", "2026-11-16")]);
    let with = format!("{}&{without}", encoded(&[("token", &token)]));
    let wrong = format!("{}&{without}", encoded(&[("token", &"0".repeat(64))]));
    let own = format!("http://{}", page.host());
    // The form with the code of a pairing has no token, since no device is let in yet; that
    // of a file is another kind of form, see `import_attacks`.
    let others = ["/pair", "/foods/import"];
    for address in addresses
        .iter()
        .filter(|address| !others.contains(&address.as_str()))
    {
        for form in [&without, &wrong] {
            let headers = [("Sec-Fetch-Site", "same-origin"), ("Origin", &own)];
            let status = page.send(address, form, &headers).status;
            assert_eq!(status, 403, "{address}: {form}");
        }
    }
    for address in &addresses {
        for headers in [
            &[("Origin", "http://evil.example")][..],
            &[("Origin", "null")],
            &[("Sec-Fetch-Site", "cross-site")],
            &[("Sec-Fetch-Site", "same-site"), ("Origin", &own)],
            &[
                ("Sec-Fetch-Site", "same-origin"),
                ("Origin", "http://evil.example"),
            ],
        ] {
            let answer = page.send(address, &with, headers);
            assert_eq!(answer.status, 403, "{address}: {headers:?}");
            assert!(answer.body.contains("by another site"), "{address}");
        }
    }
    assert!(
        everything(folder.path()) == before,
        "something was recorded"
    );
}

#[test]
fn no_form_writes_a_line_of_its_own_into_the_head_of_an_answer() {
    let folder = household();
    let page = Running::inside(folder.path());
    let evil = "x\r\nX-Evil: 1\r\nSet-Cookie: evil=1\r\n\r\n<script>";
    let names = [
        "back", "entry", "on", "from", "to", "child", "meal", "name", "title", "words", "other",
        "planned", "how", "why", "cubes", "tray", "trays", "do", "code", "store", "food",
        "question", "replace",
    ];
    let fields: Vec<_> = names.iter().map(|name| (*name, evil)).collect();
    let as_query = encoded(&fields);
    for address in addresses() {
        let answers = [
            page.post(&address, &fields),
            page.get(&format!("{address}?{as_query}")),
        ];
        for answer in answers {
            let lines = &answer.headers;
            assert!(
                lines
                    .iter()
                    .all(|(name, _)| name != "x-evil" && name != "set-cookie"),
                "{address}: {lines:?}"
            );
            let to = answer.header("location");
            assert!(
                to.is_empty()
                    || (to.starts_with('/') && !to.starts_with("//") && !to.contains("Evil")),
                "{address}: {to}"
            );
            assert!(
                !answer.body.contains("<script>x") && answer.status < 500,
                "{address}: {}",
                answer.status
            );
        }
    }
}
