//! Recipe files: TOML, read strictly.

use std::path::Path;
use std::sync::Arc;

use super::liquid::too_much_returned;
use super::{
    Basis, FreezerLife, Ingredient, IngredientLiquid, Liquid, Puree, Recipe, RecipeServing,
    TAP_WATER,
};
use crate::cooking::Method;
use crate::next_step::NextStep;
use crate::problem::{Located, Place, Problem, SourceText};
use crate::quantity::{self, Amount, Mass, Volume};
use crate::strict_toml::StrictTable;
use crate::words;

/// A yield above this is a slip (judgement): even dry grains take up three to four times their
/// mass.
const MOST_YIELD: f64 = 10.0;
/// The most cubes of a serving for one child (judgement).
const MOST_CUBES: u32 = 50;

impl Recipe {
    /// Reads a recipe file from disk.
    ///
    /// Errors: the file cannot be read, or what is wrong in it, each problem with its place.
    pub fn read(path: &Path) -> Result<Self, Vec<Problem>> {
        let source = Self::source(path).map_err(|problem| vec![problem])?;
        Self::parse(&source)
    }

    /// The text of a recipe file, which need not be one that is in order.
    ///
    /// Errors: the file cannot be read, or is not text.
    pub fn source(path: &Path) -> Result<Arc<SourceText>, Problem> {
        let name = path.display().to_string();
        let file = words::file(path);
        let unread = |what| Problem::at(Place::whole(&SourceText::new(name.as_str(), "")), what);
        let bytes = std::fs::read(path).map_err(|error| {
            unread(format!("cannot read the recipe {file}: {error}"))
                .hint("give the path of a recipe file, such as demo/recipes/red-lentil-squash.toml")
        })?;
        let text = String::from_utf8(bytes).map_err(|error| {
            let at = error.utf8_error().valid_up_to();
            unread(format!("{file} is not text: byte {at} is not UTF-8"))
                .hint("save the recipe as UTF-8 text")
        })?;
        Ok(SourceText::new(name, text))
    }

    /// Reads a recipe from a text.
    pub fn parse(source: &Arc<SourceText>) -> Result<Self, Vec<Problem>> {
        match Self::legible(source) {
            Ok((recipe, problems)) if problems.is_empty() => Ok(recipe),
            Ok((_, problems)) => Err(problems),
            Err(problem) => Err(vec![problem]),
        }
    }

    /// What can be read of a text, and what is wrong in it. Where anything is, the recipe serves to
    /// look for more that is wrong, and for nothing else: an amount or a method that cannot be read
    /// stands for itself in it.
    ///
    /// Errors: it is not TOML.
    pub(super) fn legible(source: &Arc<SourceText>) -> Result<(Self, Vec<Problem>), Problem> {
        let mut document = StrictTable::parse("a recipe", source)?;
        let title = document.required("title", "give the recipe a name: title = \"...\"");
        let tables = document.tables("ingredient", "an ingredient");
        if tables.is_empty() {
            let what = "the recipe has no ingredient";
            let hint = "add at least one [[ingredient]] with food, amount and method";
            document.report(Problem::at(document.place().clone(), what).hint(hint));
        }
        let read: Vec<_> = tables.into_iter().map(ingredient).collect();
        let whole = title.is_some() && read.iter().all(|(_, whole)| *whole);
        let ingredients = read.into_iter().filter_map(|(ingredient, _)| ingredient);
        let liquid = document
            .table("liquid", "[liquid]")
            .map_or_else(Liquid::none, liquid);
        let puree = document
            .table("puree", "[puree]")
            .map(puree)
            .unwrap_or_default();
        let freezer = document
            .table("freezer", "[freezer]")
            .map(freezer)
            .unwrap_or_default();
        let serving = document
            .table("serving", "[serving]")
            .map(serving)
            .unwrap_or_default();
        let recipe = Self {
            title: title.map_or_else(String::new, |title| title.value),
            ingredients: ingredients.collect(),
            liquid,
            puree,
            serving,
            freezer,
        };
        Ok((recipe, document.problems_of(whole)))
    }
}

/// An ingredient as far as it can be read, and whether it can be read as a whole.
fn ingredient(mut table: StrictTable<'_>) -> (Option<Ingredient>, bool) {
    let food = table.required("food", NextStep::find_food());
    let written = table.required("amount", "write how much, such as amount = \"600 g\"");
    let amount = written.and_then(|text| table.read(&text, read_amount));
    if let Some(amount) = &amount
        && amount.value.number() <= 0.0
    {
        table.report(
            amount
                .problem("the amount is zero")
                .hint("write how much goes in"),
        );
    }
    let basis = table
        .parsed("basis", read_basis)
        .map_or(Basis::Purchased, |basis| basis.value);
    let written = table.required("method", "write how it is cooked, “none” where it is not");
    let method = written.and_then(|text| {
        table.read(&text, |word| {
            word.parse()
                .map_err(|e: crate::cooking::UnknownMethod| (e.to_string(), e.hint()))
        })
    });
    let yield_factor = table.number("yield");
    if let Some(stated) = &yield_factor
        && !(stated.value > 0.0 && stated.value <= MOST_YIELD)
    {
        let hint = "cooked mass / edible mass: 0.93 for what loses a little, 2.5 for dry grain";
        table.report(
            stated
                .problem("a yield is above 0 and at most 10")
                .hint(hint),
        );
    }
    let weighed = positive_mass(&mut table, "weighed");
    let retention = table.text("retention");
    let state = table.parsed("state", |word| {
        word.parse()
            .map_err(|error: crate::cooking::UnknownState| (error.to_string(), error.hint()))
    });
    let drippings = table.parsed("drippings", read_drippings);
    let pot = pot(&mut table);
    let typed = table.text("typed");
    table.finish();
    let whole = food.is_some() && amount.is_some() && method.is_some();
    let amount = amount.or_else(|| read_amount("1 g").ok().map(Located::default_of));
    let legible = |(food, amount)| Ingredient {
        food,
        typed: typed.map_or_else(String::new, |typed| typed.value),
        amount,
        basis,
        method: method.unwrap_or_else(|| Located::default_of(Method::None)),
        yield_factor,
        weighed,
        retention,
        state: state.map(|state| state.value),
        drippings: drippings.map(|share| share.value),
        pot,
    };
    (food.zip(amount).map(legible), whole)
}

