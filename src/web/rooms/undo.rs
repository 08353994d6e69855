//! The last entry is taken back: the one that the person saw, and no other.

use super::phrases::of_entry;
use crate::web::error::PageError;
use crate::web::fields::Fields;
use crate::web::layout::ROOMS;
use crate::web::notice::Notice;
use crate::web::request::{PageRequest, Reply};

/// Takes an entry back while it is the last.
pub(in crate::web) fn take_back(
    visit: &PageRequest<'_>,
    fields: &Fields,
) -> Result<Reply, PageError> {
    let known = ROOMS.iter().find(|(path, _)| *path == fields.text("back"));
    let back = known.map_or("/", |(path, _)| path).to_string();
    let mut store = visit.store()?;
    let id = fields
        .text("entry")
        .parse()
        .map_err(|_| PageError::NotFound)?;
    let notice = match store.undo_entry(id)? {
        Some(entry) => Notice::of(format!("Took back {}.", of_entry(&entry))),
        None => {
            let last = store.last_entry()?;
            Notice {
                more: last
                    .iter()
                    .map(|last| format!("The last entry is {}.", of_entry(last)))
                    .collect(),
                entry: last.map(|last| last.id),
                ..Notice::of(
                    "Nothing was taken back: something else was recorded since, or it was taken back already.",
                )
            }
        }
    };
    Ok(Reply::Done(back, notice))
}
