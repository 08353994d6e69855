//! Supplements: a product with its dose, given each day or once, missed, given no longer.

use askama::Template;
use data_import::{NutrientId, nutrients};
use jiff::ToSpan as _;

use super::{ChildForm, ListedEntry, address, child, entries, frame};
use crate::household::{above_upper, dose, nutrient_of_product};
use crate::notebook::{Child, ChildEntry, EntryDetail, NewSupplement, Store};
use crate::report::{SUPPLEMENT_COUNTS, dose_words};
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::layout::Layout;
use crate::web::notice::Notice;
use crate::web::request::{PageRequest, Reply};
use crate::web::rooms::phrases::{self, SelectOption};
use crate::words::{day, quoted};

/// Products that were given in so many days are offered again, and their entries listed.
const DAYS_BACK: i32 = 60;
/// The name of a product is no longer than this.
const LONGEST: usize = 100;
/// Nutrients that supplements of infants have, by their tags; whichever else a product names is understood as well.
const USUAL: [&str; 3] = ["VITD", "FE", "VITK1"];
const LASTS: [(&str, &str); 2] = [
    ("from", "each day from this day on"),
    ("day", "on this day only"),
];

#[derive(Template)]
#[template(path = "web/household-supplements.html")]
struct SupplementsPage {
    frame: Layout,
    form: ChildForm,
    products: Vec<Product>,
    product: String,
    dose: String,
    nutrients: Vec<SelectOption>,
    lasts: Vec<SelectOption>,
    on: String,
    entries: Vec<ListedEntry>,
    wrong: Wrong,
}

