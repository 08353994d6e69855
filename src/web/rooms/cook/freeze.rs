//! A batch that was cooked goes into the freezer.

use crate::words::counted;
use askama::Template;

use super::of_address;
use super::pot::{Pot, note};
use crate::household::{
    BookJudge, Freezing, Frozen, Judged, batch_preview, calculated, cubes_of, freeze,
};
use crate::notebook::BookError;
use crate::problem::{Located, Place, Problem, SourceText};
use crate::quantity::{Amount, Mass};
use crate::recipe::Recipe;
use crate::safety::Objection;
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong};
use crate::web::layout::Layout;
use crate::web::notice::Notice;
use crate::web::objections::{Shown, is_meant};
use crate::web::request::{Answer, PageRequest};
use crate::web::rooms::phrases;
use crate::web::stopped::stopped;
use crate::web::wording::with_room;
use crate::words::day;

/// More cubes than this no kitchen freezes at once.
const MOST: u32 = 5000;

#[derive(Template)]
#[template(path = "web/freeze.html")]
struct FreezePage<'a> {
    frame: Layout,
    name: &'a str,
    title: &'a str,
    pot: &'a Pot,
    makes: String,
    /// What speaks against the batch.
    shown: Shown,
    cubes: String,
    weighed: &'a str,
    on: &'a str,
    wrong: Wrong,
}

/// Shows the form; the address says what was cooked.
pub(in crate::web) fn show(visit: &PageRequest<'_>) -> Result<Answer, PageError> {
    let (name, recipe) = of_address(visit)?;
    let pot = Pot::of(visit, &visit.asked.query).or_as(&recipe);
    let on = visit.today.to_string();
    let first = Fields::parse(format!("on={on}").as_bytes());
    let mut wrong = Wrong::default();
    let made = made(visit, (&name, &recipe), &pot, &mut wrong)?;
    let mut page = filled(visit, (&name, &recipe, &pot), &first, wrong);
    if let Some((cubes, shown)) = made {
        page.makes = format!("The recipe leads to expect {}.", counted(cubes, "cube"));
        page.cubes = cubes.to_string();
        page.shown = shown;
    }
    Answer::checked(&page, page.wrong.is_empty())
}

/// Records the batch.
pub(in crate::web) fn record(
    visit: &PageRequest<'_>,
    fields: &Fields,
) -> Result<Answer, PageError> {
    let (name, recipe) = of_address(visit)?;
    let pot = Pot::of(visit, fields).or_as(&recipe);
    let mut wrong = Wrong::default();
    let judged = frozen(visit, (&name, &recipe, &pot), fields, &mut wrong)?;
    match judged {
        Some(Judged {
            objections,
            recorded: Some(frozen),
        }) => {
            let notice = notice(visit, (&frozen, &objections));
            Ok(Answer::Done("/freezer".into(), notice))
        }
        Some(Judged {
            objections,
            recorded: None,
        }) => {
            let action = format!("/cook/recipe/{name}/freeze");
            stopped(visit, &objections, fields, (&action, "/cook"))
        }
        None => {
            let made = made(visit, (&name, &recipe), &pot, &mut Wrong::default())?;
            let mut page = filled(visit, (&name, &recipe, &pot), fields, wrong);
            page.shown = made.map(|(_, shown)| shown).unwrap_or_default();
            Answer::wrong(&page)
        }
    }
}

/// Whole cubes that the pot makes, and what is to be known before they are frozen.
fn made(
    visit: &PageRequest<'_>,
    (name, recipe): (&str, &Recipe),
    pot: &Pot,
    wrong: &mut Wrong,
) -> Result<Option<(u32, Shown)>, PageError> {
    let (Some((tray, target)), Some(recipe)) =
        (pot.measures(wrong), with_liquid(recipe, pot, wrong))
    else {
        return Ok(None);
    };
    let pantry = visit.kitchen.pantry(&visit.place)?;
    let Some(batch) = noted(calculated(&recipe, &target, &tray, &pantry), wrong)? else {
        return Ok(None);
    };
    let store = visit.store()?;
    let judge = BookJudge::new(&visit.book.settings, Some(&store), &pantry)?;
    let objections = judge.batch(&batch, &tray, visit.today, None)?;
    let when = (visit.today, recipe.freezer.days);
    let warnings = batch_preview(&visit.book, &store, name, &batch, &tray, when)?.warnings;
    let shown = Shown::of(&objections, &warnings);
    Ok(Some((cubes_of(&batch, &tray), shown)))
}

