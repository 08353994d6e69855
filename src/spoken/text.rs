//! What was typed, taken apart into words and numbers.

use std::borrow::Cow;
use std::iter::Peekable;
use std::ops::Range;
use std::str::CharIndices;

use data_import::FoodId;
use rust_decimal::Decimal;

use super::Doubt;
use super::numbers::{SMALL_UNITS, readings, value};
use crate::food::search::{fold, singular, stem};

/// A word or a number, and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Token {
    pub(super) span: Range<usize>,
    pub(super) kind: TokenKind,
}

/// What a token is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum TokenKind {
    /// A word in lower case and in the singular.
    Word(String),
    /// A number; whether it is a fraction below one, which a whole number may stand before.
    Number(Decimal, bool),
    /// The id of a food.
    Id(FoodId),
}

impl Token {
    /// The word, where it is one.
    pub(super) fn word(&self) -> Option<&str> {
        match &self.kind {
            TokenKind::Word(word) => Some(word),
            _ => None,
        }
    }
}

/// Words that join others and name nothing; tables of phrases are read without them too.
const JOINING: [&str; 9] = ["of", "the", "and", "with", "in", "a", "an", "on", "or"];

/// Other ways to write a word of the tables, wherever it stands: abbreviations, and `tinned` for `canned`.
const SPELLINGS: [(&str, &str); 5] = [
    ("tinned", "canned"),
    ("chkn", "chicken"),
    ("brst", "breast"),
    ("frzn", "frozen"),
    ("yog", "yogurt"),
];

/// Whether a word only joins others.
pub(super) fn joins(word: &str) -> bool {
    JOINING.contains(&word)
}

/// The words of a phrase of a table, in the singular.
pub(super) fn stems(phrase: &str) -> Vec<String> {
    let stems = borrowed_stems(phrase).into_iter();
    stems.map(Cow::into_owned).collect()
}

/// As [`stems`], without a copy of a word that is written as it is meant.
pub(super) fn borrowed_stems(phrase: &str) -> Vec<Cow<'_, str>> {
    // Nearly all phrases of the tables are plain, and there are thousands.
    let plain = |byte: u8| byte.is_ascii_lowercase() || byte == b' ';
    if phrase.bytes().all(plain) {
        return phrase.split_ascii_whitespace().map(singular).collect();
    }
    let folded = fold(phrase);
    let mut stems: Vec<Cow<'_, str>> = Vec::new();
    for word in folded.split_whitespace() {
        match stems.last_mut() {
            Some(number) if word == "percent" && is_plain(number) => number.to_mut().push('%'),
            _ => stems.push(Cow::Owned(stem(word))),
        }
    }
    stems
}

fn is_plain(number: &str) -> bool {
    number
        .bytes()
        .all(|byte| byte.is_ascii_digit() || byte == b'.')
}

/// How much of a text that follows a number says that it is a percentage: `2% milk`, `2 percent milk`.
fn percent(rest: &str) -> Option<usize> {
    let blank = rest.len() - rest.trim_start().len();
    let sign = ["%", "percent", "per cent"]
        .iter()
        .find(|sign| rest.trim_start().starts_with(**sign))?;
    Some(blank + sign.len())
}

/// A dataset numbers its foods with at least this many digits; a shorter number is an amount.
const ID_DIGITS: usize = 5;

/// Takes a text apart.
///
/// Errors: a number that cannot be one.
pub(super) fn tokens(text: &str) -> Result<Vec<Token>, Doubt> {
    let mut tokens: Vec<Token> = Vec::new();
    let mut chars = text.char_indices().peekable();
    let mut before = ' ';
    while let Some(&(start, c)) = chars.peek() {
        let digit = c.is_ascii_digit() || fraction(c).is_some();
        let decimal = c == '.' && text[start + 1..].starts_with(|c: char| c.is_ascii_digit());
        if tokens.last().is_some_and(|last| last.span.end > start) {
            // The sign of a percentage was read with its number.
            chars.next();
        } else if digit || decimal {
            let number = number(text, &mut chars);
            if minus(before) && is_free(text, start - before.len_utf8()) {
                return Err(Doubt::Negative);
            }
            let rest = &text[start..];
            if let Some(slip) = letters_for_digits(rest).or_else(|| with_exponent(rest)) {
                return Err(Doubt::Number {
                    written: slip.to_string(),
                    readings: Vec::new(),
                });
            }
            push_number(&mut tokens, text, start..number, minus(before))?;
        } else if c.is_alphabetic() {
            let end = word(text, start, &mut chars);
            push_word(&mut tokens, text, start..end);
        } else if matches!(c, '×' | '*') {
            chars.next();
            let span = start..start + c.len_utf8();
            let kind = TokenKind::Word("x".into());
            tokens.push(Token { span, kind });
        } else {
            chars.next();
        }
        let end = chars.peek().map_or(text.len(), |next| next.0);
        before = text[..end].chars().next_back().unwrap_or(' ');
    }
    Ok(tokens)
}

