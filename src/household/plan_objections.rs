//! What stands against giving planned meals to a child.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::notebook::{Child, Slot, Taste, TasteRecord};
use crate::nutrition::{AgeMonths, ServedFood};
use crate::planning::facts::Facts;
use crate::planning::findings::planned_foods;
use crate::planning::rules::table::LIVER_FROM;

/// How grave an objection is, the gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Never at this age, or never this way.
    Block,
    /// To be known before.
    Warn,
    /// To be borne in mind.
    Mind,
}

/// Something that stands against giving foods to a child.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[expect(missing_docs, reason = "the keys of the JSON are the documentation")]
pub struct Objection {
    pub hazard: String,
    pub severity: Severity,
    pub child: String,
    pub foods: Vec<String>,
    pub text: String,
    pub instead: String,
    pub source: String,
}

/// What stands against giving these foods to a child of an age, whatever else is eaten that day.
pub(super) fn objections<'f>(
    (child, age, tastes): (&Child, AgeMonths, &TasteRecord),
    foods: impl IntoIterator<Item = &'f ServedFood>,
) -> Vec<Objection> {
    let mut found: Vec<Objection> = Vec::new();
    for food in foods {
        let all = [
            allergy(child, food),
            reaction(child, tastes, food),
            liver(child, age, food),
        ];
        for one in all.into_iter().flatten() {
            if !found.contains(&one) {
                found.push(one);
            }
        }
    }
    found.sort_by_key(|one| one.severity);
    found
}

fn allergy(child: &Child, food: &ServedFood) -> Option<Objection> {
    let on_record = |allergen: &&String| {
        let mut known = child.allergies.iter();
        known.any(|known| known.eq_ignore_ascii_case(allergen))
    };
    let allergen = food.allergens.iter().find(on_record)?;
    Some(Objection {
        hazard: "allergy-record".into(),
        severity: Severity::Block,
        child: child.name.clone(),
        foods: vec![food.id.to_string()],
        text: format!(
            "{} holds {allergen}, which is on record as an allergy of {}",
            food.name, child.name
        ),
        instead: "Give it only as the paediatrician says.".into(),
        source: "the book".into(),
    })
}

/// A food after which something was seen; that it was eaten or refused since clears nothing.
fn reaction(child: &Child, tastes: &TasteRecord, food: &ServedFood) -> Option<Objection> {
    let mut known = tastes.foods.iter();
    let taste: &Taste = known.find(|taste| taste.food == food.id.as_str())?;
    let (day, seen): &(Date, String) = taste.reactions.last()?;
    Some(Objection {
        hazard: "reaction-before".into(),
        severity: Severity::Block,
        child: child.name.clone(),
        foods: vec![food.id.to_string()],
        text: format!("after a meal with {} you noted on {day}: {seen}", food.name),
        instead: "Ask your paediatrician before it is offered again.".into(),
        source: "the book".into(),
    })
}

fn liver(child: &Child, age: AgeMonths, food: &ServedFood) -> Option<Objection> {
    (age.0 < LIVER_FROM && is_liver(&food.name)).then(|| Objection {
        hazard: "liver".into(),
        severity: Severity::Warn,
        child: child.name.clone(),
        foods: vec![food.id.to_string()],
        text: format!("{} is very rich in vitamin A", food.name),
        instead: "Before 12 months ask first; other meat brings iron as well.".into(),
        source: "IOM, Dietary Reference Intakes for Vitamin A and others, 2001 (upper level)"
            .into(),
    })
}

/// Whether a food is liver by its name.
pub(super) fn is_liver(name: &str) -> bool {
    let name = name.to_lowercase();
    ["liver", "braunschweiger", "foie gras"]
        .iter()
        .any(|word| name.contains(word))
}

/// Why a dish is kept off a child's plate: the gravest objection that is no mere thing to mind, by the key it goes by.
pub(super) fn barred<'f>(
    who: (&Child, AgeMonths, &TasteRecord),
    dishes: impl IntoIterator<Item = (String, &'f [ServedFood])>,
) -> BTreeMap<String, String> {
    let barred = dishes.into_iter().filter_map(|(key, foods)| {
        let objections = objections(who, foods);
        let grave = objections
            .into_iter()
            .find(|one| one.severity < Severity::Mind);
        Some((key, grave?.text))
    });
    barred.collect()
}

/// What stands against planned meals that are still to come; the gravest first.
pub fn plan_objections(facts: &Facts<'_>, which: impl Fn(&Slot) -> bool) -> Vec<Objection> {
    let mut found: Vec<Objection> = Vec::new();
    for (child, day, foods) in planned_foods(facts, which) {
        let Some(tastes) = facts.tastes.get(&child.name) else {
            continue;
        };
        let who = (child, child.age_on(day), tastes);
        for one in objections(who, &foods) {
            if !found.contains(&one) {
                found.push(one);
            }
        }
    }
    found.sort_by_key(|one| one.severity);
    found
}
