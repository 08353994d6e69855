//! Weight, length and head size: a list with their days, and no verdict on them.

use askama::Template;
use jiff::civil::Date;

use super::{ChildForm, child, layout};
use crate::household::{measure_doubt, measurement};
use crate::notebook::{Child, ChildEntry, Measured, Measurement};
use crate::report::{doubted, measured};
use crate::web::rooms::phrases;
use crate::web::{Fields, Layout, Notice, PageAnswer, PageRequest, PageResult, Reply, Wrong};
use crate::words::{day, joined};

#[derive(Template)]
#[template(path = "web/household-size.html")]
struct SizePage<'a> {
    layout: Layout,
    form: ChildForm,
    fields: &'a Fields,
    on: String,
    /// The doubtful measurements that the form records when it is sent again; empty where nothing
    /// is in doubt.
    sure: String,
    wrong: Wrong,
}

/// Shows the list and the form.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    Reply::page(&filled(request, &request.address.query, Wrong::default())?)
}

/// Records what was measured.
pub(super) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let child = child(request, fields)?;
    let (mut wrong, mut sure) = (Wrong::default(), String::new());
    if let Some(on) = phrases::on(request, fields, Some(child), &mut wrong) {
        let all = [
            ("weight", Measured::Weight),
            ("length", Measured::Length),
            ("head", Measured::Head),
        ];
        let found = all.map(|(field, what)| typed(fields, field, (on, what), &mut wrong));
        let found: Vec<Measurement> = found.into_iter().flatten().collect();
        if found.is_empty() && wrong.is_empty() {
            wrong.say(
                "weight",
                "Write what was measured: the weight, the length or the head size.",
            );
        }
        let words = found
            .iter()
            .map(|measurement| format!("{} {}", measurement.what.word(), measured(measurement)));
        let words = joined(words, ", ");
        if wrong.is_empty() {
            sure = format!("{on}: {words}");
            if fields.text("sure") != sure {
                note_doubts(request, child, &found, &mut wrong)?;
            }
        }
        if wrong.is_empty() {
            let mut store = request.store()?;
            let numbers = store.measure(&child.name, &found)?;
            let notice = Notice {
                entry: numbers.first().copied().filter(|_| numbers.len() == 1),
                ..Notice::of(format!(
                    "Written down: {}, {}: {words}.",
                    day(on),
                    child.name
                ))
            };
            return Ok(Reply::Done(super::address("size", &child.name), notice));
        }
    }
    Reply::wrong(&SizePage {
        sure,
        ..filled(request, fields, wrong)?
    })
}

/// Notes what is doubtful about measurements. Where they are right, the form is sent again as it
/// is.
fn note_doubts(
    request: &PageRequest<'_>,
    child: &Child,
    found: &[Measurement],
    wrong: &mut Wrong,
) -> PageResult<()> {
    let before = request.record()?.measurements(&child.name, request.today)?;
    for measurement in found {
        if let Some(doubt) = measure_doubt(measurement, child, &before, request.today) {
            let problem = doubted(measurement, &doubt, child, "say so below");
            wrong.problems(measurement.what.word(), &[problem]);
        }
    }
    Ok(())
}

/// A measurement in a field, in kilograms or centimetres where no unit is written; what is wrong is
/// noted.
pub(super) fn typed(
    fields: &Fields,
    field: &'static str,
    (on, what): (Date, Measured),
    wrong: &mut Wrong,
) -> Option<Measurement> {
    let text = fields.text(field);
    if text.is_empty() {
        return None;
    }
    let text = match what {
        Measured::Weight => phrases::number_with_unit(text, "kg"),
        _ => text.to_string(),
    };
    wrong.noted(field, measurement(on, what, &text))
}

fn filled<'a>(
    request: &PageRequest<'_>,
    fields: &'a Fields,
    wrong: Wrong,
) -> PageResult<SizePage<'a>> {
    let child = child(request, fields)?;
    Ok(SizePage {
        layout: layout(request, child, "Weight and size"),
        form: ChildForm::listing(request, child, ("size", ChildEntry::Measure), child.born)?,
        fields,
        on: phrases::or_today(request, fields),
        sure: String::new(),
        wrong,
    })
}
