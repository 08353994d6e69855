//! Holds a proposal against every rule, in whole cubes and dates, and its figures against what they claim.

use super::portion;
use super::scale::Scale;
use super::score::Score;
use crate::planning::frame::{Frame, Relaxed};
use crate::planning::rules::{self, Rule};
use crate::planning::{Broken, Plan, Request};

/// All that is wrong with a plan that is to be shown; empty for a sound one.
pub fn verify(request: &Request, plan: &Plan) -> Vec<String> {
    let mut wrong: Vec<String> = rules::broken(request, plan).into_iter().map(told).collect();
    let frame = Frame::new(request, Relaxed::default());
    for (child, day, cell) in frame.slots() {
        let date = request.days[day];
        let planned: Vec<_> = plan
            .meals
            .iter()
            .filter(|meal| meal.child == child && meal.day == date)
            .collect();
        for name in &cell.meals {
            if !planned
                .iter()
                .any(|meal| meal.meal == *name && meal.cubes() > 0)
            {
                wrong.push(format!("{name} of {date} is empty"));
            }
        }
        for meal in planned {
            if !cell.meals.contains(&meal.meal) {
                wrong.push(format!("{} of {date} was not to be planned", meal.meal));
            }
            if meal.parts.len() > 2 {
                wrong.push(format!(
                    "{} of {date} mixes {} kinds",
                    meal.meal,
                    meal.parts.len()
                ));
            }
        }
    }
    wrong
}

/// The objective of a plan, calculated anew from its meals, in parts of a point; `None` for a plan of another request.
pub(super) fn objective(frame: &Frame<'_>, scale: &Scale, plan: &Plan) -> Option<Score> {
    let draft = portion::draft(frame, plan)?;
    Some(Score::of(frame, scale, &draft))
}

fn told(one: Broken) -> String {
    let rule = match one.rule {
        Rule::Stock => "stock",
        Rule::UseBy => "use-by date",
        Rule::Meals => "meals of a day",
        Rule::Cubes => "cubes of a meal",
        Rule::NewFoods => "new foods",
        Rule::Reaction => "reaction",
        Rule::CookDays => "cook days",
    };
    let day = one.day.map(|day| format!(" on {day}")).unwrap_or_default();
    format!("{rule}{day}: {}", one.words)
}