/// The liquid of a pot of its own, where an ingredient has one.
fn pot(table: &mut StrictTable<'_>) -> Option<IngredientLiquid> {
    let collected = table.parsed("collected", read_volume);
    let returned = table.parsed("returned", read_volume);
    let none = || Located::default_of(Volume::ZERO);
    if collected.is_none() && returned.is_none() {
        return None;
    }
    let pot = IngredientLiquid {
        collected: collected.unwrap_or_else(none),
        returned: returned.unwrap_or_else(none),
    };
    if let Some(problem) = too_much_returned(&pot.collected, &pot.returned) {
        table.report(problem);
    }
    Some(pot)
}

fn liquid(mut table: StrictTable<'_>) -> Liquid {
    let mut volume = |key| {
        let read = table.parsed(key, read_volume);
        read.unwrap_or_else(|| Located::default_of(Volume::ZERO))
    };
    let (collected, returned, added) = (volume("collected"), volume("returned"), volume("added"));
    let water = table
        .text("water")
        .unwrap_or_else(|| Located::default_of(TAP_WATER.into()));
    let liquid = Liquid {
        collected,
        returned,
        added,
        water,
    };
    if let Some(problem) = liquid.problem() {
        table.report(problem);
    }
    table.finish();
    liquid
}

fn puree(mut table: StrictTable<'_>) -> Puree {
    let weighed = positive_mass(&mut table, "weighed");
    let loss = table.parsed("loss", read_mass);
    table.finish();
    Puree { weighed, loss }
}

fn freezer(mut table: StrictTable<'_>) -> FreezerLife {
    let days = table.whole("days");
    if let Some(days) = &days
        && !(1..=366).contains(&days.value)
    {
        table.report(
            days.problem("cubes keep 1 to 366 days")
                .hint("about 30 is usual"),
        );
    }
    let source = table.text("source");
    if days.is_some() && source.is_none() {
        let what = "[freezer] says how long, but not who says so";
        let hint = "name where the days come from, such as source = \"FDA storage chart\"";
        table.report(Problem::at(table.place().clone(), what).hint(hint));
    }
    table.finish();
    FreezerLife {
        days: days.map(|days| days.value),
        source: source.map(|source| source.value),
    }
}

fn serving(mut table: StrictTable<'_>) -> RecipeServing {
    let usual = RecipeServing::default();
    let cubes = table.whole("cubes");
    if let Some(cubes) = &cubes
        && !(1..=MOST_CUBES).contains(&cubes.value)
    {
        table.report(
            cubes
                .problem("a serving has 1 to 50 cubes")
                .hint("two or three are usual"),
        );
    }
    let reheat = table
        .flag("reheat")
        .map_or(usual.reheat, |reheat| reheat.value);
    table.finish();
    RecipeServing {
        cubes: cubes.map_or(usual.cubes, |cubes| cubes.value),
        reheat,
    }
}

fn positive_mass(table: &mut StrictTable<'_>, key: &'static str) -> Option<Located<Mass>> {
    let mass = table.parsed(key, read_mass)?;
    if mass.value <= Mass::ZERO {
        let what = format!("“{key}” is zero");
        table.report(
            mass.problem(what)
                .hint("write what the scale shows, or leave the key out"),
        );
    }
    Some(mass)
}

/// Reads an amount; the error is a sentence and a hint.
pub(super) fn read_amount(text: &str) -> Result<Amount, (String, String)> {
    text.parse()
        .map_err(|error: quantity::AmountError| (error.to_string(), error.hint()))
}

/// Reads a mass; the error is a sentence and a hint.
pub(super) fn read_mass(text: &str) -> Result<Mass, (String, String)> {
    quantity::read_mass(text).map_err(|error| (error.to_string(), error.hint()))
}

/// Reads a volume; the error is a sentence and a hint.
pub(super) fn read_volume(text: &str) -> Result<Volume, (String, String)> {
    read_amount(text)?
        .volume()
        .map_err(|error| (error.to_string(), error.hint()))
}

/// Reads what becomes of drippings: kept, poured off, or the share that is kept.
fn read_drippings(text: &str) -> Result<f64, (String, String)> {
    let hint = "write \"kept\", \"poured off\", or the share that is eaten, such as \"50 %\"";
    let number = text
        .trim()
        .strip_suffix('%')
        .map(|number| number.trim().parse::<f64>());
    match (text.trim(), number) {
        ("kept", _) => Ok(1.0),
        ("poured off", _) => Ok(0.0),
        (_, Some(Ok(percent))) if (0.0..=100.0).contains(&percent) => Ok(percent / 100.0),
        _ => Err((
            format!("“{text}” says not what becomes of the drippings"),
            hint.into(),
        )),
    }
}

fn read_basis(text: &str) -> Result<Basis, (String, String)> {
    match text {
        "purchased" => Ok(Basis::Purchased),
        "edible" => Ok(Basis::Edible),
        _ => Err((
            format!("“{text}” is not a basis"),
            "write \"purchased\" (as bought) or \"edible\" (peeled, boned, trimmed)".into(),
        )),
    }
}
