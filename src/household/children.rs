//! The children in `book.toml`: added and changed; allergies that stop nothing; and the meals on record that a day of birth leaves behind.

use jiff::ToSpan as _;
use jiff::civil::Date;
use toml_edit::{Array, Value};

use crate::food::{FoodDataError, Pantry};
use crate::notebook::{Book, BookError, Eczema, LogEntry, Setting, Store};
use crate::nutrition::energy::Sex;
use crate::problem::{Problem, edit_distance};
use crate::safety::{has_no_word, is_in_name, looked_for, may_be_over};
use crate::words::quoted;

/// What is to be different about a child. `None` leaves what the book says; an inner `None` takes it out of the book.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ChildChanges {
    /// The day of birth.
    pub born: Option<Date>,
    /// The sex.
    pub sex: Option<Option<Sex>>,
    /// The weight at birth, as it is written: `3.1 kg`.
    pub birth_weight: Option<Option<String>>,
    /// Whole weeks before the due date.
    pub weeks_early: Option<Option<u32>>,
    /// Whether there is eczema, and how severe it is.
    pub eczema: Option<Eczema>,
    /// Every known allergy.
    pub allergies: Option<Vec<String>>,
    /// How milk is fed, in the household's words.
    pub milk: Option<Option<String>>,
}

impl ChildChanges {
    /// Whether nothing is to be different.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    fn settings(&self) -> Vec<Setting<'static>> {
        let mut settings: Vec<Setting<'static>> = Vec::new();
        let text = |text: &Option<String>| text.as_deref().map(Value::from);
        settings.extend(
            self.born
                .map(|born| ("born", Some(born.to_string().into()))),
        );
        settings.extend(
            self.sex
                .map(|sex| ("sex", sex.map(|sex| sex.word().into()))),
        );
        let weight = self.birth_weight.as_ref();
        settings.extend(weight.map(|weight| ("birth_weight", text(weight))));
        let weeks = self.weeks_early;
        settings
            .extend(weeks.map(|weeks| ("weeks_early", weeks.map(|weeks| i64::from(weeks).into()))));
        settings.extend(self.eczema.map(|eczema| ("eczema", Some(written(eczema)))));
        let list = |all: &Vec<String>| Some(Value::Array(all.iter().collect::<Array>()));
        let allergies = self.allergies.as_ref();
        settings.extend(allergies.map(|all| ("allergies", list(all).filter(|_| !all.is_empty()))));
        settings.extend(self.milk.as_ref().map(|milk| ("milk", text(milk))));
        settings
    }
}

/// Eczema as `book.toml` has it.
fn written(eczema: Eczema) -> Value {
    match eczema {
        Eczema::None => false.into(),
        Eczema::Unspecified => true.into(),
        Eczema::Mild => "mild".into(),
        Eczema::Moderate => "moderate".into(),
        Eczema::Severe => "severe".into(),
    }
}

/// Adds a child to `book.toml`.
///
/// Errors: the name is none, or is that of another child; the book would not be in order.
pub fn add_child(
    book: &mut Book,
    (name, born): (&str, Date),
    changes: &ChildChanges,
) -> Result<(), BookError> {
    free_name(book, name)?;
    let mut settings: Vec<Setting<'_>> = vec![
        ("name", Some(name.into())),
        ("born", Some(born.to_string().into())),
    ];
    settings.extend(changes.settings());
    book.add("child", &settings)
}

/// Changes what `book.toml` says of a child; its comments stay.
///
/// Errors: no child has this name; the book would not be in order.
pub fn change_child(book: &mut Book, name: &str, changes: &ChildChanges) -> Result<(), BookError> {
    book.set_in("child", name, &changes.settings())
}

/// That a child can be called so.
///
/// Errors: it is no name, or that of another child.
pub(super) fn free_name(book: &Book, name: &str) -> Result<(), BookError> {
    if name.trim().is_empty() || name.contains(',') {
        return Err(Problem::new("a child has a name, without a comma").into());
    }
    if book.child(name).is_some() {
        let what = format!("the book has a child called {} already", quoted(name));
        return Err(Problem::new(what).hint("choose a name that is free").into());
    }
    Ok(())
}

/// The meals on record before the day of birth of each child that has such: they stay, and are to be named.
pub fn meals_before_birth(
    book: &Book,
    store: &Store,
) -> Result<Vec<(String, Vec<LogEntry>)>, BookError> {
    let mut found = Vec::new();
    for child in &book.settings.children {
        let mut meals = store.log((Date::MIN, child.born.saturating_sub(1.day())), false)?;
        meals.retain(|one| one.kind == "meal" && one.child == child.name);
        if !meals.is_empty() {
            found.push((child.name.clone(), meals));
        }
    }
    Ok(found)
}

/// What is to be said of the words of allergies: of one that is the name of no food, that it stops nothing; of one that is over, that it
/// still stops foods.
///
/// Errors: the foods cannot be searched.
pub fn notes_on_allergies(
    pantry: &Pantry,
    allergies: &[String],
) -> Result<Vec<String>, FoodDataError> {
    let mut found = Vec::new();
    for allergy in allergies {
        if may_be_over(allergy) {
            found.push(format!(
                "{} is taken for an allergy like any other: leave it out once the doctor has cleared the food",
                quoted(allergy)
            ));
        }
        if has_no_word(allergy) {
            found.push(unknown(allergy, ""));
        }
        for names in looked_for(allergy) {
            let (mut is_named, mut near) = (false, None);
            for words in names {
                let hits = pantry.search(&words.join(" "), 50)?;
                let hits: Vec<String> = hits.iter().map(|hit| hit.name.to_lowercase()).collect();
                let is_it = |name: &String| words.iter().all(|word| is_in_name(word, name));
                is_named |= hits.iter().any(is_it);
                // A sentence has words that are near to some food.
                if words.len() < 3 {
                    near = near.or_else(|| near_word(&words, &hits));
                }
            }
            if !is_named {
                let meant = near.map_or(String::new(), |word| {
                    format!("; is {} meant?", quoted(&word))
                });
                found.push(unknown(allergy, &meant));
                break;
            }
        }
    }
    Ok(found)
}

fn unknown(allergy: &str, meant: &str) -> String {
    format!(
        "No food is called {}, so nothing is stopped for it: name the foods one by one, as they are sold{meant}",
        quoted(allergy)
    )
}

/// The word of a food that was found which one of these words is a slip or two away from.
fn near_word(words: &[String], names: &[String]) -> Option<String> {
    // Shorter words are near to too many: "dust" to "aust", "even" to "oven".
    let longer = words.iter().filter(|word| word.chars().count() > 4);
    let mut slips = longer.flat_map(|word| {
        let of_names = names
            .iter()
            .flat_map(|name| name.split(|c: char| !c.is_alphanumeric()));
        let most = if word.chars().count() > 6 { 2 } else { 1 };
        of_names.filter(move |other| (1..=most).contains(&edit_distance(word, other)))
    });
    slips.next().map(str::to_owned)
}
