//! What to do about a reaction that was just seen, by the parent's own words.
//!
//! The words of a severe reaction are the signs that NHS (Anaphylaxis) and the Allergy & Asthma Network name; for vomiting hours later: FPIES in
//! infancy, 2015 (PMID 26456444). Two parts of the body at once are severe as well. Where words are in doubt, the
//! graver answer is given: it costs a call.

use super::objection::{Objection, Severity};
use crate::food::begins_a_word;

/// The hazard of a reaction that was just seen.
pub(crate) const RESPONSE: &str = "reaction-response";

/// Beginnings of words that alone are severe.
const SEVERE: [&str; 58] = [
    "trouble breath",
    "difficulty breath",
    "hard to breath",
    "struggling to breath",
    "struggled to breath",
    "struggles to breath",
    "can't breath",
    "cannot breath",
    "couldn't breath",
    "could not breath",
    "short of breath",
    "gasp",
    "laboured breath",
    "labored breath",
    "fast breath",
    "noisy breath",
    "breathing fast",
    "stopped breath",
    "not breathing",
    "breathing problem",
    "breathless",
    "choking for air",
    "wheez",
    "whistling breath",
    "stridor",
    "repeated cough",
    "coughing again and again",
    "keeps coughing",
    "kept coughing",
    "constant cough",
    "coughing non",
    "barking cough",
    "hoarse",
    "swollen tongue",
    "swollen lip",
    "swollen throat",
    "swollen face",
    "swollen mouth",
    "pale",
    "blue",
    "grey",
    "gray",
    "floppy",
    "limp",
    "unusually sleepy",
    "very sleepy",
    "hard to wake",
    "won't wake",
    "drowsy",
    "letharg",
    "unresponsive",
    "collaps",
    "passed out",
    "faint",
    "unconscious",
    "cannot hold the head",
    "can't hold",
    "drooling",
];

/// Words for swelling, and the parts of the body where it is severe.
const SWELLING: [&str; 4] = ["swell", "swollen", "puffy", "swelled"];
const AIRWAY_PARTS: [&str; 7] = ["lip", "tongue", "throat", "mouth", "face", "eye", "neck"];
/// Words for hives, and those for their being everywhere.
const HIVES: [&str; 5] = ["hive", "welt", "rash", "nettle", "spots"];
const ALL_OVER: [&str; 8] = [
    "all over",
    "everywhere",
    "whole body",
    "entire body",
    "spreading",
    "from head to",
    "body-wide",
    "covered in",
];
/// Words for vomiting, and those for its being repeated.
const VOMITING: [&str; 5] = [
    "vomit",
    "threw up",
    "throwing up",
    "being sick",
    "throws up",
];
const REPEATED: [&str; 14] = [
    "repeated",
    "again and again",
    "several times",
    "many times",
    "over and over",
    "kept",
    "keeps",
    "twice",
    "three times",
    "four times",
    "five times",
    "times",
    "non-stop",
    "constantly",
];

/// Parts of the body, each by the beginnings of the words for its signs.
const BODY: [&[&str]; 3] = [
    &[
        "hive",
        "welt",
        "rash",
        "itch",
        "swell",
        "swollen",
        "flush",
        "nettle",
        "red spots",
        "puffy",
    ],
    &[
        "vomit",
        "threw up",
        "throwing up",
        "being sick",
        "diarrh",
        "loose stool",
        "tummy",
        "stomach",
        "belly",
        "cramp",
    ],
    &["cough", "wheez", "hoarse", "breath", "gasp"],
];

/// Words that turn what follows into its contrary.
const NOT: [&str; 6] = ["no ", "not ", "without ", "never ", "neither ", "nor "];

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
    let parts = BODY.iter().filter(|words| any(words)).count();
    any(&SEVERE)
        || any(&SWELLING) && any(&AIRWAY_PARTS)
        || any(&HIVES) && any(&ALL_OVER)
        || any(&VOMITING) && any(&REPEATED)
        || parts >= 2
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
            // "not breathing" and "could not hold" are signs themselves.
            Some(at) if !clause.contains("not breath") && !clause.contains("not hold") => {
                let but = clause
                    .get(at..)
                    .and_then(|rest| rest.find(" but ").map(|but| at + but));
                let after = but.and_then(|but| clause.get(but..)).unwrap_or("");
                format!("{}{after}", clause.get(..at).unwrap_or(""))
            }
            _ => clause.to_string(),
        }
    });
    kept.collect::<Vec<_>>().join(", ")
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
        ] {
            assert!(is_severe(severe), "{severe}");
        }
        for mild in [
            "two red spots on the cheek",
            "red chin",
            "sneezed once",
            "a few hives on the arm",
            "upset tummy",
            "red round the mouth, no trouble breathing, not floppy",
            "a little rash, no vomiting",
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
