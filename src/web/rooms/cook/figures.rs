//! The figures of a batch, as a part of a page or fetched alone.

use askama::Template;

use super::Pot;
use crate::household::{BookJudge, FoodView, batch_preview, calculated, puree_complements};
use crate::recipe::Recipe;
use crate::report::{BatchReport, BatchTables, BatchView, ObjectionLine, Priced, objection_lines};
use crate::web::objections::{gravest_stop, read_on};
use crate::web::rooms::phrases;
use crate::web::wording::in_words;
use crate::web::{PageAnswer, PageRequest, PageResult, Reply, Wrong};
use crate::words::capital;

/// The figures of a batch.
#[derive(Template)]
#[template(path = "web/figures.html")]
pub(super) struct BatchFigures<'a> {
    tried: Option<Tried>,
    wrong: &'a Wrong,
    /// The answer in short, for the bar that stays in sight.
    pub(super) result: String,
}

/// The answer in short: cubes and trays, iron and energy of a serving, and the cost.
#[derive(Template)]
#[template(path = "web/result.html")]
struct ResultPart<'a> {
    tried: &'a Option<Tried>,
    wrong: &'a Wrong,
}

/// A calculated batch with its objections and warnings.
pub(super) struct Tried {
    report: BatchReport,
    pub(super) objections: Vec<ObjectionLine>,
    /// The same, for the answer in short and for the voice, wherever the page shows them.
    said: Vec<ObjectionLine>,
    warnings: Vec<String>,
}

/// Calculates a recipe in a pot. `name` is that of its file; empty for none.
///
/// Mistakes in the tray and its number are noted; mistakes in the recipe are
/// [`PageError::Problems`].
pub(super) fn tried(
    request: &PageRequest<'_>,
    (name, recipe): (&str, &Recipe),
    pot: &Pot,
    wrong: &mut Wrong,
) -> PageResult<Option<Tried>> {
    let Some((tray, target)) = pot.measures(wrong) else {
        return Ok(None);
    };
    let pantry = request.state.pantry(&request.place)?;
    let batch = calculated(recipe, &target, &tray, &pantry)?;
    let store = request.record()?;
    let when = (request.today, recipe.freezer.days);
    let before = batch_preview(&request.book, store, name, &batch, &tray, when)?;
    let judge = BookJudge::new(&request.book.settings, Some(store), &pantry)?;
    let objections = judge.batch(&batch, &tray, request.today, None)?;
    let lacks = puree_complements(
        &batch,
        &FoodView {
            pantry: &pantry,
            book: Some(&request.book),
            store: Some(store),
            day: request.today,
            age: phrases::age(request),
        },
    )?;
    let view = BatchView {
        tray: &tray,
        age: phrases::age(request),
        energy: None,
        cost: Some(Priced {
            currency: &request.book.settings.currency,
            beside: before.beside,
            usual: before.usual,
        }),
        objections: &objections,
        lacks: Some(&lacks),
        tables: &BatchTables::builtin()?,
    };
    let lines = objection_lines(&objections);
    let warnings = before.warnings.iter().map(|words| capital(words) + ".");
    let of_labels = pantry.warnings(batch.foods().map(|food| &food.id));
    Ok(Some(Tried {
        report: BatchReport::new(&batch, &view),
        said: lines.clone(),
        objections: lines,
        warnings: warnings.chain(of_labels.iter().map(in_words)).collect(),
    }))
}

/// Takes the objections out of a batch, for a page that shows them above the form.
pub(super) fn take_objections(tried: &mut Option<Tried>) -> Vec<ObjectionLine> {
    let tried = tried.as_mut();
    tried.map_or_else(Vec::new, |tried| std::mem::take(&mut tried.objections))
}

impl Tried {
    /// The gravest objection, where it stops the batch, and the first sentence of its reason.
    fn stop(&self) -> Option<(&ObjectionLine, &str)> {
        gravest_stop(&self.said)
    }

    /// The link to all objections.
    fn read_on(&self) -> String {
        read_on(&self.said)
    }
}

impl<'a> BatchFigures<'a> {
    /// The figures of what was tried, or the mistakes.
    pub(super) fn new(tried: Option<Tried>, wrong: &'a Wrong) -> PageResult<Self> {
        let result = ResultPart {
            tried: &tried,
            wrong,
        };
        let result = result.render()?;
        Ok(Self {
            tried,
            wrong,
            result,
        })
    }

    /// The answer with the figures alone, for a page that is open.
    pub(super) fn alone(&self) -> PageAnswer {
        Reply::checked(self, self.wrong.is_empty())
    }
}
