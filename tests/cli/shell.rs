//! What a shell and the manual know of the commands.

use std::path::Path;

use super::support::{folder, root, trayful};

/// What the last of these words may become, as the script of a shell asks for it.
fn completed(book: &Path, words: &[&str]) -> Vec<String> {
    let index = (words.len() - 1).to_string();
    let answer = trayful(&[&["--"], words].concat())
        .inside(book)
        .with("TRAYFUL_COMPLETE", "bash")
        .with("_CLAP_COMPLETE_INDEX", &index)
        .with("_CLAP_IFS", "\n")
        .answer();
    answer.lines().map(String::from).collect()
}

#[test]
fn names_of_the_book_complete_the_last_word() {
    let demo = root().join("demo");
    let of = |words: &[&str]| completed(&demo, &[&["trayful"], words].concat());
    for command in ["batch", "card", "freeze"] {
        assert_eq!(of(&[command, "red"]), ["red-lentil-squash"], "{command}");
    }
    for command in [
        &["serve", "2"][..],
        &["mix", "1"],
        &["labels"],
        &["plan", "set", "2026-11-16", "lunch", "2"],
    ] {
        assert_eq!(
            of(&[command, &["o"]].concat()),
            ["oat-prune-apricot"],
            "{command:?}"
        );
    }
    assert_eq!(of(&["serve", "2", "butternut", "--meal", "s"]), ["supper"]);
    assert_eq!(of(&["plan", "set", "2026-11-16", "l"]), ["lunch"]);
    assert_eq!(of(&["week", "--child", "W"]), ["Wren"]);
    assert_eq!(of(&["batch", "butternut", "--tray", "six"]), ["sixteen"]);
    assert_eq!(of(&["pla"]), ["plan"]);
    assert_eq!(
        of(&["freeze", "recipes/butter"]),
        ["recipes/butternut.toml"]
    );
}

#[test]
fn without_a_book_there_is_nothing_to_complete_with_and_no_word() {
    let nowhere = folder(&[]);
    assert!(completed(nowhere.path(), &["trayful", "serve", "2", "o"]).is_empty());
    let broken = folder(&[("book.toml", "meals = 1")]);
    assert!(completed(broken.path(), &["trayful", "batch", "o"]).is_empty());
}

#[test]
#[cfg(unix)]
fn the_script_of_bash_completes_in_bash() {
    let script = "source <(\"$0\" completions bash); COMP_WORDS=(trayful batch red); COMP_CWORD=2; \
                  COMP_TYPE=9; _clap_complete_trayful trayful red batch; echo \"${COMPREPLY[@]}\"";
    let output = std::process::Command::new("bash")
        .args(["-c", script, env!("CARGO_BIN_EXE_trayful")])
        .current_dir(root().join("demo"))
        .output()
        .unwrap();
    let out = String::from_utf8(output.stdout).unwrap();
    assert_eq!(out.trim(), "red-lentil-squash");
    for shell in ["zsh", "fish"] {
        let script = trayful(&["completions", shell]).answer();
        assert!(script.contains("TRAYFUL_COMPLETE"), "{script}");
    }
}

#[test]
fn the_manual_has_a_page_for_each_command() {
    let folder = folder(&[]);
    let main = trayful(&["man"]).answer();
    trayful(&["man", "--out", "pages/man1"])
        .inside(folder.path())
        .answer();
    let page =
        |name: &str| std::fs::read_to_string(folder.path().join("pages/man1").join(name)).unwrap();
    assert_eq!(page("trayful.1"), main);
    let help = trayful(&["help"]).answer();
    let commands = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let commands: Vec<_> = commands
        .take_while(|line| !line.is_empty())
        .filter_map(|line| line.split_whitespace().next())
        .filter(|command| *command != "help")
        .collect();
    assert!(commands.len() > 20);
    for command in commands {
        assert!(
            page(&format!("trayful-{command}.1")).contains(".SH SYNOPSIS"),
            "{command}"
        );
    }
    assert!(page("trayful-plan-set.1").contains("\\-\\-cook"));
}

#[test]
fn help_is_a_command_too() {
    let batch = trayful(&["help", "batch"]).answer();
    assert_eq!(batch, trayful(&["batch", "--help"]).answer());
    assert!(batch.contains("--save"), "{batch}");
}
