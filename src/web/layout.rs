//! The layout around every page: the household, the navigation, and the notice of the last action.

use super::assets;
use super::notice::Notice;
use super::request::PageRequest;

/// The rooms there are, in their order: the address of each, and what it is called.
pub(super) const ROOMS: [(&str, &str); 10] = [
    ("/", "Today"),
    ("/freezer", "Freezer"),
    ("/cook", "Cook"),
    ("/mix", "Mix"),
    ("/week", "Week"),
    ("/tastes", "Tastes"),
    ("/money", "Money"),
    ("/visit", "Visit"),
    ("/foods", "Foods"),
    ("/history", "History"),
];

/// The data of the layout.
#[derive(Debug)]
pub(super) struct Layout {
    /// The title of the page.
    pub(super) title: String,
    /// The address of the room it belongs to; empty for none.
    pub(super) here: &'static str,
    /// The names of the children.
    pub(super) household: String,
    /// The day that the page is about.
    pub(super) today: String,
    /// Whether the book is the demo household.
    pub(super) demo: bool,
    /// The address in the home network and the hours it is open, where it is.
    pub(super) network: Option<(String, u32)>,
    /// The notice of the last action.
    pub(super) notice: Option<Notice>,
    /// The token of the forms.
    pub(super) token: String,
    /// The address of the style.
    pub(super) style: &'static str,
    /// The address of the script.
    pub(super) script: &'static str,
    /// The address of the icon.
    pub(super) icon: &'static str,
    /// The rooms; none before there is a book.
    pub(super) rooms: &'static [(&'static str, &'static str)],
}

impl Layout {
    /// The frame of a page of a room.
    pub(super) fn of(
        visit: &PageRequest<'_>,
        title: impl Into<String>,
        here: &'static str,
    ) -> Self {
        let children = visit
            .book
            .settings
            .children
            .iter()
            .map(|child| child.name.as_str());
        Self {
            household: children.collect::<Vec<_>>().join(" and "),
            today: visit.today.strftime("%-d %B %Y").to_string(),
            demo: visit.place.demo,
            notice: visit.notice(),
            rooms: &ROOMS,
            ..Self::bare(visit.kitchen, title, here)
        }
    }

    /// The layout of a page before a book exists.
    pub(super) fn bare(
        kitchen: &super::AppState,
        title: impl Into<String>,
        here: &'static str,
    ) -> Self {
        let network = kitchen.pairing();
        Self {
            title: title.into(),
            here,
            household: String::new(),
            today: String::new(),
            demo: false,
            network: network.map(|network| (network.address().to_string(), network.hours())),
            notice: None,
            token: kitchen.token().text().to_string(),
            style: assets::style(),
            script: assets::script(),
            icon: assets::icon(),
            rooms: &[],
        }
    }
}
