//! The recipes of the book, to be tried out and cooked; and a new one, to be written.

mod figures;
mod form;
pub(in crate::web) mod freeze;
pub(in crate::web) mod opened;
mod pot;
pub(in crate::web) mod raise;
pub(in crate::web) mod recipe;
pub(in crate::web) mod write;

use askama::Template;
use data_import::NutrientId;

use crate::household::{BookJudge, calculated};
use crate::portion::Tray;
use crate::recipe::{Batch, Recipe};
use crate::report::decimals;
use crate::spoken::Lookup as _;
use crate::web::rooms::stops;
use crate::web::{Layout, PageAnswer, PageError, PageRequest, PageResult, Reply};
use crate::words::{day, joined};
pub(super) use form::food;
pub(super) use pot::Pot;

#[derive(Template)]
#[template(path = "web/cook.html")]
struct CookRoom {
    layout: Layout,
    recipes: Vec<Listed>,
}

/// A recipe of the book.
struct Listed {
    name: String,
    title: String,
    /// The mark of a recipe that is stopped for a child that is seen; empty where nothing stops it.
    stop: String,
    /// Iron of a cube, cubes in the freezer, and when it was cooked last.
    state: String,
    wrong: bool,
}

/// Lists the recipes.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let store = request.record()?;
    let stock = store.stock()?;
    let cooked = store.last_cooked(request.today)?;
    let measures = Pot::usual(request);
    let pantry = request.foods().ok();
    let judge = pantry
        .as_ref()
        .map(|pantry| BookJudge::new(&request.book.settings, Some(store), pantry))
        .transpose()?;
    let listed = |name: String| -> PageResult<Listed> {
        let recipe = request.book.recipe(&name);
        let left = stock.iter().filter(|stock| stock.batch.name == name);
        let left: u32 = left.map(|stock| stock.left).sum();
        // The page of the recipe reports why it cannot be calculated.
        let made = recipe.as_ref().ok().and_then(|recipe| {
            let (tray, target) = measures.as_ref()?;
            let batch = calculated(recipe, target, tray, pantry.as_ref()?).ok()?;
            Some((batch, tray))
        });
        let iron = made
            .as_ref()
            .and_then(|(batch, tray)| iron_of_a_cube(batch, tray));
        let stop = match (&judge, &made) {
            (Some(judge), Some((batch, tray))) => {
                stops::of_batch(request, judge, (batch, tray), (request.today, None))?
            }
            _ => String::new(),
        };
        let last = cooked.get(&name);
        let state = [
            iron.map(|iron| format!("{iron} iron a cube")),
            (left > 0).then(|| format!("{left} in the freezer")),
            Some(last.map_or_else(
                || "never cooked".into(),
                |last| format!("cooked {}", day(*last)),
            )),
        ];
        Ok(Listed {
            wrong: recipe.is_err(),
            title: recipe.map_or_else(|_| name.clone(), |recipe| recipe.title),
            stop,
            state: joined(state.into_iter().flatten(), " \u{b7} "),
            name,
        })
    };
    let names = request.book.recipe_names()?.into_iter();
    let mut recipes = names.map(listed).collect::<Result<Vec<_>, _>>()?;
    recipes.sort_by_key(|recipe| recipe.title.to_lowercase());
    Reply::page(&CookRoom {
        layout: Layout::of(request, "Cook", "/cook"),
        recipes,
    })
}

/// Iron of a cube of a recipe as it is written; `None` where it is not known.
fn iron_of_a_cube(batch: &Batch, tray: &Tray) -> Option<String> {
    let iron = batch.total(NutrientId::IRON)?;
    let cube = tray.cube_mass(batch.density) / batch.masses.puree;
    let known = iron.batch.known? * cube;
    let bound = if iron.batch.complete() {
        ""
    } else {
        "at least "
    };
    Some(format!("{bound}{} mg", decimals(known, 2)))
}

/// The recipe that the address names.
pub(super) fn of_address(request: &PageRequest<'_>) -> PageResult<(String, Recipe)> {
    let name = name_in_address(request)?;
    let recipe = request.book.recipe(&name)?;
    Ok((name, recipe))
}

/// The name of the recipe that the address names: one that the book lists, never a path.
fn name_in_address(request: &PageRequest<'_>) -> PageResult<String> {
    let name: String = request.part("recipe")?;
    if !request.book.recipe_names()?.contains(&name) {
        return Err(PageError::NotFound);
    }
    Ok(name)
}
