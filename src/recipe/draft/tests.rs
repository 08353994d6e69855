//! What becomes of a draft.

use super::write::one_line;
use super::*;
use proptest::prelude::*;

fn squash() -> Draft {
    Draft {
        title: "Squash".into(),
        ingredients: vec![DraftIngredient {
            food: "11485".into(),
            typed: String::new(),
            name: "Squash, winter, butternut, raw".into(),
            amount: "600".into(),
            unit: "g".into(),
            method: "steam".into(),
            edible: false,
            row: None,
            bare: false,
        }],
        collected: "250".into(),
        returned: "200".into(),
        ..Draft::default()
    }
}

#[test]
fn a_draft_is_written_as_a_person_would() {
    let written = squash().written();
    let text = "title = \"Squash\"\n\n# Squash, winter, butternut, raw\n[[ingredient]]\nfood = \"11485\"\n\
                amount = \"600 g\"\nmethod = \"steam\"\n\n[liquid]\ncollected = \"250 ml\"\nreturned = \"200 ml\"\n";
    assert_eq!(written.text(), text);
    assert_eq!(written.recipe().unwrap().ingredients.len(), 1);
}

#[test]
fn a_problem_is_told_of_its_part() {
    let mut draft = squash();
    draft.ingredients[0].amount = "lots".into();
    draft.ingredients[0].method = "fry".into();
    draft.returned = "300".into();
    draft.cubes = "two".into();
    let written = draft.written();
    let problems = written.recipe().unwrap_err();
    let parts: Vec<_> = problems
        .iter()
        .filter_map(|problem| written.part(problem))
        .collect();
    let expected = [
        DraftPart::Amount(0),
        DraftPart::Method(0),
        DraftPart::Returned,
        DraftPart::Cubes,
    ];
    assert_eq!(parts, expected, "{problems:?}");
}

proptest! {
    /// Whatever is typed stays what it is: it adds no key and no ingredient.
    #[test]
    fn words_stay_words(title in "\\PC*[\"\\\\\n\\[\\]=#']{0,9}\\PC*", name in "\\PC*\n?\\[\\[ingredient\\]\\]\\PC*") {
        let mut draft = squash();
        draft.title = title.clone();
        draft.ingredients[0].name = name;
        match draft.written().recipe() {
            Ok(recipe) => {
                prop_assert_eq!(recipe.title, one_line(&title));
                prop_assert_eq!(recipe.ingredients.len(), 1);
                prop_assert_eq!(recipe.freezer.days, None);
            }
            Err(problems) => prop_assert!(one_line(&title).is_empty(), "{problems:?}"),
        }
    }
}

/// The recipes of the demo household: files with comments, wide equals signs, yields and pounds.
fn demo() -> Vec<(String, Arc<SourceText>)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/recipes");
    let files = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path());
    let read = |path: std::path::PathBuf| {
        let text = std::fs::read_to_string(&path).unwrap();
        (
            path.display().to_string(),
            SourceText::new("a recipe", text),
        )
    };
    files.map(read).collect()
}

#[test]
fn a_file_that_nobody_changed_stays_as_it_is() {
    for (name, source) in demo() {
        let former = Former::read(&source).unwrap();
        let written = former.draft().written_into(&former);
        assert_eq!(written.text(), source.text, "{name}");
    }
}

#[test]
fn a_change_leaves_the_other_lines() {
    for (name, source) in demo() {
        let former = Former::read(&source).unwrap();
        let mut draft = former.draft().clone();
        let last = draft.ingredients.len() - 1;
        draft.ingredients[last].amount = "77".into();
        let written = draft.written_into(&former);
        let lines = |text: &str| text.lines().map(String::from).collect::<Vec<_>>();
        let (before, after) = (lines(&source.text), lines(written.text()));
        assert_eq!(before.len(), after.len(), "{name}");
        let differing: Vec<_> = before
            .iter()
            .zip(&after)
            .filter(|(one, other)| one != other)
            .collect();
        assert!(
            matches!(differing.as_slice(), [(_, after)] if after.contains("\"77 ")),
            "{name}: {differing:?}"
        );
        let recipe = written.recipe().unwrap();
        approx::assert_relative_eq!(recipe.ingredients[last].amount.value.number(), 77.0);
    }
}

const STEW: &str = "\
# Sunday
title = 'Stew'   # long

[[ingredient]]
food = \"23093\" # chuck
amount = \"1/2 lb\"
method = \"stew\"
weighed = \"180 g\"

# from the garden
[[ingredient]]
food = \"11282\"
amount = \"1 1/2 cup, chopped\"
basis = \"edible\"
method = \"stew\"

[liquid]
collected = \"1 cup\" # the broth
returned = \"100 ml\"
water = \"14429\"

[puree]
weighed = \"640 g\"
";

fn stew() -> Former {
    Former::read(&SourceText::new("stew", STEW)).unwrap()
}

#[test]
fn a_file_is_shown_as_it_is_typed() {
    let former = stew();
    let draft = former.draft();
    let [beef, onion] = draft.ingredients.as_slice() else {
        panic!("{draft:?}")
    };
    assert_eq!(
        (beef.amount.as_str(), beef.unit.as_str(), beef.edible),
        ("1/2", "lb", false)
    );
    assert_eq!(
        (onion.amount.as_str(), onion.unit.as_str(), onion.edible),
        ("1 1/2", "cup, chopped", true)
    );
    // A US cup is 236.588 ml (NIST Handbook 44, appendix C); cut, so that no more is returned than was collected.
    assert_eq!(
        (
            draft.collected.as_str(),
            draft.returned.as_str(),
            draft.added.as_str()
        ),
        ("236.5", "100", "")
    );
    assert_eq!(draft.cubes, "2");
    assert_eq!(
        (former.beyond(0).as_str(), former.beyond(1).as_str()),
        ("180 g when cooked", "")
    );
    assert_eq!(
        former.beyond_all(),
        "the blended purée weighs 640 g, its water is food 14429"
    );
}

