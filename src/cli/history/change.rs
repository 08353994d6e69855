//! `trayful change`: an entry of the record is corrected.

use clap::Args;
use data_import::{Food, FoodId};
use trayful::day::{DayReader, DayUse};
use trayful::household::{self, Difference, Judged, measure_doubt, recook};
use trayful::notebook::{
    Book, Corrected, Correction, EntryDetail, How, LogEntry, Measured, Measurement, Store,
};
use trayful::portion::MOST_CUBES_OF_A_BATCH;
use trayful::problem::Problem;
use trayful::report::{ChangeReport, Page, doubted, entry_words, heading, objection_list};
use trayful::safety::Objection;
use trayful::spoken::Taken;
use trayful::words::sentence;

use super::change_values::{really, so_much};
use super::undo::number;
use crate::cli::failure::Failure;
use crate::cli::freezer::freezer_line;
use crate::cli::judged::{AnywayArg, stopped};
use crate::cli::option_word::one_of;
use crate::cli::serve::{HOW, share};
use crate::cli::typed_value::money;
use crate::cli::{Answer, Session};

#[derive(Debug, Args)]
pub(in crate::cli) struct ChangeArgs {
    /// The number of the entry, as `trayful log` shows it
    #[arg(value_parser = number)]
    number: i64,
    /// How a meal went
    #[arg(long, value_name = "HOW", value_parser = one_of(&HOW))]
    how: Option<How>,
    /// The share of a meal that was eaten, such as 60%
    #[arg(long, value_name = "SHARE", value_parser = share)]
    eaten: Option<f64>,
    /// The day it was
    #[arg(long, visible_alias = "on", value_name = "DAY")]
    day: Option<String>,
    /// Which meal of the day it was
    #[arg(long, value_name = "MEAL")]
    meal: Option<String>,
    /// Which child it was
    #[arg(long, value_name = "CHILD")]
    child: Option<String>,
    /// What it really was: servings of a meal, the milk of a day, what was bought, cubes thrown away
    #[arg(long, value_name = "WHAT")]
    what: Option<String>,
    /// What is to be added to a meal
    #[arg(long, value_name = "WHAT")]
    add: Option<String>,
    /// How much it was: of the one food or the cubes of a meal, of a purchase, a weight, a dose; of a batch, cubes
    #[arg(long, value_name = "AMOUNT")]
    amount: Option<String>,
    /// How many cubes a batch made
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_CUBES_OF_A_BATCH)))]
    cubes: Option<u32>,
    /// What the blended batch weighed
    #[arg(long, value_name = "MASS")]
    weighed: Option<String>,
    /// A food of the recipe that was not in the batch; may be repeated
    #[arg(long, value_name = "FOOD")]
    without: Vec<String>,
    /// What the batch is called
    #[arg(long, value_name = "WORDS")]
    title: Option<String>,
    /// What was paid
    #[arg(long, value_name = "PRICE")]
    price: Option<String>,
    /// Where it was bought
    #[arg(long, visible_alias = "at", value_name = "SHOP")]
    shop: Option<String>,
    /// What was seen after a meal, as it was written with it; "" for nothing
    #[arg(long, value_name = "WORDS")]
    reaction: Option<String>,
    /// The words of a question, an answer, a note or a reaction; or why cubes were thrown away
    #[arg(long, visible_alias = "why", value_name = "WORDS")]
    words: Option<String>,
    #[command(flatten)]
    anyway: AnywayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Corrects an entry.
