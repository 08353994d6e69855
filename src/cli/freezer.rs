//! `trayful freeze`, `freezer`, `discard` and `cook-next`: what lies in the freezer.

use clap::Args;
use data_import::NutrientId;
use trayful::household::{self, Forecast, Freezing, Judged};
use trayful::notebook::Store;
use trayful::portion::MOST_CUBES_OF_A_BATCH;
use trayful::problem::Located;
use trayful::quantity::Mass;
use trayful::recipe::Batch;
use trayful::report::{
    CookNextReport, DiscardReport, FreezeReport, FreezerReport, Page, amount, cost_remark,
    objection_list,
};
use trayful::safety::Objection;
use trayful::words::{self, counted};

use super::batch_options::{ScaleArgs, TrayArgs, whole_trays};
use super::failure::Failure;
use super::judged::{AnywayArg, stopped};
use super::typed_value::{mass, place_of};
use super::{Answer, DayArg, Session};

#[derive(Debug, Args)]
pub(super) struct FreezeArgs {
    /// A recipe of the book by its name, or a recipe file
    #[arg(value_name = "RECIPE")]
    recipe: Option<String>,
    /// Cubes that went into the freezer; all that the batch makes, where left out
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_CUBES_OF_A_BATCH)))]
    cubes: Option<u32>,
    /// The blended purée on the scale, less the bowl, such as 1180g
    #[arg(long, value_name = "MASS")]
    weighed: Option<String>,
    /// The recipe was scaled to fill so many trays
    #[arg(long, value_name = "N", value_parser = whole_trays)]
    trays: Option<u32>,
    /// The recipe was scaled to so many cubes
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_CUBES_OF_A_BATCH)))]
    scaled_cubes: Option<u32>,
    /// The recipe was scaled to so many servings
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=2000))]
    servings: Option<u32>,
    /// The recipe was scaled so that this pack of an ingredient was used up
    #[arg(long, value_name = "AMOUNT FOOD")]
    use_up: Option<String>,
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

impl FreezeArgs {
    /// The size of the batch as `batch` takes it; `--cubes` of this command counts the cubes that were frozen.
    fn scale(&self) -> ScaleArgs {
        ScaleArgs {
            trays: self.trays,
            cubes: self.scaled_cubes,
            servings: self.servings,
            use_up: self.use_up.clone(),
        }
    }
}

/// Records a batch.
pub(super) fn freeze(args: &FreezeArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let tray = args.tray.resolve(&book.settings)?;
    let chosen = session.recipe(args.recipe.as_deref(), "freeze")?;
    let freezing = Freezing {
        name: &chosen.name,
        recipe: chosen.recipe,
        target: args.scale().target(session)?,
        tray: &tray,
        weighed: args.weighed.as_deref().map(weighed).transpose()?,
        cubes: args.cubes,
        day: args.day.done(session, &[])?,
    };
    let mut store = book.store()?;
    let anyway = |found: &[Objection]| args.anyway.is_meant(found, session, args.json);
    let Judged {
        objections,
        recorded,
    } = household::freeze(&book, &mut store, &chosen.pantry, &freezing, anyway)?;
    if args.json {
        let report = FreezeReport::new(recorded.as_ref(), &objections, &book.settings.currency);
        return Ok(session.json(&report, &[])?.found_if(recorded.is_some()));
    }
    let Some(frozen) = recorded else {
        let what = "Nothing was recorded. If it is meant, say it again with --anyway.";
        return Ok(stopped(&objections, what, session));
    };
    let mut page = Page::new(session.look);
    objection_list(&mut page, &objections);
    page.paragraph(&format!(
        "Froze {} of {} as batch #{}: {:.1} g each, use by {}.",
        counted(frozen.cubes, "cube"),
        frozen.batch.prepared.title,
        frozen.id,
        frozen.cube.grams(),
        words::day(frozen.use_by)
    ));
    page.paragraph(&in_a_cube(&frozen.batch, frozen.cube));
    let cubes = (book.settings.currency.as_str(), frozen.cubes);
    page.remark(cost_remark(&frozen.comparison, &frozen.batch, cubes));
    page.warnings(frozen.warnings);
    page.paragraph(&format!(
        "{} Take it back with `trayful undo`.",
        freezer_line(&store)?
    ));
    Ok(Answer::text(page.finish()))
}

/// The mass of the blended purée, as it was typed.
///
/// Errors: the text is not a mass.
pub(super) fn weighed(text: &str) -> Result<Located<Mass>, Failure> {
    let place = place_of("--weighed", text);
    Ok(Located::at(mass("--weighed", text)?, place))
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
    Ok(format!(
        "In the freezer now: {} in {}.",
        counted(stock.iter().map(|stock| stock.left).sum::<u32>(), "cube"),
        counted(stock.len(), "batch")
    ))
}

/// Cubes in the freezer, of all batches.
pub(super) fn cubes_left(store: &Store) -> Result<u32, Failure> {
    Ok(store.stock()?.iter().map(|stock| stock.left).sum())
}

#[derive(Debug, Args)]
pub(super) struct FreezerArgs {
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// Shows the batches in the freezer.
pub(super) fn freezer(args: &FreezerArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let store = book.store()?;
    let day = args.day.ahead(session)?;
    let forecast = Forecast::of(&book, &store, day, 0)?;
    let report = FreezerReport::new(day, &forecast);
    let answer = if args.json {
        session.json(&report, &[])?
    } else {
        Answer::text(report.render(session.look))
    };
    Ok(answer.found_if(!report.batches.is_empty()))
}

/// Shows how much to cook next.
pub(super) fn cook_next(args: &FreezerArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let store = book.store()?;
    let day = args.day.ahead(session)?;
    let next = household::cook_next(&book, &store, session.pantry(None)?, day)?;
    let report = CookNextReport::new(&next, day, book.settings.freezer_days);
    if args.json {
        return session.json(&report, &[]);
    }
    Ok(Answer::text(report.render(session.look)))
}

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
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// Records waste.
pub(super) fn discard(args: &DiscardArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let mut store = book.store()?;
    let mut pick = household::pick(&args.what.join(" "))?;
    let found = household::find_cubes(&pick.name, &household::known_recipes(&book)?)?;
    pick.name = session.stated(found);
    let day = args.day.done(session, &[])?;
    let discarded = store.discard(day, &pick, &args.why)?;
    let currency = &book.settings.currency;
    let report = DiscardReport::new(day, &discarded, currency, cubes_left(&store)?);
    if args.json {
        return session.json(&report, &[]);
    }
    let mut page = Page::new(session.look);
    for sentence in report.sentences() {
        page.paragraph(&sentence);
    }
    page.paragraph(&format!(
        "{} Take it back with `trayful undo`.",
        freezer_line(&store)?
    ));
    Ok(Answer::text(page.finish()))
}
