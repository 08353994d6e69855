//! Cubes and other food in the fields of a form or of a query.

use data_import::NutrientId;

use crate::food::{Food, FoodId, short_name};
use crate::household::{ServingParser, TypedServings, pick};
use crate::notebook::Stock;
use crate::quantity::Mass;
use crate::report::decimals;
use crate::spoken::{Context, FoodReading, Lookup as _, Reader, Unclear, parts, plain_name};
use crate::web::fields::with_meant;
use crate::web::rooms::phrases::{SOME_CUBES, short, too_many};
use crate::web::{Fields, PageError, PageRequest, PageResult, Wrong};

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
    /// The mark of a dish that is stopped; empty where nothing stops it.
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

/// A mass of a food as text for a field: with the name and the id of the food, so that the text is
/// never unclear; with the id alone where the name holds an amount of its own.
pub(super) fn in_a_field(
    request: &PageRequest<'_>,
    (food, mass): (&Food, Mass),
    typed: &str,
) -> PageResult<String> {
    let (grams, id) = (mass.grams(), &food.id);
    let plain = match plain_name(id) {
        Some(name) => name.to_string(),
        None => short_name(&food.name).replace([',', ';'], ""),
    };
    let names = [typed, &plain];
    for name in names.into_iter().filter(|name| !name.is_empty()) {
        let named = format!("{grams} g {name} ({id})");
        let is_read = parts(std::slice::from_ref(&named)).len() == 1
            && match Reader::new(request, Context::Table).read(&named)? {
                FoodReading::Taken(taken) => taken.food.id == *id && taken.mass() == Some(mass),
                FoodReading::Unclear(_) => false,
            };
        if is_read {
            return Ok(named);
        }
    }
    Ok(format!("{grams} g {id}"))
}

/// What unclear words mean, as these words followed by the id of the food, since an id alone names
/// no food to a reader. Where that text would be read as something else, `meant` is returned as it
/// is.
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
    let is_same = read(&named).is_some_and(|food| read(meant) == Some(food));
    if is_one && is_same {
        named
    } else {
        meant.to_string()
    }
}

/// The nutrients, in mg, by which foods that may be meant differ: as the reason for the question
/// names them, and their ids.
const DISTINGUISHING: [(&str, NutrientId); 2] =
    [("sodium", NutrientId::SODIUM), ("iron", NutrientId::IRON)];

/// The foods that may be meant, each with its amount of the nutrient because of which the question
/// is asked.
fn figures_apart(
    request: &PageRequest<'_>,
    unclear: &Unclear,
) -> PageResult<Vec<(String, String)>> {
    let mut named = DISTINGUISHING.iter();
    let Some((word, nutrient)) = named.find(|(word, _)| unclear.why.contains(*word)) else {
        return Ok(Vec::new());
    };
    let ids: Vec<FoodId> = unclear
        .choices
        .iter()
        .map(|choice| choice.id.clone())
        .collect();
    let foods = request.foods()?.foods(&ids)?;
    let figures = unclear.choices.iter().zip(foods);
    let figures = figures.filter_map(|(choice, food)| {
        let amount = food?.composition.get(*nutrient)?;
        let amount = decimals(amount, u8::from(amount < 10.0));
        Some((choice.name.clone(), format!("{amount} mg {word} in 100 g")))
    });
    Ok(figures.collect())
}

/// The servings in the fields; what is wrong is noted. A batch that no longer exists is not
/// skipped.
pub(super) fn typed(
    request: &PageRequest<'_>,
    fields: &Fields,
    wrong: &mut Wrong,
) -> PageResult<TypedServings> {
    let other = short(fields, "other", LONGEST, wrong).unwrap_or_default();
    let words = parts(&[other.to_string()]);
    let typed = ServingParser::new(request, &request.book).all(&words);
    let meant =
        |unclear: &str, meant: &str| with_meant(other, unclear, &by_name(request, unclear, meant));
    let figures = match &typed {
        Err(PageError::Unclear(unclear)) => figures_apart(request, unclear)?,
        _ => Vec::new(),
    };
    let typed = wrong.check_food("other", typed, meant)?;
    wrong.tell_apart(&figures);
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
                    Some(stock) if stock.left < pick.cubes.taken() => {
                        let title = &stock.batch.title;
                        wrong.say("cubes", too_many(title, stock.left, &pick));
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
