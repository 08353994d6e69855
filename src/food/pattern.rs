//! Patterns over a food's group, id, name and fat: how the tables of cooking classes, hazards and allergens say which
//! foods a row is about.

use std::ops::Range;

use data_import::reference::TableRow;
use data_import::{Food, NutrientId, group_name};

/// Group of foods that no rule about groups knows: own foods and packets, which are judged by their names alone.
const UNGROUPED: &str = "own food";
/// Group of branded packets in FoodData Central, which says nothing about what is in them.
const BRANDED: &str = "4500";

/// Before a phrase of a table that is a whole word.
const WHOLE: char = '=';

/// A food as patterns look at it.
#[derive(Debug)]
pub struct DescribedFood<'a> {
    food: &'a Food,
    /// Its name in lower case.
    name: String,
    /// Its group; [`UNGROUPED`] where that says nothing about what it is.
    group: &'a str,
}

impl<'a> DescribedFood<'a> {
    /// Describes a food.
    pub fn of(food: &'a Food) -> Self {
        Self {
            food,
            name: food.name.to_lowercase(),
            group: group_of(food),
        }
    }

    /// Its name in lower case.
    pub fn name(&self) -> &str {
        &self.name
    }
}

/// What the phrases of `has` stand for, and so how a name can take them back.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
enum Sense {
    /// The words of a name as they are.
    #[default]
    Plain,
    /// An ingredient, which a name may say is left out: `egg-free`.
    Ingredient,
    /// A hazard, which a name may deny: `without honey`, `honey-free`.
    Hazard,
}

/// A set of conditions that must all hold; an empty one always holds.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Pattern {
    groups: Vec<&'static str>,
    ids: Vec<&'static str>,
    starts: Vec<&'static str>,
    not_starts: Vec<&'static str>,
    has: Vec<&'static str>,
    also: Vec<&'static str>,
    lacks: Vec<&'static str>,
    /// Phrases in which a phrase of `has` stands for something else: `peanut butter`.
    aside: Vec<&'static str>,
    sense: Sense,
    fat_below: Option<f64>,
    fat_from: Option<f64>,
}

impl Pattern {
    /// Reads the columns `groups`, `ids`, `starts`, `not_starts`, `has`, `also`, `lacks`, `aside` (alternatives joined by `|`),
    /// `fat_below` and `fat_from` (grams of fat per 100 g) of a table's row. Of `has`, `also` and `lacks`, a phrase fits where a word
    /// begins, and one after `=` as a whole word or its plural.
    ///
    /// Errors: an amount of fat that is not a number.
    pub fn of_row(row: TableRow<'_>) -> Result<Self, String> {
        let list = |column: &str| row.alternatives(column).collect();
        Ok(Self {
            groups: list("groups"),
            ids: list("ids"),
            starts: list("starts"),
            not_starts: list("not_starts"),
            has: list("has"),
            also: list("also"),
            lacks: list("lacks"),
            aside: list("aside"),
            sense: Sense::Plain,
            fat_below: row.number("fat_below")?,
            fat_from: row.number("fat_from")?,
        })
    }

    /// As [`Pattern::of_row`], where `has` names an ingredient: a word of a name that says it is left out does not count.
    pub fn of_ingredient(row: TableRow<'_>) -> Result<Self, String> {
        Ok(Self {
            sense: Sense::Ingredient,
            ..Self::of_row(row)?
        })
    }

    /// As [`Pattern::of_row`], where `has` names a hazard: a word of a name that says there is none of it does not count.
    pub fn of_hazard(row: TableRow<'_>) -> Result<Self, String> {
        Ok(Self {
            sense: Sense::Hazard,
            ..Self::of_row(row)?
        })
    }

    /// Whether the food meets every condition. A caller that asks many patterns about one food describes it once and asks
    /// [`Pattern::fits`].
    pub fn matches(&self, food: &Food) -> bool {
        self.fits(&DescribedFood::of(food))
    }

    /// Whether the food that is described meets every condition.
    pub fn fits(&self, food: &DescribedFood<'_>) -> bool {
        let called = || match food.group {
            UNGROUPED => self.is_called_or_in_part(&food.name),
            _ => self.is_called(&food.name),
        };
        self.is_of_its_kind(food.food, food.group) && called()
    }

    /// The groups of which a food must be one.
    pub fn groups(&self) -> impl Iterator<Item = &str> {
        self.groups.iter().copied()
    }

    /// The beginnings of words of which a name must have one.
    pub fn beginnings(&self) -> impl Iterator<Item = &str> {
        self.has.iter().copied()
    }

