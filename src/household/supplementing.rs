//! Reading supplements as they are typed: the nutrient that a product names, and a dose of it.

use std::collections::BTreeSet;

use data_import::{Error, Food, FoodId, Nutrient, NutrientId, nutrient, nutrients};

use super::objections::{BookJudge, Judged};
use crate::food::{FoodDataError, Pantry};
use crate::notebook::{Book, BookError, NewSupplement, Store};
use crate::nutrition::{AgeMonths, IntakeTable};
use crate::problem::Problem;
use crate::quantity::read_number;
use crate::safety::{Objection, gravest_first, is_in_name, stem};
use crate::words::{joined, quoted};

/// The nutrient that a product names; `None` where it names none, or several.
///
/// Errors: the table of nutrients cannot be read.
pub fn nutrient_of_product(product: &str) -> Result<Option<NutrientId>, Error> {
    let words = product.to_lowercase();
    let named = |one: &&Nutrient| {
        let stem = plain_name(one);
        !stem.is_empty() && words.contains(&stem)
    };
    let found: Vec<&Nutrient> = nutrients()?.iter().filter(named).collect();
    let stems: BTreeSet<String> = found.iter().map(|one| plain_name(one)).collect();
    // Vitamin D is in the table twice, in micrograms and in international units.
    let by_mass = found.iter().find(|nutrient| nutrient.unit != "IU");
    Ok(by_mass
        .filter(|_| stems.len() == 1)
        .map(|nutrient| nutrient.id))
}

/// Words of a product that name no food: what it is given for, and as what (judgement).
const NO_FOOD: &str = "\
    vitamin vitamins multivitamin a b b12 c d d3 e k k2 iron zinc calcium iodine fluoride \
    magnesium dha omega drop drops syrup tablet tablets powder spray liquid baby infant \
    infants kids children for and the of plus";
/// The most foods that are looked at for one that a product is made with (judgement).
const LOOKED_AT: usize = 10;

