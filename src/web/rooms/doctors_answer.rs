//! What the doctor said to a question that was written down for the visit.

use askama::Template;

use super::phrases;
use crate::notebook::{EntryDetail, QuestionAnswer};
use crate::web::sent_forms::once_key;
use crate::web::{
    Fields, Layout, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply, Wrong,
};
use crate::words::sentence;

/// The room to which the page belongs.
const ROOM: &str = "/visit";
/// The longest answer, in characters.
const LONGEST: usize = 500;

#[derive(Template)]
#[template(path = "web/doctors-answer.html")]
struct DoctorsAnswerPage<'a> {
    layout: Layout,
    number: i64,
    question: String,
    fields: &'a Fields,
    on: String,
    once: String,
    wrong: Wrong,
}

/// Shows the form.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default())?)
}

/// Records the answer.
pub(in crate::web) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let AskedQuestion {
        number,
        words: question,
        child,
    } = question(request)?;
    let mut wrong = Wrong::default();
    let words = phrases::short(fields, "words", LONGEST, &mut wrong);
    if words.is_some_and(str::is_empty) {
        wrong.say("words", "Write what the doctor said.");
    }
    let on = phrases::on(request, fields, request.book.child(&child), &mut wrong);
    if let (Some(words), Some(on), true) = (words, on, wrong.is_empty()) {
        let answer = QuestionAnswer {
            day: on,
            words: words.to_string(),
        };
        let answered = request.store()?.answer(number, &answer);
        if let Some(entry) = wrong.take("words", answered)? {
            let notice = Notice {
                more: vec![sentence(&format!("Answer: {words}"))],
                entry: Some(entry),
                ..Notice::of(format!("Written down. {question}"))
            };
            return Ok(Reply::Done(ROOM.into(), notice));
        }
    }
    Reply::wrong(&filled(request, fields, wrong)?)
}

/// A question that was written down.
struct AskedQuestion {
    /// The number of its first entry.
    number: i64,
    words: String,
    child: String,
}

/// The question in the address.
fn question(request: &PageRequest<'_>) -> PageResult<AskedQuestion> {
    let entry = request.record()?.entry(request.part("question")?)?;
    let entry = entry.ok_or(PageError::NotFound)?;
    match entry.detail {
        EntryDetail::Question { words } => Ok(AskedQuestion {
            number: entry.target,
            words,
            child: entry.child,
        }),
        _ => Err(PageError::NotFound),
    }
}

fn filled<'a>(
    request: &PageRequest<'_>,
    fields: &'a Fields,
    wrong: Wrong,
) -> PageResult<DoctorsAnswerPage<'a>> {
    let question = question(request)?;
    Ok(DoctorsAnswerPage {
        layout: Layout::of(request, "What the doctor said", ROOM),
        number: question.number,
        question: question.words,
        fields,
        on: phrases::or_today(request, fields),
        once: once_key()?,
        wrong,
    })
}
