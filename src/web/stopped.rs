//! The page of a form that an objection blocked: the objections, and a button to go on all the same.

use askama::Template;

use super::error::PageError;
use super::fields::Fields;
use super::layout::Layout;
use super::objections::{ANYWAY, ShownObjections};
use super::request::{PageRequest, Reply};
use crate::safety::Objection;

/// What the page says, by what the form would have done.
struct StopWords {
    /// What was not done, as the heading says it.
    undone: &'static str,
    /// Why the form may be sent all the same; empty where there is nothing to say.
    why: &'static str,
    /// What is said of a reaction in the form, which was not recorded either; empty for a form that has none.
    noted: &'static str,
    /// The button that sends it all the same.
    anyway: &'static str,
}

/// A form that records what was done already.
const OF_RECORD: StopWords = StopWords {
    undone: "nothing was recorded yet",
    why: "What was eaten can always be recorded: the record is the truth.",
    noted: "What you noted is not recorded yet either.",
    anyway: "Record it anyway",
};
/// A form that plans what is to come.
const OF_PLAN: StopWords = StopWords {
    undone: "nothing was planned yet",
    why: "",
    noted: "",
    anyway: "Plan it all the same",
};

#[derive(Template)]
#[template(path = "web/stopped.html")]
struct StoppedPage {
    frame: Layout,
    words: &'static StopWords,
    shown: ShownObjections,
    /// The form again, with all that was sent.
    hidden: Vec<(String, String)>,
    /// The address that the form is sent to, and the page that leaves it.
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
    let frame = Layout::of(visit, "Nothing was recorded yet", back);
    let form = (fields, action, back);
    Reply::wrong(&page(frame, &OF_RECORD, objections, form))
}

/// The same in place of a form that plans, in a room. `back` is the address at which it is filled in again.
pub(super) fn stopped_plan(
    visit: &PageRequest<'_>,
    objections: &[Objection],
    room: &'static str,
    form: (&Fields, &str, &str),
) -> Result<Reply, PageError> {
    let frame = Layout::of(visit, "Nothing was planned yet", room);
    Reply::wrong(&page(frame, &OF_PLAN, objections, form))
}

fn page(
    frame: Layout,
    words: &'static StopWords,
    objections: &[Objection],
    (fields, action, back): (&Fields, &str, &str),
) -> StoppedPage {
    let sent = fields
        .beginning("")
        .filter(|(name, _)| !["token", ANYWAY].contains(name));
    StoppedPage {
        frame,
        words,
        shown: ShownObjections::of(objections, &[]),
        hidden: sent
            .map(|(name, value)| (name.to_string(), value.to_string()))
            .collect(),
        action: action.to_string(),
        back: back.to_string(),
    }
}
