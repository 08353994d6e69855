//! What to do about a reaction that was just seen, by the parent's own words.
//!
//! The words of a severe reaction are the signs that NHS (Anaphylaxis) and the Allergy & Asthma Network name; for vomiting hours later: FPIES in
//! infancy, 2015 (PMID 26456444). Two parts of the body at once are severe as well. Where words are in doubt, the
//! graver answer is given: it costs a call.

use super::objection::{Objection, Severity};
use super::reaction_words::{
    AIRWAY, ALL_OVER, AS_ALWAYS, AT_EASE, BODY, BREATH, COUGH, DENIAL_ENDS, DENIALS, DENIED,
    EATING, ENDLESS, HIVES, LARGE, MORE, NO_DENIAL, NOT, NOTHING, NUMBERS, OF_A_CHILD, ON_THE_SKIN,
    OTHER_SIGNS, REPEATED, SEVERE, SEVERE_WORDS, SHORTENED, SIGNS_DENIED, SLEEPY, SPELT, STOOLS,
    SWELLING, SWOLLEN_PARTS, TROUBLED, VOMITING, WELL,
};
use crate::food::begins_a_word;
use crate::problem::edit_distance;

/// The signs of a severe reaction, for which the emergency number is called (NHS, Anaphylaxis; Allergy & Asthma Network,
/// Anaphylaxis signs).
pub const DANGER_SIGNS: &str = "trouble breathing, swollen lips or tongue, pale and floppy, hives all over, or repeated vomiting";

/// The emergency numbers of Europe, of North America and of the United Kingdom.
pub const EMERGENCY_NUMBERS: &str = "112, 911, 999";

/// When the emergency number is called at once, for whoever waits for an answer.
pub fn when_to_call() -> String {
    format!("Call the emergency number ({EMERGENCY_NUMBERS}) at once for {DANGER_SIGNS}.")
}

/// The hazard of a reaction that was just seen.
pub(crate) const RESPONSE: &str = "reaction-response";

/// Whether words tell of a reaction; those of one that did not come, such as `no rash, he is fine`, do not. In doubt they do.
pub fn tells_of_reaction(words: &str) -> bool {
    let seen = spelt(words.trim());
    if seen.is_empty() || NOTHING.contains(&seen.as_str()) {
        return false;
    }
    let listed = without_denied_lists(&seen);
    let mut parts = clauses(&listed).flat_map(parts_of_clause);
    is_severe(&seen) || !parts.all(tells_of_none)
}

/// Whether a clause says that nothing came: a denial of signs and of nothing else, or that the child is well and how it ate.
fn tells_of_none(clause: &str) -> bool {
    let plain = |word: &str, more: &[&str]| {
        OF_A_CHILD.contains(&word) || more.contains(&word) || word.parse::<u32>().is_ok()
    };
    let clause = &without_eating(clause);
    let denies = DENIALS.iter().any(|denial| {
        let rest = clause.trim_start().strip_prefix(denial);
        rest.is_some_and(|rest| {
            // No trouble breathing is well, and no breathing is not.
            let of_breath = TROUBLED.iter().any(|word| begins_a_word(rest, word));
            let is_breath = |word: &str| of_breath && BREATH.contains(&word);
            words_of(rest).all(|word| plain(word, &DENIED) || is_breath(word))
        })
    });
    let says_well =
        words_of(clause).next().is_some() && words_of(clause).all(|word| plain(word, &WELL));
    clause.trim().is_empty() || denies || is_at_ease(clause) || says_well
}

/// A clause without the turns that say how the child ate.
fn without_eating(clause: &str) -> String {
    let without = |text: String, turn: &&str| {
        let Some(at) = text.find(turn).filter(|_| begins_a_word(&text, turn)) else {
            return text;
        };
        let (before, after) = text.split_at(at);
        format!("{before}{}", after.trim_start_matches(turn))
    };
    EATING.iter().fold(clause.to_owned(), without)
}

