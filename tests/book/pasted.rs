//! The commands that the program prints run when they are pasted, in a book of two children too.

use super::household::Household;

/// Two children, cubes in the freezer, and an open reaction of one of them.
fn of_two() -> Household {
    let home = Household::new();
    home.say_of_itself("\n[[child]]\nname = \"Ima Lou\"\nborn = \"2026-03-02\"\n");
    home.answer(&["freeze", "squash", "--on", "2026-11-20"]);
    home.answer(&["freeze", "egg", "--on", "2026-11-20"]);
    let egg = [
        "serve",
        "1 egg",
        "--child",
        "Ima Lou",
        "--reaction",
        "hives",
    ];
    home.said(&[&egg[..], &["--on", "2026-11-21"]].concat());
    home
}

/// The commands in what the program said: between backticks, after a colon to the end of the line,
/// or on a line of their own.
fn commands(said: &str) -> Vec<String> {
    let joined = said.replace("\n  ", " ").replace("\n   ", " ");
    let quoted = joined.split('`').skip(1).step_by(2);
    let quoted: Vec<String> = quoted.map(|one| one.replace('\n', " ")).collect();
    let last = said.lines().filter_map(|line| {
        let (_, rest) = line.split_once(": trayful ").or_else(|| {
            let rest = line.trim_start().strip_prefix("trayful ")?;
            Some(("", rest))
        })?;
        Some(format!("trayful {rest}"))
    });
    quoted
        .into_iter()
        .chain(last)
        .filter(|one| one.starts_with("trayful "))
        .map(|one| one.split_whitespace().collect::<Vec<_>>().join(" "))
        .collect()
}

/// The words of a command as a shell takes them apart.
fn words(command: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut within = None;
    for letter in command.chars() {
        match (letter, within) {
            ('"' | '\'', None) => within = Some(letter),
            (letter, Some(quote)) if letter == quote => within = None,
            (' ', None) => words.push(String::new()),
            (letter, _) => words.last_mut().unwrap().push(letter),
        }
    }
    words
}

#[test]
fn every_printed_command_runs_in_a_book_of_two_children() {
    let home = of_two();
    let mut printed: Vec<(String, String)> = Vec::new();
    for args in [
        &["serve", "1 squash", "--on", "2026-11-22"][..],
        &["serve", "--meal", "dinner", "--child", "Wren"],
        &["serve", "--meal", "lunch", "--child", "Ima"],
        &["serve", "1 squash", "--child", "Wren,Ima Lou"],
        &["serve", "1 squash", "--child", "Wren", "--on", "tomorow"],
        &["milk", "breast"],
        &["milk", "breast", "--child", "Ima"],
        &["mix", "1 squash"],
        &["question", "Is it enough?"],
        &["question", "", "--child", "Wren"],
        &["question", "Is it enough?", "--child", "ima lou"],
        &["tastes"],
        &["tastes", "--child", "Ima Lou"],
        &["week"],
        &["visit"],
        &["plan", "show"],
        &["plan", "set", "tomorrow", "lunch", "1 squash"],
        &["plan", "propose"],
        &["plan", "check"],
        &["freezer"],
        &["cook-next"],
        &["money"],
        &["shop"],
        &[
            "buy",
            "2 lb butternut squash",
            "3.49",
            "--on",
            "next friday",
        ],
        &["discard", "1 squahs"],
    ] {
        let said = home.said(args);
        assert!(!said.err.contains("panicked"), "{}", said.err);
        // What takes an entry back would be asked of one that others hang on by then.
        for command in commands(&format!("{}{}", said.out, said.err)) {
            if !command.starts_with("trayful undo ") {
                printed.push((args.join(" "), command));
            }
        }
    }
    assert!(printed.iter().any(|(_, one)| one.contains("--child")));
    let mut ran = 0;
    for (after, command) in printed {
        let words = words(&command);
        let words: Vec<&str> = words.iter().skip(1).map(String::as_str).collect();
        // A bare name of a command says where to look, and its help says how.
        let bare =
            ["serve", "plan set", "buy", "freeze", "milk"].contains(&words.join(" ").as_str());
        let said = if bare {
            home.said(&[&words[..], &["--help"]].concat())
        } else {
            home.said(&words)
        };
        assert_ne!(
            said.code, 2,
            "{command}, printed after {after}: {}",
            said.err
        );
        ran += 1;
    }
    assert!(ran > 20, "{ran} commands");
}
