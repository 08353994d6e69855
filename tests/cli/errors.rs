//! Wrong input: one clear error with place and remedy, exit code 2.

use super::support::{folder, trayful};

const GOOD: &str = "title = \"Good\"\n[[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\n\
                    method = \"steam\"\n";

/// What is said of a recipe file with this text.
fn refused(text: &str) -> String {
    let folder = folder(&[("recipe.toml", text)]);
    trayful(&["batch", "recipe.toml"])
        .inside(folder.path())
        .refusal()
}

#[test]
fn the_recipe_that_the_errors_are_made_of_is_good() {
    let folder = folder(&[("recipe.toml", GOOD)]);
    trayful(&["batch", "recipe.toml"])
        .inside(folder.path())
        .answer();
}

#[test]
fn unknown_keys_are_told_all_at_once_with_the_nearest_known() {
    insta::assert_snapshot!(refused(
        "title = \"Keys\"\nserves = 3\n[[ingredient]]\nfood = \"11485\"\nammount = \"600 g\"\n\
         metod = \"steam\"\n[liquid]\nreturnd = \"100 ml\"\n"
    ));
}

#[test]
fn an_unknown_unit() {
    insta::assert_snapshot!(refused(&GOOD.replace("600 g", "600 stone")));
}

#[test]
fn an_unknown_food() {
    insta::assert_snapshot!(refused(&GOOD.replace("11485", "99999")));
}

/// What is misspelt, what no table knows and what has no such measure, in the order of the file.
#[test]
fn all_that_is_wrong_is_told_at_once() {
    let ingredient = |lines: &str| format!("[[ingredient]]\n{lines}\n");
    let text = [
        "title = \"Much\"\n".to_string(),
        ingredient("food = \"99999\"\namount = \"600 g\"\nmethod = \"steem\""),
        ingredient("food = \"squash\"\namount = \"six\"\nmethod = \"steam\""),
        ingredient("food = \"11485\"\namount = \"2 buckets\"\nmethod = \"steam\""),
        ingredient("food = \"11485\"\namount = \"2 thumbs\"\nmethod = \"none\"\nretention = \"1\""),
        "[liquid]\nwater = \"88888\"\nreturnd = \"1 ml\"\n".to_string(),
    ];
    insta::assert_snapshot!(refused(&text.concat()));
    let only_the_tables = text
        .concat()
        .replace("steem", "steam")
        .replace("six", "6 g");
    insta::assert_snapshot!(refused(
        &only_the_tables.replace("returnd = \"1 ml\"\n", "")
    ));
}

#[test]
fn words_that_could_mean_several_foods() {
    insta::assert_snapshot!(refused(&GOOD.replace("11485", "squash")));
}

#[test]
fn an_unknown_method() {
    insta::assert_snapshot!(refused(&GOOD.replace("steam", "steem")));
}

/// A way to cook that was left out is what is missing, whatever the words before it look like.
#[test]
fn a_method_left_out_on_the_command_line() {
    let refusal = trayful(&["batch", "--add", "200 g 11485"]).refusal();
    insta::assert_snapshot!(refusal);
}

#[test]
fn ounces_where_a_volume_is_due_and_fluid_ounces_where_a_mass_is() {
    insta::assert_snapshot!(refused(&format!(
        "{GOOD}weighed = \"8 fl oz\"\n[liquid]\ncollected = \"8 oz\"\n"
    )));
}

#[test]
fn more_returned_than_collected() {
    insta::assert_snapshot!(refused(&format!(
        "{GOOD}[liquid]\ncollected = \"100 ml\"\nreturned = \"200 ml\"\n"
    )));
}

