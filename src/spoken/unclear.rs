//! What is not clear in what was typed, and what could be meant.

use std::fmt::Write as _;

use data_import::{Food, FoodId};

use crate::cooking::Method;
use crate::food::described;
use crate::problem::{Place, Problem, SourceText};
use crate::quantity::{AmountError, Unit, UnitKind};

/// The most measures of a food that are offered.
const MEASURES: usize = 6;

/// What a food is bought in that has no one size.
const CAN: &str = "can";

/// What was typed, and why it was not taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Unclear {
    /// What was typed.
    pub typed: String,
    /// What is in doubt.
    pub doubt: Doubt,
    /// The foods that could be meant.
    pub choices: Vec<Choice>,
    /// The words for the food, as a choice is remembered.
    pub words: String,
    /// Why the words are not enough; empty where the table of foods does not say.
    pub why: String,
    /// Why no baby is given what the words name, whichever of the foods is meant; empty where nothing says so.
    pub stopped: String,
    /// What was typed with the usual way to cook, read before it is offered.
    pub suggestion: Option<String>,
    /// What an answer about the amount or the way to cook is put together with.
    pub(super) known: Option<KnownParts>,
}

/// What is known where only the amount or the way to cook is in doubt.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct KnownParts {
    /// All that was typed, with the id of the food in the place of its words.
    pub(super) whole: String,
    /// All that was typed without the amount, with the id of the food.
    pub(super) without_amount: String,
}

/// A food that could be meant.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Its id.
    pub id: FoodId,
    /// Its name.
    pub name: String,
    /// What to type for it.
    pub retyped: String,
    /// Whether that is read as it stands; else it still lacks an amount.
    pub runs: bool,
    /// Measures of it, where an amount is lacking.
    pub measures: Vec<String>,
}

/// What is in doubt.
#[derive(Debug, Clone, PartialEq)]
pub enum Doubt {
    /// Which of these foods.
    Food(Vec<FoodId>),
    /// There is no such food; these are near.
    NoFood(Vec<FoodId>),
    /// More than one food was named.
    TwoFoods(Vec<FoodId>),
    /// No food has this id.
    UnknownId(FoodId),
    /// A word beside an id that says nothing.
    Word(String),
    /// No food was named.
    Nothing,
    /// How much of it.
    Amount {
        /// The food.
        food: String,
        /// The word that stands for an amount and is not one.
        vague: Option<String>,
        /// Measures of the food.
        measures: Vec<String>,
    },
    /// An ounce of this food, of mass or of volume.
    Ounce(String),
    /// How it is cooked.
    Method {
        /// The food.
        food: String,
        /// The usual way, or the one that is near to what was typed.
        usual: Method,
        /// Whether the way that was typed has no figures of its own.
        is_near: bool,
    },
    /// More than one way to cook was named.
    Methods(Vec<String>),
    /// More than one amount was named.
    TwoAmounts,
    /// A range in the place of one amount.
    Range(String),
    /// Not a number, or one that may be read in two ways.
    Number {
        /// As it was typed.
        written: String,
        /// What it may be; empty where it is not a number.
        readings: Vec<String>,
    },
    /// An amount that may be that of all, or of each.
    Total {
        /// What was measured.
        once: String,
        /// What was measured, as many times as was counted.
        all: String,
    },
    /// A word that stands where a unit would, and is not one.
    Unit {
        /// As it was typed.
        word: String,
        /// The unit that it is written like.
        meant: Option<String>,
    },
    /// Less than nothing.
    Negative,
    /// Nothing.
    Zero,
    /// No number of feeds.
    Feeds,
    /// An amount that cannot be used.
    Wrong(AmountError),
}

impl Choice {
    /// What to type: all of it where that is read as it stands, else the id alone.
    pub fn typed(&self) -> &str {
        if self.runs {
            &self.retyped
        } else {
            self.id.as_str()
        }
    }

    /// How much of it to write, where that is lacking.
    pub fn how_much(&self) -> Option<String> {
        let measures = self.measures.join("; ");
        match (self.runs, measures.is_empty()) {
            (true, _) => None,
            (false, true) => Some("say how much, in g".into()),
            (false, false) => Some(format!("say how much, in g or {measures}")),
        }
    }
}

impl From<AmountError> for Doubt {
    fn from(error: AmountError) -> Self {
        Self::Wrong(error)
    }
}

impl Doubt {
    /// How much of a food is meant: its measures are offered.
    pub(super) fn of_amount(food: &Food, vague: Option<String>) -> Self {
        Self::Amount {
            food: food.name.clone(),
            vague,
            measures: food.measures.iter().take(MEASURES).map(described).collect(),
        }
    }

