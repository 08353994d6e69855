//! The milk of a day: at the breast, from a bottle, formula.

use askama::Template;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::{ChildForm, address, child, lasts, layout};
use crate::household::{drink, milk_part};
use crate::notebook::{Child, ChildEntry, EntryDetail, EntryPart, MilkPart, NewMilk, Store};
use crate::nutrition::BreastMilk;
use crate::nutrition::feeds_of_sides;
use crate::quantity::read_number;
use crate::report::{milk_a_day, milks_in_short};
use crate::safety::Objection;
use crate::spoken::{Context, Lookup as _, Reader};
use crate::web::objections::is_meant;
use crate::web::rooms::phrases::{self, SelectOption};
use crate::web::stopped::stopped;
use crate::web::{
    Fields, Layout, Notice, PageAnswer, PageRequest, PageResult, Reply, ShownObjections, Wrong,
};
use crate::words::{capital, day, joined};

/// The page of the form.
const PAGE: &str = "/household/milk";
/// The days whose entries are listed (judgement).
const DAYS_BACK: i32 = 28;
/// The longest name of a formula, in characters.
const LONGEST: usize = 100;
/// The most feeds of a day (judgement).
const MOST_FEEDS: u32 = 30;
/// The most millilitres of a milk a day; more is taken for a slip of the number (judgement).
const MOST_A_DAY: f64 = 3000.0;
/// Choices for what a child has at the breast, with their values in the form.
const AT_THE_BREAST: [(&str, &str); 4] = [
    ("wanted", "as wanted, not counted"),
    ("feeds", "feeds, counted"),
    ("none", "nothing at the breast"),
    ("no-milk", "no milk at all"),
];
const LASTS: [(&str, &str); 2] = [("from", "from this day on"), ("day", "on this day only")];

#[derive(Template)]
#[template(path = "web/household-milk.html")]
struct MilkPage<'a> {
    layout: Layout,
    form: ChildForm,
    /// What counts today, in a few words; empty where nothing is on record.
    now: String,
    breast: Vec<SelectOption>,
    fields: &'a Fields,
    lasts: Vec<SelectOption>,
    on: String,
    wrong: Wrong,
}

/// Shows the form, filled in as it was last.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let child = child(request, &request.address.query)?;
    let last = last_entered(request, child)?;
    Reply::page(&filled(request, &last, Wrong::default())?)
}

/// Records what a child drinks a day.
pub(super) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let child = child(request, fields)?;
    let mut wrong = Wrong::default();
    let on = phrases::on(request, fields, Some(child), &mut wrong);
    let one_day = fields.text("lasts") == "day";
    let typed = typed(fields, &mut wrong);
    let parts = read(request, &typed, &mut wrong)?;
    if let (Some(on), true) = (on, wrong.is_empty()) {
        let new = NewMilk {
            day: on,
            one_day,
            child: &child.name,
            parts: &parts,
        };
        let (mut store, pantry) = (request.store()?, request.foods()?);
        let meant = |found: &[Objection]| is_meant(fields, found);
        let recorded = drink(
            &request.book,
            &mut store,
            &pantry,
            (&[child], meant),
            &[new],
        );
        if let Some(judged) = wrong.take("breast", recorded)? {
            let Some(numbers) = &judged.recorded else {
                return stopped(request, &judged.objections, fields, (PAGE, super::HERE));
            };
            let notice = Notice {
                shown: ShownObjections::of(&judged.objections, &[]),
                entry: numbers.first().copied(),
                more: a_day(&store, child, on)?,
                ..Notice::of(done(child, (on, one_day), &typed))
            };
            return Ok(Reply::Done(address("milk", &child.name), notice));
        }
    }
    Reply::wrong(&filled(request, fields, wrong)?)
}

