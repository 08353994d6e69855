//! A dataset read in onto a disk that is full.

use std::path::{Path, PathBuf};
use std::process::Command;

use data_import::verify;

use super::import::{download, over, said, send};
use super::running::{Running, household};

/// How to start a program that may mount a disk of its own; `None` where this user may
/// not.
fn with_own_disks() -> Option<&'static [&'static str]> {
    let ways: [&[&str]; 2] = [
        &["unshare", "--mount"],
        &["unshare", "--user", "--map-root-user", "--mount"],
    ];
    let works = |way: &&&[&str]| {
        let mut tried = Command::new(way[0]);
        tried
            .args(&way[1..])
            .args(["sh", "-c", "mount -t tmpfs tmpfs /mnt"])
            .status()
            .is_ok_and(|tried| tried.success())
    };
    ways.iter().find(works).copied()
}

/// The page of a copy of the book on a disk of 4 MiB that is filled up but for so many KiB.
fn on_a_small_disk(way: &[&str], folder: &Path, room: u32) -> (Running, PathBuf) {
    let script = format!(
        "set -e
        mkdir -p disk && mount -t tmpfs -o size=4m tmpfs disk
        cp -r book disk/book
        free=$(($(df --output=avail -k disk | tail -1) - {room}))
        head -c ${{free}}K /dev/zero > disk/filler
        cd disk/book && exec \"$TRAYFUL\" page --port 0"
    );
    let mut command = Command::new(way[0]);
    command
        .args(&way[1..])
        .args(["bash", "-c", &script])
        .current_dir(folder)
        .env_clear()
        .env("PATH", std::env::var_os("PATH").unwrap_or_default())
        .env("TRAYFUL", env!("CARGO_BIN_EXE_trayful"));
    let page = Running::started(command);
    let seen = PathBuf::from(format!("/proc/{}/root", page.id()));
    let disk = folder.join("disk/book/foods");
    (page, seen.join(disk.strip_prefix("/").unwrap()))
}

#[test]
fn a_disk_that_is_full_leaves_the_food_data_whole_and_the_page_going() {
    let Some(way) = with_own_disks() else {
        let skipped = b"SKIPPED: this user may not mount a disk\n";
        std::io::Write::write_all(&mut std::io::stderr(), skipped).unwrap();
        return;
    };
    let home = household();
    let place = tempfile::tempdir().unwrap();
    let book = place.path().join("book");
    Command::new("cp")
        .arg("-r")
        .arg(home.path())
        .arg(&book)
        .status()
        .unwrap();
    std::fs::write(book.join("moon.zip"), download(3, 1)).unwrap();
    said(&book, &["data", "import", "moon.zip"]);
    let new = download(20_000, 2);
    let mut full = 0;
    for room in [64, 512, 1024, 1536, 2048] {
        let (page, foods) = on_a_small_disk(way, place.path(), room);
        assert_eq!(page.get("/foods/1001").status, 200);
        assert_eq!(send(&page, "new.zip", &new).status, 303, "{room} KiB");
        let told = over(&page);
        // The full disk is named on top of every page of a book that cannot be written, so what
        // came of the import is known by its own words.
        if told.contains("20000 foods") || told.contains("search index could not") {
            assert_eq!(verify(&foods).unwrap().foods, 20_000);
        } else {
            full += 1;
            assert!(told.contains("The disk is full."), "{room} KiB: {told}");
            assert_eq!(page.get("/foods/1001").status, 200);
            assert_eq!(page.get("/foods/1003").status, 404);
            assert_eq!(verify(&foods).unwrap().foods, 3);
        }
    }
    assert!(full > 1, "{full} were full");
}
