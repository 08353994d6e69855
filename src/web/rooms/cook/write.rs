//! A recipe is written: it becomes the file that a person would write.

use askama::Template;

use super::figures::{Figures, Tried, tried};
use super::pot::{Pot, note};
use crate::cooking::Method;
use crate::food::FoodId;
use crate::notebook::{BookError, NotAName, RecipeName};
use crate::problem::Problem;
use crate::recipe::{Draft, DraftIngredient, Part, Written};
use crate::web::fault::{Fault, capital, in_words};
use crate::web::fields::{Fields, Wrong};
use crate::web::frame::Frame;
use crate::web::notice::Notice;
use crate::web::rooms::foods::{Found, found_by};
use crate::web::visit::{Answer, Visit};

/// A recipe has no more ingredients than this.
const MOST: usize = 24;
/// So many foods are offered.
const OFFERED: usize = 8;
/// A title is no longer than this.
const LONGEST: usize = 80;
/// The units of an amount, the usual one first.
const UNITS: [&str; 8] = ["g", "kg", "oz", "lb", "ml", "cup", "tbsp", "tsp"];

#[derive(Template)]
#[template(path = "web/write.html")]
struct WritePage<'a> {
    frame: Frame,
    draft: Draft,
    name: &'a str,
    replace: bool,
    /// Whether it is to be asked for.
    taken: bool,
    pot: Pot,
    units: &'a [&'a str],
    methods: Vec<&'static str>,
    words: &'a str,
    found: Vec<Found>,
    /// The ingredient that was just added.
    fresh: Option<usize>,
    full: bool,
    figures: String,
    wrong: Wrong,
}

/// Shows an empty form.
pub(in crate::web) fn show(visit: &Visit<'_>) -> Result<Answer, Fault> {
    let fields = Fields::default();
    let wrong = Wrong::default();
    Answer::page(&filled(visit, &fields, Draft::default(), None, wrong)?)
}

/// Does what the button that was pressed says: adds or drops an ingredient, finds a food, saves, or works it out.
pub(in crate::web) fn answer(visit: &Visit<'_>, fields: &Fields) -> Result<Answer, Fault> {
    let mut draft = draft(visit, fields)?;
    let mut wrong = Wrong::default();
    if !fields.text("take").is_empty() {
        let fresh = take(visit, fields.text("take"), &mut draft, &mut wrong)?;
        let page = filled(visit, fields, draft, None, wrong)?;
        return Answer::page(&WritePage {
            fresh,
            words: "",
            found: Vec::new(),
            ..page
        });
    }
    if let Ok(number) = fields.text("drop").parse::<usize>() {
        if number < draft.ingredients.len() {
            draft.ingredients.remove(number);
        }
        return Answer::page(&filled(visit, fields, draft, None, wrong)?);
    }
    if !fields.text("find").is_empty() {
        return Answer::page(&filled(visit, fields, draft, None, wrong)?);
    }
    let tried = worked_out(visit, &draft, &Pot::of(visit, fields), &mut wrong)?;
    if !fields.text("save").is_empty() && wrong.is_empty() {
        let written = draft.written();
        if let Some(name) = saved(visit, fields, &draft, &written, &mut wrong)? {
            let notice = Notice::of(format!(
                "Wrote {} into the book, as recipes/{name}.toml.",
                draft.title
            ));
            return Ok(Answer::Done(format!("/cook/recipe/{name}"), notice));
        }
    }
    let page = filled(visit, fields, draft, tried, wrong)?;
    if page.wrong.is_empty() {
        Answer::page(&page)
    } else {
        Answer::wrong(&page)
    }
}

/// The figures alone.
pub(in crate::web) fn figures(visit: &Visit<'_>, fields: &Fields) -> Result<Answer, Fault> {
    let draft = draft(visit, fields)?;
    let mut wrong = Wrong::default();
    let tried = worked_out(visit, &draft, &Pot::of(visit, fields), &mut wrong)?;
    Figures::new(tried, &wrong, false).alone()
}

/// The recipe as the fields tell it, each food with its name.
fn draft(visit: &Visit<'_>, fields: &Fields) -> Result<Draft, Fault> {
    let ingredient = |n: usize| {
        let text = |name: &str| fields.text(&format!("{name}-{n}")).to_string();
        let food = text("food");
        (!food.is_empty()).then(|| DraftIngredient {
            food,
            name: String::new(),
            amount: text("amount"),
            unit: text("unit"),
            method: text("method"),
            edible: !text("edible").is_empty(),
        })
    };
    let mut draft = Draft {
        title: fields.text("title").to_string(),
        ingredients: (0..MOST).map_while(ingredient).collect(),
        collected: fields.text("collected").to_string(),
        returned: fields.text("returned").to_string(),
        added: fields.text("added").to_string(),
        cubes: fields.text("serving").to_string(),
    };
    let pantry = visit.kitchen.pantry(&visit.place)?;
    for one in &mut draft.ingredients {
        let id = one.food.parse::<FoodId>().ok();
        let food = match id {
            Some(id) => pantry.foods(std::slice::from_ref(&id))?.pop().flatten(),
            None => None,
        };
        one.name = food.map_or_else(|| "a food that is not known".into(), |food| food.name);
    }
    Ok(draft)
}

