//! Text pages: headings, aligned tables, wrapped lists.

use anstyle::{Effects, Style};
use comfy_table::presets::NOTHING;
use comfy_table::{Cell, CellAlignment, ContentArrangement, Table};

/// The layout options of a text page.
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

const HEADING: Style = Style::new().effects(Effects::BOLD);

impl Page {
    /// An empty page.
    pub fn new(look: Look) -> Self {
        Self {
            look,
            text: String::new(),
        }
    }

    /// The layout options of the page.
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

    /// Adds a line that is not wrapped.
    pub fn line(&mut self, words: &str) {
        self.text.push_str(words);
        self.text.push('\n');
    }

    /// A paragraph, wrapped.
    pub fn paragraph(&mut self, words: &str) {
        self.rows([[words.to_string()]], &[]);
    }

    /// A wrapped list.
    pub fn list(&mut self, items: impl IntoIterator<Item = String>) {
        self.rows(items.into_iter().map(|item| ["-".to_string(), item]), &[]);
    }

    /// A heading and a list below it; neither where there is nothing to list.
    pub fn listed(&mut self, heading: &str, items: impl IntoIterator<Item = String>) {
        let mut items = items.into_iter().peekable();
        if items.peek().is_some() {
            self.heading(heading);
            self.list(items);
        }
    }

    /// Rows without column titles, wrapped; the columns `right`, counted from 0, are set flush right.
    pub fn rows<R: IntoIterator<Item = String>>(
        &mut self,
        rows: impl IntoIterator<Item = R>,
        right: &[usize],
    ) {
        self.table::<String, R>([], rows, right);
    }

    /// A table, wrapped to the width of the page; nothing where it has no rows.
    pub fn table<H: Into<String>, R: IntoIterator<Item = String>>(
        &mut self,
        header: impl IntoIterator<Item = H>,
        rows: impl IntoIterator<Item = R>,
        right: &[usize],
    ) {
        let mut table = Table::new();
        table
            .load_style(NOTHING)
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(self.look.width);
        let header: Vec<String> = header.into_iter().map(Into::into).collect();
        if !header.is_empty() {
            table.set_header(header);
        }
        for row in rows {
            let cells = row.into_iter().enumerate().map(|(column, text)| {
                let side = if right.contains(&column) {
                    CellAlignment::Right
                } else {
                    CellAlignment::Left
                };
                Cell::new(text.replace('\u{a0}', " ")).set_alignment(side)
            });
            table.add_row(cells.collect::<Vec<_>>());
        }
        if table.is_empty() {
            return;
        }
        for (at, column) in table.column_iter_mut().enumerate() {
            column.set_padding((0, 2));
            if right.contains(&at) {
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
