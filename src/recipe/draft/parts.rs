//! Where the parts of a recipe stand in its text.

use std::ops::Range;

use toml_edit::{Document, TableLike};

use super::DraftPart;

/// The parts that are there, each with its bytes.
pub(super) fn found(text: &str) -> Vec<(Range<usize>, DraftPart)> {
    // Text that is not TOML has no parts; reading it as a recipe says so.
    let Ok(document) = Document::parse(text) else {
        return Vec::new();
    };
    let mut parts = Vec::new();
    let mut note = |table: &dyn TableLike, key: &str, part: DraftPart| {
        let pair = table.get_key_value(key);
        if let Some((Some(key), Some(value))) = pair.map(|(key, item)| (key.span(), item.span())) {
            parts.push((key.start..value.end, part));
        }
    };
    let root = document.as_table();
    note(root, "title", DraftPart::Title);
    let ingredients = root
        .get("ingredient")
        .and_then(|item| item.as_array_of_tables());
    for (n, table) in ingredients.into_iter().flatten().enumerate() {
        note(table, "food", DraftPart::Food(n));
        note(table, "amount", DraftPart::Amount(n));
        note(table, "method", DraftPart::Method(n));
        for key in super::write::OF_AN_INGREDIENT {
            note(table, key, DraftPart::Beyond(n));
        }
    }
    let below = [
        ("liquid", "collected", DraftPart::Collected),
        ("liquid", "returned", DraftPart::Returned),
        ("liquid", "added", DraftPart::Added),
        ("serving", "cubes", DraftPart::Cubes),
    ];
    for (name, key, part) in below {
        if let Some(table) = root.get(name).and_then(|table| table.as_table_like()) {
            note(table, key, part);
        }
    }
    parts
}
