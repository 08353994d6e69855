//! Imports onto a disk that is full, read-only, or not writable for this user: an error that names the file,
//! and the cache that was there stays whole.

use std::fs;
use std::io::Write;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::{Command, Output};

use data_import::verify;
use tempfile::TempDir;

use super::support::{folder, root, said, trayful};

/// Runs a script of bash in the folder, with the program as `$TRAYFUL`; `start` starts bash.
fn bash(folder: &Path, start: &[&str], script: &str) -> Output {
    let words = [start, &["bash", "-c", script]].concat();
    let mut command = Command::new(words[0]);
    command
        .args(&words[1..])
        .current_dir(folder)
        .env_clear()
        .env("PATH", std::env::var_os("PATH").unwrap_or_default())
        .env("TRAYFUL", env!("CARGO_BIN_EXE_trayful"))
        .env("CUT", root().join("data-import/tests/data/sr28-cut"))
        .env("FULL", root().join("data-import/tests/data/sr28-full-cut"));
    command.output().unwrap()
}

/// How to start a program that may mount a disk which nobody else sees, and which is gone when it ends; the
/// system's administrator may, and on many systems so may everybody.
fn with_own_disks(folder: &Path) -> Option<&'static [&'static str]> {
    let ways: [&[&str]; 2] = [
        &["unshare", "--mount"],
        &["unshare", "--user", "--map-root-user", "--mount"],
    ];
    let script = "mkdir -p disk && mount -t tmpfs -o size=1m tmpfs disk";
    let works = |way: &&&[&str]| bash(folder, way, script).status.success();
    let found = ways.iter().find(works).copied();
    if found.is_none() {
        told("SKIPPED: this user may not mount a disk\n");
    }
    found
}

fn told(text: &str) {
    std::io::stderr().write_all(text.as_bytes()).unwrap();
}

/// Whether this user may write where nobody may.
fn is_administrator(folder: &Path) -> bool {
    let closed = folder.join("closed");
    fs::create_dir(&closed).unwrap();
    fs::set_permissions(&closed, fs::Permissions::from_mode(0o555)).unwrap();
    fs::write(closed.join("test"), "").is_ok()
}

/// A folder with a cache in `disk/cache`.
fn with_cache() -> TempDir {
    let folder = folder(&[]);
    fs::create_dir(folder.path().join("disk")).unwrap();
    let script = "\"$TRAYFUL\" data import \"$CUT\" --cache disk/cache --on 2026-11-24";
    assert!(bash(folder.path(), &[], script).status.success());
    folder
}

#[test]
fn a_disk_that_is_full_at_any_moment_leaves_the_cache_whole() {
    let folder = with_cache();
    let Some(way) = with_own_disks(folder.path()) else {
        return;
    };
    // A disk of 2 MiB with the cache on it, filled up but for `room`; then what was said, and the cache as
    // it was left.
    let script = |room: u32| {
        format!(
            "set -e
            cp -r disk/cache old
            mount -t tmpfs -o size=2m tmpfs disk
            cp -r old disk/cache
            free=$(($(df --output=avail -k disk | tail -1) - {room}))
            head -c ${{free}}K /dev/zero > disk/filler
            code=0
            \"$TRAYFUL\" data import \"$FULL\" --cache disk/cache --on 2026-11-25 >&2 || code=$?
            cp -r disk/cache left
            exit $code"
        )
    };
    let mut failed = Vec::new();
    for room in (0..400).step_by(4) {
        let place = folder.path();
        for old in ["old", "left"] {
            fs::remove_dir_all(place.join(old)).unwrap_or_default();
        }
        let said = said(&bash(place, way, &script(room)));
        verify(&place.join("left")).unwrap();
        let sources = fs::read_to_string(place.join("left/manifest.json")).unwrap();
        let is_new = sources.contains("2026-11-25");
        if said.code == 0 {
            assert!(is_new);
            assert!(failed.len() > 5, "it failed with {failed:?} KiB only");
            return;
        }
        assert_eq!(said.code, 2, "{}", said.err);
        let first = said.err.lines().take_while(|line| *line != " |");
        let first = first.map(str::trim).collect::<Vec<_>>().join(" ");
        let file = first.strip_prefix("error: cannot write “disk/cache/");
        let reason = file
            .and_then(|text| text.split_once("”: "))
            .map(|(_, reason)| reason);
        let expected = Some("No space left on device (os error 28)");
        assert_eq!(reason, expected, "{room} KiB: {}", said.err);
        // The index comes after the foods; it is made again in memory where it is missing.
        assert!(!is_new || said.err.contains("search.index"), "{}", said.err);
        failed.push(room);
    }
    panic!("it never went in: {failed:?}");
}

#[test]
fn a_read_only_disk_is_named() {
    let folder = with_cache();
    let Some(way) = with_own_disks(folder.path()) else {
        return;
    };
    let script = "set -e
        mount --bind disk disk
        mount -o remount,bind,ro disk
        code=0
        \"$TRAYFUL\" data import \"$FULL\" --cache disk/cache || code=$?
        \"$TRAYFUL\" data --verify --cache disk/cache >&2
        exit $code";
    let said = said(&bash(folder.path(), way, script));
    assert_eq!(said.code, 2, "{}", said.err);
    let expected = "cannot write “disk/cache/import.lock”";
    assert!(said.err.contains(expected), "{}", said.err);
    assert!(said.err.contains("Sound: "), "{}", said.err);
}

#[test]
fn who_may_not_write_is_told_so() {
    let folder = with_cache();
    let place = folder.path();
    let mode =
        |path: &Path, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    let cache = place.join("disk/cache");
    let mut way: &[&str] = &[];
    let mut program = env!("CARGO_BIN_EXE_trayful").to_owned();
    if is_administrator(place) {
        // Another user has to be able to start the program, wherever the project is.
        way = &[
            "setpriv",
            "--reuid=65534",
            "--regid=65534",
            "--clear-groups",
        ];
        fs::copy(&program, place.join("trayful")).unwrap();
        program = "./trayful".to_owned();
        let from = root().join("data-import/tests/data/sr28-full-cut");
        fs::create_dir(place.join("full")).unwrap();
        for file in fs::read_dir(from).unwrap() {
            let file = file.unwrap();
            fs::copy(file.path(), place.join("full").join(file.file_name())).unwrap();
        }
        mode(place, 0o755);
        if !bash(place, way, "true").status.success() {
            told("SKIPPED: the administrator cannot become another user here\n");
            return;
        }
    }
    mode(&cache, 0o555);
    let script = format!(
        "from=full; test -d full || from=$FULL
        {program} data import \"$from\" --cache disk/cache"
    );
    let said = said(&bash(place, way, &script));
    mode(&cache, 0o755);
    assert_eq!(said.code, 2, "{}", said.err);
    assert!(
        said.err.contains("cannot write “disk/cache/"),
        "{}",
        said.err
    );
    assert!(said.err.contains("Permission denied"), "{}", said.err);
    verify(&cache).unwrap();
    let whole = ["data", "--verify", "--cache", "disk/cache"];
    trayful(&whole).inside(place).answer();
}