/// Whether words name some sign, whatever it may mean.
fn names_a_sign(seen: &str) -> bool {
    let said = spelt(seen);
    let lists = [
        &OTHER_SIGNS,
        &HIVES,
        &SWELLING,
        &VOMITING,
        &COUGH,
        &BREATH,
        &SLEEPY,
    ];
    let lists = lists.into_iter().chain(&BODY);
    let mut signs = lists.flat_map(|list| list.iter());
    signs.any(|sign| begins_a_word(&said, sign))
}

/// The call for help, where words tell of a severe reaction.
pub fn emergency(seen: &str) -> Option<String> {
    let seen = seen.trim();
    let severe = tells_of_reaction(seen) && is_severe(seen);
    severe.then(|| {
        format!(
            "Call the emergency number now ({EMERGENCY_NUMBERS}). Lay the child flat, give the prescribed adrenaline, stay. Do not wait. You noted: {seen}."
        )
    })
}

/// What to do; `None` where nothing was seen.
pub(crate) fn response(child: &str, seen: &str) -> Option<Objection> {
    let seen = seen.trim();
    if !tells_of_reaction(seen) {
        return None;
    }
    let (severity, text, instead) = if let Some(call) = emergency(seen) {
        let instead = "No more of this food until the doctor has cleared it.";
        (Severity::Warn, call, instead)
    } else {
        let in_doubt = if names_a_sign(seen) {
            ""
        } else {
            " Words that name no sign known here are taken for a reaction: if there was none, take them back and write “no reaction”."
        };
        (
            Severity::Mind,
            format!(
                "You noted: {seen}. Stop, note the time, watch for two hours, and ask your paediatrician before the next try. \
                 {}{in_doubt}",
                when_to_call()
            ),
            "No more of this food until you record that the doctor cleared it.",
        )
    };
    Some(Objection {
        hazard: RESPONSE.into(),
        severity,
        child: child.into(),
        foods: Vec::new(),
        names: Vec::new(),
        text,
        instead: instead.into(),
        source: "NHS, Anaphylaxis; Allergy & Asthma Network, Anaphylaxis signs; vomiting hours later: FPIES in infancy, 2015 (PMID 26456444); lying flat: from memory".into(),
    })
}

/// Whether words name a severe reaction.
fn is_severe(seen: &str) -> bool {
    let said = affirmed(&spelt(seen));
    let any = |words: &[&str]| words.iter().any(|word| begins_a_word(&said, word));
    let gut = skin_apart(&said);
    let parts = BODY
        .iter()
        .filter(|words| words.iter().any(|word| begins_a_word(&gut, word)));
    any(&SEVERE)
        || SEVERE_WORDS
            .iter()
            .any(|word| stands_in(&said, word, true, &STOOLS))
        || SLEEPY
            .iter()
            .any(|word| stands_in(&said, word, false, &AS_ALWAYS))
        || any(&BREATH) && any(&TROUBLED)
        || any(&SWELLING) && any(&SWOLLEN_PARTS)
        || any(&LARGE) && any(&AIRWAY)
        || any(&HIVES) && any(&ALL_OVER)
        || any(&COUGH) && any(&ENDLESS)
        || is_coughing_on(&said)
        || any(&VOMITING) && (any(&REPEATED) || any(&ENDLESS) || counted(&said))
        || parts.count() >= 2
}

/// Whether a cough is written down over and over: `cough cough cough`.
fn is_coughing_on(said: &str) -> bool {
    const MANY: usize = 3;
    let coughs = words_of(said).filter(|word| COUGH.iter().any(|cough| word.starts_with(cough)));
    coughs.count() >= MANY
}

/// Whether a word stands in a text, as a whole or as the beginning of one, and none of the phrases that make it harmless right behind it.
fn stands_in(said: &str, word: &str, as_a_whole: bool, harmless: &[&str]) -> bool {
    let is_apart = |next: Option<char>| next.is_none_or(|c| !c.is_alphanumeric());
    said.match_indices(word).any(|(at, _)| {
        let (before, behind) = (&said[..at], &said[at + word.len()..]);
        let follows = |phrase: &&str| {
            let after = behind
                .strip_prefix(' ')
                .and_then(|rest| rest.strip_prefix(*phrase));
            after.is_some_and(|after| is_apart(after.chars().next()))
        };
        let last = before.split_whitespace().next_back().unwrap_or_default();
        is_apart(before.chars().next_back())
            && (!as_a_whole || is_apart(behind.chars().next()))
            && (MORE.contains(&last) || !harmless.iter().any(follows))
    })
}

