//! The request for a purée from the options of `trayful combine`.

use trayful::combine::{CombineRequest, LEAST_ENERGY, Prefer, Tables, goal_of, usual_goal};
use trayful::household::BookJudge;
use trayful::problem::Problem;
use trayful::quantity::read_number;
use trayful::safety::Objection;
use trayful::spoken::{Context, Reader};

use super::CombineArgs;
use crate::cli::Session;
use crate::cli::failure::Failure;
use crate::cli::typed_value::{money, place_of};

/// The request that the options state.
pub(super) fn in_words(args: &CombineArgs, session: &Session) -> Result<CombineRequest, Failure> {
    let reach = args.reach.as_deref().map(reach).transpose()?;
    let nutrient = match &reach {
        Some((tag, _)) => goal_of(tag)?,
        None => usual_goal()?,
    };
    let usual = CombineRequest::for_most(nutrient);
    let mut limits = usual.limits.clone();
    limits.energy_kcal_per_g = Some(args.energy.unwrap_or(LEAST_ENERGY));
    limits.vitamin_c_to_iron = args.vitamin_c;
    let under = args.under.as_deref();
    limits.cost = under.map(|under| money("--under", under)).transpose()?;
    let must = args.with.iter().map(|words| candidate(words, session));
    Ok(CombineRequest {
        at_least: reach.map(|(_, amount)| amount),
        prefer: args.prefer.map_or(Prefer::Most, Prefer::from),
        must: must.collect::<Result<_, _>>()?,
        add_at_most: args.most.map_or(usual.add_at_most, usize::from),
        new_at_most: args.new,
        without: args
            .without
            .iter()
            .map(|word| word.trim().to_lowercase())
            .collect(),
        unusual: args.unusual,
        limits,
        cooked_together: args.together,
        answers: args.answers.map_or(usual.answers, usize::from),
        ..usual
    })
}

/// Reads `1 mg iron`: the nutrient and the amount in its unit.
fn reach(text: &str) -> Result<(String, f64), Problem> {
    let place = || place_of("--reach", text);
    let problem = |what: &str| {
        Problem::at(place(), what)
            .hint("write an amount, its unit and a nutrient, such as \"1 mg iron\"")
    };
    let lower = text.trim().to_lowercase();
    let mut words = lower.split_whitespace();
    let (number, unit) = match words.next() {
        Some(first) => {
            let end = first
                .find(|c: char| c.is_alphabetic())
                .unwrap_or(first.len());
            let (number, unit) = first.split_at(end);
            let unit = if unit.is_empty() {
                words.next().unwrap_or("")
            } else {
                unit
            };
            (number, unit)
        }
        None => return Err(problem("the amount to reach is missing")),
    };
    let amount = read_number(number).ok_or_else(|| problem("it does not start with a number"))?;
    let called = words.collect::<Vec<_>>().join(" ");
    let known = data_import::nutrients().map_err(|error| Problem::new(error.to_string()))?;
    let found = known
        .iter()
        .find(|known| known.plain.to_lowercase() == called || known.tag.to_lowercase() == called);
    let nutrient = found.ok_or_else(|| problem("there is no nutrient of this name"))?;
    if nutrient.unit != unit {
        return Err(problem(&format!(
            "{} is counted in {}",
            nutrient.plain.to_lowercase(),
            nutrient.unit
        )));
    }
    Ok((nutrient.tag.clone(), amount))
}

/// The food that words mean, of those that may be proposed.
fn candidate(words: &str, session: &Session) -> Result<data_import::FoodId, Failure> {
    let named = Reader::new(session, Context::Buy).named(words)?;
    let tables = Tables::builtin()?;
    let fit: Vec<_> = named
        .iter()
        .filter(|food| tables.note(&food.id).is_some())
        .collect();
    let place = place_of("--with", words);
    match (fit.as_slice(), named.as_slice()) {
        ([food], _) => Ok(food.id.clone()),
        ([], []) => Err(Problem::at(place, format!("nothing is called “{words}”"))
            .hint("try fewer words")
            .into()),
        ([], [other, ..]) => {
            let none = format!(
                "{} is none of the foods that purées are put together from",
                other.name
            );
            let against = against(other, session)?;
            let grave = against.iter().find(|one| one.bars_a_plan());
            Err(match grave {
                Some(grave) => Problem::at(place, format!("{} {}", grave.text, none)),
                None => Problem::at(place, none)
                    .hint("a recipe of the book may hold any food and be the base"),
            }
            .into())
        }
        (several, _) => {
            let choices = several
                .iter()
                .map(|food| format!("{}  {}", food.id, food.name));
            let choices = choices.collect::<Vec<_>>().join("\n");
            Err(
                Problem::at(place, format!("“{words}” could mean several foods"))
                    .hint(format!("write the id of one:\n{choices}"))
                    .into(),
            )
        }
    }
}

/// What speaks against a food in any form, for the children of the book.
fn against(food: &data_import::Food, session: &Session) -> Result<Vec<Objection>, Failure> {
    let settings = session.book_for(None)?.map(|book| book.settings);
    let (settings, pantry) = (settings.unwrap_or_default(), session.pantry(None)?);
    let judge = BookJudge::new(&settings, None, &pantry)?;
    Ok(judge.food(food, session.today(), None)?)
}
