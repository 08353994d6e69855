//! What a meal holds, in a sentence.

use data_import::{Error, NutrientId};
use jiff::civil::Date;

use super::number::{amount, percent};
use crate::notebook::{Child, How, Served};
use crate::nutrition::reading::why_no_reference;
use crate::nutrition::{IntakeTable, nutrients, total_of};

/// Energy and iron of a meal as served, beside the reference for the child's age on that day.
pub fn held(served: &Served, child: &Child, day: Date, how: How) -> Result<String, Error> {
    let age = child.age_on(day);
    let intakes = IntakeTable::builtin()?;
    let figure = |id: NutrientId, name: &str| -> Result<String, Error> {
        let Some(nutrient) = nutrients()?.iter().find(|one| one.id == id) else {
            return Ok(format!("{name} not known"));
        };
        let total = total_of(&served.servings, id);
        let shown = amount(total.known, total.complete(), nutrient);
        let share = total
            .known
            .zip(intakes.intake(id, age))
            .map(|(known, intake)| {
                format!(
                    ", {} of {} {} ({} at {} months)",
                    percent(known / intake.amount * 100.0),
                    intake.amount,
                    nutrient.unit,
                    intake.kind.label(),
                    age.0
                )
            });
        Ok(format!("{name} {shown}{}", share.unwrap_or_default()))
    };
    let served = match how {
        How::Taken => "Served and eaten",
        How::Some => "Served, of which some was eaten",
        How::Refused => "Served, not eaten",
    };
    let iron = figure(NutrientId::IRON, "iron")?;
    let energy = figure(NutrientId::ENERGY, "energy")?;
    let beyond = why_no_reference(age);
    let beyond = beyond.map_or_else(String::new, |words| format!(" {words}"));
    Ok(format!("{served}: {iron}; {energy}.{beyond}"))
}
