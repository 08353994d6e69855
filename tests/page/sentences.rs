//! The page speaks to a parent: no ISO day, no command of the terminal, no backticks.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::client::{Answer, encoded};
use super::forms::addresses;
use super::running::{Running, household};

/// The most pages of one kind that are examined.
const OF_A_KIND: usize = 8;

/// The text that a person sees: without tags, and what stands in them.
fn visible(body: &str) -> String {
    let mut text = String::new();
    for part in body.split('<') {
        let (tag, words) = part.split_once('>').unwrap_or(("", part));
        let hidden = tag.starts_with("style") || tag.starts_with("script") || tag.starts_with('!');
        if !hidden {
            text.push(' ');
            text.push_str(words);
        }
    }
    text.replace("&#39;", "'")
        .replace("&quot;", "\"")
        .replace("&#34;", "\"")
        .replace("&amp;", "&")
}

/// The parts of a page that are not for a parent, with some words around each.
fn unfit_parts(body: &str) -> Vec<String> {
    let text: Vec<char> = visible(body).chars().collect();
    let around = |at: usize| -> String {
        let part = &text[at.saturating_sub(70)..text.len().min(at + 50)];
        part.iter()
            .collect::<String>()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    };
    let is_date = |at: usize| {
        let shape = "0000-00-00".chars().enumerate();
        shape.into_iter().all(|(n, mark)| {
            text.get(at + n).is_some_and(|letter| {
                if mark == '0' {
                    letter.is_ascii_digit()
                } else {
                    *letter == mark
                }
            })
        })
    };
    let is_command = |at: usize| {
        let rest: String = text[at..].iter().take(9).collect();
        let option = rest
            .strip_prefix("--")
            .and_then(|option| option.chars().next());
        let named = rest
            .strip_prefix("trayful ")
            .and_then(|next| next.chars().next());
        named.is_some_and(|letter| letter.is_ascii_lowercase())
            || option.is_some_and(|letter| letter.is_ascii_lowercase())
    };
    (0..text.len())
        .filter(|at| is_date(*at) || is_command(*at) || text[*at] == '`')
        .map(around)
        .collect()
}

#[test]
fn the_eye_for_words_sees() {
    assert_eq!(
        unfit_parts("<p title=\"2026-11-16\">16 Nov 2026, 0.5 -- 1</p>"),
        Vec::<String>::new()
    );
    for seen in [
        "on <b>2026-11-16</b>",
        "use trayful undo",
        "say --on",
        "`banana`",
    ] {
        assert!(!unfit_parts(seen).is_empty(), "{seen}");
    }
}

/// The addresses a page links to.
fn links(body: &str) -> Vec<String> {
    let links = body.split("href=\"/").skip(1);
    let links = links.filter_map(|link| link.split('"').next());
    links
        .map(|link| format!("/{}", link.replace("&amp;", "&").replace("&#38;", "&")))
        .collect()
}

/// An address without what makes it one of many.
fn kind(address: &str) -> String {
    let path = address.split(['?', '#']).next().unwrap_or_default();
    let parts = path.split('/').map(|part| {
        if part.contains(|letter: char| letter.is_ascii_digit()) {
            "#"
        } else {
            part
        }
    });
    parts.collect::<Vec<_>>().join("/")
}

/// What was found, by address, each once.
#[derive(Default)]
struct Found(BTreeMap<String, BTreeSet<String>>);

impl Found {
    fn look(&mut self, address: &str, answer: &Answer) {
        let words = unfit_parts(&answer.body);
        if !words.is_empty() {
            self.0.entry(kind(address)).or_default().extend(words);
        }
    }

    fn is_nothing(&self) {
        let lines: Vec<String> = self
            .0
            .iter()
            .map(|(address, words)| {
                let words: Vec<_> = words.iter().take(12).map(String::as_str).collect();
                format!("{address}\n    {}", words.join("\n    "))
            })
            .collect();
        assert!(lines.is_empty(), "{}", lines.join("\n"));
    }
}

/// The invented household on its own day.
fn demo() -> (tempfile::TempDir, Running) {
    let around = tempfile::tempdir().unwrap();
    let page = Running::inside(around.path());
    assert_eq!(page.post("/demo", &[]).status, 303);
    (around, page)
}

