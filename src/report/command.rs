//! Next steps as shown on a terminal: a command to run, or an option to add.

use crate::next_step::{NextStep, Remark};

/// A remark with the command that takes its step, without a full stop.
pub fn with_command(remark: &Remark) -> String {
    remark.clause(|step| Some(command(step)))
}

fn command(step: &NextStep) -> String {
    let words = match step {
        NextStep::FindFood(words) => return format!("find the id with `trayful foods {words}`"),
        NextStep::SeeFreezer => "see what there is with `trayful freezer`",
        NextStep::RecordPrices => "record what you pay with `trayful buy`",
        NextStep::PlanMeals => "plan the meals with `trayful plan set`",
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
        NextStep::SeeHistory => "`trayful log` lists them",
        NextStep::Undo(number) => return format!("`trayful undo {number}`"),
        NextStep::Redo(number) => return format!("`trayful redo {number}`"),
        NextStep::Correct(number) => return format!("`trayful change {number}`"),
        NextStep::NameFoods => "name the food data or the own foods it is in: --cache, --own",
    };
    words.into()
}
