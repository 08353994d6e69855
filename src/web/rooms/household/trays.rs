//! The trays of the household: added, changed, removed.

use askama::Template;

use super::{HERE, ListedSetting, changed, name_of, removed};
use crate::household::{NewTray, put_tray};
use crate::portion::Tray;
use crate::report::{decimals, tray_words};
use crate::web::fields::with_query;
use crate::web::rooms::phrases;
use crate::web::{Fields, Layout, PageAnswer, PageError, PageRequest, Reply, Wrong};

/// The address of the page.
const PAGE: &str = "/household/trays";

#[derive(Template)]
#[template(path = "web/household-trays.html")]
struct TraysPage<'a> {
    layout: Layout,
    trays: Vec<ListedSetting>,
    fields: &'a Fields,
    wrong: Wrong,
}

/// Shows the trays and the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default()))
}

/// Adds a tray, or changes the one of this name.
pub(super) fn put(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    let name = name_of(fields, "Write what you call the tray.", &mut wrong);
    let wells = fields.text("wells").parse().ok();
    let wells = wrong.needed(
        "wells",
        wells,
        "Write how many wells it has: a whole number.",
    );
    let well = phrases::number_with_unit(fields.text("well"), "ml");
    let fill = fields.text("fill").trim_end_matches('%').trim();
    let share: Option<f64> = fill.parse().ok().map(|percent: f64| percent / 100.0);
    if !fill.is_empty() && share.is_none() {
        wrong.say("fill", "Write how full a well is, in percent, such as 90.");
    }
    if let (Some(wells), true) = (wells, wrong.is_empty()) {
        let tray = NewTray {
            name,
            wells,
            well: &well,
            fill: share,
        };
        let mut book = request.book.clone();
        if wrong.take("well", put_tray(&mut book, &tray))?.is_some() {
            let [before, now] = [&request.book, &book].map(|book| book.settings.tray(name));
            let notice = changed(before.map(tray_words), now.map(tray_words));
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
    Ok(Reply::Done(path(tray), removed(&tray_words(tray))))
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
    let fields = [
        ("name", tray.name.clone()),
        ("wells", tray.wells.to_string()),
        ("well", tray.well.millilitres().to_string()),
        ("fill", format!("{:.0}", tray.fill * 100.0)),
    ];
    with_query(PAGE, fields)
}

fn filled<'a>(request: &PageRequest<'_>, fields: &'a Fields, wrong: Wrong) -> TraysPage<'a> {
    let trays = request.book.settings.trays.iter();
    let trays = trays.map(|tray| ListedSetting {
        name: tray.name.clone(),
        words: tray_words(tray),
        path: path(tray),
    });
    TraysPage {
        layout: Layout::of(request, "Trays", HERE),
        trays: trays.collect(),
        fields,
        wrong,
    }
}
