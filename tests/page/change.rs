//! A recipe of the book is opened, changed, and put back.

use std::fs;
use std::path::PathBuf;

use super::client::Answer;
use super::running::{Running, household};
use super::support::trayful;

/// The fields of a form as a browser would send them: what is typed, chosen, hidden and checked.
fn filled(page: &Answer) -> Vec<(String, String)> {
    let form = page
        .body
        .split("<form method=\"post\" action=\"/cook/write\"")
        .nth(1)
        .unwrap();
    let form = form.split("</form>").next().unwrap();
    let attribute = |tag: &str, name: &str| {
        let start = format!(" {name}=\"");
        let value = tag.split_once(start.as_str())?.1.split('"').next()?;
        Some(value.replace("&#34;", "\"").replace("&#38;", "&"))
    };
    let mut fields = Vec::new();
    let mut select = String::new();
    for tag in form.split('<').filter_map(|rest| rest.split('>').next()) {
        let name = attribute(tag, "name").unwrap_or_default();
        let choice = tag.contains("type=\"radio\"") || tag.contains("type=\"checkbox\"");
        if tag.starts_with("input") && name != "token" && (!choice || tag.contains(" checked")) {
            fields.push((name, attribute(tag, "value").unwrap_or_default()));
        } else if tag.starts_with("select") {
            select = name;
        } else if tag.starts_with("option") && tag.contains(" selected") {
            fields.push((select.clone(), attribute(tag, "value").unwrap()));
        }
    }
    fields
}

/// Sends the form with some fields replaced.
fn send(page: &Running, form: &Answer, but: &[(&str, &str)]) -> Answer {
    let kept = filled(form);
    let kept = kept
        .iter()
        .filter(|(name, _)| but.iter().all(|(other, _)| other != name));
    let kept = kept.map(|(name, value)| (name.as_str(), value.as_str()));
    let fields: Vec<_> = kept.chain(but.iter().copied()).collect();
    page.post("/cook/write", &fields)
}

fn file(folder: &tempfile::TempDir, name: &str) -> PathBuf {
    folder.path().join("recipes").join(name)
}

#[test]
fn every_recipe_of_the_book_is_opened_and_saved_as_it_was() {
    let folder = household();
    let page = Running::inside(folder.path());
    for entry in fs::read_dir(folder.path().join("recipes")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap();
        let before = fs::read_to_string(&path).unwrap();
        let form = page.get(&format!("/cook/recipe/{name}/change"));
        assert_eq!(form.status, 200, "{name}: {}", form.body);
        assert!(
            form.body.contains("Iron in a cube"),
            "{name}: its figures stand there"
        );
        let saved = send(&page, &form, &[("save", "yes")]);
        assert_eq!(saved.status, 303, "{name}: {}", saved.body);
        assert_eq!(fs::read_to_string(&path).unwrap(), before, "{name}");
    }
}

#[test]
fn a_change_is_written_beside_the_comments_and_put_back() {
    let folder = household();
    let page = Running::inside(folder.path());
    let path = file(&folder, "beef-beetroot-barley.toml");
    let before = fs::read_to_string(&path).unwrap();
    let form = page.get("/cook/recipe/beef-beetroot-barley/change");
    assert!(
        form.body.contains("Its file also says: yield 2.9."),
        "{}",
        form.body
    );
    let saved = send(
        &page,
        &form,
        &[("amount-0", "300"), ("bare-2", "yes"), ("save", "yes")],
    );
    assert_eq!(saved.status, 303, "{}", saved.body);
    let after = fs::read_to_string(&path).unwrap();
    assert!(
        after.contains("amount = \"300 g\"") && !after.contains("yield"),
        "{after}"
    );
    assert!(
        after.contains("the nappy too") && after.contains("# stewing beef, chuck"),
        "{after}"
    );
    let told = page.get(saved.header("location"));
    assert!(
        told.body
            .contains("Changed Beef, beetroot and barley in the book"),
        "{}",
        told.body
    );
    let former = told.hidden("former");
    let back = page.post("/cook/former", &[("former", &former)]);
    assert_eq!(back.status, 303, "{}", back.body);
    assert_eq!(fs::read_to_string(&path).unwrap(), before);
    assert!(
        page.get(back.header("location"))
            .body
            .contains("is as it was before")
    );
    let again = page.post("/cook/former", &[("former", &former)]);
    assert!(
        page.get(again.header("location"))
            .body
            .contains("Nothing was put back")
    );
    assert_eq!(page.post("/cook/former", &[("former", "0")]).status, 404);
}