/// The text in lower case with its slips mended: `cant` is can't, `weezing` wheezing.
fn spelt(text: &str) -> String {
    let text = text.to_lowercase().replace('’', "'");
    let mut mended = String::with_capacity(text.len());
    let is_letter = |c: char| c.is_alphanumeric() || c == '\'';
    for piece in text.split_inclusive(|c| !is_letter(c)) {
        let end = piece.trim_end_matches(|c| !is_letter(c)).len();
        let (word, rest) = piece.split_at(end);
        mended.push_str(spelling(word));
        mended.push_str(rest);
    }
    mended
}

/// A word, or the sign that it is one slip of the finger away from.
fn spelling(word: &str) -> &str {
    let whole = |pair: &&'static str| pair.strip_prefix(word)?.strip_prefix('=');
    if let Some(whole) = SHORTENED.iter().find_map(whole) {
        return whole;
    }
    let is_known = |sign: &&&str| word.starts_with(**sign);
    if word.chars().count() < 5 || SPELT.iter().any(|sign| is_known(&sign)) {
        return word;
    }
    let near = SPELT.iter().find(|sign| edit_distance(word, sign) == 1);
    near.copied().unwrap_or(word)
}

fn words_of(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '\'')
        .filter(|word| !word.is_empty())
}

/// Whether so many times are named, two and more: `three times`, `3x`, `4 times`.
fn counted(text: &str) -> bool {
    let words: Vec<&str> = words_of(text).collect();
    let many =
        |word: &str| NUMBERS.contains(&word) || word.parse::<u32>().is_ok_and(|number| number > 1);
    let times = words
        .windows(2)
        .any(|two| many(two[0]) && ["times", "time", "x"].contains(&two[1]));
    times
        || words.iter().any(|word| {
            word.strip_suffix('x')
                .or_else(|| word.strip_prefix('x'))
                .is_some_and(many)
        })
}

/// The text without the places of a rash that are named after the gut: `hives on her tummy`.
fn skin_apart(text: &str) -> String {
    let mut apart = text.to_string();
    for place in ON_THE_SKIN.iter() {
        for whose in ["", "the ", "her ", "his ", "its ", "their "] {
            apart = apart.replace(&format!("on {whose}{place}"), "");
        }
    }
    apart
}

fn clauses(text: &str) -> impl Iterator<Item = &str> {
    text.split([',', ';', '.', '!', '\n'])
}

/// The text without what it denies: from a word such as "no" to the end of its clause.
fn affirmed(text: &str) -> String {
    let listed = without_denied_lists(text);
    let affirmed = |clause: &str| {
        let is_denial = |at: usize, word: &str| {
            let (before, rest) = clause.split_at(at);
            let is_apart = !before.ends_with(|c: char| c.is_alphanumeric() || c == '\'');
            is_apart
                && rest.starts_with(word)
                && !NO_DENIAL.iter().any(|turn| rest.starts_with(turn))
        };
        let denials = NOT.iter().flat_map(|word| {
            let places = clause.match_indices(word);
            places
                .map(|(at, _)| at)
                .filter(move |at| is_denial(*at, word))
        });
        match denials.min() {
            // "not breathing", "could not hold" and "didn't wake" are signs themselves.
            Some(at) if !denies_what_is_sound(clause) => clause.get(..at).unwrap_or("").to_string(),
            None if is_at_ease(clause) => String::new(),
            _ => clause.to_string(),
        }
    };
    let kept = clauses(&listed).map(|clause| {
        let parts = parts_of_clause(clause).map(affirmed);
        parts.collect::<Vec<_>>().join(" ")
    });
    kept.collect::<Vec<_>>().join(", ")
}

