//! Forms that were recorded already: one that arrives twice, as after a double tap, is recorded once.

use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

use data_import::hex;
use sha2::{Digest as _, Sha256};

use super::error::PageError;
use super::fields::Fields;
use super::form_post::TOKEN;
use super::lock::Secret;
use super::notice::Notice;
use super::request::{PageRequest, Reply};
use super::router::Do;

/// The field that is another each time a form is shown.
const ONCE: &str = "once";
/// So many forms are remembered; older ones are dropped.
const KEPT: usize = 100;

/// The last forms that were recorded.
#[derive(Debug, Default)]
pub(super) struct SentForms(Mutex<VecDeque<SentForm>>);

#[derive(Debug)]
struct SentForm {
    /// A digest of all its fields.
    digest: String,
    /// The numbers of the entries before the first and of the last that it made.
    entries: (i64, i64),
    path: String,
    notice: Notice,
}

/// A value for the field of a form that is to be recorded once.
pub(super) fn once_key() -> Result<String, PageError> {
    let secret = Secret::new().map_err(PageError::broken)?;
    Ok(secret.text()[..16].to_string())
}

/// Records a form; one with the field that was recorded already is answered as it was. Others wait meanwhile.
pub(super) fn once(
    visit: &PageRequest<'_>,
    fields: &Fields,
    record: Do,
) -> Result<Reply, PageError> {
    if fields.text(ONCE).is_empty() {
        return record(visit, fields);
    }
    let digest = digest(fields);
    let sent = &visit.kitchen.sent().0;
    let mut sent = sent.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(at) = sent.iter().position(|one| one.digest == digest) {
        if still_stands(visit, sent[at].entries)? {
            let SentForm { path, notice, .. } = &sent[at];
            return Ok(Reply::Done(path.clone(), notice.clone()));
        }
        sent.remove(at);
    }
    let before = last_entry(visit)?;
    let reply = record(visit, fields)?;
    if let Reply::Done(path, notice) = &reply {
        sent.truncate(KEPT - 1);
        sent.push_front(SentForm {
            digest,
            entries: (before, last_entry(visit)?),
            path: path.clone(),
            notice: notice.clone(),
        });
    }
    Ok(reply)
}

/// Whether nothing of what a form recorded was taken back: else who sends it again means it.
fn still_stands(visit: &PageRequest<'_>, (before, last): (i64, i64)) -> Result<bool, PageError> {
    let store = visit.record()?;
    for entry in before + 1..=last {
        if !store.in_force(entry)? {
            return Ok(false);
        }
    }
    Ok(true)
}

fn last_entry(visit: &PageRequest<'_>) -> Result<i64, PageError> {
    Ok(visit.record()?.last_number()?.unwrap_or(0))
}

fn digest(fields: &Fields) -> String {
    let mut digest = Sha256::new();
    for (name, value) in fields.beginning("").filter(|(name, _)| *name != TOKEN) {
        digest.update((name.len() as u64).to_le_bytes());
        digest.update(name);
        digest.update((value.len() as u64).to_le_bytes());
        digest.update(value);
    }
    hex(&digest.finalize())
}
