//! What a parent means by "600 grams courgette roasted": the one reader of typed food.
//!
//! [`text`] takes what was typed apart, [`lexicon`] knows the words
//! ([tables](data_import::reference) of foods, units, sizes and ways to cook), [`amounts`] finds
//! the amount in it ([`phrase`] holds both), [`matching`] the names of foods, [`food`] chooses one
//! ([`cans`] out of a can; [`several`] in one phrase are split), [`beside`] reads the other words,
//! [`ways`] how it is cooked, [`weigh`] what it weighs and [`pieces`] what a piece of it does. What
//! is not sure is not taken ([`stop`]): an [`Unclear`] says what is in doubt and what could be
//! meant ([`offers`]).

mod amounts;
mod beside;
mod cans;
mod food;
mod food_names;
mod kinds;
mod lexicon;
mod matching;
mod numbers;
mod offers;
mod phrase;
mod pieces;
mod repeats;
mod several;
mod spelling;
mod stop;
mod taken;
mod text;
mod unclear;
mod ways;
mod weigh;

use data_import::{Error, Food, FoodId};

use crate::cooking::{ClassTable, Method};
use crate::food::search::Hit;
use crate::food::{FoodDataError, Pantry};
use crate::nutrition::BreastMilk;
use food::Chosen;
pub use food_names::plain_name;
use food_names::{FoodNames, food_names};
pub use lexicon::is_measure;
use lexicon::{Lexicon, lexicon};
use phrase::Phrase;
use stop::{Stop, if_clear};
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

/// What was typed, read.
#[derive(Debug, Clone, PartialEq)]
pub enum FoodReading {
    /// What is meant is clear.
    Taken(Box<Taken>),
    /// What is meant is not clear, and this could be.
    Unclear(Box<Unclear>),
}

impl FoodReading {
    /// What was taken; where it is not clear, what could be meant is the error.
    ///
    /// # Errors
    /// What is meant is not clear.
    pub fn taken(self) -> Result<Taken, Box<Unclear>> {
        match self {
            Self::Taken(taken) => Ok(*taken),
            Self::Unclear(unclear) => Err(unclear),
        }
    }
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
    /// Asks whoever is there, and gives what may be meant by the answer, the likeliest first; where
    /// nobody is, that is an error.
    fn asked(&self, unclear: &Unclear) -> Result<Vec<String>, Self::Error>;
}

/// The words that name a food, without its amount and how it is cooked: what to search for.
///
/// Errors: a table does not read.
pub fn food_words(typed: &str) -> Result<String, Error> {
    let words = match if_clear(Phrase::of(typed))? {
        Some(phrase) => lexicon()?.food_words(&phrase),
        None => String::new(),
    };
    Ok(if words.is_empty() {
        typed.to_string()
    } else {
        words
    })
}

/// The typed words about a food without the ways to cook among them: `egg` of `boiled egg`.
///
/// Errors: a table does not read.
pub fn without_cooking(named: &str) -> Result<String, Error> {
    match Phrase::of(named) {
        Ok(phrase) => Ok(phrase.about_food(lexicon()?, false)),
        Err(Stop::InDoubt { .. }) => Ok(named.to_string()),
        Err(Stop::Failed(error)) => Err(error),
    }
}

/// The typed words about a food where they say more than its name and how it is prepared, such as
/// `ground almonds` of almonds; else none.
///
/// Errors: a table does not read.
pub fn words_beyond(named: &str, name: &str) -> Result<String, Error> {
    let beyond = match Phrase::of(named) {
        Ok(phrase) => phrase.says_beyond(lexicon()?, name),
        Err(Stop::InDoubt { .. }) => true,
        Err(Stop::Failed(error)) => return Err(error),
    };
    Ok(if beyond {
        named.to_string()
    } else {
        String::new()
    })
}

/// What was weighed, poured or served, in the words that were typed, without how much:
/// `carrot & beef` of `60g carrot & beef`. `None` where it was counted, or no amount was typed.
///
/// Errors: a table does not read.
pub fn measured_name(typed: &str) -> Result<Option<String>, Error> {
    let phrase = if_clear(Phrase::of(typed))?;
    Ok(phrase.and_then(|phrase| phrase.measured_name().map(str::to_string)))
}

