//! `trayful batch`: from a recipe to cubes, trays, energy and nutrients.

use std::fmt::Write as _;

use clap::Args;
use jiff::ToSpan as _;
use jiff::civil::Date;
use trayful::buying::UsualCost;
use trayful::cost::Comparison;
use trayful::food::Pantry;
use trayful::household::{self, BookJudge, calculated};
use trayful::notebook::{Book, Settings, Store};
use trayful::nutrition::AgeMonths;
use trayful::nutrition::energy::{Requirement, Sex, Stature};
use trayful::portion::{Target, Tray, TrayError};
use trayful::problem::{Place, Problem, SourceText};
use trayful::quantity::{Amount, AmountError, Mass, Volume};
use trayful::recipe::{Additions, Batch, from_command_line};
use trayful::report::{BatchReport, BatchTables, BatchView, Card, Priced};
use trayful::safety::{Objection, UNKNOWN_AGE};
use trayful::spoken::{Context, Taken};

use super::failure::Failure;
use super::recipe::ChosenRecipe;
use super::save::NewRecipe;
use super::{Answer, DayArg, Session, age};

/// The way to write a recipe on the command line.
pub(super) const WRITTEN: &str =
    "batch --add \"600 g butternut squash steamed\" --add \"150 g red lentils boiled\"";

/// Arguments of `trayful batch`.
#[derive(Debug, Args)]
pub(super) struct BatchArgs {
    /// A recipe of the book by its name, or a recipe file; leave it out to write the recipe with --add
    #[arg(value_name = "RECIPE", conflicts_with_all = ["add", "returned", "added", "weighed"])]
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
    #[arg(long, value_name = "MASS", requires = "add")]
    weighed: Option<String>,
    /// Write it into the book as a recipe of this name, in the amounts that were typed
    #[arg(long, value_name = "NAME", requires = "add")]
    save: Option<String>,
    /// Take newer analyses of its foods where there are any (FoodData Central, 2016 and later); `newer_analyses = true` in book.toml does so for all
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

/// The tray it is spooned into.
#[derive(Debug, Args, Default)]
pub(super) struct TrayArgs {
    /// A tray of the book by its name, or wells and volume, such as 16x30ml
    #[arg(long, value_name = "NAME|WELLSxVOLUME")]
    pub(super) tray: Option<String>,
    /// What one well holds to the brim, such as 30ml
    #[arg(long, value_name = "VOLUME")]
    well: Option<String>,
    /// The share of a well that is filled, such as 0.9
    #[arg(long, value_name = "SHARE")]
    fill: Option<f64>,
}

/// What the batch is scaled to.
#[derive(Debug, Args, Default)]
#[group(multiple = false)]
pub(super) struct ScaleArgs {
    /// Scale to fill so many trays
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=100))]
    pub(super) trays: Option<u32>,
    /// Scale to so many cubes
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=5000))]
    cubes: Option<u32>,
    /// Scale to so many servings
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=2000))]
    servings: Option<u32>,
    /// Scale so that this pack of an ingredient is used up, such as "2 lb butternut squash"
    #[arg(long, value_name = "AMOUNT FOOD")]
    use_up: Option<String>,
}

/// What is shown, and for whom.
#[derive(Debug, Args)]
pub(super) struct ShownArgs {
    /// The child's age in completed months; that of the book's child, else 6, if left out
    #[arg(long, value_name = "MONTHS", value_parser = age)]
    pub(super) age: Option<AgeMonths>,
    /// The child's weight, such as 8.2kg: gives energy a reference
    #[arg(long, value_name = "MASS")]
    weight: Option<String>,
    /// The child's length in centimetres: with weight and sex, the newer energy equation
    #[arg(long, value_name = "CM", requires_all = ["weight", "sex"], value_parser = centimetres)]
    length: Option<f64>,
    /// For the newer energy equation
    #[arg(long, requires = "length")]
    sex: Option<SexArg>,
    /// Show what it rests on: every estimate, every caution, and the sources
    #[arg(long)]
    why: bool,
    /// Show every nutrient
    #[arg(long)]
    all: bool,
    /// Print one JSON object with full precision
    #[arg(long)]
    pub(super) json: bool,
}

