//! Objections on a page: above the form that would record, and again as what was read when the form is sent.

use super::fields::Fields;
use crate::report::{ObjectionLine, objection_lines};
use crate::safety::{Objection, Severity};
use crate::words::capital;

/// The fields that say which objections were read although they stop a form.
pub(super) const ANYWAY: &str = "anyway";

/// What speaks against something that a form would record.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Shown {
    /// What to do about a reaction that was just reported, before everything else.
    pub(super) answers: Vec<ObjectionLine>,
    /// The others in words, the gravest first.
    pub(super) lines: Vec<ObjectionLine>,
    /// Those that stop the form, as its fields say them again.
    pub(super) blocks: Vec<String>,
}

impl Shown {
    /// Objections, and warnings without their full stop behind them.
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

    /// One sentence alone, such as why nothing can be judged.
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

/// Whether the form was sent by someone who read each of the objections that stop it.
pub(super) fn is_meant(fields: &Fields, objections: &[Objection]) -> bool {
    let read = fields.beginning(ANYWAY);
    let read: Vec<&str> = read
        .filter_map(|(rest, block)| rest.is_empty().then_some(block))
        .collect();
    blocks(objections).all(|block| read.contains(&block.as_str()))
}

/// What stops a form: the hazard, the child, and the foods.
fn blocks(objections: &[Objection]) -> impl Iterator<Item = String> {
    let blocks = objections.iter().filter(|one| one.is_block());
    blocks.map(|one| format!("{} {} {}", one.hazard, one.foods.join(" "), one.child))
}

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
            let fields = Shown::of(objections, &[]).blocks;
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