#[test]
fn ingredients_come_and_go_with_their_comments() {
    let former = stew();
    let mut draft = former.draft().clone();
    draft.ingredients.remove(0);
    draft.ingredients.push(squash().ingredients.remove(0));
    draft.returned = String::new();
    draft.bare = true;
    let written = draft.written_into(&former);
    let expected = "\
# Sunday
title = 'Stew'   # long

# from the garden
[[ingredient]]
food = \"11282\"
amount = \"1 1/2 cup, chopped\"
basis = \"edible\"
method = \"stew\"

# Squash, winter, butternut, raw
[[ingredient]]
food = \"11485\"
amount = \"600 g\"
method = \"steam\"

[liquid]
collected = \"1 cup\" # the broth
";
    assert_eq!(written.text(), expected);
    assert_eq!(written.recipe().unwrap().ingredients.len(), 2);
}

#[test]
fn what_a_scale_said_before_can_be_dropped() {
    let former = stew();
    let mut draft = former.draft().clone();
    draft.ingredients[0].bare = true;
    draft.ingredients[1].edible = false;
    draft.collected = "400".into();
    let written = draft.written_into(&former);
    let text = written.text();
    assert!(
        !text.contains("180 g") && !text.contains("basis") && text.contains("640 g"),
        "{text}"
    );
    assert!(
        text.contains("collected = \"400 ml\" # the broth"),
        "{text}"
    );
}

#[test]
fn a_problem_in_a_former_file_is_told_of_its_part() {
    let former = stew();
    let mut draft = former.draft().clone();
    draft.ingredients[1].amount = "lots".into();
    draft.returned = "900".into();
    let written = draft.written_into(&former);
    let problems = written.recipe().unwrap_err();
    let parts: Vec<_> = problems
        .iter()
        .filter_map(|problem| written.part(problem))
        .collect();
    assert_eq!(
        parts,
        [DraftPart::Amount(1), DraftPart::Returned],
        "{problems:?}"
    );
}

#[test]
fn tables_in_brackets_are_taken_as_well() {
    let text = "title = \"x\"\ningredient = [{ food = \"11485\", amount = \"1 lb\", method = \"steam\" }]\nliquid = { added = \"60 ml\" }\n";
    let former = Former::read(&SourceText::new("x", text)).unwrap();
    let mut draft = former.draft().clone();
    draft.added = "90".into();
    let recipe = draft.written_into(&former).recipe().unwrap();
    assert_eq!(recipe.ingredients.len(), 1);
    approx::assert_relative_eq!(recipe.liquid.added.value.millilitres(), 90.0);
}

#[test]
fn what_a_form_does_not_speak_of_stays_in_the_file() {
    let text = "title = \"Pots\"\n\n[[ingredient]]\nfood = \"16034\"\namount = \"400 g\"\nmethod = \"boil\"\n\
                state = \"canned\"\ncollected = \"300 ml\"\nreturned = \"100 ml\"\n\n[[ingredient]]\nfood = \"05139\"\n\
                amount = \"400 g\"\nmethod = \"roast\"\ndrippings = \"50 %\"\n";
    let former = Former::read(&SourceText::new("pots", text)).unwrap();
    assert_eq!(
        (former.beyond(0).as_str(), former.beyond(1).as_str()),
        (
            "bought canned, 100 of 300 ml of its own liquid returned",
            "50 % of its drippings eaten"
        )
    );
    let mut draft = former.draft().clone();
    draft.ingredients[1].amount = "500".into();
    let written = draft.written_into(&former);
    let (before, after) = ("05139\"\namount = \"400 g", "05139\"\namount = \"500 g");
    assert_eq!(written.text(), text.replace(before, after));
    draft.ingredients[0].bare = true;
    let recipe = draft.written_into(&former).recipe().unwrap();
    assert!(recipe.ingredients[0].state.is_none() && recipe.ingredients[0].pot.is_none());
    assert_eq!(recipe.ingredients[1].drippings, Some(0.5));
}

#[test]
fn a_state_and_drippings_that_are_none_are_told_with_what_may_be_written() {
    let read = |line: &str| {
        let text = format!(
            "title = \"x\"\n[[ingredient]]\nfood = \"11124\"\namount = \"1 lb\"\nmethod = \"boil\"\n{line}\n"
        );
        let problems = Recipe::parse(&SourceText::new("x", text)).unwrap_err();
        let hint = problems[0].hint.as_ref().unwrap().words.clone();
        format!("{}: {hint}", problems[0].what)
    };
    let state = read("state = \"cookd\"");
    assert!(state.contains("did you mean “cooked”"), "{state}");
    for line in [
        "drippings = \"lots\"",
        "drippings = \"150 %\"",
        "drippings = \"-1 %\"",
    ] {
        assert!(read(line).contains("poured off"), "{line}");
    }
    let more = read("collected = \"100 ml\"\nreturned = \"200 ml\"");
    assert!(more.contains("more liquid is returned"), "{more}");
}
