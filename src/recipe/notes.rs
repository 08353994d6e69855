//! What a reader of the figures must know: where they are estimated, and what is missing.

use data_import::{Basis as FoodBasis, Food, FoodId, NutrientId, group, nutrients};
use serde::Serialize;

use super::{Basis, Batch, PreparedIngredient};
use crate::cooking::{Method, is_fully_retained};
use crate::portion::{Constituents, water_by_difference};
use crate::quantity::Mass;

/// A weighed purée further than this from the expected mass is worth a second look (judgement).
const SURPRISE: f64 = 0.25;

/// What a note is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum NoteKind {
    /// A cooked mass that was not weighed.
    Yield,
    /// A retention row that is the nearest, not the right one; or none at all.
    Retention,
    /// The line drawn between two retention rows for returned liquid.
    Liquid,
    /// No refuse figure.
    Refuse,
    /// A household measure turned into grams.
    Measure,
    /// Food that is cooked already, or drained from its can.
    State,
    /// Fat that melts out.
    Fat,
    /// What was assumed where the label of an own food is silent.
    Label,
    /// A value that is missing.
    Missing,
    /// The weighed purée against the expected one.
    Weighed,
}

/// One thing to know.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BatchNote {
    /// What it is about.
    pub kind: NoteKind,
    /// The food it is about, where it is about one.
    pub food: Option<FoodId>,
    /// In words.
    pub text: String,
}

/// All notes on a batch whose masses and totals are calculated.
pub(super) fn notes_on(batch: &Batch, expected: Mass, density: Option<f64>) -> Vec<BatchNote> {
    let mut notes = Vec::new();
    for ingredient in &batch.prepared.ingredients {
        notes.extend(ingredient_notes(
            ingredient,
            batch.prepared.weighed.is_some(),
        ));
    }
    notes.extend(liquid_note(batch));
    notes.extend(solids_note(batch));
    notes.extend(unpublished_notes(batch));
    notes.extend(weighed_note(batch, expected));
    notes.extend(density_notes(batch, density));
    notes
}

/// What the density was worked out with where a food lacks a part of it.
fn density_notes(batch: &Batch, density: Option<f64>) -> Vec<BatchNote> {
    let lacking = |lacks: fn(&Food) -> bool| {
        let mut names: Vec<&str> = Vec::new();
        for ingredient in &batch.prepared.ingredients {
            let name = ingredient.eaten().name.as_str();
            if lacks(ingredient.eaten()) && !names.contains(&name) {
                names.push(name);
            }
        }
        (!names.is_empty()).then(|| names.join("; "))
    };
    let texts = if density.is_none() {
        let unknown = lacking(|food| Constituents::of_food(food).is_none());
        vec![format!(
            "density taken as 1 g/ml, since that of {} is not known: it takes protein, fat, \
             carbohydrate and fibre that fit in 100 g",
            unknown.unwrap_or_else(|| "a food".into())
        )]
    } else {
        let no_water = lacking(|food| water_by_difference(food).is_some());
        let no_ash = lacking(|food| {
            let value = |id| food.composition.get(id);
            value(NutrientId::WATER).is_some() && value(NutrientId::ASH).is_none()
        });
        let no_water = no_water.map(|names| {
            format!(
                "{names}: no value for water, so density and dry matter are estimated: what \
                 protein, fat and carbohydrate leave of 100 g counts as water"
            )
        });
        let no_ash = no_ash
            .map(|names| format!("{names}: no value for ash, so the density is estimated without"));
        no_water.into_iter().chain(no_ash).collect()
    };
    let note = |text| BatchNote {
        kind: NoteKind::Missing,
        food: None,
        text,
    };
    texts.into_iter().map(note).collect()
}

