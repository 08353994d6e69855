//! What is to be known before a batch is cooked and before a meal is served. Each warning is a sentence without its
//! full stop.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::USUAL_SERVING;
use crate::cooking::Method;
use crate::notebook::{
    BatchFood, Book, BookError, Child, Feeding, OpenReaction, Settings, Store, TasteRecord,
};
use crate::recipe::Batch;
use crate::safety::{CautionTable, FreezerLimit};

/// Says before it is cooked what would be wasted, and the factor that would fit.
pub fn too_much(
    book: &Book,
    store: &Store,
    day: Date,
    life: u32,
    cubes: u32,
) -> Result<Vec<String>, BookError> {
    let pace = store.pace(&book.settings, day, USUAL_SERVING)?;
    if pace.cubes_a_day <= 0.0 {
        return Ok(Vec::new());
    }
    let room = pace.room(&store.stock()?, day, life);
    if cubes <= room.cubes {
        return Ok(Vec::new());
    }
    Ok(vec![format!(
        "{} of these {cubes} cubes will not be eaten by their last day at {:.1} cubes a day; {:.2} \
         times this batch would fit",
        cubes - room.cubes,
        pace.cubes_a_day,
        f64::from(room.cubes) / f64::from(cubes)
    )])
}

/// Says when the days are past those of published charts.
pub(super) fn too_long(batch: &Batch, life: u32) -> Result<Option<String>, BookError> {
    let classes = batch
        .prepared
        .ingredients
        .iter()
        .map(|one| one.class.0.as_str());
    let limit =
        FreezerLimit::of(&classes.collect::<Vec<_>>())?.filter(|limit| life > limit.limit_days);
    Ok(limit.map(|limit| {
        format!(
            "{life} days is past the {} that published charts give {} ({})",
            limit.limit_days, limit.kind, limit.source
        )
    }))
}

/// What a batch brings that the children have not tasted, said before it is cooked.
pub fn before_cooking(
    book: &Book,
    store: &Store,
    batch: &Batch,
    day: Date,
) -> Result<Vec<String>, BookError> {
    let cautions = CautionTable::builtin()?;
    let ingredients = batch
        .prepared
        .ingredients
        .iter()
        .filter(|one| one.class.0 != "water");
    let foods: BTreeSet<_> = ingredients
        .map(|one| BatchFood {
            id: one.food.id.to_string(),
            name: one.food.name.clone(),
            allergens: cautions.allergens_of(&one.food).map(String::from).collect(),
            method: Some(one.method),
        })
        .collect();
    let mut warnings = Vec::new();
    for child in &book.settings.children {
        let record = store.tastes(&child.name, day)?;
        let new = new_foods(&record, &foods);
        let free = record.next_free(&book.settings).filter(|free| *free > day);
        match (new.as_slice(), free) {
            ([], _) | ([_], None) => {}
            ([one], Some(free)) => {
                warnings.push(format!("{one} is new to {}: not before {free}", child.name));
            }
            (several, _) => warnings.push(format!(
                "{} foods are new to {}: {}. One at a time, {} days apart: a reaction is then easy \
                 to place",
                several.len(),
                child.name,
                several.join("; "),
                book.settings.waiting_days
            )),
        }
        warnings.extend(allergy_warnings(child, &foods, &new));
        warnings.extend(reaction_warnings(child, &record, &foods));
    }
    Ok(warnings)
}

/// What a meal brings too much of or too soon.
pub fn before_serving(
    book: &Book,
    store: &Store,
    feeding: &Feeding<'_>,
    child: &Child,
) -> Result<Vec<String>, BookError> {
    let record = store.tastes(&child.name, feeding.day)?;
    let mut foods = BTreeSet::new();
    for pick in feeding.picks {
        foods.extend(store.foods_of(&pick.name)?);
    }
    foods.extend(feeding.foods.iter().map(|one| BatchFood {
        id: one.food.id.to_string(),
        name: one.food.name.clone(),
        allergens: one.allergens.clone(),
        method: Some(Method::None),
    }));
    Ok(of_foods(
        &record,
        &foods,
        (child, feeding.day),
        &book.settings,
    ))
}

/// What a meal of these foods brings too much of or too soon, for a child on a day.
pub(super) fn of_foods(
    record: &TasteRecord,
    foods: &BTreeSet<BatchFood>,
    (child, day): (&Child, Date),
    settings: &Settings,
) -> Vec<String> {
    let new = new_foods(record, foods);
    let mut warnings = Vec::new();
    if new.len() > 1 {
        warnings.push(format!(
            "{} new foods in one meal: {}. One at a time, a reaction is easy to place",
            new.len(),
            new.join("; ")
        ));
    }
    let free = record.next_free(settings);
    if let Some(free) = free.filter(|free| !new.is_empty() && *free > day) {
        let comes = if new.len() == 1 { "comes" } else { "come" };
        let due = format!("{comes} too soon: the next new food was due on {free}");
        warnings.push(format!("{} {due}", new.join("; ")));
    }
    warnings.extend(allergy_warnings(child, foods, &new));
    warnings.extend(reaction_warnings(child, record, foods));
    warnings
}

/// What was seen after earlier meals with these foods.
fn reaction_warnings(
    child: &Child,
    record: &TasteRecord,
    foods: &BTreeSet<BatchFood>,
) -> Vec<String> {
    let there = |open: &OpenReaction<'_>| foods.iter().any(|food| food.id == open.food);
    let mut by_meal: Vec<(String, Vec<&str>)> = Vec::new();
    for open in record.open_reactions().into_iter().filter(there) {
        let seen = format!("{} on {}", open.words, open.day);
        match by_meal.iter_mut().find(|(known, _)| *known == seen) {
            Some((_, names)) => names.push(open.name),
            None => by_meal.push((seen, vec![open.name])),
        }
    }
    let line = |(seen, names): (String, Vec<&str>)| {
        format!(
            "after a meal with {} you noted for {}: {seen}. Ask your paediatrician before it is \
             offered again",
            names.join("; "),
            child.name
        )
    };
    by_meal.into_iter().map(line).collect()
}

fn new_foods(record: &TasteRecord, foods: &BTreeSet<BatchFood>) -> Vec<String> {
    record.new_among(
        foods
            .iter()
            .map(|food| (food.id.as_str(), food.name.as_str())),
    )
}

/// What an allergy or eczema on record says to these foods.
fn allergy_warnings(child: &Child, foods: &BTreeSet<BatchFood>, new: &[String]) -> Vec<String> {
    let mut warnings = Vec::new();
    for food in foods {
        let known = |allergen: &&String| {
            child
                .allergies
                .iter()
                .any(|known| known.eq_ignore_ascii_case(allergen))
        };
        for allergen in food.allergens.iter().filter(known) {
            warnings.push(format!(
                "{} holds {allergen}, which is on record as an allergy of {}: ask your \
                 paediatrician first",
                food.name, child.name
            ));
        }
    }
    let at_risk = child.eczema.on_record() || !child.allergies.is_empty();
    let first: Vec<_> = foods
        .iter()
        .filter(|food| !food.allergens.is_empty() && new.contains(&food.name))
        .map(|food| food.name.as_str())
        .collect();
    if at_risk && !first.is_empty() {
        warnings.push(format!(
            "{}: a major allergen for the first time, and eczema or an allergy of {} is on record: \
             ask your paediatrician first (NIAID addendum guidelines on peanut allergy, 2017)",
            first.join("; "),
            child.name
        ));
    }
    warnings
}