fn frozen(
    visit: &PageRequest<'_>,
    (name, recipe, pot): (&str, &Recipe, &Pot),
    fields: &Fields,
    wrong: &mut Wrong,
) -> Result<Option<Judged<Frozen>>, PageError> {
    let measures = pot.measures(wrong);
    let recipe = with_liquid(recipe, pot, wrong);
    let cubes = fields
        .text("cubes")
        .parse()
        .ok()
        .filter(|cubes| (1..=MOST).contains(cubes));
    if cubes.is_none() {
        wrong.say(
            "cubes",
            format!("Say how many cubes: a whole number, 1 to {MOST}."),
        );
    }
    let weighed = match fields.text("weighed") {
        "" => None,
        said => weighed(said)
            .map_err(|problem| wrong.problems("weighed", &[problem]))
            .ok(),
    };
    let on = phrases::on(fields, wrong);
    let (Some((tray, target)), Some(recipe), Some(day), true) =
        (measures, recipe, on, wrong.is_empty())
    else {
        return Ok(None);
    };
    let freezing = Freezing {
        name,
        recipe,
        target,
        tray: &tray,
        weighed,
        cubes,
        day,
    };
    let pantry = visit.kitchen.pantry(&visit.place)?;
    let anyway = |found: &[Objection]| is_meant(fields, found);
    let result = freeze(&visit.book, &mut visit.store()?, &pantry, &freezing, anyway);
    noted(result, wrong)
}

/// The purée on the scale, in grams as it is typed.
fn weighed(said: &str) -> Result<Located<Mass>, Problem> {
    let text = format!("{said} g");
    let place = Place::whole(&SourceText::new("weighed", text.as_str()));
    let mass = text.parse::<Amount>().and_then(|amount| amount.mass());
    match mass {
        Ok(mass) if mass > Mass::ZERO => Ok(Located::at(mass, place)),
        Ok(_) => Err(Problem::at(place, "the purée weighs nothing")
            .hint("write what the scale shows, less the bowl, or leave it empty")),
        Err(error) => Err(Problem::at(place, error.to_string()).hint(error.hint())),
    }
}

fn with_liquid(recipe: &Recipe, pot: &Pot, wrong: &mut Wrong) -> Option<Recipe> {
    let with = recipe.clone().with_liquid(&pot.returned, &pot.added);
    with.map_err(|problems| note(&problems, wrong)).ok()
}

/// The value, or `None` after noting what a person said wrong.
fn noted<T>(result: Result<T, BookError>, wrong: &mut Wrong) -> Result<Option<T>, PageError> {
    match result {
        Ok(value) => Ok(Some(value)),
        Err(BookError::Problems(problems)) => {
            let of_scale = |problem: &Problem| {
                let text = problem.place.as_ref().map(|place| &place.source.name);
                text.is_some_and(|name| name == "weighed")
            };
            let (scale, pot): (Vec<_>, Vec<_>) = problems.into_iter().partition(of_scale);
            wrong.problems("weighed", &scale);
            note(&pot, wrong);
            Ok(None)
        }
        Err(error) => Err(error.into()),
    }
}

fn notice(visit: &PageRequest<'_>, (frozen, objections): (&Frozen, &[Objection])) -> Notice {
    let done = format!(
        "Froze {} of {} as batch #{}: {} g each, use by {}.",
        counted(frozen.cubes, "cube"),
        frozen.batch.prepared.title,
        frozen.id,
        crate::report::decimals(frozen.cube.grams(), 1),
        day(frozen.use_by)
    );
    let currency = &visit.book.settings.currency;
    let cost = frozen.comparison.remark(currency, frozen.cubes);
    Notice {
        more: vec![with_room(&cost) + "."],
        shown: Shown::of(objections, &frozen.warnings),
        entry: Some(frozen.id),
        ..Notice::of(done)
    }
}

fn filled<'a>(
    visit: &PageRequest<'_>,
    (name, recipe, pot): (&'a str, &'a Recipe, &'a Pot),
    fields: &'a Fields,
    wrong: Wrong,
) -> FreezePage<'a> {
    FreezePage {
        frame: Layout::of(visit, format!("Freeze {}", recipe.title), "/cook"),
        name,
        title: &recipe.title,
        pot,
        makes: String::new(),
        shown: Shown::default(),
        cubes: fields.text("cubes").to_string(),
        weighed: fields.text("weighed"),
        on: fields.text("on"),
        wrong,
    }
}
