//! An objection to giving foods to a child, as data for every interface.

use serde::{Deserialize, Serialize};

/// The severity of an objection, the gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Never at this age, or never this way: nothing is recorded, planned or proposed unless the
    /// parent confirms that it is meant.
    Block,
    /// A warning, said before the figures, beside the meal; no proposal holds one.
    Warn,
    /// A remark in one quiet line.
    Mind,
}

impl Severity {
    /// The word for it in JSON and in tables.
    pub fn word(self) -> &'static str {
        match self {
            Self::Block => "block",
            Self::Warn => "warn",
            Self::Mind => "mind",
        }
    }
}

/// An objection to giving some foods to a child.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Objection {
    /// Stable name of the hazard, such as `honey`.
    pub hazard: String,
    /// The severity.
    pub severity: Severity,
    /// The child; empty where none was named.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub child: String,
    /// Ids of the foods concerned; empty where the objection is about the meal or the child.
    pub foods: Vec<String>,
    /// Names of these foods.
    pub names: Vec<String>,
    /// The objection in one or two plain sentences.
    pub text: String,
    /// What to do instead; may be empty.
    pub instead: String,
    /// Issuing body, title, year; or "common practice, no source".
    pub source: String,
}

impl Objection {
    /// Whether nothing may be recorded, planned or proposed before the parent confirms that it is
    /// meant.
    pub fn is_block(&self) -> bool {
        self.severity == Severity::Block
    }

    /// Whether the objection answers a reaction that was just reported.
    pub fn is_answer(&self) -> bool {
        self.hazard == super::reactions::RESPONSE
    }

    /// Whether it is about the age at which solids begin, so that it is the same for every food.
    pub fn is_before_solids(&self) -> bool {
        super::judge::BEFORE_SOLIDS.contains(&self.hazard.as_str())
    }

    /// Whether it says how to begin with an allergen.
    pub fn is_first_time(&self) -> bool {
        self.hazard == super::first_tastes::FIRST_TIME
    }

    /// Whether the objection is about a reaction that was noted before, and that no doctor has
    /// cleared.
    pub fn is_noted(&self) -> bool {
        self.hazard == super::on_record::NOTED
    }

    /// Whether the objection is about the days of waiting between new foods.
    pub fn is_about_waiting(&self) -> bool {
        self.hazard == super::first_tastes::NEW_FOODS
    }

    /// Whether a proposal may not have the objection, and a check of a plan fails on it.
    pub fn bars_a_plan(&self) -> bool {
        self.severity != Severity::Mind
    }
}

/// Sorts objections, the gravest first; a reaction that was just seen comes before everything.
pub fn gravest_first(objections: &mut [Objection]) {
    objections.sort_by_key(|objection| (!objection.is_answer(), objection.severity));
}

/// Objections, each once.
pub fn distinct<'a>(objections: impl IntoIterator<Item = &'a Objection>) -> Vec<Objection> {
    let mut found: Vec<Objection> = Vec::new();
    for objection in objections {
        if !found.contains(objection) {
            found.push(objection.clone());
        }
    }
    found
}

/// Objections to several foods, those of one hazard, child and text as one about all their foods.
pub fn by_reason<'a>(objections: impl IntoIterator<Item = &'a Objection>) -> Vec<Objection> {
    let mut found: Vec<Objection> = Vec::new();
    for new in objections {
        let reason = |one: &&mut Objection| {
            (&one.hazard, &one.child, &one.text) == (&new.hazard, &new.child, &new.text)
        };
        let Some(known) = found.iter_mut().find(reason) else {
            found.push(new.clone());
            continue;
        };
        for (food, name) in new.foods.iter().zip(&new.names) {
            if !known.foods.contains(food) {
                known.foods.push(food.clone());
                known.names.push(name.clone());
            }
        }
    }
    found
}
