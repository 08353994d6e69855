//! Phrases and form fields that several pages share.

use std::ops::RangeBounds;
use std::str::FromStr;

use jiff::civil::Date;

use crate::day::{DayReader, DayStyle, DayUse};
use crate::household::{is_long_ago, known_recipes, name_planned_foods, shown_age};
use crate::notebook::{Child, EntryDetail, EntryPart, FrozenBatch, How, LogEntry, Pick, Settings};
use crate::nutrition::AgeMonths;
use crate::planning::agenda::Outcome;
use crate::quantity::read_number;
use crate::report::{doubted_birth, entry_words, heading};
use crate::safety::{listed_allergies, misspelt_allergen};
use crate::web::fields::with_query;
use crate::web::objections::ANYWAY;
use crate::web::{Fields, PageError, PageRequest, PageResult, Wrong};
use crate::words::{self, quoted};

/// The age for which nutrients are shown, by the children that are seen.
pub(super) fn age(request: &PageRequest<'_>) -> AgeMonths {
    shown_age(request.children(), request.today)
}

/// An option of a choice in a form.
#[derive(Debug)]
pub(super) struct SelectOption {
    pub(super) value: String,
    pub(super) label: String,
    pub(super) chosen: bool,
}

impl SelectOption {
    pub(super) fn of(value: &str, label: &str, chosen: &str) -> Self {
        Self {
            value: value.to_string(),
            label: label.to_string(),
            chosen: value == chosen,
        }
    }

    /// The choices of a field, each with its value and its label.
    pub(super) fn all(choices: &[(&str, &str)], chosen: &str) -> Vec<Self> {
        let choices = choices.iter();
        let choices = choices.map(|(value, label)| Self::of(value, label, chosen));
        choices.collect()
    }
}

/// The children of the book as options; none where it has only one.
pub(super) fn children(settings: &Settings, chosen: &str) -> Vec<SelectOption> {
    let children = settings.children.iter();
    let children = children.map(|child| SelectOption::of(&child.name, &child.name, chosen));
    if settings.only_child().is_some() {
        Vec::new()
    } else {
        children.collect()
    }
}

/// The child that a form names, else the only child; what is wrong is noted.
pub(super) fn child<'a>(
    request: &'a PageRequest<'_>,
    fields: &Fields,
    wrong: &mut Wrong,
) -> Option<&'a Child> {
    let name = Some(fields.text("child")).filter(|name| !name.is_empty());
    wrong.noted("child", request.book.settings.child(name))
}

/// The meals of a day, and the option to leave the meal open.
pub(super) fn meals(settings: &Settings, chosen: &str) -> Vec<SelectOption> {
    let meals = settings.meals.iter();
    let meals = meals.map(|meal| SelectOption::of(meal, meal, chosen));
    meals
        .chain([SelectOption::of("", "not said", chosen)])
        .collect()
}

/// The outcome of a planned meal; empty while it is open.
pub(super) fn became(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Open => "",
        Outcome::AsPlanned(How::Taken) => "Eaten as planned",
        Outcome::AsPlanned(How::Some) => "Some of it eaten",
        Outcome::AsPlanned(How::Refused) => "Not eaten",
        Outcome::Otherwise(_) => "Something else was served",
    }
}

/// The distance of a day from today, in words.
pub(super) fn when(days: i64) -> String {
    match days {
        ..=-2 => format!("{} days ago", -days),
        -1 => "yesterday".into(),
        0 => "today".into(),
        1 => "tomorrow".into(),
        days => format!("in {days} days"),
    }
}

/// How a meal went, and the share of it that was eaten, where it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Went {
    pub(super) how: How,
    pub(super) share: Option<f64>,
}

impl Went {
    /// All of the meal was eaten.
    pub(super) const ALL: Self = Self {
        how: How::Taken,
        share: None,
    };

    /// The words for a finished meal.
    pub(super) fn words(self) -> &'static str {
        match (self.how, self.share) {
            (How::Taken, _) => "eaten",
            (How::Some, Some(0.25)) => "a quarter eaten",
            (How::Some, Some(0.5)) => "half eaten",
            (How::Some, Some(0.75)) => "three quarters eaten",
            (How::Some, _) => "some of it eaten",
            (How::Refused, _) => "not eaten",
        }
    }
}

/// How the meal of a form went, by the button that sent it.
pub(super) fn went(fields: &Fields, wrong: &mut Wrong) -> Option<Went> {
    match fields.text("how") {
        share @ ("0.25" | "0.5" | "0.75") => Some(Went {
            how: How::Some,
            share: share.parse().ok(),
        }),
        _ => how(fields, wrong).map(|how| Went { how, share: None }),
    }
}

/// How the meal of a form went, without its share.
pub(super) fn how(fields: &Fields, wrong: &mut Wrong) -> Option<How> {
    let how = match fields.text("how") {
        "taken" => Some(How::Taken),
        "some" => Some(How::Some),
        "refused" => Some(How::Refused),
        _ => None,
    };
    wrong.needed("how", how, "Say how much was eaten.")
}

