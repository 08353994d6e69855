//! The nutrients of a meal in a sentence.

use data_import::{Error, NutrientId};
use jiff::civil::Date;

use super::number::{amount_of, nutrient, percent};
use crate::notebook::{Child, How, Served};
use crate::nutrition::reading::why_no_reference;
use crate::nutrition::{IntakeTable, total_of};

/// What becomes of a cube of which only half was served.
pub const HALF_IS_GONE: &str =
    "The cube of which half was served counts as taken out: what was thawed is not frozen again.";

/// Energy and iron of a meal as served, beside the reference for the child's age on that day.
pub fn held(served: &Served, child: &Child, day: Date, how: How) -> Result<String, Error> {
    let age = child.age_on(day);
    let intakes = IntakeTable::builtin()?;
    let figure = |id: NutrientId, name: &str| {
        let total = total_of(&served.servings, id);
        let share = total.known.zip(intakes.intake(id, age));
        let share = share.map_or_else(String::new, |(known, intake)| {
            format!(
                ", {} of {} {} ({} at {} months)",
                percent(known / intake.amount * 100.0),
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
    let served = match how {
        How::Taken => "Served and eaten",
        How::Some => "Served, of which some was eaten",
        How::Refused => "Served, not eaten",
    };
    let beyond = why_no_reference(age);
    let beyond = beyond.map_or_else(String::new, |words| format!(" {words}"));
    Ok(format!("{served}: {iron}; {energy}.{beyond}"))
}