/// Records a supplement for each child, or for none: the foods that a product names are judged first, such as honey, or an
/// oil of fish where there is an allergy to fish. An objection that blocks stops all of them, unless `anyway`, called with the
/// objections, overrides it. What was missed or is given no longer is not judged.
///
/// Errors: the book has no child of that name; the foods cannot be searched.
pub fn supplement_each(
    book: &Book,
    store: &mut Store,
    pantry: &Pantry,
    each: &[NewSupplement<'_>],
    anyway: impl FnOnce(&[Objection]) -> bool,
) -> Result<Judged<Vec<i64>>, BookError> {
    let mut objections = Vec::new();
    for given in each.iter().filter(|new| new.amount > 0.0) {
        let child = book.settings.child(Some(given.child))?;
        let foods = foods_of(pantry, given.product)?;
        let judge = BookJudge::new(&book.settings, Some(store), pantry)?;
        objections.extend(judge.had_before(child, given.day, &foods)?);
    }
    gravest_first(&mut objections);
    Judged::unless_stopped(objections, anyway, || {
        each.iter().map(|new| store.supplement(new)).collect()
    })
}

/// The foods that a product names: each part of its name that is in full in that of a food.
fn foods_of(pantry: &Pantry, product: &str) -> Result<Vec<Food>, FoodDataError> {
    let lower = product.to_lowercase().replace(" with ", " in ");
    let mut named = Vec::new();
    for part in lower
        .split(" in ")
        .flat_map(|part| part.split([',', '+', '&']))
    {
        let words = part.split(|c: char| !c.is_alphanumeric());
        let is_food = |word: &&str| !NO_FOOD.split(' ').any(|other| other == *word);
        let words = words.filter(|word| !word.is_empty()).filter(is_food);
        let words: Vec<&str> = words.collect();
        if words.is_empty() || words == ["oil"] {
            continue;
        }
        let hits = pantry.search(&words.join(" "), LOOKED_AT)?;
        let ids = hits.iter().filter_map(|hit| hit.id.parse().ok());
        let foods = pantry.foods(&ids.collect::<Vec<FoodId>>())?;
        let is_it = |food: &Food| {
            let name = food.name.to_lowercase();
            words.iter().all(|word| is_in_name(&stem(word), &name))
        };
        // The plainest has the shortest name.
        let found = foods.into_iter().flatten().filter(is_it);
        named.extend(found.min_by_key(|food| food.name.len()));
    }
    Ok(named)
}

/// What a product is called in the record of a child, where it stands there in other letters; else as it is typed.
///
/// Errors: the record does not have it, though it is to end or was missed.
pub fn product_on_record(typed: &str, known: &[String], ends: bool) -> Result<String, Problem> {
    let same = |product: &&String| product.to_lowercase() == typed.to_lowercase();
    if let Some(found) = known.iter().find(same) {
        return Ok(found.clone());
    }
    if !ends {
        return Ok(typed.to_owned());
    }
    let problem = Problem::new(format!("{} was never begun", quoted(typed)));
    Err(match known {
        [] => problem.hint("write down its dose first: “vitamin D drops”, “400 IU”"),
        known => problem.hint(format!(
            "on record: {}",
            joined(known.iter().map(String::as_str).map(quoted), ", ")
        )),
    })
}

/// The product, and the dose that is written behind its name: `vitamin D 400 IU`.
pub fn dose_in_name(typed: &str) -> Option<(&str, &str)> {
    let begins = |at: usize| {
        let number = typed[at..].starts_with(|c: char| c.is_ascii_digit());
        number && typed[..at].ends_with(char::is_whitespace)
    };
    let mut places = typed.char_indices().map(|(at, _)| at);
    let at = places.rfind(|at| begins(*at))?;
    let product = typed[..at].trim_end_matches(|c: char| c.is_whitespace() || c == ',');
    Some((product, typed[at..].trim())).filter(|(product, _)| !product.is_empty())
}

/// The name of a nutrient without what stands in brackets or after a comma.
fn plain_name(nutrient: &Nutrient) -> String {
    let plain = nutrient.plain.to_lowercase();
    let stem = plain.split([',', '(']).next().unwrap_or_default();
    stem.trim().to_string()
}

/// The times the upper level above which a dose is a slip of the number or the unit (judgement).
const MOST_TIMES: f64 = 10.0;
/// The age whose upper level is used for any small child where a dose is read: that with the
/// highest level.
const OLDEST: AgeMonths = AgeMonths(47);

/// The warning that a dose is above the upper level of a day at an age; `None` where it is not, or
/// where no level is set.
///
/// Errors: a table does not read.
pub fn above_upper(id: NutrientId, amount: f64, age: AgeMonths) -> Result<Option<String>, Error> {
    let (upper, known) = (IntakeTable::builtin()?.upper(id, age), nutrient(id)?);
    let above = upper.filter(|upper| amount > upper.amount).zip(known);
    Ok(above.map(|(upper, nutrient)| {
        format!(
            "That is more than the upper level of a day at this age, {} {} ({}): look at the dose once more, and give so much only if your \
             paediatrician said so.",
            upper.amount,
            nutrient.unit,
            upper.source
        )
    }))
}

/// Reads a dose that is typed, in the unit of the nutrient table. An international unit of vitamin
/// D is 0.025 µg (IOM, Dietary Reference Intakes for Calcium and Vitamin D, 2011).
///
/// Errors: the table of nutrients cannot be read. The inner error says why the text is not a dose.
pub fn dose(text: &str, id: NutrientId) -> Result<Result<f64, Problem>, Error> {
    let own = nutrient(id)?.map_or("", |nutrient| nutrient.unit.as_str());
    let upper = IntakeTable::builtin()?.upper(id, OLDEST);
    let dose = micrograms(text, id).map(|micrograms| match own {
        "mg" => micrograms / 1000.0,
        "g" => micrograms / 1e6,
        _ => micrograms,
    });
    Ok(dose.and_then(|dose| match upper {
        Some(upper) if dose > MOST_TIMES * upper.amount => Err(Problem::new(format!(
            "{} is no dose for a child: the upper level of a day is {} {own}",
            quoted(text),
            upper.amount
        ))
        .hint("look at the number and the unit; vitamin D is written in IU or ug")),
        _ => Ok(dose),
    }))
}

fn micrograms(text: &str, id: NutrientId) -> Result<f64, Problem> {
    let wrong = |hint: &str| {
        Problem::new(format!("{} is no dose of it", quoted(text))).hint(hint.to_string())
    };
    let text = text.trim();
    let at = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(at);
    let number =
        read_number(number).ok_or_else(|| wrong("write a number and a unit, such as 400 IU"))?;
    match unit.trim() {
        "ug" | "µg" | "μg" | "mcg" => Ok(number),
        "mg" => Ok(number * 1000.0),
        "g" => Ok(number * 1e6),
        "IU" | "iu" | "I.U." if id == NutrientId::VITAMIN_D => Ok(number * 0.025),
        "IU" | "iu" | "I.U." => Err(wrong(
            "write it in mg or ug; units are known for vitamin D alone",
        )),
        _ => Err(wrong("write it in mg, ug or, of vitamin D, IU")),
    }
}
