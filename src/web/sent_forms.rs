//! Forms that were recorded already: one that arrives twice, as after a double tap, is recorded
//! once.

use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

use data_import::hex;
use sha2::{Digest as _, Sha256};

use super::form_post::TOKEN;
use super::lock::Secret;
use super::router::FormHandler;
use super::{Fields, Notice, PageAnswer, PageError, PageRequest, PageResult, Reply};

/// The field whose value differs each time a form is shown.
const ONCE: &str = "once";
/// The most forms that are remembered; older ones are dropped (judgement).
const KEPT: usize = 100;

/// The last forms that were recorded.
#[derive(Debug, Default)]
pub(super) struct SentForms(Mutex<VecDeque<SentForm>>);

#[derive(Debug)]
struct SentForm {
    /// The digest of all its fields, the token left out.
    digest: String,
    /// The numbers of the last entry before the form, and of the last entry that it made.
    entries: (i64, i64),
    path: String,
    notice: Notice,
}

/// A value for the field of a form that is to be recorded once.
pub(super) fn once_key() -> PageResult<String> {
    let secret = Secret::new().map_err(PageError::broken)?;
    Ok(secret.text()[..16].to_string())
}

/// Records a form; one that was recorded already gets the same answer again. Other forms wait
/// meanwhile.
pub(super) fn once(request: &PageRequest<'_>, fields: &Fields, record: FormHandler) -> PageAnswer {
    if fields.text(ONCE).is_empty() {
        return record(request, fields);
    }
    let digest = digest(fields);
    let sent = &request.state.sent.0;
    let mut sent = sent.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(at) = sent.iter().position(|form| form.digest == digest) {
        if still_stands(request, sent[at].entries)? {
            let SentForm { path, notice, .. } = &sent[at];
            return Ok(Reply::Done(path.clone(), notice.clone()));
        }
        sent.remove(at);
    }
    let before = last_entry(request)?;
    let reply = record(request, fields)?;
    if let Reply::Done(path, notice) = &reply {
        sent.truncate(KEPT - 1);
        sent.push_front(SentForm {
            digest,
            entries: (before, last_entry(request)?),
            path: path.clone(),
            notice: notice.clone(),
        });
    }
    Ok(reply)
}

/// Whether all entries of a form are still in force. Where one was taken back, the form is sent
/// again on purpose.
fn still_stands(request: &PageRequest<'_>, (before, last): (i64, i64)) -> PageResult<bool> {
    let store = request.record()?;
    for entry in before + 1..=last {
        if !store.in_force(entry)? {
            return Ok(false);
        }
    }
    Ok(true)
}

/// The number of the last entry; 0 for an empty record.
fn last_entry(request: &PageRequest<'_>) -> PageResult<i64> {
    Ok(request.record()?.last_number()?.unwrap_or(0))
}

/// The SHA-256 of all fields but the token, each with its length.
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
