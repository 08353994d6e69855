//! A food in a few words.

use crate::words::lower;

/// The most letters of a short name, but for the parts that always stay.
const LONGEST: usize = 28;

/// Parts of names that tell hardly any foods apart.
const TELLS_LITTLE: [&str; 25] = [
    "all grades",
    "all classes",
    "all types",
    "all commercial varieties",
    "mature seeds",
    "broilers or fryers",
    "broiler or fryers",
    "variety meats and by-products",
    "year round average",
    "separable lean only",
    "separable lean and fat",
    "choice",
    "select",
    "prime",
    "domestic",
    "without salt",
    "without added salt",
    "drained",
    "regular pack",
    "meat only",
    "skinless",
    "boneless",
    "enriched",
    "unenriched",
    "commercially prepared",
];
/// Beginnings of further parts that tell hardly any foods apart.
const BEGINS_WITH_LITTLE: [&str; 3] = ["trimmed to", "with added", "approximately"];

/// Words of the parts that always stay: how it is cooked or kept, which organ, which part.
const ALWAYS: [&str; 37] = [
    "cooked",
    "uncooked",
    "canned",
    "dry",
    "dried",
    "frozen",
    "smoked",
    "pickled",
    "powder",
    "liver",
    "heart",
    "kidney",
    "kidneys",
    "tongue",
    "brain",
    "giblets",
    "gizzard",
    "gizzards",
    "skin",
    "breast",
    "thigh",
    "drumstick",
    "wing",
    "leg",
    "back",
    "neck",
    "yolk",
    "white",
    "roe",
    "ground",
    "salted",
    "sweetened",
    "unsweetened",
    "unpasteurized",
    "producer",
    "leaves",
    "greens",
];
/// A part of more words describes a food; it does not tell foods apart.
const FEW: usize = 3;
/// How it is cooked: this always stays where the name does not say "cooked" as well.
const WAYS: [&str; 14] = [
    "roasted",
    "boiled",
    "braised",
    "stewed",
    "steamed",
    "simmered",
    "baked",
    "broiled",
    "grilled",
    "fried",
    "pan-fried",
    "microwaved",
    "poached",
    "scrambled",
];

/// What a food is called at its briefest, as inside a sentence: `beets` of `Beets, raw`.
pub fn brief_name(name: &str) -> String {
    lower(name.split(',').next().unwrap_or_default().trim())
}

/// A food in a few words, in lower case: its name without what tells little, as many parts as fit,
/// and always what tells it from a food that must not be taken for it: cooked beans from dry ones,
/// liver from beef.
pub fn short_name(name: &str) -> String {
    let plain = without_brackets(name);
    let mut parts = plain
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty());
    let mut short = parts.next().unwrap_or(&plain).to_string();
    let parts: Vec<&str> = parts.filter(|part| !tells_little(part)).collect();
    let cooked = parts.contains(&"cooked");
    let seeds = name.contains("mature seeds");
    let mut full = false;
    for part in parts {
        let always =
            has_word(part, &ALWAYS) || !cooked && has_word(part, &WAYS) || seeds && part == "raw";
        let fits = short.chars().count() + part.chars().count() + 1 < LONGEST;
        full |= !fits && !always;
        if always || (fits && !full) {
            short = format!("{short}, {part}");
        }
    }
    lower(&short)
}

fn tells_little(part: &str) -> bool {
    let part = part.to_lowercase();
    TELLS_LITTLE.contains(&part.as_str())
        || BEGINS_WITH_LITTLE
            .iter()
            .any(|start| part.starts_with(start))
}

/// Whether a part has one of these words; "dry heat" says how it is cooked, not that it is dry.
fn has_word(part: &str, words: &[&str]) -> bool {
    let part = part.to_lowercase();
    let split: Vec<&str> = part.split_whitespace().collect();
    split.len() <= FEW && !part.ends_with(" heat") && split.iter().any(|word| words.contains(word))
}

fn without_brackets(name: &str) -> String {
    let mut depth = 0_usize;
    let outside = |c: &char| {
        match c {
            '(' => depth += 1,
            ')' if depth > 0 => {
                depth -= 1;
                return false;
            }
            _ => {}
        }
        depth == 0
    };
    let plain: String = name.chars().filter(outside).collect();
    let plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    let plain = plain.replace(" ,", ",");
    if plain.is_empty() {
        name.to_string()
    } else {
        plain
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Names of USDA SR28.
    #[test]
    fn what_tells_a_food_from_another_is_kept() {
        for (name, short) in [
            (
                "Yogurt, plain, whole milk, 8 grams protein per 8 ounce",
                "yogurt, plain, whole milk",
            ),
            (
                "Beef, chuck for stew, separable lean and fat, all grades, raw",
                "beef, chuck for stew, raw",
            ),
            ("BABYFOOD, rice", "BABYFOOD, rice"),
            (
                "Beef, variety meats and by-products, liver, raw",
                "beef, liver, raw",
            ),
            (
                "Beef, variety meats and by-products, liver, cooked, braised",
                "beef, liver, cooked, braised",
            ),
            (
                "Beans, kidney, red, mature seeds, cooked, boiled, without salt",
                "beans, kidney, red, cooked",
            ),
            (
                "Beans, kidney, red, mature seeds, raw",
                "beans, kidney, red, raw",
            ),
            (
                "Beans, kidney, red, mature seeds, canned, drained solids",
                "beans, kidney, red, canned",
            ),
            (
                "Chicken, broilers or fryers, meat only, roasted",
                "chicken, roasted",
            ),
            (
                "Chicken, broiler or fryers, breast, skinless, boneless, meat only, raw",
                "chicken, breast, raw",
            ),
            ("Chicken, liver, all classes, raw", "chicken, liver, raw"),
            (
                "Chickpeas (garbanzo beans, bengal gram), mature seeds, canned, drained solids",
                "chickpeas, canned",
            ),
            (
                "Fish, salmon, Atlantic, farmed, cooked, dry heat",
                "fish, salmon, Atlantic, cooked",
            ),
        ] {
            assert_eq!(short_name(name), short);
        }
    }
}
