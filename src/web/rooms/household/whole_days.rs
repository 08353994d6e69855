//! The page on which a day is marked as complete: one button for each day, with the meals on record
//! beside it.

use std::collections::{BTreeMap, BTreeSet};

use askama::Template;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::{ChildForm, address, child, layout};
use crate::notebook::{Child, GAP_TOPIC};
use crate::web::rooms::phrases;
use crate::web::{Fields, Layout, Notice, PageAnswer, PageRequest, PageResult, Reply, Wrong};
use crate::words::{counted, day};

/// The number of days that are listed.
const DAYS: i32 = 14;

#[derive(Template)]
#[template(path = "web/household-days.html")]
struct WholeDaysPage {
    layout: Layout,
    form: ChildForm,
    days: Vec<ListedDay>,
    wrong: Wrong,
}

/// A day, and what is on record of it.
struct ListedDay {
    on: Date,
    day: String,
    meals: String,
    complete: bool,
}

/// Shows the last days.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default())?)
}

/// Records that every meal of a day is written down. A day that is complete already stays as it is;
/// a day without a meal cannot be complete.
pub(super) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let child = child(request, fields)?;
    let mut wrong = Wrong::default();
    let Some(on) = phrases::on(request, fields, Some(child), &mut wrong) else {
        return Reply::wrong(&filled(request, fields, wrong)?);
    };
    let mut store = request.store()?;
    if store.eaten(&child.name, on, on)?.is_empty() {
        let on = day(on);
        wrong.say(
            "on",
            format!("No meal of {on} is on record: write the meals down first."),
        );
        return Reply::wrong(&filled(request, fields, wrong)?);
    }
    let done = format!("{}, {}: every meal is written down", child.name, day(on));
    let notice = if store.complete_days(&child.name, (on, on))?.contains(&on) {
        Notice::of(format!("{done}, as you said before."))
    } else {
        Notice {
            entry: Some(store.complete(&child.name, on)?),
            ..Notice::of(format!("{done}."))
        }
    };
    Ok(Reply::Done(address("days", &child.name), notice))
}

fn filled(request: &PageRequest<'_>, fields: &Fields, wrong: Wrong) -> PageResult<WholeDaysPage> {
    let child = child(request, fields)?;
    Ok(WholeDaysPage {
        layout: layout(request, child, "Whole days"),
        form: ChildForm::of(request, child, "days")?,
        days: days(request, child)?,
        wrong,
    })
}

/// The last days since the birth of a child, today on top.
fn days(request: &PageRequest<'_>, child: &Child) -> PageResult<Vec<ListedDay>> {
    let store = request.record()?;
    let today = request.today;
    let from = today.saturating_sub((DAYS - 1).days()).max(child.born);
    let complete = store.complete_days(&child.name, (from, today))?;
    let mut meals: BTreeMap<Date, usize> = BTreeMap::new();
    for meal in store.eaten(&child.name, from, today)? {
        *meals.entry(meal.day).or_default() += 1;
    }
    let notes = store.notes(&child.name, (from, today))?.into_iter();
    let gaps = notes.filter(|note| note.topic == GAP_TOPIC);
    let not_known: BTreeSet<Date> = gaps.map(|note| note.day).collect();
    let days = (0..DAYS).map(|back| today.saturating_sub(back.days()));
    let days = days.take_while(|on| *on >= from);
    let listed = days.map(|on| ListedDay {
        on,
        day: on.strftime("%A, %-d %b %Y").to_string(),
        meals: match meals.get(&on) {
            Some(count) => format!("{} on record", counted(*count, "meal")),
            None if not_known.contains(&on) => "not known, as you said".into(),
            None => "no meal on record".into(),
        },
        complete: complete.contains(&on),
    });
    Ok(listed.collect())
}
