//! The room itself: a row for each form, with what is on record; and the form that adds a child.

use askama::Template;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::{HERE, address, check_name};
use crate::food::own_names;
use crate::household::{ChildChanges, add_child, eaten_days};
use crate::notebook::{Child, ChildEntry, Measured, Measurement, NOTE_TOPICS, Settings, Store};
use crate::nutrition::BreastMilk;
use crate::report::{TasteReport, child_facts, entry_words, kilograms, measured, milks_in_short};
use crate::safety::WaitAfter;
use crate::spoken::Lookup as _;
use crate::web::rooms::phrases;
use crate::web::sent_forms::once_key;
use crate::web::{
    Fields, Layout, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply, Wrong,
};
use crate::words::{capital, counted, day, joined};

/// The days whose notes and whole days are summarised (judgement).
const DAYS_BACK: i32 = 7;

#[derive(Template)]
#[template(path = "web/household.html")]
struct HouseholdPage<'a> {
    layout: Layout,
    children: Vec<(String, Vec<HouseholdRow>)>,
    rows: Vec<HouseholdRow>,
    once: String,
    fields: &'a Fields,
    /// The day of birth that is asked about; empty where none is.
    sure_born: String,
    wrong: Wrong,
}

/// A link to a form, with what is on record.
struct HouseholdRow {
    path: String,
    title: &'static str,
    /// The name of the child that it is about; empty for the household.
    of: String,
    state: String,
}

/// Shows the rows.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &Fields::default(), Wrong::default())?)
}

/// Adds a child, with its weight of today where it is given.
pub(super) fn add(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    let name = fields.text("name");
    check_name(name, &mut wrong);
    let born = phrases::birth(fields, request.today, &mut wrong);
    let weight = super::size::typed(
        fields,
        "weight",
        (request.today, Measured::Weight),
        &mut wrong,
    );
    if let (Some(born), true) = (born, wrong.is_empty()) {
        let mut book = request.book.clone();
        let added = add_child(&mut book, (name, born), &ChildChanges::default());
        if wrong.take("name", added)?.is_some() {
            let weighed: Vec<Measurement> = weight.into_iter().collect();
            request.store()?.measure(name, &weighed)?;
            let weighs = weighed
                .first()
                .map(|weight| format!("Weight today: {}.", measured(weight)));
            let more = "Allergies, eczema and an early birth change what a child may be given: say them under About.";
            let notice = Notice {
                more: weighs.into_iter().chain([more.to_string()]).collect(),
                ..Notice::of(format!("Added {name}, born {}.", day(born)))
            };
            return Ok(Reply::Done(HERE.into(), notice));
        }
    }
    Reply::wrong(&filled(request, fields, wrong)?)
}

fn filled<'a>(
    request: &PageRequest<'_>,
    fields: &'a Fields,
    wrong: Wrong,
) -> PageResult<HouseholdPage<'a>> {
    let children = request.children().iter();
    let children = children.map(|child| Ok((child.name.clone(), about(request, child)?)));
    Ok(HouseholdPage {
        layout: Layout::of(request, "Household", HERE),
        children: children.collect::<Result<_, PageError>>()?,
        rows: of_household(request)?,
        once: once_key()?,
        fields,
        sure_born: phrases::sure_born(fields, request.today),
        wrong,
    })
}

/// The rows about a child.
fn about(request: &PageRequest<'_>, child: &Child) -> PageResult<Vec<HouseholdRow>> {
    let store = request.record()?;
    let today = request.today;
    let weight = store.weight(child, today)?;
    let rows = [
        ("milk", "Milk", milk(store, child, today)?),
        ("size", "Weight and size", size(store, child, today)?),
        ("supplements", "Supplements", supplements(request, child)?),
        ("texture", "Texture", texture(request, child)?),
        ("notes", "Notes", notes(request, child)?),
        ("days", "Whole days", whole_days(request, child)?),
        ("known", "Known foods", known(request, child)?),
        (
            "child",
            "About",
            capital(&child_facts(child, today, weight)),
        ),
    ];
    let row = |(page, title, state)| HouseholdRow {
        path: address(page, &child.name),
        title,
        of: child.name.clone(),
        state,
    };
    Ok(rows.into_iter().map(row).collect())
}

const NOTHING: &str = "Nothing written down yet";

/// What is on record; where that is nothing, these words.
fn or(lines: String, nothing: &str) -> String {
    if lines.is_empty() {
        nothing.to_string()
    } else {
        lines
    }
}

fn milk(store: &Store, child: &Child, today: Date) -> PageResult<String> {
    let days = store.milk_days(child, (today, today), &BreastMilk::builtin()?, None)?;
    let milks = days.into_iter().find_map(|day| day.milk);
    Ok(milks.map_or(NOTHING.into(), |milks| capital(&milks_in_short(&milks))))
}

