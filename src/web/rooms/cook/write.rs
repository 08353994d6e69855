//! A recipe is written or changed in a form, and saved as the file that a person would write.

use super::figures::{BatchFigures, Tried, tried};
use super::form::{MOST, RecipeForm, food};
use super::opened::{FormerText, Opened};
use super::pot::{Pot, note};
use crate::cooking::Method;
use crate::food::FoodId;
use crate::notebook::{BookError, NotAName, RecipeName};
use crate::problem::Problem;
use crate::recipe::{DraftPart, Written};
use crate::spoken::{Context, Doubt, FoodReading, Reader, food_words, parts};
use crate::web::fields::with_meant;
use crate::web::wording::in_words;
use crate::web::{Fields, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply, Wrong};
use crate::words::capital;

/// The longest title, in characters.
const LONGEST: usize = 80;

/// Shows an empty form.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let fields = Fields::default();
    let form = RecipeForm::of(request, &fields)?;
    Reply::page(&form.page(request, &fields, None, Wrong::default())?)
}

/// Shows the form with a recipe of the book.
pub(in crate::web) fn change(request: &PageRequest<'_>) -> PageAnswer {
    let opened = Opened::by_address(request)?;
    let Some(form) = RecipeForm::opened(request, opened)? else {
        let words = format!("the recipe has more than {MOST} ingredients");
        return Err(Problem::new(words).hint("change it in its file").into());
    };
    let fields = Fields::default();
    let mut wrong = Wrong::default();
    let tried = worked_out(request, &form, &Pot::of(request, &fields), &mut wrong)?;
    Reply::page(&form.page(request, &fields, tried, wrong)?)
}

/// Handles the button that was pressed: adds or drops an ingredient, finds a food, saves, or
/// calculates.
pub(in crate::web) fn answer(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut form = RecipeForm::of(request, fields)?;
    let mut wrong = Wrong::default();
    let pressed = |name: &str| !fields.text(name).is_empty();
    if pressed("take") {
        let fresh = take(request, fields.text("take"), &mut form, &mut wrong)?;
        let tried = worked_out_quietly(request, &form, fields)?;
        let page = form.page(request, fields, tried, wrong)?;
        return Reply::page(&page.with_fresh(fresh));
    }
    if let Ok(number) = fields.text("drop").parse() {
        form.drop(number);
        let tried = worked_out_quietly(request, &form, fields)?;
        return Reply::page(&form.page(request, fields, tried, wrong)?);
    }
    // The key Enter in the field of a food finds the food.
    if pressed("find") || fields.is_choice() || (fields.text("work") == "key" && pressed("words")) {
        let fresh = take_typed(request, fields.text("words"), &mut form, &mut wrong)?;
        let tried = worked_out_quietly(request, &form, fields)?;
        let page = form.page(request, fields, tried, wrong)?;
        return Reply::page(&match fresh {
            None => page,
            fresh => page.with_fresh(fresh),
        });
    }
    let tried = worked_out(request, &form, &Pot::of(request, fields), &mut wrong)?;
    if pressed("save")
        && wrong.is_empty()
        && let Some(saved) = saved(request, fields, &form, &mut wrong)?
    {
        return Ok(saved);
    }
    let page = form.page(request, fields, tried, wrong)?;
    Reply::checked(&page, page.wrong.is_empty())
}

/// The figures alone.
pub(in crate::web) fn figures(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let form = RecipeForm::of(request, fields)?;
    let mut wrong = Wrong::default();
    let tried = worked_out(request, &form, &Pot::of(request, fields), &mut wrong)?;
    BatchFigures::new(tried, &wrong)?.alone()
}

/// Adds an ingredient, and gives its number; `None` after a mistake.
fn take(
    request: &PageRequest<'_>,
    id: &str,
    form: &mut RecipeForm,
    wrong: &mut Wrong,
) -> PageResult<Option<usize>> {
    let number = form.draft.ingredients.len();
    let Some(known) = food(&request.state.pantry(&request.place)?, id)? else {
        wrong.say("words", "No food has this number: find one by its name.");
        return Ok(None);
    };
    if number == MOST {
        wrong.say("words", format!("A recipe has at most {MOST} ingredients."));
        return Ok(None);
    }
    form.take(&known)?;
    Ok(Some(number))
}

/// Adds the ingredients that are typed with their amounts, such as `600 g courgette roasted, 150 g
/// red lentils`, and gives the number of the first. `None` where an ingredient is unclear, which is
/// noted, or where words without an amount are searched for.
fn take_typed(
    request: &PageRequest<'_>,
    typed: &str,
    form: &mut RecipeForm,
    wrong: &mut Wrong,
) -> PageResult<Option<usize>> {
    let first = form.draft.ingredients.len();
    let mut all = Vec::new();
    for part in parts(&[typed.to_string()]) {
        let read = match Reader::new(request, Context::Cook).read(&part)? {
            FoodReading::Unclear(unclear) => match unclear.doubt {
                // The method is chosen in its own field, which is filled in with the usual one.
                Doubt::Method { usual, .. } => cooked_by(usual, request, &part)?,
                _ => FoodReading::Unclear(unclear),
            },
            taken @ FoodReading::Taken(_) => taken,
        };
        match read {
            FoodReading::Taken(taken) => all.push(*taken),
            FoodReading::Unclear(unclear) => {
                // Without an amount, the words are searched for.
                let is_amounted = food_words(&part)? != part || !unclear.is_of_the_food();
                if is_amounted && !unclear.is_without_amount() {
                    wrong.unclear("words", &unclear, |unclear, meant| {
                        // A meaning that is only an id has lost the amount: such a food is chosen
                        // from those that were found.
                        let is_whole = meant.parse::<FoodId>().is_err();
                        with_meant(typed, unclear, meant).filter(|_| is_whole)
                    });
                }
                return Ok(None);
            }
        }
    }
    if all.is_empty() {
        return Ok(None);
    }
    if first + all.len() > MOST {
        wrong.say("words", format!("A recipe has at most {MOST} ingredients."));
        return Ok(None);
    }
    for taken in &all {
        form.take_typed(taken)?;
    }
    Ok(Some(first))
}

