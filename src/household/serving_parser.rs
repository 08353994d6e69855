//! The parser of servings as a person types them: cubes of a recipe, and amounts of foods.

use super::serving_words::{says_cubes, weighed, without_cubes};
use crate::food::{Food, short_name};
use crate::names::{self, Found, Named};
use crate::next_step::Remark;
use crate::notebook::{Book, BookError, Helping, NotAPick, Pick, PlannedFood, PlannedServing};
use crate::planning::validation::at_a_meal;
use crate::portion::CubeCount;
use crate::problem::{Place, Problem, SourceText};
use crate::quantity::{Mass, Unit};
use crate::safety::AllergenTable;
use crate::spoken::{Ask, Context, FoodReading, Reader, Taken, measured_name, parts};
use crate::words::{joined, quoted};

/// A part of a typed serving.
#[derive(Debug)]
pub enum TypedPart {
    /// Cubes of a recipe, or of one batch.
    Cubes(Pick),
    /// An amount of a food.
    Food(Box<Helping>),
}

/// Words and signs that may stand between cubes of a recipe and another food.
const JOINTS: [&str; 5] = [" and ", " with ", " plus ", "+", "&"];

/// The servings that were typed, with notes on how abbreviated names and words were resolved.
#[derive(Debug, Clone, Default)]
pub struct TypedServings {
    /// The cubes.
    pub picks: Vec<Pick>,
    /// The other foods.
    pub foods: Vec<Helping>,
    /// Notes on how names of recipes were resolved.
    pub names_taken_as: Vec<String>,
    /// Notes on how words for foods were resolved.
    pub taken_as: Vec<String>,
    /// The foods to which words were resolved.
    pub taken: Vec<Taken>,
}

impl TypedServings {
    /// The servings as a plan stores them, cubes first.
    pub fn planned(&self) -> Vec<PlannedServing> {
        let picks = self.picks.iter().cloned().map(PlannedServing::Cubes);
        let foods = self.foods.iter();
        let foods = foods.map(|helping| PlannedServing::Food(PlannedFood::of(helping)));
        picks.chain(foods).collect()
    }
}

/// Parses servings: full or partial names of recipes, and ids of foods or words for them.
#[derive(Debug)]
pub struct ServingParser<'a, L> {
    reader: Reader<'a, L>,
    book: &'a Book,
    recipes: Vec<Named>,
    names_taken_as: Vec<String>,
    taken_as: Vec<String>,
    taken: Vec<Taken>,
}

