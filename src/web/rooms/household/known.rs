//! Foods that a child had away from this book.

use askama::Template;

use super::{ChildForm, LONGEST, address, child, layout};
use crate::food::Food;
use crate::household::know_foods;
use crate::notebook::ChildEntry;
use crate::report::{KNOWN_COUNTS, short_name};
use crate::spoken::{Context, Lookup as _, Reader, parts};
use crate::web::rooms::phrases;
use crate::web::{
    Fields, Layout, Notice, PageAnswer, PageRequest, PageResult, Reply, ShownObjections, Wrong,
};
use crate::words::{day, joined, quoted};

/// The most foods that are offered where several may be meant.
const OFFERED: usize = 4;

#[derive(Template)]
#[template(path = "web/household-known.html")]
struct KnownPage<'a> {
    layout: Layout,
    form: ChildForm,
    fields: &'a Fields,
    on: String,
    wrong: Wrong,
}

/// Shows the foods and the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default())?)
}

/// Records that a child knows foods.
pub(super) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let child = child(request, fields)?;
    let mut wrong = Wrong::default();
    let foods = named(request, fields, &mut wrong)?;
    let words = phrases::short(fields, "words", LONGEST, &mut wrong);
    let seen = phrases::seen(fields, &mut wrong);
    let on = phrases::on(request, fields, Some(child), &mut wrong);
    if let (Some(words), Some(seen), Some(on), true) = (words, seen, on, wrong.is_empty()) {
        let mut store = request.store()?;
        let pantry = request.foods()?;
        let (numbers, found) = know_foods(
            (&request.book, &mut store),
            &pantry,
            (child, on),
            &foods,
            (seen, words),
        )?;
        let names = joined(foods.iter().map(|food| short_name(&food.name)), ", ");
        let notice = Notice {
            more: vec![KNOWN_COUNTS.into()],
            shown: ShownObjections::of(&found, &[]),
            entry: numbers.first().copied().filter(|_| numbers.len() == 1),
            ..Notice::of(format!("{} knows {names}, since {}.", child.name, day(on)))
        };
        return Ok(Reply::Done(address("known", &child.name), notice));
    }
    Reply::wrong(&filled(request, fields, wrong)?)
}

/// The foods in the form; unclear ones are noted.
fn named(request: &PageRequest<'_>, fields: &Fields, wrong: &mut Wrong) -> PageResult<Vec<Food>> {
    let typed = phrases::short(fields, "foods", LONGEST, wrong).unwrap_or_default();
    let typed = parts(&[typed.to_string()]);
    if typed.is_empty() && wrong.is_empty() {
        wrong.say("foods", "Write the foods, such as: egg, peanut butter.");
    }
    let mut reader = Reader::new(request, Context::Table);
    let mut foods = Vec::new();
    for words in &typed {
        let mut found = reader.named(words)?;
        match found.len() {
            1 => foods.append(&mut found),
            0 => wrong.say(
                "foods",
                format!(
                    "No food is called {}: find it by its name in the room Foods.",
                    quoted(words)
                ),
            ),
            _ => {
                let choices = found.iter().take(OFFERED);
                let choices = joined(
                    choices.map(|food| format!("{} for {}", food.id, food.name)),
                    "; ",
                );
                wrong.say(
                    "foods",
                    format!("{} may be several foods: write {choices}.", quoted(words)),
                );
            }
        }
    }
    Ok(foods)
}

fn filled<'a>(
    request: &PageRequest<'_>,
    fields: &'a Fields,
    wrong: Wrong,
) -> PageResult<KnownPage<'a>> {
    let child = child(request, fields)?;
    Ok(KnownPage {
        layout: layout(request, child, "Known foods"),
        form: ChildForm::listing(request, child, ("known", ChildEntry::Known), child.born)?,
        fields,
        on: phrases::or_today(request, fields),
        wrong,
    })
}
