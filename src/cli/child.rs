//! `trayful child`: the children of the household, shown, added, changed, renamed.

use clap::{Args, Subcommand, ValueEnum};
use jiff::civil::Date;
use trayful::day::{DayReader, DayUse};
use trayful::household::{
    AllergyReading, ChildChanges, add_child, change_child, child_to_rename, meals_before_birth,
    no_longer_stopped, read_allergies, rename_child,
};
use trayful::notebook::Eczema;
use trayful::nutrition::energy::Sex;
use trayful::problem::Problem;
use trayful::report::{Page, before_birth, child_facts};
use trayful::safety::listed_allergies;
use trayful::words::sentence;

use super::again::{pasted, quoted, typed};
use super::failure::Failure;
use super::next_command::with_command;
use super::option_word::{OptionWord, one_of};
use super::{Answer, Session};

#[derive(Debug, Args)]
pub(super) struct ChildArgs {
    #[command(subcommand)]
    action: Option<ChildAction>,
}

#[derive(Debug, Subcommand)]
enum ChildAction {
    /// Add a child
    Add {
        /// The name
        name: String,
        /// The day of birth
        #[arg(long, value_name = "DAY")]
        born: String,
        #[command(flatten)]
        facts: FactArgs,
    },
    /// Change what the book says of a child; its comments stay
    Set {
        /// The name
        name: String,
        /// The day of birth
        #[arg(long, value_name = "DAY")]
        born: Option<String>,
        #[command(flatten)]
        facts: FactArgs,
    },
    /// Rename a child, with the whole record
    Rename {
        /// The name so far
        from: String,
        /// The new name
        to: String,
    },
}