pub(in crate::cli) fn run(args: &ChangeArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let mut store = book.store()?;
    if args.weighed.is_some() || !args.without.is_empty() {
        return args.recooked(&book, &mut store, session);
    }
    let entry = store.entry(args.number)?;
    let (correction, taken) = args.correction(entry.as_ref(), &book, session)?;
    if let Some(entry) = entry.as_ref().filter(|_| !args.anyway.anyway) {
        check_measure(entry, &correction, (&book, &store), session)?;
    }
    let pantry = session.pantry(None)?;
    let anyway = |found: &[Objection]| args.anyway.is_meant(found, session, args.json);
    let Judged {
        objections,
        recorded,
    } = household::correct(
        (&book, &mut store),
        &pantry,
        (args.number, &correction),
        session.today(),
        anyway,
    )?;
    let Some(household::AppliedCorrection { corrected, follows }) = recorded else {
        if args.json {
            return Ok(session
                .json(&Stopped::of(objections), &taken)?
                .found_if(false));
        }
        let what = "Nothing was changed. What was eaten can always be recorded: say it again with --anyway.";
        return Ok(stopped(&objections, what, session));
    };
    answer(
        (&book, &store),
        &Correcting {
            corrected,
            follows,
            objections,
            taken,
        },
        args.json,
        session,
    )
}

/// That a measurement is near the others of its child.
///
/// Errors: it is far from them, and not said to be meant.
fn check_measure(
    entry: &LogEntry,
    correction: &Correction,
    (book, store): (&Book, &Store),
    session: &Session,
) -> Result<(), Failure> {
    let EntryDetail::Measure { what, value } = &entry.detail else {
        return Ok(());
    };
    let was = Measurement {
        day: entry.day,
        what: Measured::from_word(what),
        value: *value,
    };
    let new = Measurement {
        day: correction.day.unwrap_or(was.day),
        value: correction.value.unwrap_or(was.value),
        ..was
    };
    let name = correction.child.as_deref().unwrap_or(&entry.child);
    let Some(child) = book.child(name) else {
        return Ok(());
    };
    let mut others = store.measurements(name, session.today())?;
    others.retain(|one| name != entry.child || *one != was);
    match measure_doubt(&new, child, &others, session.today()) {
        Some(doubt) => Err(doubted(&new, &doubt, child, "say it again with --anyway").into()),
        None => Ok(()),
    }
}

/// What a correction did.
struct Correcting {
    corrected: Corrected,
    follows: Vec<String>,
    objections: Vec<Objection>,
    taken: Vec<Taken>,
}

fn answer(
    (book, store): (&Book, &Store),
    correcting: &Correcting,
    json: bool,
    session: &Session,
) -> Result<Answer, Failure> {
    let Correcting {
        corrected,
        follows,
        objections,
        taken,
    } = correcting;
    let currency = &book.settings.currency;
    if json {
        let report = ChangeReport::new(corrected, currency, follows.clone());
        let objections = objections.clone();
        return session.json(&WithObjections { report, objections }, taken);
    }
    let mut page = Page::new(session.look);
    objection_list(&mut page, objections);
    let (was, now) = (&corrected.was, &corrected.now);
    for (when, entry) in [("Was", was), ("Now", now)] {
        let words = format!(
            "{when}: {}, {}",
            heading(entry),
            entry_words(entry, currency)
        );
        page.paragraph(&sentence(&words));
    }
    for food in taken.iter().filter(|food| food.by_words) {
        page.paragraph(&format!("{}.", food.words()));
    }
    for words in follows {
        page.paragraph(&sentence(words));
    }
    if ["batch", "meal", "discard"].contains(&now.kind) {
        page.paragraph(&freezer_line(store)?);
    }
    page.line(&format!(
        "It is entry {} now. If that was wrong: `trayful undo {}`.",
        now.number, now.number
    ));
    Ok(Answer::text(page.finish()))
}

/// A correction that an objection stopped.
#[derive(serde::Serialize)]
struct Stopped {
    schema: u32,
    recorded: bool,
    objections: Vec<Objection>,
}

impl Stopped {
    fn of(objections: Vec<Objection>) -> Self {
        Self {
            schema: 1,
            recorded: false,
            objections,
        }
    }
}

/// A correction with the objections to it.
#[derive(serde::Serialize)]
struct WithObjections {
    #[serde(flatten)]
    report: ChangeReport,
    objections: Vec<Objection>,
}