/// What was recorded, in a sentence.
fn done(child: &Child, (on, one_day): (Date, bool), typed: &[(&str, String)]) -> String {
    let words = match typed {
        [] => "no milk".to_string(),
        typed => joined(typed.iter().map(|(_, words)| words), ", "),
    };
    let (name, on) = (&child.name, day(on));
    if one_day {
        format!("{name}, on {on}: {words}.")
    } else {
        format!("{name}, from {on} on, until you change it: {words}.")
    }
}

/// What the milk of a day comes to, each a sentence.
fn a_day(store: &Store, child: &Child, on: Date) -> PageResult<Vec<String>> {
    let days = store.milk_days(child, (on, on), &BreastMilk::builtin()?, None)?;
    let milks = days.iter().filter_map(|day| day.milk.as_ref()).flatten();
    let mut sentences = Vec::new();
    for milk in milks {
        sentences.push(format!("{}.", milk_a_day(milk)));
        sentences.extend(
            milk.estimate
                .as_ref()
                .map(|estimate| format!("{estimate}.")),
        );
    }
    Ok(sentences)
}

/// The milks of the form in the words of a parent, each with its field; mistakes are noted.
fn typed(fields: &Fields, wrong: &mut Wrong) -> Vec<(&'static str, String)> {
    let mut typed = Vec::new();
    match fields.text("breast") {
        "wanted" => typed.push(("breast", "breast".to_string())),
        "feeds" => {
            let feeds = feeds(fields, wrong);
            typed.extend(feeds.map(|feeds| ("one-side", format!("breast {feeds} feeds"))));
        }
        "none" | "no-milk" => {}
        _ => wrong.say("breast", "Choose what it has at the breast."),
    }
    if let Some(amount) = millilitres(fields, "expressed", wrong) {
        typed.push(("expressed", format!("breast {amount}")));
    }
    let formula = phrases::short(fields, "formula", LONGEST, wrong).unwrap_or_default();
    match millilitres(fields, "amount", wrong) {
        Some(_) if formula.is_empty() => wrong.say("formula", "Write the name of the formula."),
        Some(amount) => typed.push(("formula", format!("{amount} {formula}"))),
        None => {}
    }
    match fields.text("breast") {
        "no-milk" if !typed.is_empty() => {
            wrong.say(
                "breast",
                "There is an amount of milk below: no milk at all is none of it.",
            );
        }
        "wanted" if typed.iter().any(|(field, _)| *field == "expressed") => {
            wrong.say(
                "breast",
                "What is drunk at the breast is not counted here, and the bottle is: count the feeds too, or choose nothing at the breast.",
            );
        }
        "none" if typed.is_empty() && wrong.is_empty() => {
            wrong.say(
                "breast",
                "Write the millilitres from a bottle, or choose no milk at all.",
            );
        }
        _ => {}
    }
    typed
}

/// The feeds of a day, each side counted; what is no number of them is noted.
fn feeds(fields: &Fields, wrong: &mut Wrong) -> Option<u32> {
    let mut number = |name: &'static str| {
        let text = fields.text(name);
        let read = if text.is_empty() { Ok(0) } else { text.parse() };
        read.map_err(|_| wrong.say(name, "Write a whole number of feeds, such as 5."))
            .ok()
    };
    let (one, both) = (number("one-side"), number("both-sides"));
    match feeds_of_sides(one?, both?) {
        0 => wrong.say("one-side", "How many feeds a day?"),
        feeds @ 1..=MOST_FEEDS => return Some(feeds),
        _ => wrong.say(
            "one-side",
            format!("Write 1 to {MOST_FEEDS} feeds a day, each side counted."),
        ),
    }
    None
}

/// A volume in a field, in millilitres where no unit is written.
fn millilitres(fields: &Fields, name: &'static str, wrong: &mut Wrong) -> Option<String> {
    let text = phrases::short(fields, name, LONGEST, wrong)?;
    if let Some(number) = read_number(text) {
        if number > MOST_A_DAY {
            let what = format!("{text} ml a day is more than a child drinks: look at the number.");
            wrong.say(name, what);
            return None;
        }
        return Some(format!("{text} ml"));
    }
    Some(text.to_string()).filter(|text| !text.is_empty())
}

