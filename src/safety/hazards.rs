//! The table of hazards, `hazards.csv`: which foods, given how and to whom, each row is about.

use data_import::reference::{self, TableRow};
use data_import::{Error, Food, NutrientId};

use super::judge::FeedingStage;
use super::objection::Severity;
use super::portion::{Portion, PortionForm};
use super::sums::Limit;
use crate::cooking::Method;
use crate::food::{Pattern, begins_a_word, has_whole_word};
use crate::nutrition::AgeMonths;

/// A row of the table.
#[derive(Debug)]
pub(super) struct Hazard {
    pub(super) id: &'static str,
    pub(super) severity: Severity,
    age_from: Option<u16>,
    age_below: Option<u16>,
    pattern: Pattern,
    methods: Methods,
    form: Option<GivenAs>,
    cooking_only: bool,
    /// So much and more of a nutrient in 100 g.
    per_100g: Option<(NutrientId, f64)>,
    /// More than so much in a day or in seven.
    pub(super) limit: Option<Limit>,
    /// Words for a food that the row is about though its name does not say so; [`AS_NAMES`] for those that would fit as a name.
    said: Vec<&'static str>,
    /// Words for a form of the food that the row is not about.
    unless_said: Vec<&'static str>,
    pub(super) text: &'static str,
    pub(super) instead: &'static str,
    pub(super) source: &'static str,
}

/// The ways to cook that a row is about.
#[derive(Debug)]
enum Methods {
    Any,
    /// Any but raw or as it is.
    Cooked,
    These(Vec<Method>),
}

/// How a food must be given for a row to be about it.
#[derive(Debug, PartialEq, Eq)]
enum GivenAs {
    Whole,
    Puree,
    /// As it is, in an amount that is a drink.
    Drink,
}

/// Stands among the words of a row that judges the words for a food as it judges the name of an own food.
const AS_NAMES: &str = "*";

/// Less than this of a milk is no drink (our own limit: a splash over a meal).
const DRINK_GRAMS: f64 = 60.0;

/// The rows of the table.
pub(super) fn builtin() -> Result<Vec<Hazard>, Error> {
    reference::read_rows("hazards.csv", reference::HAZARDS, Hazard::of_row)
}

impl Hazard {
    fn of_row(row: TableRow<'_>) -> Self {
        let cell = |column: &str| row.cell(column);
        let number = |column: &str| cell(column).parse::<f64>().ok();
        Self {
            id: cell("hazard"),
            severity: match cell("severity") {
                "block" => Severity::Block,
                "warn" => Severity::Warn,
                _ => Severity::Mind,
            },
            age_from: cell("age_from").parse().ok(),
            age_below: cell("age_below").parse().ok(),
            pattern: Pattern::of_row(row),
            methods: Methods::from_cell(cell("methods")),
            form: match cell("form") {
                "whole" => Some(GivenAs::Whole),
                "puree" => Some(GivenAs::Puree),
                "drink" => Some(GivenAs::Drink),
                _ => None,
            },
            cooking_only: cell("context") == "cooked",
            per_100g: cell("nutrient")
                .parse()
                .ok()
                .map(NutrientId::new)
                .zip(number("per_100g_from")),
            limit: Limit::of_row(row),
            said: row.alternatives("said").collect(),
            unless_said: row.alternatives("unless_said").collect(),
            text: cell("text"),
            instead: cell("instead"),
            source: cell("source"),
        }
    }

    /// Whether the row is for a child of this age.
    pub(super) fn is_for(&self, age: AgeMonths) -> bool {
        self.age_from.is_none_or(|from| age.0 >= from)
            && self.age_below.is_none_or(|below| age.0 < below)
    }

    /// Whether the row is for this age or a later one, and not for ever.
    pub(super) fn ends_after(&self, age: AgeMonths) -> bool {
        self.age_below.is_some_and(|below| age.0 < below)
    }

    /// Whether the row is said where these foods stand.
    pub(super) fn is_said_in(&self, context: FeedingStage) -> bool {
        !self.cooking_only || context == FeedingStage::Cooked
    }

