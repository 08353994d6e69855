//! Sheets of stickers: the table `label-sheets.csv`, and where on the paper each label lies.

use data_import::{Error, reference};
use serde::Deserialize;

use super::paper::Paper;

/// The margin inside the edge of a label that stays unprinted, in millimetres: printers are not exact.
pub(super) const SAFE_MM: f64 = 1.5;
/// The distance from the bottom edge of the paper to the foot of the calibration bar, in millimetres: most printers
/// reach it (common practice, no source).
pub(super) const BAR_FOOT_MM: f64 = 6.5;
/// The height of the calibration bar and its caption above its foot, in millimetres.
pub(super) const BAR_HEIGHT_MM: f64 = 3.5;
/// The length of a typographic point in millimetres.
const MM_PER_POINT: f64 = 25.4 / 72.0;
/// The line height as a multiple of the size of the text.
pub(super) const LINE_HEIGHT: f64 = 1.1;
/// The width of a letter as a share of the size of the text, on the safe side for a sans serif (judgement).
const LETTER_WIDTH: f64 = 0.5;
/// The letters of "Allergens:" and the nine major allergens of US law.
const NINE_ALLERGENS: f64 = 73.0;

/// The geometry of one sheet, every length in millimetres.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct LabelSheet {
    /// Paper and grid, such as `letter-3x10`.
    pub name: String,
    /// The paper.
    pub page: Paper,
    /// Labels side by side.
    pub columns: u32,
    /// Labels one under the other.
    pub rows: u32,
    /// Width of a label.
    pub label_width_mm: f64,
    /// Height of a label.
    pub label_height_mm: f64,
    left_margin_mm: f64,
    top_margin_mm: f64,
    horizontal_pitch_mm: f64,
    vertical_pitch_mm: f64,
    /// The size of a label in words.
    pub note: String,
}

impl LabelSheet {
    /// Every sheet of the built-in table, the usual one first.
    pub fn builtin() -> Result<Vec<Self>, Error> {
        reference::rows("label-sheets.csv", reference::LABEL_SHEETS)
    }

    /// Labels on a sheet.
    pub fn labels(&self) -> u32 {
        self.columns * self.rows
    }

    /// Left and top edge of a label in millimetres from the paper's top left corner. Positions are counted from 1, row
    /// by row; each is computed from the corner, so that rounding errors do not add up.
    pub fn corner_mm(&self, position: u32) -> (f64, f64) {
        let at = position.saturating_sub(1);
        let (row, column) = (f64::from(at / self.columns), f64::from(at % self.columns));
        (
            self.left_margin_mm + column * self.horizontal_pitch_mm,
            self.top_margin_mm + row * self.vertical_pitch_mm,
        )
    }

    /// Size of the text in points: as large as the label bears, never under 9.
    pub(super) fn text_pt(&self) -> f64 {
        let room = (self.label_height_mm / 3.2).min(self.label_width_mm / 6.0);
        ((room * 2.0).floor() / 2.0).clamp(9.0, 14.0)
    }

    /// Size of the title in points.
    pub(super) fn title_pt(&self) -> f64 {
        self.text_pt() + 1.0
    }

    /// Lines a title may take: one to three, so that the days and all nine allergens always have
    /// their room below it.
    pub(super) fn title_lines(&self) -> u8 {
        let (width, height) = (
            self.label_width_mm - 2.0 * SAFE_MM,
            self.label_height_mm - 2.0 * SAFE_MM,
        );
        let line_mm = |points: f64| points * MM_PER_POINT * LINE_HEIGHT;
        let allergens = NINE_ALLERGENS * LETTER_WIDTH * self.text_pt() * MM_PER_POINT / width;
        let below = (2.0 + allergens.ceil()) * line_mm(self.text_pt());
        match (height - below) / line_mm(self.title_pt()) {
            3.0.. => 3,
            2.0.. => 2,
            _ => 1,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_lies_under_the_labels_of_every_sheet() {
        for sheet in LabelSheet::builtin().unwrap() {
            let (_, top) = sheet.corner_mm(sheet.labels());
            let below = sheet.page.height_mm() - top - sheet.label_height_mm;
            assert!(below >= BAR_FOOT_MM + BAR_HEIGHT_MM, "{}", sheet.name);
        }
    }

    #[test]
    fn the_name_of_a_sheet_is_its_paper_and_grid() {
        for sheet in LabelSheet::builtin().unwrap() {
            let paper = sheet.page.css().to_lowercase();
            let name = format!("{paper}-{}x{}", sheet.columns, sheet.rows);
            assert_eq!(sheet.name, name);
            assert!(sheet.text_pt() >= 9.0);
            assert!(sheet.title_lines() >= 2, "{}", sheet.name);
        }
    }

    #[test]
    fn positions_run_row_by_row_from_the_corner() {
        let sheets = LabelSheet::builtin().unwrap();
        let corner = |position| sheets[0].corner_mm(position);
        assert_eq!(corner(1), (4.7625, 12.7));
        assert_eq!(corner(3), (4.7625 + 2.0 * 69.85, 12.7));
        assert_eq!(corner(4), (4.7625, 12.7 + 25.4));
    }
}
