//! The trays of the household: added, changed, removed.

use askama::Template;
use form_urlencoded::Serializer;

use super::{HERE, LONGEST_NAME};
use crate::household::{NewTray, put_tray};
use crate::portion::Tray;
use crate::quantity::read_number;
use crate::report::{decimals, tray_words};
use crate::web::rooms::phrases;
use crate::web::{Fields, Layout, Notice, PageAnswer, PageError, PageRequest, Reply, Wrong};

/// The address of the page.
const PAGE: &str = "/household/trays";

#[derive(Template)]
#[template(path = "web/household-trays.html")]
struct TraysPage<'a> {
    layout: Layout,
    trays: Vec<ListedTray>,
    name: &'a str,
    wells: &'a str,
    well: &'a str,
    fill: &'a str,
    wrong: Wrong,
}

/// A tray, and the address at which the form is filled in with it.
struct ListedTray {
    name: String,
    words: String,
    path: String,
}

/// Shows the trays and the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default()))
}

/// Adds a tray, or changes the one of this name.
pub(super) fn put(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    let name = phrases::short(fields, "name", LONGEST_NAME, &mut wrong).unwrap_or_default();
    if name.is_empty() || name.contains(char::is_control) {
        wrong.say("name", "Write what you call the tray.");
    }
    let wells = fields.text("wells").parse().ok();
    if wells.is_none() {
        wrong.say("wells", "Write how many wells it has: a whole number.");
    }
    let well = match fields.text("well") {
        bare if read_number(bare).is_some() => format!("{bare} ml"),
        text => text.to_string(),
    };
    let fill = fields.text("fill").trim_end_matches('%').trim();
    let share: Option<f64> = fill.parse().ok().map(|percent: f64| percent / 100.0);
    if !fill.is_empty() && share.is_none() {
        wrong.say("fill", "Write how full a well is, in percent, such as 90.");
    }
    if let (Some(wells), true) = (wells, wrong.is_empty()) {
        let well = well.as_str();
        let tray = NewTray {
            name,
            wells,
            well,
            fill: share,
        };
        let mut book = request.book.clone();
        if wrong.take("well", put_tray(&mut book, &tray))?.is_some() {
            let words = book.settings.tray(name).map_or(String::new(), tray_words);
            let before = request.book.settings.tray(name);
            let notice = Notice {
                more: before
                    .map(|tray| format!("Before: {}.", tray_words(tray)))
                    .into_iter()
                    .collect(),
                ..Notice::of(format!("{words}."))
            };
            return Ok(Reply::Done(PAGE.into(), notice));
        }
    }
    Reply::wrong(&filled(request, fields, wrong))
}

/// Removes a tray; the form is filled in with it, so that one tap puts it back.
pub(super) fn remove(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let tray = request.book.settings.tray(fields.text("name"));
    let tray = tray.ok_or(PageError::NotFound)?;
    request.book.clone().remove("tray", &tray.name)?;
    let notice = Notice {
        more: vec!["The form has it still: save it, and it is back.".into()],
        ..Notice::of(format!("Removed. {}.", tray_words(tray)))
    };
    Ok(Reply::Done(path(tray), notice))
}

/// What a well holds, in millilitres: `22.5`, and `30` without decimals.
pub(super) fn well_millilitres(tray: &Tray) -> String {
    let text = decimals(tray.well.millilitres(), 1);
    match text.strip_suffix(".0") {
        Some(whole) => whole.to_string(),
        None => text,
    }
}

/// The address at which the form is filled in with a tray.
fn path(tray: &Tray) -> String {
    let mut query = Serializer::new(String::new());
    query.append_pair("name", &tray.name);
    query.append_pair("wells", &tray.wells.to_string());
    query.append_pair("well", &tray.well.millilitres().to_string());
    query.append_pair("fill", &format!("{:.0}", tray.fill * 100.0));
    format!("{PAGE}?{}", query.finish())
}

fn filled<'a>(request: &PageRequest<'_>, fields: &'a Fields, wrong: Wrong) -> TraysPage<'a> {
    let trays = request.book.settings.trays.iter();
    let trays = trays.map(|tray| ListedTray {
        name: tray.name.clone(),
        words: tray_words(tray),
        path: path(tray),
    });
    TraysPage {
        layout: Layout::of(request, "Trays", HERE),
        trays: trays.collect(),
        name: fields.text("name"),
        wells: fields.text("wells"),
        well: fields.text("well"),
        fill: fields.text("fill"),
        wrong,
    }
}
