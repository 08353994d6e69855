//! What to do next, as a value: each door says by its own words where that is done.

/// The names of one child.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChildNames {
    /// The name in the record.
    pub from: String,
    /// The name in `book.toml`.
    pub to: String,
}

/// A bowl in the words it was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypedBowl {
    /// Its parts.
    pub parts: Vec<String>,
    /// For whom, where the book has several children.
    pub child: Option<String>,
}

/// Allergies of a child as they are to be on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChildAllergies {
    /// The child.
    pub child: String,
    /// Every one of them, with commas between them.
    pub allergies: String,
}

/// Something a person can do next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NextStep {
    /// Find a food by kitchen words.
    FindFood(String),
    /// See which cubes there are.
    SeeFreezer,
    /// Record this bowl as a meal.
    ServeThis(Box<TypedBowl>),
    /// Put the blended purée on the scale.
    WeighPuree,
    /// See what a short answer rests on.
    SeeEvidence,
    /// See the page of the visit.
    SeeVisitPage,
    /// See the source of each figure.
    SeeSources,
    /// See what each part of a proposed plan is worth.
    SeePoints,
    /// See what is wrong with a plan.
    CheckPlan,
    /// Say what foods cost.
    RecordPrices,
    /// Plan meals one by one.
    PlanMeals,
    /// Plan what is still to come.
    PlanAhead,
    /// Say how much a day is eaten.
    SayPace,
    /// Record what was eaten.
    RecordMeal,
    /// Plan what is to be cooked.
    PlanCooking,
    /// See how the table of a plan is written.
    SeePlanFile,
    /// Make a book where there is none.
    StartBook,
    /// Make another book to import into.
    StartEmptyBook,
    /// Use the book that is there.
    UseBook,
    /// Look into the file of own foods.
    SeeOwnFoods,
    /// Begin a file of own foods.
    StartOwnFoods,
    /// Name the data or the own foods that a food is in.
    NameFoods,
    /// See a food by its id.
    ShowFood(String),
    /// Calculate a batch.
    CalculateBatch,
    /// See the keys of what the finder of combinations is asked.
    SeeCombineKeys,
    /// See the entries of the record with their numbers.
    SeeHistory,
    /// Take back the entry of this number.
    Undo(i64),
    /// Put back what the undo of this number took.
    Redo(i64),
    /// Join what the record has of a child under a former name with the child as it is called now.
    RenameChild(Box<ChildNames>),
    /// Write these allergies of a child down.
    SetAllergies(Box<ChildAllergies>),
}

impl NextStep {
    /// Find a food, where there are no better words to look for.
    pub fn find_food() -> Self {
        Self::FindFood("sweet potato".into())
    }

    /// What to do where no food has an id.
    pub fn without_food(id: &str) -> Self {
        if id.starts_with("own-") {
            Self::SeeOwnFoods
        } else {
            Self::find_food()
        }
    }
}

/// Words that are the same at every door, without a full stop, and what to do next.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Remark {
    /// The words; empty where the step says all.
    pub words: String,
    /// The step.
    pub next: Option<NextStep>,
}

impl Remark {
    /// Words and a step.
    pub fn with(words: impl Into<String>, next: NextStep) -> Self {
        Self {
            words: words.into(),
            next: Some(next),
        }
    }

    /// One clause, the step in the words of a door; none there for a step that is not taken at that door.
    pub fn clause(&self, step: impl FnOnce(&NextStep) -> Option<String>) -> String {
        let step = self.next.as_ref().and_then(step);
        match (self.words.as_str(), step) {
            (words, None) => words.trim_end_matches(':').to_owned(),
            ("", Some(step)) => step,
            // A colon leads to the step itself.
            (words, Some(step)) if words.ends_with(':') => format!("{words} {step}"),
            (words, Some(step)) => format!("{words}; {step}"),
        }
    }
}

impl From<&str> for Remark {
    fn from(words: &str) -> Self {
        words.to_string().into()
    }
}

impl From<String> for Remark {
    fn from(words: String) -> Self {
        Self { words, next: None }
    }
}

impl From<NextStep> for Remark {
    fn from(next: NextStep) -> Self {
        Self::with("", next)
    }
}
