//! A recipe on its way to a file: what a form says, as the text that a person would write. One validation then holds for both.

use std::ops::Range;
use std::sync::Arc;

use super::Recipe;
use crate::problem::{Problem, SourceText};

/// A recipe as it is typed, word for word.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Draft {
    /// Its title.
    pub title: String,
    /// What goes in.
    pub ingredients: Vec<DraftIngredient>,
    /// Cooking liquid collected, in millilitres; empty for none.
    pub collected: String,
    /// The part of it that is blended back in, in millilitres; empty for none.
    pub returned: String,
    /// Plain water blended in, in millilitres; empty for none.
    pub added: String,
    /// Cubes of a serving; empty for the usual.
    pub cubes: String,
}

/// An ingredient as it is typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct DraftIngredient {
    /// Id of the food.
    pub food: String,
    /// Its name, for whoever reads the file.
    pub name: String,
    /// How much: a number.
    pub amount: String,
    /// Of what: a unit.
    pub unit: String,
    /// How it is cooked.
    pub method: String,
    /// Whether the amount is that of the trimmed food.
    pub edible: bool,
}

/// A part of a draft that something may be wrong with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The title.
    Title,
    /// The food of an ingredient, counted from 0.
    Food(usize),
    /// Its amount.
    Amount(usize),
    /// Its method.
    Method(usize),
    /// The liquid collected.
    Collected,
    /// The liquid returned.
    Returned,
    /// The water added.
    Added,
    /// The cubes of a serving.
    Cubes,
}

/// A draft written down.
#[derive(Debug)]
pub struct Written {
    source: Arc<SourceText>,
    parts: Vec<(Range<usize>, Part)>,
}

impl Draft {
    /// Writes it down as TOML.
    pub fn written(&self) -> Written {
        let mut pen = Pen::default();
        pen.key("title", &quoted(&self.title), Part::Title);
        for (n, one) in self.ingredients.iter().enumerate() {
            pen.line(&format!("\n# {}", one_line(&one.name)));
            pen.line("[[ingredient]]");
            pen.key("food", &quoted(&one.food), Part::Food(n));
            let amount = format!("{} {}", one.amount, one.unit);
            pen.key("amount", &quoted(amount.trim()), Part::Amount(n));
            if one.edible {
                pen.line("basis = \"edible\"");
            }
            pen.key("method", &quoted(&one.method), Part::Method(n));
        }
        let liquid = [
            ("collected", &self.collected, Part::Collected),
            ("returned", &self.returned, Part::Returned),
            ("added", &self.added, Part::Added),
        ];
        if liquid.iter().any(|(_, said, _)| !said.is_empty()) {
            pen.line("\n[liquid]");
        }
        for (key, said, part) in liquid {
            if !said.is_empty() {
                pen.key(key, &quoted(&format!("{said} ml")), part);
            }
        }
        if !self.cubes.is_empty() {
            pen.line("\n[serving]");
            // What is no number stays a text, so that reading it says what is wrong.
            let number = self.cubes.parse::<u32>().map(|cubes| cubes.to_string());
            let cubes = number.unwrap_or_else(|_| quoted(&self.cubes));
            pen.key("cubes", &cubes, Part::Cubes);
        }
        Written {
            source: SourceText::new("the recipe", pen.text),
            parts: pen.parts,
        }
    }
}

impl Written {
    /// The text of the file.
    pub fn text(&self) -> &str {
        &self.source.text
    }

    /// Reads it as any recipe file is read.
    ///
    /// Errors: what is wrong in it, each problem with its place.
    pub fn recipe(&self) -> Result<Recipe, Vec<Problem>> {
        Recipe::parse(&self.source)
    }

    /// The part that a problem is about, where it lies in one.
    pub fn part(&self, problem: &Problem) -> Option<Part> {
        let place = problem.place.as_ref()?;
        let whole = 0..self.source.text.len();
        if !Arc::ptr_eq(&place.source, &self.source) || place.span == whole {
            return None;
        }
        let mut parts = self.parts.iter();
        let found = parts.find(|(span, _)| span.contains(&place.span.start));
        found.map(|(_, part)| *part)
    }
}

/// Writes lines and remembers where the parts stand.
#[derive(Default)]
struct Pen {
    text: String,
    parts: Vec<(Range<usize>, Part)>,
}

impl Pen {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn key(&mut self, key: &str, value: &str, part: Part) {
        let start = self.text.len();
        self.line(&format!("{key} = {value}"));
        self.parts.push((start..self.text.len(), part));
    }
}

/// A text in quotes, on one line.
fn quoted(text: &str) -> String {
    toml::Value::from(one_line(text)).to_string()
}

/// A text without what would end its line.
fn one_line(text: &str) -> String {
    text.replace(char::is_control, " ").trim().to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn squash() -> Draft {
        Draft {
            title: "Squash".into(),
            ingredients: vec![DraftIngredient {
                food: "11485".into(),
                name: "Squash, winter, butternut, raw".into(),
                amount: "600".into(),
                unit: "g".into(),
                method: "steam".into(),
                edible: false,
            }],
            collected: "250".into(),
            returned: "200".into(),
            ..Draft::default()
        }
    }

    #[test]
    fn a_draft_is_written_as_a_person_would() {
        let written = squash().written();
        let text = "title = \"Squash\"\n\n# Squash, winter, butternut, raw\n[[ingredient]]\nfood = \"11485\"\n\
                    amount = \"600 g\"\nmethod = \"steam\"\n\n[liquid]\ncollected = \"250 ml\"\nreturned = \"200 ml\"\n";
        assert_eq!(written.text(), text);
        assert_eq!(written.recipe().unwrap().ingredients.len(), 1);
    }

    #[test]
    fn a_problem_is_told_of_its_part() {
        let mut draft = squash();
        draft.ingredients[0].amount = "lots".into();
        draft.ingredients[0].method = "fry".into();
        draft.returned = "300".into();
        draft.cubes = "two".into();
        let written = draft.written();
        let problems = written.recipe().unwrap_err();
        let parts: Vec<_> = problems
            .iter()
            .filter_map(|problem| written.part(problem))
            .collect();
        let expected = [
            Part::Amount(0),
            Part::Method(0),
            Part::Returned,
            Part::Cubes,
        ];
        assert_eq!(parts, expected, "{problems:?}");
    }

    proptest! {
        /// Whatever is typed stays what it is: it adds no key and no ingredient.
        #[test]
        fn words_stay_words(title in "\\PC*[\"\\\\\n\\[\\]=#']{0,9}\\PC*", name in "\\PC*\n?\\[\\[ingredient\\]\\]\\PC*") {
            let mut draft = squash();
            draft.title = title.clone();
            draft.ingredients[0].name = name;
            match draft.written().recipe() {
                Ok(recipe) => {
                    prop_assert_eq!(recipe.title, one_line(&title));
                    prop_assert_eq!(recipe.ingredients.len(), 1);
                    prop_assert_eq!(recipe.freezer.days, None);
                }
                Err(problems) => prop_assert!(one_line(&title).is_empty(), "{problems:?}"),
            }
        }
    }
}