fn ingredient_notes(ingredient: &PreparedIngredient, puree_weighed: bool) -> Vec<BatchNote> {
    let name = &ingredient.food.name;
    let note = |kind, text| BatchNote {
        kind,
        food: Some(ingredient.food.id.clone()),
        text,
    };
    let mut notes = Vec::new();
    if let Some(measure) = &ingredient.measure {
        let text = if ingredient.food.id.is_own() {
            format!("{name}: by its label, {measure}")
        } else {
            format!("{name}: the dataset weighs {measure}, trimmed")
        };
        notes.push(note(NoteKind::Measure, text));
    }
    if ingredient.basis == Basis::Purchased && ingredient.food.refuse_percent.is_none() {
        let why = if ingredient.food.id.is_own() {
            "a label gives no refuse"
        } else {
            "no refuse figure is published"
        };
        let text = format!("{name}: {why}, all of it is taken as edible");
        notes.push(note(NoteKind::Refuse, text));
    }
    if ingredient.food.basis == FoodBasis::Millilitres {
        let text =
            format!("{name}: its label is per 100 ml and gives no density, 1 ml is taken as 1 g");
        notes.push(note(NoteKind::Label, text));
    }
    notes.extend(
        state_text(ingredient).map(|text| note(NoteKind::State, format!("{name}: {text}"))),
    );
    let cooked = &ingredient.preparation.yield_factor;
    if cooked.basis.is_estimated() && ingredient.weighed.is_none() && !puree_weighed {
        let range = cooked.range.map_or(String::new(), |(low, high)| {
            format!(", {low:.2} to {high:.2} may be")
        });
        let text = format!(
            "{name}: cooked mass is {}, {:.2} times the trimmed mass ({}){range}",
            cooked.basis.kind(),
            cooked.factor,
            cooked.source
        );
        notes.push(note(NoteKind::Yield, text));
    }
    notes.extend(fat_text(ingredient).map(|text| note(NoteKind::Fat, format!("{name}: {text}"))));
    let assumed = ingredient.assumed.iter();
    notes.extend(assumed.map(|what| note(NoteKind::Label, format!("{name}: {what}"))));
    if let Some(fit) = &ingredient.preparation.retention.note {
        notes.push(note(NoteKind::Retention, format!("{name}: {fit}")));
    }
    notes
}

/// What is done with food that is cooked already, or comes from a can.
fn state_text(ingredient: &PreparedIngredient) -> Option<String> {
    let can = ingredient.drained.as_ref().map(|can| {
        let share = can.share * 100.0;
        format!("drained, {share:.0} % of the can is eaten ({})", can.source)
    });
    let state = ingredient.preparation.state;
    let warmed = ingredient
        .is_warmed()
        .then(|| format!("taken as {state} already, so it is only warmed"));
    let said = [can, warmed].into_iter().flatten().collect::<Vec<_>>();
    (!said.is_empty()).then(|| said.join("; "))
}

/// Food with less fat than this, g per 100 g, loses little that matters (judgement).
const FATTY: f64 = 10.0;
/// Groups of meat, poultry and fish.
const MEATS: [&str; 7] = [
    group::POULTRY,
    group::SAUSAGES,
    group::PORK,
    group::BEEF,
    group::FISH_AND_SHELLFISH,
    group::LAMB_VEAL_AND_GAME,
    group::AMERICAN_INDIAN_AND_ALASKA_NATIVE,
];

/// What becomes of the fat that melts out.
fn fat_text(ingredient: &PreparedIngredient) -> Option<String> {
    let edible = ingredient.edible().grams() / 100.0;
    let Some(melted) = &ingredient.preparation.melted else {
        let fat = ingredient.eaten().composition.get(NutrientId::FAT)?;
        let meat = MEATS.contains(&ingredient.eaten().group.as_str()) && fat >= FATTY;
        let cooked = ingredient.method != Method::None && !ingredient.is_warmed();
        return (meat && cooked).then(|| {
            "no figure is known for the fat that melts out, so all of it counts as eaten".into()
        });
    };
    let lost = ingredient.kept().fat_lost * edible;
    let from = match melted.from.as_str() {
        "published" => "published change of fat".to_string(),
        "scaled" => "scaled from the published change of fat".to_string(),
        cooked => format!("against the cooked food {cooked}"),
    };
    (lost >= 0.5).then(|| format!("{lost:.0} g of fat melt out and are not eaten ({from})"))
}