#[test]
fn no_room_tells_of_days_and_commands_as_a_computer_does() {
    let (_around, page) = demo();
    let mut found = Found::default();
    let mut waiting = VecDeque::from(["/".to_string()]);
    for room in [
        "/week?from=2026-11-02",
        "/week?from=2026-11-16",
        "/money?year=2026",
        "/foods?words=oats",
        "/visit/page?child=Wren&from=2026-11-02&to=2026-11-15&paper=a4",
    ] {
        waiting.push_back(room.to_string());
    }
    let mut seen = BTreeSet::new();
    let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
    while let Some(address) = waiting.pop_front() {
        if address.starts_with("/assets/") || !seen.insert(address.clone()) {
            continue;
        }
        let looked_at = kinds.entry(kind(&address)).or_default();
        *looked_at += 1;
        if *looked_at > OF_A_KIND {
            continue;
        }
        let answer = page.get(&address);
        assert_eq!(answer.status, 200, "{address}");
        found.look(&address, &answer);
        waiting.extend(links(&answer.body));
    }
    for room in [
        "/", "/freezer", "/cook", "/mix", "/week", "/tastes", "/money", "/visit", "/foods",
    ] {
        assert!(kinds.contains_key(room), "{kinds:?}");
    }
    found.is_nothing();
}

/// Texts for a day, valid and invalid.
const DAYS: [&str; 6] = [
    "",
    "then",
    "2026-11-16",
    "2027-02-01",
    "2020-01-01",
    "9999-12-31",
];
/// Valid values of a field.
const GOOD: [(&str, &str); 17] = [
    ("number", "48"),
    ("cubes", "1"),
    ("how", "taken"),
    ("child", "Wren"),
    ("meal", "lunch"),
    ("trays", "2"),
    ("made", "2"),
    ("title", "Green"),
    ("food-0", "11507"),
    ("amount-0", "800"),
    ("unit-0", "g"),
    ("method-0", "steam"),
    ("food", "11507"),
    ("mass", "500"),
    ("unit", "g"),
    ("price", "2.49"),
    ("question", "Is it so?"),
];
/// Invalid values of a field, or ones that an answer repeats.
const WRONG: [(&str, &str); 48] = [
    ("cubes", "99"),
    ("cubes", "0"),
    ("cubes", "x"),
    ("how", "x"),
    ("child", "Nobody"),
    ("meal", "tea"),
    ("food", "99999"),
    ("mass", "x"),
    ("mass", "-1"),
    ("price", "x"),
    ("unit", "x"),
    ("amount-0", "x"),
    ("food-0", "99999"),
    ("other", "10 g unheard-of"),
    ("other", "x"),
    ("other", "3 nothing"),
    ("cubes-48", "99"),
    ("cubes-1", "1"),
    ("cubes-9999", "1"),
    ("cubes-48", "x"),
    ("recipe-nothing", "1"),
    ("trays-nothing", "1"),
    ("trays-butternut", "99"),
    ("trays-butternut", "x"),
    ("trays-butternut", "2"),
    ("recipe-butternut", "9999"),
    ("words", "zzzz"),
    ("question", ""),
    ("tray", "x"),
    ("title", ""),
    ("method-0", "x"),
    ("name", "../x"),
    ("cubes-48", "2"),
    ("recipe-butternut", "2"),
    ("other", "30 ml plain yogurt"),
    ("do", "empty"),
    ("tray", "tray"),
    ("collected", "x"),
    ("added", "9999"),
    ("returned", "9999"),
    ("entry", "x"),
    ("planned", "x"),
    ("code", "x"),
    ("other", "60 ml honey"),
    ("other", "1 kg salt"),
    ("other", "200 ml cow milk"),
    ("trays", "x"),
    ("trays", "9999"),
];