    /// Whether the row is about a food as it is given, whatever its amount over the day.
    pub(super) fn is_about(&self, portion: &Portion) -> bool {
        self.methods.include(portion.method)
            && self.given(portion)
            && self.is_meant(&portion.food, &portion.typed.to_lowercase())
    }

    /// Whether the row is about a food by its name, and by the words for it, in lower case.
    fn is_meant(&self, food: &Food, words: &str) -> bool {
        let spared = |one: &&str| has_whole_word(words, one);
        (self.names(food) || self.is_said_by(words)) && !self.unless_said.iter().any(spared)
    }

    /// Whether these words for a food, in lower case, make the row fire whatever the food's name.
    fn is_said_by(&self, words: &str) -> bool {
        self.said.iter().any(|one| match *one {
            AS_NAMES => self.pattern.fits_words(words),
            one => begins_a_word(words, one),
        })
    }

    /// Whether the row may be about a food, whichever way it is cooked and given.
    pub(super) fn names(&self, food: &Food) -> bool {
        let rich = self.per_100g.is_none_or(|(nutrient, from)| {
            let value = food.composition.get(nutrient);
            value.is_some_and(|value| value >= from)
        });
        rich && self.pattern.matches(food)
    }

    /// Whether the row stops a food, however much of it, that is known by these words alone, in lower case; or warns of it, where it judges
    /// words as names.
    pub(super) fn stops_words(&self, words: &str) -> bool {
        (self.severity == Severity::Block || self.said.contains(&AS_NAMES))
            && self.limit.is_none()
            && self.per_100g.is_none()
            && self.pattern.fits_words(words)
    }

    fn given(&self, portion: &Portion) -> bool {
        let whole = portion.form == PortionForm::Whole;
        match self.form {
            None => true,
            Some(GivenAs::Whole) => whole,
            Some(GivenAs::Puree) => !whole,
            Some(GivenAs::Drink) => {
                whole && portion.mass.is_some_and(|mass| mass.grams() >= DRINK_GRAMS)
            }
        }
    }
}

impl Methods {
    fn from_cell(cell: &str) -> Self {
        match cell {
            "" => Self::Any,
            "cooked" => Self::Cooked,
            words => Self::These(
                words
                    .split('|')
                    .filter_map(|word| word.parse().ok())
                    .collect(),
            ),
        }
    }

    /// A method that is not on record is none of those that a row names.
    fn include(&self, method: Option<Method>) -> bool {
        match self {
            Self::Any => true,
            Self::Cooked => method.is_some_and(|method| method != Method::None),
            Self::These(methods) => method.is_some_and(|method| methods.contains(&method)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_reads_and_says_all_that_it_must() {
        let rows = reference::read_rows("hazards.csv", reference::HAZARDS, |row| {
            assert_reads(row);
        });
        assert!(rows.unwrap().len() > 50);
    }

    fn assert_reads(row: TableRow<'_>) {
        let cell = |name: &str| row.cell(name);
        assert!(
            ["block", "warn", "mind"].contains(&cell("severity")),
            "{row:?}"
        );
        assert!(
            ["", "whole", "puree", "drink"].contains(&cell("form")),
            "{row:?}"
        );
        for word in row.alternatives("methods").filter(|word| *word != "cooked") {
            assert!(word.parse::<Method>().is_ok(), "{row:?}");
        }
        for column in [
            "age_from",
            "age_below",
            "nutrient",
            "per_100g_from",
            "above",
        ] {
            let text = cell(column);
            assert!(text.is_empty() || text.parse::<f64>().is_ok(), "{row:?}");
        }
        assert_eq!(
            cell("window").is_empty(),
            cell("above").is_empty(),
            "{row:?}"
        );
        assert_eq!(
            cell("window").is_empty(),
            Limit::of_row(row).is_none(),
            "{row:?}"
        );
        assert_eq!(
            cell("nutrient").is_empty(),
            cell("per_100g_from").is_empty(),
            "{row:?}"
        );
        for column in ["hazard", "text", "instead", "source"] {
            assert!(!cell(column).is_empty(), "{row:?}");
        }
    }
}
