//! Next steps as shown on a terminal: a command to run, or an option to add.

use trayful::next_step::{NextStep, Remark};

use super::again::quoted;

/// A remark with the command that takes its step, without a full stop.
pub(super) fn with_command(remark: &Remark) -> String {
    remark.clause(|step| Some(command(step)))
}

/// The command or the option that takes a step.
pub(super) fn command(step: &NextStep) -> String {
    let words = match step {
        NextStep::FindFood(words) => return format!("find the id with `trayful foods {words}`"),
        NextStep::ServeThis(bowl) => {
            let child = bowl.child.as_ref();
            let child = child.map(|child| format!(" --child {}", quoted(child)));
            let parts = quoted(&bowl.parts.join(", "));
            return format!("trayful serve {parts}{}", child.unwrap_or_default());
        }
        NextStep::SeeFreezer => "see what there is with `trayful freezer`",
        NextStep::RecordPrices => "record what you pay with `trayful buy`",
        NextStep::WeighPuree => {
            "write it down as [puree] weighed = \"... g\", or say it with --weighed"
        }
        NextStep::SeeEvidence => "see --why",
        NextStep::SeeVisitPage => "the page has all",
        NextStep::SeeSources => "the source of each reference intake is in --json",
        NextStep::SeePoints => "see the points with --why",
        NextStep::CheckPlan => "see it with `trayful plan check`",
        NextStep::PlanMeals => "plan the meals with `trayful plan set`",
        NextStep::SayPace => {
            "record meals with `trayful serve`, or say it with `trayful household set --servings-a-day 3`"
        }
        NextStep::PlanAhead => "what is to come goes into the plan: `trayful plan set`",
        NextStep::RecordMeal => "record what was eaten with `trayful serve`",
        NextStep::PlanCooking => "plan it with --cook: `trayful plan set --help` says how",
        NextStep::SeePlanFile => "`trayful plan export -` shows one",
        NextStep::StartBook => "make one with `trayful start FOLDER`, or name it with --book",
        NextStep::StartEmptyBook => "make a new book with `trayful start FOLDER` and import there",
        NextStep::UseBook => "use it with --book, or start in another folder",
        NextStep::SeeOwnFoods => {
            "own foods stand in own-foods.csv beside your book.toml, or in the file named by --own"
        }
        NextStep::StartOwnFoods => "`trayful foods --template` prints a file to start from",
        NextStep::ShowFood(food) => return format!("`trayful foods --show {food}`"),
        NextStep::CalculateBatch => "`trayful batch`",
        NextStep::SeeCombineKeys => "`trayful help combine`",
        NextStep::SeeHistory => "`trayful log` lists them",
        NextStep::Undo(number) => return format!("`trayful undo {number}`"),
        NextStep::Redo(number) => return format!("`trayful redo {number}`"),
        NextStep::RenameChild(names) => {
            let (from, to) = (quoted(&names.from), quoted(&names.to));
            return format!("`trayful child rename {from} {to}`");
        }
        NextStep::SetAllergies(of) => {
            let (child, allergies) = (quoted(&of.child), quoted(&of.allergies));
            return format!("`trayful child set {child} --allergies {allergies}`");
        }
        NextStep::NameFoods => "name the food data or the own foods it is in: --cache, --own",
    };
    words.into()
}