#[test]
fn no_form_answers_as_a_computer_does() {
    let (_around, page) = demo();
    let token = page.token();
    let mut found = Found::default();
    for address in addresses()
        .iter()
        .filter(|address| *address != "/demo/leave")
    {
        let mut send = |fields: &[(&str, &str)]| {
            let with_token = [&[("token", token.as_str())], fields].concat();
            let answer = page.send(address, &encoded(&with_token), &[]);
            found.look(address, &answer);
            let to = answer.header("location").to_string();
            if to.contains("notice=") {
                // The next page has the notice, with a button that takes the entry back.
                let next = page.get(&to);
                found.look(&format!("{address} ->"), &next);
                let back = page.post("/undo", &[("entry", &last(&next)), ("back", "/freezer")]);
                found.look("/undo ->", &page.get(back.header("location")));
            }
        };
        for day in DAYS {
            send(
                &[
                    &GOOD[..],
                    &[("on", day), ("from", day), ("to", day), ("born", day)],
                ]
                .concat(),
            );
        }
        // A form is sent what it asks for; to work out a proposal takes its time, and few of its
        // fields can be wrong.
        let form = page.get(address);
        let asks =
            |name: &str| form.status != 200 || form.body.contains(&format!("name=\"{name}\""));
        let least = usize::from(address == "/week/propose") * (WRONG.len() - 2);
        for one in WRONG
            .iter()
            .skip(least)
            .filter(|(name, _)| asks(name))
            .copied()
        {
            let rest = GOOD.iter().filter(|(name, _)| *name != one.0).copied();
            let days = [("on", "2026-11-16"), ("from", "2026-11-16")];
            send(&rest.chain(days).chain([one]).collect::<Vec<_>>());
        }
        send(&[]);
    }
    found.is_nothing();
}

/// The entry that a page offers to take back; none where it offers none.
fn last(answer: &Answer) -> String {
    if answer.body.contains("name=\"entry\"") {
        answer.hidden("entry")
    } else {
        String::new()
    }
}

#[test]
fn a_recipe_that_cannot_be_read_is_reported_without_its_folder() {
    let folder = household();
    let home = folder.path().to_str().unwrap();
    let file = folder.path().join("recipes/torn.toml");
    let page = Running::inside(folder.path());
    for bytes in [
        &b"title = \"Torn\nmethod = 3\n"[..],
        b"title = \"\xff\"\n",
        b"",
        b"title = 3",
    ] {
        std::fs::write(&file, bytes).unwrap();
        for address in [
            "/",
            "/cook",
            "/cook/recipe/torn",
            "/cook/recipe/torn/card",
            "/week",
            "/week/meal?on=2026-11-26&meal=lunch&child=Wren",
            "/week/propose",
            "/mix?recipe-torn=2&child=Wren",
        ] {
            let answer = if address == "/week/propose" {
                page.post(
                    address,
                    &[
                        ("from", "2026-11-26"),
                        ("trays", "2"),
                        ("cook-2026-11-26", "yes"),
                    ],
                )
            } else {
                page.get(address)
            };
            assert!(
                !answer.body.contains(home) && !answer.body.contains("recipes/"),
                "{address}: {}",
                answer.body
            );
            assert!(answer.status < 500, "{address}: {}", answer.status);
        }
    }
}

#[test]
fn what_a_parent_types_is_never_taken_for_a_command() {
    let folder = household();
    let page = Running::inside(folder.path());
    let words = "She refuses meat --what now? Is trayful mixing fine";
    let asked = page.post("/visit", &[("question", words), ("on", "2026-11-16")]);
    let told = page.get(asked.header("location")).body;
    assert!(
        told.contains(&format!("Written down for the visit: {words}")),
        "{told}"
    );
    for (path, field, said) in [
        ("/week/cook", "trays-butternut", "--a"),
        ("/freezer/48/serve", "cubes", "--a"),
        ("/money", "mass", "--a"),
        ("/cook/write", "amount-0", "--a"),
    ] {
        let today = super::support::TODAY.to_string();
        let fields = [
            ("on", today.as_str()),
            ("do", "set"),
            ("work", "yes"),
            ("title", "x"),
            ("food-0", "11485"),
            ("unit-0", "g"),
            ("method-0", "steam"),
            ("unit", "g"),
            (field, said),
        ];
        let wrong = page.post(path, &fields);
        assert_eq!(wrong.status, 422, "{path}: {}", wrong.body);
        let faults = wrong.body.split("</span> ").skip(1);
        let faults: Vec<_> = faults.filter_map(|fault| fault.split('<').next()).collect();
        assert!(
            !wrong.body.contains("</span> </p>"),
            "{path}: an empty fault, {faults:?}"
        );
        assert!(
            !wrong.body.contains("\"></a></li>"),
            "{path}: an empty line in the summary"
        );
    }
}
