//! Finding recipes, meals and other named items: the one that is meant where less than the whole
//! name was written. A misspelling is offered the nearest names and never taken.

use crate::problem::{Problem, edit_distance};
use crate::words::{joined, quoted};

/// The most names that are listed; more are counted.
const MOST_LISTED: usize = 24;

/// The most names that are offered in place of one that fits several.
const MOST_OFFERED: usize = 3;

/// Something with a name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Named {
    /// The name, which is unique.
    pub name: String,
    /// The title; empty where it has none.
    pub title: String,
}

impl From<&str> for Named {
    fn from(name: &str) -> Self {
        Self {
            name: name.to_string(),
            title: String::new(),
        }
    }
}

/// The item to which a name was resolved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// The name in full.
    pub name: String,
    /// How the written words were understood, where they were not the name or title in full.
    pub taken_as: Option<String>,
}

impl Found {
    /// The name exactly as it was written.
    pub fn exactly(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            taken_as: None,
        }
    }

    /// `written` understood as a name.
    pub fn taken(written: &str, name: &str) -> Self {
        Self {
            name: name.to_string(),
            taken_as: Some(format!("“{written}” was taken as {name}")),
        }
    }
}

/// The item that is meant: by its name, or by its name or title without regard to case, blanks and
/// hyphens; else the only one that begins with these words, or has all of them.
///
/// Errors: several fit, or none does; the nearest are named.
pub fn find(kind: &str, written: &str, known: &[Named]) -> Result<Found, Problem> {
    if known.iter().any(|named| named.name == written) {
        return Ok(Found::exactly(written));
    }
    let words = words(written.trim_end_matches(".toml"));
    let asked = words.concat();
    let whole = |text: &str| letters(text) == asked;
    let begins = |text: &str| letters(text).starts_with(&asked);
    let naming: Vec<&String> = words.iter().filter(|word| !joins(word)).collect();
    let has_words = |named: &Named| {
        let words = self::words(&format!("{} {}", named.name, named.title));
        !naming.is_empty() && naming.iter().all(|word| words.contains(word))
    };
    let that = |fits: &dyn Fn(&Named) -> bool| names_of(known.iter().filter(|named| fits(named)));
    let full = that(&|named| whole(&named.name) || whole(&named.title));
    let part = that(&|named| begins(&named.name) || begins(&named.title) || has_words(named));
    match (asked.is_empty(), full.as_slice(), part.as_slice()) {
        (false, [name], _) => Ok(Found::exactly(*name)),
        (false, [], [name]) => Ok(Found::taken(written, name)),
        (true, ..) | (_, [], []) => Err(unknown(kind, written, known)),
        (_, [], several) | (_, several, _) => Err(several_fit(kind, written, several)),
    }
}

fn several_fit(kind: &str, written: &str, several: &[&str]) -> Problem {
    let what = format!("“{written}” fits more than one {kind}");
    let problem = Problem::new(what).hint(format!("write which: {}", listed(several)));
    offered(problem, written, several)
}

/// The one name that is written in full, if not letter by letter then but for case.
///
/// Errors: two names differ in no more than that, or there is no such name.
pub fn in_full<'a>(
    kind: &str,
    written: &str,
    known: impl Iterator<Item = &'a str> + Clone,
) -> Result<&'a str, Problem> {
    let lower = written.to_lowercase();
    if let Some(name) = known.clone().find(|name| *name == written) {
        return Ok(name);
    }
    let like: Vec<&str> = known
        .clone()
        .filter(|name| name.to_lowercase() == lower)
        .collect();
    match like.as_slice() {
        [name] => Ok(name),
        [] => {
            let known: Vec<Named> = known.map(Named::from).collect();
            Err(unknown(kind, written, &known))
        }
        several => Err(several_fit(kind, written, several)),
    }
}

/// Whether something has these words as a part of its name or title.
pub fn is_part_of_one(written: &str, known: &[Named]) -> bool {
    let asked = words(written);
    let has = |named: &Named| {
        let words = words(&format!("{} {}", named.name, named.title));
        asked.iter().all(|word| words.contains(word))
    };
    !asked.is_empty() && known.iter().any(has)
}

/// The problem that nothing has this name, with the nearest known name.
pub fn unknown(kind: &str, written: &str, known: &[Named]) -> Problem {
    let problem = Problem::new(format!("there is no {kind} called “{written}”"));
    match near(written, known).as_slice() {
        [] if known.is_empty() => problem,
        [] => problem.hint(format!("choose from {}", listed(&names_of(known)))),
        [name] => problem
            .hint(format!("did you mean “{name}”?"))
            .meant(written, name),
        several => {
            let all = joined(several.iter().map(quoted), " or ");
            let problem = problem.hint(format!("did you mean {all}?"));
            offered(problem, written, several)
        }
    }
}

/// Offers the first of the names that could be meant.
fn offered(problem: Problem, written: &str, names: &[&str]) -> Problem {
    let names = names.iter().take(MOST_OFFERED);
    names.fold(problem, |problem, name| problem.meant(written, name))
}

