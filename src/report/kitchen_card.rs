//! The kitchen card on paper: one page with what to weigh, the steps in order, the cubes, and what
//! keeps the child safe.

use std::fmt::Write as _;

use askama::Template;
use data_import::NutrientId;

use super::batch::{BatchReport, BatchView};
use super::card::{figure_sources, scaled_line, trays, upper_lines};
use super::kitchen_steps::{Step, cooking_steps, freezing_steps, is_estimated};
use super::number::{amount, decimals, kitchen_mass, percent, unbroken, whole_grams};
use super::objections::{ObjectionLine, objection_lines};
use super::paper::Paper;
use super::sources::Sources;
use crate::cooking::{Method, PracticeTable};
use crate::nutrition::reading::NO_REFERENCE;
use crate::portion::Target;
use crate::quantity::Mass;
use crate::recipe::{Batch, Note, NoteKind, PreparedIngredient};
use crate::safety::{Caution, DEFER, Objection, Severity, Step as Due, Texture};

/// What a card on paper needs beside the batch.
#[derive(Debug)]
pub struct KitchenCard<'a> {
    /// What the batch was scaled to.
    pub target: &'a Target,
    /// The paper.
    pub paper: Paper,
    /// Rules of thumb.
    pub practice: &'a PracticeTable,
    /// Name and version of the program.
    pub program: &'a str,
}

#[derive(Template)]
#[template(path = "card.html")]
struct CardHtml<'a> {
    paper: Paper,
    text_pt: f64,
    title: &'a str,
    scaled: Option<String>,
    makes: String,
    age: u16,
    ingredients: Vec<Row>,
    estimated: bool,
    weighed: bool,
    steps: Vec<Step>,
    serving: String,
    figures: Vec<[String; 4]>,
    missing: Vec<String>,
    for_these_foods: Vec<Said>,
    taking_out: Vec<Said>,
    always: Vec<Said>,
    notes: Vec<String>,
    sources: Vec<(usize, &'a str)>,
    figure_sources: String,
    program: &'a str,
    defer: Vec<&'a str>,
}

/// One thing to weigh out.
struct Row {
    name: String,
    bought: String,
    trimmed: String,
}

/// A sentence and the numbers of its sources.
pub(super) struct Said {
    pub(super) text: String,
    pub(super) sources: Vec<usize>,
}

impl KitchenCard<'_> {
    /// Renders the page: HTML that needs nothing beside it.
    pub fn render(
        &self,
        report: &BatchReport,
        batch: &Batch,
        view: &BatchView<'_>,
    ) -> Result<String, askama::Error> {
        let mut sources = Sources::default();
        let cautions: Vec<&Caution> = view.cautions.all().iter().collect();
        // The texture stands in the step of blending.
        let said = report
            .objections
            .iter()
            .filter(|one| one.hazard != Texture::ID);
        let said: Vec<Objection> = said.cloned().collect();
        let lines = objection_lines(&said).into_iter();
        let objection = |line: ObjectionLine| {
            let sentence = line.sentence();
            // The dash of the list stands before each line already.
            let text = match line.severity {
                Severity::Mind => sentence,
                Severity::Warn | Severity::Block => format!("{} {sentence}", line.sign()),
            };
            Said::new(&text, &line.source, &mut sources)
        };
        let mut about: Vec<Said> = lines.map(objection).collect();
        about.extend(upper_lines(report).into_iter().map(Said::plain));
        let mut steps = cooking_steps(self.practice, (batch, view.texture.as_ref()), &mut sources);
        steps.push(fill(report));
        steps.extend(freezing_steps(self.practice, &cautions, &mut sources));
        let out = [Due::Thaw, Due::Reheat, Due::Serve];
        let taking_out = said_of(&cautions, &out, &mut sources);
        let always = said_of(&cautions, &[Due::Always], &mut sources);
        let mut card = CardHtml {
            paper: self.paper,
            text_pt: text_pt(0),
            title: &report.recipe,
            scaled: scaled_line(self.target, report),
            makes: makes(report),
            age: report.age_months,
            ingredients: batch.prepared.ingredients.iter().map(Row::new).collect(),
            estimated: batch.prepared.ingredients.iter().any(is_estimated),
            weighed: batch.prepared.weighed.is_some(),
            steps,
            serving: serving(report),
            figures: figures(report),
            missing: missing(report),
            for_these_foods: about,
            taking_out,
            always,
            notes: notes(batch),
            sources: sources.iter().collect(),
            figure_sources: figure_sources(report).collect::<Vec<_>>().join("; "),
            program: self.program,
            defer: defer(&cautions),
        };
        card.text_pt = text_pt(card.render()?.len());
        card.render()
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

impl Row {
    fn new(one: &PreparedIngredient) -> Self {
        Self {
            name: one.food.name.clone(),
            bought: unbroken(&kitchen_mass(one.purchased())),
            trimmed: unbroken(&kitchen_mass(one.edible())),
        }
    }
}

impl Said {
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

/// The cautions that are due at these moments, the deferring one left for the end.
fn said_of(cautions: &[&Caution], due: &[Due], sources: &mut Sources) -> Vec<Said> {
    cautions
        .iter()
        .filter(|caution| due.contains(&caution.step) && caution.id != DEFER)
        .map(|caution| Said::new(&caution.text, &caution.source, sources))
        .collect()
}

fn defer<'a>(cautions: &[&'a Caution]) -> Vec<&'a str> {
    let last = cautions.iter().filter(|caution| caution.id == DEFER);
    last.map(|caution| caution.text.as_str()).collect()
}

