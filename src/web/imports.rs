//! The running import of a dataset, or the last one. Only one runs at a time, and every request can
//! see its progress.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::food::FoodData;

/// The progress of an import.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Stage {
    /// The file is being received: bytes so far, and in all (0 if not known).
    Receiving(u64, u64),
    /// A file of the dataset is being read: its name, bytes so far, and in all.
    Reading(String, u64, u64),
    /// The tables are being written: parts so far, and in all.
    Writing(u64, u64),
    /// The search index is being written.
    Indexing,
    /// The datasets that were imported.
    Done(Vec<ImportedDataset>),
    /// The dataset that was dropped.
    Dropped(String),
    /// The import failed.
    Failed(Failed),
}

/// A dataset that was imported.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct ImportedDataset {
    pub(super) name: String,
    pub(super) release: String,
    pub(super) foods: usize,
}

/// The reason of a failure and the remedy, without a path of the disk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Failed {
    pub(super) words: String,
    pub(super) next: &'static str,
    /// Whether the food data is what it was before.
    pub(super) kept: bool,
}

impl Stage {
    /// Whether the import has ended.
    pub(super) fn is_last(&self) -> bool {
        matches!(self, Self::Done(_) | Self::Dropped(_) | Self::Failed(_))
    }

    /// A failure that left the food data as it was before.
    pub(super) fn failed(words: impl Into<String>, next: &'static str) -> Self {
        let words = words.into();
        Self::Failed(Failed {
            words,
            next,
            kept: true,
        })
    }
}

/// The running import, or the last.
#[derive(Debug, Clone)]
pub(super) struct Import {
    /// The file name as the browser sent it: for display only.
    pub(super) name: String,
    pub(super) stage: Stage,
    before: FoodData,
}

/// The running import, or the last, shared by all requests.
#[derive(Debug, Default)]
pub(super) struct Imports(Mutex<Option<Import>>);

impl Imports {
    fn held(&self) -> MutexGuard<'_, Option<Import>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The running import, or the last; `None` before the first.
    pub(super) fn last(&self) -> Option<Import> {
        self.held().clone()
    }

    /// The food data that was in use when the running import began; `None` where none is running.
    pub(super) fn before(&self) -> Option<FoodData> {
        let held = self.held();
        let running = held.as_ref().filter(|import| !import.stage.is_last());
        running.map(|import| import.before.clone())
    }

    /// Begins an import; `None` where another is running.
    pub(super) fn begin(
        self: &Arc<Self>,
        name: String,
        stage: Stage,
        before: FoodData,
    ) -> Option<Turn> {
        let mut held = self.held();
        if held.as_ref().is_some_and(|import| !import.stage.is_last()) {
            return None;
        }
        *held = Some(Import {
            name,
            stage,
            before,
        });
        Some(Turn {
            imports: Arc::clone(self),
            ended: false,
        })
    }
}

/// The right to report on the running import. Where it is dropped before the end, the import has
/// failed.
#[derive(Debug)]
pub(super) struct Turn {
    imports: Arc<Imports>,
    ended: bool,
}

impl Turn {
    /// Reports a stage; one after the end is ignored.
    pub(super) fn at(&mut self, stage: Stage) {
        if self.ended {
            return;
        }
        self.ended = stage.is_last();
        if let Some(import) = self.imports.held().as_mut() {
            import.stage = stage;
        }
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        self.at(Stage::failed("It stopped half-way.", "Try it again."));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_import_runs_at_a_time_and_an_abandoned_one_has_failed() {
        let imports = Arc::new(Imports::default());
        let begin = || imports.begin("a.zip".into(), Stage::Receiving(0, 1), FoodData::BuiltIn);
        let turn = begin().unwrap();
        assert!(begin().is_none() && imports.before().is_some());
        drop(turn);
        assert!(matches!(imports.last().unwrap().stage, Stage::Failed(_)));
        begin().unwrap().at(Stage::Done(Vec::new()));
        assert!(matches!(imports.last().unwrap().stage, Stage::Done(_)));
    }
}
