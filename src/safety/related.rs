//! The foods that may hold what a child reacted to: the same food in another form, and foods that
//! share a major allergen with it.
//!
//! Until the doctor has cleared the food, a reaction may be an allergy. It is therefore looked up
//! as one: by the words for the food in the names of others.

use data_import::Food;

use super::allergens::AllergenTable;
use super::child::NotedReaction;

/// Beginnings of names in the food table that are a kind of food; the next part of the name says
/// which food of the kind.
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
/// Beginnings of names that are a dish or a product, and do not say what is in it.
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
/// Kinds with which the names of foods for infants begin: the next part of the name says which food
/// it is.
const FOR_INFANTS: [&str; 5] = ["cereal", "fruit", "vegetables", "meat", "juice"];

/// What a food may hold to which the child reacted in another food, in words; `None` for nothing
/// that names reveal.
pub(super) fn shared(
    food: &Food,
    reaction: &NotedReaction,
    allergens: &AllergenTable,
) -> Option<String> {
    let held = allergens.of(food);
    let both: Vec<&str> = held
        .filter(|allergen| reaction.allergens.iter().any(|of| of == allergen))
        .collect();
    if !both.is_empty() {
        return Some(both.join(", "));
    }
    called(&reaction.name).filter(|name| allergens.holds(food, name))
}

/// The name of a food as a household would write it for an allergy: `bananas` of `Bananas,
/// dehydrated`, `kidney beans` of `Beans, kidney, raw`.
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
        // A mixture has something in common with too many foods.
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
        let any = all.into_iter().flatten().next().unwrap();
        Food {
            name: name.into(),
            ..any
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
