//! `trayful freeze`, `freezer`, `discard` and `cook-next`: what lies in the freezer.

use clap::Args;
use data_import::NutrientId;
use trayful::household::{self, Freezing, Judged, USUAL_SERVING};
use trayful::notebook::{Outlook, Pace, Store};
use trayful::portion::Target;
use trayful::problem::{Located, Place, Problem, SourceText};
use trayful::quantity::{Amount, Mass};
use trayful::recipe::Batch;
use trayful::report::{FreezeReport, Page, Sheet, amount, objection_list};
use trayful::safety::Objection;

use super::batch::TrayArgs;
use super::failure::Failure;
use super::judged::{AnywayArg, stopped};
use super::{Answer, DayArg, Session};

/// With fewer foods known than this, small batches of one or two flavours are the better start
/// (common practice, no source).
const FEW_FOODS: usize = 6;

/// Arguments of `trayful freeze`.
#[derive(Debug, Args)]
pub(super) struct FreezeArgs {
    /// A recipe of the book, or a recipe file
    recipe: String,
    /// Cubes that went into the freezer; all that the batch makes, where left out
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=5000))]
    cubes: Option<u32>,
    /// The blended purée on the scale, less the bowl, such as 1180g
    #[arg(long, value_name = "MASS")]
    weighed: Option<String>,
    /// The recipe was scaled to fill so many trays
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=100))]
    trays: Option<u32>,
    #[command(flatten)]
    tray: TrayArgs,
    #[command(flatten)]
    anyway: AnywayArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// Records a batch.
pub(super) fn freeze(args: &FreezeArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let tray = args.tray.resolve(&book.settings)?;
    let pantry = session.pantry(Some(&book.recipe_path(&args.recipe)))?;
    let freezing = Freezing {
        recipe: &args.recipe,
        as_cooked: None,
        target: args.trays.map_or(Target::AsWritten, Target::Trays),
        tray: &tray,
        weighed: args.weighed.as_deref().map(weighed).transpose()?,
        cubes: args.cubes,
        day: args.day.day(),
    };
    let mut store = book.store()?;
    let anyway = |found: &[Objection]| args.anyway.is_meant(found, session, args.json);
    let Judged {
        objections,
        recorded,
    } = household::freeze(&book, &mut store, &pantry, &freezing, anyway)?;
    if args.json {
        let report = FreezeReport::new(recorded.as_ref(), &objections, &book.settings.currency);
        return Ok(Answer {
            found: recorded.is_some(),
            ..Answer::json(&report)?
        });
    }
    let Some(frozen) = recorded else {
        let what = "Nothing was recorded. If it is meant, say it again with --anyway.";
        return Ok(stopped(&objections, what, session));
    };
    let mut page = Page::new(session.look);
    objection_list(&mut page, &objections);
    page.paragraph(&format!(
        "Froze {} of {} as batch #{}: {:.1} g each, use by {}.",
        counted(frozen.cubes),
        frozen.batch.prepared.title,
        frozen.id,
        frozen.cube.grams(),
        frozen.use_by
    ));
    page.paragraph(&in_a_cube(&frozen.batch, frozen.cube));
    page.paragraph(
        &frozen
            .comparison
            .sentence(&book.settings.currency, frozen.cubes),
    );
    let warnings = frozen.warnings.into_iter();
    page.list(warnings.map(|warning| format!("! {warning}")));
    page.paragraph(&format!(
        "{} Take it back with `trayful undo`.",
        freezer_line(&store)?
    ));
    Ok(Answer::text(page.finish()))
}

fn weighed(text: &str) -> Result<Located<Mass>, Failure> {
    let place = Place::whole(&SourceText::new("--weighed", text));
    let mass = text.parse::<Amount>().and_then(|amount| amount.mass());
    Ok(mass
        .map(|mass| Located::at(mass, place.clone()))
        .map_err(|error| Problem::at(place, error.to_string()).hint(error.hint()))?)
}

fn counted(cubes: u32) -> String {
    format!("{cubes} {}", if cubes == 1 { "cube" } else { "cubes" })
}

/// Iron and energy of a cube as frozen.
fn in_a_cube(batch: &Batch, cube: Mass) -> String {
    let shown = |id: NutrientId| {
        let total = batch.total(id)?;
        let known = total
            .batch
            .known
            .map(|known| known * (cube / batch.masses.puree));
        Some(amount(known, total.batch.complete(), total.nutrient))
    };
    let shown = |id| shown(id).unwrap_or_else(|| "not known".into());
    format!(
        "One cube: iron {}, energy {}.",
        shown(NutrientId::IRON),
        shown(NutrientId::ENERGY)
    )
}

/// The state of the freezer in a line.
pub(super) fn freezer_line(store: &Store) -> Result<String, Failure> {
    let stock = store.stock()?;
    let cubes: u32 = stock.iter().map(|stock| stock.left).sum();
    Ok(format!(
        "In the freezer now: {} in {} {}.",
        counted(cubes),
        stock.len(),
        if stock.len() == 1 { "batch" } else { "batches" }
    ))
}

/// Arguments of `trayful freezer` and `trayful cook-next`.
#[derive(Debug, Args)]
pub(super) struct FreezerArgs {
    #[command(flatten)]
    day: DayArg,
}

