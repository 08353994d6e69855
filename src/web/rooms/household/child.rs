//! The page on which what the book says of a child is changed, and on which the child is renamed in
//! the whole record.

use askama::Template;
use jiff::civil::Date;

use super::{ChildForm, address, check_name, child, layout};
use crate::day::{DayReader, DayUse};
use crate::household::{
    AllergyReading, ChildChanges, change_child, meals_before_birth, read_allergies, rename_child,
    typed_mass,
};
use crate::notebook::{Child, Eczema, MOST_WEEKS_EARLY, Store};
use crate::nutrition::energy::Sex;
use crate::quantity::read_number;
use crate::report::{before_birth, child_facts, kilograms};
use crate::spoken::Lookup as _;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::layout::Layout;
use crate::web::notice::Notice;
use crate::web::request::{PageRequest, Reply};
use crate::web::rooms::phrases::{self, SelectOption};
use crate::words::capital;

/// The longest description of how milk is fed, in characters.
const LONGEST: usize = 200;
/// The choices for the sex: value, label, and meaning.
const SEXES: [(&str, &str, Option<Sex>); 3] = [
    ("girl", "girl", Some(Sex::Girl)),
    ("boy", "boy", Some(Sex::Boy)),
    ("", "not said", None),
];
/// The choices for eczema: value, label, and meaning.
const ECZEMAS: [(&str, &str, Eczema); 5] = [
    ("none", "none", Eczema::None),
    ("mild", "mild", Eczema::Mild),
    ("moderate", "moderate", Eczema::Moderate),
    ("severe", "severe", Eczema::Severe),
    ("some", "some, not said how severe", Eczema::Unspecified),
];

#[derive(Template)]
#[template(path = "web/household-child.html")]
struct ChildPage {
    layout: Layout,
    form: ChildForm,
    facts: String,
    born: String,
    sexes: Vec<SelectOption>,
    birth_weight: String,
    weeks_early: String,
    eczemas: Vec<SelectOption>,
    allergies: String,
    /// What each allergy stops, and what is in doubt about it.
    allergies_read: Vec<AllergyReading>,
    milk: String,
    name: String,
    wrong: Wrong,
}

/// Shows the forms.
pub(super) fn show(request: &PageRequest<'_>) -> Result<Reply, PageError> {
    let child = child(request, &request.address.query)?;
    Reply::page(&filled(request, child, None, Wrong::default())?)
}

/// Changes what the book says.
pub(super) fn change(request: &PageRequest<'_>, fields: &Fields) -> Result<Reply, PageError> {
    let child = child(request, fields)?;
    let mut wrong = Wrong::default();
    let changes = changes(child, fields, request.today, &mut wrong);
    if let (Some(changes), true) = (changes, wrong.is_empty()) {
        let mut book = request.book.clone();
        let changed = change_child(&mut book, &child.name, &changes);
        if wrong.take("born", changed)?.is_some() {
            let store = request.record()?;
            let facts = |child: &Child| facts(child, store, request.today);
            let now = book.child(&child.name).map(facts).transpose()?;
            let mut more = vec![format!("Before: {}.", facts(child)?)];
            for (name, meals) in meals_before_birth(&book, store)? {
                if name == child.name {
                    more.push(format!("{}.", before_birth(&name, &meals)));
                }
            }
            if let Some(allergies) = &changes.allergies {
                for allergy in read_allergies(&request.foods()?, allergies)? {
                    more.extend(allergy.sentences());
                }
            }
            let now = now.unwrap_or_default();
            let notice = Notice {
                more,
                ..Notice::of(format!("{}: {now}.", child.name))
            };
            return Ok(Reply::Done(address("child", &child.name), notice));
        }
    }
    Reply::wrong(&filled(request, child, Some(fields), wrong)?)
}

/// Gives a child another name, in the book and in the record.
pub(super) fn rename(request: &PageRequest<'_>, fields: &Fields) -> Result<Reply, PageError> {
    let child = child(request, fields)?;
    let mut wrong = Wrong::default();
    let name = fields.text("name");
    check_name(name, &mut wrong);
    if wrong.is_empty() {
        let (mut book, mut store) = (request.book.clone(), request.store()?);
        let renamed = rename_child(&mut book, &mut store, (&child.name, name), request.today);
        if wrong.take("name", renamed)?.is_some() {
            let words = format!("{} is called {name}, in the whole record.", child.name);
            return Ok(Reply::Done(address("child", name), Notice::of(words)));
        }
    }
    let page = ChildPage {
        name: name.to_string(),
        ..filled(request, child, None, wrong)?
    };
    Reply::wrong(&page)
}

