//! A meal of cubes of one batch.

use askama::Template;

use super::at_hand::due_meal;
use super::meal_form::{MealForm, serve};
use super::phrases::{self, SelectOption};
use crate::household::{self, USUAL_SERVING};
use crate::notebook::{Feeding, FrozenBatch, How};
use crate::safety::{Objection, gravest_first};
use crate::spoken::Lookup as _;
use crate::web::layout::room;
use crate::web::{
    Fields, Layout, PageAnswer, PageRequest, PageResult, Reply, ShownObjections, Wrong,
};
use crate::words::day;

#[derive(Template)]
#[template(path = "web/serve.html")]
struct ServePage<'a> {
    layout: Layout,
    batch: &'a FrozenBatch,
    left: u32,
    use_by: String,
    /// The objections to the serving for the chosen child, or for each.
    shown: ShownObjections,
    children: Vec<SelectOption>,
    meals: Vec<SelectOption>,
    fields: &'a Fields,
    wrong: Wrong,
}

/// Shows the form.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let (batch, left) = phrases::batch(request)?;
    let cubes = format!("{}", f64::from(left).min(USUAL_SERVING));
    // The day of an earlier meal is left empty, to be chosen.
    let on = match request.address.query.text("when") {
        "earlier" => String::new(),
        _ => request.today.to_string(),
    };
    let due = if on.is_empty() {
        None
    } else {
        due_meal(request)?
    };
    let meal = due.as_deref().unwrap_or_default();
    let child = request.seen_child().map_or("", |child| &child.name);
    let first = Fields::of([
        ("cubes", cubes.as_str()),
        ("on", &on),
        ("meal", meal),
        ("child", child),
    ]);
    Reply::page(&filled(request, &batch, left, &first, Wrong::default())?)
}

/// Records the meal.
pub(in crate::web) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let (batch, left) = phrases::batch(request)?;
    let mut wrong = Wrong::default();
    let child = phrases::child(request, fields, &mut wrong);
    let form = MealForm::of(request, fields, child, &mut wrong);
    let pick = phrases::pick_of(&batch, left, fields.text("cubes"), &mut wrong);
    phrases::opened_today(request, fields, "on", &mut wrong);
    if let Some((form, pick)) = form.zip(pick).filter(|_| wrong.is_empty()) {
        let feeding = Feeding {
            picks: std::slice::from_ref(&pick),
            ..form.feeding()
        };
        let called = match form.meal {
            "" => String::new(),
            meal => format!(", {meal}"),
        };
        let done = format!(
            "{}{called}, {}: {} of {}, {}.",
            form.child.name,
            day(form.on),
            pick.cubes.in_words(),
            batch.title,
            form.went.words()
        );
        let action = format!("/freezer/{}/serve", batch.id);
        let next = room(fields.text("then")).unwrap_or("/freezer");
        let sent = (fields, "cubes");
        let at = (action.as_str(), next);
        let meal = (form.child, &feeding);
        if let Some(answer) = serve(request, sent, meal, done, at, next, &mut wrong)? {
            return Ok(answer);
        }
    }
    Reply::wrong(&filled(request, &batch, left, fields, wrong)?)
}

/// The objections and warnings before a serving is recorded, for the child that the form names,
/// else for each.
fn before(
    request: &PageRequest<'_>,
    batch: &FrozenBatch,
    fields: &Fields,
) -> PageResult<ShownObjections> {
    let Some(pick) = phrases::pick(batch, fields.text("cubes"), &mut Wrong::default()) else {
        return Ok(ShownObjections::default());
    };
    let settings = &request.book.settings;
    let children = match settings.child(Some(fields.text("child"))) {
        Ok(chosen) => std::slice::from_ref(chosen),
        Err(_) => settings.children.as_slice(),
    };
    let (store, pantry) = (request.record()?, request.foods()?);
    let (mut objections, mut warnings) = (Vec::new(), Vec::new());
    let mut all_stopped = true;
    for child in children {
        let feeding = Feeding {
            day: phrases::on(request, fields, Some(child), &mut Wrong::default())
                .unwrap_or(request.today),
            child: &child.name,
            meal: "",
            picks: std::slice::from_ref(&pick),
            foods: &[],
            how: How::Taken,
            share: None,
            reaction: "",
        };
        let before = household::before_serving(&request.book, store, &pantry, child, &feeding)?;
        all_stopped &= before.objections.iter().any(Objection::is_block);
        objections.extend(before.objections);
        warnings = before.warnings;
    }
    gravest_first(&mut objections);
    let mut shown = ShownObjections::of(&objections, &warnings);
    if !all_stopped {
        // The form stops the serving once a child is chosen for whom it is stopped.
        shown.blocks.clear();
    }
    Ok(shown)
}

fn filled<'a>(
    request: &'a PageRequest<'_>,
    batch: &'a FrozenBatch,
    left: u32,
    fields: &'a Fields,
    wrong: Wrong,
) -> PageResult<ServePage<'a>> {
    let settings = &request.book.settings;
    Ok(ServePage {
        layout: Layout::of(request, format!("Serve {}", batch.title), "/freezer"),
        batch,
        left,
        use_by: day(batch.use_by),
        shown: before(request, batch, fields)?,
        children: phrases::children(settings, fields.text("child")),
        meals: phrases::meals(settings, fields.text("meal")),
        fields,
        wrong,
    })
}
