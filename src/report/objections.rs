//! Objections as lines of text, for the terminal, a card and the kitchen page alike.

use std::collections::BTreeSet;

use super::plan::short_name;
use super::text::Page;
use crate::safety::{DANGER_SIGNS, EMERGENCY_NUMBERS, Objection, RESPONSE, Severity};
use crate::words::{capital, grouped, joined};

/// The sign in front of what is stopped.
pub const STOP: &str = "STOP";

/// The sentences shown after something was recorded against an objection that stops it.
pub fn watch_the_child() -> String {
    format!(
        "Recorded, as you said. Watch the child, and call the doctor if anything worries you; for {DANGER_SIGNS} call \
         the emergency number ({EMERGENCY_NUMBERS}) at once."
    )
}

/// An objection, merged for all children whom it concerns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ObjectionLine {
    /// The severity.
    pub severity: Severity,
    /// The foods and the children it is about; may be empty.
    pub about: String,
    /// The reason for the objection.
    pub text: String,
    /// The alternative that is recommended.
    pub instead: String,
    /// Publication.
    pub source: String,
}

impl ObjectionLine {
    /// The sign in front of it, which does not rely on colour.
    pub fn sign(&self) -> &'static str {
        match self.severity {
            Severity::Block => STOP,
            Severity::Warn => "!",
            Severity::Mind => "-",
        }
    }

    /// The name of the severity on a page.
    pub fn called(&self) -> &'static str {
        match self.severity {
            Severity::Block => "Stop:",
            Severity::Warn => "Take care:",
            Severity::Mind => "Mind:",
        }
    }

    /// The objection as a sentence, without its source.
    pub fn sentence(&self) -> String {
        let about = if self.about.is_empty() {
            String::new()
        } else {
            format!("{}: ", self.about)
        };
        let instead = match self.severity {
            Severity::Block | Severity::Warn if !self.instead.is_empty() => {
                format!(" Instead: {}", self.instead)
            }
            _ => String::new(),
        };
        format!("{about}{}{instead}", self.text)
    }
}

/// The lines of objections, in their order; what concerns several children alike is one line.
pub fn objection_lines(objections: &[Objection]) -> Vec<ObjectionLine> {
    let found = objections.iter();
    let found = found.map(|one| ((&one.hazard, &one.text, &one.foods), one));
    let line = |alike: Vec<&Objection>| {
        let first = alike.first()?;
        // An objection that is not about a food is found with each food that is judged: a child is named once.
        let mut seen = BTreeSet::new();
        let children = alike.iter().map(|one| one.child.as_str());
        let children = children.filter(|child| seen.insert(*child));
        Some(ObjectionLine {
            severity: first.severity,
            about: about(first, children),
            text: first.text.clone(),
            instead: first.instead.clone(),
            source: first.source.clone(),
        })
    };
    let lines = grouped(found)
        .into_iter()
        .filter_map(|(_, alike)| line(alike));
    lines.collect()
}

/// Adds objections to a page of text, the gravest first.
pub fn objection_list(page: &mut Page, objections: &[Objection]) {
    let rows = objection_lines(objections);
    let rows = rows
        .iter()
        .map(|line| vec![line.sign().to_string(), line.sentence()]);
    page.rows(rows, &[]);
}

/// "spinach, for Wren".
fn about<'a>(objection: &Objection, children: impl Iterator<Item = &'a str>) -> String {
    const MOST: usize = 3;
    let names = objection
        .names
        .iter()
        .take(MOST)
        .map(|name| short_name(name));
    let more = objection.names.len().saturating_sub(MOST);
    let foods = names.chain((more > 0).then(|| format!("{more} more")));
    let foods = capital(&joined(foods, "; "));
    let children = joined(children.filter(|name| !name.is_empty()), " and ");
    match (foods.is_empty(), children.is_empty()) {
        (_, true) => foods,
        (true, false) if objection.hazard == RESPONSE => String::new(),
        (true, false) => format!("For {children}"),
        (false, false) => format!("{foods}, for {children}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn born_early(child: &str) -> Objection {
        Objection {
            hazard: "born-early".into(),
            severity: Severity::Mind,
            child: child.into(),
            foods: Vec::new(),
            names: Vec::new(),
            text: "Born early: ask when to start.".into(),
            instead: String::new(),
            source: String::new(),
        }
    }

    #[test]
    fn each_child_is_named_once() {
        let found = ["Milo", "Wren", "Milo"].map(born_early);
        let lines = objection_lines(&found);
        let sentences: Vec<_> = lines.iter().map(ObjectionLine::sentence).collect();
        let wanted = "For Milo and Wren: Born early: ask when to start.";
        assert_eq!(sentences, [wanted]);
    }
}
