//! The page on a disk that is full, or that may not be written to.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use super::client::Answer;
use super::running::{Running, household};
use super::support::trayful;

/// How to start a program that may mount a disk of its own, and which is gone when it
/// ends.
const WAYS: [&[&str]; 2] = [
    &["unshare", "--mount"],
    &["unshare", "--user", "--map-root-user", "--mount"],
];
/// A disk on which the book lies.
const SMALL: &str =
    "mount -t tmpfs -o size=2m tmpfs disk && cp -r book/. disk && cd disk && exec \"$0\" \"$@\"";

/// The way that works for a script in a folder; `None` where this user may not mount a disk.
#[allow(clippy::print_stderr, reason = "a test that is skipped says so")]
fn way_to_mount(around: &Path, script: &str) -> Option<&'static [&'static str]> {
    let works = |way: &&&[&str]| {
        let mut command = Command::new(way[0]);
        command.args(&way[1..]).args(["bash", "-c", script, "true"]);
        let done = command.current_dir(around).output();
        done.is_ok_and(|done| done.status.success())
    };
    let way = WAYS.iter().find(works).copied();
    if way.is_none() {
        eprintln!("skipped: this user may not mount a disk");
    }
    way
}

/// A page whose book lies on a disk of its own.
struct OnDisk {
    around: tempfile::TempDir,
    page: Running,
}

impl OnDisk {
    /// `None` where this user may not mount a disk.
    fn mounted(script: &str) -> Option<Self> {
        let around = tempfile::tempdir().unwrap();
        fs::create_dir(around.path().join("disk")).unwrap();
        fs::rename(household().keep(), around.path().join("book")).unwrap();
        let way = way_to_mount(around.path(), script)?;
        let program = ["bash", "-c", script, env!("CARGO_BIN_EXE_trayful")];
        let page = Running::by(&[way, &program].concat(), around.path(), &[]);
        Some(Self { around, page })
    }

    /// A file of the disk, as the page sees it.
    fn file(&self, name: &str) -> PathBuf {
        self.page.sees(&self.around.path().join("disk").join(name))
    }

    /// Fills the disk but for so many KiB.
    fn fill(&self, room: usize) {
        let mut filler = File::create(self.file("filler")).unwrap();
        while filler.write_all(&[0; 4096]).is_ok() {}
        let length = filler.metadata().unwrap().len();
        let kept = length.saturating_sub(u64::try_from(room).unwrap() * 1024);
        filler.set_len(kept).unwrap();
    }

    /// Asks for something to be written down.
    fn ask(&self, words: &str) -> Answer {
        let question = [("child", "Wren"), ("question", words), ("on", "2026-11-16")];
        self.page.post("/visit", &question)
    }

    /// The questions on record and what the check says, of a copy of the book as it is now.
    fn left(&self) -> (Vec<String>, String) {
        let copy = tempfile::tempdir().unwrap();
        for name in ["book.toml", "book.sqlite", "book.sqlite-wal"] {
            if self.file(name).exists() {
                fs::copy(self.file(name), copy.path().join(name)).unwrap();
            }
        }
        let check = trayful(&["book", "check"]).inside(copy.path()).answer();
        let record = rusqlite::Connection::open(copy.path().join("book.sqlite")).unwrap();
        let mut questions = record
            .prepare("SELECT words FROM question WHERE words LIKE 'Is it %' ORDER BY entry")
            .unwrap();
        let questions = questions.query_map([], |row| row.get(0)).unwrap();
        (questions.map(Result::unwrap).collect(), check)
    }

    /// Checks that nothing was recorded, and that the answer says so in plain words.
    fn says_it_is_full(&self, answer: &Answer) {
        assert_eq!(answer.status, 507, "{}", answer.body);
        for words in ["The disk is full", "Nothing was recorded"] {
            assert!(answer.body.contains(words), "{words}: {}", answer.body);
        }
        self.no_path(answer);
    }

    /// Checks that the answer shows no path of the disk.
    fn no_path(&self, answer: &Answer) {
        let around = self.around.path().to_str().unwrap();
        for path in [around, "book.sqlite", "disk/"] {
            assert!(!answer.body.contains(path), "{path}: {}", answer.body);
        }
    }
}

