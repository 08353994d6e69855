//! An entry that was confirmed is in the book, whole, whatever happens: many writers at once, a
//! writer killed at any moment, a full disk, a folder that may not be written to.

use std::collections::BTreeMap;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use jiff::civil::date;
use trayful::notebook::{Correction, Feeding, How, NewBatch, Pick, Purchase, Store};
use trayful::quantity::Mass;
use trayful::safety::AllergenTable;

use super::household::Household;
use super::sums::batches;
use super::support::said;

/// Set to run as often as the full check wants, not as often as a daily run can wait for.
const FULL: &str = "TRAYFUL_TEST_FULL";
/// Set for the process that writes and is killed: the record it writes to.
const WRITER: &str = "TRAYFUL_TEST_WRITER";

fn often(usual: usize, full: usize) -> usize {
    if std::env::var_os(FULL).is_some() {
        full
    } else {
        usual
    }
}

/// The number of the entry in what `trayful buy` says.
fn entry_number(told: &str) -> i64 {
    let number = told.split("(entry ").nth(1).unwrap();
    number.split(')').next().unwrap().parse().unwrap()
}

#[test]
fn eight_writers_at_once_lose_nothing() {
    let home = Household::new();
    let each = often(50, 200);
    let write = |writer: usize| -> Vec<(i64, String)> {
        let one = |turn: usize| {
            let store = format!("writer {writer} turn {turn}");
            let told = home.answer(&["buy", "1 g 11485", "0.01", "--at", &store]);
            let bought = entry_number(&told);
            let corrected =
                home.json(&["change", &bought.to_string(), "--price", "0.02", "--json"]);
            let change = corrected["now"]["number"].as_i64().unwrap();
            [(bought, store), (change, String::new())]
        };
        (0..each).flat_map(one).collect()
    };
    let told: Vec<Vec<(i64, String)>> = std::thread::scope(|scope| {
        let writers: Vec<_> = (0..8)
            .map(|writer| scope.spawn(move || write(writer)))
            .collect();
        let told = writers.into_iter().map(|writer| writer.join().unwrap());
        told.collect()
    });
    for writer in &told {
        assert!(
            writer.is_sorted(),
            "a writer's entries are numbered in the order of writing"
        );
    }
    let told: BTreeMap<i64, String> = told.into_iter().flatten().collect();
    let numbers: Vec<i64> = told.keys().copied().collect();
    assert_eq!(
        numbers,
        (1..=i64::try_from(2 * 8 * each).unwrap()).collect::<Vec<_>>()
    );
    let kept = home.texts("SELECT store FROM purchase ORDER BY entry");
    let bought = told.into_values().filter(|store| !store.is_empty());
    assert_eq!(kept, bought.collect::<Vec<_>>());
    let prices = home.texts("SELECT DISTINCT price FROM purchase");
    assert_eq!(prices, ["0.02"], "every correction is in force");
    sound(&home);
}

/// A file that is closed takes with it all the locks that its process has on it, those of other
/// threads too. `SQLite` minds that among its own files, and nobody else may open them:
/// <https://www.sqlite.org/howtocorrupt.html>, section 2.2.
#[test]
#[cfg(target_os = "linux")]
#[allow(clippy::print_stderr, reason = "a test that is skipped says so")]
fn who_opens_the_book_beside_another_takes_no_lock_from_it() {
    use std::os::unix::fs::MetadataExt as _;
    let home = Household::new();
    let first = Store::open(&home.record()).unwrap();
    let held = || {
        let locks = std::fs::read_to_string("/proc/locks").unwrap_or_default();
        let inode = std::fs::metadata(home.record()).unwrap().ino();
        let ours = |line: &&str| {
            let words: Vec<_> = line.split_whitespace().collect();
            words.contains(&std::process::id().to_string().as_str())
                && words
                    .iter()
                    .any(|word| word.ends_with(&format!(":{inode}")))
        };
        locks.lines().filter(ours).count()
    };
    if held() == 0 {
        eprintln!("skipped: this system does not tell of locks");
        return;
    }
    let second = Store::open(&home.record()).unwrap();
    assert!(held() > 0, "the lock on the record is still held");
    drop((first, second));
    assert_eq!(held(), 0);
}