fn minus(c: char) -> bool {
    matches!(c, '-' | '−' | '–')
}

/// Whether nothing but a blank stands before a place.
fn is_free(text: &str, at: usize) -> bool {
    at == 0 || text[..at].ends_with(char::is_whitespace)
}

pub(super) fn fraction(c: char) -> Option<Decimal> {
    let (above, below) = match c {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅙' => (1, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    };
    Decimal::from(above).checked_div(Decimal::from(below))
}

/// A number in which letters stand for digits: `6oo g`, `1OOg`; not `1l`.
fn letters_for_digits(text: &str) -> Option<&str> {
    let end = text.find(|c: char| !c.is_ascii_alphanumeric());
    let written = &text[..end.unwrap_or(text.len())];
    let letters = written.trim_start_matches(|c: char| c.is_ascii_digit());
    let alike = |c: char| c.is_ascii_digit() || matches!(c, 'o' | 'O' | 'l' | 'I');
    let unit = letters.trim_start_matches(alike);
    let letters = &letters[..letters.len() - unit.len()];
    let slip = letters.starts_with(['o', 'O']) || letters.len() > 1;
    let ends = unit.is_empty() || SMALL_UNITS.contains(&unit);
    (slip && ends).then_some(written)
}

/// A number as computers write it: `1e3`. It would be read as two.
fn with_exponent(text: &str) -> Option<&str> {
    let within = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '+' | '-');
    let end = text.find(|c: char| !within(c));
    let written = &text[..end.unwrap_or(text.len())];
    let (digits, power) = written.split_once(['e', 'E'])?;
    let digit = |c: char| c.is_ascii_digit();
    let is_number = !digits.is_empty() && digits.chars().all(|c: char| digit(c) || c == '.');
    let is_power = power.trim_start_matches(['+', '-']).starts_with(digit);
    (is_number && is_power).then_some(written)
}

/// Reads on to the end of a number; gives where it ends.
fn number(text: &str, chars: &mut Peekable<CharIndices<'_>>) -> usize {
    let mut end = text.len();
    let mut first = true;
    while let Some(&(at, c)) = chars.peek() {
        let within = matches!(c, '.' | ',' | '/' | '⁄')
            && text[at + c.len_utf8()..].starts_with(|c: char| c.is_ascii_digit());
        let vulgar = fraction(c).is_some();
        if !(c.is_ascii_digit() || within || (vulgar && first)) {
            end = at;
            break;
        }
        chars.next();
        end = at + c.len_utf8();
        first = false;
        if vulgar {
            break;
        }
    }
    end
}

/// Reads on to the end of a word: letters, and apostrophes between them; an own food's id whole.
fn word(text: &str, start: usize, chars: &mut Peekable<CharIndices<'_>>) -> usize {
    let own = text[start..].starts_with("own-");
    let mut end = text.len();
    while let Some(&(at, c)) = chars.peek() {
        let inside = c.is_alphabetic() || matches!(c, '\'' | '’');
        if !(inside || own && (c.is_ascii_digit() || c == '-')) {
            end = at;
            break;
        }
        chars.next();
        end = at + c.len_utf8();
    }
    end
}

fn push_word(tokens: &mut Vec<Token>, text: &str, span: Range<usize>) {
    let written = &text[span.clone()];
    let id = written.starts_with("own-").then(|| written.parse().ok());
    let kind = match id.flatten() {
        Some(id) => TokenKind::Id(id),
        None => {
            // "cow's milk" is cow milk.
            let folded = fold(written.trim_end_matches("'s").trim_end_matches("’s"));
            let word = folded.trim();
            let known = SPELLINGS.iter().find(|(short, _)| *short == word);
            TokenKind::Word(known.map_or_else(|| stem(word), |(_, long)| (*long).to_string()))
        }
    };
    tokens.push(Token { span, kind });
}

