//! What stands against a meal, in lines of text.

use crate::household::{Objection, Severity};

/// A line for each: what it is, what to do instead, and who says so.
pub fn objection_lines(objections: &[Objection]) -> Vec<String> {
    let line = |one: &Objection| {
        let mark = match one.severity {
            Severity::Block => "STOP",
            Severity::Warn => "!",
            Severity::Mind => "Mind",
        };
        format!(
            "{mark} {}: {}. {} ({})",
            one.child, one.text, one.instead, one.source
        )
    };
    objections.iter().map(line).collect()
}
