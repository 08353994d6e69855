//! An entry is taken back or put back: exactly the one that the page showed.

use super::phrases::name_planned;
use crate::notebook::{BookError, Reversal};
use crate::report::undone_words;
use crate::web::wording::in_words;
use crate::web::{Fields, Notice, PageAnswer, PageRequest, Reply};

/// Takes back the entry, the correction or the undo of a number.
pub(in crate::web) fn take_back(request: &PageRequest<'_>, fields: &Fields) -> PageAnswer {
    let back = fields.text("back");
    let back = if is_local_path(back) { back } else { "/" }.to_string();
    let number = fields.parsed("entry")?;
    let currency = request.book.settings.currency.clone();
    let mut store = request.store()?;
    let notice = match store.undo(number, request.today) {
        Ok(mut undone) => {
            name_planned(request, undone.entries())?;
            Notice {
                entry: Some(undone.change),
                reversal: match undone.what {
                    Reversal::Entry | Reversal::Correction => "Put it back",
                    Reversal::Redo => "Take it back",
                },
                ..Notice::of(undone_words(&undone, &currency))
            }
        }
        Err(BookError::Problems(problems)) => Notice {
            more: problems.iter().map(in_words).collect(),
            ..Notice::of("Nothing was taken back.")
        },
        Err(error) => return Err(error.into()),
    };
    Ok(Reply::Done(back, notice))
}

/// Whether an address is a path of this page, and not of another site.
fn is_local_path(address: &str) -> bool {
    address.starts_with('/')
        && !address.starts_with("//")
        && !address.contains(['\\', '\r', '\n', '\t', '#'])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_addresses_of_the_page_are_gone_back_to() {
        for here in ["/", "/freezer", "/household/milk?child=Wren+B"] {
            assert!(is_local_path(here), "{here}");
        }
        let others = [
            "",
            "freezer",
            "//else.where/",
            "/\\else.where",
            "https://else.where/",
            "/\r\nX: 1",
        ];
        for other in others {
            assert!(!is_local_path(other), "{other}");
        }
    }
}
