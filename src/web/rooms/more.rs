//! The further rooms, each with a line of its state.

use askama::Template;

use super::phrases;
use super::today::next_tastes_of;
use crate::notebook::{Child, Store};
use crate::web::layout::{FURTHER, MORE};
use crate::web::{Layout, PageAnswer, PageError, PageRequest, PageResult, Reply};
use crate::words::counted;

#[derive(Template)]
#[template(path = "web/more.html")]
struct MorePage {
    layout: Layout,
    rooms: Vec<RoomLine>,
}

/// A room in the list.
struct RoomLine {
    path: &'static str,
    name: &'static str,
    /// Its state; empty where there is nothing to say.
    state: String,
}

/// Lists the rooms.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let rooms = FURTHER.iter().map(|(path, name)| {
        let state = state(request, path)?;
        Ok(RoomLine { path, name, state })
    });
    Reply::page(&MorePage {
        layout: Layout::of(request, "More", MORE),
        rooms: rooms.collect::<Result<_, PageError>>()?,
    })
}

/// The state of a room in a line; empty where there is nothing to say.
fn state(request: &PageRequest<'_>, path: &str) -> PageResult<String> {
    let settings = &request.book.settings;
    Ok(match path {
        "/mix" => "what two or three cubes hold together".into(),
        "/tastes" => next_tastes_of(request)?,
        "/money" => "what was bought, and each batch beside the jar".into(),
        "/visit" => questions(request.record()?, &settings.children)?,
        "/week/shop" => "what the plan needs".into(),
        "/foods" => "what a food holds, and the data in use".into(),
        "/household" => "children, milk, weight, supplements, trays, meals".into(),
        "/history" => phrases::last(request)?.map_or_else(String::new, |last| last.words),
        _ => String::new(),
    })
}

/// The number of open questions of all children, in words.
fn questions(store: &Store, children: &[Child]) -> PageResult<String> {
    let mut open = 0;
    for child in children {
        let questions = store.questions(&child.name, child.born, jiff::civil::Date::MAX)?;
        open += questions
            .iter()
            .filter(|question| question.answers.is_empty())
            .count();
    }
    Ok(match open {
        0 => "a summary for the paediatrician".into(),
        open => format!("{} open", counted(open, "question")),
    })
}
