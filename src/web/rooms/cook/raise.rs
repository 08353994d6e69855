//! What to add to a recipe so that its cubes have more iron: an exact optimum of foods that the
//! child knows and at most one new food.

use askama::Template;
use data_import::NutrientId;

use super::of_address;
use super::pot::Pot;
use crate::combine::{CombineRequest, LEAST_ENERGY, PartOf, Suggestion, usual_goal};
use crate::household::{Combined, Combining, FromRecipe, calculated, eater};
use crate::notebook::RecipeName;
use crate::portion::Target;
use crate::recipe::Recipe;
use crate::report::{ObjectionLine, decimals, objection_lines};
use crate::spoken::{Lookup as _, plain_name};
use crate::web::{Fields, Layout, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply};
use crate::words::{capital, joined, lower};

/// The number of suggestions that are shown.
const SHOWN: usize = 3;

#[derive(Template)]
#[template(path = "web/raise.html")]
struct RaisePage {
    layout: Layout,
    name: String,
    title: String,
    /// The iron of a serving of the recipe as it is.
    now: String,
    cubes: u32,
    suggestions: Vec<Raise>,
}

/// A suggestion.
struct Raise {
    number: usize,
    /// The foods that are added.
    with: String,
    iron: String,
    energy: String,
    /// The amounts to weigh out for one tray.
    amounts: Vec<(String, String)>,
    new: bool,
    objections: Vec<ObjectionLine>,
}

/// The suggestions for a recipe.
struct RaisingFound {
    name: String,
    recipe: Recipe,
    now: String,
    cubes: u32,
    combined: Combined,
}

/// Shows the suggestions.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let found = found(request)?;
    let shown = found.combined.answer.suggestions.iter().enumerate();
    let suggestions = shown.map(|(at, suggestion)| raise(at, suggestion, &found));
    Reply::page(&RaisePage {
        layout: Layout::of(request, "More iron", "/cook"),
        suggestions: suggestions.collect(),
        title: found.recipe.title.clone(),
        now: found.now.clone(),
        cubes: found.cubes,
        name: found.name.clone(),
    })
}

/// Writes a suggestion into the book as a recipe.
pub(in crate::web) fn save(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let found = found(request)?;
    let number: usize = fields.parsed("suggestion")?;
    let at = number.checked_sub(1).ok_or(PageError::NotFound)?;
    let suggestions = &found.combined.answer.suggestions;
    let (Some(suggestion), Some(recipe)) = (suggestions.get(at), found.combined.recipes.get(at))
    else {
        return Err(PageError::NotFound);
    };
    let mut recipe = recipe.clone();
    recipe.title = format!("{} with {}", found.recipe.title, with(suggestion));
    let name = RecipeName::of_title(&recipe.title).map_err(|_| PageError::NotFound)?;
    let pantry = request.foods()?;
    let (tray, _) = Pot::usual(request).ok_or(PageError::NotFound)?;
    let batch = calculated(&recipe, &Target::AsWritten, &tray, &pantry)?;
    let names = batch.foods().map(|food| food.name.as_str());
    request
        .book
        .save_recipe(&name, &recipe.written(names)?, false)?;
    let notice = Notice::of(format!("Wrote {} in the book.", recipe.title));
    Ok(Reply::Done(format!("/cook/recipe/{name}"), notice))
}

fn found(request: &PageRequest<'_>) -> PageResult<RaisingFound> {
    let (name, recipe) = of_address(request)?;
    let (tray, target) = Pot::usual(request).ok_or(PageError::NotFound)?;
    let (store, pantry) = (request.record()?, request.foods()?);
    let batch = calculated(&recipe, &target, &tray, &pantry)?;
    let cubes = recipe.serving.cubes;
    let serving = tray.cube_mass(batch.density) * f64::from(cubes) / batch.masses.puree;
    let iron = batch.total(NutrientId::IRON).and_then(|total| total.served);
    let now = iron.map_or_else(|| "not known".into(), |iron| milligrams(iron * serving));
    let combining = Combining {
        settings: &request.book.settings,
        store: Some(store),
        pantry: &pantry,
        tray: &tray,
        day: request.today,
    };
    let mut ask = CombineRequest {
        new_at_most: Some(1),
        answers: SHOWN,
        ..CombineRequest::for_most(usual_goal()?)
    };
    ask.limits.energy_kcal_per_g = Some(LEAST_ENERGY);
    let child = eater(&request.book, None)?.or(request.book.settings.children.first());
    if let Some(child) = child {
        combining.fill(&mut ask, child)?;
    }
    // Without foods on record as known, every food would be new.
    ask.new_at_most = ask.new_at_most.filter(|_| ask.known.is_some());
    combining.serving(&mut ask, cubes);
    combining.bar(&mut ask, child)?;
    let base = FromRecipe {
        recipe: recipe.clone(),
        batch,
    };
    let combined = combining.combined((&ask, None), Some(&base), tray.wells)?;
    Ok(RaisingFound {
        name,
        recipe,
        now,
        cubes,
        combined,
    })
}

fn milligrams(iron: f64) -> String {
    format!("{} mg", decimals(iron, 2))
}

/// The name of a part, the recipe itself among them.
fn called(part: &PartOf, recipe: &str) -> String {
    match part {
        PartOf::Food(id, name, _) => {
            let plain = plain_name(id).map(String::from);
            plain.unwrap_or_else(|| lower(name))
        }
        PartOf::Base => format!("{recipe}, all its foods"),
        PartOf::Water => "water".into(),
    }
}

/// The names of the foods that are added.
fn with(suggestion: &Suggestion) -> String {
    let added = suggestion
        .parts
        .iter()
        .filter(|part| matches!(part.part, PartOf::Food(..)));
    joined(added.map(|part| called(&part.part, "")), " and ")
}

fn raise(at: usize, suggestion: &Suggestion, found: &RaisingFound) -> Raise {
    let kitchen = &suggestion.kitchen;
    let amounts = kitchen.edible.iter().map(|(part, grams)| {
        let words = capital(&called(part, &found.recipe.title));
        (words, format!("{} g", decimals(*grams, 0)))
    });
    let water = (kitchen.water_ml > 0.0).then(|| {
        (
            "Water".to_string(),
            format!("{} ml", decimals(kitchen.water_ml, 0)),
        )
    });
    let objections = found
        .combined
        .objections
        .get(at)
        .cloned()
        .unwrap_or_default();
    Raise {
        number: at + 1,
        with: with(suggestion),
        iron: milligrams(suggestion.serving.iron),
        energy: format!("{} kcal", decimals(suggestion.serving.energy, 0)),
        amounts: amounts.chain(water).collect(),
        new: suggestion.new_foods > 0,
        objections: objection_lines(&objections),
    }
}
