//! What a parent means by "600 grams courgette roasted": the one reader of typed food.
//!
//! [`text`] takes what was typed apart, [`lexicon`] knows the words ([tables](data_import::reference) of foods, units, sizes and
//! ways to cook), [`amounts`] finds the amount in it ([`phrase`] holds both), [`matching`] the names of foods, [`food`] chooses one, [`beside`] reads the other
//! words, [`ways`] how it is cooked, [`weigh`] what it weighs and [`pieces`] what a piece of it does. What is not sure is not taken: an
//! [`Unclear`] says what is in doubt and what could be meant.

mod amounts;
mod beside;
mod food;
mod lexicon;
mod matching;
mod phrase;
mod pieces;
mod repeats;
mod spelling;
mod taken;
mod text;
mod unclear;
mod ways;
mod weigh;

use data_import::{Error, Food, FoodId};

use crate::cooking::{ClassTable, Method};
use crate::food::{FoodDataError, Pantry};
use crate::nutrition::BreastMilk;
use food::Chosen;
use lexicon::lexicon;
pub use lexicon::plain_name;
use phrase::Phrase;
pub use taken::{Taken, TakenAmount, TakenLine};
pub use text::parts;
pub use unclear::{Choice, Doubt, Unclear};
pub use ways::usual_method;
use weigh::{Weighed, weigh};

/// Where food is spoken of, which decides the form of it that is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Context {
    /// What is going to be cooked: raw, plain food, and how it is cooked.
    Cook,
    /// What is bought to be cooked: the same food, not cooked yet.
    Buy,
    /// What is eaten: cooked, plain, ready.
    Table,
    /// What is drunk.
    Drink,
}

/// Where the reader looks foods up.
pub trait Lookup {
    /// What can go wrong with it.
    type Error: From<Error> + From<FoodDataError>;

    /// The foods, their names, and what the household chose for words that could mean several.
    fn foods(&self) -> Result<Pantry, Self::Error>;
}

/// A [`Lookup`] that says what to read instead of what is not clear.
pub trait Ask: Lookup {
    /// Asks whoever is there, and gives what may be meant by the answer, the likeliest first; where nobody is, that is an error.
    fn asked(&self, unclear: &Unclear) -> Result<Vec<String>, Self::Error>;
}

/// The words that name a food, without its amount and how it is cooked: what to search for.
///
/// Errors: a table does not read.
pub fn food_words(typed: &str) -> Result<String, Error> {
    let words = match Phrase::of(typed)? {
        Ok(phrase) => food::key(lexicon()?, &phrase),
        Err(_) => String::new(),
    };
    Ok(if words.is_empty() {
        typed.to_string()
    } else {
        words
    })
}

/// Whether the words of a unit are known: `g`, `cup, cubes`, `each`.
///
/// Errors: a table does not read.
pub fn knows_unit(unit: &str) -> Result<bool, Error> {
    let lexicon = lexicon()?;
    let first = text::stems(unit).into_iter().next().unwrap_or_default();
    Ok(lexicon.knows(&first) || crate::quantity::Unit::named(unit).is_some() || first == "each")
}

/// Reads what is typed, in one context.
#[derive(Debug)]
pub struct Reader<'a, L> {
    lookup: &'a L,
    context: Context,
    /// Opened when a food is first spoken of.
    pantry: Option<Pantry>,
}

impl<'a, L: Lookup> Reader<'a, L> {
    /// One that looks foods up here.
    pub fn new(lookup: &'a L, context: Context) -> Self {
        Self {
            lookup,
            context,
            pantry: None,
        }
    }

    /// Reads one food with its amount, and to cook also how it is cooked.
    ///
    /// Errors: a table does not read. The inner error says what is not clear.
    pub fn read(&mut self, typed: &str) -> Result<Result<Taken, Unclear>, L::Error> {
        let mut phrase = match Phrase::of(typed)? {
            Ok(phrase) => phrase,
            Err(doubt) => return Ok(Err(Unclear::new(typed, doubt))),
        };
        match self.attempt(&mut phrase)? {
            Ok(taken) => Ok(Ok(taken)),
            Err((chosen, doubt)) => self
                .with_choices(&phrase, chosen.as_deref(), doubt)
                .map(Err),
        }
    }

