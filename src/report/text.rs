//! Text pages: headings, aligned tables, wrapped lists.

use anstyle::{Effects, Style};
use comfy_table::presets::NOTHING;
use comfy_table::{
    Cell, CellAlignment, ColumnConstraint, ContentArrangement, Row, Table, Width as Columns,
};

use crate::next_step::{NextStep, Remark};

/// The first word of a command to paste.
const COMMAND: &str = "trayful ";
/// A page of fewer columns is narrow (judgement).
const NARROW: u16 = 60;
/// A column of a table with fewer characters is cramped on a narrow page (judgement).
const CRAMPED: u16 = 14;

/// Blanks between two columns.
const GAP: u16 = 2;

/// The layout options of a text page.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// Columns of the terminal or the paper.
    pub width: u16,
    /// Whether bars may be drawn beside figures; plain text goes without.
    pub drawn: bool,
    /// How a next step is worded where the page is shown.
    pub step: fn(&NextStep) -> String,
}

impl Look {
    /// Columns of plain text, as for a pipe.
    pub const PLAIN_WIDTH: u16 = 80;

    /// A remark with its next step, without a full stop.
    pub fn worded(self, remark: &Remark) -> String {
        remark.clause(|step| Some((self.step)(step)))
    }
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

    /// A sentence that is a remark with its next step.
    pub fn remark(&mut self, remark: impl Into<Remark>) {
        let words = self.look.worded(&remark.into());
        self.paragraph(&(words + "."));
    }

