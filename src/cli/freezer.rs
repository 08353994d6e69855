//! `trayful freeze`, `freezer`, `discard` and `cook-next`: what lies in the freezer.

use std::collections::BTreeSet;

use clap::Args;
use data_import::NutrientId;
use jiff::ToSpan as _;
use jiff::civil::Date;
use trayful::cost::Comparison;
use trayful::notebook::{Book, NewBatch, Outlook, Pace, Pick, Stock, Store};
use trayful::portion::{Cubes, Target, Tray};
use trayful::problem::{Place, Problem, SourceText};
use trayful::quantity::{Amount, Mass};
use trayful::recipe::Batch;
use trayful::report::{Page, Sheet, amount};
use trayful::safety::{CautionTable, FreezerLimit};

use super::batch::{TrayArgs, calculated};
use super::failure::Failure;
use super::tastes;
use super::{Answer, DayArg, Session};

/// The cubes of a usual serving.
const USUAL_SERVING: f64 = 2.0;
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
    day: DayArg,
}

/// Records a batch.
pub(super) fn freeze(args: &FreezeArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let day = args.day.day();
    let tray = args.tray.resolve(&book.settings)?;
    let recipe = book.recipe(&args.recipe)?;
    let pantry = session.pantry(Some(&book.recipe_path(&args.recipe)))?;
    let target = args.trays.map_or(Target::AsWritten, Target::Trays);
    let batch = calculated(&recipe, &target, &tray, &pantry)?;
    let batch = match &args.weighed {
        Some(text) => on_the_scale(batch, text)?,
        None => batch,
    };
    let full = Cubes::of(batch.masses.puree, tray.cube_mass(batch.density));
    let cubes = args
        .cubes
        .unwrap_or_else(|| u32::try_from(full.whole()).unwrap_or(u32::MAX))
        .max(1);
    // Wells that were filled less give smaller cubes.
    let cube = Mass::from_grams(
        full.each
            .grams()
            .min(batch.masses.puree.grams() / f64::from(cubes)),
    );
    let life = recipe.freezer.days.unwrap_or(book.settings.freezer_days);
    let cautions = CautionTable::builtin()?;
    let new = NewBatch {
        day,
        name: stem(&args.recipe),
        batch: &batch,
        tray: &tray.name,
        cubes,
        cube,
        use_by: day.saturating_add(i64::from(life).days()),
        dataset: &sources(&batch),
    };
    let mut store = book.store()?;
    let mut warnings = too_much(&book, &store, day, life, cubes)?;
    warnings.extend(tastes::warnings(&book, &store, &batch, day)?);
    warnings.extend(too_long(&batch, life)?);
    let (id, cost) = store.freeze(&new, &cautions)?;
    let mut page = Page::new(session.look);
    page.paragraph(&format!(
        "Froze {} of {} as batch #{id}: {:.1} g each, use by {}.",
        counted(cubes),
        batch.prepared.title,
        cube.grams(),
        new.use_by
    ));
    page.paragraph(&in_a_cube(&batch, cube));
    let comparison = Comparison {
        mass: cube * f64::from(cubes),
        cost,
        ready_made: book.settings.ready_made_for(new.name).cloned(),
    };
    page.paragraph(&comparison.sentence(&book.settings.currency, cubes));
    page.list(warnings.into_iter().map(|warning| format!("! {warning}")));
    page.paragraph(&format!(
        "{} Take it back with `trayful undo`.",
        freezer_line(&store)?
    ));
    Ok(Answer::text(page.finish()))
}

/// The datasets, each with its release, that the figures of a batch come from.
fn sources(batch: &Batch) -> String {
    let water = std::iter::once(&batch.prepared.liquid.water);
    let sources: BTreeSet<&str> = batch
        .foods()
        .chain(water)
        .map(|food| food.source.as_str())
        .collect();
    sources.into_iter().collect::<Vec<_>>().join("; ")
}

/// The batch as it was cooked, with what the scale said of its purée.
fn on_the_scale(batch: Batch, text: &str) -> Result<Batch, Failure> {
    let mut prepared = batch.prepared;
    prepared.weighed = Some(weighed(text)?);
    Ok(prepared.calculate()??)
}

fn weighed(text: &str) -> Result<trayful::problem::Located<Mass>, Failure> {
    let place = Place::whole(&SourceText::new("--weighed", text));
    let mass = text.parse::<Amount>().and_then(|amount| amount.mass());
    Ok(mass
        .map(|mass| trayful::problem::Located::at(mass, place.clone()))
        .map_err(|error| Problem::at(place, error.to_string()).hint(error.hint()))?)
}

/// The name of a recipe file without its folder and ending.
fn stem(recipe: &str) -> &str {
    let file = recipe.rsplit(['/', '\\']).next().unwrap_or(recipe);
    file.trim_end_matches(".toml")
}

