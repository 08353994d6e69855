//! What a command answers: text, or JSON with how typed words were taken.

use serde::Deserialize as _;
use trayful::problem::Problem;
use trayful::report::Page;
use trayful::safety::{Objection, gravest_first};
use trayful::spoken::{Taken, TakenLine};

use super::Session;
use super::again::undo_command;
use super::day::TakenDay;
use super::failure::Failure;

/// The output of a command.
pub(super) struct Answer {
    pub(super) text: String,
    pub(super) found: bool,
    pub(super) warnings: Vec<Problem>,
    /// Notes on how words were resolved, for standard error, each a sentence without its full stop.
    pub(super) understood: Vec<String>,
}

impl Answer {
    pub(super) fn text(text: String) -> Self {
        Self {
            text,
            found: true,
            warnings: Vec::new(),
            understood: Vec::new(),
        }
    }

    /// The answer “no”: nothing was found, or a check failed.
    pub(super) fn no(text: impl Into<String>) -> Self {
        Self::text(text.into()).found_if(false)
    }

    /// Sets whether the command found what was asked for, which its exit code says.
    pub(super) fn found_if(self, found: bool) -> Self {
        Self { found, ..self }
    }

    /// Adds warnings for standard error.
    pub(super) fn warning_of(self, warnings: Vec<Problem>) -> Self {
        Self { warnings, ..self }
    }

    /// Adds a note for standard error on each food that was read from words.
    pub(super) fn understood_as(self, taken: &[Taken]) -> Self {
        let by_words = taken.iter().filter(|food| food.by_words);
        Self {
            understood: by_words.map(Taken::words).collect(),
            ..self
        }
    }

    /// The answers about several children as one: found if each is.
    pub(super) fn of_each(answers: Vec<Self>) -> Self {
        let mut all = Self::text(String::new());
        for (at, answer) in answers.into_iter().enumerate() {
            if at > 0 {
                all.text.push('\n');
            }
            all.text += &answer.text;
            all.found &= answer.found;
            all.warnings.extend(answer.warnings);
            for words in answer.understood {
                if !all.understood.contains(&words) {
                    all.understood.push(words);
                }
            }
        }
        all
    }

    pub(super) fn json(value: &impl serde::Serialize) -> Result<Self, Failure> {
        Ok(Self::text(serde_json::to_string_pretty(value)? + "\n"))
    }
}

impl Session {
    /// An answer of one paragraph.
    pub(super) fn paragraph(&self, words: &str) -> Answer {
        let mut page = Page::new(self.look);
        page.paragraph(words);
        Answer::text(page.finish())
    }

    /// Adds a line to the end of an answer; beside JSON it is a note.
    pub(super) fn end_with(&self, words: &str, json: bool, answer: &mut Answer) {
        if json {
            self.output.note(words);
        } else {
            answer.text.extend(["\n", words, "\n"]);
        }
    }

    /// An answer in JSON that includes how words for foods and for days were resolved.
    pub(super) fn json(
        &self,
        report: &impl serde::Serialize,
        taken: &[Taken],
    ) -> Result<Answer, Failure> {
        let by_words = taken.iter().filter(|food| food.by_words);
        let foods = by_words.map(|food| TakenWords::Food(food.line()));
        let days = self.days.borrow();
        let days = days.iter().cloned().map(TakenWords::Day);
        Answer::json(&WithTaken {
            report,
            taken: foods.chain(days).collect(),
        })
    }

    /// [`Session::json`] for a report of each child: the report of one child itself; of several
    /// children a list, after the objections of all of them.
    pub(super) fn json_of_each<T: serde::Serialize>(
        &self,
        reports: &[T],
        taken: &[Taken],
    ) -> Result<Answer, Failure> {
        let several = match reports {
            [report] => return self.json(report, taken),
            several => several.iter().map(serde_json::to_value),
        };
        let children: Vec<serde_json::Value> = several.collect::<Result<_, _>>()?;
        let mut objections: Vec<Objection> = Vec::new();
        for of_child in children.iter().filter_map(|child| child.get("objections")) {
            objections.extend(Vec::<Objection>::deserialize(of_child)?);
        }
        gravest_first(&mut objections);
        let all = OfEach {
            schema: 1,
            objections,
            children,
        };
        self.json(&all, taken)
    }
}

/// The reports of several children, each the object that one child alone has.
#[derive(serde::Serialize)]
struct OfEach {
    schema: u32,
    objections: Vec<Objection>,
    children: Vec<serde_json::Value>,
}

/// What typed words were resolved to.
#[derive(serde::Serialize)]
#[serde(untagged)]
enum TakenWords {
    Food(TakenLine),
    Day(TakenDay),
}

/// A report, and what typed words were resolved to.
#[derive(serde::Serialize)]
struct WithTaken<'a, T> {
    #[serde(flatten)]
    report: &'a T,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    taken: Vec<TakenWords>,
}

/// The sentence with the command that takes back the entries that were just recorded.
pub(super) fn take_back(entries: &[i64]) -> String {
    match entries {
        [] | [_] => "Take it back with `trayful undo`.".into(),
        several => format!("Take them back with {}.", undo_command(several)),
    }
}
