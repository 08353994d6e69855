//! The jars that batches are compared with: added, changed, removed.

use askama::Template;

use super::{HERE, ListedSetting, changed, listed, name_of, removed};
use crate::cost::ReadyMade;
use crate::household::{NewJar, put_jar, typed_mass};
use crate::report::jar_words;
use crate::web::fields::with_query;
use crate::web::rooms::phrases;
use crate::web::{Fields, Layout, PageAnswer, PageError, PageRequest, Reply, Wrong};

/// The address of the page.
const PAGE: &str = "/household/jars";

#[derive(Template)]
#[template(path = "web/household-jars.html")]
struct JarsPage<'a> {
    layout: Layout,
    jars: Vec<ListedSetting>,
    currency: &'a str,
    fields: &'a Fields,
    wrong: Wrong,
}

/// Shows the jars and the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default()))
}

/// Adds a jar, or changes the one of this name.
pub(super) fn put(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    let name = name_of(fields, "Write what you call the jar.", &mut wrong);
    let mass = phrases::number_with_unit(fields.text("mass"), "g");
    wrong.noted("mass", typed_mass(&mass));
    if wrong.is_empty() {
        let jar = NewJar {
            name,
            mass: Some(&mass),
            price: Some(fields.text("price")),
            recipes: Some(listed(fields.text("recipes"))),
        };
        let mut book = request.book.clone();
        if wrong.take("price", put_jar(&mut book, &jar))?.is_some() {
            let [before, now] = [&request.book, &book].map(|book| {
                let mut jars = book.settings.ready_made.iter();
                let jar = jars.find(|jar| jar.name == name);
                jar.map(|jar| jar_words(jar, &book.settings.currency))
            });
            return Ok(Reply::Done(PAGE.into(), changed(before, now)));
        }
    }
    Reply::wrong(&filled(request, fields, wrong))
}

/// Removes a jar; the form is filled in with it, so that one tap puts it back.
pub(super) fn remove(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let settings = &request.book.settings;
    let mut jars = settings.ready_made.iter();
    let jar = jars.find(|jar| jar.name == fields.text("name"));
    let jar = jar.ok_or(PageError::NotFound)?;
    request.book.clone().remove("ready_made", &jar.name)?;
    let notice = removed(&jar_words(jar, &settings.currency));
    Ok(Reply::Done(path(jar), notice))
}

/// The address at which the form is filled in with a jar.
fn path(jar: &ReadyMade) -> String {
    let fields = [
        ("name", jar.name.clone()),
        ("mass", format!("{} g", jar.mass.grams())),
        ("price", jar.price.amount().to_string()),
        ("recipes", jar.recipes.join(", ")),
    ];
    with_query(PAGE, fields)
}

fn filled<'a>(request: &'a PageRequest<'_>, fields: &'a Fields, wrong: Wrong) -> JarsPage<'a> {
    let settings = &request.book.settings;
    let jars = settings.ready_made.iter();
    let jars = jars.map(|jar| {
        let words = jar_words(jar, &settings.currency);
        let beside = match jar.recipes.as_slice() {
            [] => "every recipe without a jar of its own".into(),
            recipes => recipes.join(", "),
        };
        ListedSetting {
            name: jar.name.clone(),
            words: format!("{words}, beside {beside}"),
            path: path(jar),
        }
    });
    JarsPage {
        layout: Layout::of(request, "Jars to compare with", HERE),
        jars: jars.collect(),
        currency: &settings.currency,
        fields,
        wrong,
    }
}
