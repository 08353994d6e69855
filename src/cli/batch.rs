//! `trayful batch`: from a recipe to cubes, trays, energy and nutrients.

use std::fmt::Write as _;

use clap::Args;
use jiff::ToSpan as _;
use jiff::civil::Date;
use trayful::buying::UsualCost;
use trayful::cost::Comparison;
use trayful::food::Pantry;
use trayful::household::{self, BookJudge, Complement, FoodView, calculated};
use trayful::notebook::{Book, Settings, Store};
use trayful::nutrition::AgeMonths;
use trayful::portion::{Target, Tray};
use trayful::recipe::{Additions, Batch, Recipe, from_command_line};
use trayful::report::{BatchReport, BatchTables, BatchView, Card, Priced};
use trayful::safety::Objection;
use trayful::spoken::{Context, Taken};

use super::again::quoted;
use super::batch_options::{ScaleArgs, ShownArgs, TrayArgs};
use super::failure::Failure;
use super::freezer::weighed;
use super::pantry::record_of;
use super::recipe::ChosenRecipe;
use super::save::NewRecipe;
use super::{Answer, DayArg, Session};

/// The way to write a recipe on the command line.
pub(super) const WRITTEN: &str =
    "batch --add \"600 g butternut squash steamed\" --add \"150 g red lentils boiled\"";

#[derive(Debug, Args)]
pub(super) struct BatchArgs {
    /// A recipe of the book by its name, or a recipe file; leave it out to write the recipe with --add
    #[arg(value_name = "RECIPE", conflicts_with_all = ["add", "returned", "added"])]
    recipe: Option<String>,
    /// An ingredient in your words: how much, which food, how it is cooked, such as "600 g courgette roasted"
    #[arg(long, value_name = "AMOUNT FOOD METHOD")]
    add: Vec<String>,
    /// Cooking liquid blended back in, of what was collected, such as 100ml/300ml
    #[arg(long, value_name = "RETURNED/COLLECTED", requires = "add")]
    returned: Option<String>,
    /// Plain water blended in, such as 50ml
    #[arg(long, value_name = "VOLUME", requires = "add")]
    added: Option<String>,
    /// The blended purée on the scale, less the bowl, such as 1180g
    #[arg(long, value_name = "MASS")]
    weighed: Option<String>,
    /// Write it into the book as a recipe of this name, in the amounts that were typed
    #[arg(long, value_name = "NAME", requires = "add")]
    save: Option<String>,
    /// Take newer analyses of its foods where there are any (FoodData Central, 2016 and later);
    /// `newer_analyses = true` in book.toml does so for all
    #[arg(long)]
    newer: bool,
    #[command(flatten)]
    tray: TrayArgs,
    #[command(flatten)]
    scale: ScaleArgs,
    #[command(flatten)]
    shown: ShownArgs,
    #[command(flatten)]
    day: DayArg,
}

