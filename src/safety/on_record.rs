//! What the child's own record says against foods: allergies, reactions that no doctor has cleared, an early birth.

use super::allergens::AllergenTable;
use super::judge::{Case, UNKNOWN_AGE, ids, names};
use super::objection::{Objection, Severity};
use super::portion::Portion;

use crate::words;

/// The hazard of a food after which something was noted.
pub(super) const NOTED: &str = "reaction-before";
/// Born before 37 weeks is four weeks early and more (WHO, Preterm birth, fact sheet, 2023).
const PRETERM_WEEKS: u32 = 4;
/// From this age on, an early birth no longer decides when to start (our own limit).
const STARTED_MONTHS: u16 = 8;

/// Objections from what is on record.
pub(super) fn objections(case: &Case<'_>, allergens: &AllergenTable) -> Vec<Objection> {
    let mut found: Vec<Objection> = Vec::new();
    found.extend(allergies(case, allergens));
    found.extend(reactions(case));
    found.extend(born_early(case));
    found
}

fn allergies(case: &Case<'_>, allergens: &AllergenTable) -> Option<Objection> {
    let child = case.child;
    let held = |portion: &&Portion| {
        let mut known = child.allergies.iter();
        known.any(|allergy| allergens.holds(&portion.food, allergy))
    };
    let concerned: Vec<&Portion> = case.portions.iter().filter(held).collect();
    if concerned.is_empty() {
        return None;
    }
    let met = child.allergies.iter().filter(|allergy| {
        let mut foods = concerned.iter();
        foods.any(|portion| allergens.holds(&portion.food, allergy))
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

fn reactions(case: &Case<'_>) -> Vec<Objection> {
    let mut found: Vec<Objection> = Vec::new();
    for reaction in &case.child.reactions {
        let of_it = |portion: &&Portion| portion.food.id.as_str() == reaction.food;
        let Some(portion) = case.portions.iter().find(of_it) else {
            continue;
        };
        let text = format!(
            "On {} you noted for {}: {}. Ask your paediatrician before it is offered again.",
            words::day(reaction.day),
            case.child.name,
            reaction.words
        );
        if let Some(known) = found.iter_mut().find(|one| one.text == text) {
            known.foods.push(reaction.food.clone());
            known.names.push(portion.food.name.clone());
            continue;
        }
        found.push(Objection {
            hazard: NOTED.into(),
            severity: Severity::Block,
            child: case.child.name.clone(),
            foods: vec![reaction.food.clone()],
            names: vec![portion.food.name.clone()],
            text,
            instead: "Another food; record it here once the doctor has cleared this one.".into(),
            source: "your own record".into(),
        });
    }
    found
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