/// A clause split where a denial in it ends: `no rash` and `floppy` of `no rash just floppy`.
fn parts_of_clause(clause: &str) -> impl Iterator<Item = &str> {
    let mut parts = vec![clause];
    for end in DENIAL_ENDS.iter() {
        parts = parts.into_iter().flat_map(|part| part.split(end)).collect();
    }
    parts.into_iter()
}

/// The text without the rest of a denied list: `no rash` is left of `no rash, hives or vomiting`. Without its "or" a list is no
/// denial: `no rash, vomiting` tells of vomiting.
fn without_denied_lists(text: &str) -> String {
    let sentences = text.split_inclusive([';', '.', '!', '\n']).map(|sentence| {
        let mut items = sentence.split(',').collect::<Vec<_>>();
        let denies = |item: &&str| {
            DENIALS
                .iter()
                .any(|denial| item.trim_start().starts_with(denial))
        };
        let is_plain = |item: &&str| words_of(item).all(|word| DENIED.contains(&word));
        let ends = |item: &&str| words_of(item).any(|word| ["or", "nor"].contains(&word));
        let Some(first) = items
            .iter()
            .position(|item| denies(item) && tells_of_none(item))
        else {
            return sentence.to_string();
        };
        let listed = items[first + 1..]
            .iter()
            .take_while(|item| is_plain(item))
            .count();
        let last = items[first + 1..][..listed].iter().rposition(ends);
        if let Some(last) = last {
            items.drain(first + 1..=first + 1 + last);
        }
        items.join(",")
    });
    sentences.collect()
}

/// Whether a clause denies what a sound child does: `not breathing`, `didn't wake`.
fn denies_what_is_sound(clause: &str) -> bool {
    let after = |word: &&str| clause.split(*word).skip(1).collect::<Vec<_>>();
    let mut rests = NOT.iter().flat_map(after);
    rests.any(|rest| SIGNS_DENIED.iter().any(|sign| rest.starts_with(sign)))
}

/// Whether a clause says that the child breathes as ever, and nothing else: `breathing fine`, `and her breathing is normal`.
fn is_at_ease(clause: &str) -> bool {
    let Some(at) = BREATH.iter().rev().find_map(|word| clause.find(word)) else {
        return false;
    };
    let (before, breath) = clause.split_at(at);
    let said = words_of(breath)
        .skip(1)
        .filter(|word| !["is", "was", "still"].contains(word));
    let said = said.collect::<Vec<_>>().join(" ");
    let plain = [
        "and", "but", "is", "was", "still", "her", "his", "she", "he", "the", "baby",
    ];
    AT_EASE.contains(&said.as_str()) && words_of(before).all(|word| plain.contains(&word))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Signs as the emergency plans named above list them; the mild ones are theirs as well.
    #[test]
    fn words_are_severe_or_mild_or_tell_of_nothing() {
        let cases = include_str!("../../tests/data/reaction-words.tsv");
        let cases = cases.lines().filter(|line| !line.starts_with('#'));
        let (mut tried, mut wrong) = (0, Vec::new());
        for case in cases.skip(1) {
            let (kind, words) = case.split_once('\t').unwrap();
            let found = match (tells_of_reaction(words), is_severe(words)) {
                (true, true) => "severe",
                (true, false) => "mild",
                (false, _) => "none",
            };
            let fits = found == kind || kind == "some" && found != "none";
            if !fits {
                wrong.push((words, found, kind));
            }
            tried += 1;
        }
        assert!(wrong.is_empty(), "found, and is: {wrong:#?}");
        assert!(tried > 150);
        assert!(!tells_of_reaction(" "));
        assert!(response("Wren", "no reaction, he is fine").is_none());
    }

    #[test]
    fn the_answer_repeats_the_words_and_names_the_number() {
        assert!(response("Wren", " ").is_none());
        let grave = response("Wren", "wheezing").unwrap();
        assert_eq!(grave.severity, Severity::Warn);
        assert!(grave.text.starts_with("Call the emergency number now (112"));
        assert!(grave.text.contains("You noted: wheezing."));
        let calm = response("Wren", "red chin").unwrap();
        assert_eq!(calm.severity, Severity::Mind);
        assert!(calm.text.starts_with("You noted: red chin. Stop"));
    }
}
