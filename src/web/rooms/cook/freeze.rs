//! A batch that was cooked goes into the freezer.

use askama::Template;

use super::of_address;
use super::pot::{Pot, note};
use crate::household::{
    BookJudge, CUBES_TOLD, Freezing, Frozen, Judged, batch_preview, calculated, cubes_of, freeze,
};
use crate::notebook::BookError;
use crate::portion::MOST_CUBES_OF_A_BATCH;
use crate::problem::{Located, Place, Problem, SourceText};
use crate::quantity::{Amount, Mass};
use crate::recipe::Recipe;
use crate::report::cost_remark;
use crate::safety::Objection;
use crate::web::objections::is_meant;
use crate::web::rooms::phrases;
use crate::web::sent_forms::once_key;
use crate::web::stopped::stopped;
use crate::web::wording::with_room;
use crate::web::{
    Fields, Layout, Notice, PageAnswer, PageRequest, PageResult, Reply, ShownObjections, Wrong,
};
use crate::words::{counted, day, together};

#[derive(Template)]
#[template(path = "web/freeze.html")]
struct FreezePage<'a> {
    layout: Layout,
    name: &'a str,
    title: &'a str,
    pot: &'a Pot,
    makes: String,
    /// The objections to the batch.
    shown: ShownObjections,
    cubes: String,
    fields: &'a Fields,
    /// The batches of the recipe that are on record for today; `None` where there is none.
    of_today: Option<String>,
    once: String,
    wrong: Wrong,
}

/// The recipe that was cooked, and the pot that the form describes.
struct Cooked {
    name: String,
    recipe: Recipe,
    pot: Pot,
}

impl Cooked {
    fn of(request: &PageRequest<'_>, fields: &Fields) -> PageResult<Self> {
        let (name, recipe) = of_address(request)?;
        let pot = Pot::of(request, fields).or_as(&recipe);
        Ok(Self { name, recipe, pot })
    }

    /// The recipe with the liquid of the pot; mistakes are noted.
    fn with_liquid(&self, wrong: &mut Wrong) -> Option<Recipe> {
        let recipe = self.recipe.clone();
        let recipe = recipe.with_liquid(&self.pot.returned, &self.pot.added);
        recipe.map_err(|problems| note(&problems, wrong)).ok()
    }
}

/// Shows the form; the address names the recipe and describes the pot.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let cooked = Cooked::of(request, &request.address.query)?;
    let first = Fields::of([("on", request.today.to_string())]);
    let mut wrong = Wrong::default();
    let made = made(request, &cooked, &mut wrong)?;
    let mut page = filled(request, &cooked, &first, wrong)?;
    if let Some((cubes, shown)) = made {
        page.makes = format!("The recipe leads to expect {}.", counted(cubes, "cube"));
        page.cubes = cubes.to_string();
        page.shown = shown;
    }
    Reply::checked(&page, page.wrong.is_empty())
}

/// Records the batch.
pub(in crate::web) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let cooked = Cooked::of(request, fields)?;
    let mut wrong = Wrong::default();
    let Some(judged) = frozen(request, &cooked, fields, &mut wrong)? else {
        let made = made(request, &cooked, &mut Wrong::default())?;
        let mut page = filled(request, &cooked, fields, wrong)?;
        page.shown = made.map(|(_, shown)| shown).unwrap_or_default();
        return Reply::wrong(&page);
    };
    let Some(frozen) = &judged.recorded else {
        let action = format!("/cook/recipe/{}/freeze", cooked.name);
        return stopped(request, &judged.objections, fields, (&action, "/cook"));
    };
    let notice = notice(request, (frozen, &judged.objections));
    Ok(Reply::Done("/freezer".into(), notice))
}

/// The whole cubes that the pot makes, and the objections and warnings before they are frozen.
fn made(
    request: &PageRequest<'_>,
    cooked: &Cooked,
    wrong: &mut Wrong,
) -> PageResult<Option<(u32, ShownObjections)>> {
    let (Some((tray, target)), Some(recipe)) =
        (cooked.pot.measures(wrong), cooked.with_liquid(wrong))
    else {
        return Ok(None);
    };
    let pantry = request.state.pantry(&request.place)?;
    let Some(batch) = noted(calculated(&recipe, &target, &tray, &pantry), wrong)? else {
        return Ok(None);
    };
    let store = request.record()?;
    let judge = BookJudge::new(&request.book.settings, Some(store), &pantry)?;
    let objections = judge.batch(&batch, &tray, request.today, None)?;
    let when = (request.today, recipe.freezer.days);
    let warnings = batch_preview(&request.book, store, &cooked.name, &batch, &tray, when)?.warnings;
    let shown = ShownObjections::of(&objections, &warnings);
    Ok(Some((cubes_of(&batch, &tray), shown)))
}