/// Runs the command.
pub(super) fn run(args: &BatchArgs, session: &Session) -> Result<Answer, Failure> {
    let taken = session.read_all(&args.add, Context::Cook)?;
    let ChosenRecipe {
        name,
        mut recipe,
        book,
        pantry,
    } = chosen(args, &taken, session)?;
    let pantry = if args.newer {
        pantry.with_newer(true)
    } else {
        pantry
    };
    let new = args.save.as_deref();
    let new = new
        .map(|name| NewRecipe::of(name, book.as_ref()))
        .transpose()?;
    if let Some(new) = &new {
        recipe.title.clone_from(&new.title);
    }
    let usual = Settings::default();
    let settings = book.as_ref().map_or(&usual, |book| &book.settings);
    let tray = args.tray.resolve(settings)?;
    let target = args.scale.target(session)?;
    let day = args.day.ahead(session)?;
    let batch = calculated(&recipe, &target, &tray, &pantry)?;
    // The scale shows the batch as it was cooked, scaled or not, as it does for `freeze`.
    let on_scale = args.weighed.as_deref();
    let on_scale = on_scale.map(weighed).transpose()?;
    let batch = household::on_the_scale(batch, on_scale.as_ref())?;
    let age = args.shown.age;
    let age = age.unwrap_or_else(|| household::shown_age(&settings.children, day));
    let recorded = book.as_ref().filter(|book| book.has_record());
    let mut notes = match recorded.filter(|_| !name.is_empty()) {
        Some(book) => BookNotes::of(book, &name, &batch, &tray, day, recipe.freezer.days)?,
        None => BookNotes::default(),
    };
    let pot = BatchToday {
        batch: &batch,
        tray: &tray,
        day,
    };
    if !args.shown.why {
        let doubt = household::weighed_doubt(&batch).map(String::from);
        notes.warnings.splice(0..0, doubt);
    }
    notes.objections = pot.objections((settings, book.as_ref()), &pantry, args.shown.age)?;
    if args.shown.why {
        notes.lacks = Some(lacks(&batch, &pantry, book.as_ref(), (day, age))?);
    }
    let view = BatchDisplay {
        args: &args.shown,
        age,
        tray: &tray,
        target: &target,
        pantry: &pantry,
    };
    let mut answer = view.answer(&batch, notes, &taken, session)?;
    match new {
        Some(_) if !answer.found => {
            let what = "Not saved: it should not be given, as said above.";
            session.end_with(what, args.shown.json, &mut answer);
        }
        Some(new) => saved(args, &new, (&recipe, &batch), &mut answer, session)?,
        None => {}
    }
    Ok(answer)
}

/// The recipe of the command: of the book, a file, or the one that is written with `--add`.
///
/// Errors: none of them was given.
fn chosen(args: &BatchArgs, taken: &[Taken], session: &Session) -> Result<ChosenRecipe, Failure> {
    match &args.recipe {
        Some(recipe) => session.recipe(Some(recipe), "batch"),
        None if args.add.is_empty() => {
            let ways = [
                session.named_way("batch")?,
                (WRITTEN.into(), "what goes in, once for each food"),
                ("help batch".into(), "all options"),
            ];
            Err(Failure::usage(
                "name a recipe, or write one with --add",
                &ways,
            ))
        }
        None => Ok(ChosenRecipe {
            name: String::new(),
            recipe: from_command_line(&Additions {
                add: taken.to_vec(),
                returned: args.returned.clone(),
                added: args.added.clone(),
                // Of a batch that is scaled the scale does not show what the amounts as they are written weigh.
                weighed: args.weighed.clone().filter(|_| !args.scale.is_scaled()),
            })?,
            book: session.book_for(None)?,
            pantry: session.pantry(None)?,
        }),
    }
}

/// Saves the recipe in the book, and adds the command that freezes its batch to the answer.
fn saved(
    args: &BatchArgs,
    new: &NewRecipe<'_>,
    (recipe, batch): (&Recipe, &Batch),
    answer: &mut Answer,
    session: &Session,
) -> Result<(), Failure> {
    let mut size = args.tray.again() + &args.scale.to_freeze();
    if let Some(weighed) = args.weighed.as_deref().filter(|_| args.scale.is_scaled()) {
        let _ = write!(size, " --weighed {}", quoted(weighed));
    }
    let saved = new.save(recipe, batch)?;
    let saved = format!("{saved} Freeze it: trayful freeze {}{size}", new.name);
    session.end_with(&saved, args.shown.json, answer);
    Ok(())
}

/// The nutrients that a purée lacks, with foods that bring them and that this household may give.
fn lacks(
    batch: &Batch,
    pantry: &Pantry,
    book: Option<&Book>,
    (day, age): (Date, AgeMonths),
) -> Result<Vec<Complement>, Failure> {
    let store = record_of(book)?;
    let view = FoodView {
        pantry,
        book,
        store: store.as_ref(),
        day,
        age,
    };
    Ok(household::puree_complements(batch, &view)?)
}

