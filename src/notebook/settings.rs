//! The settings of the household: `book.toml`.

use std::collections::BTreeMap;
use std::sync::Arc;

use data_import::FoodId;
use jiff::civil::Date;

use super::child::{self, Child};
use super::settings_values::{one_of, ranged, ready_made, season, tray, word};
use crate::buying::Country;
use crate::cost::ReadyMade;
use crate::day::{DayReader, DayStyle, DayUse};
use crate::names::{self, Found, Named};
use crate::portion::Tray;
use crate::problem::{Located, Problem, SourceText};
use crate::safety::{WaitAfter, Waiting};
use crate::strict_toml::StrictTable;
use crate::words::quoted;

/// The usual number of days that cubes keep, about a month (common practice, no source).
const USUAL_FREEZER_DAYS: u32 = 30;
/// Synonyms of the evening meal. `tea` is not among them: to some it is this meal, to others a
/// snack before it.
pub(crate) const EVENING: [&str; 2] = ["supper", "dinner"];
/// The meals of a day, where the household does not name its own.
const USUAL_MEALS: [&str; 3] = ["breakfast", "lunch", "supper"];
/// The largest number of servings a day that is accepted (judgement).
const MOST_SERVINGS: f64 = 50.0;

/// The settings of a book.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Currency of every price, such as `USD`.
    pub currency: String,
    /// The country whose seasons are shown; where the file names none, that of its currency.
    pub country: Option<Country>,
    /// Days that cubes are kept, unless a recipe says otherwise.
    pub freezer_days: u32,
    /// Days from one first taste to the next.
    pub waiting_days: u32,
    /// The first tastes after which the waiting days apply.
    pub waiting: WaitAfter,
    /// Servings a day, where the household states them; otherwise the recent pace is used.
    pub servings_a_day: Option<f64>,
    /// The names of the meals of a day, in their order.
    pub meals: Vec<String>,
    /// The children.
    pub children: Vec<Child>,
    /// The trays, in the order of the file.
    pub trays: Vec<Tray>,
    /// Ready-made food that a batch is compared with.
    pub ready_made: Vec<ReadyMade>,
    /// Months (1 to 12) in which a food is in season, by its id.
    pub seasons: BTreeMap<String, Vec<u32>>,
    /// The foods that the household chose for ambiguous words.
    pub words: BTreeMap<String, FoodId>,
    /// Whether newer analyses replace the dataset's values.
    pub newer_analyses: bool,
    /// Whether a cup that is typed holds 250 ml; otherwise it is the US cup.
    pub metric_cups: bool,
    /// The days of birth of the children, with their places in the file.
    pub births: Vec<Located<Date>>,
}

/// The words of `book.toml` for the first tastes that are followed by waiting.
const WAIT_AFTER: [(&str, WaitAfter); 2] =
    [("all", WaitAfter::All), ("allergens", WaitAfter::Allergens)];

/// The words of `book.toml` for the cup, and whether it is the metric one.
const CUPS: [(&str, bool); 2] = [("us", false), ("metric", true)];

impl Default for Settings {
    fn default() -> Self {
        Self {
            currency: "USD".into(),
            country: Some(Country::Us),
            freezer_days: USUAL_FREEZER_DAYS,
            waiting_days: Waiting::USUAL_DAYS,
            waiting: WaitAfter::All,
            servings_a_day: None,
            meals: USUAL_MEALS.map(String::from).to_vec(),
            children: Vec::new(),
            trays: Vec::new(),
            ready_made: Vec::new(),
            seasons: BTreeMap::new(),
            words: BTreeMap::new(),
            metric_cups: false,
            births: Vec::new(),
            newer_analyses: false,
        }
    }
}