fn cubes(count: u64) -> String {
    format!("{count} cube{}", if count == 1 { "" } else { "s" })
}

fn makes(report: &BatchReport) -> String {
    let (made, each) = (&report.cubes, decimals(report.cubes.cube_g, 1));
    format!("{} of {each} g", cubes(made.whole))
}

/// How the trays are filled.
fn fill(report: &BatchReport) -> Step {
    let made = &report.cubes;
    let mut text = format!(
        "{}: {} of {} wells, {}\u{a0}ml ({}\u{a0}g) in each, {} full.",
        cubes(made.whole),
        trays(made.whole, made.wells),
        made.wells,
        decimals(made.cube_ml, 1),
        decimals(made.cube_g, 1),
        unbroken(&percent(made.fill * 100.0)),
    );
    if made.leftover_g >= 0.5 {
        let rest = whole_grams(Mass::from_grams(made.leftover_g));
        let _ = write!(text, " {rest} are left over.");
    }
    Step::new("Fill the trays", vec![Said::plain(text)])
}

fn serving(report: &BatchReport) -> String {
    let warmed = if report.serving.reheat {
        ", warmed"
    } else {
        ""
    };
    format!("{}{warmed}", cubes(u64::from(report.serving.cubes)))
}

/// Iron and energy: name, in a cube, in a serving, beside the day's reference.
fn figures(report: &BatchReport) -> Vec<[String; 4]> {
    let none = report.age_band.map_or(NO_REFERENCE, |_| "");
    let row = |id: NutrientId| {
        let figures = report
            .nutrients
            .iter()
            .find(|figures| figures.total.nutrient.id == id)?;
        let nutrient = figures.total.nutrient;
        let bound = if figures.complete { "" } else { ">= " };
        let share = figures.reference.as_ref().and_then(|reference| {
            let share = percent(reference.percent?);
            let (amount, unit, kind) = (reference.amount, figures.unit, reference.kind);
            Some(format!("{bound}{share} of {amount} {unit} ({kind})"))
        });
        Some([
            nutrient.plain.clone(),
            amount(figures.per_cube, figures.complete, nutrient),
            amount(figures.per_serving, figures.complete, nutrient),
            share.unwrap_or_else(|| none.into()),
        ])
    };
    [NutrientId::IRON, NutrientId::ENERGY]
        .into_iter()
        .filter_map(row)
        .collect()
}

/// What is estimated of what the card shows: the note on the nutrients without a retention factor
/// is told only where iron is one of them.
fn notes(batch: &Batch) -> Vec<String> {
    let of_many = |note: &&Note| note.kind == NoteKind::Retention && note.food.is_none();
    let shown = batch.notes.iter().filter(|note| !of_many(note));
    let mut notes: Vec<_> = shown.map(|note| note.text.clone()).collect();
    let mut cooked = batch
        .prepared
        .ingredients
        .iter()
        .filter(|one| one.method != Method::None);
    if cooked.any(|one| one.retention.factor(NutrientId::IRON, 0.0).is_none()) {
        notes.push(
            "no retention factor for iron is published for every ingredient: 100 % is kept".into(),
        );
    }
    notes
}

/// Which foods have no published value for what the card shows.
fn missing(report: &BatchReport) -> Vec<String> {
    let shown = [NutrientId::IRON, NutrientId::ENERGY];
    let lacking = report
        .nutrients
        .iter()
        .filter(|figures| shown.contains(&figures.total.nutrient.id) && !figures.complete);
    lacking
        .map(|figures| {
            let name = |id: &String| {
                let one = report.ingredients.iter().find(|one| one.food == *id);
                one.map_or_else(|| id.clone(), |one| one.name.clone())
            };
            let names: Vec<_> = figures.missing.iter().map(name).collect();
            format!(
                "{}: no published value for {}, so >= is a lower bound.",
                figures.total.nutrient.plain,
                names.join(" and ")
            )
        })
        .collect()
}
