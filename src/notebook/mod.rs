//! The household's book: `book.toml` with what it says of itself, `recipes/`, and `book.sqlite`
//! with what it recorded. Every figure is computed from what was recorded.

mod book;
mod error;
mod feeding;
mod freezer;
mod pace;
mod purchases;
mod schema;
mod settings;
mod store;
mod tastes;
mod transfer;

pub use book::{Book, NewBook};
pub use error::BookError;
pub use feeding::{Feeding, How, MealTotal, NotAPick, Pick, Served};
pub use freezer::{BatchFood, FrozenBatch, NewBatch, Stock};
pub use pace::{Outlook, Pace, Room};
pub use purchases::Purchase;
pub use settings::{Child, Settings};
pub use store::{Entry, Store};
pub use tastes::{AllergenTaste, OFFERS_WANTED, Taste, TasteRecord};
