//! A meal of cubes of one batch.

use askama::Template;

use super::phrases::{self, Choice, counted, day};
use crate::household::{self, USUAL_SERVING};
use crate::notebook::{Child, Feeding, FrozenBatch, How, Pick};
use crate::safety::{Objection, gravest_first};
use crate::spoken::Lookup as _;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::layout::Layout;
use crate::web::notice::Notice;
use crate::web::objections::{Shown, is_meant};
use crate::web::request::{Answer, PageRequest};
use crate::web::stopped::stopped;

#[derive(Template)]
#[template(path = "web/serve.html")]
struct ServePage<'a> {
    frame: Layout,
    batch: &'a FrozenBatch,
    left: u32,
    use_by: String,
    /// What speaks against the serving for the child that is chosen, or for each.
    shown: Shown,
    children: Vec<Choice>,
    meals: Vec<Choice>,
    hows: Vec<Choice>,
    cubes: &'a str,
    seen: &'a str,
    on: String,
    wrong: Wrong,
}

/// A meal as the form tells it.
struct Told<'a> {
    child: &'a Child,
    pick: Pick,
    feeding_day: jiff::civil::Date,
    meal: &'a str,
    how: How,
    seen: &'a str,
}

/// Shows the form.
pub(in crate::web) fn show(visit: &PageRequest<'_>) -> Result<Answer, PageError> {
    let (batch, left) = phrases::batch(visit)?;
    let cubes = format!("{}", f64::from(left).min(USUAL_SERVING));
    let first = Fields::parse(format!("how=taken&cubes={cubes}&on={}", visit.today).as_bytes());
    Answer::page(&filled(visit, &batch, left, &first, Wrong::default())?)
}

/// Records the meal.
pub(in crate::web) fn record(
    visit: &PageRequest<'_>,
    fields: &Fields,
) -> Result<Answer, PageError> {
    let (batch, left) = phrases::batch(visit)?;
    let mut wrong = Wrong::default();
    if let Some(told) = told(visit, &batch, fields, &mut wrong) {
        let feeding = Feeding {
            day: told.feeding_day,
            child: &told.child.name,
            meal: told.meal,
            picks: std::slice::from_ref(&told.pick),
            foods: &[],
            how: told.how,
            share: None,
            reaction: told.seen,
        };
        let pantry = visit.foods()?;
        let who = (told.child, |found: &[Objection]| is_meant(fields, found));
        let served = household::serve(&visit.book, &mut visit.store()?, &pantry, who, &feeding);
        if let Some(judged) = wrong.take("cubes", served)? {
            let Some(meal) = judged.recorded else {
                let action = format!("/freezer/{}/serve", batch.id);
                return stopped(visit, &judged.objections, fields, (&action, "/freezer"));
            };
            let notice = notice(&told, &batch, (&meal, &judged.objections))?;
            return Ok(Answer::Done("/freezer".into(), notice));
        }
    }
    Answer::wrong(&filled(visit, &batch, left, fields, wrong)?)
}

/// What the form tells; what is wrong in it is noted.
fn told<'a>(
    visit: &'a PageRequest<'_>,
    batch: &FrozenBatch,
    fields: &'a Fields,
    wrong: &mut Wrong,
) -> Option<Told<'a>> {
    let settings = &visit.book.settings;
    let name = Some(fields.text("child")).filter(|name| !name.is_empty());
    let child = settings
        .child(name)
        .map_err(|problem| wrong.problems("child", &[problem]))
        .ok();
    let meal = match fields.text("meal") {
        "" => Some(""),
        meal => settings
            .meal(meal)
            .map_err(|problem| wrong.problems("meal", &[problem]))
            .ok(),
    };
    let how = phrases::how(fields, wrong);
    let pick = phrases::pick(batch, fields.text("cubes"), wrong);
    let on = phrases::on(fields, wrong);
    let seen = phrases::seen(fields, wrong);
    Some(Told {
        child: child?,
        pick: pick?,
        feeding_day: on?,
        meal: meal?,
        how: how?,
        seen: seen?,
    })
}

fn notice(
    told: &Told<'_>,
    batch: &FrozenBatch,
    meal: (&household::Meal, &[Objection]),
) -> Result<Notice, PageError> {
    let called = if told.meal.is_empty() {
        String::new()
    } else {
        format!(", {}", told.meal)
    };
    let done = format!(
        "{}{called}, {}: {} of {}, {}.",
        told.child.name,
        day(told.feeding_day),
        counted(told.pick.cubes, "cube"),
        batch.title,
        phrases::went(told.how)
    );
    phrases::served(done, meal, told.child, told.feeding_day, told.how)
}

/// What is to be known before the serving of a form is recorded, for the child that it names, or for each.
fn before(
    visit: &PageRequest<'_>,
    batch: &FrozenBatch,
    fields: &Fields,
) -> Result<Shown, PageError> {
    let Some(pick) = phrases::pick(batch, fields.text("cubes"), &mut Wrong::default()) else {
        return Ok(Shown::default());
    };
    let settings = &visit.book.settings;
    let children = match settings.child(Some(fields.text("child"))) {
        Ok(chosen) => std::slice::from_ref(chosen),
        Err(_) => settings.children.as_slice(),
    };
    let (store, pantry) = (visit.store()?, visit.foods()?);
    let (mut objections, mut warnings) = (Vec::new(), Vec::new());
    let mut all_stopped = true;
    for child in children {
        let feeding = Feeding {
            day: fields.text("on").parse().unwrap_or(visit.today),
            child: &child.name,
            meal: "",
            picks: std::slice::from_ref(&pick),
            foods: &[],
            how: How::Taken,
            share: None,
            reaction: "",
        };
        let before = household::before_serving(&visit.book, &store, &pantry, child, &feeding)?;
        all_stopped &= before.objections.iter().any(Objection::is_block);
        objections.extend(before.objections);
        warnings = before.warnings;
    }
    gravest_first(&mut objections);
    let mut shown = Shown::of(&objections, &warnings);
    if !all_stopped {
        // The form stops once the child is chosen whom it is not for.
        shown.blocks.clear();
    }
    Ok(shown)
}

fn filled<'a>(
    visit: &'a PageRequest<'_>,
    batch: &'a FrozenBatch,
    left: u32,
    fields: &'a Fields,
    wrong: Wrong,
) -> Result<ServePage<'a>, PageError> {
    let settings = &visit.book.settings;
    Ok(ServePage {
        frame: Layout::of(visit, format!("Serve {}", batch.title), "/freezer"),
        batch,
        left,
        use_by: day(batch.use_by),
        shown: before(visit, batch, fields)?,
        children: phrases::children(settings, fields.text("child")),
        meals: phrases::meals(settings, fields.text("meal")),
        hows: phrases::hows(fields.text("how")),
        cubes: fields.text("cubes"),
        seen: fields.text("seen"),
        on: fields.text("on").to_string(),
        wrong,
    })
}