/// The values of the form that differ from the book; `None` after a mistake.
fn changes(child: &Child, fields: &Fields, today: Date, wrong: &mut Wrong) -> Option<ChildChanges> {
    let born = phrases::day(fields, "born", &DayReader::new(today, DayUse::Birth), wrong);
    let sex = SEXES
        .iter()
        .find(|(value, ..)| *value == fields.text("sex"));
    let sex = sex.and_then(|(.., sex)| *sex);
    let eczema = ECZEMAS
        .iter()
        .find(|(value, ..)| *value == fields.text("eczema"));
    let eczema = eczema.map_or(child.eczema, |(.., eczema)| *eczema);
    let weight = birth_weight(fields, wrong);
    let weeks = weeks_early(fields, wrong);
    let allergies = phrases::allergies(fields, wrong);
    let milk = phrases::short(fields, "milk", LONGEST, wrong)?;
    let milk = Some(milk).filter(|milk| !milk.is_empty()).map(String::from);
    let as_written = child.birth_weight.map(kilograms);
    Some(ChildChanges {
        born: born.filter(|born| *born != child.born),
        sex: Some(sex).filter(|sex| *sex != child.sex),
        birth_weight: Some(weight).filter(|weight| *weight != as_written),
        weeks_early: Some(weeks).filter(|weeks| *weeks != child.weeks_early),
        eczema: Some(eczema).filter(|eczema| *eczema != child.eczema),
        allergies: Some(allergies).filter(|all| *all != child.allergies),
        milk: Some(milk).filter(|milk| *milk != child.milk),
    })
}

/// The weight at birth as the book is to have it, in kilograms where no unit is typed.
fn birth_weight(fields: &Fields, wrong: &mut Wrong) -> Option<String> {
    let text = fields.text("birth-weight");
    let text = match read_number(text) {
        Some(_) => format!("{text} kg"),
        None => text.to_string(),
    };
    if let (false, Err(problem)) = (text.is_empty(), typed_mass(&text)) {
        wrong.problems("birth-weight", &[problem]);
    }
    Some(text).filter(|text| !text.is_empty())
}

fn weeks_early(fields: &Fields, wrong: &mut Wrong) -> Option<u32> {
    let text = fields.text("weeks-early");
    let weeks = text.parse().ok().filter(|weeks| *weeks <= MOST_WEEKS_EARLY);
    if !text.is_empty() && weeks.is_none() {
        let what = format!(
            "Write whole weeks before the due date, 0 to {MOST_WEEKS_EARLY}; leave it empty for none."
        );
        wrong.say("weeks-early", what);
    }
    weeks
}

fn facts(child: &Child, store: &Store, today: Date) -> Result<String, PageError> {
    Ok(child_facts(child, today, store.weight(child, today)?))
}

/// The page: with the fields that were sent, else as the book has them.
fn filled(
    request: &PageRequest<'_>,
    child: &Child,
    sent: Option<&Fields>,
    wrong: Wrong,
) -> Result<ChildPage, PageError> {
    let value = |name: &str, now: String| sent.map_or(now, |fields| fields.text(name).to_string());
    let sex = SEXES.iter().find(|(.., sex)| *sex == child.sex);
    let sex = value("sex", sex.map_or("", |(value, ..)| value).into());
    let eczema = ECZEMAS.iter().find(|(.., eczema)| *eczema == child.eczema);
    let eczema = value("eczema", eczema.map_or("", |(value, ..)| value).into());
    let weeks = child
        .weeks_early
        .map_or(String::new(), |weeks| weeks.to_string());
    Ok(ChildPage {
        layout: layout(request, child, "About"),
        form: ChildForm::of(request, child, "child")?,
        facts: capital(&facts(child, request.record()?, request.today)?),
        born: value("born", child.born.to_string()),
        sexes: SEXES
            .map(|(value, label, _)| SelectOption::of(value, label, &sex))
            .into(),
        birth_weight: value(
            "birth-weight",
            child.birth_weight.map(kilograms).unwrap_or_default(),
        ),
        weeks_early: value("weeks-early", weeks),
        eczemas: ECZEMAS
            .map(|(value, label, _)| SelectOption::of(value, label, &eczema))
            .into(),
        allergies: value("allergies", child.allergies.join(", ")),
        allergies_read: match child.allergies.as_slice() {
            [] => Vec::new(),
            all => read_allergies(&request.foods()?, all)?,
        },
        milk: value("milk", child.milk.clone().unwrap_or_default()),
        name: String::new(),
        wrong,
    })
}