// The facts about a child that `book.toml` can hold.
#[derive(Debug, Args)]
struct FactArgs {
    /// The sex, where you want it to count
    #[arg(long, value_name = "SEX")]
    sex: Option<SexSetting>,
    /// The weight at birth, such as "3.1 kg"
    #[arg(long, value_name = "MASS")]
    birth_weight: Option<String>,
    /// Whole weeks before the due date
    #[arg(long, value_name = "WEEKS")]
    weeks_early: Option<u32>,
    /// Eczema: none, mild, moderate, severe, or yes
    #[arg(long, value_name = "HOW", value_parser = one_of(&ECZEMA))]
    eczema: Option<Eczema>,
    /// No fact but a measurement: `trayful measure --weight`
    #[arg(long, hide = true, value_name = "MASS")]
    weight: Option<String>,
    /// Every known allergy, with commas between them; "" for none
    #[arg(long, value_name = "FOODS")]
    allergies: Option<String>,
    /// How milk is fed, in your words
    #[arg(long, value_name = "WORDS")]
    milk: Option<String>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum SexSetting {
    /// A girl
    Girl,
    /// A boy
    Boy,
    /// Not stated
    Unsaid,
}

/// Eczema on the command line.
const ECZEMA: [OptionWord<Eczema>; 5] = [
    ("none", "None", Eczema::None),
    ("mild", "Mild", Eczema::Mild),
    ("moderate", "Moderate", Eczema::Moderate),
    ("severe", "Severe", Eczema::Severe),
    ("yes", "Some, severity not stated", Eczema::Unspecified),
];

impl FactArgs {
    fn changes(&self) -> ChildChanges {
        ChildChanges {
            born: None,
            sex: self.sex.map(|sex| match sex {
                SexSetting::Girl => Some(Sex::Girl),
                SexSetting::Boy => Some(Sex::Boy),
                SexSetting::Unsaid => None,
            }),
            birth_weight: self.birth_weight.clone().map(Some),
            weeks_early: self.weeks_early.map(Some),
            eczema: self.eczema,
            allergies: self.allergies.as_deref().map(listed_allergies),
            milk: self.milk.clone().map(Some),
        }
    }
}

impl ChildArgs {
    /// Errors: a weight was given, which is a measurement of a day and not a fact about a child.
    fn refuse_weight(&self) -> Result<(), Failure> {
        let Some(ChildAction::Add { name, facts, .. } | ChildAction::Set { name, facts, .. }) =
            &self.action
        else {
            return Ok(());
        };
        let Some(weight) = &facts.weight else {
            return Ok(());
        };
        let (weight, name) = (quoted(weight), quoted(name));
        let measure = format!("trayful measure --weight {weight} --child {name}");
        let problem = Problem::new("a weight is written down with its day");
        Err(match &self.action {
            // There is no child to weigh yet.
            Some(ChildAction::Add { .. }) => {
                let add = pasted(&without_option(typed(), "--weight"));
                problem.hint(format!("first: trayful {add}\nthen: {measure}"))
            }
            _ => problem.hint(measure),
        }
        .into())
    }
}

/// The words without an option and its value.
fn without_option(words: Vec<String>, option: &str) -> Vec<String> {
    let mut kept = Vec::new();
    let mut words = words.into_iter();
    while let Some(word) = words.next() {
        if word == option {
            words.next();
        } else if !word.starts_with(&format!("{option}=")) {
            kept.push(word);
        }
    }
    kept
}

/// Shows or changes the children.
pub(super) fn run(args: &ChildArgs, session: &Session) -> Result<Answer, Failure> {
    let mut book = session.book()?;
    let mut said = Vec::new();
    args.refuse_weight()?;
    match &args.action {
        None => {}
        Some(ChildAction::Add { name, born, facts }) => {
            let born = birth(born, session)?;
            add_child(&mut book, (name, born), &facts.changes())?;
        }
        Some(ChildAction::Set { name, born, facts }) => {
            let name = book.named_child(Some(name))?.name.clone();
            let mut changes = facts.changes();
            let born = born.as_deref().map(|born| birth(born, session));
            changes.born = born.transpose()?;
            if changes.is_empty() {
                let problem = Problem::new("nothing was named that is to be different");
                return Err(problem.hint("such as --allergies egg").into());
            }
            let child = book.named_child(Some(&name))?;
            let left_out = no_longer_stopped(child, &changes);
            change_child(&mut book, &name, &changes)?;
            said.extend(left_out.map(|remark| sentence(&with_command(&remark))));
        }
        Some(ChildAction::Rename { from, to }) => {
            let mut store = book.store()?;
            let from = child_to_rename(&book, &store, from)?;
            rename_child(&mut book, &mut store, (&from, to.trim()), session.today())?;
        }
    }
    let today = session.today();
    let mut page = Page::new(session.look);
    for words in &said {
        page.paragraph(&format!("! {words}"));
    }
    let store = book.store()?;
    session.note_orphans(&book, &book.settings.children.iter().collect::<Vec<_>>())?;
    for child in &book.settings.children {
        let facts = child_facts(child, today, store.weight(child, today)?);
        page.paragraph(&format!("{}: {facts}.", child.name));
    }
    for child in &book.settings.children {
        if child.allergies.is_empty() {
            continue;
        }
        let allergies = read_allergies(&session.pantry(None)?, &child.allergies)?;
        for stops in allergies.iter().filter_map(AllergyReading::what_it_stops) {
            page.paragraph(&format!("  {stops}"));
        }
        for doubt in allergies.iter().flat_map(|reading| &reading.doubts) {
            page.paragraph(&format!("! {}: {doubt}", child.name));
        }
    }
    for (child, meals) in meals_before_birth(&book, &store)? {
        page.paragraph(&format!("! {}.", before_birth(&child, &meals)));
    }
    Ok(Answer::text(page.finish()))
}

/// A day of birth, which has been.
fn birth(typed: &str, session: &Session) -> Result<Date, Failure> {
    let reader = DayReader::new(session.today(), DayUse::Birth);
    session.day("--born", typed, &reader)
}
