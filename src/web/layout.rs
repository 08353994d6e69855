//! The layout around every page: the household, the navigation, and the notice of the last action.

use super::seen::{self, SeenOption};
use super::{Notice, PageRequest};
use crate::household::orphaned;
use crate::notebook::{CopiedFor, Store};
use crate::words::{quoted, together};

/// An item of the navigation, which every page shows.
pub(super) struct NavigationPlace {
    pub(super) path: &'static str,
    pub(super) name: &'static str,
    /// The path data of its SVG icon, in a square of 24 units.
    pub(super) icon: &'static str,
}

impl NavigationPlace {
    /// Whether it leads to the further rooms; where there is space, the layout lists these rooms
    /// instead.
    pub(super) fn is_more(&self) -> bool {
        self.path == MORE
    }
}

/// The items of the navigation, in their order.
pub(super) const PLACES: [NavigationPlace; 5] = [
    place("/", "Today", "M4 11a8 8 0 0 0 16 0zM8 21h8M9 3v4M15 3v4"),
    place(
        "/freezer",
        "Freezer",
        "M4 4h7v7H4zM13 4h7v7h-7zM4 13h7v7H4zM13 13h7v7h-7z",
    ),
    place(
        "/cook",
        "Cook",
        "M5 10h14v7a3 3 0 0 1-3 3H8a3 3 0 0 1-3-3zM2 10h20M9 6h6",
    ),
    place("/week", "Week", "M4 6h16v14H4zM4 11h16M8 3v5M16 3v5"),
    place(MORE, "More", "M5 12h.01M12 12h.01M19 12h.01"),
];

const fn place(path: &'static str, name: &'static str, icon: &'static str) -> NavigationPlace {
    NavigationPlace { path, name, icon }
}

/// The address of the page that lists the further rooms.
pub(super) const MORE: &str = "/more";

/// The further rooms: the address of each, and what it is called.
pub(super) const FURTHER: [(&str, &str); 8] = [
    ("/mix", "Mix a bowl"),
    ("/tastes", "Tastes"),
    ("/money", "Money"),
    ("/visit", "Visit"),
    ("/week/shop", "Shopping"),
    ("/foods", "Foods"),
    ("/household", "Household"),
    ("/history", "History"),
];

/// The address of the room at a path; `None` where the path is not that of a room.
pub(super) fn room(path: &str) -> Option<&'static str> {
    let places = PLACES.iter().map(|place| place.path);
    let further = FURTHER.iter().map(|(path, _)| *path);
    places.chain(further).find(|known| *known == path)
}

/// The data of the layout.
#[derive(Debug, Default)]
pub(super) struct Layout {
    /// The title of the page.
    pub(super) title: String,
    /// The address of the room it belongs to; empty for none.
    pub(super) here: &'static str,
    /// The names of the children.
    pub(super) household: String,
    /// The choices of which child the page shows; none where nothing is to be chosen.
    pub(super) seen: Vec<SeenOption>,
    /// The day that the page is about, in words.
    pub(super) today: String,
    /// The day that the page is about, as a form has it (ISO 8601); empty before there is a book.
    pub(super) day: String,
    /// Whether the book is the demo household.
    pub(super) demo: bool,
    /// The address in the home network and the hours for which it is open; `None` where it is
    /// closed.
    pub(super) network: Option<(String, u32)>,
    /// Why nothing can be recorded at this moment, and what to do; `None` where the record can be
    /// written.
    pub(super) closed: Option<Closed>,
    /// The sentences about names that were changed in the file by hand.
    pub(super) former_names: Vec<String>,
    /// The notice of the last action.
    pub(super) notice: Option<Notice>,
    /// The token of the forms.
    pub(super) token: String,
    /// Whether there are rooms to go to; there are none before there is a book.
    pub(super) rooms: bool,
}

/// The message about a record that can only be read.
#[derive(Debug)]
pub(super) struct Closed {
    /// The reason, in two or three words.
    pub(super) why: &'static str,
    /// What to do.
    pub(super) next: &'static str,
}

impl From<CopiedFor> for Closed {
    fn from(reason: CopiedFor) -> Self {
        match reason {
            CopiedFor::FullDisk => Self {
                why: "The disk is full.",
                next: "Make room on the computer on which the page was started.",
            },
            CopiedFor::ReadOnly => Self {
                why: "The book can only be read.",
                next: "On the computer on which the page was started, allow writing to the folder of the book and the files in it.",
            },
        }
    }
}

/// The sentences about names that were changed in the file by hand, so that the record has the
/// child under another name.
fn former_names(request: &PageRequest<'_>, store: &Store) -> Vec<String> {
    let orphans = orphaned(&request.book, store).ok();
    let orphans = orphans.unwrap_or_default().into_iter();
    let sentences = orphans.filter_map(|orphan| {
        let (name, now) = (&orphan.name, orphan.likely.as_ref()?);
        Some(format!(
            "The record has entries of {}, whom the book does not have. If that is {}, rename {name} to {now} by command on the kitchen computer, and the two are joined.",
            quoted(name),
            quoted(now)
        ))
    });
    sentences.collect()
}

impl Layout {
    /// Whether the page belongs to a place: to one of its own, or to a further room that is reached
    /// by More.
    pub(super) fn is_in(&self, place: &NavigationPlace) -> bool {
        place.path == self.here
            || place.is_more() && FURTHER.iter().any(|(path, _)| *path == self.here)
    }

    /// The layout of a page that belongs to a room.
    pub(super) fn of(
        request: &PageRequest<'_>,
        title: impl Into<String>,
        here: &'static str,
    ) -> Self {
        let children = request.book.settings.children.iter();
        let children = children.map(|child| child.name.as_str());
        // The page itself reports a record that does not open.
        let record = request.book.has_record().then(|| request.record());
        let record = record.and_then(Result::ok);
        let closed = record.and_then(Store::copied_for);
        let former_names = record.map(|record| former_names(request, record));
        Self {
            seen: seen::options(request),
            household: together(&children.collect::<Vec<_>>()),
            today: request.today.strftime("%-d %B %Y").to_string(),
            day: request.today.to_string(),
            demo: request.place.demo,
            notice: request.notice(),
            closed: closed.map(Closed::from),
            former_names: former_names.unwrap_or_default(),
            rooms: true,
            ..Self::bare(request.state, title, here)
        }
    }

    /// The layout of a page before a book exists.
    pub(super) fn bare(
        state: &super::AppState,
        title: impl Into<String>,
        here: &'static str,
    ) -> Self {
        let network = state.pairing.as_ref();
        Self {
            title: title.into(),
            here,
            network: network.map(|network| (network.address().to_string(), network.hours())),
            token: state.token.text().to_string(),
            ..Self::default()
        }
    }
}
