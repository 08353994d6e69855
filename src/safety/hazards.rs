//! The table of hazards, `hazards.csv`: which foods, given how and to whom, each row is about.

use data_import::reference::{self, TableRow};
use data_import::{Error, Food, NutrientId};

use super::judge::FeedingStage;
use super::objection::Severity;
use super::portion::{Portion, PortionForm};
use super::sums::Limit;
use crate::cooking::Method;
use crate::food::{Pattern, begins_a_word, has_whole_word};
use crate::nutrition::{AgeMonths, wordings};

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
    reference::try_read_rows("hazards.csv", reference::HAZARDS, Hazard::of_row)
}

impl Hazard {
    /// Errors: a cell that cannot be read. A hazard is never taken for milder, or for rarer, than it was meant.
    fn of_row(row: TableRow<'_>) -> Result<Self, String> {
        let cell = |column: &str| row.cell(column);
        let written = |column: &str| match cell(column) {
            "" => Err(format!("the column “{column}” is empty")),
            text => Ok(text),
        };
        let nutrient = row.number("nutrient")?.map(NutrientId::new);
        let per_100g = match (nutrient, row.number("per_100g_from")?) {
            (Some(nutrient), Some(from)) => Some((nutrient, from)),
            (None, None) => None,
            _ => return Err("a nutrient and its amount in 100 g belong together".into()),
        };
        Ok(Self {
            id: written("hazard")?,
            severity: match cell("severity") {
                "block" => Severity::Block,
                "warn" => Severity::Warn,
                "mind" => Severity::Mind,
                other => return Err(format!("“{other}” is not a severity")),
            },
            age_from: row.number("age_from")?,
            age_below: row.number("age_below")?,
            pattern: Pattern::of_hazard(row)?,
            methods: Methods::from_cell(cell("methods"))?,
            form: match cell("form") {
                "" => None,
                "whole" => Some(GivenAs::Whole),
                "puree" => Some(GivenAs::Puree),
                "drink" => Some(GivenAs::Drink),
                other => return Err(format!("“{other}” is not a form")),
            },
            cooking_only: match cell("context") {
                "" => false,
                "cooked" => true,
                other => return Err(format!("“{other}” is not a context")),
            },
            per_100g,
            limit: Limit::of_row(row)?,
            said: row.alternatives("said").collect(),
            unless_said: row.alternatives("unless_said").collect(),
            text: written("text")?,
            instead: written("instead")?,
            source: written("source")?,
        })
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
            && wordings(&portion.typed.to_lowercase())
                .any(|words| self.is_meant(&portion.food, words))
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
    fn from_cell(cell: &str) -> Result<Self, String> {
        let method = |word: &str| {
            let method = word.parse::<Method>();
            method.map_err(|_| format!("“{word}” is not a method"))
        };
        match cell {
            "" => Ok(Self::Any),
            "cooked" => Ok(Self::Cooked),
            words => words
                .split('|')
                .map(method)
                .collect::<Result<_, _>>()
                .map(Self::These),
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
    fn every_row_reads() {
        assert!(builtin().unwrap().len() > 50);
    }

    #[test]
    fn a_row_that_cannot_be_read_is_an_error_and_not_a_milder_row() {
        let of = |columns: &'static str, cells: &'static str| {
            let text = format!("hazard,severity,text,instead,source,{columns}\n{cells}\n");
            reference::try_read_rows("rows.csv", text.leak(), Hazard::of_row)
        };
        assert!(of("form", "x,block,t,i,s,whole").is_ok());
        for (columns, cells) in [
            ("form", "x,stop,t,i,s,"),
            ("form", "x,block,t,i,s,lump"),
            ("form", "x,block,,i,s,"),
            ("age_below", "x,block,t,i,s,a year"),
            ("methods", "x,block,t,i,s,steamed|roast ed"),
            ("window,measure,above", "x,block,t,i,s,day,grams,"),
            ("window,measure,above", "x,block,t,i,s,month,grams,5"),
            ("window,measure,above", "x,block,t,i,s,,grams,5"),
            ("nutrient,per_100g_from", "x,block,t,i,s,303,"),
            ("fat_from", "x,block,t,i,s,much"),
        ] {
            assert!(of(columns, cells).is_err(), "{columns}: {cells}");
        }
    }
}