    /// Whether words for a food of which nothing else is known, in lower case, meet every condition.
    pub fn fits_words(&self, words: &str) -> bool {
        let is_known_by_its_name =
            self.ids.is_empty() && self.fat_below.is_none() && self.fat_from.is_none();
        is_known_by_its_name
            && any(&self.groups, |one| one == UNGROUPED)
            && self.is_called_or_in_part(words)
    }

    /// Whether the food meets the conditions about its group, its id and its fat.
    fn is_of_its_kind(&self, food: &Food, group: &str) -> bool {
        let fat = || food.composition.get(NutrientId::FAT);
        any(&self.groups, |one| one == group)
            && any(&self.ids, |id| food.id.as_str() == id)
            && self
                .fat_below
                .is_none_or(|limit| fat().is_some_and(|fat| fat < limit))
            && self
                .fat_from
                .is_none_or(|limit| fat().is_some_and(|fat| fat >= limit))
    }

    /// Whether a name, in lower case, meets the conditions about names.
    fn is_called(&self, name: &str) -> bool {
        let begins = |start: &&str| name.starts_with(start);
        any(&self.starts, |start| name.starts_with(start))
            && !self.not_starts.iter().any(begins)
            && any(&self.has, |phrase| self.tells_of(name, phrase))
            && any(&self.also, |phrase| has_phrase(name, phrase))
            && !self.lacks.iter().any(|phrase| has_phrase(name, phrase))
    }

    /// Whether a name of no known group, in lower case, meets the conditions, or one of the foods that it names does: in
    /// `honeydew with honey` the first word must not hide the last.
    fn is_called_or_in_part(&self, name: &str) -> bool {
        self.is_called(name)
            || self.sense != Sense::Plain
                && !self.has.is_empty()
                && parts_of_name(name).any(|part| self.is_called(part))
    }

    /// Whether a phrase of `has` stands in a name, in lower case, and means there what it says.
    fn tells_of(&self, name: &str, phrase: &str) -> bool {
        if self.aside.is_empty() && self.sense == Sense::Plain {
            return has_phrase(name, phrase);
        }
        let is_aside = |at: usize| {
            let mut aside = self.aside.iter().flat_map(|one| places(name, one));
            aside.any(|place| place.contains(&at))
        };
        let is_left_out = |place: &Range<usize>| {
            self.sense != Sense::Plain && says_free(&name[place.end..])
                || self.sense == Sense::Hazard && is_denied(&name[..place.start])
        };
        places(name, phrase).any(|place| !is_aside(place.start) && !is_left_out(&place))
    }
}

/// Whether one of the alternatives holds; where there are none, nothing is asked.
fn any(alternatives: &[&str], holds: impl Fn(&str) -> bool) -> bool {
    alternatives.is_empty() || alternatives.iter().any(|one| holds(one))
}

/// The food's group, or [`UNGROUPED`] where its group says nothing about what it is.
fn group_of(food: &Food) -> &str {
    if food.group == BRANDED || group_name(&food.group).is_none() {
        UNGROUPED
    } else {
        &food.group
    }
}

/// Whether a phrase of a table stands in a name, in lower case: where a word begins, or after `=` as a whole word or its plural.
fn has_phrase(name: &str, phrase: &str) -> bool {
    if phrase.starts_with(WHOLE) {
        places(name, phrase).next().is_some()
    } else {
        begins_a_word(name, phrase)
    }
}

/// Where a phrase of a table stands in a name; see [`has_phrase`].
fn places(name: &str, phrase: &str) -> impl Iterator<Item = Range<usize>> {
    let (word, is_whole) = match phrase.strip_prefix(WHOLE) {
        Some(word) => (word, true),
        None => (phrase, false),
    };
    let begins = move |at: usize| !name[..at].ends_with(char::is_alphanumeric);
    let ends = move |at: usize| {
        let after = &name[at..];
        !(after.strip_prefix('s').unwrap_or(after)).starts_with(char::is_alphanumeric)
    };
    name.match_indices(word)
        .map(move |(at, _)| at..at + word.len())
        .filter(move |place| begins(place.start) && (!is_whole || ends(place.end)))
}