/// The notes of the book about a batch before it is cooked.
#[derive(Default)]
pub(super) struct BookNotes {
    currency: String,
    beside: Option<Comparison>,
    usual: Option<UsualCost>,
    warnings: Vec<String>,
    use_by: Option<Date>,
    pub(super) objections: Vec<Objection>,
    /// What the purée lacks; `None` where it was not looked up.
    lacks: Option<Vec<Complement>>,
}

/// A batch on the day that it is cooked.
pub(super) struct BatchToday<'a> {
    pub(super) batch: &'a Batch,
    pub(super) tray: &'a Tray,
    pub(super) day: Date,
}

impl BatchToday<'_> {
    /// The objections to this batch: for each child of the book, else for a child of the age asked for.
    pub(super) fn objections(
        &self,
        (settings, book): (&Settings, Option<&Book>),
        pantry: &Pantry,
        age: Option<AgeMonths>,
    ) -> Result<Vec<Objection>, Failure> {
        self.judged(settings, record_of(book)?.as_ref(), pantry, age)
    }

    /// The objections to this batch for the children of one household, by its settings and its record.
    pub(super) fn judged(
        &self,
        settings: &Settings,
        store: Option<&Store>,
        pantry: &Pantry,
        age: Option<AgeMonths>,
    ) -> Result<Vec<Objection>, Failure> {
        let judge = BookJudge::new(settings, store, pantry)?;
        Ok(judge.batch(self.batch, self.tray, self.day, age)?)
    }
}

impl BookNotes {
    fn of(
        book: &Book,
        name: &str,
        batch: &Batch,
        tray: &Tray,
        day: Date,
        life: Option<u32>,
    ) -> Result<Self, Failure> {
        let before =
            household::batch_preview(book, &book.store()?, name, batch, tray, (day, life))?;
        Ok(Self {
            currency: book.settings.currency.clone(),
            beside: Some(before.beside),
            usual: before.usual,
            warnings: before.warnings,
            use_by: day.checked_add(i64::from(before.keeps_days).days()).ok(),
            ..Self::default()
        })
    }
}

/// The options with which a batch is shown.
pub(super) struct BatchDisplay<'a> {
    pub(super) args: &'a ShownArgs,
    pub(super) age: AgeMonths,
    pub(super) tray: &'a Tray,
    pub(super) target: &'a Target,
    pub(super) pantry: &'a Pantry,
}

impl BatchDisplay<'_> {
    /// Renders a batch, wherever its recipe comes from.
    pub(super) fn answer(
        &self,
        batch: &Batch,
        notes: BookNotes,
        taken: &[Taken],
        session: &Session,
    ) -> Result<Answer, Failure> {
        let age = self.age;
        let view = BatchView {
            tray: self.tray,
            age,
            energy: self.args.energy(age)?,
            cost: notes.beside.map(|beside| Priced {
                currency: &notes.currency,
                beside,
                usual: notes.usual,
            }),
            objections: &notes.objections,
            lacks: notes.lacks.as_deref(),
            tables: &BatchTables::builtin()?,
        };
        let report = BatchReport::new(batch, &view);
        let mut ids: Vec<_> = batch.foods().map(|food| &food.id).collect();
        ids.sort();
        ids.dedup();
        let warnings = self.pantry.warnings(ids);
        let found = !notes.objections.iter().any(Objection::is_block);
        if self.args.json {
            return Ok(session
                .json(&report, taken)?
                .warning_of(warnings)
                .found_if(found));
        }
        let card = Card {
            target: self.target,
            why: self.args.why,
            all: self.args.all,
            use_by: notes.use_by,
            look: session.look,
            warnings: &notes.warnings,
        };
        let text = card.render(&report, batch, &view);
        Ok(Answer::text(text)
            .warning_of(warnings)
            .understood_as(taken)
            .found_if(found))
    }
}
