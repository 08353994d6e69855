//! The jars that batches are compared with: added, changed, removed.

use askama::Template;
use form_urlencoded::Serializer;

use super::{HERE, LONGEST_NAME, listed};
use crate::cost::ReadyMade;
use crate::household::{NewJar, put_jar, typed_mass};
use crate::quantity::read_number;
use crate::report::jar_words;
use crate::web::rooms::phrases;
use crate::web::{Fields, Layout, Notice, PageAnswer, PageError, PageRequest, Reply, Wrong};

/// The address of the page.
const PAGE: &str = "/household/jars";

#[derive(Template)]
#[template(path = "web/household-jars.html")]
struct JarsPage<'a> {
    layout: Layout,
    jars: Vec<ListedJar>,
    currency: &'a str,
    name: &'a str,
    mass: &'a str,
    price: &'a str,
    recipes: &'a str,
    wrong: Wrong,
}

/// A jar, and the address at which the form is filled in with it.
struct ListedJar {
    name: String,
    words: String,
    path: String,
}

/// Shows the jars and the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default()))
}

/// Adds a jar, or changes the one of this name.
pub(super) fn put(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    let name = phrases::short(fields, "name", LONGEST_NAME, &mut wrong).unwrap_or_default();
    if name.is_empty() || name.contains(char::is_control) {
        wrong.say("name", "Write what you call the jar.");
    }
    let mass = match fields.text("mass") {
        bare if read_number(bare).is_some() => format!("{bare} g"),
        text => text.to_string(),
    };
    if let Err(problem) = typed_mass(&mass) {
        wrong.problems("mass", &[problem]);
    }
    if wrong.is_empty() {
        let jar = NewJar {
            name,
            mass: Some(&mass),
            price: Some(fields.text("price")),
            recipes: Some(listed(fields.text("recipes"))),
        };
        let mut book = request.book.clone();
        if wrong.take("price", put_jar(&mut book, &jar))?.is_some() {
            let words = |jars: &[ReadyMade]| {
                let jar = jars.iter().find(|jar| jar.name == name);
                jar.map(|jar| jar_words(jar, &request.book.settings.currency))
            };
            let before = words(&request.book.settings.ready_made);
            let now = words(&book.settings.ready_made).unwrap_or_default();
            let notice = Notice {
                more: before
                    .map(|words| format!("Before: {words}."))
                    .into_iter()
                    .collect(),
                ..Notice::of(format!("{now}."))
            };
            return Ok(Reply::Done(PAGE.into(), notice));
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
    let notice = Notice {
        more: vec!["The form has it still: save it, and it is back.".into()],
        ..Notice::of(format!("Removed. {}.", jar_words(jar, &settings.currency)))
    };
    Ok(Reply::Done(path(jar), notice))
}

/// The address at which the form is filled in with a jar.
fn path(jar: &ReadyMade) -> String {
    let mut query = Serializer::new(String::new());
    query.append_pair("name", &jar.name);
    query.append_pair("mass", &format!("{} g", jar.mass.grams()));
    query.append_pair("price", &jar.price.amount().to_string());
    query.append_pair("recipes", &jar.recipes.join(", "));
    format!("{PAGE}?{}", query.finish())
}

fn filled<'a>(request: &'a PageRequest<'_>, fields: &'a Fields, wrong: Wrong) -> JarsPage<'a> {
    let settings = &request.book.settings;
    let jars = settings.ready_made.iter();
    let jars = jars.map(|jar| ListedJar {
        name: jar.name.clone(),
        words: match jar.recipes.as_slice() {
            [] => format!(
                "{}, beside every recipe without a jar of its own",
                jar_words(jar, &settings.currency)
            ),
            recipes => format!(
                "{}, beside {}",
                jar_words(jar, &settings.currency),
                recipes.join(", ")
            ),
        },
        path: path(jar),
    });
    JarsPage {
        layout: Layout::of(request, "Jars to compare with", HERE),
        jars: jars.collect(),
        currency: &settings.currency,
        name: fields.text("name"),
        mass: fields.text("mass"),
        price: fields.text("price"),
        recipes: fields.text("recipes"),
        wrong,
    }
}