fn counted(cubes: u32) -> String {
    format!("{cubes} {}", if cubes == 1 { "cube" } else { "cubes" })
}

/// Says when the days are past those of published charts.
fn too_long(batch: &Batch, life: u32) -> Result<Option<String>, Failure> {
    let classes = batch
        .prepared
        .ingredients
        .iter()
        .map(|one| one.class.0.as_str());
    let limit =
        FreezerLimit::of(&classes.collect::<Vec<_>>())?.filter(|limit| life > limit.limit_days);
    Ok(limit.map(|limit| {
        format!(
            "{life} days is past the {} that published charts give {} ({})",
            limit.limit_days, limit.kind, limit.source
        )
    }))
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

/// Says before it is cooked what would be wasted, and the factor that would fit.
pub(super) fn too_much(
    book: &Book,
    store: &Store,
    day: Date,
    life: u32,
    cubes: u32,
) -> Result<Vec<String>, Failure> {
    let pace = store.pace(&book.settings, day, USUAL_SERVING)?;
    if pace.cubes_a_day <= 0.0 {
        return Ok(Vec::new());
    }
    let room = pace.room(&store.stock()?, day, life);
    if cubes <= room.cubes {
        return Ok(Vec::new());
    }
    Ok(vec![format!(
        "{} of these {cubes} cubes will not be eaten by their last day at {:.1} cubes a day; {:.2} \
         times this batch would fit",
        cubes - room.cubes,
        pace.cubes_a_day,
        f64::from(room.cubes) / f64::from(cubes)
    )])
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
    let pick = pick(&args.what.join(" "))?;
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

/// Reads one pick.
pub(super) fn pick(text: &str) -> Result<Pick, Failure> {
    let place = Place::whole(&SourceText::new("what was asked for", text));
    Ok(text.parse().map_err(|error: trayful::notebook::NotAPick| {
        Problem::at(place, error.to_string()).hint(error.hint())
    })?)
}

/// Says how much to cook next.
pub(super) fn cook_next(args: &FreezerArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let store = book.store()?;
    let day = args.day.day();
    let pace = store.pace(&book.settings, day, USUAL_SERVING)?;
    let stock = store.stock()?;
    let mut page = Page::new(session.look);
    page.paragraph(&pace_line(&pace));
    let known = tastes::fewest_known(&book, &store, day)?;
    if known < FEW_FOODS {
        let foods = if known == 1 { "food is" } else { "foods are" };
        page.paragraph(&format!(
            "{known} {foods} known so far: cook one or two flavours, and small batches \
             (common practice, no source)."
        ));
    }
    if pace.cubes_a_day > 0.0 {
        let room = pace.room(&stock, day, book.settings.freezer_days);
        page.paragraph(&format!(
            "A batch cooked on {day} keeps {} days. {} can be eaten by then, {} that lie in the \
             freezer come first: there is room for {}.",
            book.settings.freezer_days,
            counted(room.eaten_by_then),
            room.waiting,
            counted(room.cubes)
        ));
        let rows = next_recipes(&book, &stock, room.cubes, session)?;
        if !rows.is_empty() {
            let header = ["", "in the freezer", "a batch makes", "fits"].map(String::from);
            page.line("");
            page.sheet(Sheet {
                header: header.to_vec(),
                rows,
                right: vec![1, 2, 3],
            });
        }
    }
    Ok(Answer::text(page.finish()))
}

/// The book's recipes, those with the fewest cubes in the freezer on top, and the factor of each
/// that would fill the room.
fn next_recipes(
    book: &Book,
    stock: &[Stock],
    room: u32,
    session: &Session,
) -> Result<Vec<Vec<String>>, Failure> {
    let mut recipes = Vec::new();
    for name in book.recipe_names()? {
        recipes.push((book.recipe(&name)?, name));
    }
    let ids: Vec<_> = recipes
        .iter()
        .flat_map(|(recipe, _)| recipe.foods())
        .collect();
    let pantry = session.pantry(None)?.laid_out_for(&ids)?;
    let tray = book
        .settings
        .trays
        .first()
        .cloned()
        .unwrap_or_else(Tray::usual);
    let mut rows = Vec::new();
    for (recipe, name) in recipes {
        let left: u32 = stock
            .iter()
            .filter(|one| one.batch.name == name)
            .map(|one| one.left)
            .sum();
        let batch = calculated(&recipe, &Target::AsWritten, &tray, &pantry)?;
        let makes = Cubes::of(batch.masses.puree, tray.cube_mass(batch.density)).count;
        let factor = if makes > 0.0 {
            f64::from(room) / makes
        } else {
            0.0
        };
        rows.push((left, name, makes, factor));
    }
    rows.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
    Ok(rows
        .into_iter()
        .map(|(left, name, makes, factor)| {
            vec![
                name,
                left.to_string(),
                format!("{:.0}", makes.floor()),
                format!("{factor:.2} times"),
            ]
        })
        .collect())
}
