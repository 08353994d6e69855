//! A batch as text: the answer, and behind it on demand the evidence, from the scale to the spoon.

use jiff::civil::Date;

use super::batch::{BatchReport, BatchView};
use super::batch_figures::Figures;
use super::food_facts::LackEntry;
use super::number::{decimals, percent};
use super::objections::objection_list;
use super::sources::Sources;
use super::text::{Look, Page, bar};
use crate::next_step::{NextStep, Remark};
use crate::nutrition::reading::{FREEZER, IRON_RDA, RDA_AND_AI};
use crate::portion::Target;
use crate::recipe::Batch;
use crate::words::joined;

const MISSING: &str = "MISSING: no published value, so the total is a lower bound (>=)";

/// How the ranges are to be read; the share of newer analyses is the median of 118 foods of SR28
/// beside Foundation Foods of 2024.
const RANGES: &str = "In brackets: where it most likely lies, in this pot, eight times in ten. Newer analyses mostly found less \
     iron than the table says (0.80 to 0.91 of it in the median of 118 foods), so look at the low end.";

const LACKS: &str = "WHAT IT LACKS, and what brings it";

/// The options of the text rendering of a batch.
#[derive(Debug)]
pub struct Card<'a> {
    /// The target to which the batch was scaled.
    pub target: &'a Target,
    /// Whether the evidence is shown: every estimate, caution and source.
    pub why: bool,
    /// Whether every nutrient is shown, or the dozen that is looked at first.
    pub all: bool,
    /// The last day of the cubes, where the book says how long they keep.
    pub use_by: Option<Date>,
    /// The layout options of the text.
    pub look: Look,
    /// The warnings of the book about cooking this batch now.
    pub warnings: &'a [String],
}

impl Card<'_> {
    /// Renders the answer, and the evidence where it is asked for.
    pub fn render(&self, report: &BatchReport, batch: &Batch, view: &BatchView<'_>) -> String {
        let mut page = Page::new(self.look);
        if self.why {
            self.evidence(&mut page, report, batch, view);
            return page.finish();
        }
        self.answer(&mut page, report, batch, view);
        if self.all {
            self.nutrients(&mut page, report);
            page.listed(MISSING, report.missing_lines());
        }
        page.finish()
    }

    fn evidence(&self, page: &mut Page, report: &BatchReport, batch: &Batch, view: &BatchView<'_>) {
        page.heading(&report.recipe);
        if let Some(line) = report.scaled(self.target) {
            page.line(&line);
        }
        if !report.objections.is_empty() || !self.warnings.is_empty() {
            page.heading("BEFORE YOU COOK");
            objection_list(page, &report.objections);
            page.warnings(self.warnings.iter().cloned());
        }
        weigh_out(page, report, batch, view);
        makes(page, report, view);
        self.nutrients(page, report);
        page.listed(MISSING, report.missing_lines());
        page.listed(
            LACKS,
            report.lacks.iter().flatten().map(LackEntry::in_words),
        );
        let notes = report.notes.iter().map(|note| note.text.clone());
        page.listed("ESTIMATED OR ASSUMED", notes);
        cautions(page, report);
        page.line("");
        page.paragraph(report.defer());
    }

    fn nutrients(&self, page: &mut Page, report: &BatchReport) {
        let months = report.age_months;
        page.heading(&format!("WHAT IS IN IT, for a child of {months} months"));
        let chosen = report.chosen(self.all);
        let row = |one: &&Figures| {
            let drawing = one.known_share().map(|share| bar(self.look, share));
            let cells = report.nutrient_row(one).into_iter();
            cells.chain([drawing.unwrap_or_default()])
        };
        let serving = report.served();
        let header = ["", "a cube", &serving, "of a day's", ""];
        page.table(header, chosen.iter().map(row), &[1, 2]);
        page.line("");
        match report.no_reference {
            Some(why) => page.paragraph(why),
            None => page.paragraph(&format!("{RDA_AND_AI} {IRON_RDA}")),
        }
        page.paragraph(FREEZER);
        page.paragraph(RANGES);
        page.paragraphs(report.iron_doubt());
        page.paragraphs(measured_line(&chosen));
        let above = report.above_upper().into_iter();
        page.paragraphs(above.map(|line| format!("! {line}")));
    }
}

/// The part of the card with the masses to weigh out, the cooking methods and the cooking liquid.
fn weigh_out(page: &mut Page, report: &BatchReport, batch: &Batch, view: &BatchView<'_>) {
    page.heading("WEIGH OUT AND COOK");
    let ingredients = report.ingredients.iter().zip(&batch.prepared.ingredients);
    let rows = ingredients.map(|(one, prepared)| {
        let practice = &view.tables.practice;
        let how = prepared.practice(practice);
        let how = how.map_or(String::new(), |practice| format!(", {}", practice.text));
        let [bought, trimmed, cooked] = one.masses();
        [
            one.name.clone(),
            bought,
            trimmed,
            format!("{}{how}", one.cook()),
            cooked,
        ]
    });
    let header = ["", "as bought", "trimmed", "cook", "then about"];
    page.table(header, rows, &[1, 2, 4]);
    page.line("");
    page.paragraph(&report.liquid_line);
    if !report.puree_weighed {
        let weigh =
            "~ is an estimate. Weigh the blended purée, less the bowl: that replaces every ~ here";
        page.remark(Remark::with(weigh, NextStep::WeighPuree));
    }
}

fn makes(page: &mut Page, report: &BatchReport, view: &BatchView<'_>) {
    page.heading("MAKES");
    let left = report.left_over();
    let left = left.map_or_else(String::new, |rest| format!(", and {rest} left over"));
    page.paragraph(&format!(
        "{}{left}: {} g of purée, {} g per ml.",
        report.makes(),
        decimals(report.mass.puree.grams(), 0),
        decimals(report.density_g_per_ml, 2),
    ));
    page.paragraph(&format!(
        "{}, {} ml each, filled to {}.",
        report.wells(),
        decimals(view.tray.well.millilitres(), 1),
        percent(report.cubes.fill * 100.0),
    ));
    if let Some(cost) = &report.cost {
        page.remark(cost.remark.clone());
    }
    if let Some(density) = &report.density {
        page.paragraph(&density.sentence());
    }
}

/// The share of each amount that rests on measured values; `None` where no dataset names the source of its values.
fn measured_line(chosen: &[&Figures]) -> Option<String> {
    let shares = chosen.iter().filter_map(|one| {
        let share = decimals(one.measured_percent?, 0);
        Some(format!("{} {share}", one.total.nutrient.plain))
    });
    let shares = joined(shares, ", ");
    (!shares.is_empty()).then(|| {
        format!(
            "Of each amount so many percent rest on values that were measured, the rest on \
             calculated or assumed ones: {shares}."
        )
    })
}

fn cautions(page: &mut Page, report: &BatchReport) {
    let mut sources = Sources::default();
    page.heading("CAUTIONS");
    let line =
        |one: &crate::safety::Caution| format!("{} [{}]", one.text, sources.number(&one.source));
    let lines: Vec<_> = report.cautions().map(line).collect();
    page.list(lines);
    for objection in &report.objections {
        sources.number(&objection.source);
    }
    page.heading("SOURCES");
    let numbered = sources.iter();
    let numbered = numbered.map(|(number, source)| [format!("[{number}]"), source.to_string()]);
    let figures = report.figure_sources().into_iter();
    let figures = figures.chain([(page.look().step)(&NextStep::SeeSources)]);
    page.rows(
        numbered.chain(figures.map(|source| ["-".into(), source])),
        &[],
    );
}