/// A product that is or was given.
pub(super) struct Product {
    pub(super) name: String,
    /// How it stands today.
    pub(super) state: String,
    nutrient: NutrientId,
    /// The last dose that was given, in the unit of the nutrient table.
    dose: f64,
    /// What can be said of today in one tap: the value in the form, and the words on the button.
    taps: Vec<(&'static str, String)>,
}

/// Shows the products and the form.
pub(super) fn show(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    Reply::page(&filled(visit, &visit.asked.query, Wrong::default())?)
}

/// Records a product with its dose.
pub(super) fn record(visit: &PageRequest<'_>, fields: &Fields) -> Result<Reply, PageError> {
    let child = child(visit, fields)?;
    let mut wrong = Wrong::default();
    let product = phrases::short(fields, "product", LONGEST, &mut wrong).unwrap_or_default();
    if product.is_empty() && wrong.is_empty() {
        wrong.say("product", "Write the product, such as vitamin D drops.");
    }
    let nutrient = of_nutrient(fields, product, &mut wrong)?;
    let mut amount = None;
    if let Some(id) = nutrient {
        let read = dose(fields.text("dose"), id)?;
        amount = read
            .map_err(|problem| wrong.problems("dose", &[problem]))
            .ok();
    }
    if amount == Some(0.0) {
        wrong.say(
            "dose",
            "Write the dose; that it was missed is one tap on its row.",
        );
    }
    let on = phrases::on(visit, fields, Some(child), &mut wrong);
    if let (Some(nutrient), Some(amount), Some(on), true) = (nutrient, amount, on, wrong.is_empty())
    {
        return written(
            visit,
            &NewSupplement {
                day: on,
                child: &child.name,
                product,
                nutrient,
                amount,
                one_day: fields.text("lasts") == "day",
            },
        );
    }
    Reply::wrong(&filled(visit, fields, wrong)?)
}

/// Records in one tap what became of a product today.
pub(super) fn record_today(visit: &PageRequest<'_>, fields: &Fields) -> Result<Reply, PageError> {
    let child = child(visit, fields)?;
    let products = products(visit, visit.record()?, child)?;
    let named = products
        .iter()
        .find(|one| one.name == fields.text("product"));
    let product = named.ok_or(PageError::NotFound)?;
    let (amount, one_day) = match fields.text("what") {
        "given" => (product.dose, true),
        "missed" => (0.0, true),
        "stopped" => (0.0, false),
        _ => return Err(PageError::NotFound),
    };
    written(
        visit,
        &NewSupplement {
            day: visit.today,
            child: &child.name,
            product: &product.name,
            nutrient: product.nutrient,
            amount,
            one_day,
        },
    )
}

fn written(visit: &PageRequest<'_>, new: &NewSupplement<'_>) -> Result<Reply, PageError> {
    let number = visit.store()?.supplement(new)?;
    let when = if new.one_day { "on" } else { "from" };
    let on = day(new.day);
    let what = match (new.amount > 0.0, new.one_day) {
        (true, true) => format!("{} given on {on}", dose_words(new.nutrient, new.amount)),
        (true, false) => format!(
            "{} a day from {on} on",
            dose_words(new.nutrient, new.amount)
        ),
        (false, true) => format!("missed {when} {on}"),
        (false, false) => format!("given no longer, {when} {on} on"),
    };
    let child = visit.book.settings.child(Some(new.child))?;
    let warning = above_upper(new.nutrient, new.amount, child.age_on(new.day))?;
    let notice = Notice {
        more: warning
            .into_iter()
            .chain([SUPPLEMENT_COUNTS.into()])
            .collect(),
        entry: Some(number),
        ..Notice::of(format!("{}, {}: {what}.", new.child, new.product))
    };
    Ok(Reply::Done(address("supplements", new.child), notice))
}

/// The nutrient that a product gives: the one chosen, else the one that it names.
fn of_nutrient(
    fields: &Fields,
    product: &str,
    wrong: &mut Wrong,
) -> Result<Option<NutrientId>, PageError> {
    let chosen = fields.text("nutrient");
    let mut all = nutrients()?.iter();
    let found = match all.find(|one| !chosen.is_empty() && one.tag == chosen) {
        Some(one) => Some(one.id),
        None => nutrient_of_product(product)?,
    };
    if found.is_none() && !product.is_empty() {
        let what = format!(
            "{} does not name one nutrient: choose it here.",
            quoted(product)
        );
        wrong.say("nutrient", what);
    }
    Ok(found)
}

/// A product that was given, with its dose.
struct Given {
    name: String,
    nutrient: NutrientId,
    dose: f64,
}

/// The products of the last weeks, by name, with how each stands today.
pub(super) fn products(
    visit: &PageRequest<'_>,
    store: &Store,
    child: &Child,
) -> Result<Vec<Product>, PageError> {
    let today = visit.today;
    let of_today = store.doses(&child.name, (today, today))?;
    let from = today.saturating_sub(DAYS_BACK.days());
    let mut given: Vec<Given> = Vec::new();
    let mut add = |product: &str, nutrient, amount: f64| {
        if amount > 0.0 && given.iter().all(|one| one.name != product) {
            given.push(Given {
                name: product.to_string(),
                nutrient,
                dose: amount,
            });
        }
    };
    for entry in store.entries_about(&child.name, ChildEntry::Supplement, from)? {
        if let EntryDetail::Supplement {
            product,
            nutrient,
            amount,
            ..
        } = &entry.detail
        {
            add(product, *nutrient, *amount);
        }
    }
    // What was begun long ago and is given still.
    for one in &of_today {
        add(&one.product, one.nutrient, one.amount);
    }
    given.sort_by(|one, other| one.name.cmp(&other.name));
    let product = |Given {
                       name,
                       nutrient,
                       dose,
                   }| {
        let now = of_today.iter().find(|one| one.product == name);
        let now = now.map(|one| one.amount);
        let tap = |what, words: &str| (what, words.to_string());
        let given_now = || {
            tap(
                "given",
                &format!("Given today: {}", dose_words(nutrient, dose)),
            )
        };
        let (state, taps) = match now {
            Some(amount) if amount > 0.0 => {
                let state = format!("{} today", dose_words(nutrient, amount));
                (
                    state,
                    vec![
                        tap("missed", "Missed today"),
                        tap("stopped", "Given no longer"),
                    ],
                )
            }
            Some(_) => ("missed today".into(), vec![given_now()]),
            None => ("not today".into(), vec![given_now()]),
        };
        Product {
            name,
            state,
            nutrient,
            dose,
            taps,
        }
    };
    Ok(given.into_iter().map(product).collect())
}

fn filled(
    visit: &PageRequest<'_>,
    fields: &Fields,
    wrong: Wrong,
) -> Result<SupplementsPage, PageError> {
    let child = child(visit, fields)?;
    let store = visit.record()?;
    let text = |name: &str| fields.text(name).to_string();
    let lasts = if text("lasts") == "day" {
        "day"
    } else {
        "from"
    };
    let usual = nutrients()?
        .iter()
        .filter(|one| USUAL.contains(&one.tag.as_str()));
    let chosen = text("nutrient");
    let usual = usual.map(|one| SelectOption::of(&one.tag, &one.plain, &chosen));
    let by_name = SelectOption::of("", "as its name says", &chosen);
    let from = visit.today.saturating_sub(DAYS_BACK.days());
    Ok(SupplementsPage {
        frame: frame(visit, child, "Supplements"),
        form: ChildForm::of(visit, child, "supplements")?,
        products: products(visit, store, child)?,
        product: text("product"),
        dose: text("dose"),
        nutrients: std::iter::once(by_name).chain(usual).collect(),
        lasts: LASTS
            .map(|(value, label)| SelectOption::of(value, label, lasts))
            .into(),
        on: phrases::or_today(visit, fields),
        entries: entries(visit, store, (child, ChildEntry::Supplement), from)?,
        wrong,
    })
}
