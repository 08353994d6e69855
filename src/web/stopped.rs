//! The page of a form that an objection blocked: the objections, and a button to go on all the
//! same.

use askama::Template;

use super::objections::ANYWAY;
use super::{Fields, Layout, PageAnswer, PageRequest, Reply, ShownObjections};
use crate::safety::Objection;
use crate::words::capital;

/// What the page says, by what the form would have done.
struct StopWords {
    /// What was not done, as the heading says it.
    undone: &'static str,
    /// Why the form may be sent all the same; empty where there is nothing to say.
    why: &'static str,
    /// The sentence about a reaction in the form, which was not recorded either; empty for a form
    /// that has none.
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
struct StoppedPage<'a> {
    layout: Layout,
    words: &'static StopWords,
    shown: ShownObjections,
    /// The fields of the form as they were sent, for hidden fields.
    hidden: Vec<(&'a str, &'a str)>,
    /// The address that the form is sent to, and the page that leaves it.
    action: &'a str,
    back: &'a str,
}

/// The page in place of a form that records and was stopped. `action` is the address to which the
/// form is sent.
pub(super) fn stopped(
    request: &PageRequest<'_>,
    objections: &[Objection],
    fields: &Fields,
    (action, back): (&str, &'static str),
) -> PageAnswer {
    let form = (fields, action, back);
    page(request, &OF_RECORD, objections, back, form)
}

/// The page in place of a form that plans and was stopped, in a room. `form` has the fields, the
/// address to which they are sent, and the address at which the form is filled in again.
pub(super) fn stopped_plan(
    request: &PageRequest<'_>,
    objections: &[Objection],
    room: &'static str,
    form: (&Fields, &str, &str),
) -> PageAnswer {
    page(request, &OF_PLAN, objections, room, form)
}

fn page(
    request: &PageRequest<'_>,
    words: &'static StopWords,
    objections: &[Objection],
    room: &'static str,
    (fields, action, back): (&Fields, &str, &str),
) -> PageAnswer {
    let sent = fields.beginning("");
    let sent = sent.filter(|(name, _)| !["token", ANYWAY].contains(name));
    Reply::wrong(&StoppedPage {
        layout: Layout::of(request, capital(words.undone), room),
        words,
        shown: ShownObjections::of(objections, &[]),
        hidden: sent.collect(),
        action,
        back,
    })
}