impl Settings {
    /// Reads `book.toml` from a text.
    pub fn parse(source: &Arc<SourceText>) -> Result<Self, Vec<Problem>> {
        let mut book = StrictTable::parse("a book", source).map_err(|problem| vec![problem])?;
        let usual = Self::default();
        let currency = book.text("currency");
        if let Some(unnamed) = currency
            .as_ref()
            .filter(|text| text.value.trim().is_empty())
        {
            let problem = unnamed.problem("the currency has a name");
            book.report(problem.hint("such as currency = \"EUR\""));
        }
        let currency = currency.map_or(usual.currency, |text| text.value);
        let country = book.text("country");
        let country = country.and_then(|word| one_of(&book, "country", &word, &Country::WORDS));
        let freezer_days = ranged(&mut book, "freezer_days", 1..=366).unwrap_or(usual.freezer_days);
        let waiting_days = ranged(&mut book, "waiting_days", 3..=7).unwrap_or(usual.waiting_days);
        let waiting = book.text("waiting");
        let waiting = waiting.and_then(|word| one_of(&book, "waiting", &word, &WAIT_AFTER));
        let newer_analyses = book.flag("newer_analyses");
        let cup = book.text("cup");
        let cup = cup.and_then(|word| one_of(&book, "cup", &word, &CUPS));
        let servings_a_day = read_servings(&mut book);
        let meals = read_meals(&mut book);
        let children: Option<Vec<_>> = book
            .tables("child", "a child")
            .into_iter()
            .map(child::read)
            .collect();
        let children: Option<(Vec<_>, Vec<_>)> =
            children.map(|children| children.into_iter().unzip());
        let named = children.iter().flat_map(|(children, _)| children);
        let named: Vec<&str> = named.map(|child| child.name.as_str()).collect();
        let mut later = named.iter().enumerate();
        if let Some((_, name)) = later.find(|(at, name)| named[..*at].contains(name)) {
            let what = format!("two children are called {}", quoted(name));
            let hint = "the record tells children apart by their names: give one of them another";
            book.report(Problem::at(book.place().clone(), what).hint(hint));
        }
        let trays: Option<Vec<_>> = book
            .tables("tray", "a tray")
            .into_iter()
            .map(tray)
            .collect();
        let ready_made: Option<Vec<_>> = book
            .tables("ready_made", "a ready-made food")
            .into_iter()
            .map(ready_made)
            .collect();
        let seasons = book
            .tables("season", "a season")
            .into_iter()
            .filter_map(season)
            .collect();
        let words = book
            .tables("word", "a word")
            .into_iter()
            .filter_map(word)
            .collect();
        let settings = (|| {
            let (children, births) = children?;
            Some(Self {
                country: country.or_else(|| Country::of_currency(&currency)),
                currency,
                freezer_days,
                waiting_days,
                waiting: waiting.unwrap_or(usual.waiting),
                servings_a_day,
                meals: if meals.is_empty() { usual.meals } else { meals },
                children,
                trays: trays?,
                ready_made: ready_made?,
                seasons,
                words,
                metric_cups: cup.unwrap_or(false),
                births,
                newer_analyses: newer_analyses.is_some_and(|newer| newer.value),
            })
        })();
        book.finish_document(settings)
    }

    /// The tray of this name.
    pub fn tray(&self, name: &str) -> Option<&Tray> {
        self.trays.iter().find(|tray| tray.name == name)
    }

    /// The meal of this name.
    pub fn meal(&self, name: &str) -> Result<&str, Problem> {
        let mut meals = self.meals.iter();
        let found = meals.find(|meal| meal.eq_ignore_ascii_case(name));
        found
            .map(String::as_str)
            .ok_or_else(|| names::unknown("meal", name, &self.named_meals()))
    }

    /// The meal of this name: in full, as a unique beginning, or as another word for the meal of
    /// the evening.
    pub fn find_meal(&self, written: &str) -> Result<Found, Problem> {
        if let Ok(meal) = self.meal(written) {
            return Ok(Found::exactly(meal));
        }
        let evening = |word: &&str| EVENING.contains(word);
        let other = EVENING.iter().filter_map(|word| self.meal(word).ok());
        match other.collect::<Vec<_>>().as_slice() {
            [meal] if evening(&written.to_lowercase().as_str()) => Ok(Found::taken(written, meal)),
            _ => names::find("meal", written, &self.named_meals()),
        }
    }

    fn named_meals(&self) -> Vec<Named> {
        let meals = self.meals.iter();
        meals.map(|meal| Named::from(meal.as_str())).collect()
    }

    /// Checks that no child is born after today.
    ///
    /// Errors: a child is, with the place of its birth in the file.
    pub fn check_births(&self, today: Date) -> Result<(), Vec<Problem>> {
        let reader = DayReader::new(today, DayUse::Birth);
        let problem = |born: &Located<Date>| {
            let refusal = reader.read(&born.value.to_string()).err()?;
            let place = born.place.clone();
            Some(Problem {
                place,
                ..refusal.problem(DayStyle::Iso)
            })
        };
        match self.births.iter().filter_map(problem).collect::<Vec<_>>() {
            none if none.is_empty() => Ok(()),
            problems => Err(problems),
        }
    }

    /// The child, where the book has exactly one.
    pub fn only_child(&self) -> Option<&Child> {
        self.children.first().filter(|_| self.children.len() == 1)
    }

    /// The child of this name; without a name, the only one. A name that differs from those of two children in case alone
    /// is that of neither.
    pub fn child(&self, name: Option<&str>) -> Result<&Child, Problem> {
        let names = || self.children.iter().map(|child| child.name.as_str());
        match name {
            _ if self.children.is_empty() => Err(Problem::new("the book has no child")
                .hint("write a [[child]] with name and born into book.toml")),
            Some(name) => {
                let meant = names::in_full("child", name, names())?;
                let child = self.children.iter().find(|child| child.name == meant);
                child.ok_or_else(|| names::unknown("child", name, &[]))
            }
            None => self.only_child().ok_or_else(|| {
                Problem::new("the book has more than one child").hint(format!(
                    "say which: {}",
                    names().collect::<Vec<_>>().join(", ")
                ))
            }),
        }
    }

