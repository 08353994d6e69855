//! An option that takes one of a few words.

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};

/// A word of the command line, its help, and the value that it stands for.
pub(super) type OptionWord<T> = (&'static str, &'static str, T);

/// Takes one of these words, and gives its value.
pub(super) fn one_of<T>(choices: &'static [OptionWord<T>]) -> impl TypedValueParser<Value = T>
where
    T: Copy + Send + Sync,
{
    let words = choices.iter();
    let words = words.map(|(word, help, _)| PossibleValue::new(*word).help(*help));
    PossibleValuesParser::new(words).try_map(|word: String| {
        let found = choices.iter().find(|(known, ..)| *known == word);
        found.map(|(.., value)| *value).ok_or("no such word")
    })
}
