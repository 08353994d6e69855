//! What was just done, told on the next page, with a way to take it back.

use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

use super::lock::{Secret, Unguessable};

/// So many are kept; those before are forgotten.
const KEPT: usize = 100;

/// What was done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Notice {
    /// What, in a sentence.
    pub(super) done: String,
    /// What else is to be said of it.
    pub(super) more: Vec<String>,
    /// What to look out for.
    pub(super) warnings: Vec<String>,
    /// The entry that can be taken back.
    pub(super) entry: Option<i64>,
}

impl Notice {
    /// Only a sentence.
    pub(super) fn of(done: impl Into<String>) -> Self {
        Self {
            done: done.into(),
            more: Vec::new(),
            warnings: Vec::new(),
            entry: None,
        }
    }
}

/// The notices of this run. They stay here, so that nobody can put words on the page by a link.
#[derive(Debug, Default)]
pub(super) struct Notices(Mutex<VecDeque<(String, Notice)>>);

impl Notices {
    /// Keeps one, and gives its name.
    pub(super) fn keep(&self, notice: Notice) -> Result<String, Unguessable> {
        let name = Secret::new()?.text()[..16].to_string();
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() == KEPT {
            kept.pop_front();
        }
        kept.push_back((name.clone(), notice));
        Ok(name)
    }

    /// The one of this name.
    pub(super) fn named(&self, name: &str) -> Option<Notice> {
        let kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let found = kept.iter().find(|(known, _)| known == name);
        found.map(|(_, notice)| notice.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_notices_are_kept() {
        let notices = Notices::default();
        let names: Vec<_> = (0..=KEPT)
            .map(|n| notices.keep(Notice::of(n.to_string())).unwrap())
            .collect();
        assert_eq!(notices.named(&names[0]), None);
        assert_eq!(notices.named(&names[KEPT]).unwrap().done, KEPT.to_string());
    }
}
