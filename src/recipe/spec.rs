//! A recipe typed on the command line: `--add "600 g courgette roasted" --returned 100ml/300ml`.

use std::sync::Arc;

use super::file::{read_mass, read_volume};
use super::{Basis, FreezerLife, Ingredient, Liquid, Puree, Recipe, RecipeServing};
use crate::cooking::Method;
use crate::problem::{Located, Place, Problem, SourceText};
use crate::spoken::{Taken, TakenAmount};

/// What was typed on the command line.
#[derive(Debug, Clone, Default)]
pub struct Additions {
    /// The ingredients, as they were understood.
    pub add: Vec<Taken>,
    /// `RETURNED/COLLECTED`.
    pub returned: Option<String>,
    /// Plain water.
    pub added: Option<String>,
    /// The blended batch on the scale.
    pub weighed: Option<String>,
}

/// Makes a recipe of what was typed.
///
/// Errors: every problem, with the option and the column inside it.
pub fn from_command_line(typed: &Additions) -> Result<Recipe, Vec<Problem>> {
    let mut problems = Vec::new();
    let mut keep = |result: Result<(), Problem>| problems.extend(result.err());
    let ingredients = typed.add.iter().filter_map(ingredient).collect();
    let mut liquid = Liquid::none();
    if let Some(text) = &typed.returned {
        keep(returned(&SourceText::new("--returned", text), &mut liquid));
    }
    if let Some(text) = &typed.added {
        let source = SourceText::new("--added", text);
        keep(read(&source, 0..text.len(), read_volume).map(|volume| liquid.added = volume));
    }
    let mut puree = Puree::default();
    if let Some(text) = &typed.weighed {
        let source = SourceText::new("--weighed", text);
        keep(read(&source, 0..text.len(), read_mass).map(|mass| puree.weighed = Some(mass)));
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let title = "A batch from the command line".to_string();
    Ok(Recipe {
        title,
        ingredients,
        liquid,
        puree,
        serving: RecipeServing::default(),
        freezer: FreezerLife::default(),
    })
}

/// An ingredient as it was understood; `None` for feeds at the breast.
fn ingredient(taken: &Taken) -> Option<Ingredient> {
    let TakenAmount::Mass(amount, _) = &taken.portion else {
        return None;
    };
    let place = Place::whole(&SourceText::new("--add", taken.typed.as_str()));
    Some(Ingredient {
        food: Located::at(taken.food.id.to_string(), place.clone()),
        typed: taken.named.clone(),
        amount: Located::at(amount.clone(), place.clone()),
        basis: if taken.edible {
            Basis::Edible
        } else {
            Basis::Purchased
        },
        method: Located::at(taken.method.unwrap_or(Method::None), place),
        yield_factor: None,
        weighed: None,
        retention: None,
        state: None,
        drippings: None,
        pot: None,
    })
}

/// Reads `100ml/300ml` into a liquid.
fn returned(source: &Arc<SourceText>, liquid: &mut Liquid) -> Result<(), Problem> {
    let hint = "write RETURNED/COLLECTED, such as --returned 100ml/300ml";
    let text = &source.text;
    // A slash followed by a digit after a letter separates the volumes; `1/2 cup/3 cup` has three.
    let slash = text
        .char_indices()
        .find(|(at, c)| *c == '/' && text[..*at].contains(char::is_alphabetic))
        .map(|(at, _)| at)
        .ok_or_else(|| Problem::at(Place::whole(source), "one volume is missing").hint(hint))?;
    let returned = read(source, 0..slash, read_volume)?;
    let collected = read(source, slash + 1..text.len(), read_volume)?;
    if returned.value > collected.value {
        let what = "more liquid is returned than was collected";
        return Err(returned.problem(what).hint(hint));
    }
    liquid.returned = returned;
    liquid.collected = collected;
    Ok(())
}

fn read<T>(
    source: &Arc<SourceText>,
    span: std::ops::Range<usize>,
    read: impl Fn(&str) -> Result<T, (String, String)>,
) -> Result<Located<T>, Problem> {
    let place = Place::new(source, span);
    let text = source.text.get(place.span.clone()).unwrap_or("");
    match read(text) {
        Ok(value) => Ok(Located::at(value, place)),
        Err((what, hint)) => Err(Problem::at(place, what).hint(hint)),
    }
}