    /// How much a can of a food holds: that of the dataset is not the one in the cupboard.
    pub(super) fn of_can(food: &Food) -> Self {
        let is_can = |unit: &str| {
            unit.split(|c: char| !c.is_alphabetic())
                .any(|word| word == CAN)
        };
        let other = food.measures.iter().filter(|one| !is_can(&one.unit));
        Self::Amount {
            food: food.name.clone(),
            vague: Some(CAN.into()),
            measures: other.take(MEASURES).map(described).collect(),
        }
    }

    /// The foods that could be meant.
    pub(super) fn foods(&self) -> &[FoodId] {
        match self {
            Self::Food(ids) | Self::NoFood(ids) | Self::TwoFoods(ids) => ids,
            _ => &[],
        }
    }
}

impl Unclear {
    pub(super) fn new(typed: &str, doubt: Doubt) -> Self {
        Self {
            typed: typed.to_string(),
            doubt,
            choices: Vec::new(),
            words: String::new(),
            why: String::new(),
            stopped: String::new(),
            suggestion: None,
            known: None,
        }
    }

    /// What is not clear.
    pub fn what(&self) -> String {
        let typed = self.typed.trim();
        match &self.doubt {
            Doubt::Food(_) => format!("“{typed}” could be more than one food"),
            Doubt::NoFood(_) => format!("no food is called so: “{typed}”"),
            Doubt::TwoFoods(_) => format!("“{typed}” names two foods"),
            Doubt::UnknownId(id) => format!("no food has the id {id}"),
            Doubt::Word(word) => format!("“{word}” says nothing here: “{typed}”"),
            Doubt::Nothing => format!("“{typed}” names no food"),
            Doubt::Amount {
                food, vague: None, ..
            } => format!("how much of {food}?"),
            Doubt::Amount {
                food,
                vague: Some(word),
                ..
            } => {
                format!("how much of {food} is “{word}”?")
            }
            Doubt::Ounce(food) => {
                format!("an ounce may be one of mass (28 g) or of volume (30 ml): {food}")
            }
            Doubt::Method { food, .. } => format!("how is it cooked: {food}?"),
            Doubt::Methods(several) => {
                format!("cooked in more than one way: {}", several.join(", "))
            }
            Doubt::TwoAmounts => format!("“{typed}” has more than one amount"),
            Doubt::Range(range) => format!("“{range}” is not one amount"),
            Doubt::Number { written, readings } => match readings.as_slice() {
                [one, other] => format!("“{written}” may be {one} or {other}"),
                _ => format!("“{written}” is not a number"),
            },
            Doubt::Total { once, all } => {
                format!("“{typed}” may be {once} in all, or {all}")
            }
            Doubt::Unit { word, .. } => format!("“{word}” is not a known unit: “{typed}”"),
            Doubt::Negative => format!("“{typed}” is less than nothing"),
            Doubt::Zero => format!("“{typed}”: the amount is zero"),
            Doubt::Feeds => format!("“{typed}”: how many feeds a day, or how much?"),
            Doubt::Wrong(error) => error.to_string(),
        }
    }

    /// What to do about it; first of all, whether it may be given at all.
    pub fn hint(&self) -> String {
        let clear_up = self.how_to_clear_up();
        match self.stopped.as_str() {
            "" => clear_up,
            stopped => format!("{stopped} If another food is meant, {clear_up}"),
        }
    }