impl ChangeArgs {
    /// The food of the batch that words name.
    fn of_batch(&self, words: &str, store: &Store, session: &Session) -> Result<FoodId, Failure> {
        let batch = store
            .entry(self.number)?
            .map_or(self.number, |entry| entry.target);
        let ids: Vec<FoodId> = store
            .purchased(batch)?
            .into_iter()
            .map(|(id, _)| id)
            .collect();
        let foods = session.pantry(None)?.foods(&ids)?;
        let words: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
        let is_meant = |food: &&Food| {
            let name = food.name.to_lowercase();
            words
                .iter()
                .all(|word| name.contains(word.as_str()) || food.id.as_str() == word)
        };
        let meant: Vec<&Food> = foods.iter().flatten().filter(is_meant).collect();
        if let [food] = meant.as_slice() {
            return Ok(food.id.clone());
        }
        let names = foods
            .iter()
            .flatten()
            .map(|food| format!("{} ({})", food.id, food.name));
        let names: Vec<String> = names.collect();
        let what = format!(
            "{} is not one food of the batch",
            trayful::words::quoted(words.join(" "))
        );
        Err(Problem::new(what)
            .hint(format!("it holds {}", names.join("; ")))
            .into())
    }

    /// Corrects what is in a batch.
    fn recooked(
        &self,
        book: &Book,
        store: &mut Store,
        session: &Session,
    ) -> Result<Answer, Failure> {
        let mut without = Vec::new();
        for food in &self.without {
            without.push(self.of_batch(food, store, session)?);
        }
        let difference = Difference {
            weighed: self
                .weighed
                .as_deref()
                .map(household::typed_mass)
                .transpose()?,
            without,
        };
        let pantry = session.pantry(None)?;
        let change = recook(
            (book, store),
            &pantry,
            self.number,
            &difference,
            session.today(),
        )?;
        let correcting = Correcting {
            corrected: change.corrected,
            follows: change.follows,
            objections: Vec::new(),
            taken: Vec::new(),
        };
        answer((book, store), &correcting, self.json, session)
    }

    /// What is to be different, as far as it was given, and how words for foods were resolved.
    fn correction(
        &self,
        entry: Option<&LogEntry>,
        book: &Book,
        session: &Session,
    ) -> Result<(Correction, Vec<Taken>), Failure> {
        let named = self.child.as_deref();
        let child = named
            .map(|name| session.child(book, Some(name)))
            .transpose()?;
        let of_entry = || book.child(&entry?.child);
        let reader = DayReader {
            today: session.today(),
            purpose: DayUse::Record,
            born: child.or_else(of_entry).map(|child| child.born),
        };
        let day = session.day_or("--day", self.day.as_deref(), &reader)?;
        if let Some(how) = self.how {
            how.check_share(self.eaten)?;
        }
        let mut correction = Correction {
            day,
            how: self.how,
            share: self.eaten,
            reaction: self.reaction.clone(),
            cubes: self.cubes,
            title: self.title.clone(),
            store: self.shop.clone(),
            words: self.words.clone(),
            ..Correction::default()
        };
        correction.child = child.map(|child| child.name.clone());
        if self.meal.is_some() {
            correction.meal = Some(session.meal(book, self.meal.as_deref())?);
        }
        if let Some(price) = &self.price {
            correction.price = Some(money("--price", price)?);
        }
        let mut taken = Vec::new();
        if let Some(add) = &self.add {
            let typed = session.servings(book, std::slice::from_ref(add))?;
            taken.extend(typed.taken);
            correction.more = Some((typed.picks, typed.foods));
        }
        if let (Some(what), Some(entry)) = (&self.what, entry) {
            taken.extend(really(what, entry, &mut correction, book, session)?);
        }
        if let (Some(amount), Some(entry)) = (&self.amount, entry) {
            taken.extend(so_much(amount, entry, &mut correction, book, session)?);
        }
        Ok((correction, taken))
    }
}