fn sound(home: &Household) {
    assert_eq!(home.answer(&["book", "check"]), "The book is sound.\n");
}

/// Runs in the process that is killed: writes entries of every kind and confirms each.
fn write_until_killed(record: &std::path::Path) {
    let mut store = Store::open(record).unwrap();
    let mut out = std::io::stdout();
    let batch = &batches()[1];
    let allergens = AllergenTable::builtin().unwrap();
    let day = date(2026, 10, 1);
    let new = NewBatch {
        day,
        name: "lentil",
        batch,
        tray: "tray",
        cubes: 20,
        told: true,
        full: Mass::from_grams(20.0),
        use_by: date(2026, 10, 31),
        dataset: "test",
    };
    let purchase = Purchase {
        day,
        food: "11485".into(),
        name: "Squash".into(),
        mass: Mass::from_grams(1000.0),
        price: "3.49".parse().unwrap(),
        store: String::new(),
    };
    let pick: Pick = "3 lentil".parse().unwrap();
    loop {
        let frozen = store.freeze(&new, &allergens).unwrap().0;
        writeln!(out, "entry {frozen} batch").unwrap();
        let picks = [pick.clone()];
        let meal = Feeding {
            day,
            child: "Wren",
            picks: &picks,
            meal: "",
            foods: &[],
            share: None,
            how: How::Taken,
            reaction: "",
        };
        let served = store.serve(&meal).unwrap().id;
        writeln!(out, "entry {served} feeding").unwrap();
        let bought = store.buy(&purchase).unwrap();
        writeln!(out, "entry {bought} purchase").unwrap();
        let cheaper = Correction {
            price: "2.49".parse().ok(),
            ..Correction::default()
        };
        let corrected = store.correct(bought, &cheaper, day).unwrap().now.number;
        writeln!(out, "entry {corrected} change").unwrap();
        store.discard(day, &pick, "").unwrap();
        // Opened again, as each command does.
        store = Store::open(record).unwrap();
    }
}

#[test]
fn a_writer_killed_at_any_moment_loses_nothing_and_leaves_nothing_half() {
    if let Some(record) = std::env::var_os(WRITER) {
        write_until_killed(record.as_ref());
    }
    let home = Household::new();
    let mut confirmed = BTreeMap::new();
    for moment in 0..often(40, 200) {
        let mut writer = this_test(&home);
        // Moments between 0 and 40 ms after the first entry, the same in every run.
        wait_for_an_entry(&mut writer, &mut confirmed);
        std::thread::sleep(Duration::from_micros(
            u64::try_from(moment * 7919 % 40_000).unwrap(),
        ));
        writer.kill().unwrap();
        writer.wait().unwrap();
        let mut rest = String::new();
        writer
            .stdout
            .take()
            .unwrap()
            .read_to_string(&mut rest)
            .unwrap();
        confirmed.extend(rest.lines().filter_map(confirmation));
        all_whole(&home, &confirmed);
    }
    assert!(
        confirmed.len() >= 40,
        "{} entries are too few to tell",
        confirmed.len()
    );
    sound(&home);
}

/// This test again, as the process that writes.
fn this_test(home: &Household) -> Child {
    let name = "loss::a_writer_killed_at_any_moment_loses_nothing_and_leaves_nothing_half";
    Command::new(std::env::current_exe().unwrap())
        .args(["--exact", name, "--nocapture"])
        .env(WRITER, home.record())
        .stdout(Stdio::piped())
        .stderr(Stdio::inherit())
        .spawn()
        .unwrap()
}

fn wait_for_an_entry(writer: &mut Child, confirmed: &mut BTreeMap<i64, String>) {
    let mut out = BufReader::with_capacity(1, writer.stdout.as_mut().unwrap());
    let mut line = String::new();
    let start = Instant::now();
    loop {
        line.clear();
        assert!(
            out.read_line(&mut line).unwrap() > 0,
            "the writer ended by itself"
        );
        if let Some((number, kind)) = confirmation(&line) {
            confirmed.insert(number, kind);
            return;
        }
        assert!(
            start.elapsed() < Duration::from_secs(60),
            "the writer writes nothing"
        );
    }
}

