//! Standard output and standard error: figures to the one, everything else to the other.

use std::io::{self, ErrorKind, Write};

use anstream::{AutoStream, ColorChoice};
use terminal_size::{Width, terminal_size_of};
use trayful::problem::Problem;
use trayful::report::{Look, wrapped};

use super::failure::{Failure, warnings_of};
use super::next_command::command;

/// The most columns of a page: longer lines are hard to read (judgement).
const WIDEST: u16 = 100;
/// The least columns of a page: tables need them (judgement).
const NARROWEST: u16 = 44;

/// The first character of a sequence that changes the colour of text.
const ESCAPE: char = '\u{1b}';

/// The destinations of a command's output.
pub(super) struct Output {
    plain: bool,
}

impl Output {
    pub(super) fn new(plain: bool) -> Self {
        Self { plain }
    }

    /// The layout options of pages on standard output.
    pub(super) fn look(&self) -> Look {
        let drawn = self.choice(&io::stdout()) != ColorChoice::Never;
        Look {
            width: self.columns(),
            drawn,
            step: command,
        }
    }

    /// The columns of a page, and of messages on standard error.
    fn columns(&self) -> u16 {
        let width = self.width().unwrap_or(Look::PLAIN_WIDTH);
        width.clamp(NARROWEST, WIDEST)
    }

    /// The columns from the variable COLUMNS, else of the terminal; `None` for plain text and without a terminal.
    fn width(&self) -> Option<u16> {
        if self.plain {
            return None;
        }
        let named = std::env::var("COLUMNS").ok();
        let named = named.and_then(|columns| columns.parse().ok());
        named.or_else(|| terminal_size_of(io::stdout()).map(|(Width(columns), _)| columns))
    }

    /// Prints an answer. A closed pipe is not an error: the reader has what it wanted.
    pub(super) fn print(&self, text: &str) -> Result<(), Failure> {
        match self.write(text) {
            Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
            result => result.map_err(Failure::Print),
        }
    }

    fn write(&self, text: &str) -> io::Result<()> {
        let stdout = io::stdout();
        let choice = self.choice(&stdout);
        let mut stream = stdout.lock();
        // Text without colours is printed as it is: the stream would look at each letter.
        if text.contains(ESCAPE) {
            AutoStream::new(&mut stream, choice).write_all(text.as_bytes())?;
        } else {
            stream.write_all(text.as_bytes())?;
        }
        stream.flush()
    }

    /// Prints why a command failed.
    pub(super) fn complain(&self, failure: &Failure) {
        self.tell(&failure.render(self.columns()));
    }

    /// Prints warnings.
    pub(super) fn warn(&self, warnings: &[Problem]) {
        self.tell(&warnings_of(warnings, self.columns()));
    }

    /// Prints an urgent message in red, before everything else.
    pub(super) fn alert(&self, words: &str) {
        let style = anstyle::AnsiColor::BrightRed.on_default().bold();
        let lines = wrapped(words, self.columns()).join("\n");
        self.tell(&format!("{style}{lines}{style:#}\n\n"));
    }

    /// Prints a note at once, such as how a name was understood.
    pub(super) fn note(&self, words: &str) {
        let lines = wrapped(&format!("note: {words}"), self.columns());
        self.tell(&(lines.join("\n") + "\n"));
    }

    /// Writes to standard error. A failure is ignored: without standard error there is nowhere to report it.
    fn tell(&self, words: &str) {
        let stderr = io::stderr();
        let choice = self.choice(&stderr);
        let _ = AutoStream::new(stderr.lock(), choice).write_all(words.as_bytes());
    }

    fn choice(&self, stream: &impl anstream::stream::RawStream) -> ColorChoice {
        if self.plain {
            ColorChoice::Never
        } else {
            AutoStream::choice(stream)
        }
    }
}