/// Runs the command.
pub(super) fn run(args: &BatchArgs, session: &Session) -> Result<Answer, Failure> {
    let taken = session.read_all(&args.add, Context::Cook)?;
    let ChosenRecipe {
        name,
        mut recipe,
        book,
        pantry,
    } = match &args.recipe {
        recipe @ Some(_) => session.recipe(recipe.as_deref(), "batch")?,
        None if args.add.is_empty() => {
            let ways = [
                session.named_way("batch")?,
                (WRITTEN.into(), "what goes in, once for each food"),
                ("help batch".into(), "all options"),
            ];
            return Err(Failure::usage(
                "name a recipe, or write one with --add",
                &ways,
            ));
        }
        None => ChosenRecipe {
            name: String::new(),
            recipe: from_command_line(&Additions {
                add: taken.clone(),
                returned: args.returned.clone(),
                added: args.added.clone(),
                weighed: args.weighed.clone(),
            })?,
            book: session.book_for(None)?,
            pantry: session.pantry(None)?,
        },
    };
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
    let age = args
        .shown
        .age
        .or_else(|| settings.only_child().map(|child| child.age_on(day)));
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
    notes.objections = pot.objections((settings, book.as_ref()), &pantry, args.shown.age)?;
    let view = BatchDisplay {
        args: &args.shown,
        age,
        tray: &tray,
        target: &target,
        pantry: &pantry,
    };
    let mut answer = view.answer(&batch, notes, &taken, session)?;
    if let Some(new) = new {
        let trays = args.scale.trays;
        let trays = trays.map_or_else(String::new, |trays| format!(" --trays {trays}"));
        let saved = new.save(&recipe, &batch)?;
        let saved = format!("{saved} Freeze it: trayful freeze {}{trays}", new.name);
        if args.shown.json {
            session.output.note(&saved);
        } else {
            let _ = write!(answer.text, "\n{saved}\n");
        }
    }
    Ok(answer)
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
        let recorded = book.filter(|book| book.has_record());
        let store = recorded.map(Book::store).transpose()?;
        self.judged(settings, store.as_ref(), pantry, age)
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
            objections: Vec::new(),
        })
    }
}

/// The options with which a batch is shown.
pub(super) struct BatchDisplay<'a> {
    pub(super) args: &'a ShownArgs,
    pub(super) age: Option<AgeMonths>,
    pub(super) tray: &'a Tray,
    pub(super) target: &'a Target,
    pub(super) pantry: &'a Pantry,
}

impl BatchDisplay<'_> {
    /// Renders a batch, whatever it came from.
    pub(super) fn answer(
        &self,
        batch: &Batch,
        notes: BookNotes,
        taken: &[Taken],
        session: &Session,
    ) -> Result<Answer, Failure> {
        let age = self.age.unwrap_or(UNKNOWN_AGE);
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
            tables: &BatchTables::builtin()?,
        };
        let report = BatchReport::new(batch, &view);
        let mut ids: Vec<_> = batch.foods().map(|food| &food.id).collect();
        ids.sort();
        ids.dedup();
        let warnings = self.pantry.warnings(ids);
        let found = !notes.objections.iter().any(Objection::is_block);
        if self.args.json {
            return Ok(Answer {
                found,
                ..session.json(&report, taken)?.warning_of(warnings)
            });
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
        Ok(Answer {
            found,
            ..Answer::text(text).warning_of(warnings).understood_as(taken)
        })
    }
}

impl TrayArgs {
    /// The tray asked for: named in the book or described, else the book's first, else the usual.
    pub(super) fn resolve(&self, book: &Settings) -> Result<Tray, Failure> {
        let mut tray = match &self.tray {
            None => book.trays.first().cloned().unwrap_or_else(Tray::usual),
            Some(text) => match book.tray(text) {
                Some(tray) => tray.clone(),
                None => described(text, book)?,
            },
        };
        if let Some(text) = &self.well {
            tray.well = volume("--well", text)?;
        }
        tray.fill = self.fill.unwrap_or(tray.fill);
        Ok(tray
            .checked()
            .map_err(|error: TrayError| Problem::new(error.to_string()).hint(error.hint()))?)
    }
}

