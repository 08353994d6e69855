//! The rooms: each function reads the book, fills a template, and answers.

pub(super) mod cook;
pub(super) mod discard;
pub(super) mod food;
pub(super) mod foods;
pub(super) mod freezer;
pub(super) mod money;
pub(super) mod pair;
pub(super) mod print;
pub(super) mod serve;
pub(super) mod start;
pub(super) mod tastes;
pub(super) mod undo;
pub(super) mod visit;
mod words;
