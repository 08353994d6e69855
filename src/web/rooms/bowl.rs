//! Cubes and other food in the fields of a form or of a query.

use data_import::NutrientId;

use crate::food::{Food, FoodId, short_name};
use crate::household::{ServingParser, TypedServings, pick};
use crate::notebook::Stock;
use crate::quantity::Mass;
use crate::report::decimals;
use crate::spoken::{Context, FoodReading, Lookup as _, Reader, Unclear, parts, plain_name};
use crate::web::error::PageError;
use crate::web::fields::{Fields, Wrong, with_meant};
use crate::web::request::PageRequest;
use crate::web::rooms::phrases::{SOME_CUBES, short, too_many};

/// The prefix of a field for cubes of a batch, before its number.
pub(super) const CUBES: &str = "cubes-";
/// The prefix of a field for cubes of a recipe, before its name.
pub(super) const RECIPE: &str = "recipe-";
/// The longest text for other food, in characters.
pub(super) const LONGEST: usize = 200;

/// A field for the cubes of a batch or a recipe, or for its trays.
#[derive(Debug)]
pub(super) struct ServingRow {
    /// The name of the field.
    pub(super) name: String,
    pub(super) title: String,
    pub(super) about: String,
    /// That the dish is stopped; empty where nothing stops it.
    pub(super) stop: String,
    pub(super) cubes: String,
}

impl ServingRow {
    /// A row for a batch, with the number of cubes in the fields.
    pub(super) fn of_batch(
        stock: &Stock,
        (about, stop): (String, String),
        fields: &Fields,
    ) -> Self {
        let name = format!("{CUBES}{}", stock.batch.id);
        Self {
            stop,
            cubes: cubes(&name, fields),
            title: stock.batch.title.clone(),
            about,
            name,
        }
    }
}

/// The number of cubes in the fields; empty for none.
pub(super) fn cubes(name: &str, fields: &Fields) -> String {
    match fields.text(name) {
        "" => "0".to_string(),
        text => text.to_string(),
    }
}

/// A mass of a food as a field holds it: by its name with its id behind it, so that nothing is asked again; by its id alone where the name
/// says an amount of its own.
pub(super) fn in_a_field(
    request: &PageRequest<'_>,
    food: &Food,
    mass: Mass,
) -> Result<String, PageError> {
    let (grams, id) = (mass.grams(), &food.id);
    let name = match plain_name(id) {
        Some(name) => name.to_string(),
        None => short_name(&food.name).replace([',', ';'], ""),
    };
    let named = format!("{grams} g {name} ({id})");
    let alone = format!("{grams} g {id}");
    let is_read = parts(std::slice::from_ref(&named)).len() == 1
        && match Reader::new(request, Context::Table).read(&named)? {
            FoodReading::Taken(taken) => taken.food.id == *id && taken.mass() == Some(mass),
            FoodReading::Unclear(_) => false,
        };
    Ok(if is_read { named } else { alone })
}

/// What is meant by words that are not clear, by these words with the id of the food behind them: an id alone tells nobody what was chosen.
/// Where they are not read so, what is meant stays as it is.
fn by_name(request: &PageRequest<'_>, unclear: &str, meant: &str) -> String {
    let id = meant.split_whitespace().next_back();
    let Some(id) = id.and_then(|word| word.parse::<FoodId>().ok()) else {
        return meant.to_string();
    };
    let named = format!("{} ({id})", unclear.trim());
    let read = |text: &str| match Reader::new(request, Context::Table).read(text) {
        Ok(FoodReading::Taken(taken)) => Some((taken.food.id.clone(), taken.mass())),
        Ok(FoodReading::Unclear(_)) | Err(_) => None,
    };
    let is_one = parts(std::slice::from_ref(&named)).len() == 1;
    let is_same = read(&named).is_some_and(|one| read(meant) == Some(one));
    if is_one && is_same {
        named
    } else {
        meant.to_string()
    }
}

/// The nutrients by which foods that may be meant are told apart, as the reason why it is asked names them; all in mg.
const TOLD_APART: [(&str, NutrientId); 2] =
    [("sodium", NutrientId::SODIUM), ("iron", NutrientId::IRON)];

/// What tells the foods that could be meant apart: the name of each, with how much it has of the nutrient for which it is asked.
fn figures_apart(
    request: &PageRequest<'_>,
    unclear: &Unclear,
) -> Result<Vec<(String, String)>, PageError> {
    let mut named = TOLD_APART.iter();
    let Some((word, nutrient)) = named.find(|(word, _)| unclear.why.contains(*word)) else {
        return Ok(Vec::new());
    };
    let ids: Vec<FoodId> = unclear.choices.iter().map(|one| one.id.clone()).collect();
    let foods = request.foods()?.foods(&ids)?;
    let figures = unclear.choices.iter().zip(foods);
    let figures = figures.filter_map(|(one, food)| {
        let amount = food?.composition.get(*nutrient)?;
        let amount = decimals(amount, u8::from(amount < 10.0));
        Some((one.name.clone(), format!("{amount} mg {word} in 100 g")))
    });
    Ok(figures.collect())
}

/// Parses the servings of the fields. A batch that no longer exists is an error and not skipped.
pub(super) fn typed(
    request: &PageRequest<'_>,
    fields: &Fields,
    wrong: &mut Wrong,
) -> Result<TypedServings, PageError> {
    let other = short(fields, "other", LONGEST, wrong).unwrap_or_default();
    let words = parts(&[other.to_string()]);
    let typed = ServingParser::new(request, &request.book).all(&words);
    let meant =
        |unclear: &str, meant: &str| with_meant(other, unclear, &by_name(request, unclear, meant));
    let told = match &typed {
        Err(PageError::Unclear(unclear)) => figures_apart(request, unclear)?,
        _ => Vec::new(),
    };
    let typed = wrong.check_food("other", typed, meant)?;
    wrong.tell_apart(&told);
    let mut typed = typed.unwrap_or_default();
    // Typed cubes come after those of the counters.
    let written = std::mem::take(&mut typed.picks);
    let stock = request.record()?.stock()?;
    let batches = fields.beginning(CUBES);
    let batches = batches.map(|(number, cubes)| (format!("#{number}"), cubes));
    let recipes = fields.beginning(RECIPE);
    let recipes = recipes.map(|(name, cubes)| (name.to_string(), cubes));
    for (name, cubes) in batches.chain(recipes) {
        if cubes.is_empty() || cubes == "0" {
            continue;
        }
        match pick(&format!("{cubes} {name}")) {
            Ok(pick) => {
                let of = |stock: &&Stock| format!("#{}", stock.batch.id) == name;
                match stock.iter().find(of) {
                    Some(there) if there.left < pick.cubes.taken() => {
                        let title = &there.batch.title;
                        wrong.say("cubes", too_many(title, there.left, &pick));
                    }
                    _ => typed.picks.push(pick),
                }
            }
            Err(_) => wrong.say(
                "cubes",
                format!("“{cubes}” is no number of cubes: write {SOME_CUBES}."),
            ),
        }
    }
    typed.picks.extend(written);
    Ok(typed)
}
