//! The page on which what the book says of a child is changed, and on which the child is renamed in
//! the whole record.

use askama::Template;
use jiff::civil::Date;

use super::{ChildForm, address, check_name, child, layout};
use crate::household::{
    AllergyReading, ChildChanges, change_child, gone_allergies, meals_before_birth, read_allergies,
    rename_child, weight_at_birth,
};
use crate::notebook::{Child, Eczema, MOST_WEEKS_EARLY, Store};
use crate::nutrition::energy::Sex;
use crate::report::{before_birth, child_facts, kilograms};
use crate::safety::listed_allergies;
use crate::spoken::Lookup as _;
use crate::web::rooms::phrases::{self, SelectOption};
use crate::web::{Fields, Layout, Notice, PageAnswer, PageRequest, PageResult, Reply, Wrong};
use crate::words::{capital, joined, quoted};

/// The address of the page.
const PATH: &str = "/household/child";
/// The beginning of the name of a hidden field: what another field had when the form was shown.
const SHOWN: &str = "shown-";
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
    /// The day of birth that is asked about; empty where none is.
    sure_born: String,
    sexes: Vec<SelectOption>,
    birth_weight: String,
    weeks_early: String,
    eczemas: Vec<SelectOption>,
    allergies: String,
    /// What each allergy stops, and what is in doubt about it.
    allergies_read: Vec<AllergyReading>,
    milk: String,
    /// The fields with what the book has in them while the form is shown.
    shown: [(&'static str, String); 7],
    name: String,
    wrong: Wrong,
}

/// Shows the forms. The address may name allergies that are put back once the form is sent.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let child = child(request, &request.address.query)?;
    let mut page = filled(request, child, None, Wrong::default())?;
    let put_back = listed_allergies(request.address.query.text("allergies"));
    let put_back = put_back.iter().filter(|one| !child.allergies.contains(one));
    page.allergies = joined(child.allergies.iter().chain(put_back), ", ");
    Reply::page(&page)
}

/// Changes what the book says.
pub(super) fn change(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
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
            let (mut warnings, mut links) = (Vec::new(), Vec::new());
            if let Some(allergies) = &changes.allergies {
                for allergy in read_allergies(&request.foods()?, allergies)? {
                    more.extend(allergy.sentences());
                }
                if let Some((words, back)) = no_longer_stopped(child, allergies) {
                    warnings.push(words);
                    links.extend(back);
                }
            }
            let now = now.unwrap_or_default();
            let notice = Notice {
                more,
                warnings,
                links,
                ..Notice::of(format!("{}: {now}.", child.name))
            };
            return Ok(Reply::Done(address("child", &child.name), notice));
        }
    }
    Reply::wrong(&filled(request, child, Some(fields), wrong)?)
}

/// The allergies that are no longer on record, in a sentence, and the link that puts them back;
/// `None` where all are still there.
fn no_longer_stopped(child: &Child, now: &[String]) -> Option<(String, Option<(String, String)>)> {
    let gone = joined(gone_allergies(child, now), ", ");
    if gone.is_empty() {
        return None;
    }
    let words = format!("No longer stopped for {}: {gone}.", child.name);
    let fields = [("child", child.name.as_str()), ("allergies", &gone)];
    let fields = fields.map(|(name, value)| (name.to_string(), value.to_string()));
    let back = phrases::address(PATH, fields);
    Some((words, back.map(|path| (path, format!("Put {gone} back")))))
}