    /// The ready-made food that a recipe is compared with: one for this recipe, else one for all.
    pub fn ready_made_for(&self, recipe: &str) -> Option<&ReadyMade> {
        let names_it = |jar: &&ReadyMade| jar.recipes.iter().any(|name| name == recipe);
        let for_all = |jar: &&ReadyMade| jar.recipes.is_empty();
        self.ready_made
            .iter()
            .find(names_it)
            .or_else(|| self.ready_made.iter().find(for_all))
    }
}

/// Reads the servings a day.
fn read_servings(book: &mut StrictTable<'_>) -> Option<f64> {
    let number = book.number("servings_a_day")?;
    if !(number.value > 0.0 && number.value <= MOST_SERVINGS) {
        let what = format!("“servings_a_day” is above 0, and at most {MOST_SERVINGS}");
        let hint = "leave it out, and the pace of the last two weeks tells";
        book.report(number.problem(what).hint(hint));
    }
    Some(number.value)
}

/// Reads the names of the meals of a day; empty where the file names none.
fn read_meals(book: &mut StrictTable<'_>) -> Vec<String> {
    let meals = book.texts("meals");
    let odd = |name: &String| name.trim() != name || name.is_empty() || name.contains(',');
    let twice = |(at, name): (usize, &String)| meals.iter().take(at).any(|other| other == name);
    if meals.iter().any(odd) || meals.iter().enumerate().any(twice) {
        let what = "a meal has a name of its own, without a comma or a space at its ends";
        let problem = Problem::at(book.place().clone(), what);
        book.report(problem.hint("such as meals = [\"breakfast\", \"lunch\", \"supper\"]"));
    }
    meals
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notebook::Eczema;

    /// The book of a household with one child, with these lines.
    fn book(of_book: &str, of_child: &str) -> Result<Settings, Vec<Problem>> {
        let child = "[[child]]\nname = \"Wren\"\nborn = \"2026-03-02\"\n";
        let text = format!("{of_book}\n{child}{of_child}\n");
        Settings::parse(&SourceText::new("book.toml", text))
    }

    #[test]
    fn eczema_and_weeks_born_early_are_read() {
        let of = |lines: &str| book("", lines).unwrap().children.remove(0);
        for (lines, eczema) in [
            ("", Eczema::None),
            ("eczema = false", Eczema::None),
            ("eczema = true", Eczema::Unspecified),
            ("eczema = \"mild\"", Eczema::Mild),
            ("eczema = \"moderate\"", Eczema::Moderate),
            ("eczema = \"severe\"", Eczema::Severe),
        ] {
            assert_eq!(of(lines).eczema, eczema, "{lines}");
        }
        assert_eq!(of("").weeks_early, None);
        assert_eq!(of("weeks_early = 0").weeks_early, Some(0));
        assert_eq!(of("weeks_early = 17").weeks_early, Some(17));
    }

    #[test]
    fn the_waiting_rule_is_read() {
        let of = |lines: &str| book(lines, "").unwrap();
        assert_eq!((of("").waiting, of("").waiting_days), (WaitAfter::All, 4));
        assert_eq!(of("waiting = \"all\"").waiting, WaitAfter::All);
        assert_eq!(of("waiting = \"allergens\"").waiting, WaitAfter::Allergens);
    }

    #[test]
    fn a_wrong_value_is_named_with_its_place_and_the_nearest_known_one() {
        for (of_book, of_child, expected) in [
            (
                "",
                "eczema = \"sever\"",
                "book.toml:5:10: “sever” is not a value of “eczema” (did you mean “severe”? The values are false, true, mild, moderate, severe)",
            ),
            (
                "",
                "eczema = 2",
                "book.toml:5:10: “eczema” of a child must be true, false, \"mild\", \"moderate\" or \"severe\"",
            ),
            (
                "",
                "weeks_early = 18",
                "book.toml:5:15: “weeks_early” is 0 to 17",
            ),
            (
                "",
                "weeks_early = 4.5",
                "book.toml:5:15: “weeks_early” of a child must be a whole number, zero or more",
            ),
            (
                "",
                "weeks_erly = 4",
                "book.toml:5:1: “weeks_erly” is not a key of a child (did you mean “weeks_early”?)",
            ),
            (
                "",
                "allergies = [\"egg\", \"penut\"]",
                "book.toml:5:13: “penut” is no food, so nothing would be stopped for it (did you mean “peanut”?)",
            ),
            (
                "",
                "allergies = [\" \"]",
                "book.toml:5:13: an allergy without a name",
            ),
            (
                "waiting = \"alergens\"",
                "",
                "book.toml:1:11: “alergens” is not a value of “waiting” (did you mean “allergens”? The values are all, allergens)",
            ),
            (
                "waiting = true",
                "",
                "book.toml:1:11: “waiting” of a book must be a text in quotes",
            ),
            (
                "waiting_days = 2",
                "",
                "book.toml:1:16: “waiting_days” is 3 to 7",
            ),
        ] {
            let problems = book(of_book, of_child).unwrap_err();
            let shown: Vec<_> = problems.iter().map(ToString::to_string).collect();
            assert_eq!(shown, [expected]);
        }
    }
}