/// Adds an ingredient; gives its number.
fn take(
    visit: &Visit<'_>,
    food: &str,
    draft: &mut Draft,
    wrong: &mut Wrong,
) -> Result<Option<usize>, Fault> {
    let known = match food.parse::<FoodId>() {
        Ok(id) => visit
            .kitchen
            .pantry(&visit.place)?
            .foods(std::slice::from_ref(&id))?
            .pop()
            .flatten(),
        Err(_) => None,
    };
    let Some(known) = known else {
        wrong.say("words", "No food has this number: find one by its name.");
        return Ok(None);
    };
    if draft.ingredients.len() == MOST {
        wrong.say("words", format!("A recipe has at most {MOST} ingredients."));
        return Ok(None);
    }
    draft.ingredients.push(DraftIngredient {
        food: known.id.to_string(),
        name: known.name,
        unit: UNITS[0].into(),
        method: Method::Steam.word().into(),
        ..DraftIngredient::default()
    });
    Ok(Some(draft.ingredients.len() - 1))
}

/// What the draft makes; what is wrong with it is noted at its field.
fn worked_out(
    visit: &Visit<'_>,
    draft: &Draft,
    pot: &Pot,
    wrong: &mut Wrong,
) -> Result<Option<Tried>, Fault> {
    if draft.title.chars().count() > LONGEST {
        wrong.say(
            "title",
            format!("Say what it is called in at most {LONGEST} letters."),
        );
    }
    let written = draft.written();
    let recipe = match written.recipe() {
        Ok(recipe) => recipe,
        Err(problems) => {
            note_parts((draft, &written), &problems, wrong);
            return Ok(None);
        }
    };
    match tried(visit, ("", &recipe), pot, wrong) {
        Err(Fault::Problems(problems)) => {
            note_parts((draft, &written), &problems, wrong);
            Ok(None)
        }
        tried => tried,
    }
}

/// Notes each problem at the field that it is about.
fn note_parts((draft, written): (&Draft, &Written), problems: &[Problem], wrong: &mut Wrong) {
    for problem in problems {
        let field = match written.part(problem) {
            Some(Part::Title) => "title".to_string(),
            Some(Part::Food(n) | Part::Amount(n)) => format!("amount-{n}"),
            Some(Part::Method(n)) => format!("method-{n}"),
            Some(Part::Collected) => "collected".into(),
            Some(Part::Returned) => "returned".into(),
            Some(Part::Added) => "added".into(),
            Some(Part::Cubes) => "serving".into(),
            None if draft.ingredients.is_empty() => "words".into(),
            None => {
                note(std::slice::from_ref(problem), wrong);
                continue;
            }
        };
        wrong.say(field, in_words(problem));
    }
}

/// Writes the file; gives its name.
fn saved(
    visit: &Visit<'_>,
    fields: &Fields,
    draft: &Draft,
    written: &Written,
    wrong: &mut Wrong,
) -> Result<Option<RecipeName>, Fault> {
    let name = match fields.text("name") {
        "" => RecipeName::of_title(&draft.title),
        name => name.parse(),
    };
    let name = match name {
        Ok(name) => name,
        Err(error @ NotAName(_)) => {
            wrong.say("name", capital(&format!("{error}: {}.", error.hint())));
            return Ok(None);
        }
    };
    let replace = !fields.text("replace").is_empty();
    match visit.book.save_recipe(&name, written.text(), replace) {
        Ok(()) => Ok(Some(name)),
        Err(BookError::InTheWay(_)) => {
            wrong.say(
                "replace",
                format!("The book has a recipe `{name}` already: choose another name, or say that it is to be replaced."),
            );
            Ok(None)
        }
        Err(error) => Err(error.into()),
    }
}

fn filled<'a>(
    visit: &Visit<'_>,
    fields: &'a Fields,
    draft: Draft,
    tried: Option<Tried>,
    wrong: Wrong,
) -> Result<WritePage<'a>, Fault> {
    let words = fields.text("words");
    let replace = !fields.text("replace").is_empty();
    Ok(WritePage {
        frame: Frame::of(visit, "Write a recipe", "/cook"),
        full: draft.ingredients.len() == MOST,
        draft,
        name: fields.text("name"),
        taken: replace || !wrong.of("replace").is_empty(),
        replace,
        pot: Pot::of(visit, fields),
        units: &UNITS,
        methods: Method::all().map(Method::word).collect(),
        found: found_by(visit, words, OFFERED)?,
        words,
        fresh: None,
        figures: match tried {
            Some(tried) => Figures::new(Some(tried), &wrong, false).render()?,
            None => String::new(),
        },
        wrong,
    })
}