fn push_number(
    tokens: &mut Vec<Token>,
    text: &str,
    span: Range<usize>,
    joined: bool,
) -> Result<(), Doubt> {
    let written = &text[span.clone()];
    let percentage = percent(&text[span.end..]).map(|sign| (written.replace(',', "."), sign));
    let lean = || lean_share(written).map(|lean| (lean.to_string(), 0));
    if let Some((share, sign)) = percentage.or_else(lean) {
        let kind = TokenKind::Word(format!("{share}%"));
        let span = span.start..span.end + sign;
        tokens.push(Token { span, kind });
        return Ok(());
    }
    if written.len() >= ID_DIGITS
        && written.bytes().all(|byte| byte.is_ascii_digit())
        && let Ok(id) = written.parse()
    {
        let kind = TokenKind::Id(id);
        tokens.push(Token { span, kind });
        return Ok(());
    }
    let readings = || Doubt::Number {
        written: written.to_string(),
        readings: readings(written),
    };
    let (value, is_fraction) = value(written, &text[span.end..]).ok_or_else(readings)?;
    let last = tokens
        .last()
        .filter(|last| joined && text[last.span.end..span.start].chars().count() == 1);
    let sum = match last.map(|last| &last.kind) {
        // "1-1/2 cups" is one and a half; "2-3 carrots" is not an amount.
        Some(TokenKind::Number(whole, false)) if is_fraction => whole.checked_add(value),
        Some(TokenKind::Number(..)) => {
            let from = last.map_or(span.start, |last| last.span.start);
            return Err(Doubt::Range(text[from..span.end].to_string()));
        }
        _ => None,
    };
    if let (Some(sum), Some(last)) = (sum, tokens.last_mut()) {
        last.kind = TokenKind::Number(sum, false);
        last.span.end = span.end;
        return Ok(());
    }
    let kind = TokenKind::Number(value, is_fraction);
    tokens.push(Token { span, kind });
    Ok(())
}

/// The lean share of minced meat written as lean to fat, in percent: 80 of `80/20`, and of `20/80`.
fn lean_share(written: &str) -> Option<u32> {
    let (one, other) = written.split_once('/')?;
    let (one, other): (u32, u32) = (one.parse().ok()?, other.parse().ok()?);
    (one.checked_add(other) == Some(100) && one != other).then_some(one.max(other))
}

/// What stands between commas, or is an argument of its own: `2 squash, 1 beef` and `"2 squash" "1 beef"`. What names
/// no food belongs to what stands before it: `1 kg squash, roasted`.
pub fn parts(words: &[String]) -> Vec<String> {
    let whole = |word: &str| word.contains(' ') && begins_amount(word);
    let mut typed = String::new();
    for word in words {
        typed += if whole(word) { ", " } else { " " };
        typed += word;
    }
    let mut parts: Vec<String> = Vec::new();
    for part in pieces(&typed) {
        match parts.last_mut() {
            // "Feta, crumbled, 15 g" and "1 kg squash, roasted" are one thing each.
            Some(last) if !names_food(part) => {
                last.push_str(", ");
                last.push_str(part);
            }
            _ => parts.push(part.to_string()),
        }
    }
    parts
}

/// The text between commas, semicolons and line ends; a comma inside a number separates nothing.
fn pieces(text: &str) -> impl Iterator<Item = &str> {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut from = 0;
    let mut all = Vec::new();
    for (at, byte) in bytes.iter().enumerate() {
        let inside = *byte == b',' && at > 0 && digit(at - 1) && digit(at + 1);
        if matches!(byte, b',' | b';' | b'\n') && !inside {
            all.push(&text[from..at]);
            from = at + 1;
        }
    }
    all.push(&text[from..]);
    all.into_iter().map(str::trim).filter(|one| !one.is_empty())
}

fn begins_amount(text: &str) -> bool {
    let first = text.split_whitespace().next().unwrap_or("").to_lowercase();
    first.starts_with(|c: char| c.is_ascii_digit() || fraction(c).is_some() || c == '#')
        || super::lexicon::is_number(&first)
}

/// Whether anything in it may be the name of a food or a recipe, not an amount or what is done with the food.
fn names_food(text: &str) -> bool {
    let Ok(all) = tokens(text) else {
        return true;
    };
    let mut rest = all.as_slice();
    while let Some((first, after)) = rest.split_first() {
        let words: Vec<&str> = rest.iter().map_while(Token::word).collect();
        rest = match &first.kind {
            TokenKind::Id(_) => return true,
            TokenKind::Number(..) => after,
            TokenKind::Word(_) => match super::lexicon::beside(&words) {
                Some(length) => &rest[length..],
                None if joins(words[0]) => after,
                None => return true,
            },
        };
    }
    text.contains('#')
}