/// A whole line that confirms an entry.
fn confirmation(line: &str) -> Option<(i64, String)> {
    let (number, kind) = line.trim_end().strip_prefix("entry ")?.split_once(' ')?;
    let known = ["batch", "feeding", "purchase", "change"].contains(&kind);
    known.then(|| (number.parse().unwrap(), kind.to_string()))
}

/// Every confirmed entry is there, and every entry that is there is there whole.
fn all_whole(home: &Household, confirmed: &BTreeMap<i64, String>) {
    let store = Store::open(&home.record()).unwrap();
    assert_eq!(store.check().unwrap(), Vec::<String>::new());
    let kept: BTreeMap<i64, String> = home
        .texts("SELECT id || ' ' || kind FROM entry")
        .iter()
        .map(|line| line.split_once(' ').unwrap())
        .map(|(number, kind)| (number.parse().unwrap(), kind.to_string()))
        .collect();
    for (number, kind) in confirmed {
        assert_eq!(kept.get(number), Some(kind), "entry {number} was confirmed");
    }
    let batch = &batches()[1];
    let parts = format!(
        "{} {}",
        batch.prepared.ingredients.len(),
        batch.nutrients.len()
    );
    let each = home.texts(
        "SELECT DISTINCT (SELECT count(*) FROM batch_food WHERE batch = entry) || ' ' ||
         (SELECT count(*) FROM batch_nutrient WHERE batch = entry) FROM batch",
    );
    assert!(each.is_empty() || each == [parts], "{each:?}");
    let meals = home.texts(
        "SELECT DISTINCT (SELECT sum(cubes) FROM feeding_part WHERE feeding = entry) || '' FROM feeding",
    );
    assert!(meals.is_empty() || meals == ["3"], "{meals:?}");
}

#[test]
#[cfg(unix)]
fn commands_killed_at_any_moment_lose_nothing() {
    use std::os::unix::process::CommandExt as _;
    let home = Household::new();
    let script = "while true; do \"$0\" buy \"1 g 11485\" 0.01 --on 2026-10-01; done";
    let mut confirmed = Vec::new();
    let mut moment = 0;
    // On a busy machine few commands end before they are killed: then more are started.
    while moment < often(15, 200) || (confirmed.len() <= 10 && moment < 400) {
        moment += 1;
        let mut loops = Command::new("bash")
            .args(["-c", script, env!("CARGO_BIN_EXE_trayful")])
            .current_dir(home.path())
            .process_group(0)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let wait = 20_000 + moment * 6091 % 80_000 * (1 + moment / 20);
        std::thread::sleep(Duration::from_micros(u64::try_from(wait).unwrap()));
        let group = format!("-{}", loops.id());
        let killed = Command::new("kill")
            .args(["-9", "--", &group])
            .status()
            .unwrap();
        assert!(killed.success());
        loops.wait().unwrap();
        let mut told = String::new();
        loops
            .stdout
            .take()
            .unwrap()
            .read_to_string(&mut told)
            .unwrap();
        confirmed.extend(
            told.split("Take it back")
                .filter(|told| told.contains(")."))
                .map(entry_number),
        );
    }
    assert!(
        confirmed.len() > 10,
        "{} entries are too few to tell",
        confirmed.len()
    );
    let kept = home.texts("SELECT id || '' FROM entry");
    for number in confirmed {
        assert!(
            kept.contains(&number.to_string()),
            "entry {number} was confirmed"
        );
    }
    sound(&home);
}

