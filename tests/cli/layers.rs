//! How the source is laid out: what is worded for the command line stands in the command line alone, since the page has
//! next steps of its own; and a type name has one meaning.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::support::root;

/// The files below a folder.
fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap();
    let paths = entries.map(|entry| entry.unwrap().path());
    let below = |path: PathBuf| {
        if path.is_dir() {
            files(&path)
        } else {
            vec![path]
        }
    };
    paths.flat_map(below).collect()
}

/// The lines of a file that are no comment and name a command: `trayful` with a word behind it.
fn commands(path: &Path) -> Vec<String> {
    let text = std::fs::read_to_string(path).unwrap_or_default();
    let names = |line: &&str| {
        let mut after = line.split("trayful ").skip(1);
        after.any(|rest| rest.starts_with(|c: char| c.is_ascii_lowercase() || c == '{'))
    };
    let code = text
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"));
    code.filter(names).map(String::from).collect()
}

#[test]
fn no_command_is_worded_outside_the_command_line() {
    let root = root();
    let (mut below, mut in_cli) = (Vec::new(), 0);
    for path in files(&root.join("src"))
        .into_iter()
        .chain(files(&root.join("templates")))
    {
        let found = commands(&path);
        if path.starts_with(root.join("src/cli")) {
            in_cli += found.len();
        } else {
            below.extend(
                found
                    .into_iter()
                    .map(|line| format!("{}: {line}", path.display())),
            );
        }
    }
    assert!(in_cli > 20, "the search finds no commands at all");
    assert!(below.is_empty(), "{}", below.join("\n"));
}

/// The name of the type that a line declares; an associated type, which stands further in, is none.
fn declared(line: &str) -> Option<&str> {
    let code = line.trim_start();
    let rest = match code.strip_prefix("pub") {
        Some(rest) if rest.starts_with('(') => rest.split_once(") ")?.1,
        Some(rest) => rest.strip_prefix(' ')?,
        None => code,
    };
    let (keyword, rest) = rest.split_once(' ')?;
    let declares = match keyword {
        "struct" | "enum" | "trait" => true,
        "type" => code.len() == line.len(),
        _ => false,
    };
    let name = rest.split(|c: char| !c.is_alphanumeric()).next()?;
    declares.then_some(name)
}

#[test]
fn one_type_name_has_one_meaning() {
    let mut places: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for path in files(&root().join("src")) {
        let text = std::fs::read_to_string(&path).unwrap();
        for name in text.lines().filter_map(declared) {
            let place = path.display().to_string();
            places.entry(name.to_string()).or_default().push(place);
        }
    }
    assert!(places.len() > 500, "the search finds few types");
    let doubled: Vec<_> = places.iter().filter(|(_, at)| at.len() > 1).collect();
    assert!(doubled.is_empty(), "{doubled:#?}");
}
