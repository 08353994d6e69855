//! Where the parts of a recipe stand in its text.

use std::ops::Range;

use toml_edit::{Document, TableLike};

use super::Part;

/// The parts that are there, each with its bytes.
pub(super) fn found(text: &str) -> Vec<(Range<usize>, Part)> {
    // What is no TOML has no parts; whoever reads it as a recipe says so.
    let Ok(document) = Document::parse(text) else {
        return Vec::new();
    };
    let mut parts = Vec::new();
    let mut note = |table: &dyn TableLike, key: &str, part: Part| {
        let pair = table.get_key_value(key);
        if let Some((Some(key), Some(value))) = pair.map(|(key, item)| (key.span(), item.span())) {
            parts.push((key.start..value.end, part));
        }
    };
    let root = document.as_table();
    note(root, "title", Part::Title);
    let ingredients = root
        .get("ingredient")
        .and_then(|one| one.as_array_of_tables());
    for (n, table) in ingredients.into_iter().flatten().enumerate() {
        note(table, "food", Part::Food(n));
        note(table, "amount", Part::Amount(n));
        note(table, "method", Part::Method(n));
        for key in super::write::OF_AN_INGREDIENT {
            note(table, key, Part::Beyond(n));
        }
    }
    let below = [
        ("liquid", "collected", Part::Collected),
        ("liquid", "returned", Part::Returned),
        ("liquid", "added", Part::Added),
        ("serving", "cubes", Part::Cubes),
    ];
    for (name, key, part) in below {
        if let Some(table) = root.get(name).and_then(|table| table.as_table_like()) {
            note(table, key, part);
        }
    }
    parts
}
