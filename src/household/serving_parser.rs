//! What is on the spoon, as a person says it: cubes of a recipe, and so much of a food.

use crate::next_step::NextStep;
use data_import::FoodId;

use crate::cooking::ClassTable;
use crate::food::search::Hit;
use crate::food::{Food, Pantry, mass_of};
use crate::notebook::{Book, BookError, Helping, NotAPick, Pick, PlannedServing, Stock};
use crate::portion::Constituents;
use crate::problem::{Place, Problem, SourceText};
use crate::quantity::{Amount, AmountError, Mass, Unit};
use crate::safety::AllergenTable;

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

/// Where a listener looks up what it hears of.
pub trait Lookup {
    /// What can go wrong with it.
    type Error: From<BookError> + From<Problem> + From<data_import::Error>;

    /// The foods.
    fn foods(&self) -> Result<Pantry, Self::Error>;

    /// The best food for kitchen words.
    fn best(&self, words: &str) -> Result<Option<Hit>, Self::Error>;
}

/// Reads what is said: names of recipes in full or in part, ids of foods or words for them.
#[derive(Debug)]
pub struct Listener<'a, L> {
    lookup: &'a L,
    book: &'a Book,
    /// Opened when a food is first spoken of.
    pantry: Option<Pantry>,
    recipes: Vec<String>,
    taken_as: Vec<String>,
}