    fn how_to_clear_up(&self) -> String {
        match &self.doubt {
            Doubt::Food(_) if !self.why.is_empty() => {
                format!("{}; name one of these by its id", self.why)
            }
            Doubt::Food(_) => "name one of these by its id".into(),
            Doubt::NoFood(_) if self.choices.is_empty() => {
                "try other words, or add it as an own food from its label".into()
            }
            Doubt::NoFood(_) => {
                "name one of these that are near by its id, or add it as an own food from its label"
                    .into()
            }
            Doubt::TwoFoods(_) => "write them one at a time, each with its amount".into(),
            Doubt::UnknownId(id) if id.is_own() => "is it in the file of own foods?".into(),
            Doubt::UnknownId(_) | Doubt::Nothing => {
                "name the food in words, such as 600 g carrots steamed".into()
            }
            Doubt::Word(_) => {
                "write how much, which food, and how it is cooked, such as 600 g carrots steamed"
                    .into()
            }
            Doubt::Amount {
                vague: Some(word), ..
            } if word.as_str() == CAN => {
                "cans are of many sizes: write what is printed on yours, such as “400 g can of tomatoes”"
                    .into()
            }
            Doubt::Amount { measures, .. } if measures.is_empty() => {
                "it has no household measure: weigh it, and write g, kg, oz or lb".into()
            }
            Doubt::Amount { measures, .. } => {
                format!(
                    "write g, kg, oz or lb, or one of its measures: {}",
                    measures.join("; ")
                )
            }
            Doubt::Ounce(_) => "write g, or ml, or fl oz".into(),
            Doubt::Method {
                usual,
                is_near: true,
                ..
            } => format!(
                "there are no figures for that way; {usual} is near; write one of {}",
                Method::words()
            ),
            Doubt::Method { usual, .. } if *usual == Method::None => {
                format!("often not at all (none); write one of {}", Method::words())
            }
            Doubt::Method { usual, .. } => {
                format!("usual is {usual}; write one of {}", Method::words())
            }
            Doubt::Methods(_) => format!("write the one that counts: {}", Method::words()),
            Doubt::TwoAmounts if !self.choices.is_empty() => {
                "write them one at a time, each with its amount".into()
            }
            Doubt::TwoAmounts => "write one amount of one food; several foods one at a time".into(),
            Doubt::Range(_) => "write one number".into(),
            Doubt::Total { .. } => "write the whole of it as one amount".into(),
            Doubt::Number { readings, .. } if readings.is_empty() => {
                "write the number in digits, such as 600 g".into()
            }
            Doubt::Number { .. } => {
                "write thousands without a sign and decimals with a point, such as 1500 g or 1.5 kg"
                    .into()
            }
            Doubt::Unit { meant, .. } => {
                let meant = meant.as_deref().map(|unit| format!("did you mean {unit}? "));
                let [mass, volume] = [UnitKind::Mass, UnitKind::Volume].map(Unit::symbols);
                let known = format!("units are {mass}, {volume}, dl, cl");
                format!("{}{known}", meant.unwrap_or_default())
            }
            Doubt::Negative | Doubt::Zero => "write how much goes in".into(),
            Doubt::Feeds => {
                "write “breast” for as much as is wanted, “breast 5 feeds” for 1 to 30 of them, or “breast milk 400 ml”".into()
            }
            Doubt::Wrong(error) => error.hint(),
        }
    }

    /// What may be meant by an answer: put together with what is known, or else as it stands.
    pub fn answered(&self, answer: &str) -> Vec<String> {
        let joined = self.known.as_ref().and_then(|known| match self.doubt {
            Doubt::Method { .. } | Doubt::Methods(_) => Some(format!("{} {answer}", known.whole)),
            Doubt::Amount { .. } | Doubt::Ounce(_) => {
                Some(format!("{answer} {}", known.without_amount))
            }
            _ => None,
        });
        joined.into_iter().chain([answer.to_string()]).collect()
    }

    /// The amounts of single foods that were typed in one, each to be written by itself.
    pub fn apart(&self) -> Option<Vec<&str>> {
        let of = |choice: &Choice| choice.runs;
        let apart = self.doubt.is_of_several() && !self.choices.is_empty();
        let apart = apart && self.choices.iter().all(of);
        apart.then(|| {
            self.choices
                .iter()
                .map(|one| one.retyped.as_str())
                .collect()
        })
    }

    /// Whether no amount was typed.
    pub fn is_without_amount(&self) -> bool {
        matches!(self.doubt, Doubt::Amount { vague: None, .. })
    }

    /// Whether no food is called so, and none is near.
    pub fn is_unknown(&self) -> bool {
        matches!(self.doubt, Doubt::NoFood(_)) && self.choices.is_empty()
    }

    /// Whether one of the foods that could be meant is counted by a measure of this name: `1 cube = 3.6 g`.
    pub fn offers_measure(&self, word: &str) -> bool {
        let one = format!("1 {word} ");
        let mut measures = self.choices.iter().flat_map(|choice| &choice.measures);
        measures.any(|measure| measure.starts_with(&one))
    }

    /// Whether the food is in doubt, not its amount.
    pub fn is_of_the_food(&self) -> bool {
        matches!(
            self.doubt,
            Doubt::Food(_)
                | Doubt::NoFood(_)
                | Doubt::TwoFoods(_)
                | Doubt::UnknownId(_)
                | Doubt::Nothing
        )
    }

    /// As a problem of the text that was typed.
    pub fn problem(&self) -> Problem {
        let place = Place::whole(&SourceText::new("what was typed", self.typed.clone()));
        let mut hint = self.hint();
        for choice in &self.choices {
            let _ = write!(hint, "\n  {}  ({})", choice.typed(), choice.name);
            let _ = write!(
                hint,
                "{}",
                choice
                    .how_much()
                    .map_or_else(String::new, |how| format!("; {how}"))
            );
        }
        Problem::at(place, self.what()).hint(hint)
    }
}
