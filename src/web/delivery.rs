//! A file that is sent to this page: a form whose first field is the token, and whose second is the
//! file. No byte of the file is read before the same checks as those of a
//! [`Change`](super::form_post::Change), and only from this computer itself.

use std::fs::File;
use std::io::{self, Write as _};
use std::sync::Arc;
use std::time::Duration;

use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use axum::http::{StatusCode, header};
use multer::{Constraints, Field, Multipart, SizeLimit, parse_boundary};
use tokio::sync::mpsc;
use tokio::time::timeout;

use super::app_state::AppState;
use super::form_post::{TOKEN, is_from_our_page, kind_of, no_form};
use super::lock::Listener;
use super::{PageError, PageResult};

/// The field that holds the file.
const FILE: &str = "zip";
/// The longest token, in bytes.
const LONGEST_TOKEN: u64 = 256;
/// The longest file name that is shown, in characters.
const LONGEST_NAME: usize = 80;
/// The most pieces of a file that wait for the disk (judgement).
const WAITING: usize = 8;

/// A file of which nothing was read yet.
#[derive(Debug)]
pub(super) struct Delivery {
    /// The file name as the browser sent it: for display only.
    pub(super) name: String,
    /// The size of the request as the browser states it, in bytes, a little more than the file; 0
    /// if it states none.
    pub(super) stated: u64,
    field: Field<'static>,
    piece: Duration,
}

/// The reasons why an upload failed.
#[derive(Debug)]
pub(super) enum Lost {
    /// No file was sent.
    Empty,
    /// The file is longer than this many bytes.
    TooLong(u64),
    /// The upload stalled.
    Slow,
    /// The browser went away, or sent no proper form.
    CutOff,
    /// The disk did not take it.
    Disk(io::Error),
}

impl FromRequest<Arc<AppState>> for Delivery {
    type Rejection = PageError;

    async fn from_request(request: Request, state: &Arc<AppState>) -> PageResult<Self> {
        let refused = |status, words| Err(PageError::Refused(status, words));
        if is_from_our_page(state, &request)? != Listener::Loopback {
            let words =
                "A dataset is read in on the computer itself on which the page was started.";
            return refused(StatusCode::FORBIDDEN, words);
        }
        let limits = state.clients;
        let boundary = parse_boundary(kind_of(request.headers())).map_err(|_| no_form())?;
        let length = request.headers().get(header::CONTENT_LENGTH);
        let length = length.and_then(|length| length.to_str().ok()?.parse().ok());
        let stated: u64 = length.unwrap_or(0);
        if stated > limits.dataset {
            let words =
                "The file is longer than any published dataset, so nothing was taken of it.";
            return refused(StatusCode::PAYLOAD_TOO_LARGE, words);
        }
        let most = SizeLimit::new()
            .whole_stream(limits.dataset)
            .for_field(TOKEN, LONGEST_TOKEN);
        let fields = Constraints::new()
            .allowed_fields(vec![TOKEN, FILE])
            .size_limit(most);
        let body = request.into_body().into_data_stream();
        let form = Multipart::with_constraints(body, boundary, fields);
        let field = timeout(limits.piece, file_of(form, state)).await;
        let field = field.map_err(|_| {
            let words = "The form took too long to arrive, so nothing was taken of it.";
            PageError::Refused(StatusCode::REQUEST_TIMEOUT, words)
        })??;
        Ok(Self {
            name: shown(field.file_name().unwrap_or_default()),
            stated,
            field,
            piece: limits.piece,
        })
    }
}

/// The field of the file, which must follow a valid token.
async fn file_of(mut form: Multipart<'static>, state: &AppState) -> PageResult<Field<'static>> {
    let broken = |_| {
        let words = "The form did not arrive as a form of this page is sent.";
        PageError::Refused(StatusCode::BAD_REQUEST, words)
    };
    let earlier = || PageError::EarlierRun;
    let token = form.next_field().await.map_err(broken)?;
    let token = token.filter(|field| field.name() == Some(TOKEN));
    let token = token.ok_or_else(earlier)?.text().await.map_err(broken)?;
    if !state.token.is(&token) {
        return Err(earlier());
    }
    let file = form.next_field().await.map_err(broken)?;
    let file = file.filter(|field| field.name() == Some(FILE));
    let words = "The form holds no file.";
    file.ok_or_else(|| PageError::Refused(StatusCode::BAD_REQUEST, words))
}

/// The name of a file for display, before it is escaped.
fn shown(name: &str) -> String {
    let letters = name.chars().filter(|letter| !letter.is_control());
    letters.take(LONGEST_NAME).collect()
}

impl Delivery {
    /// Writes the upload into a file, and reports the number of bytes received.
    pub(super) async fn into_file(
        mut self,
        file: File,
        most: u64,
        mut progress: impl FnMut(u64),
    ) -> Result<File, Lost> {
        let (pieces, waiting) = mpsc::channel(WAITING);
        let written = tokio::task::spawn_blocking(move || write(file, waiting));
        let mut done = 0;
        loop {
            let next = timeout(self.piece, self.field.chunk()).await;
            let next = next.map_err(|_| Lost::Slow)?;
            let Some(piece) = next.map_err(|error| lost(&error, most))? else {
                break;
            };
            done += piece.len() as u64;
            progress(done);
            // The rest is read even when the disk is full: a browser reads an answer only after it
            // has sent everything.
            let _ = pieces.send(piece).await;
        }
        drop(pieces);
        let written = written.await.map_err(io::Error::other);
        let file = written.and_then(|file| file).map_err(Lost::Disk)?;
        if done == 0 {
            return Err(Lost::Empty);
        }
        Ok(file)
    }
}

/// The reason of a failed upload, from the error of the form reader.
fn lost(error: &multer::Error, most: u64) -> Lost {
    match error {
        multer::Error::StreamSizeExceeded { .. } | multer::Error::FieldSizeExceeded { .. } => {
            Lost::TooLong(most)
        }
        _ => Lost::CutOff,
    }
}

/// Writes the pieces of a file as they arrive.
fn write(mut file: File, mut pieces: mpsc::Receiver<Bytes>) -> io::Result<File> {
    while let Some(piece) = pieces.blocking_recv() {
        file.write_all(&piece)?;
    }
    Ok(file)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_short_and_has_no_line_ends() {
        assert_eq!(shown("../../x\r\n\u{0}y.zip"), "../../xy.zip");
        assert_eq!(shown(&"x".repeat(500)).len(), LONGEST_NAME);
    }
}
