//! Judges a plan before it is recorded, prints what it found, and decides whether it may be recorded.

use serde::Serialize;
use trayful::household::{BookJudge, objections_to_plan};
use trayful::notebook::{Plan, Store};
use trayful::planning::facts::{Facts, Span};
use trayful::report::{Page, objection_list, plan_warnings};
use trayful::safety::Objection;
use trayful::spoken::Taken;

use crate::cli::failure::Failure;
use crate::cli::judged::{AnywayArg, stopped};
use crate::cli::{Answer, Session};

/// The answer of `plan set` and `plan import`: the objections to a plan, the rules it breaks and the changes made.
#[derive(Debug, Serialize)]
pub(super) struct JudgedPlan {
    schema: u32,
    /// Whether the plan was recorded.
    recorded: bool,
    objections: Vec<Objection>,
    /// The changes that were recorded, a sentence each; empty if a block stopped them.
    changes: Vec<String>,
    /// Rules that the plan breaks and cubes that it lacks, in words.
    warnings: Vec<String>,
    /// The foods to which typed words were resolved.
    #[serde(skip)]
    taken: Vec<Taken>,
}

impl JudgedPlan {
    /// Judges what is new in a plan.
    pub(super) fn of(
        store: &Store,
        session: &Session,
        facts: &Facts<'_>,
        span: Span,
        new: &Plan,
    ) -> Result<Self, Failure> {
        let pantry = session.pantry(None)?;
        let judge = BookJudge::new(facts.settings, Some(store), &pantry)?;
        Ok(Self {
            schema: 1,
            recorded: false,
            objections: objections_to_plan(&judge, facts, new)?,
            changes: Vec::new(),
            warnings: plan_warnings(facts, span, new),
            taken: Vec::new(),
        })
    }

    /// Adds the foods to which typed words were resolved.
    pub(super) fn with_taken(self, taken: Vec<Taken>) -> Self {
        Self { taken, ..self }
    }

    /// Records the plan, unless an objection blocks it and is not overridden; answers with the changes, or that there
    /// are none.
    pub(super) fn record(
        mut self,
        (store, plan): (&mut Store, &Plan),
        changes: Vec<String>,
        (anyway, json): (&AnywayArg, bool),
        session: &Session,
    ) -> Result<Answer, Failure> {
        let stops = self.objections.iter().any(Objection::is_block);
        self.recorded = !stops || anyway.is_meant(&self.objections, session, json);
        if self.recorded {
            store.plan(plan)?;
            self.changes = changes;
        }
        let recorded = self.recorded;
        let mut answer = if json {
            session.json(&self, &self.taken)?
        } else if recorded {
            Answer::text(self.page(session))
        } else {
            let what = "Nothing was planned. If it is meant, say it again with --anyway.";
            stopped(&self.objections, what, session)
        };
        answer.found = recorded;
        Ok(answer)
    }

    fn page(&self, session: &Session) -> String {
        let mut page = Page::new(session.look);
        objection_list(&mut page, &self.objections);
        for line in &self.changes {
            page.paragraph(line);
        }
        page.warnings(self.warnings.iter().cloned());
        page.line("Take it back with `trayful undo`.");
        page.finish()
    }
}
