//! Objections by the child's own record: allergies, reactions that no doctor has cleared, an early
//! birth.

use std::collections::BTreeSet;

use super::allergens::AllergenTable;
use super::child::{ChildFacts, NotedReaction};
use super::first_tastes::major_allergies;
use super::judge::{Case, UNKNOWN_AGE, ids, names};
use super::objection::{Objection, Severity};
use super::portion::Portion;
use super::related::shared;
use crate::food::short_name;
use crate::nutrition::wordings;
use crate::words;

/// The id of the hazard of a food after which a reaction was noted.
pub(super) const NOTED: &str = "reaction-before";
/// Beginnings of the names of the milks on which a baby lives.
const MILK_OF_INFANTS: [&str; 2] = ["infant formula", "milk, human"];
/// The least weeks early of a preterm birth, before 37 weeks (WHO, Preterm birth, fact sheet,
/// 2023).
const PRETERM_WEEKS: u32 = 4;
/// The age in months from which an early birth no longer decides when to start (judgement).
const STARTED_MONTHS: u16 = 8;

/// Objections from what is on record.
pub(super) fn objections(case: &Case<'_>, allergens: &AllergenTable) -> Vec<Objection> {
    let mut found: Vec<Objection> = Vec::new();
    found.extend(allergies(case, allergens));
    found.extend(reactions(case, allergens));
    found.extend(born_early(case));
    found
}

/// The major allergens that a child's record stops: those of an allergy, and those of a food after
/// which a reaction is open.
pub(super) fn stopped_allergens(child: &ChildFacts) -> BTreeSet<String> {
    let allergies = major_allergies(&child.allergies).into_iter();
    let reactions = child.reactions.iter().flat_map(|one| &one.allergens);
    allergies
        .map(String::from)
        .chain(reactions.cloned())
        .collect()
}

fn allergies(case: &Case<'_>, allergens: &AllergenTable) -> Option<Objection> {
    let child = case.child;
    let holds = |portion: &Portion, allergy: &str| {
        let mut words = wordings(&portion.typed);
        allergens.holds(&portion.food, allergy)
            || words.any(|words| allergens.holds_by_words(words, allergy))
    };
    let held = |portion: &&Portion| {
        let mut known = child.allergies.iter();
        known.any(|allergy| holds(portion, allergy))
    };
    let concerned: Vec<&Portion> = case.portions.iter().filter(held).collect();
    if concerned.is_empty() {
        return None;
    }
    let met = child.allergies.iter().filter(|allergy| {
        let mut foods = concerned.iter();
        foods.any(|portion| holds(portion, allergy))
    });
    let met: Vec<&str> = met.map(String::as_str).collect();
    Some(Objection {
        hazard: "allergy-record".into(),
        severity: Severity::Block,
        child: child.name.clone(),
        foods: ids(&concerned),
        names: names(&concerned),
        text: format!(
            "On record as an allergy of {} ({}): only as the paediatrician says.",
            child.name,
            met.join(", ")
        ),
        instead: "Leave it out; ask at the next visit.".into(),
        source: "your own record in book.toml".into(),
    })
}

/// The objections to foods after which a reaction was noted, and to every other food that may hold
/// the same.
fn reactions(case: &Case<'_>, allergens: &AllergenTable) -> Vec<Objection> {
    let mut found: Vec<Objection> = Vec::new();
    let portions = case.portions.iter();
    for new in portions.filter_map(|portion| reaction(case, portion, allergens)) {
        match found.iter_mut().find(|known| known.text == new.text) {
            None => found.push(new),
            Some(known) if new.foods.iter().all(|id| known.foods.contains(id)) => {}
            Some(known) => {
                known.foods.extend(new.foods);
                known.names.extend(new.names);
            }
        }
    }
    found
}

/// The objection by the reaction to this food; else by the last reaction to a food that may hold
/// the same, which is only a warning for a food that the child has eaten without a reaction.
fn reaction(case: &Case<'_>, portion: &Portion, allergens: &AllergenTable) -> Option<Objection> {
    let ChildFacts {
        name: child,
        reactions,
        tasted,
        ..
    } = case.child;
    let food = &portion.food;
    let id = food.id.as_str();
    let noted = |reaction: &NotedReaction, after: &str, ask: &str| {
        let day = words::day(reaction.day);
        let seen = &reaction.words;
        format!("After food of {day} you noted for {child}{after}: {seen}. {ask}")
    };
    let of_it = reactions.iter().find(|reaction| reaction.food == id);
    let cleared =
        |food: &str| format!("Another food; record it here once the doctor has cleared {food}.");
    let (severity, text, instead) = if let Some(of_it) = of_it {
        let ask = "Ask your paediatrician before it is offered again.";
        (Severity::Block, noted(of_it, "", ask), cleared("this one"))
    } else {
        let mut last_first = reactions.iter().rev();
        let (akin, held) =
            last_first.find_map(|reaction| Some((reaction, shared(food, reaction, allergens)?)))?;
        let eaten = tasted
            .as_ref()
            .is_some_and(|all| all.foods.contains_key(id));
        // A baby's own milk must not be left out before a doctor was asked.
        let called = food.name.to_lowercase();
        let is_its_milk = MILK_OF_INFANTS
            .iter()
            .any(|start| called.starts_with(start));
        let (severity, ask) = if eaten || is_its_milk {
            let ask = format!(
                "This may hold {held} too, though nothing was noted after it: ask your paediatrician."
            );
            (Severity::Warn, ask)
        } else {
            let ask =
                format!("This may hold {held} too: ask your paediatrician before it is offered.");
            (Severity::Block, ask)
        };
        let after = format!(" after {}", short_name(&akin.name));
        (
            severity,
            noted(akin, &after, &ask),
            cleared(&short_name(&akin.name)),
        )
    };
    Some(Objection {
        hazard: NOTED.into(),
        severity,
        child: child.clone(),
        foods: vec![id.to_string()],
        names: vec![food.name.clone()],
        text,
        instead,
        source: "your own record".into(),
    })
}

fn born_early(case: &Case<'_>) -> Option<Objection> {
    let child = case.child;
    let young = child.age.unwrap_or(UNKNOWN_AGE).0 < STARTED_MONTHS;
    (young && child.weeks_early >= PRETERM_WEEKS).then(|| Objection {
        hazard: "born-early".into(),
        severity: Severity::Mind,
        child: child.name.clone(),
        foods: Vec::new(),
        names: Vec::new(),
        text: "Born early: ask when to start and which age to count by.".into(),
        instead: "Write the question down for the visit.".into(),
        source: "HSE (Ireland), Weaning your premature baby; Bliss, Weaning your premature baby"
            .into(),
    })
}
