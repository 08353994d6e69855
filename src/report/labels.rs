//! Labels for the freezer as a page to print: one sheet of stickers after the other.

use std::collections::BTreeSet;

use askama::Template;
use jiff::civil::Date;

use super::label_sheet::{BAR_FOOT_MM, BAR_HEIGHT_MM, LINE_HEIGHT, LabelSheet, SAFE_MM};
use super::number::{decimals, trimmed};
use crate::notebook::FrozenBatch;
use crate::quantity::Mass;
use crate::safety::Objection;
use crate::words::{counted, day};

/// The content of a batch's label.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// Number of the batch.
    pub batch: i64,
    /// Title of the recipe.
    pub title: String,
    /// The day it was made.
    pub made: Date,
    /// The last day it is to be eaten.
    pub use_by: Date,
    /// Cubes that went into the freezer.
    pub cubes: u32,
    /// The mass of one cube.
    pub cube: Mass,
    /// The major allergens that the names of its foods give away.
    pub allergens: Vec<String>,
    /// The children who may not have it.
    pub not_for: Vec<String>,
}

impl Label {
    /// The label of a batch, with the major allergens in the names of its foods, and the children
    /// for whom an objection stops it.
    pub fn new(batch: FrozenBatch, allergens: Vec<String>, objections: &[Objection]) -> Self {
        let stopped = objections.iter().filter(|objection| objection.is_block());
        let stopped = stopped.map(|objection| &objection.child);
        let mut seen = BTreeSet::new();
        let not_for = stopped.filter(|child| !child.is_empty() && seen.insert(*child));
        Self {
            batch: batch.id,
            title: batch.title,
            made: batch.day,
            use_by: batch.use_by,
            cubes: batch.cubes,
            cube: batch.cube,
            allergens,
            not_for: not_for.cloned().collect(),
        }
    }
}

/// The labels to print, and the sheet they are printed on.
#[derive(Debug)]
pub struct LabelPages<'a> {
    /// The labels, in order.
    pub labels: &'a [Label],
    /// The sheet of stickers.
    pub sheet: &'a LabelSheet,
    /// The first free label of the first sheet, counted from 1, row by row.
    pub start: u32,
    /// Whether a page for plain paper comes first: outlines and numbers of all labels.
    pub test_page: bool,
}

#[derive(Template)]
#[template(path = "labels.html")]
struct LabelsHtml<'a> {
    sheet: &'a LabelSheet,
    text_pt: f64,
    line_height: f64,
    title_pt: f64,
    title_lines: u8,
    number_pt: f64,
    safe_mm: f64,
    bar_top_mm: f64,
    positions: Vec<LabelPosition>,
    test_page: bool,
    pages: Vec<Vec<(u32, LabelText<'a>)>>,
}

/// The place of a label on the sheet: its number, and its top left corner.
struct LabelPosition {
    number: u32,
    left_mm: String,
    top_mm: String,
}

/// The text of a label.
struct LabelText<'a> {
    batch: i64,
    title: &'a str,
    made: String,
    use_by: String,
    cubes: String,
    each: String,
    allergens: String,
    not_for: String,
}

impl LabelPages<'_> {
    /// Sheets that are printed, the test page not counted.
    pub fn sheets(&self) -> usize {
        self.pages().len()
    }

    /// Renders the page: HTML that needs nothing beside it.
    pub fn render(&self) -> Result<String, askama::Error> {
        let text_pt = self.sheet.text_pt();
        let positions = (1..=self.sheet.labels()).map(|position| {
            let (left, top) = self.sheet.corner_mm(position);
            LabelPosition {
                number: position,
                left_mm: millimetres(left),
                top_mm: millimetres(top),
            }
        });
        LabelsHtml {
            sheet: self.sheet,
            text_pt,
            line_height: LINE_HEIGHT,
            title_pt: self.sheet.title_pt(),
            title_lines: self.sheet.title_lines(),
            number_pt: text_pt * 2.0,
            safe_mm: SAFE_MM,
            bar_top_mm: self.sheet.page.height_mm() - BAR_FOOT_MM - BAR_HEIGHT_MM,
            positions: positions.collect(),
            test_page: self.test_page,
            pages: self.pages(),
        }
        .render()
    }

    /// The labels of each sheet with their positions.
    fn pages(&self) -> Vec<Vec<(u32, LabelText<'_>)>> {
        let on_a_sheet = self.sheet.labels();
        let mut pages = Vec::new();
        let mut position = self.start.clamp(1, on_a_sheet);
        for label in self.labels {
            if pages.is_empty() || position > on_a_sheet {
                position = if pages.is_empty() { position } else { 1 };
                pages.push(Vec::new());
            }
            if let Some(page) = pages.last_mut() {
                page.push((position, LabelText::new(label)));
            }
            position += 1;
        }
        pages
    }
}

impl<'a> LabelText<'a> {
    fn new(label: &'a Label) -> Self {
        Self {
            batch: label.batch,
            title: &label.title,
            made: day(label.made),
            use_by: day(label.use_by),
            cubes: counted(label.cubes, "cube"),
            each: format!("{} g each", decimals(label.cube.grams(), 1)),
            allergens: match label.allergens.as_slice() {
                [] => "none found by name".into(),
                some => some.join(", "),
            },
            not_for: label.not_for.join(", "),
        }
    }
}

/// A length for CSS, exact to the micrometre.
fn millimetres(length: f64) -> String {
    trimmed(length, 3)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_keep_what_matters() {
        assert_eq!(millimetres(106.3625), "106.362");
        assert_eq!(millimetres(12.7), "12.7");
        assert_eq!(millimetres(40.0), "40");
    }
}