impl<'a, L: Ask> ServingParser<'a, L>
where
    L::Error: From<BookError> + From<Problem>,
{
    /// A parser for a book: its recipes, and the batches in its freezer.
    pub fn new(lookup: &'a L, book: &'a Book) -> Self {
        Self {
            reader: Reader::new(lookup, Context::Table),
            book,
            recipes: Vec::new(),
            names_taken_as: Vec::new(),
            taken_as: Vec::new(),
            taken: Vec::new(),
        }
    }

    /// Parses parts separated by commas, such as `2 lentil-squash, 30 g 01116`.
    pub fn all(mut self, words: &[String]) -> Result<TypedServings, L::Error> {
        let mut typed = TypedServings::default();
        for text in parts(words) {
            for part in self.parted(&text)? {
                match self.one(part)? {
                    TypedPart::Cubes(pick) => typed.picks.push(pick),
                    TypedPart::Food(helping) => typed.foods.push(*helping),
                }
            }
        }
        if typed.picks.is_empty() && typed.foods.is_empty() && !words.is_empty() {
            let hint = "such as “2 red-lentil-squash, 30 g plain yogurt”";
            return Err(Problem::new("no cubes and no food are named")
                .hint(hint)
                .into());
        }
        typed.names_taken_as = self.names_taken_as;
        typed.taken_as = self.taken_as;
        typed.taken = self.taken;
        Ok(typed)
    }

    /// Splits a part that is cubes of a recipe and another food: `2 ragu and 1 pear`.
    fn parted<'t>(&mut self, text: &'t str) -> Result<Vec<&'t str>, L::Error> {
        for joint in JOINTS {
            let Some((cubes, rest)) = text.split_once(joint) else {
                continue;
            };
            let counts = rest.trim_start().starts_with(|c: char| c.is_numeric());
            if let Ok(pick) = pick(&without_cubes(cubes))
                && counts
                && self.recipe(&pick.name)?.is_ok()
            {
                let mut parts = vec![cubes.trim()];
                parts.extend(self.parted(rest.trim())?);
                return Ok(parts);
            }
        }
        Ok(vec![text])
    }

    /// Parses one part: cubes if a recipe has this name, else an amount of a food.
    pub fn one(&mut self, text: &str) -> Result<TypedPart, L::Error> {
        let plain = without_cubes(text);
        let in_cubes = says_cubes(text);
        let cubes = pick(&plain);
        let named = match &cubes {
            Ok(pick) => self.recipe(&pick.name)?,
            Err(_) => self.recipe(plain.trim())?,
        };
        match (named, cubes) {
            (Ok(found), Ok(pick)) => {
                let sure = found.taken_as.is_none() || in_cubes;
                // Words are read as a food only where they may name one, since that takes a search.
                let food = if sure {
                    None
                } else {
                    Some(self.reader.read(text)?)
                };
                let Some(FoodReading::Taken(food)) = food else {
                    return Ok(self.cubes(pick.cubes, found));
                };
                // Half of something whose name is only a part of a recipe's name is more likely a
                // food: half a banana.
                if pick.cubes.halved() == 0 {
                    return Err(cubes_or_food(text, &pick, &found, &food).into());
                }
            }
            // A recipe without a number of cubes.
            (Ok(found), Err(problem)) if found.taken_as.is_none() || in_cubes => {
                return Err(problem.into());
            }
            (Err(problem), Ok(pick)) if !weighed(&pick.name) => {
                // Several recipes match, or the name is mistyped, and no food matches for certain.
                let likely = problem.meant.is_some()
                    || names::is_part_of_one(&pick.name, &self.recipes)
                    || in_cubes;
                let is_no_food = match self.reader.read(text)? {
                    // A stock cube is a measure of its food; two cubes of carrot are not two
                    // carrots.
                    FoodReading::Unclear(unclear) if in_cubes => !unclear.offers_measure("cube"),
                    FoodReading::Unclear(unclear) => likely || unclear.is_unknown(),
                    FoodReading::Taken(food) => in_cubes && !food.is_counted_in("cube"),
                };
                if is_no_food {
                    let problem = if in_cubes {
                        cubes_of_recipes(problem)
                    } else {
                        problem
                    };
                    return Err(problem.into());
                }
            }
            _ => {}
        }
        let beside = self.beside_recipe(text)?;
        let taken = self.reader.sure(text)?;
        let helping = self.helping(taken)?;
        self.taken_as.extend(beside);
        Ok(TypedPart::Food(Box::new(helping)))
    }

    /// The part for cubes of a recipe that was found.
    fn cubes(&mut self, cubes: CubeCount, found: Found) -> TypedPart {
        self.names_taken_as.extend(found.taken_as);
        TypedPart::Cubes(Pick {
            cubes,
            name: found.name,
        })
    }

    fn helping(&mut self, taken: Taken) -> Result<Helping, L::Error> {
        let mass = taken.needed_mass()?;
        at_a_meal(&quoted(&taken.typed), mass)?;
        let mut helping = helping(taken.food.clone(), mass)?;
        helping.typed.clone_from(&taken.typed);
        helping.named.clone_from(&taken.named);
        if taken.by_words {
            self.taken_as.push(taken.words());
            self.taken.push(taken);
        }
        Ok(helping)
    }

    /// The note where a recipe has the name of the food that was weighed; `None` where no recipe
    /// has.
    ///
    /// Errors: what was weighed is a recipe and not a food.
    fn beside_recipe(&mut self, text: &str) -> Result<Option<String>, L::Error> {
        let Some(name) = measured_name(text)? else {
            return Ok(None);
        };
        let found = self.recipe(&name)?.ok();
        let Some(found) = found.filter(|found| found.taken_as.is_none()) else {
            return Ok(None);
        };
        let cubes = format!("2 {}", found.name);
        // No food is written with hyphens, as names of recipes are.
        if name == found.name && name.contains('-') {
            let problem = Problem::new(format!(
                "{} is your purée, whose cubes are counted and not weighed",
                quoted(&name)
            ));
            let plain = name.replace('-', " ");
            return Err(problem
                .hint(format!(
                    "write how many of its cubes, such as {}; of the food of that name write {}",
                    quoted(&cubes),
                    quoted(text.replace(&name, &plain))
                ))
                .into());
        }
        let unclear = match self.reader.read(text)? {
            FoodReading::Taken(_) => {
                let recipe = &found.name;
                return Ok(Some(format!(
                    "That is the food, not your purée {recipe}: for its cubes write how many, such as {}",
                    quoted(&cubes)
                )));
            }
            FoodReading::Unclear(unclear) => unclear,
        };
        let problem = Problem::new(format!(
            "{} is a recipe: its cubes are counted",
            quoted(&name)
        ));
        let counted = format!("write how many of them, such as {cubes}");
        let hint = if unclear.is_of_the_food() {
            counted
        } else {
            format!("{counted}; of the food of that name write how much, such as 30 g")
        };
        Err(problem.hint(hint).into())
    }

    /// Notes on how words were resolved.
    pub fn taken_as(self) -> Vec<String> {
        self.taken_as
    }

    /// The recipe of this name, or the problem with it.
    fn recipe(&mut self, written: &str) -> Result<Result<Found, Problem>, L::Error> {
        if self.recipes.is_empty() {
            self.recipes = known_recipes(self.book)?;
        }
        Ok(find_cubes(written, &self.recipes))
    }
}

