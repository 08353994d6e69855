//! Text pages: headings, aligned tables, wrapped lists.

use anstyle::{Effects, Style};
use comfy_table::presets::NOTHING;
use comfy_table::{Cell, CellAlignment, ContentArrangement, Table};

/// How a page is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Columns of the terminal or the paper.
    pub width: u16,
    /// Whether bars may be drawn beside figures; plain text goes without.
    pub drawn: bool,
}

impl Look {
    /// Plain text for a pipe.
    pub const PLAIN: Self = Self {
        width: 92,
        drawn: false,
    };
}

/// A page of text that grows from top to bottom.
#[derive(Debug)]
pub struct Page {
    look: Look,
    text: String,
}

/// One table of a page.
#[derive(Debug, Default)]
pub struct Sheet {
    /// Column titles; empty for a table without.
    pub header: Vec<String>,
    /// Cells, row by row.
    pub rows: Vec<Vec<String>>,
    /// Columns set flush right, counted from 0.
    pub right: Vec<usize>,
}

const HEADING: Style = Style::new().effects(Effects::BOLD);

impl Page {
    /// An empty page.
    pub fn new(look: Look) -> Self {
        Self {
            look,
            text: String::new(),
        }
    }

    /// How it is drawn.
    pub fn look(&self) -> Look {
        self.look
    }

    /// A heading, with an empty line above unless it is the first line.
    pub fn heading(&mut self, words: &str) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.line(&format!("{HEADING}{words}{HEADING:#}"));
    }

    /// One line as it is.
    pub fn line(&mut self, words: &str) {
        self.text.push_str(words);
        self.text.push('\n');
    }

    /// A paragraph, wrapped.
    pub fn paragraph(&mut self, words: &str) {
        self.sheet(Sheet {
            rows: vec![vec![words.to_string()]],
            ..Sheet::default()
        });
    }

    /// A wrapped list.
    pub fn list(&mut self, items: impl IntoIterator<Item = String>) {
        let rows = items
            .into_iter()
            .map(|item| vec!["-".to_string(), item])
            .collect();
        self.sheet(Sheet {
            rows,
            ..Sheet::default()
        });
    }

    /// Rows without a header, wrapped.
    pub fn rows(&mut self, rows: Vec<Vec<String>>) {
        self.sheet(Sheet {
            rows,
            ..Sheet::default()
        });
    }

    /// A table, wrapped to the width of the page.
    pub fn sheet(&mut self, sheet: Sheet) {
        if sheet.rows.is_empty() {
            return;
        }
        let mut table = Table::new();
        table
            .load_style(NOTHING)
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(self.look.width);
        if !sheet.header.is_empty() {
            table.set_header(sheet.header);
        }
        for row in sheet.rows {
            let cells = row.into_iter().enumerate().map(|(column, text)| {
                let flush = sheet.right.contains(&column);
                let side = if flush {
                    CellAlignment::Right
                } else {
                    CellAlignment::Left
                };
                Cell::new(text).set_alignment(side)
            });
            table.add_row(cells.collect::<Vec<_>>());
        }
        for (at, column) in table.column_iter_mut().enumerate() {
            column.set_padding((0, 2));
            if sheet.right.contains(&at) {
                column.set_cell_alignment(CellAlignment::Right);
            }
        }
        for line in table.lines() {
            self.line(line.trim_end());
        }
    }

    /// The finished page.
    pub fn finish(self) -> String {
        self.text
    }
}

/// A bar of ten marks for a share in percent, where bars are drawn.
pub(super) fn bar(look: Look, percent: f64) -> String {
    if !look.drawn {
        return String::new();
    }
    let full = (percent / 10.0).round().clamp(0.0, 10.0);
    (1..=10)
        .map(|mark| if f64::from(mark) <= full { '■' } else { '·' })
        .collect()
}
