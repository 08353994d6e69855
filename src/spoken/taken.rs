//! What words were taken as.

use data_import::{Food, FoodId};
use serde::Serialize;

use super::food::Chosen;
use super::weigh::Weighed;
use crate::cooking::Method;
use crate::problem::Problem;
use crate::quantity::{Amount, Mass};
use crate::words::counted;

/// The remark on a food that was to be peeled.
const WITH_ITS_SKIN: &str = "its figures are of the food with its skin, the table has none without";

/// The remark, at the table, on a food that is eaten cooked and that the dataset has raw alone.
const AS_IF_RAW: &str =
    "cooked as you say, its figures are those of the raw food: the table has none cooked";

/// Food that was typed, understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// What was typed.
    pub typed: String,
    /// The words of it about the food, which may say what the entry does not: `ground almonds`.
    pub named: String,
    /// The food.
    pub food: Food,
    /// How much.
    pub portion: TakenAmount,
    /// How it is cooked, where it is going to be.
    pub method: Option<Method>,
    /// Whether the amount is that of what is eaten, without peel and bone.
    pub edible: bool,
    /// The measure or the density that the mass was worked out with.
    pub by: Option<String>,
    /// What was typed about it that its entry does not follow.
    pub but: Option<&'static str>,
    /// Whether the household once chose this food for these words.
    pub by_choice: bool,
    /// Whether anything was made of words, so that it is to be shown.
    pub by_words: bool,
    /// Foods that could have been meant instead.
    pub or: Vec<FoodId>,
}

/// How much of it.
#[derive(Debug, Clone, PartialEq)]
pub enum TakenAmount {
    /// So much, as a recipe writes it, and its mass.
    Mass(Amount, Mass),
    /// A number of feeds at the breast.
    Feeds(u32),
    /// Breast milk as it is wanted.
    Wanted,
}

/// What words were taken as, for JSON.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TakenLine {
    /// What was typed.
    pub typed: String,
    /// The food.
    pub food: String,
    /// Its name.
    pub name: String,
    /// Its mass; `None` for feeds at the breast.
    pub grams: Option<f64>,
    /// How it is cooked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub method: Option<&'static str>,
    /// Whether it was sure what was meant.
    pub sure: bool,
    /// Foods that could have been meant instead.
    pub or: Vec<String>,
}

impl Taken {
    /// Feeds at the breast; `sided` where it was typed on how many sides, so that it is shown.
    pub(super) fn drunk(typed: &str, chosen: Chosen, portion: TakenAmount, sided: bool) -> Self {
        Self {
            typed: typed.to_string(),
            named: String::new(),
            by_words: sided,
            by_choice: false,
            food: chosen.food,
            portion,
            method: None,
            edible: true,
            but: None,
            by: sided.then(|| "each side counted as a feed".into()),
            or: Vec::new(),
        }
    }

    /// An amount of a food; `eaten` says whether it is what is eaten, without peel and bone.
    pub(super) fn weighed(
        typed: &str,
        chosen: Chosen,
        (method, weighed): (Option<Method>, Weighed),
        eaten: bool,
    ) -> Self {
        let but = if chosen.keeps_its_skin() {
            Some(WITH_ITS_SKIN)
        } else {
            // What is going to be cooked is raw, and has figures of its own for the way to cook.
            let raw = eaten && chosen.is_raw_though_cooked();
            raw.then_some(AS_IF_RAW)
        };
        Self {
            typed: typed.trim().to_string(),
            named: String::new(),
            by_choice: chosen.by_choice,
            by_words: !chosen.by_id || weighed.by.is_some(),
            food: chosen.food,
            but,
            portion: TakenAmount::Mass(weighed.amount, weighed.mass),
            method,
            edible: weighed.edible || eaten,
            by: weighed.by,
            or: chosen.or,
        }
    }

    /// The mass; `None` for feeds at the breast.
    pub fn mass(&self) -> Option<Mass> {
        match &self.portion {
            TakenAmount::Mass(_, mass) => Some(*mass),
            TakenAmount::Feeds(_) | TakenAmount::Wanted => None,
        }
    }

    /// The mass, where it has to be food by weight.
    ///
    /// Errors: feeds at the breast, which have none.
    pub fn needed_mass(&self) -> Result<Mass, Problem> {
        self.mass().ok_or_else(|| {
            Problem::new(format!("“{}” has no mass", self.typed))
                .hint("say how much of it, such as `50 g`")
        })
    }

    /// Whether it was counted by a measure with this word: `1 cube = 4 g`.
    pub fn is_counted_in(&self, word: &str) -> bool {
        let measure = self.by.as_deref().unwrap_or_default();
        measure
            .split(|c: char| !c.is_alphabetic())
            .any(|one| one == word)
    }

    /// What it was taken as, in one line without a full stop.
    pub fn words(&self) -> String {
        let amount = match &self.portion {
            TakenAmount::Mass(_, mass) => format!("{} of ", grams(*mass)),
            TakenAmount::Feeds(feeds) => format!("{} of ", counted(*feeds, "feed")),
            TakenAmount::Wanted => String::new(),
        };
        let method = match self.method {
            Some(Method::None) => ", not cooked".to_string(),
            Some(method) => format!(", to {method}"),
            None => String::new(),
        };
        let by = self.by.as_deref().map(|by| format!(", by {by}"));
        let but = self.but.map(|but| format!("; {but}")).unwrap_or_default();
        let choice = if self.by_choice {
            ", as you chose before"
        } else {
            ""
        };
        format!(
            "“{}” was taken as {}{} ({}){method}{}{choice}{but}",
            self.typed,
            amount,
            self.food.name,
            self.food.id,
            by.unwrap_or_default()
        )
    }

    /// For JSON.
    pub fn line(&self) -> TakenLine {
        TakenLine {
            typed: self.typed.clone(),
            food: self.food.id.to_string(),
            name: self.food.name.clone(),
            grams: self.mass().map(Mass::grams),
            method: self.method.map(Method::word),
            sure: true,
            or: self.or.iter().map(ToString::to_string).collect(),
        }
    }
}

/// As a kitchen scale shows it, small masses with a decimal.
fn grams(mass: Mass) -> String {
    let grams = mass.grams();
    if grams < 10.0 {
        format!("{grams:.1} g")
    } else {
        format!("{grams:.0} g")
    }
}
