//! Pages that go into a file, or to standard output.

use std::path::Path;

use trayful::problem::Problem;
use trayful::whole_file;

use super::failure::Failure;
use super::{Answer, Session};

/// Writes a page into `out` and answers with `summary`; `-` prints the page itself and nothing else.
pub(super) fn written(
    out: &Path,
    page: String,
    summary: &str,
    session: &Session,
) -> Result<Answer, Failure> {
    if out == Path::new("-") {
        return Ok(Answer::text(page));
    }
    whole_file::write(out, &page).map_err(|error| {
        Problem::new(format!("cannot write “{}”: {error}", out.display()))
            .hint("name a file in a folder that is there and yours")
    })?;
    Ok(session.paragraph(summary))
}

/// A page that could not be put together.
pub(super) fn unrendered(error: impl std::fmt::Display) -> Failure {
    Problem::new(format!("cannot put the page together: {error}")).into()
}
