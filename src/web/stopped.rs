//! The page of a form that an objection blocked: the objections, and a button to record it all the same.

use askama::Template;

use super::error::PageError;
use super::fields::Fields;
use super::layout::Layout;
use super::objections::{ANYWAY, ShownObjections};
use super::request::{PageRequest, Reply};
use crate::safety::Objection;

#[derive(Template)]
#[template(path = "web/stopped.html")]
struct StoppedPage {
    frame: Layout,
    shown: ShownObjections,
    /// The form again, with all that was sent.
    hidden: Vec<(String, String)>,
    /// The address that the form is sent to, and the page that it is on.
    action: String,
    back: String,
}

/// The page in place of a form that was stopped. `action` is where the form is sent.
pub(super) fn stopped(
    visit: &PageRequest<'_>,
    objections: &[Objection],
    fields: &Fields,
    (action, back): (&str, &'static str),
) -> Result<Reply, PageError> {
    let sent = fields
        .beginning("")
        .filter(|(name, _)| !["token", ANYWAY].contains(name));
    Reply::wrong(&StoppedPage {
        frame: Layout::of(visit, "Nothing was recorded yet", back),
        shown: ShownObjections::of(objections, &[]),
        hidden: sent
            .map(|(name, value)| (name.to_string(), value.to_string()))
            .collect(),
        action: action.to_string(),
        back: back.to_string(),
    })
}
