//! From text to words: lower case, no accents, no plural.

use std::borrow::Cow;

/// A text in lower case, without accents, its words apart by one or more blanks.
///
/// A decimal number stays one word: "Crème (3.25% fat)" becomes "creme  3.25  fat ".
pub(crate) fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    fold_into(text, &mut folded);
    folded
}

/// As [`fold`], appended to a text.
pub(super) fn fold_into(text: &str, folded: &mut String) {
    if text.is_ascii() {
        fold_ascii(text.as_bytes(), folded);
        return;
    }
    let mut rest = text.chars();
    let mut before = ' ';
    while let Some(c) = rest.next() {
        let after = rest.as_str().chars().next().unwrap_or(' ');
        if c.is_ascii_alphanumeric() {
            folded.push(c.to_ascii_lowercase());
        } else if c.is_alphanumeric() {
            push_folded(c, folded);
        } else if c == '.' && before.is_ascii_digit() && after.is_ascii_digit() {
            folded.push('.');
        } else if !matches!(c, '\'' | '’') {
            folded.push(' ');
        }
        before = c;
    }
}

/// As [`fold`], for plain letters, which nearly all texts have.
fn fold_ascii(text: &[u8], folded: &mut String) {
    let digit = |at: Option<usize>| {
        at.and_then(|at| text.get(at))
            .is_some_and(u8::is_ascii_digit)
    };
    let mut bytes = std::mem::take(folded).into_bytes();
    for (at, &byte) in text.iter().enumerate() {
        match byte {
            b'.' if digit(at.checked_sub(1)) && digit(at.checked_add(1)) => bytes.push(b'.'),
            b'\'' => {}
            _ => bytes.push(FOLDED[usize::from(byte)]),
        }
    }
    // Plain letters in place of plain letters: it is text still.
    *folded = String::from_utf8(bytes).unwrap_or_default();
}

/// By byte of a plain text: its lower-case letter or digit, and a blank for anything else.
const FOLDED: [u8; 256] = {
    let mut folded = [b' '; 256];
    let mut byte = 0;
    while byte < 128_u8 {
        if byte.is_ascii_alphanumeric() {
            folded[byte as usize] = byte.to_ascii_lowercase();
        }
        byte += 1;
    }
    folded
};

/// The words of a text, folded.
pub(super) fn split(folded: &str) -> Vec<&str> {
    folded.split_ascii_whitespace().collect()
}

/// Appends the lower-case letter without its accent.
fn push_folded(c: char, word: &mut String) {
    for lower in c.to_lowercase() {
        match lower {
            'à'..='å' | 'ā' => word.push('a'),
            'æ' => word.push_str("ae"),
            'ç' | 'č' | 'ć' => word.push('c'),
            'è'..='ë' | 'ē' | 'ę' => word.push('e'),
            'ì'..='ï' | 'ī' | 'ı' => word.push('i'),
            'ñ' | 'ń' => word.push('n'),
            'ò'..='ö' | 'ø' | 'ō' => word.push('o'),
            'œ' => word.push_str("oe"),
            'š' | 'ś' => word.push('s'),
            'ß' => word.push_str("ss"),
            'ù'..='ü' | 'ū' => word.push('u'),
            'ý' | 'ÿ' => word.push('y'),
            'ž' | 'ź' | 'ż' => word.push('z'),
            '\u{300}'..='\u{36f}' => {} // a combining accent left over by lower-casing
            other => word.push(other),
        }
    }
}

/// The singular of an English noun, near enough that singular and plural meet.
pub(crate) fn stem(word: &str) -> String {
    singular(word).into_owned()
}

/// As [`stem`], without a copy of a word that only loses an ending, or nothing.
pub(crate) fn singular(word: &str) -> Cow<'_, str> {
    if !word.ends_with(['s', 'e']) || !word.is_ascii() || word.len() <= 3 {
        return Cow::Borrowed(word);
    }
    let cut = |n: usize| &word[..word.len() - n];
    let ends = |ends: &[&str]| ends.iter().any(|end| word.ends_with(end));
    let long = word.len() > 4;
    match word {
        "leaves" => "leaf".into(),
        "loaves" => "loaf".into(),
        "halves" => "half".into(),
        _ if long && word.ends_with("ies") => (cut(3).to_owned() + "y").into(),
        _ if long && word.ends_with("ie") => (cut(2).to_owned() + "y").into(),
        _ if ends(&["oes", "ches", "shes", "xes", "sses"]) => cut(2).into(),
        _ if word.ends_with('s') && !ends(&["ss", "us", "is"]) => cut(1).into(),
        _ => word.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn splits_punctuation_accents_and_decimals() {
        let split = |text: &str| split(&fold(text)).join(" ");
        assert_eq!(split("Crème fraîche (3.25% fat)"), "creme fraiche 3.25 fat");
        assert_eq!(
            split("Leavening agents, yeast, baker's"),
            "leavening agents yeast bakers"
        );
        assert_eq!(split("pak-choi"), "pak choi");
        assert_eq!(split("... 1. ,"), "1");
        assert_eq!(split("!?()"), "");
    }

    #[test]
    fn plural_and_singular_meet() {
        for (plural, singular) in [
            ("carrots", "carrot"),
            ("peas", "pea"),
            ("cherries", "cherry"),
            ("tomatoes", "tomato"),
            ("potatos", "potato"),
            ("peaches", "peach"),
            ("radishes", "radish"),
            ("leaves", "leaf"),
            ("cookies", "cookie"),
            ("pies", "pie"),
            ("prunes", "prune"),
        ] {
            assert_eq!(stem(plural), stem(singular), "{plural}");
        }
    }

    #[test]
    fn words_that_only_look_like_plurals_stay() {
        for word in [
            "asparagus",
            "couscous",
            "hummus",
            "swiss",
            "watercress",
            "gas",
            "ß",
        ] {
            assert_eq!(stem(word), word);
        }
    }
}
