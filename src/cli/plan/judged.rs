//! What is said of a plan before it is recorded, and whether it is.

use serde::Serialize;
use trayful::household::{Objection, Severity, plan_objections};
use trayful::notebook::Plan;
use trayful::planning::facts::{Facts, Span};
use trayful::report::{Look, Page, objection_lines, plan_warnings};

use crate::cli::Answer;
use crate::cli::failure::Failure;

/// What stands against a plan, and which rules it breaks.
#[derive(Debug, Serialize)]
pub(super) struct Judged {
    schema: u32,
    /// Whether the plan was recorded.
    recorded: bool,
    objections: Vec<Objection>,
    /// What was recorded, in words.
    changes: Vec<String>,
    /// Rules that it breaks and cubes that it lacks, in words.
    warnings: Vec<String>,
}

impl Judged {
    /// Judges what is new in a plan.
    pub(super) fn of(facts: &Facts<'_>, span: Span, new: &Plan) -> Self {
        Self {
            schema: 1,
            recorded: false,
            objections: plan_objections(facts, |slot| new.meals.contains_key(slot)),
            changes: Vec::new(),
            warnings: plan_warnings(facts, span, new),
        }
    }

    /// Whether something is never to be given.
    pub(super) fn blocks(&self) -> bool {
        let mut objections = self.objections.iter();
        objections.any(|one| one.severity == Severity::Block)
    }

    /// The answer where nothing was recorded because something is never to be given.
    pub(super) fn refused(self, look: Look, json: bool) -> Result<Answer, Failure> {
        let mut answer = if json {
            Answer::json(&self)?
        } else {
            let mut page = Page::new(look);
            page.list(objection_lines(&self.objections));
            page.line("Nothing was recorded. If it is meant all the same, say --anyway.");
            Answer::text(page.finish())
        };
        answer.found = false;
        Ok(answer)
    }

    /// The answer where it was recorded, with what was changed.
    pub(super) fn recorded(
        self,
        changes: Vec<String>,
        look: Look,
        json: bool,
    ) -> Result<Answer, Failure> {
        let recorded = Self {
            recorded: true,
            changes,
            ..self
        };
        if json {
            return Answer::json(&recorded);
        }
        let mut page = Page::new(look);
        page.list(objection_lines(&recorded.objections));
        for line in &recorded.changes {
            page.paragraph(line);
        }
        page.list(
            recorded
                .warnings
                .iter()
                .map(|warning| format!("! {warning}")),
        );
        page.line("Take it back with `trayful undo`.");
        Ok(Answer::text(page.finish()))
    }
}