impl<'a, L: Lookup> Listener<'a, L> {
    /// One that knows the recipes of a book, and what is in its freezer.
    pub fn new(lookup: &'a L, book: &'a Book) -> Self {
        Self {
            lookup,
            book,
            pantry: None,
            recipes: Vec::new(),
            taken_as: Vec::new(),
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
        Ok(spoken)
    }

    /// One thing.
    pub fn one(&mut self, text: &str) -> Result<Said, L::Error> {
        if let Some((amount, food)) = amount_and_food(text) {
            return Ok(Said::Food(Box::new(self.helping(text, amount, food)?)));
        }
        let pick = pick(text)?;
        Ok(Said::Cubes(Pick {
            name: self.recipe(pick.name)?,
            ..pick
        }))
    }

    /// How words were understood.
    pub fn taken_as(self) -> Vec<String> {
        self.taken_as
    }

    /// So much of a food, named by its id or by words.
    pub fn helping(&mut self, text: &str, amount: &str, food: &str) -> Result<Helping, L::Error> {
        let place = || Place::whole(&SourceText::new("what was said", text));
        let id = match food.parse::<FoodId>() {
            Ok(id) => id,
            Err(_) => self.found(food, &place)?,
        };
        let pantry = match self.pantry.take() {
            Some(pantry) => pantry,
            None => self.lookup.foods()?,
        };
        let found = self
            .pantry
            .insert(pantry)
            .foods(std::slice::from_ref(&id))?;
        let Some(known) = found.into_iter().next().flatten() else {
            let hint = NextStep::without_food(id.as_str());
            let what = format!("no food has the id {id}");
            return Err(Problem::at(place(), what).hint(hint).into());
        };
        let amount: Amount = amount.parse().map_err(|error: AmountError| {
            Problem::at(place(), error.to_string()).hint(error.hint())
        })?;
        let mass = match mass_of(&amount, &known) {
            Ok(resolved) => resolved.mass,
            Err(error) => match self.poured(&amount, &known)? {
                Some(mass) => mass,
                None => {
                    return Err(Problem::at(place(), error.to_string())
                        .hint(error.hint())
                        .into());
                }
            },
        };
        if mass.grams() <= 0.0 {
            let problem = Problem::at(place(), "an amount of nothing");
            return Err(problem.hint("leave it out").into());
        }
        Ok(Helping::new(known, mass, &AllergenTable::builtin()?))
    }

    /// The mass of a volume of a smooth food that has no such measure: by the density that its composition gives.
    fn poured(&mut self, amount: &Amount, food: &Food) -> Result<Option<Mass>, L::Error> {
        let class = ClassTable::builtin()?.class_of(food);
        let smooth = SMOOTH.contains(&class.0.as_str());
        let density = Constituents::of(|id| food.composition.get(id))
            .and_then(|parts| parts.density(20.0))
            .filter(|_| smooth);
        let Some((volume, density)) = amount.volume().ok().zip(density) else {
            return Ok(None);
        };
        let mass = volume.at_density(density);
        self.taken_as.push(format!(
            "{amount} of {} was taken as {:.0} g, at {density:.2} g/ml by its composition (Choi and Okos 1986)",
            food.name,
            mass.grams()
        ));
        Ok(Some(mass))
    }

    /// The best food for kitchen words; how they were understood is said.
    fn found(&mut self, words: &str, place: &dyn Fn() -> Place) -> Result<FoodId, L::Error> {
        let hit = self.lookup.best(words)?;
        let Some((id, hit)) = hit.and_then(|hit| Some((hit.id.parse().ok()?, hit))) else {
            let what = format!("nothing is called `{words}`");
            let hint = NextStep::find_food();
            return Err(Problem::at(place(), what).hint(hint).into());
        };
        self.taken_as
            .push(format!("`{words}` was taken as {} ({})", hit.name, hit.id));
        Ok(id)
    }

    /// The recipe that is meant: a name in full, or words that only one of them has. What is none stays as it was said.
    fn recipe(&mut self, said: String) -> Result<String, L::Error> {
        if said.starts_with('#') {
            return Ok(said);
        }
        if self.recipes.is_empty() {
            self.recipes = known_recipes(self.book)?;
        }
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

/// What stands between commas, or is an argument of its own: `2 squash, 1 beef` and `"2 squash" "1 beef"`.
pub fn parts(words: &[String]) -> Vec<String> {
    let whole = |word: &str| word.contains(' ') && word.starts_with(|c: char| c.is_ascii_digit());
    let mut said = String::new();
    for word in words {
        said += if whole(word) { "," } else { " " };
        said += word;
    }
    let parts = said.split(',').map(|part| part.trim().to_string());
    parts.filter(|part| !part.is_empty()).collect()
}

/// The amount and the food in `30 g 01116`, `1 each 01123`, `30ml plain yogurt`; `None` where it is cubes that are
/// spoken of. An id takes all before it as the amount; words take a mass or a volume.
fn amount_and_food(text: &str) -> Option<(&str, &str)> {
    let (amount, last) = text.rsplit_once(char::is_whitespace)?;
    if last.parse::<FoodId>().is_ok() && amount.trim().contains(|c: char| c.is_alphabetic()) {
        return Some((amount.trim(), last));
    }
    let at = text.find(|c: char| !(c.is_ascii_digit() || "./ ".contains(c)))?;
    let unit_length = text[at..].find(' ')?;
    let end = at + unit_length;
    let fluid = text[at..].starts_with("fl oz ");
    let end = if fluid { at + "fl oz".len() } else { end };
    let known = at > 0 && Unit::named(&text[at..end]).is_some();
    known.then(|| (text[..end].trim(), text[end..].trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commas_and_arguments_part_what_is_said() {
        let told =
            |words: &[&str]| parts(&words.iter().map(ToString::to_string).collect::<Vec<_>>());
        assert_eq!(told(&["2", "squash,", "1", "beef"]), ["2 squash", "1 beef"]);
        assert_eq!(told(&["2 squash, 1 beef"]), ["2 squash", "1 beef"]);
        assert_eq!(
            told(&["2 squash", "30 ml plain yogurt"]),
            ["2 squash", "30 ml plain yogurt"]
        );
        assert_eq!(told(&["breast", "5", "feeds"]), ["breast 5 feeds"]);
        assert!(told(&["", ","]).is_empty());
    }

    #[test]
    fn an_amount_has_a_unit_and_cubes_have_none() {
        assert_eq!(amount_and_food("30 g 01116"), Some(("30 g", "01116")));
        assert_eq!(amount_and_food("1 each 01123"), Some(("1 each", "01123")));
        assert_eq!(
            amount_and_food("30ml plain yogurt"),
            Some(("30ml", "plain yogurt"))
        );
        assert_eq!(
            amount_and_food("1/2 cup yogurt"),
            Some(("1/2 cup", "yogurt"))
        );
        assert_eq!(
            amount_and_food("2 fl oz yogurt"),
            Some(("2 fl oz", "yogurt"))
        );
        for cubes in [
            "2 red-lentil-squash",
            "1 #7",
            "2",
            "",
            "lentil squash",
            "2 11485",
        ] {
            assert_eq!(amount_and_food(cubes), None, "{cubes}");
        }
    }
}