#[test]
#[cfg(target_os = "linux")]
fn on_a_full_disk_an_entry_is_recorded_or_refused() {
    let home = Household::new();
    home.answer(&["buy", "1 kg 11485", "4.00", "--on", "2026-10-01"]);
    let (mut refused, mut recorded) = (0, 0);
    // A limit on the size of a file, in KiB, stands for a full disk: writing fails half way, in
    // the log or in the record.
    for limit in (0..100).step_by(4) {
        let before = home.rows();
        let script = format!("trap '' XFSZ; ulimit -f {limit}; exec \"$0\" freeze squash");
        let output = Command::new("bash")
            .args(["-c", &script, env!("CARGO_BIN_EXE_trayful")])
            .current_dir(home.path())
            .output()
            .unwrap();
        let said = said(&output);
        if said.code == 0 {
            recorded += 1;
            assert_eq!(
                home.rows()["batch"].len(),
                before["batch"].len() + 1,
                "{}",
                said.out
            );
        } else {
            refused += 1;
            assert_eq!(said.code, 2, "{}", said.err);
            assert!(said.err.contains("the book “"), "{}", said.err);
            assert_eq!(said.out, "");
            assert_eq!(before, home.rows(), "{limit}: {}", said.err);
        }
        sound(&home);
    }
    assert!(
        refused > 2 && recorded > 2,
        "{refused} refused, {recorded} recorded"
    );
}

#[test]
#[cfg(target_os = "linux")]
fn a_copy_or_an_export_on_a_full_disk_leaves_no_half_file() {
    let home = Household::new();
    for _ in 0..30 {
        home.answer(&["freeze", "squash", "--on", "2026-10-01"]);
    }
    // More than the record needs for reading, less than the copy and the largest table.
    for what in ["backup copy.sqlite", "export out"] {
        let script = format!("trap '' XFSZ; ulimit -f 40; exec \"$0\" book {what}");
        let output = Command::new("bash")
            .args(["-c", &script, env!("CARGO_BIN_EXE_trayful")])
            .current_dir(home.path())
            .output()
            .unwrap();
        let said = said(&output);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{}", said.err);
    }
    // Beside the record lie at most its own log and index.
    let others = home
        .files()
        .into_keys()
        .filter(|path| !path.to_string_lossy().contains("book.sqlite"));
    assert_eq!(others.collect::<Vec<_>>(), [home.path().join("book.toml")]);
    // Whole tables may be there, a part of one may not.
    let mut names = Vec::new();
    for (path, bytes) in super::household::files(&home.path().join("out")) {
        assert!(bytes.ends_with(b"\n"), "{}", path.display());
        names.push(path.file_stem().unwrap().to_string_lossy().into_owned());
    }
    assert_eq!(names, ["batch", "batch_food", "device", "entry"]);
}

#[test]
#[cfg(target_os = "linux")]
#[allow(clippy::print_stderr, reason = "a test that is skipped says so")]
fn a_folder_that_may_not_be_written_to_is_read_and_told() {
    let home = Household::new();
    home.answer(&["freeze", "squash", "--on", "2026-10-01"]);
    let before = home.files();
    // Its own view of the files, in which the folder is read-only: this also holds for root.
    let script =
        "mount --bind . . && mount -o remount,ro,bind . && cd \"$PWD\" && exec \"$0\" \"$@\"";
    let run = |args: &[&str]| {
        let mut command = Command::new("unshare");
        command.args(["--mount", "--map-root-user", "bash", "-c", script]);
        command.arg(env!("CARGO_BIN_EXE_trayful")).args(args);
        command.current_dir(home.path()).output()
    };
    match run(&["data"]) {
        Ok(output) if output.status.success() => {}
        _ => {
            eprintln!("skipped: a read-only folder cannot be made here");
            return;
        }
    }
    let read = said(&run(&["freezer"]).unwrap());
    assert!(
        read.code == 0 && read.out.contains("squash"),
        "{}",
        read.err
    );
    for args in [
        &["serve", "1 squash"][..],
        &["undo"],
        &["buy", "1 kg 11485", "4"],
    ] {
        let said = said(&run(args).unwrap());
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{}", said.err);
        assert!(
            said.err
                .contains("a book that may not be written to can be read"),
            "{}",
            said.err
        );
        assert!(said.err.contains("book.sqlite"), "{}", said.err);
    }
    assert_eq!(before, home.files());
}
