//! `trayful log`, `change`, `undo`, `redo`: the entries of the record, corrected, taken back and put back.

mod change;
mod change_values;
mod log;
mod undo;

pub(super) use change::ChangeArgs;
pub(super) use change::run as change;
pub(super) use log::LogArgs;
pub(super) use log::run as log;
pub(super) use undo::{RedoArgs, UndoArgs, number, redo, undo};