/// Reads `16x30ml`, or `16` for wells of the usual size.
fn described(text: &str, book: &Settings) -> Result<Tray, Failure> {
    let (wells, well) = match text.split_once(['x', 'X']) {
        Some((wells, well)) => (wells, Some(well)),
        None => (text, None),
    };
    let Ok(wells) = wells.trim().parse() else {
        let source = SourceText::new("--tray", text);
        let known: Vec<_> = book.trays.iter().map(|tray| tray.name.as_str()).collect();
        let hint = match known.as_slice() {
            [] => "write wells and volume, such as 16x30ml".to_string(),
            known => format!("the book has {}; or write 16x30ml", known.join(", ")),
        };
        return Err(Problem::at(Place::whole(&source), "no such tray")
            .hint(hint)
            .into());
    };
    let usual = Tray::usual();
    let well = well.map_or(Ok(usual.well), |text| volume("--tray", text))?;
    Ok(Tray {
        name: text.to_string(),
        wells,
        well,
        fill: usual.fill,
    })
}

impl ScaleArgs {
    /// The target that the options set.
    pub(super) fn target(&self, session: &Session) -> Result<Target, Failure> {
        Ok(
            match (self.trays, self.cubes, self.servings, &self.use_up) {
                (Some(trays), ..) => Target::Trays(trays),
                (_, Some(cubes), ..) => Target::Cubes(cubes),
                (_, _, Some(servings), _) => Target::Servings(servings),
                (.., Some(text)) => {
                    let taken = session.read_one(text, Context::Buy)?;
                    Target::UseUp {
                        pack: taken.mass().unwrap_or(Mass::ZERO),
                        food: taken.food.id,
                    }
                }
                _ => Target::AsWritten,
            },
        )
    }

    /// The target that the options set, or two full trays.
    pub(super) fn target_or_two_trays(&self, session: &Session) -> Result<Target, Failure> {
        Ok(match self.target(session)? {
            Target::AsWritten => Target::Trays(2),
            target => target,
        })
    }
}

/// Girl or boy on the command line.
#[derive(Debug, Clone, Copy, clap::ValueEnum)]
pub(super) enum SexArg {
    /// A girl
    Girl,
    /// A boy
    Boy,
}

/// The length of a child in centimetres.
fn centimetres(text: &str) -> Result<f64, String> {
    match text.trim_end_matches("cm").trim().parse() {
        Ok(length) if (40.0..=130.0).contains(&length) => Ok(length),
        _ => Err("write 40 to 130 cm, such as 70".into()),
    }
}

impl ShownArgs {
    /// The child's energy requirement, by the newest equation for which enough is known.
    fn energy(&self, age: AgeMonths) -> Result<Option<Requirement>, Failure> {
        let Some(weight) = self.weight()? else {
            return Ok(None);
        };
        let sex = match self.sex {
            Some(SexArg::Girl) => Some(Sex::Girl),
            Some(SexArg::Boy) => Some(Sex::Boy),
            None => None,
        };
        Ok(match sex.zip(self.length) {
            Some((sex, centimetres)) => {
                Requirement::of_2023(age, weight, Stature { sex, centimetres })
            }
            None => Requirement::of_2005(age, weight),
        })
    }

    /// The child's weight, between what a newborn and a school child weigh.
    fn weight(&self) -> Result<Option<Mass>, Failure> {
        let Some(text) = &self.weight else {
            return Ok(None);
        };
        let weight = mass("--weight", text)?;
        if !(1_000.0..=40_000.0).contains(&weight.grams()) {
            let source = SourceText::new("--weight", text);
            return Err(
                Problem::at(Place::whole(&source), "a child weighs 1 to 40 kg")
                    .hint("such as --weight 8.2kg")
                    .into(),
            );
        }
        Ok(Some(weight))
    }
}

fn mass(option: &str, text: &str) -> Result<Mass, Failure> {
    read(option, text, Amount::mass)
}

fn volume(option: &str, text: &str) -> Result<Volume, Failure> {
    read(option, text, Amount::volume)
}

fn read<T>(
    option: &str,
    text: &str,
    read: impl Fn(&Amount) -> Result<T, AmountError>,
) -> Result<T, Failure> {
    let wrong = |error: AmountError| {
        let place = Place::whole(&SourceText::new(option, text));
        Failure::from(Problem::at(place, error.to_string()).hint(error.hint()))
    };
    read(&text.parse().map_err(wrong)?).map_err(wrong)
}
