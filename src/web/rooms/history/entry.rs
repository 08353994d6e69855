//! One entry: the form by which it is corrected, and a reaction that was seen after a meal.

use askama::Template;

use crate::household::{self, reaction_response};
use crate::notebook::{Correction, EntryDetail, LaterReaction, LogEntry};
use crate::portion::MOST_CUBES_OF_A_BATCH;
use crate::report::{entry_words, heading};
use crate::safety::Objection;
use crate::spoken::Lookup as _;
use crate::web::objections::is_meant;
use crate::web::rooms::phrases::{self, SelectOption};
use crate::web::stopped::stopped;
use crate::web::{
    Fields, Layout, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply, ShownObjections,
    Wrong,
};
use crate::words::sentence;

use super::{HERE, values};

/// The value of the button that corrects a meal but not how it went.
const AS_IT_WAS: &str = "as it was";

#[derive(Template)]
#[template(path = "web/entry.html")]
struct EntryPage {
    layout: Layout,
    number: i64,
    heading: String,
    words: String,
    on: String,
    children: Vec<SelectOption>,
    meals: Vec<SelectOption>,
    /// Whether it is a meal.
    meal: bool,
    /// Cubes of a batch, a price, words.
    field: Option<values::EntryField>,
    seen: String,
    wrong: Wrong,
}

/// Whether entries of a kind have a form.
pub(super) fn has_form(kind: &str) -> bool {
    const KINDS: &str = "\
        meal batch purchase discard question answer note reaction milk weight measure \
        supplement texture";
    KINDS.split(' ').any(|one| one == kind)
}

/// Shows the form of an entry.
pub(super) fn show(request: &PageRequest<'_>) -> PageAnswer {
    let entry = entry(request)?;
    Reply::page(&filled(request, &entry, None, Wrong::default()))
}

/// The entry in the address, as it is now.
fn entry(request: &PageRequest<'_>) -> PageResult<LogEntry> {
    let number: i64 = request.part("entry")?;
    let entry = request.record()?.entry(number)?;
    entry
        .filter(|entry| has_form(entry.kind))
        .ok_or(PageError::NotFound)
}

/// Corrects the entry.
pub(super) fn correct(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let entry = entry(request)?;
    // The form names the version that it showed, so that no version is corrected unseen.
    let number: i64 = fields.parsed("number")?;
    let mut wrong = Wrong::default();
    let correction = correction(request, &entry, fields, &mut wrong)?;
    if let (Some(correction), true) = (correction, wrong.is_empty()) {
        let mut store = request.store()?;
        let pantry = request.foods()?;
        let corrected = household::correct(
            (&request.book, &mut store),
            &pantry,
            (number, &correction),
            request.today,
            |found: &[Objection]| is_meant(fields, found),
        );
        if let Some(judged) = wrong.take("on", corrected)? {
            let Some(change) = judged.recorded else {
                let action = format!("{HERE}/{}", entry.number);
                return stopped(request, &judged.objections, fields, (&action, HERE));
            };
            let (now, currency) = (&change.corrected.now, &request.book.settings.currency);
            let words = format!(
                "Corrected: {}, {}",
                heading(now),
                entry_words(now, currency)
            );
            let notice = Notice {
                more: change.follows.iter().map(|words| sentence(words)).collect(),
                shown: ShownObjections::of(&judged.objections, &[]),
                entry: Some(now.number),
                ..Notice::of(sentence(&words))
            };
            let notice = match &now.detail {
                EntryDetail::Note { words, .. } | EntryDetail::Question { words } => {
                    notice.heeding(words)
                }
                _ => notice,
            };
            return Ok(Reply::Done(HERE.into(), notice));
        }
    }
    Reply::wrong(&filled(request, &entry, Some(fields), wrong))
}

/// The form of a reaction to a meal that was taken back while it was written.
#[derive(Template)]
#[template(path = "web/meal-gone.html")]
struct MealGonePage<'a> {
    layout: Layout,
    number: i64,
    seen: &'a str,
    on: String,
    wrong: Wrong,
}

/// The form again, so that no word of the parent is lost.
fn meal_gone(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let mut wrong = Wrong::default();
    let seen = phrases::seen(fields, &mut wrong).unwrap_or_default();
    if seen.is_empty() {
        return Err(PageError::NotFound);
    }
    let what = "The meal was taken back. Put it back in the history, then write this down here; or write it down with another meal.";
    wrong.say("seen", what);
    Reply::wrong(&MealGonePage {
        layout: Layout::of(request, "Seen after a meal", HERE),
        number: request.part("entry")?,
        seen,
        on: phrases::or_today(request, fields),
        wrong,
    })
}

