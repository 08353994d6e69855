//! Notes in the parent's words: stool, sleep, texture and the like.

use askama::Template;
use jiff::ToSpan as _;

use super::{ChildForm, LONGEST, address, child, layout};
use crate::notebook::{ChildEntry, NOTE_TOPICS, Note};
use crate::web::rooms::phrases::{self, SelectOption};
use crate::web::{Fields, Layout, Notice, PageAnswer, PageRequest, PageResult, Reply, Wrong};
use crate::words::{day, sentence};

/// The days whose notes are listed (judgement).
const DAYS_BACK: i32 = 28;

#[derive(Template)]
#[template(path = "web/household-notes.html")]
struct NotesPage<'a> {
    layout: Layout,
    form: ChildForm,
    topics: Vec<SelectOption>,
    fields: &'a Fields,
    on: String,
    wrong: Wrong,
}

/// Shows the notes and the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default())?)
}

/// Records a note.
pub(super) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let child = child(request, fields)?;
    let mut wrong = Wrong::default();
    let topic = fields.text("topic");
    if !NOTE_TOPICS.contains(&topic) {
        wrong.say("topic", "Choose what the note is about.");
    }
    let words = phrases::short(fields, "words", LONGEST, &mut wrong);
    if words.is_some_and(str::is_empty) {
        wrong.say("words", "Write the note.");
    }
    wrong.check_emergency(words.unwrap_or_default());
    let on = phrases::on(request, fields, Some(child), &mut wrong);
    if let (Some(words), Some(on), true) = (words, on, wrong.is_empty()) {
        let note = Note {
            day: on,
            topic: topic.to_string(),
            words: words.to_string(),
        };
        let number = request.store()?.note(&child.name, &note)?;
        let notice = Notice {
            more: vec!["It is printed on the page of the visit.".into()],
            entry: Some(number),
            ..Notice::of(sentence(&format!(
                "Written down: {}, {}, {topic}: {words}",
                day(on),
                child.name
            )))
        };
        let notice = notice.heeding(words);
        return Ok(Reply::Done(address("notes", &child.name), notice));
    }
    Reply::wrong(&filled(request, fields, wrong)?)
}

fn filled<'a>(
    request: &PageRequest<'_>,
    fields: &'a Fields,
    wrong: Wrong,
) -> PageResult<NotesPage<'a>> {
    let child = child(request, fields)?;
    let from = request.today.saturating_sub(DAYS_BACK.days());
    let chosen = fields.text("topic");
    Ok(NotesPage {
        layout: layout(request, child, "Notes"),
        form: ChildForm::listing(request, child, ("notes", ChildEntry::Note), from)?,
        topics: NOTE_TOPICS
            .map(|topic| SelectOption::of(topic, topic, chosen))
            .into(),
        fields,
        on: phrases::or_today(request, fields),
        wrong,
    })
}