    /// Reads it without looking for what could be meant instead; what was chosen is given back with the doubt.
    fn attempt(&mut self, phrase: &mut Phrase) -> Result<Attempt, L::Error> {
        let mut chosen = match self.chosen(phrase)? {
            Ok(chosen) => chosen,
            Err(doubt) => return Ok(Err((None, doubt))),
        };
        let taken = match self.of_can(phrase, &mut chosen)? {
            Some(doubt) => Err(doubt),
            None => self.taken(phrase, &chosen)?,
        };
        Ok(match taken {
            Ok((Drunk::Feeds(portion), _)) => {
                let sided = phrase.feeds.is_some_and(|feeds| feeds.sided);
                Ok(Taken::drunk(&phrase.typed, chosen, portion, sided))
            }
            Ok((Drunk::Weighed(weighed), method)) => {
                let eaten = matches!(self.context, Context::Table | Context::Drink);
                let mut taken = Taken::weighed(&phrase.typed, chosen, method, weighed);
                taken.edible |= eaten;
                Ok(taken)
            }
            Err(doubt) => Err((Some(Box::new(chosen)), doubt)),
        })
    }

    /// The first of these texts that is read as this food.
    fn first_read(
        &mut self,
        texts: Vec<String>,
        food: &FoodId,
    ) -> Result<Option<String>, L::Error> {
        for text in texts {
            let Ok(mut phrase) = Phrase::of(&text)? else {
                continue;
            };
            if self
                .attempt(&mut phrase)?
                .is_ok_and(|taken| taken.food.id == *food)
            {
                return Ok(Some(text));
            }
        }
        Ok(None)
    }

    /// The same, of what is asked for where it is not clear.
    ///
    /// Errors: a table does not read, or what is typed stays unclear.
    pub fn sure(&mut self, typed: &str) -> Result<Taken, L::Error>
    where
        L: Ask,
    {
        let mut unclear = match self.read(typed)? {
            Ok(taken) => return Ok(taken),
            Err(unclear) => unclear,
        };
        loop {
            let mut still = None;
            for text in self.lookup.asked(&unclear)? {
                match self.read(&text)? {
                    Ok(taken) => return Ok(taken),
                    Err(unclear) => still = Some(unclear),
                }
            }
            unclear = still.unwrap_or(unclear);
        }
    }

    /// The foods that words may mean, the likeliest first, mended where they are misspelt; none where nothing is called so.
    ///
    /// Errors: a table does not read.
    pub fn named(&mut self, typed: &str) -> Result<Vec<Food>, L::Error> {
        let Ok(mut phrase) = Phrase::of(typed)? else {
            return Ok(Vec::new());
        };
        let ids = match self.chosen(&mut phrase)? {
            Ok(chosen) => return Ok(vec![chosen.food]),
            Err(doubt) => doubt.foods().to_vec(),
        };
        let found = self.pantry()?.foods(&ids)?;
        Ok(found.into_iter().flatten().collect())
    }

    /// How much of the chosen food, and how it is cooked.
    fn taken(
        &mut self,
        phrase: &Phrase,
        chosen: &Chosen,
    ) -> Result<Result<Amounted, Doubt>, L::Error> {
        if self.context == Context::Drink
            && chosen.food.id.as_str() == BreastMilk::FOOD
            && let Some(portion) = phrase.feeds()
        {
            // "Breast on waking and before bed" is some of the day's feeds.
            if chosen.beside.daytime && portion == Ok(TakenAmount::Wanted) {
                return Ok(Err(Doubt::Feeds));
            }
            return Ok(portion.map(|portion| (Drunk::Feeds(portion), None)));
        }
        let class = ClassTable::builtin()?.class_of(&chosen.food);
        let method = match self.context {
            Context::Cook => match chosen.method(&class)? {
                Ok(method) => Some(method),
                Err(doubt) => return Ok(Err(doubt)),
            },
            Context::Buy | Context::Table | Context::Drink => None,
        };
        let metric = self.pantry()?.has_metric_cups();
        let weighed = weigh(phrase, chosen, &class);
        let weighed = weighed.map(|one| {
            if metric {
                one.by_metric_cup(phrase)
            } else {
                one
            }
        });
        Ok(weighed.map(|weighed| (Drunk::Weighed(weighed), method)))
    }

    /// The pantry, opened once.
    fn pantry(&mut self) -> Result<&Pantry, L::Error> {
        let pantry = match self.pantry.take() {
            Some(pantry) => pantry,
            None => self.lookup.foods()?,
        };
        Ok(self.pantry.insert(pantry))
    }

    fn food(&mut self, id: &FoodId) -> Result<Option<Food>, L::Error> {
        let found = self.pantry()?.foods(std::slice::from_ref(id))?;
        Ok(found.into_iter().next().flatten())
    }
}

/// What was taken, or what is in doubt, and the food where it is not that.
type Attempt = Result<Taken, (Option<Box<Chosen>>, Doubt)>;

/// How much, and how it is cooked.
type Amounted = (Drunk, Option<Method>);

/// An amount, or feeds at the breast.
enum Drunk {
    Weighed(Weighed),
    Feeds(TakenAmount),
}