/// Gives a child another name, in the book and in the record.
pub(super) fn rename(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
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

/// The fields of the form, and what the book has in each.
fn in_the_book(child: &Child) -> [(&'static str, String); 7] {
    let sex = SEXES.iter().find(|(.., sex)| *sex == child.sex);
    let eczema = ECZEMAS.iter().find(|(.., eczema)| *eczema == child.eczema);
    let weeks = child.weeks_early.map(|weeks| weeks.to_string());
    [
        ("born", child.born.to_string()),
        ("sex", sex.map_or("", |(value, ..)| value).into()),
        (
            "birth-weight",
            child.birth_weight.map(kilograms).unwrap_or_default(),
        ),
        ("weeks-early", weeks.unwrap_or_default()),
        ("allergies", child.allergies.join(", ")),
        ("eczema", eczema.map_or("", |(value, ..)| value).into()),
        ("milk", child.milk.clone().unwrap_or_default()),
    ]
}

/// The fields that were changed in the form. What was changed in the book as well since the form
/// was shown is asked about: it is not undone unseen.
fn changed_fields(child: &Child, fields: &Fields, wrong: &mut Wrong) -> Vec<&'static str> {
    let mut changed = Vec::new();
    for (name, now) in in_the_book(child) {
        let (typed, now) = (fields.text(name), now.trim());
        let shown = fields.beginning(SHOWN).find(|(of, _)| *of == name);
        let shown = shown.map_or(now, |(_, value)| value);
        if typed == shown || typed == now {
            continue;
        }
        if shown != now {
            let now = if now.is_empty() { "nothing" } else { now };
            let what = format!(
                "This was changed since the form was opened: the book has {} now. Write what is to stand there.",
                quoted(now)
            );
            wrong.say(name, what);
        }
        changed.push(name);
    }
    changed
}

/// What the form changes in the book; `None` after a mistake.
fn changes(child: &Child, fields: &Fields, today: Date, wrong: &mut Wrong) -> Option<ChildChanges> {
    let changed = changed_fields(child, fields, wrong);
    let is_changed = |name: &str| changed.contains(&name);
    let mut changes = ChildChanges::default();
    if is_changed("born") {
        changes.born = phrases::birth(fields, today, wrong);
    }
    if is_changed("sex") {
        let mut all = SEXES.iter();
        let sex = all.find(|(value, ..)| *value == fields.text("sex"));
        changes.sex = Some(sex.and_then(|(.., sex)| *sex));
    }
    if is_changed("birth-weight") {
        changes.birth_weight = Some(birth_weight(fields, wrong));
    }
    if is_changed("weeks-early") {
        changes.weeks_early = Some(weeks_early(fields, wrong));
    }
    if is_changed("allergies") {
        changes.allergies = Some(phrases::allergies(fields, wrong));
    }
    if is_changed("eczema") {
        let mut all = ECZEMAS.iter();
        let eczema = all.find(|(value, ..)| *value == fields.text("eczema"));
        changes.eczema = eczema.map(|(.., eczema)| *eczema);
    }
    if is_changed("milk") {
        let milk = phrases::short(fields, "milk", LONGEST, wrong)?;
        let milk = Some(milk).filter(|milk| !milk.is_empty());
        changes.milk = Some(milk.map(String::from));
    }
    Some(changes)
}

/// The weight at birth as the book is to have it.
fn birth_weight(fields: &Fields, wrong: &mut Wrong) -> Option<String> {
    let text = fields.text("birth-weight");
    if text.is_empty() {
        return None;
    }
    let weight = wrong.noted("birth-weight", weight_at_birth(text));
    weight.map(kilograms)
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

fn facts(child: &Child, store: &Store, today: Date) -> PageResult<String> {
    Ok(child_facts(child, today, store.weight(child, today)?))
}

/// The page: with the fields that were sent, else as the book has them.
fn filled(
    request: &PageRequest<'_>,
    child: &Child,
    sent: Option<&Fields>,
    wrong: Wrong,
) -> PageResult<ChildPage> {
    let shown = in_the_book(child);
    let value = |name: &str| match sent {
        Some(fields) => fields.text(name).to_string(),
        None => shown
            .iter()
            .find(|(known, _)| *known == name)
            .map_or_else(String::new, |(_, now)| now.clone()),
    };
    let (sex, eczema) = (value("sex"), value("eczema"));
    Ok(ChildPage {
        layout: layout(request, child, "About"),
        form: ChildForm::of(request, child, "child")?,
        facts: capital(&facts(child, request.record()?, request.today)?),
        born: value("born"),
        sure_born: sent.map_or_else(String::new, |sent| phrases::sure_born(sent, request.today)),
        sexes: SEXES
            .map(|(value, label, _)| SelectOption::of(value, label, &sex))
            .into(),
        birth_weight: value("birth-weight"),
        weeks_early: value("weeks-early"),
        eczemas: ECZEMAS
            .map(|(value, label, _)| SelectOption::of(value, label, &eczema))
            .into(),
        allergies: value("allergies"),
        allergies_read: match child.allergies.as_slice() {
            [] => Vec::new(),
            all => read_allergies(&request.foods()?, all)?,
        },
        milk: value("milk"),
        shown,
        name: String::new(),
        wrong,
    })
}
