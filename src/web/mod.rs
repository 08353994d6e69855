//! The kitchen page: the book in a browser, on this computer and nowhere else.
//!
//! A request passes the [lock], finds its handler in the [router], and is answered by a plain
//! function of one [request](request::PageRequest): the functions in [`rooms`] read the book, fill
//! a template and know nothing of HTTP. The clock, the folder and the food data are passed in; no
//! function of this module reads the environment.

mod app_state;
mod assets;
mod clients;
#[cfg(test)]
mod contrast;
mod delivery;
mod error;
mod fields;
mod form_post;
mod imports;
mod layout;
mod listen;
mod lock;
mod notice;
mod objections;
mod open_connections;
mod open_foods;
mod request;
mod rooms;
mod router;
mod seen;
mod sent_forms;
mod sheet;
mod stopped;
mod wording;

// Names that nearly every handler uses.
use error::{PageError, PageResult};
use fields::{Fields, Wrong};
use layout::Layout;
use notice::Notice;
use objections::ShownObjections;
use request::{PageAnswer, PageRequest, Reply};

pub use app_state::{AppState, Supplies};
pub use clients::Clients;
pub use listen::{ListenError, Listeners, serve};
pub use lock::Pairing;