/// The reaction in a form, limited in length and checked for an emergency.
pub(super) fn seen<'a>(fields: &'a Fields, wrong: &mut Wrong) -> Option<&'a str> {
    const LONGEST: usize = 500;
    let seen = short(fields, "seen", LONGEST, wrong)?;
    wrong.check_emergency(seen);
    Some(seen)
}

/// An entry that can be taken back.
#[derive(Debug)]
pub(super) struct Last {
    pub(super) id: i64,
    pub(super) words: String,
}

/// Replaces the ids of planned foods by names, and the names of planned recipes by titles.
pub(super) fn name_planned<'e>(
    request: &PageRequest<'_>,
    entries: impl IntoIterator<Item = &'e mut LogEntry>,
) -> PageResult<()> {
    let mut entries: Vec<&mut LogEntry> = entries.into_iter().collect();
    name_planned_foods(entries.iter_mut().map(|entry| &mut **entry), request)?;
    let is_plan = |entry: &&mut LogEntry| matches!(entry.detail, EntryDetail::Plan { .. });
    entries.retain(is_plan);
    if entries.is_empty() {
        return Ok(());
    }
    let known = known_recipes(&request.book)?;
    for entry in entries {
        let EntryDetail::Plan { parts, .. } = &mut entry.detail else {
            continue;
        };
        for part in parts {
            if let EntryPart::Cubes(_, name, _) | EntryPart::Trays(_, name) = part
                && let Some(recipe) = known.iter().find(|recipe| recipe.name == *name)
                && !recipe.title.is_empty()
            {
                name.clone_from(&recipe.title);
            }
        }
    }
    Ok(())
}

/// The last entry of the record.
pub(super) fn last(request: &PageRequest<'_>) -> PageResult<Option<Last>> {
    let mut last = request.record()?.to_undo()?;
    name_planned(request, &mut last)?;
    let currency = &request.book.settings.currency;
    Ok(last.map(|entry| Last {
        id: entry.number,
        words: entry_in_words(&entry, currency),
    }))
}

/// An entry with its day and its child: `26 Nov 2026, Wren, lunch: 2 cubes of Squash (#7); eaten`.
pub(super) fn entry_in_words(entry: &LogEntry, currency: &str) -> String {
    format!("{}, {}", heading(entry), entry_words(entry, currency))
}

/// The batch whose number is in the address, and the cubes that are left of it.
pub(super) fn batch(request: &PageRequest<'_>) -> PageResult<(FrozenBatch, u32)> {
    let id: i64 = request.part("batch")?;
    let store = request.record()?;
    let batch = store.batch(id)?.ok_or(PageError::NotFound)?;
    let left = store
        .stock()?
        .into_iter()
        .find(|stock| stock.batch.id == id);
    Ok((batch, left.map_or(0, |stock| stock.left)))
}

/// The form of a number of cubes, for the error of a field.
pub(super) const SOME_CUBES: &str =
    "1 to 1000, the last of them perhaps by half, such as 2 or 1\u{bd}";

/// The error that more cubes are wanted than are left of a batch.
pub(super) fn too_many(title: &str, left: u32, wanted: &Pick) -> String {
    match left {
        0 => format!("There is no cube of {title} left."),
        1 => format!("There is 1 cube of {title}, not {}.", wanted.cubes),
        left => format!("There are {left} cubes of {title}, not {}.", wanted.cubes),
    }
}

/// The number of cubes of a batch in a form, at most `left`; what is wrong is noted.
pub(super) fn pick_of(
    batch: &FrozenBatch,
    left: u32,
    cubes: &str,
    wrong: &mut Wrong,
) -> Option<Pick> {
    let pick = pick(batch, cubes, wrong)?;
    if pick.cubes.taken() > left {
        wrong.say("cubes", too_many(&batch.title, left, &pick));
        return None;
    }
    Some(pick)
}

/// The number of cubes of a batch in a form; what is wrong is noted.
pub(super) fn pick(batch: &FrozenBatch, cubes: &str, wrong: &mut Wrong) -> Option<Pick> {
    let pick = format!("{cubes} #{}", batch.id).parse().ok();
    wrong.needed("cubes", pick, format!("Say how many cubes: {SOME_CUBES}."))
}

/// The day of what a form records, not before the birth of its child; what is wrong is noted.
pub(super) fn on(
    request: &PageRequest<'_>,
    fields: &Fields,
    child: Option<&Child>,
    wrong: &mut Wrong,
) -> Option<Date> {
    let reader = DayReader {
        today: request.today,
        purpose: DayUse::Record,
        born: child.map(|child| child.born),
    };
    day(fields, "on", &reader, wrong)
}

/// Asks about the day of a form that was opened on another one: what its page calls today is over.
pub(super) fn opened_today(
    request: &PageRequest<'_>,
    fields: &Fields,
    field: &'static str,
    wrong: &mut Wrong,
) {
    let opened: Option<Date> = fields.text("opened").parse().ok();
    if let Some(opened) = opened.filter(|opened| *opened != request.today) {
        let [opened, today] = [opened, request.today].map(words::day);
        wrong.say(
            field,
            format!(
                "The page was opened on {opened}, and today is {today}: look at the day, and send it again."
            ),
        );
    }
}