/// The problem that a count may mean cubes of the recipe whose name has this word, or a food: `1
/// egg` beside `egg-oat-apple`.
fn cubes_or_food(text: &str, pick: &Pick, found: &Found, food: &Taken) -> Problem {
    let cubes = format!("{} {}", pick.cubes, found.name);
    let (name, id) = (short_name(&food.food.name), &food.food.id);
    let problem = Problem::new(format!(
        "{} may be cubes of {}, or {name}",
        quoted(text.trim()),
        found.name
    ));
    let problem = problem.hint(format!(
        "write which, such as {}, or the food with its weight",
        quoted(&cubes)
    ));
    let problem = problem.meant(text.trim(), &cubes);
    match food.mass() {
        Some(mass) => problem.meant(text.trim(), &format!("{:.0} g {id}", mass.grams())),
        None => problem,
    }
}

/// The problem that the recipe of the cubes was not found.
fn cubes_of_recipes(problem: Problem) -> Problem {
    let other = "cubes are of a recipe; of other food write how much, such as 30 g";
    let hint = problem.hint.clone().unwrap_or_default();
    let words = [hint.words.as_str(), other];
    let words = joined(words.iter().filter(|words| !words.is_empty()), "; ");
    problem.hint(Remark { words, ..hint })
}

/// An amount of a food, with the allergens that its name reveals.
pub fn helping(food: Food, mass: Mass) -> Result<Helping, data_import::Error> {
    Ok(Helping::new(food, mass, &AllergenTable::builtin()?))
}

/// The recipes of the book and of the batches in its freezer.
pub fn known_recipes(book: &Book) -> Result<Vec<Named>, BookError> {
    let mut recipes = book.named_recipes()?;
    let cooked = book.store()?.recipes_in_stock()?.into_iter();
    recipes.extend(cooked.map(|(name, title)| Named { name, title }));
    recipes.sort();
    recipes.dedup();
    Ok(recipes)
}

/// The recipe whose cubes are named, or the batch by its number. A unit is never a name: it belongs
/// to an amount of a food whose name is missing.
///
/// Errors: several recipes match, or none does.
pub fn find_cubes(written: &str, known: &[Named]) -> Result<Found, Problem> {
    if written.starts_with('#') {
        return Ok(Found::exactly(written));
    }
    if Unit::named(written).is_some() {
        return Err(names::unknown("recipe", written, known));
    }
    names::find("recipe", written, known)
}

/// Cubes of a recipe or a batch: `2 red-lentil-squash`, `1 #7`.
///
/// Errors: no number of cubes, or no name.
pub fn pick(text: &str) -> Result<Pick, Problem> {
    let place = Place::whole(&SourceText::new("what was asked for", text));
    text.parse()
        .map_err(|error: NotAPick| Problem::at(place, error.to_string()).hint(error.hint()))
}
