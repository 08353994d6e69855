//! A recipe of the book before it is cooked: trays, liquid, and what that makes.

use askama::Template;

use super::figures::{BatchFigures, Tried, take_objections, tried};
use super::of_address;
use super::pot::{Pot, note, plain};
use crate::recipe::Recipe;
use crate::report::ObjectionLine;
use crate::web::{Fields, Layout, PageAnswer, PageError, PageRequest, PageResult, Reply, Wrong};

#[derive(Template)]
#[template(path = "web/recipe.html")]
struct RecipePage {
    layout: Layout,
    name: String,
    title: String,
    pot: Pot,
    collected: String,
    /// The objections, above the form; with the figures, where they are fetched alone.
    objections: Vec<ObjectionLine>,
    figures: String,
    result: String,
    wrong: Wrong,
}

/// Shows the recipe in the address.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let (name, recipe) = of_address(request)?;
    let pot = Pot::of(request, &request.address.query).or_as(&recipe);
    let (mut tried, wrong) = worked_out(request, (&name, &recipe), &pot)?;
    let objections = take_objections(&mut tried);
    let figures = BatchFigures::new(tried, &wrong)?;
    let page = RecipePage {
        layout: Layout::of(request, recipe.title.clone(), "/cook"),
        collected: plain(recipe.liquid.collected.value.millilitres()),
        objections,
        result: figures.result.clone(),
        figures: figures.render()?,
        title: recipe.title,
        name,
        pot,
        wrong,
    };
    Reply::checked(&page, page.wrong.is_empty())
}

/// The figures of the recipe alone.
pub(in crate::web) fn figures(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let (name, recipe) = of_address(request)?;
    let pot = Pot::of(request, fields).or_as(&recipe);
    let (tried, wrong) = worked_out(request, (&name, &recipe), &pot)?;
    BatchFigures::new(tried, &wrong)?.alone()
}

/// The batch that the recipe makes with the liquid of the pot, and the mistakes.
fn worked_out(
    request: &PageRequest<'_>,
    (name, recipe): (&str, &Recipe),
    pot: &Pot,
) -> PageResult<(Option<Tried>, Wrong)> {
    let mut wrong = Wrong::default();
    let recipe = match recipe.clone().with_liquid(&pot.returned, &pot.added) {
        Ok(recipe) => recipe,
        Err(problems) => {
            note(&problems, &mut wrong);
            return Ok((None, wrong));
        }
    };
    match tried(request, (name, &recipe), pot, &mut wrong) {
        Ok(tried) => Ok((tried, wrong)),
        Err(PageError::Problems(problems)) => {
            note(&problems, &mut wrong);
            Ok((None, wrong))
        }
        Err(fault) => Err(fault),
    }
}
