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
const SEVERE: &[&str] = &[
    "gasp",
    "stopped breath",
    "not breath",
    "breathless",
    "wheez",
    "stridor",
    "keeps cough",
    "kept cough",
    "coughing and coughing",
    "repeated cough",
    "constant cough",
    "barking cough",
    "coughing non",
    "hoarse",
    "croak",
    "floppy",
    "rag doll",
    "letharg",
    "unresponsive",
    "collaps",
    "passed out",
    "unconscious",
    "can't hold",
    "cannot hold",
    "could not hold",
    "drool",
    "white as",
    "anaphyla",
    "chok",
    "clammy",
    "swelled shut",
    "swollen shut",
    "angioed",
    "angio-oed",
    "angio oed",
    "like a doll",
    "went white",
    "turned white",
    "become white",
    "became white",
    "gone white",
    "goes white",
    "not wake",
    "didn't wake",
    "didnt wake",
    "couldn't wake",
    "couldnt wake",
    "can't wake",
    "won't wake",
    "wouldn't wake",
    "doesn't wake",
    "cannot wake",
    "unrous",
    "persistent cough",
    "coughing fit",
    "cough that won",
    "coughs a lot",
    "isn't breath",
    "isnt breath",
    "doesn't breath",
    "doesnt breath",
    "does not breath",
    "panting",
    "rattling",
    "crackl",
    "squeaky",
    "raspy",
    "weak cry",
    "voice chang",
    "not respond",
    "doesn't respond",
    "does not react",
    "doesn't react",
    "not react",
    "lost consciousness",
    "sleeping much more",
    "head flop",
    "head hang",
    "no muscle tone",
    "bluish",
    "blueish",
    "greyish",
    "grayish",
    "purple",
    "pallor",
    "epipen",
    "epi-pen",
    "adrenaline",
    "epinephrine",
    "called 911",
    "called 999",
    "called 112",
    "ambulance",
    "emergency room",
    "allergic shock",
    "projectile",
    "violent vomit",
    "can't swallow",
    "cannot swallow",
];
/// Words that are severe only as they stand.
const SEVERE_WORDS: &[&str] = &[
    "limp", "pale", "blue", "grey", "gray", "ashen", "faint", "fainted",
];
/// Words for sleepiness, and those for its being unusual.
const SLEEPY: &[&str] = &["sleepy", "drows", "hard to wake"];
/// Words for breath, and those for its being in trouble.
const BREATH: &[&str] = &["breath", "breathing", "swallow"];
const TROUBLED: &[&str] = &[
    "trouble",
    "diffic",
    "hard",
    "struggl",
    "can't",
    "cannot",
    "couldn't",
    "could not",
    "short",
    "labour",
    "labor",
    "fast",
    "nois",
    "whistl",
    "problem",
    "funny",
    "catch",
    "unable",
    "not able",
];
/// Words for swelling, and the parts of the body where it is severe.
const SWELLING: &[&str] = &["swell", "swollen", "puff", "swelled", "oedema", "edema"];
const SWOLLEN_PARTS: &[&str] = &[
    "lip", "tongue", "throat", "mouth", "face", "neck", "tounge", "toung", "tonge", "tung", "lipp",
];
/// Words for size, and the parts of the body where that means swelling.
const LARGE: &[&str] = &["big", "fat", "huge", "thick", "tight", "clos"];
const AIRWAY: &[&str] = &[
    "lip", "tongue", "throat", "tounge", "toung", "tonge", "tung",
];
/// Words for hives, and those for their being everywhere.
const HIVES: &[&str] = &[
    "hive",
    "welt",
    "rash",
    "nettle",
    "spots",
    "urticaria",
    "bumps",
    "blotch",
    "skin red",
    "red skin",
];
const ALL_OVER: &[&str] = &[
    "all over",
    "everywhere",
    "whole body",
    "entire body",
    "spreading",
    "head to toe",
    "body-wide",
    "covered in",
    "generalised",
    "generalized",
    "all her body",
    "all his body",
    "all of her body",
    "all of his body",
    "over her body",
    "over his body",
    "full body",
    "full-body",
    "whole-body",
    "back, legs",
    "legs and arms",
    "arms and legs",
];
/// Words for vomiting, and those for its being repeated.
const VOMITING: &[&str] = &[
    "vomit",
    "threw up",
    "throwing up",
    "throws up",
    "sick",
    "brought up",
    "puke",
    "puking",
    "throw up",
    "sicked",
    "barf",
];
const REPEATED: &[&str] = &[
    "repeated",
    "again and again",
    "several times",
    "many times",
    "over and over",
    "kept",
    "keeps",
    "twice",
    "non-stop",
    "repeatedly",
    "non stop",
    "nonstop",
    "couldn't stop",
    "couldnt stop",
    "can't stop",
    "cannot stop",
    "could not stop",
    "for an hour",
    "for hours",
    "all day",
    "all night",
    "every five",
    "every ten",
    "every few",
    "every minute",
];
/// Numbers that make a count of times.
const NUMBERS: &[&str] = &[
    "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
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
        "puff",
        "urticaria",
    ],
    &[
        "vomit",
        "threw up",
        "throwing up",
        "sick",
        "diarrh",
        "loose stool",
        "tummy",
        "stomach",
        "belly",
        "cramp",
    ],
    &["cough", "wheez", "hoarse", "breath", "gasp", "croak"],
];
/// Where a sign on the skin may be, which is no sign of the gut.
const ON_THE_SKIN: &[&str] = &["tummy", "belly", "stomach"];

/// Words that turn what follows into its contrary.
const NOT: &[&str] = &[
    "no ", "not ", "without ", "never ", "neither ", "nor ", "didn't ", "hasn't ", "hadn't ",
    "wasn't ", "isn't ", "didnt ",
];
/// What a sound child does, so that it is a sign where it is denied.
const SIGNS_DENIED: &[&str] = &[
    "breath",
    "hold",
    "wake",
    "respond",
    "react",
    "move",
    "swallow",
    "stop",
    "stay awake",
];
/// Words that say of the breath that it is as ever.
const AT_EASE: &[&str] = &[
    "fine",
    "normally",
    "normal",
    "ok",
    "okay",
    "well",
    "easily",
    "as usual",
    "all right",
];

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
