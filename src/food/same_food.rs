//! The same food in another form: carrots are carrots, raw and boiled.

/// Beginnings of the parts of a name that say how a food is cooked, kept or sold, and not which one it is.
const FORMS: [&str; 51] = [
    "raw",
    "fresh",
    "frozen",
    "chilled",
    "canned",
    "dried",
    "dehydrated",
    "dry",
    "cooked",
    "uncooked",
    "prepared",
    "unprepared",
    "heated",
    "unheated",
    "boiled",
    "hard-boiled",
    "baked",
    "roasted",
    "steamed",
    "stewed",
    "braised",
    "simmered",
    "poached",
    "scrambled",
    "fried",
    "pan-fried",
    "grilled",
    "broiled",
    "microwaved",
    "drained",
    "solids",
    "rinsed",
    "salted",
    "unsalted",
    "with salt",
    "with added",
    "without salt",
    "without added",
    "with skin",
    "without skin",
    "flesh",
    "mature seeds",
    "all types",
    "all varieties",
    "all commercial varieties",
    "regular pack",
    "all styles",
    "chopped",
    "spears",
    "kernels cut off cob",
    "unsweetened",
];

/// What all forms of a food are called: `squash, winter, butternut` of `Squash, winter, butternut, cooked, baked, without salt`.
pub fn same_food(name: &str) -> String {
    let name = name.to_lowercase();
    let mut plain = String::with_capacity(name.len());
    let mut depth = 0_u32;
    for letter in name.chars() {
        match letter {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ if depth == 0 => plain.push(letter),
            _ => {}
        }
    }
    let mut parts = plain
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty());
    let first = parts.next().unwrap_or_default().to_owned();
    let says_which = |part: &&str| !FORMS.iter().any(|form| begins(part, form));
    parts
        .filter(says_which)
        .fold(first, |name, part| format!("{name}, {part}"))
}

/// Whether a part begins with these words, and not with the beginning of another word.
fn begins(part: &str, words: &str) -> bool {
    part.strip_prefix(words)
        .is_some_and(|rest| !rest.starts_with(|letter: char| letter.is_alphanumeric()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_of_a_food_are_called_the_same_and_other_foods_are_not() {
        for (one, other) in [
            (
                "Carrots, raw",
                "Carrots, cooked, boiled, drained, without salt",
            ),
            ("Egg, whole, raw, fresh", "Egg, whole, cooked, hard-boiled"),
            (
                "Spinach, cooked, boiled, drained, without salt",
                "Spinach, frozen, chopped or leaf, unprepared",
            ),
            ("Blueberries, raw", "Blueberries, frozen, unsweetened"),
            (
                "Lentils, raw",
                "Lentils, mature seeds, cooked, boiled, without salt",
            ),
            (
                "Squash, winter, butternut, raw",
                "Squash, winter, butternut, cooked, baked, without salt",
            ),
            (
                "Fish, salmon, Atlantic, wild, raw",
                "Fish, salmon, Atlantic, wild, cooked, dry heat",
            ),
        ] {
            assert_eq!(same_food(one), same_food(other));
        }
        for (one, other) in [
            ("Egg, whole, raw, fresh", "Egg, yolk, raw, fresh"),
            ("Beans, kidney, raw", "Beans, navy, raw"),
            ("Fish, salmon, pink, raw", "Fish, cod, Pacific, raw"),
            ("Potatoes, raw, skin", "Sweet potato, raw, unprepared"),
        ] {
            assert_ne!(same_food(one), same_food(other));
        }
    }
}
