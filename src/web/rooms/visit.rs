//! The visit at the paediatrician's: questions, and the record of some weeks as a page to print.

use std::cmp::Reverse;

use askama::Template;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::phrases::{self, Last, SelectOption};
use super::print::{PROGRAM, paper};
use crate::day::{DayReader, DayUse};
use crate::household::{usual_first_day, visit_facts, visit_span};
use crate::notebook::{Child, Question, Store};
use crate::report::{VisitPage as Paged, VisitReport};
use crate::web::fields::with_query;
use crate::web::{
    Fields, Layout, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply, Wrong,
};
use crate::words::day;

/// The longest question, in characters.
const LONGEST: usize = 500;

#[derive(Template)]
#[template(path = "web/visit.html")]
struct VisitRoom<'a> {
    layout: Layout,
    nobody: bool,
    children: Vec<SelectOption>,
    /// The name of the child that is chosen.
    chosen: String,
    /// Usual periods: the label and the address of each.
    periods: Vec<(String, String)>,
    from: String,
    to: String,
    letter: bool,
    /// The questions, those without an answer first.
    questions: Vec<ListedQuestion>,
    words: &'a str,
    on: String,
    stocked: bool,
    last: Option<Last>,
    wrong: Wrong,
}

/// A question in the list.
struct ListedQuestion {
    id: i64,
    /// The day, and the child where there are several.
    about: String,
    words: String,
    answers: Vec<String>,
}

/// Shows the room.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default())?)
}

/// Records a question.
pub(in crate::web) fn ask(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    let words = fields.text("question");
    if words.is_empty() || words.chars().count() > LONGEST {
        wrong.say(
            "question",
            format!("Write the question, in 1 to {LONGEST} letters."),
        );
    }
    wrong.check_emergency(words);
    let child = phrases::child(request, fields, &mut wrong);
    let on = phrases::on(request, fields, child, &mut wrong);
    let (Some(child), Some(on), true) = (child, on, wrong.is_empty()) else {
        return Reply::wrong(&filled(request, fields, wrong)?);
    };
    let question = Question::new(on, words);
    let id = request.store()?.ask(&child.name, &question)?;
    let notice = Notice {
        entry: Some(id),
        ..Notice::of(format!("Written down for the visit: {words}"))
    };
    Ok(Reply::Done("/visit".into(), notice.heeding(words)))
}

/// Records that the visit of a child took place today.
pub(in crate::web) fn took_place(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let child = request.book.settings.child(Some(fields.text("child")));
    let child = child.map_err(|_| PageError::NotFound)?;
    let mut store = request.store()?;
    let tomorrow = request.today.saturating_add(1.day());
    let (done, entry) = if store.last_visit(&child.name, tomorrow)? == Some(request.today) {
        ("is on record already", None)
    } else {
        let entry = store.visited(&child.name, request.today, "")?;
        ("took place: the next page begins after it", Some(entry))
    };
    let notice = Notice {
        entry,
        ..Notice::of(format!(
            "{}, {}: the visit {done}.",
            child.name,
            day(request.today)
        ))
    };
    Ok(Reply::Done("/visit".into(), notice))
}

/// The page to print.
pub(in crate::web) fn sheet(request: &PageRequest<'_>) -> PageAnswer {
    let fields = &request.address.query;
    let mut wrong = Wrong::default();
    let child = phrases::child(request, fields, &mut wrong);
    let reader = DayReader {
        today: request.today,
        purpose: DayUse::Past,
        born: child.map(|child| child.born),
    };
    let from = phrases::day(fields, "from", &reader, &mut wrong);
    let to = phrases::day(fields, "to", &reader, &mut wrong);
    if let (Some(child), Some(from), Some(to)) = (child, from, to) {
        match visit_span(child, from, to) {
            Ok(span) => {
                let pantry = request.state.pantry(&request.place)?;
                let facts = visit_facts(&request.book, &pantry, child, span)?;
                let meals = request.book.settings.meals.as_slice();
                let report = VisitReport::of_facts(&facts, (child, meals), PROGRAM)?;
                if let Some(report) = report {
                    let paper = paper(request);
                    let report = &report;
                    let page = Paged { report, paper }.render()?;
                    return Ok(Reply::Sheet(page, "/visit".into()));
                }
                wrong.say("from", "Nothing is on record for these days.");
            }
            Err(problem) => wrong.problems("from", &[problem]),
        }
    }
    Reply::wrong(&filled(request, fields, wrong)?)
}

/// The questions about children: those without an answer first, then the newest.
fn questions(store: &Store, children: &[Child]) -> PageResult<Vec<ListedQuestion>> {
    let mut all = Vec::new();
    for child in children {
        let of_child = store.questions(&child.name, child.born, Date::MAX)?;
        all.extend(of_child.into_iter().map(|question| (child, question)));
    }
    all.sort_by_key(|(_, question)| (!question.answers.is_empty(), Reverse(question.day)));
    let about = |child: &Child, on: Date| match children {
        [_] => day(on),
        _ => format!("{}, {}", day(on), child.name),
    };
    let questions = all.into_iter().map(|(child, question)| ListedQuestion {
        id: question.id,
        about: about(child, question.day),
        answers: question
            .answers
            .iter()
            .map(|answer| format!("{} ({})", answer.words, day(answer.day)))
            .collect(),
        words: question.words,
    });
    Ok(questions.collect())
}

/// Usual periods that end today: the label of each, and the address at which the form is filled in
/// with it.
fn periods(child: &Child, today: Date, last: Option<Date>) -> Vec<(String, String)> {
    let since = last.map(|last| {
        let first = usual_first_day(child, today, Some(last));
        (format!("Since the visit of {}", day(last)), first)
    });
    let weeks = [2, 6].map(|weeks: i32| {
        let first = today.saturating_sub((weeks * 7 - 1).days());
        (format!("{weeks} weeks"), first.max(child.born))
    });
    let path = |first: Date| {
        let [from, to] = [first, today].map(|day| day.to_string());
        with_query(
            "/visit",
            [("child", &child.name), ("from", &from), ("to", &to)],
        )
    };
    let all = since.into_iter().chain(weeks);
    all.map(|(words, first)| (words, path(first))).collect()
}

fn filled<'a>(
    request: &PageRequest<'_>,
    fields: &'a Fields,
    wrong: Wrong,
) -> PageResult<VisitRoom<'a>> {
    let children = &request.book.settings.children;
    let chosen = request.children().first();
    let store = request.record()?;
    let (mut first, mut presets) = (request.today, Vec::new());
    if let Some(child) = chosen {
        let last = store.last_visit(&child.name, request.today)?;
        first = usual_first_day(child, request.today, last);
        presets = periods(child, request.today, last);
    }
    let or = |name: &str, usual: Date| match fields.text(name) {
        "" => usual.to_string(),
        text => text.to_string(),
    };
    Ok(VisitRoom {
        layout: Layout::of(request, "Visit", "/visit"),
        nobody: children.is_empty(),
        children: phrases::children(
            &request.book.settings,
            chosen.map_or("", |child| &child.name),
        ),
        chosen: chosen.map_or(String::new(), |child| child.name.clone()),
        periods: presets,
        from: or("from", first),
        to: or("to", request.today),
        letter: fields.text("paper") == "letter",
        questions: questions(store, request.children())?,
        words: fields.text("question"),
        on: or("on", request.today),
        stocked: !store.stock()?.is_empty(),
        last: phrases::last(request)?,
        wrong,
    })
}
