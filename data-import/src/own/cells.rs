//! Cells of CSV text, each with its place: RFC 4180, but a row never runs over the end of a line.
//!
//! An unclosed quote is thus reported where it stands and cannot swallow the rest of the file.

use std::ops::Range;

use super::finding::Finding;

/// The mark that some programs put before text in UTF-8.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// One cell, without the quotes and blanks around it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Cell {
    /// What it says.
    pub(super) text: String,
    /// Where it stands, quotes included.
    pub(super) span: Range<usize>,
}

/// A line of the text that is neither blank nor a comment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    /// Counted from 1.
    pub(super) number: usize,
    /// Its bytes, without the end of the line.
    pub(super) span: Range<usize>,
}

/// The lines that hold something.
pub(super) fn lines(text: &str) -> impl Iterator<Item = Line> + '_ {
    let mut start = 0;
    let all = text.split_inclusive('\n').enumerate();
    let all = all.map(move |(index, line)| {
        let mark = line.starts_with(BYTE_ORDER_MARK) && index == 0;
        let from = start + if mark { BYTE_ORDER_MARK.len_utf8() } else { 0 };
        let content = line.strip_suffix('\n').unwrap_or(line);
        let content = content.strip_suffix('\r').unwrap_or(content);
        let span = from..start + content.len();
        start += line.len();
        Line {
            number: index + 1,
            span,
        }
    });
    all.filter(|line| {
        let content = text.get(line.span.clone()).unwrap_or("");
        !content.trim().is_empty() && !content.starts_with('#')
    })
}

/// The cells of one line.
pub(super) fn cells(text: &str, line: &Line) -> Result<Vec<Cell>, Finding> {
    let mut cells = Vec::new();
    let mut at = line.span.start;
    loop {
        let rest = text.get(at..line.span.end).unwrap_or("");
        let cell = if rest.trim_start().starts_with('"') {
            quoted(rest, at)?
        } else {
            plain(rest, at)
        };
        let after = cell.span.end;
        cells.push(checked(cell)?);
        match text.get(after..line.span.end).unwrap_or("").find(',') {
            Some(comma) => at = after + comma + 1,
            None => return Ok(cells),
        }
    }
}

/// A cell up to the next comma.
fn plain(rest: &str, at: usize) -> Cell {
    let content = rest.split(',').next().unwrap_or("");
    trimmed(content, at)
}

/// A piece of text that begins at `at`, without the blanks around it.
pub(super) fn trimmed(content: &str, at: usize) -> Cell {
    let text = content.trim();
    let start = at + content.len() - content.trim_start().len();
    Cell {
        text: text.to_owned(),
        span: start..start + text.len(),
    }
}

/// A cell between quotes; two quotes inside stand for one.
fn quoted(rest: &str, at: usize) -> Result<Cell, Finding> {
    let start = rest.len() - rest.trim_start().len();
    let inside = rest.get(start + 1..).unwrap_or("");
    let mut text = String::new();
    let mut characters = inside.char_indices().peekable();
    while let Some((place, character)) = characters.next() {
        if character != '"' {
            text.push(character);
            continue;
        }
        if characters.next_if(|(_, next)| *next == '"').is_some() {
            text.push('"');
            continue;
        }
        let end = start + 1 + place + 1;
        let behind = rest.get(end..).unwrap_or("");
        let behind = trimmed(behind.split(',').next().unwrap_or(""), at + end);
        if !behind.text.is_empty() {
            let hint = "write two quotes for one inside a text in quotes";
            return Err(Finding::at(&behind, "text behind the closing quote", hint));
        }
        return Ok(Cell {
            text: text.trim().to_owned(),
            span: at + start..at + end,
        });
    }
    let hint = "close it on the same line; a food is one line";
    let span = at + start..at + rest.len();
    Err(Finding::new(span, "this quote is never closed", hint))
}

/// Control characters have no business in a table, and could play tricks on a terminal.
pub(super) fn checked(cell: Cell) -> Result<Cell, Finding> {
    if cell.text.chars().any(char::is_control) {
        let hint = "take the tab, escape or other control character out";
        return Err(Finding::at(&cell, "a character that cannot be seen", hint));
    }
    Ok(cell)
}

/// A text as a cell is written.
pub(super) fn written(text: &str) -> String {
    let plain = !text.contains([',', '"']) && !text.starts_with(['#', BYTE_ORDER_MARK]);
    if plain {
        text.to_owned()
    } else {
        format!("\"{}\"", text.replace('"', "\"\""))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(text: &str) -> Vec<(String, &str)> {
        let line = lines(text).next().unwrap();
        let cells = cells(text, &line).unwrap();
        cells
            .into_iter()
            .map(|cell| (cell.text, &text[cell.span]))
            .collect()
    }

    #[test]
    fn cells_have_their_text_and_their_place() {
        let cells = row("a, b c ,,\"d, \"\"e\"\"\" ,");
        let expected = [
            ("a", "a"),
            ("b c", "b c"),
            ("", ""),
            ("d, \"e\"", "\"d, \"\"e\"\"\""),
            ("", ""),
        ];
        assert_eq!(cells, expected.map(|(text, span)| (text.to_owned(), span)));
    }

    #[test]
    fn comments_blanks_and_the_mark_are_no_lines() {
        let text = "\u{feff}id\r\n# no\n \n\nx\n";
        let found: Vec<_> = lines(text)
            .map(|line| (line.number, &text[line.span]))
            .collect();
        assert_eq!(found, [(1, "id"), (5, "x")]);
    }

    #[test]
    fn what_is_written_is_read_again() {
        for text in ["a", "a, b", "say \"a\"", "# a", "ä; b"] {
            assert_eq!(row(&written(text))[0].0, text);
        }
    }
}
