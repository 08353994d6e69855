//! Objections as lines of text, for the terminal, a card and the kitchen page alike.

use super::plan::short_name;
use super::text::Page;
use crate::safety::{Objection, RESPONSE, Severity};

/// What is said after something was recorded that the judge stops.
pub const WATCH: &str = "Recorded, as you said. Watch the child, and call the doctor if anything worries you; for trouble breathing, swollen lips or \
     tongue, or a pale and floppy child the emergency number (112, 911, 999) at once.";

/// One thing to know, for all children whom it concerns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ObjectionLine {
    /// How grave it is.
    pub severity: Severity,
    /// The foods and the children it is about; may be empty.
    pub about: String,
    /// What to know.
    pub text: String,
    /// What to do instead.
    pub instead: String,
    /// Publication.
    pub source: String,
}

impl ObjectionLine {
    /// The sign in front of it, which does not rely on colour.
    pub fn sign(&self) -> &'static str {
        match self.severity {
            Severity::Block => "STOP",
            Severity::Warn => "!",
            Severity::Mind => "-",
        }
    }

    /// The word for its severity on a page.
    pub fn called(&self) -> &'static str {
        match self.severity {
            Severity::Block => "Stop:",
            Severity::Warn => "Take care:",
            Severity::Mind => "Mind:",
        }
    }

    /// All of it in a sentence, without its source.
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
    let mut lines: Vec<(&Objection, Vec<&str>)> = Vec::new();
    for one in objections {
        let alike = |(known, _): &&mut (&Objection, Vec<&str>)| {
            known.hazard == one.hazard && known.text == one.text && known.foods == one.foods
        };
        match lines.iter_mut().find(alike) {
            Some((_, children)) => children.push(&one.child),
            None => lines.push((one, vec![&one.child])),
        }
    }
    let line = |(one, children): (&Objection, Vec<&str>)| ObjectionLine {
        severity: one.severity,
        about: about(one, &children),
        text: one.text.clone(),
        instead: one.instead.clone(),
        source: one.source.clone(),
    };
    lines.into_iter().map(line).collect()
}

/// Adds objections to a page of text, the gravest first.
pub fn objection_list(page: &mut Page, objections: &[Objection]) {
    let rows = objection_lines(objections);
    let rows = rows
        .iter()
        .map(|line| vec![line.sign().to_string(), line.sentence()]);
    page.rows(rows.collect());
}

/// "spinach, for Wren".
fn about(one: &Objection, children: &[&str]) -> String {
    /// More foods than this are counted.
    const MOST: usize = 3;
    let mut foods: Vec<String> = one
        .names
        .iter()
        .take(MOST)
        .map(|name| short_name(name))
        .collect();
    if one.names.len() > MOST {
        foods.push(format!("{} more", one.names.len() - MOST));
    }
    let children: Vec<&str> = children
        .iter()
        .copied()
        .filter(|name| !name.is_empty())
        .collect();
    match (foods.is_empty(), children.is_empty()) {
        (true, true) => String::new(),
        (false, true) => capital(&foods.join("; ")),
        // Whoever reads it has the child before the eyes, and no time.
        (true, false) if one.hazard == RESPONSE => String::new(),
        (true, false) => format!("For {}", children.join(" and ")),
        (false, false) => format!(
            "{}, for {}",
            capital(&foods.join("; ")),
            children.join(" and ")
        ),
    }
}

/// With a capital, as a sentence begins.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}