/// Records a reaction that was seen after a meal.
pub(super) fn seen(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let entry = match entry(request) {
        Err(PageError::NotFound) => return meal_gone(request, fields),
        entry => entry?,
    };
    let mut wrong = Wrong::default();
    let on = phrases::on(
        request,
        fields,
        request.book.child(&entry.child),
        &mut wrong,
    );
    let words = phrases::seen(fields, &mut wrong);
    if words.is_some_and(str::is_empty) {
        wrong.say("seen", "Say what you saw.");
    }
    if let (Some(day), Some(words), true) = (on, words, wrong.is_empty()) {
        let reaction = LaterReaction {
            day,
            meal: entry.target,
            words,
        };
        let mut store = request.store()?;
        if let Some(id) = wrong.take("seen", store.react(&reaction))? {
            let child = request.book.named_child(Some(&entry.child))?;
            let pantry = request.foods()?;
            let found = reaction_response((&request.book, &store), &pantry, child, (day, words))?;
            let notice = Notice {
                shown: ShownObjections::of(&found, &[]),
                entry: Some(id),
                ..Notice::of(sentence(&format!("Written down: {words}")))
            };
            return Ok(Reply::Done(HERE.into(), notice));
        }
    }
    Reply::wrong(&filled(request, &entry, Some(fields), wrong))
}

/// The correction: the fields whose values differ from the entry; `None` after a mistake.
fn correction(
    request: &PageRequest<'_>,
    entry: &LogEntry,
    fields: &Fields,
    wrong: &mut Wrong,
) -> PageResult<Option<Correction>> {
    let Some(day) = phrases::on(request, fields, request.book.child(&entry.child), wrong) else {
        return Ok(None);
    };
    let mut correction = Correction {
        day: Some(day).filter(|day| *day != entry.day),
        ..Correction::default()
    };
    let words = fields.text("words");
    match &entry.detail {
        EntryDetail::Meal {
            meal, how, share, ..
        } => {
            let child = Some(fields.text("child")).filter(|child| !child.is_empty());
            let child = child
                .filter(|child| *child != entry.child)
                .map(String::from);
            correction.child = child;
            let other = fields.text("meal");
            correction.meal = (other != meal).then(|| other.to_string());
            // One button corrects the rest alone.
            if fields.text("how") != AS_IT_WAS {
                let Some(went) = phrases::went(fields, wrong) else {
                    return Ok(None);
                };
                if (went.how, went.share) != (*how, *share) {
                    correction.how = Some(went.how);
                    correction.share = went.share;
                }
            }
        }
        EntryDetail::Batch { cubes, .. } => match words.parse::<u32>() {
            Ok(counted @ 1..=MOST_CUBES_OF_A_BATCH) => {
                correction.cubes = Some(counted).filter(|counted| counted != cubes);
            }
            _ => {
                let range =
                    format!("Say how many cubes: a whole number, 1 to {MOST_CUBES_OF_A_BATCH}.");
                wrong.say("words", range);
            }
        },
        EntryDetail::Purchase { price, .. } => match words.parse() {
            Ok(paid) => correction.price = Some(paid).filter(|paid| Some(*paid) != *price),
            Err(_) => wrong.say("words", "Write the price, such as 3.49."),
        },
        // The stage itself has no field: another stage is a new entry.
        EntryDetail::Texture { .. } => {}
        EntryDetail::Measure { .. } | EntryDetail::Supplement { .. } | EntryDetail::Milk { .. }
            if values::is_shown(entry, words) => {}
        EntryDetail::Measure { what, .. } => {
            correction.value = values::measure((what, day), words, wrong);
        }
        EntryDetail::Supplement { nutrient, .. } => {
            correction.value = values::dose_of(*nutrient, words, wrong)?;
        }
        EntryDetail::Milk { .. } => correction.milk = values::milks(request, words, wrong)?,
        _ => correction.words = Some(words.to_string()),
    }
    Ok(Some(correction))
}

fn filled(
    request: &PageRequest<'_>,
    entry: &LogEntry,
    sent: Option<&Fields>,
    wrong: Wrong,
) -> EntryPage {
    let settings = &request.book.settings;
    let value = |name: &str, now: String| sent.map_or(now, |fields| fields.text(name).to_string());
    let (mut meals, mut children) = (Vec::new(), Vec::new());
    if let EntryDetail::Meal { meal, .. } = &entry.detail {
        children = phrases::children(settings, &value("child", entry.child.clone()));
        meals = phrases::meals(settings, &value("meal", meal.clone()));
    }
    EntryPage {
        layout: Layout::of(request, "Correct an entry", HERE),
        number: entry.number,
        heading: heading(entry),
        words: entry_words(entry, &settings.currency),
        on: value("on", entry.day.to_string()),
        children,
        meals,
        meal: matches!(entry.detail, EntryDetail::Meal { .. }),
        field: values::field(entry).map(|field| values::EntryField {
            value: value("words", field.value),
            ..field
        }),
        seen: value("seen", String::new()),
        wrong,
    }
}
