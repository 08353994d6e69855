//! `trayful mix`: what a bowl would hold, before it is served. Nothing is recorded.

use clap::Args;
use data_import::NutrientId;
use trayful::household::Mixing;
use trayful::nutrition::IntakeTable;
use trayful::report::{Added, MixPage, MixReport};
use trayful::safety::Objection;

use super::failure::Failure;
use super::{Answer, ChildrenArg, DayArg, Session};

#[derive(Debug, Args)]
pub(super) struct MixArgs {
    /// Cubes and recipes, cooked or not yet, and so much of other food, such as: 1
    /// red-lentil-squash, 30 ml plain yogurt
    #[arg(required = true, value_name = "N RECIPE")]
    what: Vec<String>,
    /// The same with this on top, beside it
    #[arg(long, value_name = "N RECIPE")]
    add: Vec<String>,
    #[command(flatten)]
    children: ChildrenArg,
    #[command(flatten)]
    day: DayArg,
    /// Print one JSON object with full precision
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub(super) fn run(args: &MixArgs, session: &Session) -> Result<Answer, Failure> {
    let book = session.book()?;
    let children = args.children.all(session, &book)?;
    let day = args.day.ahead(session)?;
    let pantry = session.pantry(None)?;
    let mut mixing = Mixing::new(&book, &pantry, day)?;
    let typed = session.servings(&book, &args.what)?;
    let on_top = session.servings(&book, &args.add)?;
    let parts = mixing.parts(&typed, &|| session.pantry(None))?;
    let added = mixing.parts(&on_top, &|| session.pantry(None))?;
    let all: Vec<_> = parts.iter().chain(&added).cloned().collect();
    let taken_as = typed.taken_as.iter().chain(&on_top.taken_as);
    let taken_as: Vec<String> = taken_as.cloned().collect();
    let (mut reports, mut answers) = (Vec::new(), Vec::new());
    for child in children {
        let record = mixing.tastes(child)?;
        let age = child.age_on(day);
        let page = MixPage {
            child: &child.name,
            of_several: book.settings.only_child().is_none(),
            age,
            day,
            bowl: &mixing.bowl(&parts)?,
            iron: IntakeTable::builtin()?.intake(NutrientId::IRON, age),
            before: mixing.before_serving(&all, child, &record)?,
            more_iron: mixing.more_iron(child, &record)?,
            taken_as: taken_as.clone(),
            parts: &parts,
            added: match added.as_slice() {
                [] => None,
                added => Some(Added {
                    parts: added,
                    bowl: mixing.bowl(&all)?,
                }),
            },
        };
        let found = !page.before.objections.iter().any(Objection::is_block);
        reports.push(MixReport::new(&page));
        answers.push(Answer::text(page.render(session.look)).found_if(found));
    }
    let answer = Answer::of_each(answers);
    if !args.json {
        return Ok(answer);
    }
    let taken = [typed.taken, on_top.taken].concat();
    Ok(session
        .json_of_each(&reports, &taken)?
        .found_if(answer.found))
}