fn liquid_note(batch: &Batch) -> Option<BatchNote> {
    let share = batch.prepared.liquid.returned_share();
    let between = share > 0.0 && share < 1.0;
    let matters = batch.prepared.ingredients.iter().any(|ingredient| {
        ingredient.method.uses_water() && ingredient.preparation.retention.depends_on_liquid()
    });
    (between && matters).then(|| BatchNote {
        kind: NoteKind::Liquid,
        food: None,
        text: format!(
            "{:.0} % of the cooking liquid is blended back in: what it brings with it is our own \
             estimate on the line between two published rows, all drained and all used",
            share * 100.0
        ),
    })
}

/// What drained food loses of its solids.
fn solids_note(batch: &Batch) -> Option<BatchNote> {
    let loss = |ingredient: &PreparedIngredient| {
        let lost = (1.0 - ingredient.kept().solids) * 100.0;
        (lost >= 0.5).then(|| format!("{} {lost:.0} %", ingredient.food.name))
    };
    let drained: Vec<_> = batch.prepared.ingredients.iter().filter_map(loss).collect();
    (!drained.is_empty()).then(|| BatchNote {
        kind: NoteKind::Liquid,
        food: None,
        text: format!(
            "some of the solids leave with the liquid that is poured away, and energy, protein and carbohydrate \
             with them; shares of their class: {}",
            drained.join("; ")
        ),
    })
}

/// The nutrients of which no published factor tells how much is kept, each line with the ingredients that it is about.
fn unpublished_notes(batch: &Batch) -> impl Iterator<Item = BatchNote> {
    let warmed = batch.prepared.serving.reheat;
    let mut lines: Vec<(Vec<&str>, Vec<&str>)> = Vec::new();
    for ingredient in &batch.prepared.ingredients {
        let cooked = ingredient.method != Method::None;
        let preparation = &ingredient.preparation;
        let unpublished = |id: NutrientId| {
            cooked && preparation.retention.factor(id, 0.0).is_none()
                || warmed && preparation.reheating.factor(id, 0.0).is_none()
        };
        // Of what a food does not hold nothing can be lost.
        let held = |id| {
            let value = ingredient.food.composition.get(id);
            value.is_some_and(|value| value > 0.0)
        };
        let all = nutrients().into_iter().flatten();
        let kept = all
            .filter(|one| !is_fully_retained(one.id) && held(one.id) && unpublished(one.id))
            .map(|nutrient| nutrient.plain.as_str());
        let kept: Vec<&str> = kept.collect();
        match lines.iter_mut().find(|(_, same)| *same == kept) {
            Some((foods, _)) => foods.push(&ingredient.food.name),
            None => lines.push((vec![&ingredient.food.name], kept)),
        }
    }
    lines.retain(|(_, kept)| !kept.is_empty());
    lines.into_iter().map(|(foods, kept)| BatchNote {
        kind: NoteKind::Retention,
        food: None,
        text: format!(
            "{}: no retention factor is published, so 100 % is kept of {}",
            foods.join("; "),
            kept.join("; ")
        ),
    })
}

fn weighed_note(batch: &Batch, expected: Mass) -> Option<BatchNote> {
    let weighed = batch.prepared.weighed.as_ref()?.value;
    let difference = weighed / expected - 1.0;
    (difference.abs() > SURPRISE).then(|| BatchNote {
        kind: NoteKind::Weighed,
        food: None,
        text: format!(
            "the weighed purée is {:.0} % {} than the recipe leads to expect: is it the whole \
             batch, without the bowl?",
            difference.abs() * 100.0,
            if difference > 0.0 {
                "heavier"
            } else {
                "lighter"
            }
        ),
    })
}