/// Whether the words of a unit are known: `g`, `cup, cubes`, `each`.
///
/// Errors: a table does not read.
pub fn knows_unit(unit: &str) -> Result<bool, Error> {
    let first = text::stems(unit).into_iter().next().unwrap_or_default();
    Ok(food_names()?.knows(&first)
        || crate::quantity::Unit::named(unit).is_some()
        || first == "each")
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
    /// Errors: a table does not read.
    pub fn read(&mut self, typed: &str) -> Result<FoodReading, L::Error> {
        let mut phrase = match Phrase::of(typed) {
            Ok(phrase) => phrase,
            Err(Stop::InDoubt { doubt, .. }) => {
                let mut unclear = Unclear::new(typed, doubt);
                let parts = Self::apart(typed)?;
                if unclear.doubt.is_of_several() && parts.len() > 1 {
                    unclear.choices = self.one_at_a_time(parts)?;
                }
                return Ok(FoodReading::Unclear(Box::new(unclear)));
            }
            Err(Stop::Failed(error)) => return Err(error.into()),
        };
        match self.attempt(&mut phrase) {
            Ok(taken) => Ok(FoodReading::Taken(Box::new(taken))),
            Err(Stop::InDoubt { doubt, chosen }) => {
                let unit = if doubt.foods().is_empty() {
                    None
                } else {
                    Self::unknown_unit(typed)?
                };
                let doubt = unit.unwrap_or(doubt);
                self.with_choices(&phrase, chosen.as_deref(), doubt)
                    .map(|unclear| FoodReading::Unclear(Box::new(unclear)))
            }
            Err(Stop::Failed(error)) => Err(error),
        }
    }

    /// The doubt about a word that stands where a unit would, and is not one; read again, before
    /// any word was mended.
    fn unknown_unit(typed: &str) -> Result<Option<Doubt>, L::Error> {
        let Some(phrase) = if_clear(Phrase::of(typed))? else {
            return Ok(None);
        };
        let names = Self::food_names()?;
        let word = phrase.unknown_unit(names.lexicon, |word| names.knows(word));
        Ok(word.map(|word| Doubt::Unit {
            word: word.to_string(),
            meant: names
                .lexicon
                .unit_like(&word.to_lowercase())
                .map(str::to_string),
        }))
    }

    /// Reads a text without looking for what could be meant instead.
    fn attempt_text(&mut self, text: &str) -> Result<Taken, Stop<L::Error>> {
        match Phrase::of(text) {
            Ok(mut phrase) => self.attempt(&mut phrase),
            Err(stop) => Err(stop.widened()),
        }
    }

    /// Reads it without looking for what could be meant instead.
    fn attempt(&mut self, phrase: &mut Phrase) -> Result<Taken, Stop<L::Error>> {
        let chosen = self.chosen(phrase)?;
        let chosen = self.of_can(phrase, chosen)?;
        match self.amounted(phrase, &chosen) {
            Ok(amounted) => Ok(self.taken(phrase, chosen, amounted)?),
            Err(stop) => Err(stop.with_food(chosen)),
        }
    }

    fn taken(
        &self,
        phrase: &Phrase,
        chosen: Chosen,
        amounted: Amounted,
    ) -> Result<Taken, L::Error> {
        match amounted {
            Amounted::Feeds(portion) => {
                let sided = phrase.feeds.is_some_and(|feeds| feeds.sided);
                Ok(Taken::drunk(&phrase.typed, chosen, portion, sided))
            }
            Amounted::Weighed(weighed, method) => {
                let eaten = matches!(self.context, Context::Table | Context::Drink);
                Ok(Taken {
                    named: phrase.about_food(Self::lexicon()?, true),
                    ..Taken::weighed(&phrase.typed, chosen, (method, weighed), eaten)
                })
            }
        }
    }

    /// Reads one food with its amount; where it is not clear, asks what is meant until it is.
    ///
    /// Errors: a table does not read, or what is typed stays unclear.
    pub fn sure(&mut self, typed: &str) -> Result<Taken, L::Error>
    where
        L: Ask,
    {
        let mut unclear = match self.read(typed)? {
            FoodReading::Taken(taken) => return Ok(*taken),
            FoodReading::Unclear(unclear) => *unclear,
        };
        loop {
            let mut still = None;
            for text in self.lookup.asked(&unclear)? {
                match self.read(&text)? {
                    FoodReading::Taken(taken) => return Ok(*taken),
                    FoodReading::Unclear(unclear) => still = Some(*unclear),
                }
            }
            unclear = still.unwrap_or(unclear);
        }
    }

    /// The foods that words may mean, the likeliest first, mended where they are misspelt; none
    /// where nothing is called so.
    ///
    /// Errors: a table does not read.
    pub fn named(&mut self, typed: &str) -> Result<Vec<Food>, L::Error> {
        let Some(mut phrase) = if_clear(Phrase::of(typed))? else {
            return Ok(Vec::new());
        };
        match self.chosen(&mut phrase) {
            Ok(chosen) => Ok(vec![self.as_named(typed, chosen)?]),
            Err(Stop::InDoubt { doubt, .. }) => {
                let found = self.pantry()?.foods(doubt.foods())?;
                Ok(found.into_iter().flatten().collect())
            }
            Err(Stop::Failed(error)) => Err(error),
        }
    }

    /// The food as it is called: of red lentils the dataset has the cooked ones as lentils alone,
    /// and without an amount the form does not matter.
    fn as_named(&self, typed: &str, chosen: Chosen) -> Result<Food, L::Error> {
        if self.context != Context::Table || chosen.by_id || chosen.by_choice {
            return Ok(chosen.food);
        }
        let lost = chosen.own_words();
        let mut raw = Reader::new(self.lookup, Context::Cook);
        let mut phrase = match Phrase::of(typed) {
            Ok(phrase) if !lost.is_empty() => phrase,
            _ => return Ok(chosen.food),
        };
        Ok(match if_clear(raw.chosen(&mut phrase))? {
            Some(other) if other.own_words().len() < lost.len() => other.food,
            _ => chosen.food,
        })
    }

    /// How much of the chosen food, and how it is cooked.
    fn amounted(&mut self, phrase: &Phrase, chosen: &Chosen) -> Result<Amounted, Stop<L::Error>> {
        if self.context == Context::Drink
            && chosen.food.id.as_str() == BreastMilk::FOOD
            && let Some(portion) = phrase.feeds()
        {
            // "Breast on waking and before bed" is some of the day's feeds.
            if chosen.beside.daytime && portion == Ok(TakenAmount::Wanted) {
                return Err(Doubt::Feeds.stop());
            }
            return portion.map(Amounted::Feeds).map_err(Doubt::stop);
        }
        let class = ClassTable::builtin()
            .map_err(L::Error::from)?
            .class_of(&chosen.food);
        let method = match self.context {
            Context::Cook => Some(chosen.method(&class).map_err(Stop::widened)?),
            Context::Buy | Context::Table | Context::Drink => None,
        };
        let metric = self.pantry()?.has_metric_cups();
        let mut weighed = weigh(phrase, chosen, &class).map_err(Doubt::stop)?;
        if metric {
            weighed = weighed.by_metric_cup(phrase);
        }
        if self.context == Context::Buy {
            weighed = weighed.with_refuse(&chosen.food);
        }
        Ok(Amounted::Weighed(weighed, method))
    }

    /// The pantry, opened once.
    fn pantry(&mut self) -> Result<&Pantry, L::Error> {
        let pantry = match self.pantry.take() {
            Some(pantry) => pantry,
            None => self.lookup.foods()?,
        };
        Ok(self.pantry.insert(pantry))
    }

    fn lexicon() -> Result<&'static Lexicon, L::Error> {
        Ok(lexicon()?)
    }

    fn food_names() -> Result<&'static FoodNames, L::Error> {
        Ok(food_names()?)
    }

    fn id(text: &str) -> Result<FoodId, L::Error> {
        Ok(text.parse::<FoodId>()?)
    }

    fn search(&mut self, words: &str, most: usize) -> Result<Vec<Hit>, L::Error> {
        Ok(self.pantry()?.search(words, most)?)
    }

    fn food(&mut self, id: &FoodId) -> Result<Option<Food>, L::Error> {
        let found = self.pantry()?.foods(std::slice::from_ref(id))?;
        Ok(found.into_iter().next().flatten())
    }
}

/// How much of it, and how it is cooked.
enum Amounted {
    /// A mass.
    Weighed(Weighed, Option<Method>),
    /// Feeds at the breast.
    Feeds(TakenAmount),
}
