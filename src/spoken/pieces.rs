//! Pieces of a food: which measure of the dataset counts them.

use data_import::Measure;
use rust_decimal::prelude::ToPrimitive;

use super::food::Chosen;
use super::phrase::SpokenAmount as Typed;
use super::text::stems;
use super::weigh::{ALIKE, NEARLY, Weighed, amount, has_one, measured, middle};
use crate::quantity::Mass;

/// Measures that are a part of a food, not a whole one.
const PARTS: [&str; 23] = [
    "slice",
    "leaf",
    "floweret",
    "floret",
    "spear",
    "clove",
    "strip",
    "stick",
    "ring",
    "wedge",
    "sprig",
    "section",
    "kernel",
    "cubic",
    "serving",
    "package",
    "container",
    "can",
    "bag",
    "box",
    "bunch",
    "breast",
    "unit",
];

/// Sorts of a food that are smaller than it usually is.
pub(super) const SMALLER: [&str; 11] = [
    "baby",
    "new",
    "mini",
    "cherry",
    "grape",
    "plum",
    "cocktail",
    "snack",
    "miniature",
    "salad",
    "chantenay",
];
/// Sorts of a food that are larger than it usually is.
const LARGER: [&str; 3] = ["beefsteak", "beef", "giant"];

/// Whether a measure is of a part of a food. `roll 1 serving` is a whole one.
fn is_part(measure: &Measure) -> bool {
    let of = stems(&measure.unit);
    let beside = |word: &String| word == "nlea" || word.starts_with(|c: char| c.is_ascii_digit());
    let end = of.iter().position(beside).filter(|end| *end > 0);
    let counted = &of[..end.unwrap_or(of.len())];
    counted.iter().any(|word| PARTS.contains(&word.as_str()))
}

/// Whether a sort of this name is of another size than the food usually is.
fn is_size_of_its_own(word: &str) -> bool {
    SMALLER.contains(&word) || LARGER.contains(&word)
}

/// Words of measures that count whole foods.
const WHOLE: [&str; 14] = [
    "fruit", "each", "whole", "item", "head", "ear", "stalk", "bulb", "pod", "root", "piece",
    "date", "patty", "biscuit",
];
/// Words of measures for one size of a food.
const SIZES: [&str; 5] = ["small", "medium", "large", "extra large", "regular"];
/// Words of a size that goes without saying.
const USUAL_SIZES: [&str; 2] = ["medium", "regular"];

/// Pieces, by a measure of the food that counts such pieces.
pub(super) fn pieces(typed: &Typed, named: &[String], chosen: &Chosen) -> Option<Weighed> {
    let food = &chosen.food;
    // Half a breast is what a cook calls one.
    let doubtful = |measure: &Measure| measure.amount < 1.0 && has_one(measure, &["breast".into()]);
    let counts =
        |measure: &&Measure| crate::food::first_unit(&measure.unit).is_none() && !doubtful(measure);
    let counted = food.measures.iter().filter(counts);
    // "6 pieces" of what the dataset counts by no pieces are six of them.
    let bare = named == ["piece"] && !counted.clone().any(|measure| has_one(measure, named));
    let named = if bare { &[] } else { named };
    let all: Vec<&Measure> = if named.is_empty() {
        counted.filter(|measure| !is_part(measure)).collect()
    } else {
        counted.filter(|measure| has_one(measure, named)).collect()
    };
    // "1 can" is the can of no other size; what is bought whole is not weighed peeled.
    let exact = all.iter().copied().find(|one| named.contains(&one.unit));
    let all = exact.map_or(all, |exact| vec![exact]);
    let peeled: [String; 1] = ["peeled".into()];
    let (without, with): (Vec<&Measure>, Vec<&Measure>) =
        all.iter().partition(|one| has_one(one, &peeled));
    let fitting = if chosen.beside.edible { without } else { with };
    let all = if fitting.is_empty() { all } else { fitting };
    let sort = chosen.own_words();
    // A baby plum tomato is not a plum tomato.
    let sizes: Vec<&String> = sort
        .iter()
        .filter(|word| is_size_of_its_own(word))
        .collect();
    let so_large = |one: &&Measure| {
        sizes
            .iter()
            .all(|word| has_one(one, std::slice::from_ref(*word)))
    };
    let sorted: Vec<&Measure> = all
        .iter()
        .copied()
        .filter(|one| has_one(one, &sort) && so_large(one))
        .collect();
    let named_size = chosen.words.iter().any(|word| is_size_of_its_own(word));
    if sorted.is_empty() && named_size && !chosen.is_called_small() {
        return None;
    }
    let measure = usual_piece(
        if sorted.is_empty() { all } else { sorted },
        !named.is_empty(),
        chosen,
    )?;
    let mass = Mass::from_grams(typed.number.to_f64()? * measure.grams_per_unit());
    let written = amount(typed.number, &measure.unit).ok()?;
    Some(measured(written, mass, measure, food))
}

/// The piece that is meant of several: of the size that was named, else of middling size.
fn usual_piece<'a>(all: Vec<&'a Measure>, named: bool, chosen: &Chosen) -> Option<&'a Measure> {
    let sizes = &chosen.beside.sizes;
    let weight = |one: &&Measure| one.grams_per_unit();
    let of_size = |sizes: &[String]| -> Vec<&'a Measure> {
        let all = all.iter().copied();
        all.filter(|one| has_size(one, sizes)).collect()
    };
    if !sizes.is_empty() {
        let sized = of_size(sizes);
        let middling = sizes
            .iter()
            .any(|size| USUAL_SIZES.contains(&size.as_str()));
        if !sized.is_empty() || !middling {
            return middle(sized, weight, NEARLY);
        }
    }
    if stems(&chosen.food.name).iter().any(|word| word == "egg") {
        // Eggs are large where nothing is said of them: the size that recipes count in.
        let large = of_size(&["large".into()]);
        if !large.is_empty() {
            return middle(large, weight, ALIKE);
        }
    }
    let medium = of_size(&USUAL_SIZES.map(str::to_string));
    if !medium.is_empty() {
        return middle(medium, weight, NEARLY);
    }
    if named {
        return middle(all, weight, NEARLY);
    }
    // A count of nothing in particular is one of whole foods: "1 salmon" is not a fillet.
    let names = stems(&chosen.food.name);
    let is_whole = |one: &&Measure| {
        let of = stems(&one.unit);
        let is_name = |word: &String| {
            let end =
                |name: &String| name == word || word.len() > 3 && name.ends_with(word.as_str());
            *word == chosen.words.concat() || chosen.words.iter().chain(&names).any(end)
        };
        of.iter()
            .any(|word| WHOLE.contains(&word.as_str()) || is_name(word))
    };
    let (sized, unsized_): (Vec<_>, Vec<_>) = all
        .into_iter()
        .partition(|one| has_size(one, &SIZES.map(str::to_string)));
    let whole: Vec<_> = unsized_.into_iter().filter(is_whole).collect();
    let whole = if whole.is_empty() { sized } else { whole };
    middle(whole, weight, NEARLY)
}

/// Whether a measure is of one of these sizes: "extra large" is not large.
fn has_size(measure: &Measure, sizes: &[String]) -> bool {
    let unit = stems(&measure.unit).join(" ");
    let extra = ["extra large", "extra small"]
        .iter()
        .any(|extra| unit.contains(extra));
    sizes.iter().any(|size| {
        let wanted = size.starts_with("extra");
        extra == wanted && format!(" {unit} ").contains(&format!(" {size} "))
    })
}
