//! A recipe told on the command line: `--add "600 g 11485 steam" --returned 100ml/300ml`.

use std::sync::Arc;

use super::file::{read_amount, read_mass, read_volume};
use super::{Basis, FreezerLife, Ingredient, Liquid, Puree, Recipe, Serving};
use crate::problem::{Located, Place, Problem, SourceText};

/// What was said on the command line, word for word.
#[derive(Debug, Clone, Default)]
pub struct Additions {
    /// `AMOUNT ID METHOD [edible]`, one an ingredient.
    pub add: Vec<String>,
    /// `RETURNED/COLLECTED`.
    pub returned: Option<String>,
    /// Plain water.
    pub added: Option<String>,
    /// The blended batch on the scale.
    pub weighed: Option<String>,
}

/// Makes a recipe of what was said.
///
/// Errors: every problem, with the option and the column inside it.
pub fn from_command_line(said: &Additions) -> Result<Recipe, Vec<Problem>> {
    let mut problems = Vec::new();
    let mut keep = |result: Result<(), Problem>| problems.extend(result.err());
    let mut ingredients = Vec::new();
    for text in &said.add {
        keep(ingredient(&SourceText::new("--add", text)).map(|one| ingredients.push(one)));
    }
    let mut liquid = Liquid::none();
    if let Some(text) = &said.returned {
        keep(returned(&SourceText::new("--returned", text), &mut liquid));
    }
    if let Some(text) = &said.added {
        let source = SourceText::new("--added", text);
        keep(read(&source, 0..text.len(), read_volume).map(|volume| liquid.added = volume));
    }
    let mut puree = Puree::default();
    if let Some(text) = &said.weighed {
        let source = SourceText::new("--weighed", text);
        keep(read(&source, 0..text.len(), read_mass).map(|mass| puree.weighed = Some(mass)));
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let title = "A batch from the command line".to_string();
    Ok(Recipe {
        title,
        ingredients,
        liquid,
        puree,
        serving: Serving::default(),
        freezer: FreezerLife::default(),
    })
}

/// Reads `600 g 11485 steam` or `2 cup, cubes 11485 steam edible`.
fn ingredient(source: &Arc<SourceText>) -> Result<Ingredient, Problem> {
    let words = words_of(&source.text);
    let (words, basis) = match words.split_last() {
        Some((last, rest)) if &source.text[last.clone()] == "edible" => (rest, Basis::Edible),
        _ => (&words[..], Basis::Purchased),
    };
    let [amount @ .., food, method] = words else {
        return Err(shape(source));
    };
    let (Some(first), Some(last)) = (amount.first(), amount.last()) else {
        return Err(shape(source));
    };
    // The method first: where it was left out, the words before it are not what they seem.
    let method = read(source, method.clone(), |word| {
        word.parse()
            .map_err(|e: crate::cooking::UnknownMethod| (e.to_string(), e.hint()))
    })?;
    let amount = read(source, first.start..last.end, read_amount)?;
    if amount.value.number() <= 0.0 {
        return Err(amount
            .problem("the amount is zero")
            .hint("write how much goes in"));
    }
    Ok(Ingredient {
        food: Located::at(
            source.text[food.clone()].to_string(),
            Place::new(source, food.clone()),
        ),
        amount,
        basis,
        method,
        yield_factor: None,
        weighed: None,
        retention: None,
    })
}

fn shape(source: &Arc<SourceText>) -> Problem {
    Problem::at(
        Place::whole(source),
        "an ingredient is an amount, a food id and a method",
    )
    .hint("such as --add \"600 g 11485 steam\"; find ids with `trayful foods sweet potato`")
}

/// Reads `100ml/300ml` into a liquid.
fn returned(source: &Arc<SourceText>, liquid: &mut Liquid) -> Result<(), Problem> {
    let hint = "write RETURNED/COLLECTED, such as --returned 100ml/300ml";
    let text = &source.text;
    // A slash followed by a digit after a letter parts the volumes; `1/2 cup/3 cup` has three.
    let slash = text
        .char_indices()
        .find(|(at, c)| *c == '/' && text[..*at].contains(char::is_alphabetic))
        .map(|(at, _)| at)
        .ok_or_else(|| Problem::at(Place::whole(source), "one volume is missing").hint(hint))?;
    let returned = read(source, 0..slash, read_volume)?;
    let collected = read(source, slash + 1..text.len(), read_volume)?;
    if returned.value > collected.value {
        let what = "more liquid is returned than was collected";
        return Err(returned.problem(what).hint(hint));
    }
    liquid.returned = returned;
    liquid.collected = collected;
    Ok(())
}

fn read<T>(
    source: &Arc<SourceText>,
    span: std::ops::Range<usize>,
    read: impl Fn(&str) -> Result<T, (String, String)>,
) -> Result<Located<T>, Problem> {
    let place = Place::new(source, span);
    let text = source.text.get(place.span.clone()).unwrap_or("");
    match read(text) {
        Ok(value) => Ok(Located::at(value, place)),
        Err((what, hint)) => Err(Problem::at(place, what).hint(hint)),
    }
}

/// Byte ranges of the words of a text.
fn words_of(text: &str) -> Vec<std::ops::Range<usize>> {
    let start = text.as_ptr() as usize;
    text.split_whitespace()
        .map(|word| {
            let at = word.as_ptr() as usize - start;
            at..at + word.len()
        })
        .collect()
}
