//! Cubes of a batch are thrown away.

use askama::Template;

use super::bowl::CUBES;
use super::phrases;
use crate::household::pick;
use crate::notebook::{BookError, FrozenBatch};
use crate::report::DiscardReport;
use crate::web::wording::in_words;
use crate::web::{Fields, Layout, Notice, PageAnswer, PageError, PageRequest, Reply, Wrong};
use crate::words::{day, joined};

/// The longest reason, in characters.
const LONGEST: usize = 200;

#[derive(Template)]
#[template(path = "web/discard.html")]
struct DiscardPage<'a> {
    layout: Layout,
    batch: &'a FrozenBatch,
    left: u32,
    use_by: String,
    fields: &'a Fields,
    wrong: Wrong,
}

/// Shows the form.
pub(in crate::web) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let (batch, left) = phrases::batch(request)?;
    let first = Fields::of([
        ("cubes", left.to_string()),
        ("on", request.today.to_string()),
    ]);
    Reply::page(&filled(request, &batch, left, &first, Wrong::default()))
}

/// Records that cubes were thrown away.
pub(in crate::web) fn record(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let (batch, left) = phrases::batch(request)?;
    let mut wrong = Wrong::default();
    let pick = phrases::pick_of(&batch, left, fields.text("cubes"), &mut wrong);
    let on = phrases::on(request, fields, None, &mut wrong);
    let why = phrases::short(fields, "why", LONGEST, &mut wrong);
    if let (Some(pick), Some(on), Some(why)) = (pick, on, why) {
        let mut store = request.store()?;
        let thrown = store.discard(on, &pick, why);
        if let Some(thrown) = wrong.take("cubes", thrown)? {
            let currency = &request.book.settings.currency;
            let report = DiscardReport::new(
                on,
                &thrown,
                currency,
                left.saturating_sub(pick.cubes.taken()),
            );
            let notice = Notice {
                entry: store.last_number()?,
                ..Notice::of(joined(report.sentences(), " "))
            };
            return Ok(Reply::Done("/freezer".into(), notice));
        }
    }
    Reply::wrong(&filled(request, &batch, left, fields, wrong))
}

/// Records that all cubes past their last day were thrown away, as the page showed them: one entry,
/// undone as one.
pub(in crate::web) fn record_past(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut store = request.store()?;
    let mut picks = Vec::new();
    for (batch, cubes) in fields.beginning(CUBES) {
        picks.push(pick(&format!("{cubes} #{batch}"))?);
        let id: i64 = batch.parse().map_err(|_| PageError::NotFound)?;
        let past = store
            .batch(id)?
            .is_some_and(|batch| batch.use_by < request.today);
        if !past {
            return Err(PageError::NotFound);
        }
    }
    if picks.is_empty() {
        return Err(PageError::NotFound);
    }
    let notice = match store.discard_all(request.today, &picks, "past the last day") {
        Ok(thrown) => {
            let currency = &request.book.settings.currency;
            let report = DiscardReport::new(request.today, &thrown, currency, 0);
            Notice {
                entry: store.last_number()?,
                ..Notice::of(joined(report.sentences(), " "))
            }
        }
        Err(BookError::Problems(problems)) => Notice {
            more: problems.iter().map(in_words).collect(),
            ..Notice::of("Nothing was thrown away: the freezer is not as it was shown.")
        },
        Err(error) => return Err(error.into()),
    };
    Ok(Reply::Done("/freezer".into(), notice))
}

fn filled<'a>(
    request: &PageRequest<'_>,
    batch: &'a FrozenBatch,
    left: u32,
    fields: &'a Fields,
    wrong: Wrong,
) -> DiscardPage<'a> {
    DiscardPage {
        layout: Layout::of(request, format!("Throw away {}", batch.title), "/freezer"),
        batch,
        left,
        use_by: day(batch.use_by),
        fields,
        wrong,
    }
}
