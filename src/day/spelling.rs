//! The tokens of a text in words, and its corrections where a word is misspelt.

use jiff::civil::Date;

use super::DayReader;
use super::lexicon::{self, DayToken};
use super::refusal::Why;

/// The most corrections of a misspelt text that are tried (judgement).
const MOST_CORRECTIONS: usize = 64;

/// The tokens of the words with a meaning; `None` where a word is not known.
pub(super) fn tokens(words: &[String]) -> Option<Vec<DayToken>> {
    let mut tokens = Vec::new();
    let mut article = false;
    for (at, word) in words.iter().enumerate() {
        let follows = words.get(at + 1).and_then(|next| lexicon::token(next));
        match (word.as_str(), lexicon::token(word)) {
            ("a" | "an", _) => {
                if matches!(follows, Some(DayToken::Unit(_))) {
                    tokens.push(DayToken::Number(1));
                }
            }
            ("st" | "nd" | "rd" | "th", _) => match tokens.pop() {
                Some(DayToken::Number(number) | DayToken::Ordinal(number)) => {
                    tokens.push(DayToken::Ordinal(number));
                }
                _ => return None,
            },
            (_, Some(DayToken::Ordinal(last))) if tens(tokens.last()) => {
                let Some(DayToken::Number(tens) | DayToken::Ordinal(tens)) = tokens.pop() else {
                    return None;
                };
                tokens.push(DayToken::Ordinal(tens + last));
            }
            (_, Some(DayToken::Number(number)))
                if article && !matches!(follows, Some(DayToken::Unit(_))) =>
            {
                tokens.push(DayToken::Ordinal(number));
            }
            (_, Some(token)) => tokens.push(token),
            (word, None) if lexicon::is_filler(word) => {}
            (_, None) => return None,
        }
        article = word == "the";
    }
    Some(tokens)
}

/// Whether `twenty` or `thirty` stands before `first`.
fn tens(before: Option<&DayToken>) -> bool {
    matches!(
        before,
        Some(DayToken::Number(20 | 30) | DayToken::Ordinal(20 | 30))
    )
}

/// The day of a text with unknown words, corrected; an error where no correction is a day.
pub(super) fn misspelt(reader: &DayReader, words: &[String]) -> Result<Date, Why> {
    let mut other = Why::Unknown;
    for meant in corrections(words) {
        match reader.read(&meant).map_err(|refusal| refusal.why) {
            Ok(day) => return Err(Why::Misspelt { meant, day }),
            Err(Why::Unknown | Why::Misspelt { .. }) => {}
            Err(why) if other == Why::Unknown => other = why,
            Err(_) => {}
        }
    }
    Err(other)
}

/// The texts that could be meant by a text with unknown words, the likeliest first.
fn corrections(words: &[String]) -> Vec<String> {
    let ending = |word: &str| matches!(word, "st" | "nd" | "rd" | "th");
    let known = |word: &str| {
        lexicon::token(word).is_some()
            || lexicon::is_filler(word)
            || ending(word)
            || matches!(word, "a" | "an")
    };
    let mut texts = vec![String::new()];
    for word in words {
        let instead = if known(word) {
            vec![word.as_str()]
        } else {
            lexicon::corrected(word)
        };
        let added = texts.iter().flat_map(|text| {
            instead.iter().map(move |word| match text.as_str() {
                "" => (*word).to_string(),
                text if ending(word) => format!("{text}{word}"),
                text => format!("{text} {word}"),
            })
        });
        texts = added.take(MOST_CORRECTIONS).collect();
    }
    texts
}