/// Shows what is there.
pub(super) fn freezer(args: &FreezerArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let store = book.store()?;
    let day = args.day.day();
    let pace = store.pace(&book.settings, day, USUAL_SERVING)?;
    let outlook = pace.outlook(&store.stock()?, day);
    let mut page = Page::new(session.look);
    if outlook.is_empty() {
        page.line("The freezer is empty.");
        return Ok(Answer::no(page.finish()));
    }
    page.heading(&format!(
        "IN THE FREEZER ON {day}, first to be eaten on top"
    ));
    let header = ["", "", "left", "use by", "days", ""]
        .map(String::from)
        .to_vec();
    let rows = outlook.iter().map(|outlook| row(outlook, &pace)).collect();
    page.sheet(Sheet {
        header,
        rows,
        right: vec![2, 4],
    });
    page.line("");
    page.paragraph(&pace_line(&pace));
    Ok(Answer::text(page.finish()))
}

fn row(outlook: &Outlook, pace: &Pace) -> Vec<String> {
    let batch = &outlook.stock.batch;
    let remark = match (outlook.days_left, outlook.too_many) {
        (..0, _) => "past its last day".to_string(),
        (_, too_many) if too_many > 0 && pace.cubes_a_day > 0.0 => {
            format!("{too_many} will not be eaten in time")
        }
        _ => String::new(),
    };
    vec![
        format!("#{}", batch.id),
        batch.name.clone(),
        outlook.stock.left.to_string(),
        batch.use_by.to_string(),
        outlook.days_left.to_string(),
        remark,
    ]
}

fn pace_line(pace: &Pace) -> String {
    let a_day = format!("{:.1} cubes a day", pace.cubes_a_day);
    match (pace.stated, pace.days) {
        (true, _) => format!("Pace: {a_day}, as book.toml says."),
        (false, 0) => "Pace: not known yet; record meals with `trayful serve`.".into(),
        (false, 1) => format!("Pace: {a_day}, counted on one day only."),
        (false, days) => format!("Pace: {a_day} over the last {days} days."),
    }
}

/// Arguments of `trayful discard`.
#[derive(Debug, Args)]
pub(super) struct DiscardArgs {
    /// How many cubes of what, such as: 2 red-lentil-squash, or 2 "#7"
    #[arg(required = true, value_name = "N RECIPE")]
    what: Vec<String>,
    /// Why
    #[arg(long, value_name = "WORDS", default_value = "")]
    why: String,
    #[command(flatten)]
    day: DayArg,
}

/// Records waste.
pub(super) fn discard(args: &DiscardArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let mut store = book.store()?;
    let pick = household::pick(&args.what.join(" "))?;
    let thrown = store.discard(args.day.day(), &pick, &args.why)?;
    let mut page = Page::new(session.look);
    for (batch, cubes) in &thrown {
        let comparison = batch.beside(None);
        let worth = comparison.cost_of(batch.cube * f64::from(*cubes));
        let cost = worth.map_or_else(String::new, |worth| {
            let bound = if comparison.complete() {
                ""
            } else {
                "at least "
            };
            format!(
                ", worth {bound}{} {}",
                worth.shown(),
                book.settings.currency
            )
        });
        let what = format!(
            "Threw away {} of {} (#{}){cost}.",
            counted(*cubes),
            batch.title,
            batch.id
        );
        page.paragraph(&what);
    }
    page.paragraph(&format!(
        "{} Take it back with `trayful undo`.",
        freezer_line(&store)?
    ));
    Ok(Answer::text(page.finish()))
}

/// Says how much to cook next.
pub(super) fn cook_next(args: &FreezerArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let store = book.store()?;
    let day = args.day.day();
    let next = household::cook_next(&book, &store, session.pantry(None)?, day)?;
    let mut page = Page::new(session.look);
    page.paragraph(&pace_line(&next.pace));
    let few = next.known_foods.iter();
    for known in few.filter(|known| known.foods < FEW_FOODS) {
        let foods = if known.foods == 1 { "food" } else { "foods" };
        page.paragraph(&format!(
            "{} knows {} {foods} so far: cook one or two flavours, and small batches (common \
             practice, no source).",
            known.child, known.foods
        ));
    }
    if let Some(room) = next.room {
        page.paragraph(&format!(
            "A batch cooked on {day} keeps {} days. {} can be eaten by then, {} that lie in the \
             freezer come first: there is room for {}.",
            book.settings.freezer_days,
            counted(room.eaten_by_then),
            room.waiting,
            counted(room.cubes)
        ));
    }
    if !next.recipes.is_empty() {
        let header = ["", "in the freezer", "a batch makes", "fits"].map(String::from);
        let row = |one: household::NextRecipe| {
            vec![
                one.name,
                one.left.to_string(),
                format!("{:.0}", one.makes.floor()),
                format!("{:.2} times", one.factor),
            ]
        };
        page.line("");
        page.sheet(Sheet {
            header: header.to_vec(),
            rows: next.recipes.into_iter().map(row).collect(),
            right: vec![1, 2, 3],
        });
    }
    Ok(Answer::text(page.finish()))
}
