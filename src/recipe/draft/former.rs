//! The file of a recipe that a form changes.

use std::sync::Arc;

use data_import::Error;
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table};

use super::{Draft, DraftIngredient};
use crate::problem::{Problem, SourceText};
use crate::quantity::{Amount, Volume};
use crate::recipe::{Basis, Ingredient, Recipe, TAP_WATER};
use crate::spoken::words_beyond;

/// A recipe as its file has it, and what of that a form shows.
#[derive(Debug)]
pub struct Former {
    document: DocumentMut,
    draft: Draft,
    recipe: Recipe,
}

impl Former {
    /// Reads a file that is in order.
    ///
    /// Errors: what is wrong in it, each problem with its place.
    pub fn read(source: &Arc<SourceText>) -> Result<Self, Vec<Problem>> {
        let recipe = Recipe::parse(source)?;
        let mut document: DocumentMut = source
            .text
            .parse()
            .map_err(|error: toml_edit::TomlError| vec![Problem::new(error.message())])?;
        // A list in brackets is taken apart into tables, so that there is one way to write.
        let written = document.remove("ingredient").unwrap_or_default();
        let rows = written.into_array_of_tables().unwrap_or_default();
        let draft = draft(&recipe, &rows);
        document.insert("ingredient", Item::ArrayOfTables(rows));
        Ok(Self {
            document,
            draft,
            recipe,
        })
    }

    /// What a form shows of it.
    pub fn draft(&self) -> &Draft {
        &self.draft
    }

    pub(super) fn document(&self) -> &DocumentMut {
        &self.document
    }

    /// The table of an ingredient, and what a form shows of it.
    pub(super) fn ingredient(&self, row: usize) -> Option<(&Table, &DraftIngredient)> {
        let tables = self.document.get("ingredient")?.as_array_of_tables()?;
        tables.get(row).zip(self.draft.ingredients.get(row))
    }

    /// What else the file says of an ingredient, in words; empty for nothing.
    pub fn beyond(&self, row: usize) -> String {
        let words = self.recipe.ingredients.get(row).map(beyond);
        words.unwrap_or_default().join(", ")
    }

    /// What else it says of the batch, in words; empty for nothing.
    pub fn beyond_all(&self) -> String {
        let recipe = &self.recipe;
        let puree = &recipe.puree;
        let grams = |mass: crate::quantity::Mass| number(mass.grams());
        let weighed = puree
            .weighed
            .as_ref()
            .map(|mass| format!("the blended purée weighs {} g", grams(mass.value)));
        let loss = puree
            .loss
            .as_ref()
            .map(|mass| format!("{} g stay in the pot and the blender", grams(mass.value)));
        let days = recipe
            .freezer
            .days
            .map(|days| format!("its cubes keep {days} days"));
        let cold = (!recipe.serving.reheat).then(|| "it is served without warming".to_string());
        let water = &recipe.liquid.water.value;
        let water = (water != TAP_WATER).then(|| format!("its water is food {water}"));
        let all = [weighed, loss, days, cold, water];
        all.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

fn draft(recipe: &Recipe, rows: &ArrayOfTables) -> Draft {
    let ingredients = recipe.ingredients.iter().zip(rows).enumerate();
    let written = |table: &Table| {
        let amount = table.get("amount").and_then(Item::as_str);
        amount.unwrap_or_default().to_string()
    };
    Draft {
        ingredients: ingredients
            .map(|(row, (one, table))| ingredient(one, &written(table), Some(row)))
            .collect(),
        ..of_the_whole(recipe)
    }
}

/// All but the ingredients, and what was weighed.
pub(super) fn of_the_whole(recipe: &Recipe) -> Draft {
    let liquid = &recipe.liquid;
    Draft {
        title: recipe.title.clone(),
        collected: millilitres(liquid.collected.value),
        returned: millilitres(liquid.returned.value),
        added: millilitres(liquid.added.value),
        cubes: recipe.serving.cubes.to_string(),
        ..Draft::default()
    }
}

/// An ingredient that was typed, in the words it was typed in.
///
/// Errors: a table of words does not read.
pub(super) fn typed(written: &Ingredient, food: &str) -> Result<DraftIngredient, Error> {
    let amount = &written.amount;
    let text = amount.place.as_ref();
    let text = text.and_then(|place| place.source.text.get(place.span.clone()));
    let text = text.filter(|text| text.parse().as_ref() == Ok(&amount.value));
    let text = text.map_or_else(|| amount.value.to_string(), ToString::to_string);
    Ok(DraftIngredient {
        name: food.to_string(),
        typed: words_beyond(&written.typed, food)?,
        ..ingredient(written, &text, None)
    })
}

fn ingredient(written: &Ingredient, amount: &str, row: Option<usize>) -> DraftIngredient {
    let (amount, unit) = split_amount(amount, &written.amount.value);
    DraftIngredient {
        food: written.food.value.clone(),
        typed: written.typed.clone(),
        name: String::new(),
        amount,
        unit,
        method: written.method.value.word().into(),
        edible: written.basis == Basis::Edible,
        row,
        bare: false,
    }
}

/// The number and the unit as they are written: `1 1/2` and `cup, cubes`.
fn split_amount(text: &str, amount: &Amount) -> (String, String) {
    let number = text.trim().strip_suffix(amount.unit()).unwrap_or(text);
    (number.trim().to_string(), amount.unit().to_string())
}

fn beyond(written: &Ingredient) -> Vec<String> {
    let weighed = written
        .weighed
        .as_ref()
        .map(|mass| format!("{} g when cooked", number(mass.value.grams())));
    let yields = written
        .yield_factor
        .as_ref()
        .map(|yields| format!("yield {}", yields.value));
    let retention = written
        .retention
        .as_ref()
        .map(|row| format!("retention row {}", row.value));
    let state = written.state.map(|state| format!("bought {state}"));
    let drippings = written
        .drippings
        .map(|share| format!("{} % of its drippings eaten", number(share * 100.0)));
    let pot = written.pot.as_ref().map(|pot| {
        format!(
            "{} of {} ml of its own liquid returned",
            number(pot.returned.value.millilitres()),
            number(pot.collected.value.millilitres())
        )
    });
    let all = [weighed, yields, retention, state, drippings, pot];
    all.into_iter().flatten().collect()
}

/// Empty for none. Cut, not rounded: what is returned must never exceed what was collected.
fn millilitres(volume: Volume) -> String {
    match number(volume.millilitres()) {
        none if none == "0" => String::new(),
        number => number,
    }
}

/// With at most one decimal, cut.
fn number(amount: f64) -> String {
    // A tenth of a millilitre more keeps 60 from becoming 59.9.
    let tenths = (amount * 10.0 + 1e-6).floor() / 10.0;
    tenths.to_string()
}