#[test]
fn a_file_that_somebody_changed_meanwhile_is_not_written_over() {
    let folder = household();
    let page = Running::inside(folder.path());
    let path = file(&folder, "butternut.toml");
    let form = page.get("/cook/recipe/butternut/change");
    let elsewhere = fs::read_to_string(&path).unwrap().replace("60 ml", "80 ml");
    fs::write(&path, &elsewhere).unwrap();
    let refused = send(&page, &form, &[("amount-0", "3"), ("save", "yes")]);
    assert!(
        refused.status == 422 && refused.body.contains("was changed since you opened it"),
        "{}",
        refused.body
    );
    assert_eq!(fs::read_to_string(&path).unwrap(), elsewhere);
    let beside = send(&page, &form, &[("name", "butternut-3"), ("save", "yes")]);
    assert_eq!(beside.status, 303, "{}", beside.body);
    assert_eq!(fs::read_to_string(&path).unwrap(), elsewhere);
    assert!(file(&folder, "butternut-3.toml").exists());
    fs::remove_file(&path).unwrap();
    assert_eq!(
        send(&page, &form, &[("save", "yes")]).status,
        303,
        "the file is written again"
    );
    for address in [
        "/cook/recipe/nothing/change",
        "/cook/recipe/..%2fbook/change",
    ] {
        assert_eq!(page.get(address).status, 404, "{address}");
    }
    fs::write(&path, "title = 3").unwrap();
    let wrong = page.get("/cook/recipe/butternut/change");
    assert_eq!(wrong.status, 422);
    assert!(
        !wrong.body.contains(folder.path().to_str().unwrap()),
        "{}",
        wrong.body
    );
}

#[test]
fn an_amount_is_given_in_the_measures_of_the_food() {
    let folder = household();
    let page = Running::inside(folder.path());
    let taken = page.post("/cook/write", &[("title", "Cups"), ("take", "11485")]);
    // USDA SR28, weights of 11485: "1 cup, cubes" is 140 g.
    assert!(
        taken
            .body
            .contains("<option value=\"cup, cubes\">cup, cubes (140 g)</option>"),
        "{}",
        taken.body
    );
    let said = [
        ("amount-0", "2 1/2"),
        ("unit-0", "cup, cubes"),
        ("edible-0", "yes"),
        ("method-0", "steam"),
        ("save", "yes"),
    ];
    let saved = send(&page, &taken, &said);
    assert_eq!(saved.status, 303, "{}", saved.body);
    let text = fs::read_to_string(file(&folder, "cups.toml")).unwrap();
    assert!(text.contains("amount = \"2 1/2 cup, cubes\""), "{text}");
    let batch = trayful(&["batch", "recipes/cups.toml", "--json"])
        .inside(folder.path())
        .answer();
    assert!(batch.contains("\"edible_g\": 350.0"), "{batch}");
    let form = page.get("/cook/recipe/cups/change");
    assert!(
        form.body.contains("<option value=\"cup, cubes\" selected>"),
        "{}",
        form.body
    );
    assert!(form.body.contains("value=\"2 1/2\""));
}

#[test]
fn foods_are_found_while_they_are_typed() {
    let folder = household();
    let page = Running::inside(folder.path());
    let found = page.get("/cook/found?words=butternut+sq");
    assert_eq!(found.status, 200);
    assert!(
        found.body.contains("name=\"take\" value=\"11485\"") && !found.body.contains("<html"),
        "{}",
        found.body
    );
    assert!(found.body.contains("foods found"), "{}", found.body);
    let none = page.get("/cook/found?words=qqqqqq%3Cscript%3E");
    assert!(
        none.body.contains("Nothing is called") && !none.body.contains("<script>"),
        "{}",
        none.body
    );
    assert!(!page.get("/cook/found?words=").body.contains("Nothing"));
    let key = page.post(
        "/cook/write",
        &[("work", "key"), ("words", "butternut squash")],
    );
    assert!(
        key.status == 200 && key.body.contains("value=\"11485\""),
        "{}",
        key.body
    );
}

/// What the words say that the food's entry does not (ground almonds) is kept with the recipe.
#[test]
fn the_words_for_a_food_stay_with_it_in_the_form() {
    let folder = household();
    let page = Running::inside(folder.path());
    let words = "200 g carrots steamed, 20 g ground almonds";
    let form = page.post("/cook/write", &[("words", words), ("find", "yes")]);
    assert_eq!(form.hidden("typed-1"), "ground almonds");
    let named = [("title", "Nutty"), ("save", "yes")];
    let saved = send(&page, &form, &named);
    assert_eq!(saved.status, 303, "{}", saved.body);
    let path = file(&folder, "nutty.toml");
    let line = "food = \"12061\"\ntyped = \"ground almonds\"\n";
    let written = || fs::read_to_string(&path).unwrap();
    assert!(written().contains(line), "{}", written());
    let form = page.get("/cook/recipe/nutty/change");
    let changed = [("amount-1", "30"), ("save", "yes")];
    let saved = send(&page, &form, &changed);
    assert_eq!(saved.status, 303, "{}", saved.body);
    assert!(
        written().contains(line) && written().contains("30 g"),
        "{}",
        written()
    );
}
