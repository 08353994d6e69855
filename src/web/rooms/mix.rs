//! A bowl of cubes from the freezer: its figures as of today, and the form that serves it on a day.

use askama::Template;
use data_import::NutrientId;
use form_urlencoded::Serializer;

use super::at_hand::due_meal;
use super::bowl::{self, CUBES, ServingRow};
use super::meal_form::{MealForm, serve};
use super::phrases::{self, SelectOption};
use crate::household::{BowlPart, Mixing, TypedServings};
use crate::notebook::{Child, Feeding, Stock};
use crate::nutrition::IntakeTable;
use crate::report::{MixPage, OneMore};
use crate::spoken::Lookup as _;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::layout::Layout;
use crate::web::objections::ShownObjections;
use crate::web::request::{PageRequest, Reply};
use crate::words::day;

#[derive(Template)]
#[template(path = "web/mix.html")]
struct MixRoom<'a> {
    frame: Layout,
    rows: Vec<ServingRow>,
    other: &'a str,
    children: Vec<SelectOption>,
    bowl: Option<Told>,
    meals: Vec<SelectOption>,
    seen: &'a str,
    on: String,
    /// The child of the bowl; empty where the book has one child only.
    whose: &'a str,
    /// The content of the bowl, sent again with the form that serves it.
    hidden: Vec<(String, String)>,
    wrong: Wrong,
}

/// A bowl as text.
struct Told {
    parts: Vec<(String, String)>,
    figures: Vec<(String, String)>,
    without_iron: Option<String>,
    vitamin_c: Option<String>,
    new_today: Option<String>,
    shown: ShownObjections,
    taken_as: Vec<String>,
    one_more: Vec<(OneMore, String)>,
}

/// Shows the bowl in the address.
pub(in crate::web) fn show(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    let mut wrong = Wrong::default();
    let fields = &visit.asked.query;
    let typed = bowl::typed(visit, fields, &mut wrong)?;
    answer(visit, fields, &typed, wrong)
}

/// Serves it.
pub(in crate::web) fn record(visit: &PageRequest<'_>, fields: &Fields) -> Result<Reply, PageError> {
    let mut wrong = Wrong::default();
    let typed = bowl::typed(visit, fields, &mut wrong)?;
    let child = wrong.check("child", child(visit, fields))?;
    let form = MealForm::of(visit, fields, child, &mut wrong);
    if let Some(form) = form.filter(|_| wrong.is_empty()) {
        let feeding = Feeding {
            picks: &typed.picks,
            foods: &typed.foods,
            ..form.feeding()
        };
        let (name, went) = (&form.child.name, form.went.words());
        let done = format!("{name}, {}: the bowl, {went}.", day(form.on));
        let sent = (fields, "cubes");
        let at = ("/mix", "/mix");
        let meal = (form.child, &feeding);
        if let Some(answer) = serve(visit, sent, meal, done, at, "/", &mut wrong)? {
            return Ok(answer);
        }
    }
    answer(visit, fields, &typed, wrong)
}

fn child<'a>(visit: &'a PageRequest<'_>, fields: &Fields) -> Result<&'a Child, PageError> {
    let settings = &visit.book.settings;
    match fields.text("child") {
        "" => settings.children.first().ok_or(PageError::NotFound),
        name => Ok(settings.child(Some(name))?),
    }
}

