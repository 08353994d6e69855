//! The next step of a person, as a value: each interface says in its own words where it is done.

/// The names of one child.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChildNames {
    /// The name in the record.
    pub from: String,
    /// The name in `book.toml`.
    pub to: String,
}

/// A bowl in the words in which it was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypedBowl {
    /// The parts of the bowl.
    pub parts: Vec<String>,
    /// The child, where the book has several.
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
    /// See the cubes in the freezer.
    SeeFreezer,
    /// Record this bowl as a meal.
    ServeThis(Box<TypedBowl>),
    /// Weigh the blended purée.
    WeighPuree,
    /// See the evidence behind a short answer.
    SeeEvidence,
    /// See the page of the visit.
    SeeVisitPage,
    /// See the source of each figure.
    SeeSources,
    /// See what each part of a proposed plan is worth.
    SeePoints,
    /// See what is wrong with a plan.
    CheckPlan,
    /// Record the prices of foods.
    RecordPrices,
    /// Plan meals one by one.
    PlanMeals,
    /// Plan future meals.
    PlanAhead,
    /// State how much is eaten a day.
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
    /// Use the book that exists.
    UseBook,
    /// Look into the file of own foods.
    SeeOwnFoods,
    /// Begin a file of own foods.
    StartOwnFoods,
    /// Name the food data or the file of own foods with a food.
    NameFoods,
    /// See a food by its id.
    ShowFood(String),
    /// Calculate a batch.
    CalculateBatch,
    /// See the keys of a request for combinations.
    SeeCombineKeys,
    /// See the entries of the record with their numbers.
    SeeHistory,
    /// Take back the entry with this number.
    Undo(i64),
    /// Restore what the undo with this number took back.
    Redo(i64),
    /// Join the entries of a child under a former name with those under its present name.
    RenameChild(Box<ChildNames>),
    /// Write these allergies of a child down.
    SetAllergies(Box<ChildAllergies>),
}

impl NextStep {
    /// Find a food, without better words to look for.
    pub fn find_food() -> Self {
        Self::FindFood("sweet potato".into())
    }

    /// The next step where no food has an id.
    pub fn without_food(id: &str) -> Self {
        if id.starts_with("own-") {
            Self::SeeOwnFoods
        } else {
            Self::find_food()
        }
    }
}

/// Words that are the same in every interface, without a full stop, and a next step.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Remark {
    /// The words; empty where the step says everything.
    pub words: String,
    /// The next step, where there is one.
    pub next: Option<NextStep>,
}

impl Remark {
    /// A remark of words and a step.
    pub fn with(words: impl Into<String>, next: NextStep) -> Self {
        Self {
            words: words.into(),
            next: Some(next),
        }
    }

    /// The remark as one clause, with the step in the words of an interface; `step` returns `None`
    /// for a step that the interface does not have.
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
