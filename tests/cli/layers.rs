//! How the source is laid out: what is worded for the command line stands in the command line alone, since the page has
//! next steps of its own; a type name has one meaning; and the contributor's map is true.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::support::root;

/// The files below a folder.
pub(crate) fn files(folder: &Path) -> Vec<PathBuf> {
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

/// The layers of the contributor's map, from the top down; those that stand side by side do not import each other.
fn layers() -> Vec<Vec<String>> {
    let guide = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let chain = guide.split("Dependencies run one way: ").nth(1).unwrap();
    let chain = chain.split(';').next().unwrap();
    let names = |layer: &str| {
        layer
            .split('`')
            .skip(1)
            .step_by(2)
            .map(String::from)
            .collect()
    };
    chain.split("->").map(names).collect()
}

/// The modules of the crate that a text imports or names by their path.
fn imported(text: &str) -> Vec<String> {
    let code = text
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"));
    let code = code.collect::<Vec<_>>().join("\n");
    let word = |rest: &str| {
        let name = rest
            .split(|c: char| !c.is_alphanumeric() && c != '_')
            .next();
        name.unwrap_or_default().to_string()
    };
    code.split("crate::").skip(1).map(word).collect()
}

/// The layer that a file of `src` belongs to.
fn layer_of(path: &Path) -> Option<String> {
    let below = path.strip_prefix(root().join("src")).unwrap();
    let first = below.iter().next().unwrap().to_str().unwrap();
    let name = first.strip_suffix(".rs").unwrap_or(first);
    (!["lib", "main"].contains(&name)).then(|| name.to_string())
}

#[test]
fn imports_run_down_the_contributors_map() {
    let layers = layers();
    let rank = |name: &str| {
        layers
            .iter()
            .position(|layer| layer.iter().any(|one| one == name))
    };
    let (mut wrong, mut seen) = (Vec::new(), 0);
    for path in files(&root().join("src")) {
        let Some(layer) = layer_of(&path) else {
            continue;
        };
        let Some(here) = rank(&layer) else {
            wrong.push(format!("{layer} is not on the map"));
            continue;
        };
        let text = std::fs::read_to_string(&path).unwrap();
        for name in imported(&text).into_iter().filter(|name| *name != layer) {
            seen += 1;
            if rank(&name).is_none_or(|there| there <= here) {
                wrong.push(format!("{} imports {name}", path.display()));
            }
        }
    }
    assert!(seen > 300, "the search finds few imports");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_module_is_named_with_its_line() {
    let lib = std::fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let modules = lib.lines().filter_map(|line| {
        let name = line
            .strip_prefix("pub ")
            .unwrap_or(line)
            .strip_prefix("mod ")?;
        name.strip_suffix(';')
    });
    let modules: Vec<&str> = modules.collect();
    assert!(modules.len() > 15);
    let named = |name: &str| {
        let line = format!("//! - [`{name}`]: ");
        lib.contains(&line) || lib.contains(&line.replace(['[', ']'], ""))
    };
    let lacking: Vec<&&str> = modules.iter().filter(|name| !named(name)).collect();
    assert!(lacking.is_empty(), "{lacking:?}");
    let mapped: Vec<String> = layers().concat();
    let lacking: Vec<&&str> = modules
        .iter()
        .filter(|name| !mapped.iter().any(|one| one == *name))
        .collect();
    assert!(lacking.is_empty(), "not on the map: {lacking:?}");
}

#[test]
fn every_file_that_the_guide_names_is_there() {
    let guide = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let named = guide.split('`').skip(1).step_by(2);
    let below = [
        "src/",
        "tests/",
        "scripts/",
        "templates/",
        "data-import/",
        "demo/",
        "examples/",
    ];
    let paths = named.filter(|path| below.iter().any(|folder| path.starts_with(folder)));
    let paths = paths.filter(|path| !path.contains('*'));
    let paths = paths.map(|path| path.split(' ').next().unwrap());
    let paths: Vec<&str> = paths.collect();
    assert!(paths.len() > 100, "the guide names {} paths", paths.len());
    let lacking: Vec<&&str> = paths
        .iter()
        .filter(|path| !root().join(path).exists())
        .collect();
    assert!(lacking.is_empty(), "{lacking:#?}");
}
