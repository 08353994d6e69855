//! The fields of an entry that can be corrected, by its kind.

use super::Correction;
use crate::next_step::NextStep;
use crate::problem::Problem;

/// The fields that entries of a kind have.
fn fields(kind: &str) -> &'static [&'static str] {
    match kind {
        "feeding" => &[
            "day", "child", "meal", "how", "eaten", "reaction", "what", "add",
        ],
        "batch" => &["day", "cubes", "title"],
        "discard" => &["day", "what", "words"],
        "purchase" => &["day", "what", "amount", "price", "shop"],
        "milk" => &["day", "child", "what", "one day"],
        "supplement" => &["day", "child", "amount", "one day"],
        "measure" => &["day", "child", "amount"],
        "question" | "clearance" | "known" | "note" | "visit" => &["day", "child", "words"],
        "answer" | "reaction" => &["day", "words"],
        "whole_day" | "texture" => &["day", "child"],
        _ => &[],
    }
}

/// Checks that a correction names a field, and only fields that the kind has.
pub(super) fn refuse_others(kind: &str, correction: &Correction) -> Result<(), Problem> {
    let known = fields(kind);
    let called = match kind {
        "feeding" => "meal",
        "measure" => "weight or measure",
        "whole_day" => "day that is complete",
        other => other,
    };
    if known.is_empty() {
        let what = "a plan is not corrected: what is planned last for a meal counts";
        return Err(Problem::new(what).hint(NextStep::PlanMeals));
    }
    let given = [
        ("day", correction.day.is_some()),
        ("child", correction.child.is_some()),
        ("meal", correction.meal.is_some()),
        ("how", correction.how.is_some()),
        ("eaten", correction.share.is_some()),
        ("reaction", correction.reaction.is_some()),
        ("what", correction.servings.is_some()),
        ("add", correction.more.is_some()),
        ("cubes", correction.cubes.is_some()),
        ("title", correction.title.is_some()),
        ("amount", correction.mass.is_some()),
        ("what", correction.food.is_some()),
        ("price", correction.price.is_some()),
        ("shop", correction.store.is_some()),
        ("what", correction.milk.is_some()),
        ("one day", correction.one_day.is_some()),
        ("amount", correction.value.is_some()),
        ("words", correction.words.is_some()),
    ];
    let given = || given.iter().filter(|(_, given)| *given);
    if given().next().is_none() {
        let what = format!("nothing was named that is to be different in the {called}");
        return Err(
            Problem::new(what).hint(format!("of it can be corrected: {}", known.join(", ")))
        );
    }
    if let Some((picks, foods)) = &correction.servings
        && picks.is_empty()
        && foods.is_empty()
    {
        let what = format!("a {called} without any food is none");
        return Err(Problem::new(what).hint(NextStep::SeeHistory));
    }
    let is_all_words = ["question", "answer", "note", "reaction"].contains(&kind);
    let words = correction.words.as_deref();
    if is_all_words && words.is_some_and(|words| words.trim().is_empty()) {
        let what = format!("a {called} without words is none");
        return Err(Problem::new(what).hint("write what it was"));
    }
    match given().find(|(field, _)| !known.contains(field)) {
        Some((field, _)) => Err(Problem::new(format!("a {called} has no {field}"))
            .hint(format!("of it can be corrected: {}", known.join(", ")))),
        None => Ok(()),
    }
}