    /// A heading, with an empty line above unless it is the first line.
    pub fn heading(&mut self, words: &str) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.title(words);
    }

    /// A heading without an empty line above.
    pub fn title(&mut self, words: &str) {
        let mut line = String::new();
        for word in words.split(' ') {
            let longer = line.chars().count() + word.chars().count();
            if !line.is_empty() && longer >= usize::from(self.look.width) {
                self.whole_line(&format!("{HEADING}{line}{HEADING:#}"));
                line.clear();
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
        self.whole_line(&format!("{HEADING}{line}{HEADING:#}"));
    }

    /// Adds a line, wrapped where it is too long; a command to paste stays whole.
    pub fn line(&mut self, words: &str) {
        for line in wrapped(words, self.look.width) {
            self.whole_line(&line);
        }
    }

    /// Adds a line as it is.
    fn whole_line(&mut self, words: &str) {
        self.text.push_str(&words.replace('\u{a0}', " "));
        self.text.push('\n');
    }

    /// A paragraph, wrapped.
    pub fn paragraph(&mut self, words: &str) {
        for line in words.lines() {
            self.line(line);
        }
    }

    /// Paragraphs, one under the other.
    pub fn paragraphs(&mut self, all: impl IntoIterator<Item: AsRef<str>>) {
        for words in all {
            self.paragraph(words.as_ref());
        }
    }

    /// A wrapped list.
    pub fn list(&mut self, items: impl IntoIterator<Item = String>) {
        self.rows(items.into_iter().map(|item| ["-".to_string(), item]), &[]);
    }

    /// Sentences, each behind the sign of a warning.
    pub fn warnings(&mut self, items: impl IntoIterator<Item = String>) {
        self.rows(items.into_iter().map(|item| ["!".to_string(), item]), &[]);
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

    /// A table, wrapped between words to the width of the page; where its words are too long for that, each row becomes
    /// a short paragraph. Nothing where it has no rows.
    pub fn table<H: Into<String>, R: IntoIterator<Item = String>>(
        &mut self,
        header: impl IntoIterator<Item = H>,
        rows: impl IntoIterator<Item = R>,
        right: &[usize],
    ) {
        let header: Vec<String> = header.into_iter().map(Into::into).collect();
        let rows = rows.into_iter().map(|row| row.into_iter().collect());
        let rows: Vec<Vec<String>> = rows.collect();
        if rows.is_empty() {
            return;
        }
        let least = widths(&header, &rows, &[' ', '\n']);
        let padding = GAP * u16::try_from(least.len().saturating_sub(1)).unwrap_or(u16::MAX);
        let whole = widths(&header, &rows, &['\n']);
        let too_wide = least.iter().sum::<u16>().saturating_add(padding) > self.look.width;
        if too_wide && !header.is_empty() || self.is_cramped(&whole, padding) {
            self.stacked(&header, &rows);
            return;
        }
        // The blanks behind the last column are cut off below.
        let mut table = wrapping(self.look.width + GAP);
        if whole.iter().sum::<u16>().saturating_add(padding) <= self.look.width {
            table.set_content_arrangement(ContentArrangement::Disabled);
        }
        if !header.is_empty() {
            table.set_header(header);
        }
        table.add_rows(rows.iter().map(|row| aligned(row, right)));
        for (at, (column, least)) in table.column_iter_mut().zip(least).enumerate() {
            column.set_padding((0, GAP));
            column.set_constraint(ColumnConstraint::LowerBoundary(Columns::Fixed(least + GAP)));
            if right.contains(&at) {
                column.set_cell_alignment(CellAlignment::Right);
            }
        }
        self.lines_of(&table);
    }

    /// Whether a narrow page leaves the widest of many columns hardly more than a word a line.
    fn is_cramped(&self, whole: &[u16], padding: u16) -> bool {
        let all = whole.iter().sum::<u16>().saturating_add(padding);
        let widest = whole.iter().max().copied().unwrap_or(0);
        let left = self.look.width.saturating_sub(all.saturating_sub(widest));
        self.look.width < NARROW && whole.len() >= 4 && left < widest.min(CRAMPED)
    }

    /// Each row as a line with the cells that have no title, and below it the others beside their titles.
    fn stacked(&mut self, header: &[String], rows: &[Vec<String>]) {
        for row in rows {
            let titled = |at: usize| header.get(at).map_or("", |title| title.trim());
            let cells = row.iter().map(|cell| cell.trim()).enumerate();
            let cells = cells.filter(|(_, cell)| !cell.is_empty());
            let (names, others): (Vec<_>, Vec<_>) =
                cells.partition(|(at, _)| titled(*at).is_empty());
            let names: Vec<_> = names.into_iter().map(|(_, cell)| cell).collect();
            self.paragraph(&names.join("  "));
            let others = others.into_iter();
            let others = others.map(|(at, cell)| format!("{}: {cell}", titled(at)));
            let others: Vec<_> = others.collect();
            if !others.is_empty() {
                self.rows([[String::new(), others.join("; ")]], &[]);
            }
        }
    }

    fn lines_of(&mut self, table: &Table) {
        for line in table.lines() {
            self.whole_line(line.trim_end());
        }
    }

    /// The lines that the page has so far.
    pub fn lines(&self) -> usize {
        self.text.lines().count()
    }

    /// The finished page.
    pub fn finish(self) -> String {
        self.text
    }
}

/// Words in lines of `width` columns, broken at blanks; further lines are indented as the first. Text in backticks is
/// not broken, nor is a command to paste, which is the rest of its line.
pub fn wrapped(words: &str, width: u16) -> Vec<String> {
    let width = usize::from(width);
    let indent = words.len() - words.trim_start_matches(' ').len();
    let indent = " ".repeat(indent);
    let (mut lines, mut line) = (Vec::new(), indent.clone());
    for part in unbreakable(words.trim_start_matches(' ')) {
        let begun = line.len() > indent.len();
        if begun && line.chars().count() + 1 + part.chars().count() > width {
            lines.push(std::mem::replace(&mut line, indent.clone()));
        } else if begun {
            line.push(' ');
        }
        line.push_str(part);
    }
    lines.push(line);
    lines
}

/// The parts of a line between which it may be broken.
fn unbreakable(line: &str) -> Vec<&str> {
    let quoted = line.matches('`').count().is_multiple_of(2);
    let (mut parts, mut from, mut inside) = (Vec::new(), 0, false);
    for (place, letter) in line.char_indices() {
        let begins = place == from && line[place..].starts_with(COMMAND);
        if begins && !inside && (place == 0 || line[..place].ends_with(": ")) {
            break;
        }
        match letter {
            '`' if quoted => inside = !inside,
            ' ' if !inside => {
                parts.push(&line[from..place]);
                from = place + 1;
            }
            _ => {}
        }
    }
    parts.push(&line[from..]);
    parts
}

/// A table without lines that fills `width` columns.
fn wrapping(width: u16) -> Table {
    let mut table = Table::new();
    table
        .load_style(NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(width);
    table
}

/// The cells of a row, some of them flush right.
fn aligned(row: &[String], right: &[usize]) -> Row {
    let cells = row.iter().enumerate().map(|(column, text)| {
        let side = if right.contains(&column) {
            CellAlignment::Right
        } else {
            CellAlignment::Left
        };
        Cell::new(text).set_alignment(side)
    });
    Row::from(cells.collect::<Vec<_>>())
}

/// The width of the longest part of each column of a table, where cells are broken at these characters.
fn widths(header: &[String], rows: &[Vec<String>], breaks: &[char]) -> Vec<u16> {
    let rows = || rows.iter().map(Vec::as_slice).chain([header]);
    let columns = rows().map(<[String]>::len).max().unwrap_or(0);
    let longest = |at: usize| {
        let cells = rows().filter_map(|row| row.get(at));
        let words = cells.flat_map(|cell| cell.split(breaks));
        let longest = words.map(|word| word.chars().count()).max().unwrap_or(0);
        u16::try_from(longest).unwrap_or(u16::MAX)
    };
    (0..columns).map(longest).collect()
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_at_blanks_and_leave_commands_whole() {
        let words = "Take it back with `the word 12-17`, if it was wrong.";
        assert_eq!(
            wrapped(words, 24),
            ["Take it back with", "`the word 12-17`, if it", "was wrong."]
        );
        assert_eq!(
            wrapped("  say which, such as: trayful WEEK --child Wren", 24),
            ["  say which, such as:", "  trayful WEEK --child Wren"]
        );
        assert_eq!(wrapped("", 24), [""]);
        assert_eq!(wrapped("it`s so", 4), ["it`s", "so"]);
    }
}
