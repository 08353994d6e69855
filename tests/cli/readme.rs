//! The README is true: each of its blocks is run, and the answers that it shows are what is printed.
//!
//! `TRAYFUL_README=write` writes the answers again.

use std::path::{Path, PathBuf};

use super::support::{Said, root, trayful};

/// The words of a command as a shell takes them apart: quotes, and a remark behind `#`.
fn words(line: &str) -> Vec<String> {
    let (mut words, mut word, mut quoted) = (Vec::new(), None, false);
    for letter in line.chars() {
        match letter {
            '"' => {
                quoted = !quoted;
                word.get_or_insert_with(String::new);
            }
            '#' if !quoted && word.is_none() => break,
            ' ' if !quoted => words.extend(word.take()),
            letter => word.get_or_insert_with(String::new).push(letter),
        }
    }
    words.extend(word);
    words
}

/// A folder in which the commands of the README are run one after the other.
struct Shell {
    _kept: tempfile::TempDir,
    folder: PathBuf,
}

impl Shell {
    fn new() -> Self {
        let kept = tempfile::tempdir().unwrap();
        let demo = kept.path().join("demo/recipes");
        std::fs::create_dir_all(&demo).unwrap();
        for file in std::fs::read_dir(root().join("demo/recipes")).unwrap() {
            let file = file.unwrap();
            std::fs::copy(file.path(), demo.join(file.file_name())).unwrap();
        }
        Self {
            folder: kept.path().to_path_buf(),
            _kept: kept,
        }
    }

    /// What a command says; `None` for a change of the folder.
    fn run(&mut self, line: &str) -> Option<Said> {
        let words = words(line);
        let (program, arguments) = words.split_first()?;
        if program == "cd" {
            self.folder = self.folder.join(&arguments[0]);
            assert!(self.folder.is_dir(), "{line}");
            return None;
        }
        assert_eq!(program, "trayful", "{line}");
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        Some(trayful(&arguments).inside(&self.folder).said())
    }
}

/// The README with the answers of its blocks as they are.
fn with_answers(readme: &str) -> String {
    let mut shell = Shell::new();
    let mut text = String::new();
    let mut block = "";
    for line in readme.lines() {
        if let Some(kind) = line.strip_prefix("```") {
            block = if block.is_empty() { kind } else { "" };
        }
        let command = match block {
            "console" if !line.starts_with("```") => match line.strip_prefix("$ ") {
                Some(command) => command,
                None => continue,
            },
            "sh" if !line.starts_with("```") => line,
            _ => "",
        };
        text += line;
        text += "\n";
        // What is recorded today may be warned of, but nothing is refused.
        if let Some(said) = shell.run(command) {
            assert!(said.code < 2, "{command}: {}", said.err);
            if block == "console" && !command.contains("--into") {
                assert_eq!(said.code, 0, "{command}: {}", said.err);
                text += &said.out;
            }
        }
        if command.starts_with("trayful start") {
            assert!(shell.folder.join("our-book/book.toml").is_file());
        }
    }
    text
}

#[test]
fn every_block_runs_and_prints_what_it_shows() {
    let path: &Path = &root().join("README.md");
    let readme = std::fs::read_to_string(path).unwrap();
    let anew = with_answers(&readme);
    if std::env::var_os("TRAYFUL_README").is_some() {
        std::fs::write(path, &anew).unwrap();
    }
    assert_eq!(readme, anew);
}
