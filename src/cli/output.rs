//! Standard output and standard error: figures to the one, everything else to the other.

use std::io::{self, ErrorKind, Write};

use anstream::{AutoStream, ColorChoice};
use terminal_size::{Width, terminal_size_of};
use trayful::problem::Problem;
use trayful::report::{Look, wrapped};

use super::failure::{Failure, warnings_of};
use super::next_command::command;

/// Pages are drawn no wider than this, for the eye.
const WIDEST: u16 = 100;
/// Nor narrower than this, for the tables.
const NARROWEST: u16 = 44;

/// Begins a sequence that changes the colour of text.
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

    /// The columns of a page, and of what is told beside it.
    fn columns(&self) -> u16 {
        let width = self.width().unwrap_or(Look::PLAIN_WIDTH);
        width.clamp(NARROWEST, WIDEST)
    }

    /// The columns that COLUMNS names, else those of the terminal; `None` for plain text and where there is no terminal.
    fn width(&self) -> Option<u16> {
        if self.plain {
            return None;
        }
        let named = std::env::var("COLUMNS").ok();
        let named = named.and_then(|columns| columns.parse().ok());
        named.or_else(|| terminal_size_of(io::stdout()).map(|(Width(columns), _)| columns))
    }

    /// Prints an answer. A reader that has gone away is no error.
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
        // To look for colours, letter by letter, takes a stream longer than to print what has none.
        if text.contains(ESCAPE) {
            AutoStream::new(&mut stream, choice).write_all(text.as_bytes())?;
        } else {
            stream.write_all(text.as_bytes())?;
        }
        stream.flush()
    }

    /// Tells why a command failed.
    pub(super) fn complain(&self, failure: &Failure) {
        self.tell(&failure.render(self.columns()));
    }

    /// Tells what is worth a second look.
    pub(super) fn warn(&self, warnings: &[Problem]) {
        self.tell(&warnings_of(warnings, self.columns()));
    }

    /// Says what comes before all else.
    pub(super) fn alert(&self, words: &str) {
        let style = anstyle::AnsiColor::BrightRed.on_default().bold();
        let lines = wrapped(words, self.columns()).join("\n");
        self.tell(&format!("{style}{lines}{style:#}\n\n"));
    }

    /// Tells at once what was made of what was written.
    pub(super) fn note(&self, words: &str) {
        let lines = wrapped(&format!("note: {words}"), self.columns());
        self.tell(&(lines.join("\n") + "\n"));
    }

    /// Without standard error there is nowhere to report the failure.
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
