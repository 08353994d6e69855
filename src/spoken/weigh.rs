//! What an amount of a food weighs, by the household measures of the dataset.

use data_import::{Basis, Food, Measure};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::food::Chosen;
use super::phrase::{Phrase, SpokenAmount as Typed, SpokenUnit};
use super::text::stems;
use super::unclear::Doubt;
use crate::cooking::FoodClass;
use crate::food::{described, mass_of, volume_measure};
use crate::portion::Constituents;
use crate::quantity::{self, Amount, Mass};

/// An amount with its mass.
#[derive(Debug)]
pub(super) struct Weighed {
    /// As a recipe writes it.
    pub(super) amount: Amount,
    pub(super) mass: Mass,
    /// The measure or the density that it was worked out with.
    pub(super) by: Option<String>,
    /// Whether it is the mass of what is eaten, without peel and bone.
    pub(super) edible: bool,
}

/// Classes of foods without air or gaps, whose density follows from what they are made of.
const SMOOTH: [&str; 8] = [
    "milk",
    "dairy-other",
    "infant-formula",
    "baby-foods",
    "juices",
    "beverages",
    "soups-sauces",
    "fats",
];
/// Classes of foods that are poured, of which an ounce may be one of mass or of volume.
const POURED: [&str; 5] = ["milk", "infant-formula", "juices", "beverages", "water"];
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
/// Measures of one weight, but for the rounding of the published grams, and of nearly one.
const ALIKE: f64 = 1.02;
const NEARLY: f64 = 1.35;
/// Sorts of a food that are smaller than it usually is.
const SMALLER: [&str; 10] = [
    "baby",
    "new",
    "mini",
    "cherry",
    "plum",
    "cocktail",
    "snack",
    "miniature",
    "salad",
    "chantenay",
];
/// Words of measures that count whole foods.
const WHOLE: [&str; 13] = [
    "fruit", "each", "whole", "item", "head", "ear", "stalk", "bulb", "pod", "root", "piece",
    "date", "patty",
];
/// Words of measures for one size of a food.
const SIZES: [&str; 5] = ["small", "medium", "large", "extra large", "regular"];
/// Words of a size that goes without saying.
const USUAL_SIZES: [&str; 2] = ["medium", "regular"];

/// What the amount of a phrase weighs.
pub(super) fn weigh(phrase: &Phrase, chosen: &Chosen, class: &FoodClass) -> Result<Weighed, Doubt> {
    let food = &chosen.food;
    let unclear = || Doubt::of_amount(food, phrase.vague.clone());
    if chosen.by_id
        && let Some(weighed) = as_written(phrase, chosen)
    {
        return Ok(weighed);
    }
    let Some(typed) = &phrase.amount else {
        return Err(unclear());
    };
    let bare = typed.unit == SpokenUnit::Pieces(None) && phrase.vague.is_some();
    if bare {
        return Err(unclear());
    }
    let poured = POURED.contains(&class.0.as_str());
    match &typed.unit {
        SpokenUnit::Mass(unit) if unit == "oz" && poured => Err(Doubt::Ounce(food.name.clone())),
        SpokenUnit::Mass(unit) => {
            let amount = amount(typed.number, unit)?;
            let mass = amount.mass().map_err(Doubt::from)?;
            Ok(Weighed {
                amount,
                mass,
                by: None,
                edible: chosen.beside.edible,
            })
        }
        SpokenUnit::Volume(unit) => volume(typed, unit, chosen, class)?.ok_or_else(unclear),
        SpokenUnit::Pieces(piece) => {
            let named = piece
                .as_deref()
                .map(|piece| piece.split('|').map(str::to_string).collect());
            let named = named.unwrap_or_else(|| chosen.beside.pieces.clone());
            pieces(typed, &named, chosen).ok_or_else(unclear)
        }
        // Cans come in many sizes; what is drained is weighed in those that the dataset names.
        SpokenUnit::Pack(pack)
            if pack == "can" && !stems(&food.name).iter().any(|word| word == "drained") =>
        {
            Err(unclear())
        }
        SpokenUnit::Pack(pack) => {
            pieces(typed, std::slice::from_ref(pack), chosen).ok_or_else(unclear)
        }
    }
}

