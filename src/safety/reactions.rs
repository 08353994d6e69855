//! What to do about a reaction that was just seen, by the parent's own words.
//!
//! The words of a severe reaction are the signs that NHS (Anaphylaxis) and the Allergy & Asthma Network name; for vomiting hours later: FPIES in
//! infancy, 2015 (PMID 26456444). Two parts of the body at once are severe as well. Where words are in doubt, the
//! graver answer is given: it costs a call.

use super::objection::{Objection, Severity};
use super::reaction_words::{
    AIRWAY, ALL_OVER, AT_EASE, BODY, BREATH, HIVES, LARGE, NOT, NUMBERS, ON_THE_SKIN, REPEATED,
    SEVERE, SEVERE_WORDS, SIGNS_DENIED, SLEEPY, SWELLING, SWOLLEN_PARTS, TROUBLED, VOMITING,
};
use crate::food::begins_a_word;

/// The hazard of a reaction that was just seen.
pub(crate) const RESPONSE: &str = "reaction-response";

/// What to do; `None` where nothing was seen.
pub(super) fn response(child: &str, seen: &str) -> Option<Objection> {
    let seen = seen.trim();
    if seen.is_empty() {
        return None;
    }
    let (severity, text, instead) = if is_severe(seen) {
        (
            Severity::Warn,
            format!(
                "Call the emergency number now (112, 911, 999). Lay the child flat, give the prescribed adrenaline, stay. Do not wait. You noted: {seen}."
            ),
            "No more of this food until the doctor has cleared it.",
        )
    } else {
        (
            Severity::Mind,
            format!(
                "You noted: {seen}. Stop, note the time, watch for two hours, and ask your paediatrician before the next try. Call the emergency \
                 number (112, 911, 999) at once for trouble breathing, swollen lips or tongue, pale and floppy, hives all over, or repeated vomiting."
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
    let said = affirmed(&seen.to_lowercase());
    let any = |words: &[&str]| words.iter().any(|word| begins_a_word(&said, word));
    let gut = skin_apart(&said);
    let parts = BODY
        .iter()
        .filter(|words| words.iter().any(|word| begins_a_word(&gut, word)));
    any(SEVERE)
        || words_of(&said).any(|word| SEVERE_WORDS.contains(&word))
        || any(SLEEPY)
        || any(BREATH) && any(TROUBLED)
        || any(SWELLING) && any(SWOLLEN_PARTS)
        || any(LARGE) && any(AIRWAY)
        || any(HIVES) && any(ALL_OVER)
        || any(VOMITING) && (any(REPEATED) || counted(&said))
        || parts.count() >= 2
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
    for place in ON_THE_SKIN {
        for whose in ["", "the ", "her ", "his ", "its ", "their "] {
            apart = apart.replace(&format!("on {whose}{place}"), "");
        }
    }
    apart
}

/// The text without what it denies: from a word such as "no" to the end of its clause.
fn affirmed(text: &str) -> String {
    let clauses = text.split([',', ';', '.', '!', '\n']);
    let kept = clauses.map(|clause| {
        let denial = NOT.iter().filter_map(|word| {
            let at = clause.find(word)?;
            begins_a_word(clause.get(..at + word.len())?, word).then_some(at)
        });
        match denial.min() {
            // "not breathing", "could not hold" and "didn't wake" are signs themselves.
            Some(at) if !denies_what_is_sound(clause) => {
                let but = clause
                    .get(at..)
                    .and_then(|rest| rest.find(" but ").map(|but| at + but));
                let after = but.and_then(|but| clause.get(but..)).unwrap_or("");
                format!("{}{after}", clause.get(..at).unwrap_or(""))
            }
            None if is_at_ease(clause) => String::new(),
            _ => clause.to_string(),
        }
    });
    kept.collect::<Vec<_>>().join(", ")
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
    fn words_are_severe_or_mild() {
        for severe in [
            "hives all over, vomiting, floppy",
            "wheezing, swollen lips",
            "Trouble breathing",
            "his lips swelled up",
            "vomited three times, then very sleepy",
            "repeated vomiting two hours later, pale",
            "hives and a cough",
            "rash and vomiting",
            "went blue round the mouth",
            "no rash but wheezing",
            "could not breathe well",
            "keeps coughing",
            "can't catch her breath",
            "hives, not breathing well",
            "hives and breathing fast",
            "her tounge got thick and she dribbled a lot",
            "choking noise",
            "swollen toungue",
            "could not wake her properly",
            "cold and clammy",
            "angioedema of the lips",
            "she puked non stop for an hour",
            "puked 4 times",
            "couldnt stop being sick",
            "urticaria generalised",
            "skin red everywhere with bumps",
            "rash and he vomit two time",
            "he become white and soft like a doll",
            "dribbling and cannot swallow",
            "didn't wake up",
            "persistent cough",
            "she isn't breathing well",
            "he doesn't breathe properly",
            "panting",
            "raspy voice",
            "barfed three times",
            "vomit x4",
            "not responding",
            "lost consciousness",
            "bluish lips",
            "full body rash",
            "we used the EpiPen",
            "trouble swallowing",
            "breathing funny",
            "voice sounds croaky",
            "coughing and coughing",
            "throat seems tight",
            "lips gone big",
            "fat lip",
            "face puffed up",
            "was sick four times",
            "threw up 3x",
            "sick twice",
            "ashen",
            "white as a sheet",
            "like a rag doll",
            "hives head to toe",
            "urticaria on whole body",
        ] {
            assert!(is_severe(severe), "{severe}");
        }
        for mild in [
            "two red spots on the cheek",
            "red chin",
            "sneezed once",
            "didn't wheeze, didn't swell up, few spots on cheeks",
            "no trouble breathing, one hive",
            "a few hives on the arm",
            "a few hives on one arm, no vomiting, breathing fine",
            "one hive. She is breathing normally",
            "upset tummy",
            "red round the mouth, no trouble breathing, not floppy",
            "a little rash, no vomiting",
            "a few hives on tummy",
            "three hives on her belly",
            "limped about, fine",
            "puffy eyes",
            "spat it out once",
        ] {
            assert!(!is_severe(mild), "{mild}");
        }
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
