//! A draft as TOML, laid out as a person would write it.

use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike, Value, value};

use super::{Draft, DraftIngredient, Former};

/// What a form does not speak of, of an ingredient and of the whole.
pub(super) const OF_AN_INGREDIENT: [&str; 7] = [
    "yield",
    "weighed",
    "retention",
    "state",
    "drippings",
    "collected",
    "returned",
];
const OF_THE_WHOLE: [(&str, &str); 6] = [
    ("liquid", "water"),
    ("puree", "weighed"),
    ("puree", "loss"),
    ("freezer", "days"),
    ("freezer", "source"),
    ("serving", "reheat"),
];

/// The document of a draft; what does not differ from the former one stays as it is written there.
pub(super) fn document(draft: &Draft, former: Option<&Former>) -> DocumentMut {
    let mut document = former.map_or_else(DocumentMut::new, |former| former.document().clone());
    let before = former.map(Former::draft);
    let title = before.map(|before| before.title.as_str());
    set(document.as_table_mut(), "title", &draft.title, title);
    let rows: ArrayOfTables = draft
        .ingredients
        .iter()
        .map(|one| ingredient(one, former))
        .collect();
    document.insert("ingredient", Item::ArrayOfTables(rows));
    let both =
        |read: fn(&Draft) -> &String| (read(draft).as_str(), before.map(|one| read(one).as_str()));
    let liquid = [
        ("collected", both(|draft| &draft.collected)),
        ("returned", both(|draft| &draft.returned)),
        ("added", both(|draft| &draft.added)),
    ];
    for (key, (now, then)) in liquid {
        let millilitres = |text: &str| Value::from(format!("{} ml", one_line(text)));
        set_below(&mut document, ("liquid", key), now, then, millilitres);
    }
    let (now, then) = both(|draft| &draft.cubes);
    // What is not a number stays text, so that reading it says what is wrong.
    let cubes = |text: &str| {
        text.parse::<u32>()
            .map_or_else(|_| one_line(text).into(), |cubes| i64::from(cubes).into())
    };
    set_below(&mut document, ("serving", "cubes"), now, then, cubes);
    let (now, then) = both(|draft| &draft.weighed);
    let grams = |text: &str| Value::from(format!("{} g", one_line(text)));
    set_below(
        &mut document,
        ("puree", "weighed"),
        now,
        then.or(Some("")),
        grams,
    );
    if draft.bare {
        for (table, key) in OF_THE_WHOLE {
            drop_below(&mut document, (table, key));
        }
    }
    document
}

/// The table of an ingredient.
fn ingredient(draft: &DraftIngredient, former: Option<&Former>) -> Table {
    let kept = draft
        .row
        .zip(former)
        .and_then(|(row, former)| former.ingredient(row));
    let (mut table, before) = match kept {
        Some((table, before)) => (table.clone(), Some(before)),
        None => (Table::new(), None),
    };
    if before.is_none() {
        let comment = format!("\n# {}\n", one_line(&draft.name));
        table.decor_mut().set_prefix(comment);
    }
    set(
        &mut table,
        "food",
        &draft.food,
        before.map(|before| before.food.as_str()),
    );
    let typed = before.map_or("", |before| before.typed.as_str());
    if typed != draft.typed {
        if draft.typed.is_empty() {
            table.remove("typed");
        } else {
            put(&mut table, "typed", one_line(&draft.typed).into());
        }
    }
    let amount = amount(draft);
    set(
        &mut table,
        "amount",
        &amount,
        before.map(self::amount).as_deref(),
    );
    if before.map(|before| before.edible) != Some(draft.edible) {
        if draft.edible {
            put(&mut table, "basis", "edible".into());
        } else {
            table.remove("basis");
        }
    }
    set(
        &mut table,
        "method",
        &draft.method,
        before.map(|before| before.method.as_str()),
    );
    if draft.bare {
        for key in OF_AN_INGREDIENT {
            table.remove(key);
        }
    }
    table
}

fn amount(draft: &DraftIngredient) -> String {
    format!("{} {}", draft.amount, draft.unit)
        .trim()
        .to_string()
}

/// Sets a text that differs from what was there.
fn set(table: &mut dyn TableLike, key: &str, now: &str, then: Option<&str>) {
    if then != Some(now) {
        put(table, key, one_line(now).into());
    }
}

/// Sets a value in a table of the document that differs from what was there, and drops what is empty.
fn set_below(
    document: &mut DocumentMut,
    (name, key): (&str, &str),
    now: &str,
    then: Option<&str>,
    as_value: impl Fn(&str) -> Value,
) {
    if then == Some(now) {
        return;
    }
    if now.is_empty() {
        drop_below(document, (name, key));
        return;
    }
    let item = document.entry(name).or_insert_with(|| {
        let mut table = Table::new();
        table.decor_mut().set_prefix("\n");
        Item::Table(table)
    });
    if let Some(table) = item.as_table_like_mut() {
        put(table, key, as_value(now));
    }
}

fn drop_below(document: &mut DocumentMut, (name, key): (&str, &str)) {
    let table = document.get_mut(name).and_then(Item::as_table_like_mut);
    let empty = table.is_some_and(|table| table.remove(key).is_some() && table.is_empty());
    if empty {
        document.remove(name);
    }
}

/// Puts a value in the place of another, which leaves its blanks and its comment.
fn put(table: &mut dyn TableLike, key: &str, mut new: Value) {
    match table.get_mut(key).and_then(Item::as_value_mut) {
        Some(old) => {
            *new.decor_mut() = old.decor().clone();
            *old = new;
        }
        None => {
            table.insert(key, value(new));
        }
    }
}

/// A text without what would end its line.
pub(super) fn one_line(text: &str) -> String {
    text.replace(char::is_control, " ").trim().to_string()
}