/// The day as it was typed in a form, else today.
pub(super) fn or_today(request: &PageRequest<'_>, fields: &Fields) -> String {
    match fields.text("on") {
        "" => request.today.to_string(),
        typed => typed.to_string(),
    }
}

/// A day in a form, as a browser sends it or in words; what is wrong is noted.
pub(super) fn day(
    fields: &Fields,
    name: &'static str,
    reader: &DayReader,
    wrong: &mut Wrong,
) -> Option<Date> {
    match fields.text(name) {
        "" => {
            wrong.say(name, "Choose the day.");
            None
        }
        typed => {
            let day = reader.read(typed);
            wrong.noted(
                name,
                day.map_err(|refusal| refusal.problem(DayStyle::Words)),
            )
        }
    }
}

/// The field with a day of birth that its sender was asked about and is sure of.
const SURE_BORN: &str = "sure-born";

/// The day of birth in a form; one that is long ago is asked about first. What is wrong is noted.
pub(super) fn birth(fields: &Fields, today: Date, wrong: &mut Wrong) -> Option<Date> {
    let born = day(fields, "born", &DayReader::new(today, DayUse::Birth), wrong)?;
    if is_long_ago(born, today) && fields.text(SURE_BORN) != born.to_string() {
        wrong.problems("born", &[doubted_birth(born, today, "say so below")]);
        return None;
    }
    Some(born)
}

/// The day of birth in a form that is asked about; empty where none is.
pub(super) fn sure_born(fields: &Fields, today: Date) -> String {
    let reader = DayReader::new(today, DayUse::Birth);
    let born = day(fields, "born", &reader, &mut Wrong::default());
    let born = born.filter(|born| is_long_ago(*born, today));
    born.map_or_else(String::new, |born| born.to_string())
}

/// The number in a field; `None` where it holds no number of this range.
pub(super) fn number_in<T: FromStr + PartialOrd>(
    fields: &Fields,
    name: &str,
    range: impl RangeBounds<T>,
) -> Option<T> {
    let number = fields.text(name).parse().ok();
    number.filter(|number| range.contains(number))
}

/// The text of a field with at most `longest` characters; `None` after noting that it is longer.
pub(super) fn short<'a>(
    fields: &'a Fields,
    name: &'static str,
    longest: usize,
    wrong: &mut Wrong,
) -> Option<&'a str> {
    let words = fields.text(name);
    if words.chars().count() > longest {
        wrong.say(name, format!("Say it in at most {longest} letters."));
        return None;
    }
    Some(words)
}

/// What was typed, with `unit` added where it has no unit.
pub(super) fn with_unit(typed: &str, unit: &str) -> String {
    if typed.contains(char::is_alphabetic) {
        typed.to_string()
    } else {
        format!("{typed} {unit}")
    }
}

/// What was typed, with `unit` added where it is a number alone.
pub(super) fn number_with_unit(typed: &str, unit: &str) -> String {
    match read_number(typed) {
        Some(_) => format!("{typed} {unit}"),
        None => typed.to_string(),
    }
}

/// The address of a page with these fields; `None` where it is too long for an address.
pub(super) fn address(
    path: &str,
    fields: impl IntoIterator<Item = (String, String)>,
) -> Option<String> {
    const LONGEST: usize = 1900;
    Some(with_query(path, fields)).filter(|address| address.len() <= LONGEST)
}

/// The allergies in a form. One that is likely misspelt is noted, since it would stop nothing.
pub(super) fn allergies(fields: &Fields, wrong: &mut Wrong) -> Vec<String> {
    let all = listed_allergies(fields.text("allergies"));
    for allergy in &all {
        if let Some(meant) = misspelt_allergen(allergy) {
            let (typed, meant) = (quoted(allergy), quoted(meant));
            let what = format!(
                "{typed} is no food, so nothing would be stopped for it: did you mean {meant}?"
            );
            wrong.say("allergies", what);
        }
    }
    all
}

/// The address at which a form is filled in as it was sent. Where that is too long for an address,
/// only the fields that say what the form is about are filled in; `None` where these are too long
/// too.
pub(super) fn filled_in(action: &str, fields: &Fields) -> Option<String> {
    /// The fields that say what a form is about.
    const ABOUT: [&str; 3] = ["on", "child", "meal"];
    let sent = fields.beginning("");
    let sent = sent.filter(|(name, value)| {
        !["", "0"].contains(value) && !["token", ANYWAY, "do"].contains(name)
    });
    let sent: Vec<(String, String)> = sent
        .map(|(name, value)| (name.to_string(), value.to_string()))
        .collect();
    let about = sent
        .iter()
        .filter(|(name, _)| ABOUT.contains(&name.as_str()));
    let about = address(action, about.cloned());
    address(action, sent).or(about)
}
