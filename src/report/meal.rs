//! The nutrients of a meal in a sentence.

use data_import::{Error, NutrientId};

use super::number::{amount_of, bounded_percent, nutrient, trimmed};
use crate::notebook::{Child, Feeding, How, Served};
use crate::nutrition::reading::why_no_reference;
use crate::nutrition::{IntakeTable, Serving, total_of};

/// What becomes of a cube of which only half was served.
pub const HALF_IS_GONE: &str =
    "The cube of which half was served counts as taken out: what was thawed is not frozen again.";

/// How a meal went, with the share that was eaten where it is known: `some of it (33 %)`.
pub fn how_it_went(how: How, share: Option<f64>) -> String {
    let share = share.map(|share| format!(" ({} %)", trimmed(share * 100.0, 0)));
    format!("{}{}", how.shown(), share.unwrap_or_default())
}

/// Energy and iron of a meal, beside the reference for the child's age on that day: of what was
/// eaten, where the share is known, else of what was served.
pub fn held(served: &Served, child: &Child, feeding: &Feeding<'_>) -> Result<String, Error> {
    let age = child.age_on(feeding.day);
    let intakes = IntakeTable::builtin()?;
    let part = feeding.share.filter(|share| *share > 0.0 && *share < 1.0);
    let servings = served.servings.iter();
    let servings: Vec<Serving> = servings
        .map(|serving| part.map_or_else(|| serving.clone(), |part| serving.times(part)))
        .collect();
    let figure = |id: NutrientId, name: &str| {
        let total = total_of(&servings, id);
        let known = total.known.filter(|known| total.complete() || *known > 0.0);
        let share = known.zip(intakes.intake(id, age));
        let share = share.map_or_else(String::new, |(known, intake)| {
            format!(
                ", {} of {} {} ({} at {} months)",
                bounded_percent(known / intake.amount * 100.0, total.complete()),
                intake.amount,
                nutrient(id).map_or("", |one| &one.unit),
                intake.kind.label(),
                age.0
            )
        });
        format!("{name} {}{share}", amount_of(&total, id))
    };
    let (iron, energy) = (
        figure(NutrientId::IRON, "iron"),
        figure(NutrientId::ENERGY, "energy"),
    );
    let served = match (part, feeding.how) {
        (Some(share), _) => format!("Eaten, {} % of what was served", trimmed(share * 100.0, 0)),
        (None, How::Taken) => "Served and eaten".into(),
        (None, How::Some) => "Served, of which some was eaten".into(),
        (None, How::Refused) => "Served, not eaten".into(),
    };
    let beyond = why_no_reference(age);
    let beyond = beyond.map_or_else(String::new, |words| format!(" {words}"));
    Ok(format!("{served}: {iron}; {energy}.{beyond}"))
}