#[test]
fn amounts_that_nobody_means() {
    let told: Vec<_> = [
        "-600 g", "0 g", "600 kg", "1e5 g", "1,200 g", "600", "two cups",
    ]
    .map(|amount| refused(&GOOD.replace("600 g", amount)))
    .to_vec();
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn an_empty_recipe() {
    insta::assert_snapshot!(refused("title = \"Nothing\"\n"));
    insta::assert_snapshot!(refused(""));
}

#[test]
fn a_recipe_of_only_water() {
    insta::assert_snapshot!(refused(
        "title = \"Water\"\n[[ingredient]]\nfood = \"14411\"\namount = \"500 g\"\n\
         method = \"none\"\n"
    ));
}

#[test]
fn a_text_that_is_not_toml() {
    insta::assert_snapshot!(refused("title = \"Broken\n[[ingredient]\n"));
}

#[test]
fn a_file_that_is_not_text() {
    let folder = folder(&[]);
    std::fs::write(folder.path().join("recipe.toml"), [0x66, 0x6f, 0xff, 0x00]).unwrap();
    let told = trayful(&["batch", "recipe.toml"])
        .inside(folder.path())
        .refusal();
    insta::assert_snapshot!(told);
}

#[test]
fn masses_that_contradict_each_other() {
    insta::assert_snapshot!(refused(&format!("{GOOD}weighed = \"10 g\"\n")));
    insta::assert_snapshot!(refused(&format!("{GOOD}[puree]\nweighed = \"20 g\"\n")));
}

#[test]
fn a_yield_a_retention_code_and_a_serving_that_cannot_be() {
    insta::assert_snapshot!(refused(&format!(
        "{GOOD}yield = -1\nretention = \"9999\"\n[serving]\ncubes = 0\n"
    )));
    insta::assert_snapshot!(refused(&format!("{GOOD}retention = \"9999\"\n")));
}

#[test]
fn a_fill_above_the_brim() {
    let told = trayful(&["batch", "--add", "600 g 11485 steam", "--fill", "1.2"]).refusal();
    insta::assert_snapshot!(told);
    let book = folder(&[
        (
            "book.toml",
            "[[tray]]\nname = \"blue\"\nwells = 14\nwell = \"30 ml\"\nfill = 1.5\n",
        ),
        ("recipes/r.toml", GOOD),
    ]);
    let told = trayful(&["batch", "recipes/r.toml"])
        .inside(book.path())
        .refusal();
    assert!(told.contains("fill = 1.5"), "{told}");
    assert!(told.contains("book.toml:5:8"), "{told}");
}

#[test]
fn a_tray_that_the_book_does_not_have() {
    let told = trayful(&[
        "batch",
        "demo/recipes/red-lentil-squash.toml",
        "--tray",
        "green",
    ])
    .refusal();
    insta::assert_snapshot!(told);
}

#[test]
fn a_pack_of_something_else() {
    let told = trayful(&[
        "batch",
        "--add",
        "600 g 11485 steam",
        "--use-up",
        "2 lb 16144",
    ])
    .refusal();
    insta::assert_snapshot!(told);
}

#[test]
fn a_missing_recipe_file() {
    insta::assert_snapshot!(trayful(&["batch", "recipes/none.toml"]).refusal());
}

#[test]
fn two_targets_at_once_are_a_usage_error() {
    let told = trayful(&[
        "batch",
        "--add",
        "600 g 11485 steam",
        "--trays",
        "2",
        "--cubes",
        "3",
    ]);
    assert!(told.refusal().contains("cannot go together with"));
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_behind_standard_output_is_an_error() {
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_trayful"))
        .arg("demo")
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    let told = String::from_utf8(output.stderr).unwrap();
    assert!(told.contains("cannot write to standard output"), "{told}");
}

#[test]
#[cfg(unix)]
fn a_reader_that_goes_away_is_no_error() {
    let script = "\"$0\" demo | head -n 1; echo \"${PIPESTATUS[0]}\"";
    let output = std::process::Command::new("bash")
        .args(["-c", script, env!("CARGO_BIN_EXE_trayful")])
        .output()
        .unwrap();
    let out = String::from_utf8(output.stdout).unwrap();
    assert!(out.ends_with("0\n"), "{out}");
    assert_eq!(output.stderr, b"");
}
