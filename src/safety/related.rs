//! Which foods may hold what a child reacted to: the same food in another form, and what shares a major allergen with it.
//!
//! Until the doctor has cleared the food, a reaction is an allergy that may be one. So it is asked as one: by the words under which the food
//! stands in the names of others.

use data_import::Food;

use super::allergens::AllergenTable;
use super::child::NotedReaction;

/// Beginnings of names in the food table that say a kind of food, and the next part of the name which one of it.
const KINDS: [&str; 13] = [
    "beans",
    "squash",
    "nuts",
    "seeds",
    "fish",
    "mollusks",
    "crustaceans",
    "cheese",
    "spices",
    "oil",
    "cereals",
    "game meat",
    "seaweed",
];
/// Beginnings of names that say a dish or what it is sold as: of what is in it they say nothing.
const DISHES: [&str; 19] = [
    "soup",
    "sauce",
    "gravy",
    "snacks",
    "candies",
    "beverages",
    "alcoholic beverage",
    "fast foods",
    "restaurant",
    "desserts",
    "toppings",
    "syrups",
    "infant formula",
    "child formula",
    "formulated bar",
    "frozen novelties",
    "cereals ready-to-eat",
    "salad dressing",
    "leavening agents",
];
/// What is sold for infants is named by its kind first: the part after these says what it is.
const FOR_INFANTS: [&str; 5] = ["cereal", "fruit", "vegetables", "meat", "juice"];

/// What a food may hold that the child reacted to in another one, in words; `None` for nothing that names give away.
pub(super) fn shared(
    food: &Food,
    reaction: &NotedReaction,
    allergens: &AllergenTable,
) -> Option<String> {
    let held = allergens.of(food);
    let both: Vec<&str> = held
        .filter(|one| reaction.allergens.iter().any(|of| of == one))
        .collect();
    if !both.is_empty() {
        return Some(both.join(", "));
    }
    called(&reaction.name).filter(|name| allergens.holds(food, name))
}

/// What a food is called, as one would write it down for an allergy: `bananas` of `Bananas, dehydrated`, `kidney beans` of `Beans, kidney, raw`.
fn called(name: &str) -> Option<String> {
    let mut parts = name.split(',').map(str::trim);
    let first = parts.next().filter(|part| !part.is_empty())?;
    // Names of brands are written in capitals.
    if first.chars().skip(1).any(char::is_uppercase) {
        return None;
    }
    let first = first.to_lowercase();
    if first == "babyfood" {
        parts.find(|part| FOR_INFANTS.contains(part))?;
        // A mixture shares too much with too many.
        return parts
            .next()
            .filter(|part| !part.contains(" and ") && !part.contains(" with "))
            .map(str::to_lowercase);
    }
    if DISHES.contains(&first.as_str()) {
        return None;
    }
    if KINDS.contains(&first.as_str()) {
        let which = parts.next()?.to_lowercase();
        return Some(match first.as_str() {
            "beans" | "squash" => format!("{which} {first}"),
            _ => which,
        });
    }
    Some(first)
}

#[cfg(test)]
mod tests {
    use super::*;
    use data_import::FoodTable;
    use jiff::civil::date;

    fn food(name: &str) -> Food {
        let table = FoodTable::builtin().unwrap();
        let all = table.foods(&["09040".parse().unwrap()]).unwrap();
        let one = all.into_iter().flatten().next().unwrap();
        Food {
            name: name.into(),
            ..one
        }
    }

    #[test]
    fn a_reaction_is_remembered_for_the_food_in_every_form() {
        let allergens = AllergenTable::builtin().unwrap();
        let related = |reacted: &str, other: &str| {
            let held = allergens.of(&food(reacted)).map(String::from).collect();
            let reaction = NotedReaction {
                food: "01129".into(),
                name: reacted.into(),
                allergens: held,
                day: date(2026, 11, 3),
                words: "hives".into(),
            };
            shared(&food(other), &reaction, &allergens).is_some()
        };
        let cases = include_str!("../../tests/data/related-foods.tsv");
        let cases = cases.lines().filter(|line| !line.starts_with('#'));
        let mut tried = 0;
        for case in cases.skip(1) {
            let [kind, reacted, other] = case.split('\t').collect::<Vec<_>>()[..] else {
                panic!("{case}");
            };
            assert_eq!(related(reacted, other), kind == "yes", "{case}");
            tried += 1;
        }
        assert!(tried > 30);
    }
}
