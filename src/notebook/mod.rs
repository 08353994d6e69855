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
mod gap;
mod history;
mod known;
mod larder;
mod measure;
mod milk;
mod note;
mod pace;
mod plan;
mod purchases;
mod question;
mod reaction;
mod recipe_name;
mod rename;
mod schema;
mod settings;
mod settings_file;
mod settings_values;
mod store;
mod supplement;
mod take_cubes;
mod tastes;
mod texture;
mod transfer;
mod whole_days;
mod words;

pub use book::{Book, NewBook};
pub use child::{Child, Eczema};
pub use eaten::Eaten;
pub use eaten_foods::EatenFood;
pub use error::BookError;
pub use feeding::{Feeding, How, NotAPick, Pick, Served};
pub use freezer::{BatchFood, FrozenBatch, NewBatch, Recooked, Stock};
pub use gap::{FilledGap, GAP_TOPIC};
pub use history::{
    ChildEntry, Corrected, Correction, EntryDetail, EntryPart, LogEntry, Reversal, Standing, Undone,
};
pub use known::KnownFood;
pub use larder::Helping;
pub use measure::{Measured, Measurement};
pub use milk::{MilkAmount, MilkPart, NewMilk};
pub use note::{NOTE_TOPICS, Note};
pub use pace::{Outlook, Pace, Room};
pub use plan::{Plan, PlannedCooking, PlannedServing, Slot};
pub use purchases::Purchase;
pub use question::{Question, QuestionAnswer};
pub use reaction::LaterReaction;
pub use recipe_name::{NotAName, RecipeName};
pub use rename::Renamed;
pub use settings::Settings;
pub use settings_file::Setting;
pub use store::Store;
pub use supplement::{NewSupplement, SupplementDose};
pub use tastes::{AllergenTaste, Clearance, Cleared, OFFERS_WANTED, Reaction, Taste, TasteRecord};
pub use texture::{TextureSince, TextureStage};
