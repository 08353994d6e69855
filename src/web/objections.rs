//! Objections on a page: above the form that would record, and again as what was read when the form
//! is sent.

use super::Fields;
use crate::report::{ObjectionLine, objection_lines};
use crate::safety::{Objection, Severity};
use crate::words::capital;

/// The field with the keys of the blocking objections that the sender of a form has read and
/// overrides.
pub(super) const ANYWAY: &str = "anyway";

/// The objections to what a form would record.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct ShownObjections {
    /// The advice on a reaction that was just reported; shown before everything else.
    pub(super) answers: Vec<ObjectionLine>,
    /// The other objections as text, the gravest first.
    pub(super) lines: Vec<ObjectionLine>,
    /// The keys of the objections that block the form, sent back as hidden fields when they are
    /// overridden.
    pub(super) blocks: Vec<String>,
}

impl ShownObjections {
    /// The objections, followed by the warnings, which come without a full stop.
    pub(super) fn of(objections: &[Objection], warnings: &[String]) -> Self {
        let (answers, others): (Vec<_>, Vec<_>) =
            objections.iter().cloned().partition(Objection::is_answer);
        let mut lines = objection_lines(&others);
        lines.extend(warnings.iter().map(|words| warning(words)));
        Self {
            answers: objection_lines(&answers),
            lines,
            blocks: blocks(objections).collect(),
        }
    }

    /// A single sentence, such as the reason why nothing can be judged.
    pub(super) fn sentence(text: String) -> Self {
        Self {
            lines: vec![ObjectionLine {
                text,
                ..warning("")
            }],
            ..Self::default()
        }
    }
}

/// The gravest objection and the first sentence of its reason, where it stops something: for the
/// answer in short, which stays in sight.
pub(super) fn gravest_stop(lines: &[ObjectionLine]) -> Option<(&ObjectionLine, &str)> {
    let gravest = lines.first();
    let stop = gravest.filter(|line| line.severity == Severity::Block)?;
    Some((stop, first_sentence(&stop.text)))
}

/// The first sentence of a text.
pub(super) fn first_sentence(text: &str) -> &str {
    text.find(". ").map_or(text, |end| &text[..=end])
}

/// The link to all objections.
pub(super) fn read_on(lines: &[ObjectionLine]) -> String {
    match lines.len() {
        1 => "Read it".into(),
        many => format!("Read all {many}"),
    }
}

/// Whether the form overrides each of the objections that block it: its sender has read them.
pub(super) fn is_meant(fields: &Fields, objections: &[Objection]) -> bool {
    let read = fields.beginning(ANYWAY);
    let read: Vec<&str> = read
        .filter_map(|(rest, block)| rest.is_empty().then_some(block))
        .collect();
    blocks(objections).all(|block| read.contains(&block.as_str()))
}

/// The keys of blocking objections: hazard, child and foods.
fn blocks(objections: &[Objection]) -> impl Iterator<Item = String> {
    let blocks = objections.iter().filter(|objection| objection.is_block());
    blocks.map(|block| format!("{} {} {}", block.hazard, block.foods.join(" "), block.child))
}

/// A warning of the book as a line among the objections.
fn warning(words: &str) -> ObjectionLine {
    ObjectionLine {
        severity: Severity::Mind,
        about: String::new(),
        text: capital(words) + ".",
        instead: String::new(),
        source: "your own book".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn honey(severity: Severity, child: &str) -> Objection {
        Objection {
            hazard: "honey".into(),
            severity,
            child: child.into(),
            foods: vec!["19296".into()],
            names: vec!["Honey".into()],
            text: "On 2026-11-16 -- no; --honey.".into(),
            instead: "Fruit.".into(),
            source: "Source".into(),
        }
    }

    #[test]
    fn only_what_was_read_is_meant() {
        let wren = [honey(Severity::Block, "Wren")];
        let both = [
            honey(Severity::Block, "Wren"),
            honey(Severity::Block, "Ada"),
        ];
        let read = |objections: &[Objection]| {
            let fields = ShownObjections::of(objections, &[]).blocks;
            let mut form = form_urlencoded::Serializer::new(String::new());
            form.extend_pairs(fields.iter().map(|block| (ANYWAY, block)));
            Fields::parse(form.finish().as_bytes())
        };
        assert!(is_meant(&read(&wren), &wren) && is_meant(&read(&both), &both));
        assert!(is_meant(&read(&both), &wren));
        assert!(!is_meant(&read(&wren), &both), "Ada was not read of");
        assert!(!is_meant(&Fields::parse(b"anyway=yes"), &wren));
        assert!(is_meant(
            &Fields::default(),
            &[honey(Severity::Warn, "Wren")]
        ));
    }
}
