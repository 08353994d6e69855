//! Supplements: a product with its dose, given each day or once, missed, given no longer.

use askama::Template;
use data_import::{NutrientId, nutrients};
use jiff::ToSpan as _;

use super::{ChildForm, address, child, lasts, layout};
use crate::household::{above_upper, dose, nutrient_of_product, supplement_each};
use crate::notebook::{Child, ChildEntry, EntryDetail, NewSupplement};
use crate::report::{SUPPLEMENT_COUNTS, dose_words};
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::objections::is_meant;
use crate::web::rooms::phrases::{self, SelectOption};
use crate::web::stopped::stopped;
use crate::web::{
    Fields, Layout, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply, ShownObjections,
    Wrong,
};
use crate::words::{day, quoted};

/// The days whose products are offered again, and whose entries are listed (judgement).
const DAYS_BACK: i32 = 60;
/// The longest name of a product, in characters.
const LONGEST: usize = 100;
/// The nutrients of common supplements for infants, by their tags (common practice, no source); the
/// name of a product may name any other.
const USUAL: [&str; 3] = ["VITD", "FE", "VITK1"];
/// Choices for how long a dose is given, with their values in the form.
const LASTS: [(&str, &str); 2] = [
    ("from", "each day from this day on"),
    ("day", "on this day only"),
];

#[derive(Template)]
#[template(path = "web/household-supplements.html")]
struct SupplementsPage<'a> {
    layout: Layout,
    form: ChildForm,
    products: Vec<Product>,
    fields: &'a Fields,
    nutrients: Vec<SelectOption>,
    lasts: Vec<SelectOption>,
    on: String,
    wrong: Wrong,
}

/// A product that is or was given.
pub(super) struct Product {
    pub(super) name: String,
    /// The dose of today, or that there is none, in words.
    pub(super) state: String,
    nutrient: NutrientId,
    /// The last dose that was given, in the unit of the nutrient table.
    dose: f64,
    /// The buttons for today: the value in the form, and the words on the button.
    taps: Vec<(&'static str, String)>,
}

/// Shows the products and the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default())?)
}

/// Records a product with its dose.
pub(super) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let child = child(request, fields)?;
    let mut wrong = Wrong::default();
    let product = phrases::short(fields, "product", LONGEST, &mut wrong).unwrap_or_default();
    if product.is_empty() && wrong.is_empty() {
        wrong.say("product", "Write the product, such as vitamin D drops.");
    }
    let nutrient = of_nutrient(fields, product, &mut wrong)?;
    let mut amount = None;
    if let Some(id) = nutrient {
        amount = wrong.noted("dose", dose(fields.text("dose"), id)?);
    }
    if amount == Some(0.0) {
        wrong.say(
            "dose",
            "Write the dose; that it was missed is one tap on its row.",
        );
    }
    let on = phrases::on(request, fields, Some(child), &mut wrong);
    if let (Some(nutrient), Some(amount), Some(on), true) = (nutrient, amount, on, wrong.is_empty())
    {
        return written(
            request,
            fields,
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
    Reply::wrong(&filled(request, fields, wrong)?)
}

/// Records with one button whether a product was given today, missed, or is given no longer.
pub(super) fn record_today(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let child = child(request, fields)?;
    let products = products(request, child)?;
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
        request,
        fields,
        &NewSupplement {
            day: request.today,
            child: &child.name,
            product: &product.name,
            nutrient: product.nutrient,
            amount,
            one_day,
        },
    )
}

/// Records a dose, and answers with the page of the child.
fn written(request: &PageRequest<'_>, fields: &Fields, new: &NewSupplement<'_>) -> PageAnswer {
    let (mut store, pantry) = (request.store()?, request.foods()?);
    let meant = |found: &[Objection]| is_meant(fields, found);
    let each = std::slice::from_ref(new);
    let judged = supplement_each(&request.book, &mut store, &pantry, each, meant)?;
    let Some(numbers) = &judged.recorded else {
        let action = request.address.path.as_str();
        return stopped(request, &judged.objections, fields, (action, super::HERE));
    };
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
    let child = request.book.settings.child(Some(new.child))?;
    let warning = above_upper(new.nutrient, new.amount, child.age_on(new.day))?;
    let notice = Notice {
        more: warning
            .into_iter()
            .chain([SUPPLEMENT_COUNTS.into()])
            .collect(),
        shown: ShownObjections::of(&judged.objections, &[]),
        entry: numbers.first().copied(),
        ..Notice::of(format!("{}, {}: {what}.", new.child, new.product))
    };
    Ok(Reply::Done(address("supplements", new.child), notice))
}

/// The nutrient that a product gives: the one chosen, else the one that it names.
fn of_nutrient(
    fields: &Fields,
    product: &str,
    wrong: &mut Wrong,
) -> PageResult<Option<NutrientId>> {
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

/// The products that were given in the last weeks or are given today, by name, each with its last
/// dose.
pub(super) fn products(request: &PageRequest<'_>, child: &Child) -> PageResult<Vec<Product>> {
    let store = request.record()?;
    let of_today = store.doses(&child.name, (request.today, request.today))?;
    let from = request.today.saturating_sub(DAYS_BACK.days());
    let mut products: Vec<Product> = Vec::new();
    let mut add = |name: &str, nutrient, dose: f64| {
        if dose > 0.0 && products.iter().all(|known| known.name != name) {
            let now = of_today.iter().find(|dose| dose.product == name);
            let now = now.map(|dose| dose.amount);
            products.push(product(name, (nutrient, dose), now));
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
    // A product may have been begun before these weeks, and be given still.
    for dose in &of_today {
        add(&dose.product, dose.nutrient, dose.amount);
    }
    products.sort_by(|one, other| one.name.cmp(&other.name));
    Ok(products)
}

/// A product with its buttons for today; `now` is the dose on record for today, 0 where it was
/// missed.
fn product(name: &str, (nutrient, dose): (NutrientId, f64), now: Option<f64>) -> Product {
    let given_now = || {
        let words = format!("Given today: {}", dose_words(nutrient, dose));
        vec![("given", words)]
    };
    let (state, taps) = match now {
        Some(amount) if amount > 0.0 => (
            format!("{} today", dose_words(nutrient, amount)),
            vec![
                ("missed", "Missed today".to_string()),
                ("stopped", "Given no longer".to_string()),
            ],
        ),
        Some(_) => ("missed today".into(), given_now()),
        None => ("not today".into(), given_now()),
    };
    Product {
        name: name.to_string(),
        state,
        nutrient,
        dose,
        taps,
    }
}

fn filled<'a>(
    request: &PageRequest<'_>,
    fields: &'a Fields,
    wrong: Wrong,
) -> PageResult<SupplementsPage<'a>> {
    let child = child(request, fields)?;
    let usual = nutrients()?
        .iter()
        .filter(|one| USUAL.contains(&one.tag.as_str()));
    let chosen = fields.text("nutrient");
    let usual = usual.map(|one| SelectOption::of(&one.tag, &one.plain, chosen));
    let by_name = SelectOption::of("", "as its name says", chosen);
    let from = request.today.saturating_sub(DAYS_BACK.days());
    Ok(SupplementsPage {
        layout: layout(request, child, "Supplements"),
        form: ChildForm::listing(
            request,
            child,
            ("supplements", ChildEntry::Supplement),
            from,
        )?,
        products: products(request, child)?,
        fields,
        nutrients: std::iter::once(by_name).chain(usual).collect(),
        lasts: SelectOption::all(&LASTS, lasts(fields)),
        on: phrases::or_today(request, fields),
        wrong,
    })
}