#[test]
fn on_a_full_disk_what_was_confirmed_is_recorded_and_the_rest_is_refused_in_plain_words() {
    let Some(disk) = OnDisk::mounted(SMALL) else {
        return;
    };
    let mut confirmed = Vec::new();
    let (mut refused, mut told) = (0, 0);
    for room in (0..120).step_by(4) {
        disk.fill(room);
        for turn in 0..4 {
            let words = format!("Is it {room} or {turn}?");
            let answer = disk.ask(&words);
            if answer.status == 303 {
                confirmed.push(words);
            } else {
                refused += 1;
                disk.says_it_is_full(&answer);
            }
        }
        for room in ["/", "/freezer", "/week", "/visit", "/cook"] {
            let answer = disk.page.get(room);
            assert_eq!(answer.status, 200, "{room}");
            told += usize::from(answer.body.contains("<strong>The disk is full.</strong>"));
        }
        let (recorded, check) = disk.left();
        assert_eq!(check, "The book is sound.\n");
        assert_eq!(recorded, confirmed, "{room} KiB");
    }
    assert!(
        refused > 4 && confirmed.len() > 4,
        "{refused} refused, {} recorded",
        confirmed.len()
    );
    assert!(told > 0, "no room says at its top that the disk is full");
    fs::remove_file(disk.file("filler")).unwrap();
    assert!(!disk.page.get("/").body.contains("The disk is full."));
    assert_eq!(disk.ask("Is it done?").status, 303);
    assert_eq!(disk.left().0.last().unwrap(), "Is it done?");
}

#[test]
fn a_recipe_saved_on_a_full_disk_is_there_whole_or_not_at_all() {
    let Some(disk) = OnDisk::mounted(SMALL) else {
        return;
    };
    let recipe = |name: &str, title: &str| {
        let fields = [
            ("title", title),
            ("name", name),
            ("replace", "yes"),
            ("food-0", "11507"),
            ("amount-0", "800"),
            ("unit-0", "g"),
            ("method-0", "steam"),
            ("save", "yes"),
        ];
        disk.page.post("/cook/write", &fields)
    };
    let saved = recipe("purple", "Purple");
    assert_eq!(saved.status, 303, "{}", saved.body);
    let names = || {
        let files = fs::read_dir(disk.file("recipes")).unwrap();
        let mut names: Vec<_> = files.map(|file| file.unwrap().file_name()).collect();
        names.sort();
        names
    };
    let (before, text) = (names(), fs::read(disk.file("recipes/purple.toml")).unwrap());
    disk.fill(0);
    // A new recipe, and one that would replace another.
    for name in ["green", "purple"] {
        disk.says_it_is_full(&recipe(name, &"Long and green ".repeat(5)));
        assert_eq!(names(), before, "{name}");
    }
    assert!(fs::read(disk.file("recipes/purple.toml")).unwrap() == text);
    fs::remove_file(disk.file("filler")).unwrap();
    assert_eq!(recipe("green", "Green").status, 303);
}

/// A disk that may not be written to.
const READ_ONLY: &str = "cp -r book/. disk && mount --bind disk disk && mount -o remount,bind,ro disk && cd disk && exec \"$0\" \"$@\"";

#[test]
fn a_book_that_may_not_be_written_to_can_be_read() {
    let Some(disk) = OnDisk::mounted(READ_ONLY) else {
        return;
    };
    let before = fs::read(disk.file("book.sqlite")).unwrap();
    let rooms = linked_rooms(&disk.page);
    assert!(rooms.len() > 60, "{rooms:?}");
    for (room, body) in &rooms {
        let said = body.contains("The book can only be read.")
            && body.contains("Nothing can be recorded now")
            && body.contains("allow writing to the folder of the book");
        assert_eq!(said, body.contains("<nav id=\"rooms\""), "{room}: {body}");
    }
    assert!(disk.page.get("/freezer").body.contains("cubes"));
    let refused = [
        disk.ask("Is it done?"),
        disk.page.post(
            "/week/shop",
            &[("from", "2026-11-16"), ("food", "11485"), ("bought", "no")],
        ),
    ];
    for answer in refused {
        assert_eq!(answer.status, 500);
        for words in [
            "The book can only be read",
            "may not be written to",
            "Nothing was recorded",
        ] {
            assert!(answer.body.contains(words), "{words}: {}", answer.body);
        }
        disk.no_path(&answer);
    }
    assert!(fs::read(disk.file("book.sqlite")).unwrap() == before);
    disk.page.signal("-INT");
    let (code, _, err) = disk.page.ended();
    assert_eq!(code, Some(0));
    assert!(err.contains("book.sqlite"), "{err}");
}