/// The measure of a food that is named by its id, written out as the dataset has it: `2 cup, cubes`.
fn as_written(phrase: &Phrase, chosen: &Chosen) -> Option<Weighed> {
    let text = phrase.measure_text(&chosen.beside.kept).into_iter();
    let whole = phrase.measure_text(&[]).into_iter().chain(text);
    whole
        .filter_map(|text| text.parse::<Amount>().ok())
        .find_map(|amount| {
            let resolved = mass_of(&amount, &chosen.food).ok()?;
            Some(Weighed {
                mass: resolved.mass,
                edible: chosen.beside.edible || resolved.measure.is_some(),
                by: None,
                amount,
            })
        })
}

fn amount(number: Decimal, unit: &str) -> Result<Amount, Doubt> {
    format!("{number} {unit}").parse().map_err(Doubt::from)
}

/// A volume, by a measure of the food that is one, else by its label or its density.
fn volume(
    typed: &Typed,
    unit: &str,
    chosen: &Chosen,
    class: &FoodClass,
) -> Result<Option<Weighed>, Doubt> {
    let food = &chosen.food;
    let written = amount(typed.number, unit)?;
    let millilitres = written.volume().map_err(Doubt::from)?;
    if food.basis == Basis::Millilitres {
        return Ok(Some(Weighed {
            mass: millilitres.at_density(1.0),
            by: Some("100 ml, as on its label".into()),
            amount: written,
            edible: true,
        }));
    }
    let ready = food
        .measures
        .iter()
        .filter(|measure| !has_one(measure, &["yield".into()]));
    let volumes: Vec<(&Measure, f64)> = ready.filter_map(volume_measure).collect();
    let same: Vec<_> = volumes
        .iter()
        .copied()
        .filter(|(measure, _)| starts_with(measure, unit))
        .collect();
    let fitting = if same.is_empty() { volumes } else { same };
    if let Some((measure, density)) = usual_volume(&fitting, unit, chosen) {
        let mass = millilitres.at_density(density);
        return Ok(Some(measured(written, mass, measure, food)));
    }
    let density =
        Constituents::of(|id| food.composition.get(id)).and_then(|parts| parts.density(20.0));
    let density = density.filter(|_| fitting.is_empty() && SMOOTH.contains(&class.0.as_str()));
    Ok(density.map(|density| {
        let mass = millilitres.at_density(density);
        Weighed {
            amount: grams(mass).unwrap_or(written),
            mass,
            by: Some(format!(
                "{density:.2} g/ml by its composition (Choi and Okos 1986)"
            )),
            edible: true,
        }
    }))
}

