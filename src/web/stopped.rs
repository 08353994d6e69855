//! A form that an objection stopped: what speaks against it, and a button of its own to record it all the same.

use askama::Template;

use super::fault::Fault;
use super::fields::Fields;
use super::frame::Frame;
use super::objections::{ANYWAY, Shown};
use super::visit::{Answer, Visit};
use crate::safety::Objection;

#[derive(Template)]
#[template(path = "web/stopped.html")]
struct StoppedPage {
    frame: Frame,
    shown: Shown,
    /// The form again, with all that was sent.
    hidden: Vec<(String, String)>,
    /// Where the form is sent, and where it stands.
    action: String,
    back: String,
}

/// The page in place of a form that was stopped. `action` is where the form is sent.
pub(super) fn stopped(
    visit: &Visit<'_>,
    objections: &[Objection],
    fields: &Fields,
    (action, back): (&str, &'static str),
) -> Result<Answer, Fault> {
    let sent = fields
        .beginning("")
        .filter(|(name, _)| !["token", ANYWAY].contains(name));
    Answer::wrong(&StoppedPage {
        frame: Frame::of(visit, "Nothing was recorded yet", back),
        shown: Shown::of(objections, &[]),
        hidden: sent
            .map(|(name, value)| (name.to_string(), value.to_string()))
            .collect(),
        action: action.to_string(),
        back: back.to_string(),
    })
}
