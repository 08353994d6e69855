//! Notices of what was just recorded, shown on the next page with a way to take it back.

use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

use super::lock::{Secret, Unguessable};
use super::objections::ShownObjections;

/// The most values that are kept; older ones are dropped (judgement).
const KEPT: usize = 100;

/// The notice of an action.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Notice {
    /// The action, in a sentence.
    pub(super) done: String,
    /// Further sentences.
    pub(super) more: Vec<String>,
    /// Warnings.
    pub(super) warnings: Vec<String>,
    /// The objections to what was recorded, for those who watch the child now.
    pub(super) shown: ShownObjections,
    /// The entry that can be taken back.
    pub(super) entry: Option<i64>,
    /// The meal that was recorded, to be corrected or to add what was seen afterwards.
    pub(super) meal: Option<i64>,
    /// The key under which the former text of a recipe is kept, so that it can be restored.
    pub(super) former: Option<String>,
}

impl Notice {
    /// A notice of one sentence.
    pub(super) fn of(done: impl Into<String>) -> Self {
        Self {
            done: done.into(),
            more: Vec::new(),
            warnings: Vec::new(),
            shown: ShownObjections::default(),
            entry: None,
            meal: None,
            former: None,
        }
    }
}

/// Values kept for this run under random keys. Nobody can guess a key, so no link can put text or a
/// plan on the page.
#[derive(Debug)]
pub(super) struct Kept<T>(Mutex<VecDeque<(String, T)>>);

impl<T> Default for Kept<T> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<T: Clone> Kept<T> {
    /// Keeps a value, and gives its key.
    pub(super) fn keep(&self, value: T) -> Result<String, Unguessable> {
        let name = Secret::new()?.text()[..16].to_string();
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() == KEPT {
            kept.pop_front();
        }
        kept.push_back((name.clone(), value));
        Ok(name)
    }

    /// The value of this key.
    pub(super) fn named(&self, name: &str) -> Option<T> {
        let kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let found = kept.iter().find(|(known, _)| known == name);
        found.map(|(_, value)| value.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_notices_are_kept() {
        let notices = Kept::default();
        let names: Vec<_> = (0..=KEPT)
            .map(|n| notices.keep(Notice::of(n.to_string())).unwrap())
            .collect();
        assert_eq!(notices.named(&names[0]), None);
        assert_eq!(notices.named(&names[KEPT]).unwrap().done, KEPT.to_string());
    }
}