fn answer(
    visit: &PageRequest<'_>,
    fields: &Fields,
    typed: &TypedServings,
    mut wrong: Wrong,
) -> Result<Reply, PageError> {
    let child = wrong.check("child", child(visit, fields))?;
    let nothing = typed.picks.is_empty() && typed.foods.is_empty();
    let bowl = match child.filter(|_| !nothing) {
        Some(child) => wrong.check("cubes", bowl_page(visit, child, fields, typed))?,
        None => None,
    };
    let stock = visit.store()?.stock()?;
    let in_time = stock.iter().filter(|one| one.batch.use_by >= visit.today);
    let row = |stock: &Stock| {
        let about = format!("#{}, {} left", stock.batch.id, stock.left);
        ServingRow::of_batch(stock, about, fields)
    };
    let failed = !wrong.is_empty();
    let meal = match fields.text("meal") {
        "" if fields.text("on").is_empty() => due_meal(visit)?,
        meal => meal.to_string(),
    };
    let settings = &visit.book.settings;
    let whose = child.filter(|_| settings.children.len() > 1);
    let whose = whose.map_or("", |child| child.name.as_str());
    // The bowl is served to the child for whom it was looked at.
    let hidden = made_of(fields)
        .into_iter()
        .filter(|(name, _)| name != "child");
    let hidden = hidden.chain(Some(("child".into(), whose.into())).filter(|_| !whose.is_empty()));
    let page = MixRoom {
        frame: Layout::of(visit, "Mix a bowl", "/mix"),
        rows: in_time.map(row).collect(),
        other: fields.text("other"),
        children: phrases::children(settings, child.map_or("", |child| &child.name)),
        bowl,
        meals: phrases::meals(settings, &meal),
        seen: fields.text("seen"),
        on: match fields.text("on") {
            "" => visit.today.to_string(),
            on => on.to_string(),
        },
        whose,
        hidden: hidden.collect(),
        wrong,
    };
    Reply::checked(&page, !failed)
}

/// The fields that say what is in the bowl, and whose it is.
fn made_of(fields: &Fields) -> Vec<(String, String)> {
    let cubes = fields.beginning(CUBES);
    let cubes = cubes.filter(|(_, cubes)| !cubes.is_empty() && *cubes != "0");
    let cubes = cubes.map(|(name, cubes)| (format!("{CUBES}{name}"), cubes.to_string()));
    let others = ["other", "child"].map(|name| (name.to_string(), fields.text(name).to_string()));
    let others = others.into_iter().filter(|(_, value)| !value.is_empty());
    cubes.chain(others).collect()
}

/// The address of this bowl with one more cube of a batch.
fn with_one_more(fields: &Fields, batch: i64) -> String {
    let name = format!("{CUBES}{batch}");
    let mut made = made_of(fields);
    match made.iter_mut().find(|(known, _)| *known == name) {
        Some((_, cubes)) => {
            let more = cubes
                .parse::<u32>()
                .map_or(1, |cubes| cubes.saturating_add(1));
            *cubes = more.to_string();
        }
        None => made.push((name, "1".to_string())),
    }
    let query = Serializer::new(String::new()).extend_pairs(made).finish();
    format!("/mix?{query}")
}

fn bowl_page(
    visit: &PageRequest<'_>,
    child: &Child,
    fields: &Fields,
    typed: &TypedServings,
) -> Result<Told, PageError> {
    let pantry = visit.foods()?;
    let mut mixing = Mixing::new(&visit.book, &pantry, visit.today)?;
    let parts = mixing.parts(typed, &|| visit.foods())?;
    let record = visit.store()?.tastes(&child.name, visit.today)?;
    let age = child.age_on(visit.today);
    let page = MixPage {
        child: &child.name,
        age,
        day: visit.today,
        parts: &parts,
        bowl: &mixing.bowl(&parts)?,
        added: None,
        iron: IntakeTable::builtin()?.intake(NutrientId::IRON, age),
        before: mixing.before_serving(&parts, child, &record)?,
        more_iron: mixing.more_iron(child, &record)?,
        taken_as: [&typed.names_taken_as[..], &typed.taken_as].concat(),
    };
    let one_more = page.one_more_cube().into_iter();
    Ok(Told {
        parts: parts.iter().map(part).collect(),
        figures: page.figure_rows(),
        without_iron: page.without_iron(),
        vitamin_c: page.vitamin_c(),
        new_today: page.new_today(),
        shown: ShownObjections::of(&page.before.objections, &[]),
        one_more: one_more
            .map(|one| {
                let address = with_one_more(fields, one.batch);
                (one, address)
            })
            .collect(),
        taken_as: page.taken_as,
    })
}

/// A part of the bowl, and where it comes from.
fn part(part: &BowlPart) -> (String, String) {
    let batch = part.batch.map(|batch| format!("#{batch}"));
    let remark = part.remark.clone();
    let about: Vec<String> = batch.into_iter().chain(remark).collect();
    (MixPage::name_of_part(part), about.join(", "))
}
