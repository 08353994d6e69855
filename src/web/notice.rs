//! Notices of what was just recorded, shown on the next page with a way to take it back.

use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

use super::ShownObjections;
use super::lock::{Secret, Unguessable};
use crate::safety::{Severity, emergency};

/// The most values that are kept; older ones are dropped (judgement).
const KEPT: usize = 100;

/// The notice of an action.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Notice {
    /// The call for help, where the words of a parent tell of a severe reaction; shown before
    /// everything else.
    pub(super) emergency: Option<String>,
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
    /// The button by which that is done.
    pub(super) reversal: &'static str,
    /// The meal that was recorded, to be corrected or to add what was seen afterwards.
    pub(super) meal: Option<i64>,
    /// What leads on from it: the address and the label of each link.
    pub(super) links: Vec<(String, String)>,
    /// The key under which the former text of a recipe is kept, so that it can be restored.
    pub(super) former: Option<String>,
}

impl Notice {
    /// A notice of one sentence.
    pub(super) fn of(done: impl Into<String>) -> Self {
        Self {
            emergency: None,
            done: done.into(),
            more: Vec::new(),
            warnings: Vec::new(),
            shown: ShownObjections::default(),
            entry: None,
            reversal: "Take it back",
            meal: None,
            links: Vec::new(),
            former: None,
        }
    }

    /// The notice of words that were written down: with the call for help, where they tell of a
    /// severe reaction.
    pub(super) fn heeding(self, words: &str) -> Self {
        Self {
            emergency: emergency(words),
            ..self
        }
    }

    /// Whether it says to call for help, so that it must not look like success.
    pub(super) fn is_grave(&self) -> bool {
        let mut answers = self.shown.answers.iter();
        self.emergency.is_some() || answers.any(|answer| answer.severity == Severity::Warn)
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
