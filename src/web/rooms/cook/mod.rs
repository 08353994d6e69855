//! The recipes of the book, to be tried out and cooked; and a new one, to be written.

mod figures;
mod form;
pub(in crate::web) mod freeze;
pub(in crate::web) mod opened;
mod pot;
pub(in crate::web) mod recipe;
pub(in crate::web) mod write;

use askama::Template;

use crate::recipe::Recipe;
use crate::web::error::PageError;
use crate::web::layout::Layout;
use crate::web::request::{PageRequest, Reply};
pub(super) use pot::Pot;

#[derive(Template)]
#[template(path = "web/cook.html")]
struct CookRoom {
    frame: Layout,
    recipes: Vec<Listed>,
}

/// A recipe of the book.
struct Listed {
    name: String,
    title: String,
    wrong: bool,
}

/// Lists the recipes.
pub(in crate::web) fn show(visit: &PageRequest<'_>) -> Result<Reply, PageError> {
    let listed = |name: String| {
        let recipe = visit.book.recipe(&name);
        Listed {
            wrong: recipe.is_err(),
            title: recipe.map_or_else(|_| name.clone(), |recipe| recipe.title),
            name,
        }
    };
    let mut recipes: Vec<_> = visit.book.recipe_names()?.into_iter().map(listed).collect();
    recipes.sort_by_key(|one| one.title.to_lowercase());
    Reply::page(&CookRoom {
        frame: Layout::of(visit, "Cook", "/cook"),
        recipes,
    })
}

/// The recipe that the address names.
pub(super) fn of_address(visit: &PageRequest<'_>) -> Result<(String, Recipe), PageError> {
    let name = name_in_address(visit)?;
    let recipe = visit.book.recipe(&name)?;
    Ok((name, recipe))
}

/// The name of the recipe: one that the book lists, never a path.
fn name_in_address(visit: &PageRequest<'_>) -> Result<String, PageError> {
    let name: String = visit.part("recipe")?;
    if !visit.book.recipe_names()?.contains(&name) {
        return Err(PageError::NotFound);
    }
    Ok(name)
}
