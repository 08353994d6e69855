//! New foods: one new allergen at a time, the household's days of waiting, and who asks before the
//! first peanut.

use std::collections::{BTreeMap, BTreeSet};

use data_import::Food;
use jiff::ToSpan as _;
use jiff::civil::Date;

use super::allergens::AllergenTable;
use super::allergy_words::{Meaning, meanings};
use super::child::{ChildFacts, Tasted, WaitAfter};
use super::judge::{Case, ids, names};
use super::objection::{Objection, Severity};
use super::portion::Portion;
use super::reactions::{DANGER_SIGNS, EMERGENCY_NUMBERS, tells_of_reaction};
use crate::food::{same_food, short_name};
use crate::nutrition::AgeMonths;
use crate::words;

/// The hazard of an allergen that comes for the first time.
pub(super) const FIRST_TIME: &str = "allergen-first";
/// The hazard of new foods sooner one after another than the household waits.
pub(super) const NEW_FOODS: &str = "new-foods";
/// The allergen that some children are seen for before they taste it.
const PEANUT: &str = "peanut";
/// Older children eat from the family table (our own limit).
const OLDEST: AgeMonths = AgeMonths(59);
/// Who advises how a major allergen is brought in.
const FIRST_TIME_SOURCE: &str = "NIAID, Addendum guidelines for the prevention of peanut allergy, 2017; EAACI, Preventing food allergy, 2020";
/// Foods that are no taste: water, and breast milk.
const NO_TASTE: [&str; 5] = [
    "beverages, water",
    "water, bottled",
    "water, tap",
    "milk, human",
    "water, non",
];

/// Objections about foods that the child does not know. Without a record of what it knows there are
/// none.
pub(super) fn objections(
    case: &Case<'_>,
    age: AgeMonths,
    allergens: &AllergenTable,
) -> Vec<Objection> {
    let Some(tasted) = case
        .child
        .tasted
        .as_ref()
        .filter(|_| is_brought_new_foods(age))
    else {
        return Vec::new();
    };
    let new: Vec<&Portion> = case
        .portions
        .iter()
        .filter(|one| is_new(one, tasted, case.day))
        .collect();
    if new.is_empty() {
        return Vec::new();
    }
    // How to begin with an allergen is no advice for a child who is allergic to it.
    let on_record = major_allergies(&case.child.allergies);
    let mut first: BTreeMap<&str, Vec<&Portion>> = BTreeMap::new();
    for portion in &new {
        let unknown = allergens.of(&portion.food).filter(|allergen| {
            let known = tasted.allergens.get(*allergen);
            known.is_none_or(|first| *first > case.day) && !on_record.contains(allergen)
        });
        for allergen in unknown {
            first.entry(allergen).or_default().push(portion);
        }
    }
    let mut found = Vec::new();
    found.extend(ask_first(case, &first));
    found.extend(after_reaction(case, &first));
    found.extend(two_at_once(case, tasted, &first));
    found.extend(first_time(case, &first));
    found.extend(too_soon(case, tasted, &new));
    found
}

fn is_new(portion: &Portion, tasted: &Tasted, day: Date) -> bool {
    let by_name = || tasted.names.get(&same_food(&portion.food.name));
    let known = tasted.foods.get(portion.food.id.as_str()).or_else(by_name);
    known.is_none_or(|first| *first > day) && is_taste(&portion.food.name)
}

/// Whether a food of this name can be a first taste: water and breast milk are none.
pub fn is_taste(name: &str) -> bool {
    let name = name.to_lowercase();
    !NO_TASTE.iter().any(|start| name.starts_with(start))
}

/// Whether a child of this age is brought new foods one at a time.
pub fn is_brought_new_foods(age: AgeMonths) -> bool {
    age <= OLDEST
}

/// The major allergens among allergies in the household's words.
pub(super) fn major_allergies(allergies: &[String]) -> BTreeSet<&'static str> {
    let meant = allergies.iter().flat_map(|one| meanings(one));
    let majors = meant.filter_map(|one| match one {
        Meaning::Major(major) => Some(major),
        _ => None,
    });
    majors.collect()
}

/// Peanut for a child who is to be seen first.
fn ask_first(case: &Case<'_>, first: &BTreeMap<&str, Vec<&Portion>>) -> Option<Objection> {
    let peanuts = first.get(PEANUT)?;
    Some(Objection {
        foods: ids(peanuts),
        names: names(peanuts),
        ..before_peanut(case.child)?
    })
}

/// What is to be asked before the first peanut of a child with severe eczema or an egg allergy;
/// `None` for any other child, and where peanut was eaten.
pub(super) fn before_peanut(child: &ChildFacts) -> Option<Objection> {
    let mut allergies = child.allergies.iter();
    let egg = allergies.any(|one| meanings(one).contains(&Meaning::Major("egg")));
    let tasted = child.tasted.as_ref();
    let eaten = tasted.is_some_and(|tasted| tasted.allergens.contains_key(PEANUT));
    ((child.severe_eczema || egg) && !eaten).then(|| Objection {
        hazard: "ask-first-allergen".into(),
        severity: Severity::Warn,
        child: child.name.clone(),
        foods: Vec::new(),
        names: Vec::new(),
        text: "Severe eczema or egg allergy: ask before the first peanut, and ask soon.".into(),
        instead: "Call the paediatrician; peanut is not to be put off for long.".into(),
        source: "NIAID, Addendum guidelines for the prevention of peanut allergy, 2017".into(),
    })
}

