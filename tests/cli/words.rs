//! What a household means by words that could mean several foods: remembered in its book, stated, and forgotten.

use super::support::{folder, trayful};

#[test]
fn a_choice_is_remembered_stated_and_forgotten() {
    let book = folder(&[(
        "book.toml",
        "# ours\ncurrency = \"USD\" # dollars\n\n[[child]]\nname = \"Wren\"\nborn = \"2026-03-02\"\n",
    )]);
    let run = |args: &[&str]| trayful(args).inside(book.path());
    let squash = ["batch", "--add", "600 g squash roasted", "--json"];
    let asked = run(&squash).refusal();
    assert!(asked.contains("could be more than one food"), "{asked}");
    assert!(
        asked.contains("trayful batch --add \"600 g 11485 roasted\" --json"),
        "{asked}"
    );
    let kept = run(&["words", "squash", "11485"]).answer();
    assert_eq!(
        kept,
        "`squash` means Squash, winter, butternut, raw (11485).\n"
    );
    let taken: serde_json::Value = serde_json::from_str(&run(&squash).answer()).unwrap();
    assert_eq!(taken["taken"][0]["food"], "11485");
    // At the table it is the same squash, cooked.
    let bowl = run(&["mix", "40 g squash", "--json"]).answer();
    let bowl: serde_json::Value = serde_json::from_str(&bowl).unwrap();
    assert_eq!(bowl["taken"][0]["food"], "11486");
    let text = std::fs::read_to_string(book.path().join("book.toml")).unwrap();
    assert!(
        text.starts_with("# ours\ncurrency = \"USD\" # dollars\n"),
        "{text}"
    );
    run(&["words", "squash", "--forget"]).answer();
    assert!(
        run(&squash)
            .refusal()
            .contains("could be more than one food")
    );
    let bare = std::fs::read_to_string(book.path().join("book.toml")).unwrap();
    assert!(!bare.contains("squash"), "{bare}");
}

#[test]
fn a_word_that_nothing_explains_is_never_dropped() {
    for typed in [
        "600 g 11485 blorb steam",
        "12 blorb carrots steamed",
        "1e5 g 11485 steam",
        "2-3 carrots steamed",
        "600 g carrots or parsnips steamed",
        "-5 g carrots steamed",
    ] {
        let refused = trayful(&["batch", &format!("--add={typed}")]).refusal();
        assert!(!refused.is_empty(), "{typed}");
    }
}

#[test]
fn a_misspelt_search_offers_the_nearest() {
    let found = trayful(&["foods", "cannelini"]).said();
    assert_eq!(found.code, 1);
    assert!(
        found.out.contains("Did you mean") && found.out.contains("16049"),
        "{}",
        found.out
    );
}
