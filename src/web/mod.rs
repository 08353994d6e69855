//! The kitchen page: the book in a browser, on this computer and nowhere else.
//!
//! A request passes the [lock], finds its room in the [router], and is answered by a plain function of one
//! [visit](visit::Visit): the functions in [`rooms`] read the book, fill a template and know nothing of HTTP. The
//! clock, the folder and the food data are handed in; nothing here reads the environment.

mod assets;
mod clients;
#[cfg(test)]
mod contrast;
mod form_post;
mod delivery;
mod fault;
mod fields;
mod frame;
mod imports;
mod kitchen;
mod listen;
mod lock;
mod notice;
mod objections;
mod open_foods;
mod plain;
mod rooms;
mod router;
mod stopped;
mod visit;

pub use clients::Clients;
pub use kitchen::{Kitchen, Supplies};
pub use listen::{Doors, NoDoor, serve};
pub use lock::Pairing;