/// The known names that are a typing mistake away from this one, or whose words it misspells.
fn near<'a>(written: &str, known: &'a [Named]) -> Vec<&'a str> {
    let asked_words = words(written.trim_end_matches(".toml"));
    let asked = asked_words.concat();
    // At least one letter is right.
    let most = |length: usize, asked: &str| (length / 3).max(1).min(asked.chars().count() - 1);
    let slips = |text: &str, whole: bool| {
        let all = letters(text);
        let length = if whole {
            usize::MAX
        } else {
            asked.chars().count()
        };
        let text: String = all.chars().take(length).collect();
        let slips = edit_distance(&asked, &text);
        let longer = asked.chars().count().max(text.chars().count());
        Some(slips).filter(|slips| *slips <= most(longer, &asked))
    };
    let misspelt = |named: &Named| {
        let of_name = words(&format!("{} {}", named.name, named.title));
        let slips = asked_words.iter().map(|word| {
            let slips = of_name
                .iter()
                .map(|known| edit_distance(word, known))
                .min()?;
            Some(slips).filter(|slips| *slips <= most(word.chars().count(), word))
        });
        slips.sum::<Option<usize>>()
    };
    if asked.is_empty() {
        return Vec::new();
    }
    // A name in full comes before a beginning, and that before words in it.
    let score = |named: &Named| {
        let texts = || {
            [&named.name, &named.title]
                .into_iter()
                .filter(|text| !text.is_empty())
        };
        let of = |whole| texts().filter_map(|text| slips(text, whole)).min();
        let full = of(true).map(|slips| (0, slips));
        full.or_else(|| Some((1, of(false)?)))
            .or_else(|| Some((2, misspelt(named)?)))
    };
    let best = known.iter().filter_map(score).min();
    let nearest = known
        .iter()
        .filter(|named| best.is_some() && score(named) == best);
    names_of(nearest)
}

fn names_of<'a>(known: impl IntoIterator<Item = &'a Named>) -> Vec<&'a str> {
    let mut names: Vec<_> = known.into_iter().map(|named| named.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    names
}

fn listed(names: &[&str]) -> String {
    let shown = names.iter().take(MOST_LISTED).copied();
    let shown = shown.collect::<Vec<_>>().join(", ");
    match names.len().saturating_sub(MOST_LISTED) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

/// Whether a word only joins others: `chicken and sweet potato` is chicken-sweet-potato.
fn joins(word: &str) -> bool {
    matches!(word, "and" | "with" | "of" | "the")
}

/// Letters and digits alone, in lower case.
fn letters(text: &str) -> String {
    words(text).concat()
}

fn words(text: &str) -> Vec<String> {
    let lower = text.to_lowercase();
    let words = lower.split(|c: char| !c.is_alphanumeric());
    let words = words.filter(|word| !word.is_empty());
    words.map(String::from).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known() -> Vec<Named> {
        let named = |(name, title): (&str, &str)| Named {
            name: name.into(),
            title: title.into(),
        };
        [
            ("oat", "Oat porridge"),
            ("oat-prune", "Oat, prune and apricot"),
            ("red-lentil-squash", "Red lentil and squash"),
            ("squash-2", "Butternut"),
        ]
        .map(named)
        .to_vec()
    }

    fn taken(written: &str) -> (String, bool) {
        let found = find("recipe", written, &known()).unwrap();
        (found.name, found.taken_as.is_some())
    }

    fn refused(written: &str) -> String {
        find("recipe", written, &known()).unwrap_err().to_string()
    }

    #[test]
    fn a_name_or_title_in_full_is_taken_without_a_word() {
        for (written, name) in [
            ("oat", "oat"),
            ("Red_Lentil Squash", "red-lentil-squash"),
            ("redlentilsquash.toml", "red-lentil-squash"),
            ("butternut", "squash-2"),
            ("oat prune AND apricot", "oat-prune"),
        ] {
            assert_eq!(taken(written), (name.into(), false), "{written}");
        }
    }

    #[test]
    fn a_beginning_or_words_that_one_alone_has_are_taken_and_stated() {
        for (written, name) in [
            ("red-l", "red-lentil-squash"),
            ("Butter", "squash-2"),
            ("squash lentil", "red-lentil-squash"),
            ("apricot", "oat-prune"),
            ("Oat po", "oat"),
        ] {
            assert_eq!(taken(written), (name.into(), true), "{written}");
        }
    }

    #[test]
    fn what_fits_several_is_refused_with_their_names() {
        let squash =
            "“squash” fits more than one recipe (write which: red-lentil-squash, squash-2)";
        assert_eq!(refused("squash"), squash);
        assert!(refused("o").contains("oat, oat-prune"));
    }

    #[test]
    fn a_misspelling_is_offered_and_never_taken() {
        for (written, near) in [
            ("red-lentil-sqash", "“red-lentil-squash”"),
            ("lentl", "“red-lentil-squash”"),
            ("red-lentl", "“red-lentil-squash”"),
            ("redlentl", "“red-lentil-squash”"),
            ("buternut", "“squash-2”"),
            ("oats", "“oat”"),
            ("sqush", "“squash-2”"),
            ("aprikot", "“oat-prune”"),
        ] {
            let refusal = refused(written);
            assert!(
                refusal.contains(&format!("did you mean {near}?")),
                "{refusal}"
            );
        }
        for nothing in ["", "--", "salmon"] {
            let refusal = refused(nothing);
            assert!(refusal.contains("choose from oat, oat-prune"), "{refusal}");
        }
    }
}
