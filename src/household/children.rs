//! Adding and changing the children in `book.toml`, and the meals on record before a day of birth.

use jiff::ToSpan as _;
use jiff::civil::Date;
use toml_edit::{Array, Value};

use super::measuring::weight_at_birth;
use crate::next_step::{ChildAllergies, NextStep, Remark};
use crate::notebook::{Book, BookError, Child, Eczema, LogEntry, Setting, Store};
use crate::nutrition::energy::Sex;
use crate::nutrition::{AgeMonths, SOLIDS_FROM};
use crate::problem::Problem;
use crate::safety::{UNKNOWN_AGE, allergy_parts};
use crate::words::{joined, quoted};

/// The age for which the nutrients of a batch are shown: that of the youngest of these children for
/// whom solids are due and a reference is published, else of the youngest; without a child, that of
/// the first purées.
pub fn shown_age<'a>(children: impl IntoIterator<Item = &'a Child>, day: Date) -> AgeMonths {
    let mut ages: Vec<AgeMonths> = children
        .into_iter()
        .map(|child| child.age_on(day))
        .collect();
    ages.sort_unstable();
    let eats = |age: &&AgeMonths| **age >= SOLIDS_FROM && age.band().is_some();
    let shown = ages.iter().find(eats).or(ages.first());
    shown.copied().unwrap_or(UNKNOWN_AGE)
}

/// So many years after its birth a child eats what the family eats: a day of birth before that is asked about, because a mistyped year would
/// switch off whatever is stopped for a baby (judgement).
const YEARS_OF_PUREES: i32 = 4;

/// Whether a day of birth is so long ago that its year may be a slip.
pub fn is_long_ago(born: Date, today: Date) -> bool {
    born < today.saturating_sub(YEARS_OF_PUREES.years())
}

/// Changes to a child. `None` leaves what the book says; an inner `None` takes it out of the book.
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

    /// That what is typed can be of a child.
    fn check(&self) -> Result<(), Problem> {
        match &self.birth_weight {
            Some(Some(weight)) => weight_at_birth(weight).map(|_| ()),
            _ => Ok(()),
        }
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
/// Errors: the name is not a name, or is that of another child; the book would not be valid.
pub fn add_child(
    book: &mut Book,
    (name, born): (&str, Date),
    changes: &ChildChanges,
) -> Result<(), BookError> {
    let name = name.trim();
    free_name(book, name, None)?;
    changes.check()?;
    let mut settings: Vec<Setting<'_>> = vec![
        ("name", Some(name.into())),
        ("born", Some(born.to_string().into())),
    ];
    settings.extend(changes.settings());
    book.add("child", &settings)
}

/// Changes what `book.toml` says of a child; its comments stay.
///
/// Errors: no child has this name; the book would not be valid.
pub fn change_child(book: &mut Book, name: &str, changes: &ChildChanges) -> Result<(), BookError> {
    changes.check()?;
    book.set_in("child", name, &changes.settings())
}

/// What is stopped for a child no longer after these changes, and how it is put back; `None` where no allergy goes.
pub fn no_longer_stopped(child: &Child, changes: &ChildChanges) -> Option<Remark> {
    let kept = changes.allergies.as_ref()?;
    let named: Vec<String> = kept.iter().map(|one| one.trim().to_lowercase()).collect();
    let allergens = |allergy: &str| -> Vec<&str> {
        let parts = allergy_parts(allergy);
        parts.flat_map(|part| part.allergens).collect()
    };
    let held: Vec<&str> = kept.iter().flat_map(|one| allergens(one)).collect();
    let goes = |one: &&String| {
        let of_it = allergens(one);
        let in_other_words = !of_it.is_empty() && of_it.iter().all(|one| held.contains(one));
        !named.contains(&one.trim().to_lowercase()) && !in_other_words
    };
    let gone: Vec<&String> = child.allergies.iter().filter(goes).collect();
    if gone.is_empty() {
        return None;
    }
    let words = format!(
        "no longer stopped for {}: {}",
        child.name,
        joined(&gone, ", ")
    );
    let allergies = joined(kept.iter().chain(gone), ", ");
    let child = child.name.clone();
    let all = ChildAllergies { child, allergies };
    let put_back = NextStep::SetAllergies(Box::new(all));
    Some(Remark::with(format!("{words}; to put it back:"), put_back))
}

/// That a child can be called so; `now` is its present name, where it has one.
///
/// Errors: it is no name, or that of another child but for case: a command that is typed in haste must not reach the other.
pub(super) fn free_name(book: &Book, name: &str, now: Option<&str>) -> Result<(), BookError> {
    if name.trim().is_empty() || name.contains(|c: char| c == ',' || c.is_control()) {
        let what = "a child has a name of one line, without a comma";
        return Err(Problem::new(what).hint("such as Wren").into());
    }
    let like = |child: &&Child| child.name.trim().to_lowercase() == name.trim().to_lowercase();
    let others = book.settings.children.iter().filter(like);
    let mut others = others.filter(|child| Some(&*child.name) != now || child.name == name);
    if let Some(other) = others.next() {
        let what = format!(
            "the book has a child called {} already",
            quoted(&other.name)
        );
        return Err(Problem::new(what).hint("choose a name that is free").into());
    }
    Ok(())
}

/// The meals on record before the day of birth of each child that has any: they stay, and are to be
/// shown.
pub fn meals_before_birth(
    book: &Book,
    store: &Store,
) -> Result<Vec<(String, Vec<LogEntry>)>, BookError> {
    let mut found = Vec::new();
    for child in &book.settings.children {
        let mut meals = store.log((Date::MIN, child.born.saturating_sub(1.day())), false)?;
        meals.retain(|entry| entry.kind == "meal" && entry.child == child.name);
        if !meals.is_empty() {
            found.push((child.name.clone(), meals));
        }
    }
    Ok(found)
}