/// A food with its amount, cooked by a method that the words do not name.
fn cooked_by(method: Method, request: &PageRequest<'_>, part: &str) -> PageResult<FoodReading> {
    let mut read = Reader::new(request, Context::Buy).read(part)?;
    if let FoodReading::Taken(taken) = &mut read {
        taken.method = Some(method);
    }
    Ok(read)
}

/// The batch that the draft makes; mistakes are noted at their fields.
fn worked_out(
    request: &PageRequest<'_>,
    form: &RecipeForm,
    pot: &Pot,
    wrong: &mut Wrong,
) -> PageResult<Option<Tried>> {
    if form.draft.title.chars().count() > LONGEST {
        wrong.say(
            "title",
            format!("Say what it is called in at most {LONGEST} letters."),
        );
    }
    let written = form.written();
    let recipe = match written.recipe() {
        Ok(recipe) => recipe,
        Err(problems) => {
            note_parts((form, &written), &problems, wrong);
            return Ok(None);
        }
    };
    match tried(request, ("", &recipe), pot, wrong) {
        Err(PageError::Problems(problems)) => {
            note_parts((form, &written), &problems, wrong);
            Ok(None)
        }
        tried => tried,
    }
}

/// The batch that the draft makes, where it can be calculated. Mistakes are dropped: while foods
/// are added, some fields are still empty.
fn worked_out_quietly(
    request: &PageRequest<'_>,
    form: &RecipeForm,
    fields: &Fields,
) -> PageResult<Option<Tried>> {
    worked_out(
        request,
        form,
        &Pot::of(request, fields),
        &mut Wrong::default(),
    )
}

/// Notes each problem at its field.
fn note_parts((form, written): (&RecipeForm, &Written), problems: &[Problem], wrong: &mut Wrong) {
    for problem in problems {
        let field = match written.part(problem) {
            Some(DraftPart::Title) => "title".to_string(),
            Some(DraftPart::Food(n) | DraftPart::Amount(n) | DraftPart::Beyond(n)) => {
                format!("amount-{n}")
            }
            Some(DraftPart::Method(n)) => format!("method-{n}"),
            Some(DraftPart::Collected) => "collected".into(),
            Some(DraftPart::Returned) => "returned".into(),
            Some(DraftPart::Added) => "added".into(),
            Some(DraftPart::Cubes) => "serving".into(),
            None if form.draft.ingredients.is_empty() => "words".into(),
            None => {
                note(std::slice::from_ref(problem), wrong);
                continue;
            }
        };
        wrong.say(field, in_words(problem));
    }
}

/// Writes the file; a mistake in its name is noted.
fn saved(
    request: &PageRequest<'_>,
    fields: &Fields,
    form: &RecipeForm,
    wrong: &mut Wrong,
) -> PageResult<Option<Reply>> {
    let title = form.title();
    let name = match fields.text("name") {
        "" => RecipeName::of_title(title),
        name => name.parse(),
    };
    let name = match name {
        Ok(name) => name,
        Err(error @ NotAName(_)) => {
            wrong.say("name", capital(&format!("{error}: {}.", error.hint())));
            return Ok(None);
        }
    };
    let changed = form.opened.as_ref().is_some_and(|opened| opened.is(&name));
    let replace = changed || !fields.text("replace").is_empty();
    let written = form.written();
    let former = if replace {
        FormerText::of(request, &name, written.text())?
    } else {
        None
    };
    match request.book.save_recipe(&name, written.text(), replace) {
        Ok(()) => {}
        Err(BookError::InTheWay(_)) => {
            wrong.say("replace", in_the_way(form, &name));
            return Ok(None);
        }
        Err(error) => return Err(error.into()),
    }
    let verb = if changed { "Changed" } else { "Wrote" };
    let kept = former.map(|former| request.state.former_texts.keep(former));
    let notice = Notice {
        former: kept.transpose().map_err(PageError::broken)?,
        ..Notice::of(format!(
            "{verb} {title} in the book, as recipes/{name}.toml."
        ))
    };
    let freeze = fields.text("save") == "freeze";
    let next = if freeze { "/freeze" } else { "" };
    let pot = Pot::of(request, fields).query();
    let next = format!("/cook/recipe/{name}{next}?{pot}");
    Ok(Some(Reply::Done(next, notice)))
}

/// The message that a recipe of this name exists, which is replaced only with consent.
fn in_the_way(form: &RecipeForm, name: &RecipeName) -> String {
    let opened = form
        .opened
        .as_ref()
        .is_some_and(|opened| opened.name == name.to_string());
    if opened {
        "Its file was changed since you opened it: open it again, choose another name, or say that it is to be replaced.".into()
    } else {
        format!(
            "The book has a recipe “{name}” already: choose another name, or say that it is to be replaced."
        )
    }
}
