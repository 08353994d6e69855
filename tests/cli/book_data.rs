//! A book with food data of its own: every command uses it, beside what is built in.

use std::fs;
use std::path::Path;

use super::support::{folder, root, trayful};

const BOOK: &str = "currency = \"USD\"\n[[child]]\nname = \"Wren\"\nborn = \"2026-03-02\"\n\
                    [[tray]]\nname = \"tray\"\nwells = 16\nwell = \"30 ml\"\n";
const SQUASH: &str = "title = \"Squash\"\n[[ingredient]]\nfood = \"11485\"\namount = \"600 g\"\nmethod = \"steam\"\n";

/// A book with a recipe of a food that is built in and one of a food that is not, and an invented download in the
/// layout of FoodData Central.
fn book() -> tempfile::TempDir {
    let moonroot = SQUASH.replace("11485", "1001");
    folder(&[
        ("book.toml", BOOK),
        ("recipes/squash.toml", SQUASH),
        ("recipes/moonroot.toml", &moonroot),
        (
            "set/food.csv",
            "fdc_id,data_type,description\n1001,branded_food,\"MOONROOT\"\n",
        ),
        (
            "set/food_nutrient.csv",
            "id,fdc_id,nutrient_id,amount,derivation_id\n1,1001,1008,70,70\n2,1001,1089,4,70\n",
        ),
        (
            "set/nutrient.csv",
            "id,name,unit_name,nutrient_nbr\n1089,Iron,MG,303\n1008,Energy,KCAL,208\n",
        ),
    ])
}

fn said(book: &Path, args: &[&str]) -> String {
    trayful(args).inside(book).answer()
}

const IMPORT: [&str; 5] = ["data", "import", "set", "--on", "2026-11-24"];

#[test]
fn it_is_used_by_every_command_and_the_recipes_keep_their_foods() {
    let book = book();
    let squash = ["batch", "recipes/squash.toml", "--age", "8"];
    let before = said(book.path(), &squash);
    let builtin = said(book.path(), &["data"]);
    assert_eq!(builtin, trayful(&["data"]).answer());
    insta::assert_snapshot!(said(book.path(), &IMPORT));
    assert_eq!(said(book.path(), &squash), before);
    assert!(said(book.path(), &["foods", "moonroot"]).contains("1001"));
    assert!(said(book.path(), &["foods", "butternut"]).contains("11485"));
    assert!(said(book.path(), &["foods", "--show", "1001"]).contains("MOONROOT"));
    assert!(said(book.path(), &["batch", "recipes/moonroot.toml"]).contains("MOONROOT"));
    let verified = said(book.path(), &["data", "--verify"]);
    assert!(verified.starts_with("Sound: 3 files"), "{verified}");
    let json = said(book.path(), &["data", "--json"]);
    assert!(
        json.contains("\"cache\": \"foods\"")
            && json.contains("\"built_in\": [\n    \"sr28\"\n  ]"),
        "{json}"
    );
    // From elsewhere: by the book, and by the recipe that lies in it.
    let path = book.path().to_str().unwrap();
    let away = folder(&[]);
    assert!(said(away.path(), &["--book", path, "foods", "moonroot"]).contains("1001"));
    let recipe = format!("{path}/recipes/moonroot.toml");
    assert!(said(away.path(), &["batch", &recipe]).contains("MOONROOT"));
    said(book.path(), &["data", "--remove", "branded"]);
    assert!(said(book.path(), &["data"]).contains("built in"));
    trayful(&["foods", "--show", "1001"])
        .inside(book.path())
        .refusal();
    assert_eq!(said(book.path(), &squash), before);
}

#[test]
fn a_folder_that_is_named_is_used_alone() {
    let book = book();
    let cut = root().join("data-import/tests/data/sr28-cut");
    let named = ["data", "import", cut.to_str().unwrap(), "--cache", "other"];
    said(book.path(), &named);
    assert!(!book.path().join("foods").exists());
    said(book.path(), &IMPORT);
    let show = |id, more: &[&str]| {
        let args = [&["foods", "--show", id][..], more].concat();
        trayful(&args).inside(book.path()).said().code
    };
    assert_eq!((show("1001", &[]), show("16144", &[])), (0, 0));
    let other = ["--cache", "other"];
    assert_eq!((show("01001", &other), show("16144", &other)), (0, 2));
    assert_eq!(show("1001", &other), 2);
    let own = ["--cache", "foods"];
    assert_eq!((show("1001", &own), show("16144", &own)), (0, 2));
}

#[test]
fn the_index_beside_it_finds_what_is_in_either() {
    let book = book();
    said(book.path(), &IMPORT);
    let found = |words| said(book.path(), &["foods", words]);
    let both = [found("moonroot"), found("carrots")];
    fs::remove_file(book.path().join("foods/search.index")).unwrap();
    assert_eq!(both, [found("moonroot"), found("carrots")], "as without it");
}

#[test]
fn another_folder_of_that_name_is_left_alone() {
    let book = book();
    fs::create_dir(book.path().join("foods")).unwrap();
    fs::write(book.path().join("foods/notes.txt"), "squash").unwrap();
    assert!(said(book.path(), &["data"]).contains("built in"));
    let told = trayful(&IMPORT).inside(book.path()).refusal();
    assert!(
        told.contains("“foods” holds other files, such as “notes.txt”"),
        "{told}"
    );
}