/// Every page that can be reached from Today by links, with its text. A link with a question beside
/// its path stands for all that differ in the answers alone.
fn linked_rooms(page: &Running) -> BTreeMap<String, String> {
    let mut rooms = BTreeMap::new();
    let mut asked = BTreeSet::new();
    let mut waiting = vec!["/".to_string()];
    while let Some(address) = waiting.pop() {
        let answer = page.get(&address);
        assert!(
            matches!(answer.status, 200 | 303),
            "{address}: {}",
            answer.body
        );
        let body = answer.body.replace("&#38;", "&");
        for link in body.split("href=\"/").skip(1) {
            let link = link.split(['"', '#']).next().unwrap();
            let (path, query) = link.split_once('?').unwrap_or((link, ""));
            let names = query.split('&').filter_map(|pair| pair.split('=').next());
            if asked.insert((path.to_string(), names.collect::<Vec<_>>().join(" "))) {
                waiting.push(format!("/{link}"));
            }
        }
        rooms.insert(address, answer.body);
    }
    rooms
}

/// Runs a command on a disk that may not be written to; `None` where this user may not mount one.
fn on_read_only(around: &Path, words: &[&str]) -> Option<Output> {
    let way = way_to_mount(around, READ_ONLY)?;
    let mut command = Command::new(way[0]);
    command.args(&way[1..]);
    command.args(["bash", "-c", READ_ONLY, env!("CARGO_BIN_EXE_trayful")]);
    command
        .args(words)
        .current_dir(around)
        .env("TRAYFUL_TODAY", "2026-11-16");
    Some(command.output().unwrap())
}

#[test]
fn commands_read_a_book_that_may_not_be_written_to_and_say_what_they_cannot_write() {
    let around = tempfile::tempdir().unwrap();
    fs::create_dir(around.path().join("disk")).unwrap();
    fs::rename(household().keep(), around.path().join("book")).unwrap();
    for words in [
        &["freezer"][..],
        &["week"],
        &["log"],
        &["tastes"],
        &["money"],
        &["plan", "show"],
        &["device"],
        &["book", "check"],
        &["batch", "butternut"],
    ] {
        let Some(said) = on_read_only(around.path(), words) else {
            return;
        };
        let err = String::from_utf8_lossy(&said.stderr);
        assert!(
            matches!(said.status.code(), Some(0 | 1)),
            "{words:?}: {err}"
        );
        assert!(
            !said.stdout.is_empty() && !err.contains("cannot"),
            "{words:?}: {err}"
        );
    }
    for words in [
        &["serve", "1 butternut", "--anyway"][..],
        &["question", "Is it done?"],
        &["undo", "1"],
        &["device", "drop", "1"],
    ] {
        let said = on_read_only(around.path(), words).unwrap();
        let err = String::from_utf8_lossy(&said.stderr);
        assert_eq!(said.status.code(), Some(2), "{words:?}: {err}");
        if words[0] != "device" {
            let plain =
                err.contains("nothing was recorded") && err.contains("may not be written to");
            assert!(plain, "{words:?}: {err}");
        }
    }
}

/// A power cut, or a copy of the folder, leaves entries in the log, and not the file that all who
/// read share.
#[test]
fn entries_in_the_log_of_a_closed_book_are_read() {
    let around = tempfile::tempdir().unwrap();
    fs::create_dir(around.path().join("disk")).unwrap();
    let book = household();
    let open = rusqlite::Connection::open(book.path().join("book.sqlite")).unwrap();
    let count = "SELECT count(*) FROM question";
    let before: i64 = open.query_row(count, [], |row| row.get(0)).unwrap();
    trayful(&["question", "Is it in the log?"])
        .inside(book.path())
        .answer();
    let copy = around.path().join("book");
    fs::create_dir_all(copy.join("recipes")).unwrap();
    for name in ["book.toml", "book.sqlite", "book.sqlite-wal"] {
        fs::copy(book.path().join(name), copy.join(name)).unwrap();
    }
    let after: i64 = open.query_row(count, [], |row| row.get(0)).unwrap();
    assert_eq!(after, before + 1);
    let Some(said) = on_read_only(around.path(), &["log"]) else {
        return;
    };
    let (out, err) = (
        String::from_utf8_lossy(&said.stdout),
        String::from_utf8_lossy(&said.stderr),
    );
    assert!(out.contains("Is it in the log?"), "{out}{err}");
}
