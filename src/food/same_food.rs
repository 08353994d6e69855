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

/// First parts of names behind which only the cut, the variety or the form is named: a child who
/// knows stewing beef knows beef.
const KINDS: [&str; 34] = [
    "beef",
    "veal",
    "pork",
    "lamb",
    "chicken",
    "turkey",
    "duck",
    "apples",
    "pears",
    "bananas",
    "avocados",
    "mangos",
    "peaches",
    "nectarines",
    "plums",
    "apricots",
    "strawberries",
    "blueberries",
    "raspberries",
    "melons",
    "carrots",
    "parsnips",
    "potatoes",
    "tomatoes",
    "broccoli",
    "cauliflower",
    "spinach",
    "pumpkin",
    "leeks",
    "cucumber",
    "asparagus",
    "lentils",
    "oats",
    "rice",
];
/// Parts of an animal that are foods of their own, and meat that is preserved.
const OF_THEIR_OWN: [&str; 18] = [
    "liver",
    "kidney",
    "kidneys",
    "heart",
    "tongue",
    "giblets",
    "gizzard",
    "brain",
    "tripe",
    "spleen",
    "lungs",
    "pancreas",
    "thymus",
    "suet",
    "variety meats",
    "cured",
    "corned",
    "smoked",
];

/// What all forms of a food are called: `squash, winter, butternut` of
/// `Squash, winter, butternut, cooked, baked, without salt`.
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
    let plain = plain
        .strip_prefix("cereals, ")
        .filter(|rest| begins(rest, "oats"))
        .unwrap_or(&plain);
    let mut parts = plain
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty());
    let is_own = |part: &str| OF_THEIR_OWN.iter().any(|own| begins(part, own));
    if !parts.clone().any(is_own) {
        let two: Vec<&str> = parts.clone().take(2).collect();
        match two[..] {
            [first, ..] if KINDS.contains(&first) => return first.to_owned(),
            // Salmon is salmon, wild or farmed.
            ["fish", which] => return format!("fish, {which}"),
            _ => {}
        }
    }
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
            (
                "Oats",
                "Cereals, oats, regular and quick, not fortified, dry",
            ),
            (
                "Beef, chuck for stew, separable lean and fat, all grades, raw",
                "Beef, composite of trimmed retail cuts, separable lean only, raw",
            ),
            (
                "Chicken, broilers or fryers, breast, meat only, raw",
                "Chicken, ground, raw",
            ),
            (
                "Fish, salmon, Atlantic, farmed, raw",
                "Fish, salmon, pink, raw",
            ),
            ("Apples, raw, fuji, with skin", "Apples, raw, without skin"),
        ] {
            assert_eq!(same_food(one), same_food(other));
        }
        for (one, other) in [
            ("Egg, whole, raw, fresh", "Egg, yolk, raw, fresh"),
            ("Beans, kidney, raw", "Beans, navy, raw"),
            ("Chicken, liver, all classes, raw", "Chicken, ground, raw"),
            (
                "Beef, variety meats and by-products, liver, raw",
                "Beef, chuck for stew, separable lean and fat, raw",
            ),
            (
                "Beef, cured, dried",
                "Beef, ground, 95% lean meat / 5% fat, raw",
            ),
            ("Peas, green, raw", "Peas, green, split, mature seeds, raw"),
            ("Fish, salmon, pink, raw", "Fish, cod, Pacific, raw"),
            ("Potatoes, raw, skin", "Sweet potato, raw, unprepared"),
        ] {
            assert_ne!(same_food(one), same_food(other));
        }
    }
}
