//! What is on the spoon, as a person says it: cubes of a recipe, and so much of a food.

use crate::food::Food;
use crate::notebook::{Book, BookError, Helping, NotAPick, Pick, PlannedServing, Stock};
use crate::problem::{Place, Problem, SourceText, nearest};
use crate::quantity::{Mass, Unit};
use crate::safety::AllergenTable;
use crate::spoken::{Ask, Context, Doubt, Reader, Taken, Unclear, parts};

/// One thing that was said.
#[derive(Debug)]
pub enum Said {
    /// Cubes of a recipe, or of one batch.
    Cubes(Pick),
    /// So much of a food.
    Food(Box<Helping>),
}

/// What was said, and how words were understood that name no recipe and no id in full.
#[derive(Debug, Clone, Default)]
pub struct Spoken {
    /// The cubes.
    pub picks: Vec<Pick>,
    /// The other foods.
    pub foods: Vec<Helping>,
    /// How words were understood.
    pub taken_as: Vec<String>,
    /// The foods that words were taken as.
    pub taken: Vec<Taken>,
}

impl Spoken {
    /// As it is planned, cubes first.
    pub fn planned(&self) -> Vec<PlannedServing> {
        let picks = self.picks.iter().cloned().map(PlannedServing::Cubes);
        let foods = self.foods.iter();
        let foods = foods.map(|one| PlannedServing::Food(one.food.id.clone(), one.mass));
        picks.chain(foods).collect()
    }
}

/// Reads what is said: names of recipes in full or in part, ids of foods or words for them.
#[derive(Debug)]
pub struct Listener<'a, L> {
    reader: Reader<'a, L>,
    book: &'a Book,
    recipes: Vec<String>,
    taken_as: Vec<String>,
    taken: Vec<Taken>,
}

impl<'a, L: Ask> Listener<'a, L>
where
    L::Error: From<BookError> + From<Problem>,
{
    /// One that knows the recipes of a book, and what is in its freezer.
    pub fn new(lookup: &'a L, book: &'a Book) -> Self {
        Self {
            reader: Reader::new(lookup, Context::Table),
            book,
            recipes: Vec::new(),
            taken_as: Vec::new(),
            taken: Vec::new(),
        }
    }

    /// Things between commas, such as `2 lentil-squash, 30 g 01116`.
    pub fn all(mut self, words: &[String]) -> Result<Spoken, L::Error> {
        let mut spoken = Spoken::default();
        for text in parts(words) {
            match self.one(&text)? {
                Said::Cubes(pick) => spoken.picks.push(pick),
                Said::Food(helping) => spoken.foods.push(*helping),
            }
        }
        spoken.taken_as = self.taken_as;
        spoken.taken = self.taken;
        Ok(spoken)
    }

    /// One thing: cubes of a recipe where one is called so, else so much of a food.
    pub fn one(&mut self, text: &str) -> Result<Said, L::Error> {
        let pick = pick(text);
        if let Ok(pick) = &pick {
            let name = self.recipe(pick.name.clone())?;
            if name.starts_with('#') || self.recipes.contains(&name) {
                let cubes = pick.cubes;
                return Ok(Said::Cubes(Pick { cubes, name }));
            }
        }
        if self.named(text.trim())? {
            // A recipe without a number of cubes.
            let pick = pick?;
            return Ok(Said::Cubes(pick));
        }
        let taken = match (self.reader.read(text)?, pick) {
            (Ok(taken), _) => taken,
            // Whoever looks for the cubes says which recipe is called nearly so, or which there are.
            (Err(unclear), Ok(pick)) if self.is_of_recipes(&unclear, &pick.name) => {
                return Ok(Said::Cubes(pick));
            }
            (Err(_), _) => self.reader.sure(text)?,
        };
        Ok(Said::Food(Box::new(self.helping(taken)?)))
    }

    fn load(&mut self) -> Result<(), L::Error> {
        if self.recipes.is_empty() {
            self.recipes = known_recipes(self.book)?;
        }
        Ok(())
    }

    /// Whether a recipe is called so.
    fn named(&mut self, name: &str) -> Result<bool, L::Error> {
        self.load()?;
        Ok(self.recipes.iter().any(|known| known == name))
    }

    /// Whether what is no food is likely a recipe that is mistyped.
    fn is_of_recipes(&self, unclear: &Unclear, name: &str) -> bool {
        let weighed = name
            .split(' ')
            .next()
            .is_some_and(|first| Unit::named(first).is_some());
        let near = nearest(name, self.recipes.iter().map(String::as_str)).is_some();
        !weighed
            && matches!(unclear.doubt, Doubt::NoFood(_))
            && (near || unclear.choices.is_empty())
    }

    fn helping(&mut self, taken: Taken) -> Result<Helping, L::Error> {
        let mass = taken.mass().unwrap_or(Mass::ZERO);
        let helping = helping(taken.food.clone(), mass)?;
        if taken.by_words {
            self.taken_as.push(taken.words());
            self.taken.push(taken);
        }
        Ok(helping)
    }

    /// How words were understood.
    pub fn taken_as(self) -> Vec<String> {
        self.taken_as
    }

    /// The recipe that is meant: a name in full, or words that only one of them has. What is none stays as it was said.
    fn recipe(&mut self, said: String) -> Result<String, L::Error> {
        if said.starts_with('#') {
            return Ok(said);
        }
        self.load()?;
        if self.recipes.contains(&said) {
            return Ok(said);
        }
        let words: Vec<&str> = said
            .split([' ', '-'])
            .filter(|word| !word.is_empty())
            .collect();
        let has = |name: &&String| {
            let parts: Vec<&str> = name.split('-').collect();
            words.iter().all(|word| parts.contains(word))
        };
        let fitting: Vec<&String> = self.recipes.iter().filter(has).collect();
        match fitting.as_slice() {
            [one] => {
                self.taken_as.push(format!("`{said}` was taken as {one}"));
                Ok((*one).clone())
            }
            [] => Ok(said),
            several => {
                let names: Vec<_> = several.iter().map(|name| name.as_str()).collect();
                let what = format!("`{said}` fits more than one recipe");
                Err(Problem::new(what)
                    .hint(format!("say which: {}", names.join(", ")))
                    .into())
            }
        }
    }
}

/// So much of a food, with the allergens that its name gives away.
pub fn helping(food: Food, mass: Mass) -> Result<Helping, data_import::Error> {
    Ok(Helping::new(food, mass, &AllergenTable::builtin()?))
}

/// The recipes of the book and of the batches in its freezer.
fn known_recipes(book: &Book) -> Result<Vec<String>, BookError> {
    let mut names = book.recipe_names()?;
    let stock = book.store()?.stock()?;
    names.extend(stock.into_iter().map(|Stock { batch, .. }| batch.name));
    names.sort();
    names.dedup();
    Ok(names)
}

/// Cubes of a recipe or a batch: `2 red-lentil-squash`, `1 #7`.
///
/// Errors: no number of cubes, or no name.
pub fn pick(text: &str) -> Result<Pick, Problem> {
    let place = Place::whole(&SourceText::new("what was asked for", text));
    text.parse()
        .map_err(|error: NotAPick| Problem::at(place, error.to_string()).hint(error.hint()))
}
