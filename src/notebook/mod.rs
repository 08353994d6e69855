//! The household's book: `book.toml` with its settings, `recipes/`, and `book.sqlite` with its record. Every figure is
//! computed from the record.

mod book;
mod child;
mod cubes;
mod eaten;
mod eaten_foods;
mod error;
mod feeding;
mod freezer;
mod larder;
mod milk;
mod pace;
mod plan;
mod purchases;
mod question;
mod recipe_name;
mod schema;
mod settings;
mod store;
mod tastes;
mod transfer;
mod words;

pub use book::{Book, NewBook};
pub use child::{Child, Eczema};
pub use eaten::Eaten;
pub use eaten_foods::EatenFood;
pub use error::BookError;
pub use feeding::{Feeding, How, NotAPick, Pick, Served};
pub use freezer::{BatchFood, FrozenBatch, NewBatch, Stock};
pub use larder::Helping;
pub use milk::{MilkAmount, MilkPart, NewMilk};
pub use pace::{Outlook, Pace, Room};
pub use plan::{Plan, PlannedCooking, PlannedServing, Slot};
pub use purchases::Purchase;
pub use question::Question;
pub use recipe_name::{NotAName, RecipeName};
pub use settings::Settings;
pub use store::{Entry, Store};
pub use tastes::{AllergenTaste, Clearance, Cleared, OFFERS_WANTED, Reaction, Taste, TasteRecord};
