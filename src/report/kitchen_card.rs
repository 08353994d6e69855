//! The kitchen card on paper: one page with what to weigh, the steps in order, the cubes, and what
//! keeps the child safe.

use std::fmt::Write as _;

use askama::Template;
use data_import::{Error, NutrientId};

use super::batch::{BatchReport, BatchView};
use super::batch_figures::Figures;
use super::kitchen_steps::{CardStep, cooking_steps, freezing_steps};
use super::number::{decimals, percent, unbroken};
use super::objections::{ObjectionLine, objection_lines};
use super::paper::Paper;
use super::sources::Sources;
use crate::cooking::Method;
use crate::nutrition::reading::NO_REFERENCE;
use crate::portion::Target;
use crate::recipe::{Batch, BatchNote, NoteKind, PreparedIngredient};
use crate::safety::{Caution, Objection, Severity, Step, Texture};

/// The inputs of a printed kitchen card.
#[derive(Debug)]
pub struct KitchenCard<'a> {
    /// The target to which the batch was scaled.
    pub target: &'a Target,
    /// The paper.
    pub paper: Paper,
    /// Name and version of the program.
    pub program: &'a str,
}

#[derive(Template)]
#[template(path = "card.html")]
struct CardHtml<'a> {
    paper: Paper,
    text_pt: f64,
    report: &'a BatchReport,
    scaled: Option<String>,
    steps: Vec<CardStep>,
    figures: Vec<&'a Figures>,
    missing: Vec<String>,
    for_these_foods: Vec<SourcedLine>,
    taking_out: Vec<SourcedLine>,
    always: Vec<SourcedLine>,
    notes: Vec<String>,
    sources: Vec<(usize, &'a str)>,
    program: &'a str,
}

/// A sentence and the numbers of its sources.
pub(super) struct SourcedLine {
    pub(super) text: String,
    pub(super) sources: Vec<usize>,
}

/// The errors that prevent a card.
#[derive(Debug, thiserror::Error)]
pub enum NoCard {
    /// A built-in table cannot be read.
    #[error(transparent)]
    Table(#[from] Error),
    /// The page cannot be put together.
    #[error(transparent)]
    Page(#[from] askama::Error),
}

impl KitchenCard<'_> {
    /// Renders the page: HTML that needs nothing beside it.
    pub fn render(
        &self,
        report: &BatchReport,
        batch: &Batch,
        view: &BatchView<'_>,
    ) -> Result<String, NoCard> {
        let mut sources = Sources::default();
        // The texture is stated in the step of blending.
        let shown = report.objections.iter();
        let shown = shown.filter(|one| one.hazard != Texture::ID).cloned();
        let shown: Vec<Objection> = shown.collect();
        let lines = objection_lines(&shown).into_iter();
        let objection = |line: ObjectionLine| {
            let sentence = line.sentence();
            // Each line of the list has a dash already.
            let text = match line.severity {
                Severity::Mind => sentence,
                Severity::Warn | Severity::Block => format!("{} {sentence}", line.sign()),
            };
            SourcedLine::new(&text, &line.source, &mut sources)
        };
        let mut about: Vec<SourcedLine> = lines.map(objection).collect();
        let above = report.above_upper().into_iter();
        about.extend(above.map(|line| SourcedLine::plain(format!("! {line}"))));
        let practice = &view.tables.practice;
        let texture = Texture::at(view.age)?;
        let mut steps = cooking_steps(practice, (batch, texture.as_ref()), &mut sources);
        steps.push(fill(report));
        steps.extend(freezing_steps(practice, &report.cautions, &mut sources));
        let mut due = |due: &[Step]| -> Vec<SourcedLine> {
            let due = report.cautions().filter(|one| due.contains(&one.step));
            due.map(|one: &Caution| SourcedLine::new(&one.text, &one.source, &mut sources))
                .collect()
        };
        let taking_out = due(&[Step::Thaw, Step::Reheat, Step::Serve]);
        let always = due(&[Step::Always]);
        let figures = [NutrientId::IRON, NutrientId::ENERGY];
        let figures: Vec<_> = figures
            .iter()
            .filter_map(|id| report.figures(*id))
            .collect();
        let mut card = CardHtml {
            paper: self.paper,
            text_pt: text_pt(0),
            report,
            scaled: report.scaled(self.target),
            steps,
            missing: missing(report, &figures),
            figures,
            for_these_foods: about,
            taking_out,
            always,
            notes: notes(batch),
            sources: sources.iter().collect(),
            program: self.program,
        };
        card.text_pt = text_pt(card.render()?.len());
        Ok(card.render()?)
    }
}

/// Size of the text in points for a page of so many bytes, so that a usual recipe stays on one
/// sheet: measured in print with four to nine ingredients, on Letter and A4. What is longer still
/// runs on to a second sheet rather than become too small to read.
fn text_pt(bytes: usize) -> f64 {
    match bytes {
        ..9_300 => 9.5,
        9_300..9_600 => 9.0,
        9_600..10_500 => 8.5,
        _ => 8.2,
    }
}

impl SourcedLine {
    pub(super) fn new(text: &str, source: &str, sources: &mut Sources) -> Self {
        Self {
            text: text.to_string(),
            sources: vec![sources.number(source)],
        }
    }

    pub(super) fn plain(text: String) -> Self {
        Self {
            text,
            sources: Vec::new(),
        }
    }
}

/// The step that fills the trays.
fn fill(report: &BatchReport) -> CardStep {
    let made = &report.cubes;
    let mut text = format!(
        "{}: {}, {}\u{a0}ml ({}\u{a0}g) in each, {} full.",
        report.cubes_made(),
        report.wells(),
        decimals(made.cube_ml, 1),
        decimals(made.cube_g, 1),
        unbroken(&percent(made.fill * 100.0)),
    );
    if let Some(rest) = report.left_over() {
        let _ = write!(text, " {rest} are left over.");
    }
    CardStep::new("Fill the trays", vec![SourcedLine::plain(text)])
}

/// The notes on estimates among the figures of the card. A cooked mass that is one has its mark
/// where it stands; the note on nutrients without a retention factor appears only where iron is one
/// of them.
fn notes(batch: &Batch) -> Vec<String> {
    let of_many = |note: &BatchNote| note.kind == NoteKind::Retention && note.food.is_none();
    let shown = batch.notes.iter();
    let shown = shown.filter(|note| !of_many(note) && note.kind != NoteKind::Yield);
    let mut notes: Vec<_> = shown.map(|note| note.text.clone()).collect();
    let lacks_iron = |one: &PreparedIngredient| {
        let kept = one.preparation.retention.factor(NutrientId::IRON, 0.0);
        one.method != Method::None && kept.is_none()
    };
    if batch.prepared.ingredients.iter().any(lacks_iron) {
        notes.push(
            "no retention factor for iron is published for every ingredient: 100 % is kept".into(),
        );
    }
    notes
}

/// The sentences that name foods without a published value for a nutrient of the card.
fn missing(report: &BatchReport, figures: &[&Figures]) -> Vec<String> {
    let lacking = figures.iter().filter(|one| !one.complete);
    let line = |one: &&Figures| {
        let (name, foods) = (&one.total.nutrient.plain, report.named(&one.missing));
        format!("{name}: no published value for {foods}, so >= is a lower bound.")
    };
    lacking.map(line).collect()
}
