//! `trayful child`: the children of the household, shown, added, changed, renamed.

use clap::{Args, Subcommand, ValueEnum};
use jiff::civil::Date;
use toml_edit::{Array, Value};
use trayful::day::{DayReader, DayUse};
use trayful::household::rename_child;
use trayful::notebook::{Book, Child, Setting};
use trayful::problem::Problem;
use trayful::report::{Page, decimals};
use trayful::words;

use super::failure::Failure;
use super::{Answer, Session};

/// Arguments of `trayful child`.
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

/// The facts about a child that `book.toml` can hold.
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
    #[arg(long, value_name = "HOW")]
    eczema: Option<EczemaArg>,
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
    /// Not to be said
    Unsaid,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum EczemaArg {
    /// None
    None,
    /// Mild
    Mild,
    /// Moderate
    Moderate,
    /// Severe
    Severe,
    /// Some, of a severity that is not said
    Yes,
}

impl FactArgs {
    fn settings(&self) -> Vec<Setting<'static>> {
        let mut settings: Vec<Setting<'static>> = Vec::new();
        if let Some(sex) = self.sex {
            let word = match sex {
                SexSetting::Girl => Some("girl".into()),
                SexSetting::Boy => Some("boy".into()),
                SexSetting::Unsaid => None,
            };
            settings.push(("sex", word));
        }
        if let Some(weight) = &self.birth_weight {
            settings.push(("birth_weight", Some(weight.as_str().into())));
        }
        if let Some(weeks) = self.weeks_early {
            settings.push(("weeks_early", Some(i64::from(weeks).into())));
        }
        if let Some(eczema) = self.eczema {
            let value: Value = match eczema {
                EczemaArg::None => false.into(),
                EczemaArg::Mild => "mild".into(),
                EczemaArg::Moderate => "moderate".into(),
                EczemaArg::Severe => "severe".into(),
                EczemaArg::Yes => true.into(),
            };
            settings.push(("eczema", Some(value)));
        }
        if let Some(allergies) = &self.allergies {
            let all = allergies
                .split(',')
                .map(str::trim)
                .filter(|one| !one.is_empty());
            let all: Array = all.collect();
            settings.push((
                "allergies",
                Some(Value::Array(all)).filter(|_| !allergies.trim().is_empty()),
            ));
        }
        if let Some(milk) = &self.milk {
            settings.push(("milk", Some(milk.as_str().into())));
        }
        settings
    }
}

/// Shows or changes the children.
pub(super) fn run(args: &ChildArgs, session: &Session) -> Result<Answer, Failure> {
    let mut book = session.book()?;
    match &args.action {
        None => {}
        Some(ChildAction::Add { name, born, facts }) => {
            if book.child(name).is_some() {
                let what = format!(
                    "the book has a child called {} already",
                    words::quoted(name)
                );
                return Err(Problem::new(what).into());
            }
            let mut settings: Vec<Setting<'_>> = vec![
                ("name", Some(name.as_str().into())),
                ("born", Some(birth(born, session)?.to_string().into())),
            ];
            settings.extend(facts.settings());
            book.add("child", &settings)?;
        }
        Some(ChildAction::Set { name, born, facts }) => {
            let name = book.named_child(Some(name))?.name.clone();
            let mut settings = facts.settings();
            if let Some(born) = born {
                settings.push(("born", Some(birth(born, session)?.to_string().into())));
            }
            if settings.is_empty() {
                let problem = Problem::new("nothing was named that is to be different");
                return Err(problem.hint("such as --allergies egg").into());
            }
            book.set_in("child", &name, &settings)?;
        }
        Some(ChildAction::Rename { from, to }) => {
            let from = book.settings.child(Some(from))?.name.clone();
            let mut store = book.store()?;
            rename_child(&mut book, &mut store, (&from, to.trim()), session.today())?;
        }
    }
    let before_birth = meals_before_birth(&book)?;
    let mut page = Page::new(session.look);
    let store = book.store()?;
    for child in &book.settings.children {
        page.paragraph(&described(
            child,
            session.today(),
            store
                .weight(child, session.today())?
                .map(trayful::quantity::Mass::grams),
        ));
    }
    for sentence in before_birth {
        page.paragraph(&format!("! {sentence}."));
    }
    Ok(Answer::text(page.finish()))
}

/// A day of birth, which has been.
fn birth(typed: &str, session: &Session) -> Result<Date, Failure> {
    let reader = DayReader::new(session.today(), DayUse::Birth);
    session.day("--born", typed, &reader)
}

/// Meals on record before the day of birth: they stay, and are named.
fn meals_before_birth(book: &Book) -> Result<Vec<String>, Failure> {
    if !book.has_record() {
        return Ok(Vec::new());
    }
    let store = book.store()?;
    let mut found = Vec::new();
    for child in &book.settings.children {
        let entries = store.log(
            (
                Date::MIN,
                child.born.saturating_sub(jiff::Span::new().days(1)),
            ),
            false,
        )?;
        let meals = entries
            .iter()
            .filter(|one| one.kind == "meal" && one.child == child.name);
        let days: Vec<String> = meals.map(|one| words::day(one.day)).collect();
        if !days.is_empty() {
            found.push(format!(
                "{}: {} on record before the day of birth ({})",
                child.name,
                words::counted(days.len(), "meal"),
                words::joined(&days, ", ")
            ));
        }
    }
    Ok(found)
}

/// A child in one sentence.
fn described(child: &Child, today: Date, weight: Option<f64>) -> String {
    let mut facts = vec![
        format!("born {}", words::day(child.born)),
        format!("{} months old", child.age_on(today).0),
    ];
    facts.extend(child.sex.map(|sex| sex.word().to_string()));
    facts.extend(weight.map(|grams| format!("{} kg", decimals(grams / 1000.0, 2))));
    facts.extend(
        child
            .birth_weight
            .map(|mass| format!("{} kg at birth", decimals(mass.grams() / 1000.0, 2))),
    );
    facts.extend(
        child
            .weeks_early
            .filter(|weeks| *weeks > 0)
            .map(|weeks| format!("{weeks} weeks early")),
    );
    if child.eczema.on_record() {
        facts.push("eczema".into());
    }
    if !child.allergies.is_empty() {
        facts.push(format!("allergies: {}", child.allergies.join(", ")));
    }
    facts.extend(child.milk.as_ref().map(|milk| format!("milk: {milk}")));
    format!("{}: {}.", child.name, facts.join("; "))
}