/// The milks that are meant; unclear ones are noted.
fn read(
    request: &PageRequest<'_>,
    typed: &[(&'static str, String)],
    wrong: &mut Wrong,
) -> PageResult<Vec<MilkPart>> {
    let mut reader = Reader::new(request, Context::Drink);
    let mut parts = Vec::new();
    for (field, words) in typed {
        if let Some(taken) = wrong.check_food(field, reader.sure(words), name_meant)? {
            parts.push(milk_part(&taken)?);
        }
    }
    Ok(parts)
}

/// What is meant without the amount before it, which has a field of its own; `None` for more than
/// one milk.
fn name_meant(unclear: &str, meant: &str) -> Option<String> {
    // "200ml" and "200 ml" are the same amount.
    let typed: String = unclear.split_whitespace().collect();
    let words: Vec<&str> = meant.split_whitespace().collect();
    let is_amount = |end: &usize| typed.starts_with(&words[..*end].concat());
    let amount = (1..=words.len()).take_while(is_amount).count();
    let name = joined(&words[amount..], " ");
    Some(name).filter(|name| !name.is_empty() && !name.contains(','))
}

/// The fields as they were entered last: what is fed at the breast, and which formula.
fn last_entered(request: &PageRequest<'_>, child: &Child) -> PageResult<Fields> {
    let store = request.record()?;
    let from = request.today.saturating_sub(DAYS_BACK.days());
    let found = store.entries_about(&child.name, ChildEntry::Milk, from)?;
    let parts = found.iter().find_map(|entry| match &entry.detail {
        EntryDetail::Milk { parts, .. } => Some(parts.as_slice()),
        _ => None,
    });
    let mut last = vec![("child", child.name.clone())];
    let mut breast = parts.filter(|parts| !parts.is_empty()).map(|_| "none");
    for part in parts.unwrap_or_default() {
        match part {
            EntryPart::Feeds(feeds, _) => {
                breast = Some("feeds");
                last.push(("one-side", feeds.to_string()));
            }
            EntryPart::Wanted(_) => breast = Some("wanted"),
            EntryPart::Food { id, .. } if id != BreastMilk::FOOD => {
                last.push(("formula", id.clone()));
            }
            _ => {}
        }
    }
    last.push(("breast", breast.unwrap_or("wanted").to_string()));
    Ok(Fields::of(last))
}

fn filled<'a>(
    request: &PageRequest<'_>,
    fields: &'a Fields,
    wrong: Wrong,
) -> PageResult<MilkPage<'a>> {
    let child = child(request, fields)?;
    let (store, today) = (request.record()?, request.today);
    let days = store.milk_days(child, (today, today), &BreastMilk::builtin()?, None)?;
    let now = days.into_iter().find_map(|day| day.milk);
    let from = today.saturating_sub(DAYS_BACK.days());
    Ok(MilkPage {
        layout: layout(request, child, "Milk"),
        form: ChildForm::listing(request, child, ("milk", ChildEntry::Milk), from)?,
        now: now.map_or(String::new(), |milks| capital(&milks_in_short(&milks))),
        breast: SelectOption::all(&AT_THE_BREAST, fields.text("breast")),
        fields,
        lasts: SelectOption::all(&LASTS, lasts(fields)),
        on: phrases::or_today(request, fields),
        wrong,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_amount_is_no_part_of_the_name() {
        let name = |meant| name_meant("200 ml infant formula", meant);
        assert_eq!(name("200 ml 43405").as_deref(), Some("43405"));
        assert_eq!(name("43405").as_deref(), Some("43405"));
        let glued = name_meant("200ml infant formula", "200 ml 43405");
        assert_eq!(glued.as_deref(), Some("43405"));
        assert_eq!(name("200 ml 43405, 200 ml 01077"), None);
    }
}