/// Whether what follows the beginning of a word says that there is none of it: the rest of `milk-free`, but not of `eggs, free range`.
fn says_free(after: &str) -> bool {
    const SAYS_MORE: [&str; 4] = ["range", "run", "from", "of"];
    let after = after.trim_start_matches(char::is_alphanumeric);
    let free = after.strip_prefix([' ', '-']).unwrap_or("");
    let Some(next) = free.strip_prefix("free") else {
        return false;
    };
    let more = next.trim_start_matches([' ', '-']);
    !next.starts_with(char::is_alphanumeric) && !SAYS_MORE.iter().any(|one| more.starts_with(one))
}

/// Whether what stands before a word says that there is none of it: `without` honey.
fn is_denied(before: &str) -> bool {
    const DENIALS: [&str; 5] = ["no", "no added", "without", "free of", "free from"];
    let Some(before) = before.strip_suffix(' ') else {
        return false;
    };
    DENIALS.iter().any(|denial| {
        let rest = before.strip_suffix(denial);
        rest.is_some_and(|rest| !rest.ends_with(char::is_alphanumeric))
    })
}

/// The foods that a name joins: `honeydew` and `honey` of `honeydew with honey`; none where it names one alone.
fn parts_of_name(name: &str) -> impl Iterator<Item = &str> {
    const JOINTS: [&str; 6] = [" and ", " with ", " & ", " + ", " on ", "; "];
    let mut parts = vec![name];
    for joint in JOINTS {
        parts = parts
            .into_iter()
            .flat_map(|part| part.split(joint))
            .collect();
    }
    let joined = parts.len() > 1;
    parts.into_iter().filter(move |_| joined).map(str::trim)
}

/// Whether `phrase` stands in `name` with no letter or digit right before it.
pub fn begins_a_word(name: &str, phrase: &str) -> bool {
    // Names are short, and many phrases are asked for: to set up a search for each would take longer than to look at every letter.
    let Some(first) = phrase.bytes().next() else {
        return true;
    };
    let begins = |at: usize| {
        name.get(..at)
            .and_then(|before| before.chars().next_back())
            .is_none_or(|c| !c.is_alphanumeric())
    };
    let is_at = |at: usize| name.as_bytes()[at..].starts_with(phrase.as_bytes()) && begins(at);
    let starts = name.bytes().zip(0..).filter(|(byte, _)| *byte == first);
    starts.map(|(_, at)| at).any(is_at)
}

/// Whether a word of a lower-cased name is this one, or its plural.
pub fn has_whole_word(name: &str, word: &str) -> bool {
    let mut words = name.split(|c: char| !c.is_alphanumeric());
    words.any(|one| one.strip_suffix('s').unwrap_or(one) == word || one == word)
}

#[cfg(test)]
mod tests {
    use super::*;
    use data_import::reference;

    #[test]
    fn a_phrase_counts_only_where_a_word_begins() {
        assert!(begins_a_word("beans, snap, green", "green"));
        assert!(begins_a_word("lentils, raw", "lentil"));
        assert!(!begins_a_word("eggplant, raw", "plant"));
        assert!(begins_a_word("soup (beef)", "beef"));
        assert!(!begins_a_word("cashew", "hew"));
        assert!(!begins_a_word("crème brûlée", "ûlée"));
        assert!(begins_a_word("purée, brûlée", "brûlé"));
        assert!(begins_a_word("anything", ""));
    }

    #[test]
    fn an_ingredient_counts_where_a_name_says_that_it_is_there() {
        let table = "has,lacks,aside\nmilk|=ale|egg,vegan,oat milk|ale vinegar\n";
        let rows = reference::try_read_rows("a table", table, Pattern::of_ingredient).unwrap();
        let is_in = |name: &str| rows[0].fits_words(name);
        for name in [
            "milk",
            "milkshake",
            "oat milk and milk",
            "pie with ale",
            "brown ales",
            "eggs, free range",
            "eggs free range",
            "egg free from the farm",
        ] {
            assert!(is_in(name), "{name}");
        }
        for name in [
            "oat milk",
            "oat milkshake",
            "milk free spread",
            "milk-free",
            "eggs-free noodles",
            "kale",
            "alewife",
            "ale vinegar",
            "vegan milk",
        ] {
            assert!(!is_in(name), "{name}");
        }
        let plain = reference::try_read_rows("a table", table, Pattern::of_row).unwrap();
        assert!(plain[0].fits_words("milk free spread"));
    }

    #[test]
    fn the_alternatives_of_a_column_are_parted() {
        let table = "has,lacks\nrice | barley,\n";
        let patterns = reference::try_read_rows("a table", table, Pattern::of_row).unwrap();
        assert_eq!(patterns[0].has, ["rice", "barley"]);
        assert!(patterns[0].lacks.is_empty());
    }
}
