//! Foods that a reader holds as a whole, handed over as what is gathered.

use super::assemble::{Gathered, Release, Rules};
use super::gather::{Field, Gather, Ids, Mark, Recorder, Store, Value};
use crate::error::Error;
use crate::food::{Basis, Food};
use crate::nutrient::{NutrientId, all_nutrients, places};

/// Gathers foods whose dataset says nothing of where its values come from. No two have the same
/// id; their order does not matter.
pub(super) fn gathered(
    store: &Store,
    release: Release,
    mut foods: Vec<Food>,
) -> Result<Gathered<'_>, Error> {
    foods.sort_by(|a, b| a.id.cmp(&b.id));
    let ids = foods.iter().map(|food| food.id.as_str());
    let gather = Gather::new(store, Ids::new(ids), all_nutrients()?.len());
    let places = places()?;
    let place = |id: NutrientId| places.get(&id).copied().ok_or(Error::Nutrient { id });
    let mut recorder = gather.recorder();
    for (at, food) in (0..).zip(&foods) {
        write(&mut recorder, at, food)?;
        for (id, amount) in food.composition.iter() {
            let value = Value {
                nutrient: place(id)?,
                amount,
                written: None,
                data_points: None,
                standard_error: None,
                mark: Mark::default(),
            };
            recorder.value(at, &value)?;
        }
    }
    recorder.finish()?;
    let none = vec![String::new()];
    Ok(Gathered {
        gather,
        release,
        rules: Rules {
            derivations: none.clone(),
            sources: none,
            ..Rules::default()
        },
    })
}

/// Writes down all of a food but its values.
pub(super) fn write(recorder: &mut Recorder<'_, '_>, at: u32, food: &Food) -> Result<(), Error> {
    for (field, text) in [
        (Field::Name, &food.name),
        (Field::CommonNames, &food.common_names),
        (Field::Manufacturer, &food.manufacturer),
        (Field::ScientificName, &food.scientific_name),
        (Field::Group, &food.group),
        (Field::RefuseDescription, &food.refuse_description),
        (Field::Gtin, &food.gtin),
        (Field::Source, &food.source),
    ] {
        recorder.text(at, field, text)?;
    }
    if food.basis != Basis::default() {
        recorder.text(at, Field::Basis, food.basis.unit())?;
    }
    if let Some(serving) = &food.serving {
        recorder.text(at, Field::ServingUnit, &serving.unit)?;
    }
    let factors = food.energy_factors;
    for (field, number) in [
        (Field::RefusePercent, food.refuse_percent),
        (Field::FactorProtein, factors.map(|one| one.protein)),
        (Field::FactorFat, factors.map(|one| one.fat)),
        (
            Field::FactorCarbohydrate,
            factors.map(|one| one.carbohydrate),
        ),
        (Field::FactorNitrogen, food.nitrogen_factor),
        (
            Field::ServingSize,
            food.serving.as_ref().map(|one| one.size),
        ),
    ] {
        if let Some(number) = number {
            recorder.number(at, field, number)?;
        }
    }
    for (order, measure) in (1..).zip(&food.measures) {
        recorder.measure(at, order, measure)?;
    }
    Ok(())
}