/// A new allergen while a reaction is open: a second one could not be told from the first.
fn after_reaction(case: &Case<'_>, first: &BTreeMap<&str, Vec<&Portion>>) -> Option<Objection> {
    if first.is_empty() || tells_of_reaction(case.seen) {
        return None;
    }
    let reactions = &case.child.reactions;
    let open = reactions.first()?;
    // After a meal of several foods none of them alone is known to be the cause.
    let of_meal = reactions.iter().filter(|other| other.day == open.day);
    let after = match of_meal.count() {
        1 => short_name(&open.name),
        foods => format!("a meal of {foods} foods on {}", words::day(open.day)),
    };
    let all: Vec<&str> = first.keys().copied().collect();
    let concerned: Vec<&Portion> = first.values().flatten().copied().collect();
    Some(objection(
        case,
        ("allergen-after-reaction", Severity::Warn),
        &concerned,
        format!(
            "A reaction after {after} is not cleared yet: ask your paediatrician before a new allergen ({}).",
            all.join(", ")
        ),
        (
            "Foods that are known already; record it here once the doctor has cleared it.",
            "common practice, no source",
        ),
    ))
}

/// Two new allergens in a meal, or on its day.
fn two_at_once(
    case: &Case<'_>,
    tasted: &Tasted,
    first: &BTreeMap<&str, Vec<&Portion>>,
) -> Option<Objection> {
    let earlier = tasted.allergens.iter().filter(|(_, day)| **day == case.day);
    let mut all: Vec<&str> = first.keys().copied().collect();
    if all.is_empty() {
        return None;
    }
    all.extend(earlier.map(|(allergen, _)| allergen.as_str()));
    if all.len() < 2 {
        return None;
    }
    let concerned: Vec<&Portion> = first.values().flatten().copied().collect();
    Some(objection(
        case,
        ("two-new-allergens", Severity::Warn),
        &concerned,
        format!(
            "Several new allergens on one day: {}. One at a time.",
            all.join(", ")
        ),
        (
            "Keep the others for another day.",
            "NHS, Food allergies in babies and young children; Health Canada, two days apart; both from memory",
        ),
    ))
}

/// The first time of an allergen.
fn first_time(case: &Case<'_>, first: &BTreeMap<&str, Vec<&Portion>>) -> Option<Objection> {
    // Once something was noted, it is too late for how to begin.
    if first.is_empty() || tells_of_reaction(case.seen) {
        return None;
    }
    let all: Vec<&str> = first.keys().copied().collect();
    let concerned: Vec<&Portion> = first.values().flatten().copied().collect();
    Some(objection(
        case,
        (FIRST_TIME, Severity::Mind),
        &concerned,
        format!(
            "First time for {}: a little, in the morning, at home, and watch for two hours. For {DANGER_SIGNS} call \
             the emergency number ({EMERGENCY_NUMBERS}) at once.",
            all.join(", ")
        ),
        (
            "Once it goes well, keep it up about weekly.",
            FIRST_TIME_SOURCE,
        ),
    ))
}

/// The first time of a food's allergens, for a page about the food itself.
pub(super) fn major_allergen(food: &Food, allergens: &[&str]) -> Objection {
    Objection {
        hazard: FIRST_TIME.into(),
        severity: Severity::Mind,
        child: String::new(),
        foods: vec![food.id.to_string()],
        names: vec![food.name.clone()],
        text: format!(
            "A major allergen ({}): the first time a little, in the morning, at home, and watch for two hours.",
            allergens.join(", ")
        ),
        instead: "Once it goes well, keep it up about weekly.".into(),
        source: FIRST_TIME_SOURCE.into(),
    }
}

/// Several new foods at once, or one before the days of waiting are over.
fn too_soon(case: &Case<'_>, tasted: &Tasted, new: &[&Portion]) -> Option<Objection> {
    let waiting = case.child.waiting;
    let firsts = match waiting.after {
        WaitAfter::All => &tasted.foods,
        WaitAfter::Allergens => &tasted.allergens,
    };
    let last = firsts.values().filter(|first| **first <= case.day).max();
    let free = last.map(|last| last.saturating_add(i64::from(waiting.days).days()));
    let free = free.filter(|free| *free > case.day);
    let called = names(new);
    let at_once = called.len() > 1 && waiting.after == WaitAfter::All;
    let text = match free {
        Some(free) => format!(
            "New, and the last new {} is not {} days ago: better from {} on.",
            match waiting.after {
                WaitAfter::All => "food",
                WaitAfter::Allergens => "allergen",
            },
            waiting.days,
            words::day(free)
        ),
        None if at_once => format!(
            "{} foods are new at once. One at a time, {} days apart: a reaction is then easy to place.",
            called.len(),
            waiting.days
        ),
        None => return None,
    };
    Some(objection(
        case,
        (NEW_FOODS, Severity::Mind),
        new,
        text,
        (
            "Foods that are known already.",
            "CDC and American Academy of Pediatrics: 3 to 5 days between new foods; the days are those of your book",
        ),
    ))
}

fn objection(
    case: &Case<'_>,
    (hazard, severity): (&str, Severity),
    concerned: &[&Portion],
    text: String,
    (instead, source): (&str, &str),
) -> Objection {
    Objection {
        hazard: hazard.into(),
        severity,
        child: case.child.name.clone(),
        foods: ids(concerned),
        names: names(concerned),
        text,
        instead: instead.into(),
        source: source.into(),
    }
}