/// Freezes what the form describes; `None` after a mistake.
fn frozen(
    request: &PageRequest<'_>,
    cooked: &Cooked,
    fields: &Fields,
    wrong: &mut Wrong,
) -> PageResult<Option<Judged<Frozen>>> {
    let measures = cooked.pot.measures(wrong);
    let recipe = cooked.with_liquid(wrong);
    let cubes = phrases::number_in(fields, "cubes", 1..=MOST_CUBES_OF_A_BATCH);
    let words = format!("Say how many cubes: a whole number, 1 to {MOST_CUBES_OF_A_BATCH}.");
    let cubes = wrong.needed("cubes", cubes, words);
    let weighed = match fields.text("weighed") {
        "" => None,
        text => wrong.noted("weighed", weighed(text)),
    };
    let on = phrases::on(request, fields, None, wrong);
    let (Some((tray, target)), Some(recipe), Some(day), true) =
        (measures, recipe, on, wrong.is_empty())
    else {
        return Ok(None);
    };
    let freezing = Freezing {
        name: &cooked.name,
        recipe,
        target,
        tray: &tray,
        weighed,
        cubes,
        day,
    };
    let pantry = request.state.pantry(&request.place)?;
    let anyway = |found: &[Objection]| is_meant(fields, found);
    let result = freeze(
        &request.book,
        &mut request.store()?,
        &pantry,
        &freezing,
        anyway,
    );
    noted(result, wrong)
}

/// The purée on the scale, in grams where no unit is typed.
fn weighed(text: &str) -> Result<Located<Mass>, Problem> {
    let text = phrases::with_unit(text, "g");
    let place = Place::whole(&SourceText::new("weighed", text.as_str()));
    let mass = text.parse::<Amount>().and_then(|amount| amount.mass());
    match mass {
        Ok(mass) if mass > Mass::ZERO => Ok(Located::at(mass, place)),
        Ok(_) => Err(Problem::at(place, "the purée weighs nothing")
            .hint("write what the scale shows, less the bowl, or leave it empty")),
        Err(error) => Err(Problem::at(place, error.to_string()).hint(error.hint())),
    }
}

/// The value, or `None` after noting a mistake in the input.
fn noted<T>(result: Result<T, BookError>, wrong: &mut Wrong) -> PageResult<Option<T>> {
    match result {
        Ok(value) => Ok(Some(value)),
        Err(BookError::Problems(problems)) => {
            for problem in &problems {
                let text = problem.place.as_ref();
                let problem = std::slice::from_ref(problem);
                match text.map(|place| place.source.name.as_str()) {
                    Some("weighed") => wrong.problems("weighed", problem),
                    Some(CUBES_TOLD) => wrong.problems("cubes", problem),
                    _ => note(problem, wrong),
                }
            }
            Ok(None)
        }
        Err(error) => Err(error.into()),
    }
}

fn notice(request: &PageRequest<'_>, (frozen, objections): (&Frozen, &[Objection])) -> Notice {
    let done = format!(
        "Froze {} of {} as batch #{}: {} g each, use by {}.",
        counted(frozen.cubes, "cube"),
        frozen.batch.prepared.title,
        frozen.id,
        crate::report::decimals(frozen.cube.grams(), 1),
        day(frozen.use_by)
    );
    let currency = request.book.settings.currency.as_str();
    let cost = cost_remark(&frozen.comparison, &frozen.batch, (currency, frozen.cubes));
    Notice {
        more: vec![with_room(&cost) + "."],
        shown: ShownObjections::of(objections, &frozen.warnings),
        entry: Some(frozen.id),
        links: labels_of(frozen.id),
        ..Notice::of(done)
    }
}

/// The pages to print with the labels of a batch.
fn labels_of(batch: i64) -> Vec<(String, String)> {
    let sheets = [("a4-3x7", "A4"), ("letter-3x10", "Letter")];
    let link = |(sheet, paper)| {
        (
            format!("/freezer/labels?batch={batch}&sheet={sheet}"),
            format!("Print labels, {paper}"),
        )
    };
    sheets.map(link).into()
}

/// The batches of the recipe that are on record for today already, in a sentence: whoever comes
/// back to the form may have recorded this one.
fn of_today(request: &PageRequest<'_>, name: &str) -> PageResult<Option<String>> {
    let stock = request.record()?.stock()?.into_iter();
    let batches = stock.map(|stock| stock.batch);
    let batches = batches.filter(|batch| batch.name == name && batch.day == request.today);
    let named = batches.map(|batch| format!("#{} ({})", batch.id, counted(batch.cubes, "cube")));
    let named: Vec<String> = named.collect();
    Ok((!named.is_empty()).then(|| {
        format!(
            "On record for today already: {}. Record only what was cooked besides.",
            together(&named)
        )
    }))
}

fn filled<'a>(
    request: &PageRequest<'_>,
    cooked: &'a Cooked,
    fields: &'a Fields,
    wrong: Wrong,
) -> PageResult<FreezePage<'a>> {
    Ok(FreezePage {
        layout: Layout::of(request, format!("Freeze {}", cooked.recipe.title), "/cook"),
        name: &cooked.name,
        title: &cooked.recipe.title,
        pot: &cooked.pot,
        makes: String::new(),
        shown: ShownObjections::default(),
        cubes: fields.text("cubes").to_string(),
        fields,
        of_today: of_today(request, &cooked.name)?,
        once: once_key()?,
        wrong,
    })
}
