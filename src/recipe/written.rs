//! A recipe that was put together by the program, as the text of its file.

use std::fmt::Write as _;

use toml_edit::Value;

use super::{Basis, Recipe, RecipeServing, TAP_WATER};
use crate::problem::{Problem, SourceText};
use crate::quantity::{Mass, Volume};

impl Recipe {
    /// Everything that it says, as the text of a recipe file, with the name of each food as a comment.
    ///
    /// Errors: it does not read back, such as a title that is empty.
    pub fn written<'a>(
        &self,
        names: impl Iterator<Item = &'a str>,
    ) -> Result<String, Vec<Problem>> {
        let mut text = format!("title = {}\n", quoted(&self.title));
        for (ingredient, name) in self.ingredients.iter().zip(names) {
            let mut line = |key: &str, value: String| {
                let _ = writeln!(text, "{key} = {value}");
            };
            line(
                "\n[[ingredient]]\nfood",
                format!("{}  # {}", quoted(&ingredient.food.value), one_line(name)),
            );
            if !ingredient.typed.is_empty() {
                line("typed", quoted(&one_line(&ingredient.typed)));
            }
            line("amount", quoted(&ingredient.amount.value.to_string()));
            if ingredient.basis == Basis::Edible {
                line("basis", quoted("edible"));
            }
            line("method", quoted(ingredient.method.value.word()));
            if let Some(stated) = &ingredient.yield_factor {
                line("yield", stated.value.to_string());
            }
            if let Some(weighed) = &ingredient.weighed {
                line("weighed", grams(weighed.value));
            }
            if let Some(row) = &ingredient.retention {
                line("retention", quoted(&row.value));
            }
        }
        self.write_rest(&mut text);
        Self::parse(&SourceText::new("the recipe", text.as_str()))?;
        Ok(text)
    }

    fn write_rest(&self, text: &mut String) {
        let liquid = &self.liquid;
        let water = &liquid.water.value;
        let volumes = [
            ("collected", liquid.collected.value),
            ("returned", liquid.returned.value),
            ("added", liquid.added.value),
        ];
        let volumes = volumes
            .into_iter()
            .filter(|(_, volume)| *volume > Volume::ZERO);
        let mut lines: Vec<String> = volumes
            .map(|(key, volume)| format!("{key} = {}", millilitres(volume)))
            .collect();
        if water != TAP_WATER {
            lines.push(format!("water = {}", quoted(water)));
        }
        table(text, "liquid", &lines);
        let masses = [("weighed", &self.puree.weighed), ("loss", &self.puree.loss)];
        let masses = masses.into_iter().filter_map(|(key, mass)| {
            mass.as_ref()
                .map(|mass| format!("{key} = {}", grams(mass.value)))
        });
        table(text, "puree", &masses.collect::<Vec<_>>());
        let mut lines = Vec::new();
        if self.serving.cubes != RecipeServing::default().cubes {
            lines.push(format!("cubes = {}", self.serving.cubes));
        }
        if !self.serving.reheat {
            lines.push("reheat = false".into());
        }
        table(text, "serving", &lines);
    }
}

fn table(text: &mut String, name: &str, lines: &[String]) {
    if !lines.is_empty() {
        let _ = writeln!(text, "\n[{name}]\n{}", lines.join("\n"));
    }
}

fn quoted(text: &str) -> String {
    Value::from(text).to_string()
}

fn one_line(text: &str) -> String {
    text.replace(char::is_control, " ")
}

fn grams(mass: Mass) -> String {
    quoted(&format!("{:.1} g", mass.grams()))
}

/// Cut, not rounded: what is returned must never exceed what was collected.
fn millilitres(volume: Volume) -> String {
    quoted(&format!(
        "{} ml",
        (volume.millilitres() * 10.0 + 1e-6).floor() / 10.0
    ))
}
