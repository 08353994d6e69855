//! `trayful plan set`.

use clap::Args;
use jiff::civil::Date;
use trayful::day::{DayReader, DayUse};
use trayful::household::PlanValidation;
use trayful::notebook::{Book, Pick, Plan, PlannedCooking};
use trayful::planning::facts::{Facts, Span};
use trayful::planning::validation::Validation;
use trayful::problem::Problem;
use trayful::report::plan_change;
use trayful::spoken::Taken;
use trayful::words;

use super::judged::NewPlan;
use super::planning_day;
use crate::cli::failure::Failure;
use crate::cli::judged::AnywayArg;
use crate::cli::typed_value::place_of;
use crate::cli::{Answer, ChildrenArg, Session};

/// The most days for which a plan is set at once (judgement).
const MOST_DAYS: usize = 31;

#[derive(Debug, Args)]
pub(super) struct SetArgs {
    /// The day, such as tomorrow, friday or 2026-11-27
    #[arg(value_name = "DAY")]
    day: String,
    /// Which meal of the day, such as lunch
    #[arg(value_name = "MEAL", required_unless_present_any = ["cook", "empty"])]
    meal: Option<String>,
    /// Cubes and recipes, batches, and so much of other food, such as: 2 red-lentil-squash, 1 "#7", 30 ml plain yogurt
    #[arg(value_name = "N RECIPE", requires = "meal", required_unless_present_any = ["cook", "empty"])]
    what: Vec<String>,
    /// Cook so many trays of a recipe that day, such as "2 red-lentil-squash"; may be repeated, and stands for all
    /// that is cooked that day
    #[arg(long, value_name = "TRAYS RECIPE")]
    cook: Vec<String>,
    /// Plan nothing: for the meal, or without one no cooking on that day
    #[arg(long, conflicts_with_all = ["what", "cook"])]
    empty: bool,
    /// Plan it for every day up to this one
    #[arg(long, value_name = "DAY")]
    to: Option<String>,
    #[command(flatten)]
    children: ChildrenArg,
    /// The day on which it is planned; today if left out
    #[arg(long, value_name = "DAY")]
    on: Option<String>,
    #[command(flatten)]
    anyway: AnywayArg,
    /// Print one JSON object
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(args: &SetArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let today = planning_day(session, args.on.as_deref())?;
    let reader = DayReader::new(today, DayUse::Plan);
    let first = session.day("the day", &args.day, &reader)?;
    let last = session.day_or("--to", args.to.as_deref(), &reader)?;
    let last = last.unwrap_or(first);
    let days = days(first, last)?;
    let mut store = book.store()?;
    let rules = PlanValidation::of(&book, &store)?;
    let Typed {
        plan,
        taken_as,
        taken,
    } = plan(args, session, &book, &rules, &days)?;
    let new = NewPlan {
        plan,
        span: Span {
            today,
            from: first,
            to: last,
        },
        taken,
    };
    let changes = |facts: &Facts<'_>, plan: &Plan, before: &Plan| {
        let mut changes = plan_change(facts, plan, before);
        let understood = taken_as.into_iter();
        changes.extend(understood.map(|understood| format!("{understood}.")));
        changes
    };
    let how = (&args.anyway, args.json);
    new.record((&book, &mut store), changes, how, session)
}

fn days(first: Date, last: Date) -> Result<Vec<Date>, Failure> {
    let days = std::iter::successors(Some(first), |day| day.tomorrow().ok());
    let days: Vec<_> = days
        .take_while(|day| *day <= last)
        .take(MOST_DAYS + 1)
        .collect();
    if days.is_empty() || days.len() > MOST_DAYS {
        let days = words::days(first, last);
        let what = format!("{days} is not 1 to {MOST_DAYS} days");
        return Err(Problem::new(what).hint("say the last day with --to").into());
    }
    Ok(days)
}

/// The plan for every day, and how words were resolved.
#[derive(Debug, Default)]
struct Typed {
    plan: Plan,
    /// Notes on it, each a sentence without its full stop.
    taken_as: Vec<String>,
    taken: Vec<Taken>,
}

fn plan(
    args: &SetArgs,
    session: &Session,
    book: &Book,
    rules: &PlanValidation,
    days: &[Date],
) -> Result<Typed, Failure> {
    let validation = &rules.validation(book);
    let mut all = Typed::default();
    let plan = &mut all.plan;
    if let Some(meal) = &args.meal {
        if args.what.is_empty() && !args.empty {
            let what = "nothing was given to plan";
            let hint = "say what, such as \"2 red-lentil-squash\", or --empty for nothing";
            return Err(Problem::new(what).hint(hint).into());
        }
        let meal = session.meal(book, Some(meal))?;
        let typed = session.servings(book, &args.what)?;
        let parts = typed.planned();
        rules.admit(book, &parts)?;
        for child in args.children.all(session, book)? {
            for day in days {
                let slot = validation.slot(*day, Some(&child.name), &meal)?;
                plan.meals.insert(slot, parts.clone());
            }
        }
        (all.taken_as, all.taken) = (typed.taken_as, typed.taken);
    }
    if !args.cook.is_empty() || (args.empty && args.meal.is_none()) {
        let cooking = cooking(&args.cook, session, book, validation)?;
        for day in days {
            plan.cooking
                .insert(validation.cooking_day(*day)?, cooking.clone());
        }
    }
    Ok(all)
}

/// The trays of each recipe.
fn cooking(
    typed: &[String],
    session: &Session,
    book: &Book,
    validation: &Validation<'_>,
) -> Result<Vec<PlannedCooking>, Failure> {
    let mut cooking: Vec<PlannedCooking> = Vec::new();
    for text in typed {
        let typed = text.parse::<Pick>().ok();
        let whole = typed.filter(|pick| pick.cubes.halved() == 0);
        let Some(Pick { cubes, name }) = whole else {
            let place = place_of("--cook", text);
            let problem = Problem::at(place, "a cooking is a number of trays and a recipe");
            return Err(problem
                .hint("such as --cook \"2 red-lentil-squash\"")
                .into());
        };
        let planned = PlannedCooking {
            recipe: session.stated(book.find_recipe(&name)?),
            trays: cubes.taken(),
        };
        validation.cooking(&planned)?;
        if cooking.iter().any(|other| other.recipe == planned.recipe) {
            let what = format!("“{}” is named twice for one day", planned.recipe);
            return Err(Problem::new(what)
                .hint("name it once, with all trays")
                .into());
        }
        cooking.push(planned);
    }
    Ok(cooking)
}
