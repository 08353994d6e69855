//! A plan that is to be recorded: judged before it is, and what it changes and breaks is printed.

use serde::Serialize;
use trayful::household::{BookJudge, objections_to_plan, plan_facts};
use trayful::notebook::{Book, Plan, Store};
use trayful::planning::facts::{Facts, Span};
use trayful::report::{Page, objection_list, plan_warnings};
use trayful::safety::Objection;
use trayful::spoken::Taken;

use crate::cli::failure::Failure;
use crate::cli::judged::{AnywayArg, stopped};
use crate::cli::{Answer, Session};

/// A plan that is to be recorded.
pub(super) struct NewPlan {
    pub(super) plan: Plan,
    pub(super) span: Span,
    /// The foods to which typed words were resolved.
    pub(super) taken: Vec<Taken>,
}

/// The answer of `plan set` and `plan import`: the objections to a plan, the rules it breaks and the changes made.
#[derive(Debug, Serialize)]
struct JudgedPlan {
    schema: u32,
    /// Whether the plan was recorded.
    recorded: bool,
    objections: Vec<Objection>,
    /// The changes that were recorded, a sentence each; empty if a block stopped them.
    changes: Vec<String>,
    /// Rules that the plan breaks and cubes that it lacks, in words.
    warnings: Vec<String>,
}

impl NewPlan {
    /// A plan for which no typed words had to be resolved.
    pub(super) fn of(plan: Plan, span: Span) -> Self {
        Self {
            plan,
            span,
            taken: Vec::new(),
        }
    }

    /// Judges and records the plan, unless an objection blocks it and is not overridden; answers with the changes, or
    /// that there are none. `changes` says them, by the plan and the former one of its days.
    pub(super) fn record(
        &self,
        (book, store): (&Book, &mut Store),
        changes: impl FnOnce(&Facts<'_>, &Plan, &Plan) -> Vec<String>,
        (anyway, json): (&AnywayArg, bool),
        session: &Session,
    ) -> Result<Answer, Failure> {
        let Self { plan, span, .. } = self;
        // Everything that may fail comes before anything is recorded.
        let before = store.planned(span.from, span.to)?;
        let facts = plan_facts(book, store, session.pantry(None)?, *span, plan.clone())?;
        let pantry = session.pantry(None)?;
        let judge = BookJudge::new(facts.settings, Some(store), &pantry)?;
        let objections = objections_to_plan(&judge, &facts, plan)?;
        let warnings = plan_warnings(&facts, *span, plan);
        let changes = changes(&facts, plan, &before);
        let stops = objections.iter().any(Objection::is_block);
        let recorded = !stops || anyway.is_meant(&objections, session, json);
        if recorded {
            store.plan(plan)?;
        }
        let judged = JudgedPlan {
            schema: 1,
            recorded,
            objections,
            changes: if recorded { changes } else { Vec::new() },
            warnings,
        };
        let answer = if json {
            session.json(&judged, &self.taken)?
        } else if recorded {
            Answer::text(judged.page(session))
        } else {
            let what = "Nothing was planned. If it is meant, say it again with --anyway.";
            stopped(&judged.objections, what, session)
        };
        Ok(answer.found_if(recorded))
    }
}

impl JudgedPlan {
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
