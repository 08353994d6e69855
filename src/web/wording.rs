//! The sentences of a page about a problem and what to do next: those of the command line, with
//! rooms instead of commands.

use crate::next_step::{NextStep, Remark};
use crate::problem::Problem;
use crate::words::{capital, sentence};

/// A problem with what to do next, without the place: on a page there is no file to look into.
pub(super) fn in_words(problem: &Problem) -> String {
    let next = problem.hint.as_ref().map(with_room).unwrap_or_default();
    let what = capital(&problem.what);
    if next.is_empty() {
        sentence(&what)
    } else if what.ends_with('?') {
        sentence(&format!("{what} {}", capital(&next)))
    } else {
        sentence(&format!("{what}: {next}"))
    }
}

/// A remark with the room in which its step is taken, without a full stop.
pub(super) fn with_room(remark: &Remark) -> String {
    remark.clause(room)
}

/// The next step on the page; `None` for a step that is taken elsewhere.
fn room(step: &NextStep) -> Option<String> {
    let words = match step {
        NextStep::FindFood(_) => "find it by its name in the room Foods",
        NextStep::SeeFreezer => "see what there is in the room Freezer",
        NextStep::RecordPrices => "write down what you pay in the room Money",
        NextStep::PlanMeals => "plan the meals one by one in the room Week",
        NextStep::SayPace => "it is counted from the meals, or said in the room Household",
        NextStep::PlanAhead => "what is to come is planned in the room Week",
        NextStep::RecordMeal => "write down what was eaten in the room Today",
        NextStep::PlanCooking => "choose a day to cook in the room Week",
        NextStep::ShowFood(_) => "look at it in the room Foods",
        NextStep::CalculateBatch => "calculate it in the room Cook",
        NextStep::SeeOwnFoods | NextStep::StartOwnFoods => {
            "own foods stand in own-foods.csv of the book"
        }
        NextStep::NameFoods => {
            "read its dataset in again in the room Foods, or put it back into own-foods.csv of the book"
        }
        NextStep::SeeHistory | NextStep::Undo(_) | NextStep::Redo(_) => {
            "see the history of the book"
        }
        NextStep::SetAllergies(of) => {
            return Some(format!(
                "write {} under Allergies in the room Household",
                of.allergies
            ));
        }
        NextStep::ServeThis(_)
        | NextStep::WeighPuree
        | NextStep::SeeEvidence
        | NextStep::SeeVisitPage
        | NextStep::SeeSources
        | NextStep::SeePoints
        | NextStep::CheckPlan
        | NextStep::SeePlanFile
        | NextStep::SeeCombineKeys
        | NextStep::StartBook
        | NextStep::StartEmptyBook
        | NextStep::RenameChild(_)
        | NextStep::UseBook => return None,
    };
    Some(words.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_problem_becomes_a_sentence_without_its_place() {
        let source = crate::problem::SourceText::new("/home/wren/book.toml", "x");
        let place = crate::problem::Place::whole(&source);
        let problem = Problem::at(place, "there are 3 cubes, not 4").hint("ask for 3");
        assert_eq!(in_words(&problem), "There are 3 cubes, not 4: ask for 3.");
        let problem = Problem::new("batch #7 is gone").hint(NextStep::SeeFreezer);
        assert_eq!(
            in_words(&problem),
            "Batch #7 is gone: see what there is in the room Freezer."
        );
        let problem = Problem::new("Ada is ten years old").hint("is the year right?");
        assert_eq!(
            in_words(&problem),
            "Ada is ten years old: is the year right?"
        );
        let problem = Problem::new("how much is it?").hint("write grams");
        assert_eq!(in_words(&problem), "How much is it? Write grams.");
        let problem = Problem::new("there is a book").hint(NextStep::UseBook);
        assert_eq!(in_words(&problem), "There is a book.");
    }
}