/// The measure that is meant of several volumes: the one that is cut so, the plain one, or one of nearly one weight.
fn usual_volume<'a>(
    fitting: &[(&'a Measure, f64)],
    unit: &str,
    chosen: &Chosen,
) -> Option<(&'a Measure, f64)> {
    let cuts = &chosen.beside.cuts;
    let stoned: Vec<_> = fitting
        .iter()
        .copied()
        .filter(|(measure, _)| has_one(measure, &["without".into()]))
        .collect();
    if chosen.beside.edible && !stoned.is_empty() {
        return middle(stoned, |one| one.1, NEARLY);
    }
    let sort = chosen.own_words();
    let sorted: Vec<_> = fitting
        .iter()
        .copied()
        .filter(|(measure, _)| has_one(measure, &sort))
        .collect();
    if !sorted.is_empty() {
        return middle(sorted, |one| one.1, NEARLY);
    }
    let cut: Vec<_> = fitting
        .iter()
        .copied()
        .filter(|(measure, _)| has_one(measure, cuts))
        .collect();
    if !cut.is_empty() {
        return middle(cut, |one| one.1, NEARLY);
    }
    let plain = |unit: &str| {
        fitting
            .iter()
            .copied()
            .find(|(measure, _)| measure.unit.trim() == unit)
    };
    if let Some(plain) = [unit, "cup", "tbsp", "fl oz", "tsp"]
        .into_iter()
        .find_map(plain)
    {
        return Some(plain);
    }
    let mashed = ["mashed", "puree", "pureed", "juice", "pack", "packed"].map(str::to_string);
    let whole: Vec<_> = fitting
        .iter()
        .copied()
        .filter(|(measure, _)| !has_one(measure, &mashed))
        .collect();
    middle(
        if whole.is_empty() {
            fitting.to_vec()
        } else {
            whole
        },
        |one| one.1,
        NEARLY,
    )
}

/// Pieces, by a measure of the food that counts such pieces.
fn pieces(typed: &Typed, named: &[String], chosen: &Chosen) -> Option<Weighed> {
    let food = &chosen.food;
    // Half a breast is what a cook calls one.
    let doubtful = |measure: &Measure| measure.amount < 1.0 && has_one(measure, &["breast".into()]);
    let counts =
        |measure: &&Measure| crate::food::first_unit(&measure.unit).is_none() && !doubtful(measure);
    let counted = food.measures.iter().filter(counts);
    let all: Vec<&Measure> = if named.is_empty() {
        let parts = PARTS.map(str::to_string);
        counted
            .filter(|measure| !has_one(measure, &parts))
            .collect()
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
    let sorted: Vec<&Measure> = all
        .iter()
        .copied()
        .filter(|one| has_one(one, &sort))
        .collect();
    let smaller = chosen
        .words
        .iter()
        .any(|word| SMALLER.contains(&word.as_str()));
    if sorted.is_empty() && smaller && !chosen.is_called_small() {
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
    if !sizes.is_empty() {
        let sized: Vec<_> = all
            .iter()
            .copied()
            .filter(|one| has_size(one, sizes))
            .collect();
        let middling = sizes
            .iter()
            .any(|size| USUAL_SIZES.contains(&size.as_str()));
        if !sized.is_empty() || !middling {
            return middle(sized, weight, NEARLY);
        }
    }
    if stems(&chosen.food.name).iter().any(|word| word == "egg") {
        // Eggs are large where nothing is said of them: the size that recipes count in.
        let large: Vec<_> = all
            .iter()
            .copied()
            .filter(|one| has_size(one, &["large".into()]))
            .collect();
        if !large.is_empty() {
            return middle(large, weight, ALIKE);
        }
    }
    let usual: Vec<String> = USUAL_SIZES.map(str::to_string).to_vec();
    let medium: Vec<_> = all
        .iter()
        .copied()
        .filter(|one| has_size(one, &usual))
        .collect();
    if !medium.is_empty() {
        return middle(medium, weight, NEARLY);
    }
    if named {
        return middle(all, weight, NEARLY);
    }
    // A count of nothing in particular is one of whole foods: "1 salmon" is no fillet.
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

/// The one in the middle, where they differ by no more than a factor.
fn middle<T>(mut all: Vec<T>, weight: impl Fn(&T) -> f64, most: f64) -> Option<T> {
    all.sort_by(|one, other| weight(one).total_cmp(&weight(other)));
    let apart = weight(all.last()?) / weight(all.first()?);
    let at = (all.len() - 1) / 2;
    (apart <= most).then(|| all.swap_remove(at))
}

/// The amount as it is written where the dataset's measure gives the same mass by it, else in grams.
fn measured(written: Amount, mass: Mass, measure: &Measure, food: &Food) -> Weighed {
    let same = mass_of(&written, food).is_ok_and(|resolved| {
        resolved.measure.is_some()
            && (resolved.mass.grams() - mass.grams()).abs() < 1e-9 * mass.grams()
    });
    let amount = if same { None } else { grams(mass) };
    Weighed {
        amount: amount.unwrap_or(written),
        mass,
        by: Some(described(measure)),
        edible: true,
    }
}

fn grams(mass: Mass) -> Option<Amount> {
    let rounded = (mass.grams() * 1000.0).round() / 1000.0;
    format!("{rounded} g").parse().ok()
}

fn starts_with(measure: &Measure, unit: &str) -> bool {
    let first = crate::food::first_unit(&measure.unit);
    first.is_some_and(|first| quantity::Unit::named(unit) == Some(first))
}

fn has_one(measure: &Measure, words: &[String]) -> bool {
    let of = stems(&measure.unit);
    words.iter().any(|word| of.contains(word))
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

impl Chosen {
    /// The words that the food was found by and that its name does not have: `penne` of pasta, `cherry` of tomatoes.
    fn own_words(&self) -> Vec<String> {
        let name = stems(&self.food.name);
        let own = self.words.iter().filter(|word| !name.contains(word));
        own.cloned().collect()
    }

    /// Whether the dataset's food is the small sort itself.
    fn is_called_small(&self) -> bool {
        let name = stems(&self.food.name);
        self.words
            .iter()
            .any(|word| SMALLER.contains(&word.as_str()) && name.contains(word))
    }
}