/// The last of each measurement, with its day.
fn size(store: &Store, child: &Child, today: Date) -> PageResult<String> {
    let all = store.measurements(&child.name, today)?;
    let last = |what: Measured| {
        all.iter()
            .rev()
            .find(|measurement| measurement.what == what)
    };
    let all = [Measured::Weight, Measured::Length, Measured::Head];
    let lines = all.into_iter().filter_map(last);
    let lines = lines.map(|last| {
        format!(
            "{} {} ({})",
            last.what.word(),
            measured(last),
            day(last.day)
        )
    });
    let lines = joined(lines, ", ");
    let of_book = child
        .weight
        .map(|weight| format!("weight {}, as the book has it", kilograms(weight)));
    Ok(match (lines.as_str(), of_book) {
        ("", of_book) => of_book.map_or(NOTHING.into(), |words| capital(&words)),
        (lines, _) => capital(lines),
    })
}

fn supplements(request: &PageRequest<'_>, child: &Child) -> PageResult<String> {
    let products = super::supplements::products(request, child)?;
    let lines = joined(
        products
            .iter()
            .map(|product| format!("{}: {}", product.name, product.state)),
        ", ",
    );
    Ok(or(lines, NOTHING))
}

fn texture(request: &PageRequest<'_>, child: &Child) -> PageResult<String> {
    let now = super::texture::now(request, child)?;
    Ok(now.map_or(NOTHING.into(), |since| {
        capital(&super::texture::since_words(since))
    }))
}

/// The last note.
fn notes(request: &PageRequest<'_>, child: &Child) -> PageResult<String> {
    let store = request.record()?;
    let from = request.today.saturating_sub(DAYS_BACK.days());
    let found = store.entries_about(&child.name, ChildEntry::Note, from)?;
    let last = found.first().map(|note| {
        let words = entry_words(note, &request.book.settings.currency);
        format!("{} ({})", capital(&words), day(note.day))
    });
    let topics = joined(NOTE_TOPICS.iter().take(4), ", ");
    Ok(last.unwrap_or(format!(
        "{} and the like: none in this week",
        capital(&topics)
    )))
}

/// How many days the figures of the week count as complete; where the foods cannot be opened there
/// are no figures.
fn whole_days(request: &PageRequest<'_>, child: &Child) -> PageResult<String> {
    const SAY: &str = "Say of a day that every meal is written down";
    let store = request.record()?;
    let Ok(pantry) = request.foods() else {
        return Ok(SAY.into());
    };
    let from = request.today.saturating_sub((DAYS_BACK - 1).days());
    let kept = eaten_days(store, &pantry, child, (from.max(child.born), request.today))?;
    Ok(match kept.week.counted().count() {
        0 => format!("{SAY}: none of the last {DAYS_BACK} is complete yet"),
        1 => format!("1 of the last {DAYS_BACK} days is complete"),
        many => format!("{many} of the last {DAYS_BACK} days are complete"),
    })
}

fn known(request: &PageRequest<'_>, child: &Child) -> PageResult<String> {
    let store = request.record()?;
    let record = store.tastes(&child.name, request.today)?;
    let settings = &request.book.settings;
    let report = TasteReport::new(
        &record,
        child,
        settings,
        (request.today, Vec::new()),
        Vec::new(),
    )?;
    Ok(report.known_in_short().unwrap_or(NOTHING.into()))
}

/// The rows about the household as a whole.
fn of_household(request: &PageRequest<'_>) -> PageResult<Vec<HouseholdRow>> {
    let store = request.record()?;
    let settings = &request.book.settings;
    let trays = settings.trays.iter();
    let trays = trays.map(|tray| {
        format!(
            "{} ({} wells of {} ml)",
            tray.name,
            tray.wells,
            super::trays::well_millilitres(tray)
        )
    });
    let jars = settings.ready_made.iter();
    let jars =
        jars.map(|jar| format!("{} ({} {})", jar.name, jar.price.shown(), settings.currency));
    let own = own_names(request.state.own(&request.place).ok().flatten().as_ref()).len();
    let devices = store.paired_devices(request.today)?;
    let devices = devices.into_iter().map(|device| device.name);
    let none = |lines| or(lines, "None");
    let rows = [
        ("trays", "Trays", none(joined(trays, ", "))),
        ("jars", "Jars to compare with", none(joined(jars, ", "))),
        ("rules", "Meals and waiting", rules(settings)),
        ("foods", "Own foods from labels", counted(own, "food")),
        ("devices", "Devices let in", none(joined(devices, ", "))),
    ];
    let row = |(page, title, state)| HouseholdRow {
        path: format!("{HERE}/{page}"),
        title,
        of: String::new(),
        state,
    };
    Ok(rows.into_iter().map(row).collect())
}

fn rules(settings: &Settings) -> String {
    let after = match settings.waiting {
        WaitAfter::All => "each new food",
        WaitAfter::Allergens => "a new major allergen",
    };
    let meals = capital(&settings.meals.join(", "));
    format!("{meals}; {} days after {after}", settings.waiting_days)
}
