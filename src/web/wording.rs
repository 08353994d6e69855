//! Sentences shared with the command line, in the wording of a page.
//!
//! No clause is left out: dates are written as `19 Nov 2026`, text in backticks is put in quotation marks, a path is
//! shortened to its file name, and a next step names a room of the page.

use std::borrow::Cow;
use std::path::Path;

use jiff::civil::Date;

use super::rooms::day;
use crate::next_step::{NextStep, Remark};
use crate::problem::Problem;

/// Letters of a day as it is typed.
const TYPED: usize = 10;

/// A problem with what to do next, without the place: on a page there is no file to look into.
pub(super) fn in_words(problem: &Problem) -> String {
    let next = problem.hint.as_ref().map(with_room).unwrap_or_default();
    let what = capital(&problem.what);
    if next.is_empty() {
        format!("{what}.")
    } else {
        format!("{what}: {next}.")
    }
}

/// A remark with the room in which its step is taken, without a full stop.
pub(super) fn with_room(remark: &Remark) -> String {
    worded(&remark.clause(room))
}

/// The next step on the page; `None` for a step that is taken elsewhere.
fn room(step: &NextStep) -> Option<String> {
    let words = match step {
        NextStep::FindFood(_) => "find it by its name in the room Foods",
        NextStep::SeeFreezer => "see what there is in the room Freezer",
        NextStep::RecordPrices => "write down what you pay in the room Money",
        NextStep::PlanMeals => "plan the meals one by one in the room Week",
        NextStep::PlanCooking => "choose a day to cook in the room Week",
        NextStep::SeeOwnFoods | NextStep::StartOwnFoods => {
            "own foods stand in own-foods.csv of the book"
        }
        NextStep::NameFoods => {
            "read its dataset in again in the room Foods, or put it back into own-foods.csv of the book"
        }
        NextStep::SeePlanFile
        | NextStep::StartBook
        | NextStep::StartEmptyBook
        | NextStep::UseBook => return None,
    };
    Some(words.into())
}

/// The text with a capital letter, as a sentence begins.
pub(super) fn capital(words: &str) -> String {
    crate::words::capital(&worded(words))
}

/// The text in the wording of a page.
pub(super) fn worded(words: &str) -> String {
    days(&named(words)).into_owned()
}

/// Puts text in backticks into quotation marks, and shortens a path of this computer to its file name.
fn named(words: &str) -> String {
    if words.matches('`').count() % 2 == 1 {
        return words.into();
    }
    let parts = words.split('`').enumerate();
    let parts = parts.map(|(at, part)| match Path::new(part).file_name() {
        _ if at % 2 == 0 => part.into(),
        Some(name) if Path::new(part).is_absolute() => {
            format!("\u{201c}{}\u{201d}", name.to_string_lossy())
        }
        _ => format!("\u{201c}{part}\u{201d}"),
    });
    parts.collect()
}

/// Rewrites every date in the text in the form of the page.
fn days(words: &str) -> Cow<'_, str> {
    let typed = |at: usize| -> Option<Date> {
        let part = words.get(at..at + TYPED)?;
        let alone = |letter: Option<&u8>| !letter.is_some_and(u8::is_ascii_alphanumeric);
        let bytes = words.as_bytes();
        let alone =
            alone(at.checked_sub(1).and_then(|at| bytes.get(at))) && alone(bytes.get(at + TYPED));
        part.parse().ok().filter(|_| alone)
    };
    let Some((at, on)) = (0..words.len()).find_map(|at| Some((at, typed(at)?))) else {
        return words.into();
    };
    let rest = days(&words[at + TYPED..]);
    format!("{}{}{rest}", &words[..at], day(on)).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_said_as_one_says_them() {
        assert_eq!(
            worded("from 2026-11-02 to 2026-12-01, not 2026-13-01 or x2026-11-02"),
            "from 2 Nov 2026 to 1 Dec 2026, not 2026-13-01 or x2026-11-02"
        );
        assert_eq!(worded("né le 2026-11-02"), "né le 2 Nov 2026");
    }

    #[test]
    #[cfg(unix)]
    fn a_file_has_its_name_alone() {
        assert_eq!(
            worded("`/home/wren/a b/torn.toml` is not text"),
            "\u{201c}torn.toml\u{201d} is not text"
        );
        assert_eq!(
            worded("`1/2 cup` is no `/`"),
            "\u{201c}1/2 cup\u{201d} is no \u{201c}/\u{201d}"
        );
        assert_eq!(worded("a ` alone"), "a ` alone");
    }

    #[test]
    fn what_a_parent_typed_is_kept() {
        let typed = "oats --rolled; is trayful mixing fine; see --own";
        assert_eq!(worded(typed), typed);
        assert_eq!(
            worded("`--a` is no number"),
            "\u{201c}--a\u{201d} is no number"
        );
    }

    #[test]
    fn a_problem_is_told_as_a_sentence_without_its_place() {
        let source = crate::problem::SourceText::new("/home/wren/book.toml", "x");
        let place = crate::problem::Place::whole(&source);
        let problem = Problem::at(place, "there are 3 cubes, not 4").hint("ask for 3");
        assert_eq!(in_words(&problem), "There are 3 cubes, not 4: ask for 3.");
        let problem = Problem::new("batch #7 is gone").hint(NextStep::SeeFreezer);
        assert_eq!(
            in_words(&problem),
            "Batch #7 is gone: see what there is in the room Freezer."
        );
        let problem = Problem::new("there is a book").hint(NextStep::UseBook);
        assert_eq!(in_words(&problem), "There is a book.");
    }
}
